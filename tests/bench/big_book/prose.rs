//! What a crew writes around its sums: headings, paragraphs with references, lists, tables.

use std::fmt::Write as _;

use super::CREW;
use super::jobs::Jobs;
use super::parts::Parts;
use super::random::Random;
use super::sums::Sums;

const HEADINGS: [&str; 8] = [
    "Cold, but the heater works",
    "The day of the rails",
    "Everything twice",
    "A good afternoon",
    "Waiting for the van",
    "Rain through the roof light",
    "Slow and straight",
    "What we found below the paint",
];
const SECTIONS: [&str; 6] = [
    "Before noon",
    "The left side",
    "After lunch",
    "What the level said",
    "Late",
    "For tomorrow",
];

/// Sentences; `V` stands for a value, `J` for a job, `P` for a part, `W` for somebody.
const SENTENCES: [&str; 22] = [
    "W read V twice before anybody believed it.",
    "J is further than it looks, because P went in on the first try.",
    "Nobody had P out of its box yet, so W did *that* first.",
    "The level says one thing and the tape another; V stands as written and we go by the tape.",
    "After the second coffee W found the washer that had been missing since Tuesday.",
    "We left J where it was, with a note on the bench and the lamp on.",
    "With V where it is now there is room for a hand and a spanner, **not more**.",
    "P is heavier than the list has it, though not by enough to argue.",
    "W would like it known that the hole was square when he left it.",
    "There was a long talk about whether the cable should go above or below; it goes below.",
    "The paint on the inner side came off in one piece, and the metal below it is sound.",
    "J waits for the glue, and the glue waits for the heater.",
    "Two bolts out of eight would not start by hand, so all eight came out again.",
    "V and V belong together: when one goes up the other has to come down.",
    "Set the clamp, look along the edge, loosen it, set it again; that was the morning.",
    "W drew the corner on the floor in chalk at full size, and it was worth the hour.",
    "The new bit walks on the first millimetre; centre punch, small drill, then the big one.",
    "What P needs is a spacer, and what the spacer needs is somebody at the lathe.",
    "We swept up, which took longer than the cut.",
    "It rained on the ramp, so the panel stayed inside and J went on a day.",
    "W held the lamp for all of it and says that this is work too.",
    "Checked V again at the end of the day, warm: the same to within the line on the rule.",
];

/// What a sentence may speak of.
pub struct Names<'a> {
    pub sums: &'a Sums,
    pub jobs: &'a Jobs,
    pub parts: &'a Parts,
    pub day: u32,
}

pub fn heading(random: &mut Random) -> &'static str {
    random.of(&HEADINGS)
}

/// A heading with some paragraphs, and now and then a list.
pub fn section(names: &Names, random: &mut Random) -> String {
    let mut text = format!("## {}\n\n", random.of(&SECTIONS));
    for _ in 0..random.days(2, 3) {
        let sentences: Vec<String> = (0..random.days(4, 7))
            .map(|_| sentence(names, random))
            .collect();
        writeln!(text, "{}\n", sentences.join("\n")).unwrap();
    }
    if random.percent(40) {
        for _ in 0..random.days(3, 5) {
            writeln!(text, "- {}", sentence(names, random)).unwrap();
        }
        text.push('\n');
    }
    text
}

/// Who was at what for how long.
pub fn table(random: &mut Random) -> String {
    let mut text = "| who | at | lost |\n| --- | --- | ---: |\n".to_owned();
    for name in CREW {
        writeln!(
            text,
            "| {name} | {} | {} min |",
            random.of(&SECTIONS),
            random.days(0, 50)
        )
        .unwrap();
    }
    text
}

fn sentence(names: &Names, random: &mut Random) -> String {
    let mut text = String::new();
    let template = random.of(&SENTENCES);
    for (index, word) in template.split(' ').enumerate() {
        if index > 0 {
            text.push(' ');
        }
        text += &filled(word, names, random);
    }
    text
}

fn filled(word: &str, names: &Names, random: &mut Random) -> String {
    let Some(rest) = word
        .strip_prefix(['V', 'J', 'P', 'W'])
        .filter(|rest| !rest.starts_with(char::is_alphabetic))
    else {
        return word.to_owned();
    };
    match word.as_bytes()[0] {
        b'V' => format!("`{}`{rest}", names.sums.recent(random)),
        b'J' => format!("`{}`{rest}", job(names, random)),
        b'P' => names.parts.in_by(names.day, random).map_or_else(
            || format!("it{rest}"),
            |part| format!("`{}`{rest}", part.id),
        ),
        _ => format!("{}{rest}", random.of(&CREW)),
    }
}

/// One of the jobs first seen about that day.
fn job<'a>(names: &Names<'a>, random: &mut Random) -> &'a str {
    let jobs = &names.jobs.jobs;
    let known = jobs.partition_point(|job| job.first <= names.day).max(1);
    &jobs[known - 1 - random.below(known.min(30))].id
}
