//! A book made of secrets and safety lines.
//!
//! In: a seed and a size. Out: the book's files, the secrets in it by kind, and what everybody must
//! see. Secrets are words and figures that nothing else in a record could come to.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;

use shimbook::book::Book;
use shimbook::build::{Build, Kept, compile_again};
use shimbook::export::document;
use shimbook::handover;
use shimbook::io::BookFiles;
use shimbook::open_book::WorkedBook;
use shimbook::pages::Evenings;
use shimbook::photos::{Album, Size, develop, look, shown};
use shimbook::render::Pages;

use crate::random::Random;

/// What kind of secret.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Cost,
    Serial,
    Supplier,
    Name,
    Shop,
}

/// A made-up book.
pub(crate) struct Made {
    texts: BTreeMap<String, String>,
    pub(crate) photos: Pages,
    pub(crate) secrets: Vec<(Kind, String)>,
    /// What everybody must see somewhere.
    pub(crate) safety: Vec<String>,
    dice: Dice,
}

/// What is drawn by lot, the same for the same seed.
pub(crate) struct Dice(Random);

impl Dice {
    fn below(&mut self, most: usize) -> usize {
        self.0.below(most)
    }

    /// A word that nobody writes.
    fn word(&mut self) -> String {
        let (hard, soft) = (b"bcdfghjklmnpqrstvwxz", b"aeiouy");
        let mut word = String::new();
        for _ in 0..4 {
            word.push(hard[self.below(20)] as char);
            word.push(soft[self.below(6)] as char);
            word.push(hard[self.below(20)] as char);
        }
        word
    }

    fn name(&mut self) -> String {
        let word = self.word();
        word[..1].to_uppercase() + &word[1..8]
    }

    /// An odd sum of money, such as `73131.37`; rounded it keeps its whole figures.
    fn cost(&mut self) -> String {
        format!("{}.{:02}", 20_000 + self.below(70_000), 11 + self.below(38))
    }
}

impl Made {
    /// A book with about `size` parts of everything.
    pub(crate) fn new(seed: u64, size: u64) -> Self {
        let mut made = Self {
            texts: BTreeMap::new(),
            photos: Pages::new(),
            secrets: Vec::new(),
            safety: Vec::new(),
            dice: Dice(Random(seed)),
        };
        let crew: Vec<String> = (0..3)
            .map(|_| format!("{} {}", made.dice.name(), made.dice.name()))
            .collect();
        for name in &crew {
            made.secrets.push((Kind::Name, name.clone()));
            made.secrets
                .extend(name.split(' ').map(|word| (Kind::Name, word.to_owned())));
        }
        made.sheet(&crew);
        made.parts(&crew, size);
        made.first_day(&crew, size);
        made.second_day(&crew, size);
        made.secret_values();
        made
    }

    fn secret(&mut self, kind: Kind, text: &str) -> String {
        self.secrets.push((kind, text.to_owned()));
        text.to_owned()
    }

    fn cost(&mut self) -> String {
        let cost = self.dice.cost();
        // A record may show it without its cents.
        self.secret(Kind::Cost, cost.split('.').next().unwrap_or_default());
        cost
    }

    /// A word inside a shop block.
    fn shop_word(&mut self) -> String {
        let word = self.dice.word();
        self.secret(Kind::Shop, &word)
    }

    /// Words that everybody must see; `@` becomes a word of its own.
    fn safe(&mut self, words: &str) -> String {
        let words = words.replace('@', &self.dice.word());
        self.safety.push(words.clone());
        words
    }

    fn sheet(&mut self, crew: &[String]) {
        let people: Vec<String> = crew
            .iter()
            .map(|name| format!("  - {{name: {name}, hours: 9}}\n"))
            .collect();
        let target = self.cost();
        let text = format!(
            "title: The truck of {}\nstart: 2031-05-02\ndays: 4\ncrew:\n{}targets: |\n  spent.total at most {target} EUR\n  \
             kerb_mass at most 1300 kg\naudiences:\n  sponsor: {{suppliers: yes, names: full}}\n  passer_by: {{names: none}}\n",
            crew[0],
            people.concat()
        );
        self.texts.insert("build-sheet.yaml".to_owned(), text);
    }

    fn parts(&mut self, crew: &[String], size: u64) {
        let mut text = String::new();
        for n in 0..size {
            let serial = format!("{}-{}", self.dice.name(), 100 + self.dice.below(900));
            let serial = self.secret(Kind::Serial, &serial);
            let number = format!("{}{}", self.dice.name(), 10 + self.dice.below(90));
            let number = self.secret(Kind::Supplier, &number);
            let from = format!("{} {} Works", self.dice.name(), self.dice.name());
            let from = self.secret(Kind::Supplier, &from);
            // Every other one says its cost when it is ordered.
            let cost = if n % 2 == 0 {
                format!("  cost: {}\n", self.cost())
            } else {
                String::new()
            };
            let who = &crew[n as usize % crew.len()];
            let rating = self.safe(&format!("part_{n}.strength_@"));
            let rating = rating.split_once('.').map_or("", |(_, key)| key).to_owned();
            let _ = write!(
                text,
                "part_{n}:\n  what: Bracket {n} as {who} likes it\n  from: {from}\n  number: \"{number}\"\n  serial: \"{serial}\"\n  \
                 mass: {} kg\n{cost}  ratings: {{{rating}: 40 kN}}\n",
                n + 2
            );
        }
        self.texts.insert("parts.yaml".to_owned(), text);
    }

    fn first_day(&mut self, crew: &[String], size: u64) {
        let mut log = format!("---\nday: 1\n---\n# What {} began\n\n", crew[0]);
        for n in 0..size {
            self.jobs(&mut log, crew, n);
        }
        log.push_str("\n```parts\n");
        for n in 0..size {
            let (remark, aside) = (self.cost(), self.cost());
            let event = if n % 2 == 1 {
                format!(", cost {}", self.cost())
            } else {
                String::new()
            };
            let who = &crew[n as usize % crew.len()];
            let _ = writeln!(
                log,
                "part_{n}: ordered{event}, paid {remark} by {who} # cost {aside}"
            );
            let _ = writeln!(log, "part_{n}: in");
            let (why, drill) = (self.safe("drilled @"), self.cost());
            let _ = writeln!(log, "part_{n}: altered, {why} with a bit of {drill} EUR");
        }
        log.push_str("```\n\n```sums\n");
        // A value that is called as somebody is.
        let called = crew[2].split(' ').next().unwrap_or_default().to_lowercase();
        let _ = writeln!(
            log,
            "{called} measured 30 ± 1 mm\n{called} at least 40 mm, hold"
        );
        for n in 0..size {
            self.sums(&mut log, crew, n);
        }
        log.push_str("```\n");
        for n in 0..size {
            self.prose(&mut log, crew, n);
        }
        self.texts.insert(
            format!(
                "days/day-01-{}.md",
                crew[1].split(' ').next().unwrap_or_default().to_lowercase()
            ),
            log,
        );
    }

    fn jobs(&mut self, log: &mut String, crew: &[String], n: u64) {
        let who = &crew[n as usize % crew.len()];
        let (first, other) = (
            who.split(' ').next().unwrap_or_default(),
            &crew[(n as usize + 1) % crew.len()],
        );
        let why = self.safe("stand @ carries it");
        let again = self.safe("bent @");
        let (paid, bought) = (self.cost(), self.cost());
        let _ = writeln!(
            log,
            "- [x] Hang the arm of {first} {{arm_{n}, by {who}, takes 2 h, took 3 h, temp: {why} for {first} and {bought} EUR, caution lifting}}"
        );
        let _ = writeln!(
            log,
            "- [ ] Brake line, cost **{paid}** {{{}_line_{n}, by {who} + {other}, takes 2 h, took 1 h, again: {again}, caution brakes}}",
            first.to_lowercase()
        );
        self.safety
            .push("Nothing can make up for a failed brake.".to_owned());
    }

    fn sums(&mut self, log: &mut String, crew: &[String], n: u64) {
        let who = &crew[n as usize % crew.len()];
        let first = who.split(' ').next().unwrap_or_default();
        let (limit, price, remark) = (self.cost(), self.cost(), self.cost());
        let gap = self.safe(&format!("gap_{n}_@"));
        let paper = self.safe(&format!("paper_{n}_@"));
        let other = self.dice.below(1 + n as usize);
        let _ = write!(
            log,
            "{gap} measured 20.{n} ± 0.2 mm, by {who} # {first} held the rule\n\
             {gap} at least 25 mm, hold # {first} says so\n\
             {paper} = part_{n}.cost / 1000 EUR * 1 mm # {remark} EUR of it\n\
             {paper} at least 3 m, hold\n\
             {first}_reach_{n} = 700 mm\n\
             share_{n} = part_{n}.cost / spent.total # a ratio\n\
             step_{n} = share_{n} * 8127 mm\n\
             turn_{n} = if(part_{n}.cost > 90000 EUR, step_{n}, step_{n} * 1.7)\n\
             step_{n} at most 9000 mm\n\
             price_{n} = {price} EUR\n\
             rate_{n} = price_{n} / 17 kg # per kg\n\
             rate_{n} at most {limit} EUR/kg\n\
             worth_{n} = size_{n} * part_{other}.cost / 7 m\n\
             worth_{n} at most 9000 EUR\n\
             choose size_{n} from 1 to 3 m\n\
             cut_{n} = size_{n} / 3\n"
        );
    }

    fn prose(&mut self, log: &mut String, crew: &[String], n: u64) {
        let who = &crew[n as usize % crew.len()];
        let first = who.split(' ').next().unwrap_or_default();
        let (inner, heading, photo) = (self.shop_word(), self.shop_word(), self.shop_word());
        let [paid, stuck, bold, slanted, cell] = [(); 5].map(|()| self.cost());
        let shown = format!("photos/{}-{n}.png", first.to_lowercase());
        let hidden = format!("photos/{photo}.png");
        // What a camera writes into a file is for nobody outside.
        let camera = self.shop_word();
        self.photos
            .insert(shown.clone(), picture(n as u32, &camera));
        let bytes = self.shop_word().into_bytes();
        self.photos.insert(hidden.clone(), bytes);
        let slug = format!("{}-has-it-{n}", who.to_lowercase().replace(' ', "-"));
        let _ = write!(
            log,
            "\n## {who} has it {n}\n\n**{first}**'s part stood at `part_{n}.cost` of `spent.total`, which is `share_{n}`, a step of `step_{n}` \
             and a cut of `cut_{n}`; EUR {paid} were paid, EUR{stuck} more, **{bold}** EUR and EUR *{slanted}* besides. See [the shop](#{heading}) and [above](#{slug}).\n\n\
             ![{who} at it]({shown} \"as {first} left it\")\n\n\
             | what | paid |\n| --- | --- |\n| paid | {cell} |\n\n\
             ```shop\n## {heading}\n\n{inner}\n\n![x]({hidden})\n```\n\n\
             ```drawing\nband step_{n}\nsources step_{n}\nhistory share_{n}\n```\n"
        );
        self.raw(log, who);
    }

    /// The same in raw HTML.
    fn raw(&mut self, log: &mut String, who: &str) {
        let [titled, bold, marked, folded, cell] = [(); 5].map(|()| self.cost());
        let (begins, ends) = who.split_at(2);
        let _ = write!(
            log,
            "\nThe <abbr title=\"{who}, who paid {titled} EUR\">first of us</abbr> paid <b>{bold}</b> EUR and <mark>EUR</mark> {marked}; \
             {begins}<i>{ends}</i> and <u>{who}</u> know.\n\n\
             <details><summary>{who} paid {folded} EUR</summary>\n\nfor *it*\n\n\
             <table><tr><td>paid</td><td>{cell}</td></tr></table>\n\n</details>\n"
        );
    }

    fn second_day(&mut self, crew: &[String], size: u64) {
        let own_log = self
            .texts
            .keys()
            .find(|path| path.starts_with("days/"))
            .cloned()
            .unwrap_or_default();
        let page = own_log.trim_start_matches("days/").to_owned();
        let mut log =
            format!("---\nday: 2\n---\n# More\n\nAs in [the first log]({page}).\n\n```parts\n");
        for n in 0..size {
            let _ = writeln!(log, "part_{n}: fitted");
        }
        log.push_str("```\n\n```sums\nkerb_mass measured 1200 ± 2 kg\n");
        for n in 0..size {
            let price = self.cost();
            let _ = writeln!(
                log,
                "price_{n} = {price} EUR\ndrift_{n} = day1.rate_{n} * 3 kg / spent.total * 1 mm"
            );
        }
        log.push_str("```\n");
        for n in 0..size {
            let who = &crew[n as usize % crew.len()];
            let _ = writeln!(
                log,
                "\n- [ ] {{arm_{n}, by {who}, took 1 h, held up: {who} is away}}\n\nThat evening `drift_{n}`, before that `day1.price_{n}`."
            );
        }
        self.texts.insert("days/day-02.md".to_owned(), log);
    }

    /// Figures that depend on a cost are secrets as they are shown.
    fn secret_values(&mut self) {
        let build = self.worked().build;
        let hang = shimbook::calc::on_money(&build.worked);
        let open = |name: &str| name.starts_with("paper_");
        let names: Vec<String> = hang
            .names
            .iter()
            .map(|id| build.worked.text(*id).to_owned())
            .collect();
        for name in names.iter().filter(|name| !open(name)) {
            let shown = document::check_value(&build, name);
            let figure: String = shown
                .chars()
                .take_while(|c| c.is_ascii_digit() || *c == '.')
                .collect();
            if figure.chars().filter(char::is_ascii_digit).count() > 4 {
                self.secrets.push((Kind::Cost, figure));
            }
        }
        for name in names.iter().filter(|name| open(name)) {
            // A hold check that is worked out from a cost stays, with its figures.
            let shown = document::check_value(&build, name);
            self.safety.push(shown.replace(" m", "\u{202f}m"));
        }
        self.secrets.sort();
        self.secrets.dedup();
    }

    /// The book, worked out.
    pub(crate) fn worked(&self) -> WorkedBook {
        let mut files = BookFiles::from_texts(
            self.texts
                .iter()
                .map(|(path, text)| (path.as_str(), text.as_str())),
        );
        files.photos = self
            .photos
            .keys()
            .map(|path| (path.clone(), PathBuf::from(path)))
            .collect();
        let photos = files.photos.clone();
        let album = |book: &Book| {
            let shown = shown(book).into_keys();
            Album::new(
                shown
                    .map(|path| (path.to_owned(), look(&self.photos[path])))
                    .collect(),
            )
        };
        let build = compile_again(files, &mut Kept::default(), album);
        let evenings = Evenings::of(&build);
        WorkedBook {
            build,
            evenings,
            photos,
        }
    }

    /// The pictures of the photos that a handover shows.
    pub(crate) fn prints(&self, build: &Build) -> Pages {
        let mut prints = Pages::new();
        for (path, facts) in handover::shown_photos(build) {
            let made = develop(&self.photos[path], facts).expect("a picture");
            prints.insert(facts.print_path(path, Size::Large), made.large);
            prints.extend(
                made.small
                    .map(|small| (facts.print_path(path, Size::Small), small)),
            );
        }
        prints
    }
}

/// A picture with a word in it that cannot be seen.
fn picture(n: u32, word: &str) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 6 + n % 3, 4);
    encoder.set_color(png::ColorType::Grayscale);
    encoder
        .add_text_chunk("Comment".to_owned(), word.to_owned())
        .expect("a text");
    let mut writer = encoder.write_header().expect("a head");
    writer
        .write_image_data(&vec![n as u8; (6 + n as usize % 3) * 4])
        .expect("pixels");
    writer.finish().expect("an end");
    bytes
}
