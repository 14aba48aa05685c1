//! Pictures that were asked for, kept while there is room.
//!
//! In: a photo of the book and a size. Out: its picture. A picture is made when somebody first asks
//! for it, one after the other, and kept by what is in its file: a save of a log makes none anew.
//! The oldest go when there is no more room.

use std::collections::{BTreeMap, VecDeque};
use std::path::Path;
use std::sync::{Mutex, PoisonError};

use super::answer::Answer;
use crate::photo_cache::prints;
use crate::photos::{Facts, PhotoKind, Prints, Size};

/// The most bytes of pictures that are kept.
const ROOM: usize = 64 * 1024 * 1024;
/// Stands where a picture's pixels cannot be read.
const PLACEHOLDER: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 240 90"><path d="M.5 .5h239v89h-239zM.5 .5l239 89M239.5 .5l-239 89" fill="none" stroke="#888"/></svg>"##;

type Key = (String, Size);

/// The pictures that are kept.
#[derive(Default)]
pub(super) struct Kept {
    shelf: Mutex<Shelf>,
    /// Held by whoever makes a picture: a page full of photos must not take memory for all of them
    /// at once.
    at_work: Mutex<()>,
}

#[derive(Default)]
struct Shelf {
    answers: BTreeMap<Key, Answer>,
    oldest_first: VecDeque<Key>,
    bytes: usize,
}

impl Kept {
    /// The picture of a photo that lies at `on_disk`.
    pub(super) fn answer(&self, on_disk: &Path, facts: &Facts, size: Size) -> Answer {
        let key = (facts.hash.clone(), size);
        if let Some(answer) = self.kept(&key) {
            return answer;
        }
        let _turn = self.at_work.lock().unwrap_or_else(PoisonError::into_inner);
        // Somebody else may have made it while we waited.
        if let Some(answer) = self.kept(&key) {
            return answer;
        }
        match prints(on_disk, facts) {
            Ok(Ok(made)) => self.keep(facts, made),
            Ok(Err(_)) => self.put(
                key.clone(),
                Answer::new(200, PhotoKind::Svg.media_type(), PLACEHOLDER.as_bytes()),
            ),
            // Saved a moment ago: the page that shows it as it is now is on its way.
            Err(_) => return Answer::not_here(),
        }
        self.kept(&key).unwrap_or_else(Answer::not_here)
    }

    fn kept(&self, key: &Key) -> Option<Answer> {
        self.shelf
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .answers
            .get(key)
            .cloned()
    }

    fn keep(&self, facts: &Facts, Prints { large, small }: Prints) {
        let answer = |bytes: Vec<u8>| Answer::new(200, facts.kind.media_type(), bytes);
        self.put((facts.hash.clone(), Size::Large), answer(large));
        if let Some(small) = small {
            self.put((facts.hash.clone(), Size::Small), answer(small));
        }
    }

    fn put(&self, key: Key, answer: Answer) {
        let mut shelf = self.shelf.lock().unwrap_or_else(PoisonError::into_inner);
        shelf.bytes += answer.bytes.len();
        shelf.oldest_first.push_back(key.clone());
        let before = shelf.answers.insert(key, answer);
        shelf.bytes -= before.map_or(0, |before| before.bytes.len());
        // The two sizes of one photo always have room.
        while shelf.bytes > ROOM && shelf.oldest_first.len() > 2 {
            let oldest = shelf.oldest_first.pop_front();
            let gone = oldest.and_then(|key| shelf.answers.remove(&key));
            shelf.bytes -= gone.map_or(0, |gone| gone.bytes.len());
        }
    }
}

#[cfg(test)]
#[allow(
    clippy::disallowed_methods,
    reason = "a test writes a picture of its own"
)]
mod tests {
    use image::{ImageFormat, RgbImage};

    use super::*;
    use crate::photos::look;

    fn photo(folder: &Path) -> (std::path::PathBuf, Facts) {
        let on_disk = folder.join("a.jpg");
        RgbImage::new(600, 9)
            .save_with_format(&on_disk, ImageFormat::Jpeg)
            .unwrap();
        let facts = look(&std::fs::read(&on_disk).unwrap()).unwrap();
        (on_disk, facts)
    }

    #[test]
    fn a_picture_is_made_once_and_one_that_was_saved_meanwhile_is_not_shown_as_another() {
        let dir = tempfile::tempdir().unwrap();
        let (on_disk, facts) = photo(dir.path());
        let kept = Kept::default();
        let made = kept.answer(&on_disk, &facts, Size::Small);
        assert_eq!((made.status, made.kind), (200, "image/jpeg"));
        std::fs::write(&on_disk, "another").unwrap();
        assert_eq!(kept.answer(&on_disk, &facts, Size::Small).tag, made.tag);
        assert_eq!(
            Kept::default().answer(&on_disk, &facts, Size::Small).status,
            404
        );
    }

    #[test]
    fn the_oldest_go_when_there_is_no_more_room() {
        let kept = Kept::default();
        for number in 0..5 {
            kept.put(
                (number.to_string(), Size::Large),
                Answer::new(200, "image/png", vec![0; ROOM / 3]),
            );
        }
        let left: Vec<_> = kept
            .shelf
            .lock()
            .unwrap()
            .answers
            .keys()
            .map(|(hash, _)| hash.clone())
            .collect();
        assert_eq!(left, ["2", "3", "4"]);
    }
}
