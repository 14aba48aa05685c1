//! What a book is worked out from.
//!
//! In: the files as they were read, and the last text of each that could be worked with. Out: the
//! same files, where one that cannot be worked with is replaced by its last text, and said to be
//! unread. So nothing that was on hold, aimed at or recorded disappears because a file cannot be
//! read for a while.
//!
//! A build sheet cannot be worked with while anything in it is wrong, `parts.yaml` while it is not
//! YAML, a log while the lines at its top cannot be read or another log has its day, any file while
//! a merge in it is not settled.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::log::{self, Top};
use super::{ParseCache, hangs_on, merge, parts, sheet};
use crate::diagnostics::{Diagnostic, Severity, Slug};
use crate::io::{BookFiles, LastTexts, PARTS, PLAN, SHEET, Unread, Used};
use crate::source::{FileId, Spanned};

/// Puts the last text in the place of every file that cannot be worked with as it is.
pub fn settle(mut files: BookFiles, kept: &mut ParseCache) -> BookFiles {
    let last = std::mem::take(&mut files.last);
    let mut settling = Settling {
        files,
        kept,
        last,
        next: LastTexts::new(),
        taken: BTreeMap::new(),
    };
    settling.sheet();
    settling.parts();
    settling.plan();
    settling.logs();
    settling.files.last = settling.next;
    settling.files
}

struct Settling<'k> {
    files: BookFiles,
    kept: &'k mut ParseCache,
    /// The texts to fall back to.
    last: LastTexts,
    /// Those to fall back to the next time.
    next: LastTexts,
    /// Which log has which day, and where it says so.
    taken: BTreeMap<u32, Spanned<u32>>,
}

impl Settling<'_> {
    fn sheet(&mut self) {
        let file = self.files.sheet;
        let wrong = self.wrong(file, |kept, files| {
            let read = |found: &mut Vec<_>| sheet::read(&files.sources, file, false, found);
            kept.tried_sheet.get(hangs_on(files, file), read).1.to_vec()
        });
        self.files.sheet = self.one(SHEET, Some(file), wrong).unwrap_or(file);
    }

    fn parts(&mut self) {
        let file = self.files.parts;
        let wrong = file.map(|file| {
            self.wrong(file, |kept, files| {
                let read = |found: &mut Vec<_>| parts::try_it(&files.sources, file, found);
                kept.tried_parts.get(hangs_on(files, file), read).1.to_vec()
            })
        });
        self.files.parts = self.one(PARTS, file, wrong.unwrap_or_default());
    }

    fn plan(&mut self) {
        let file = self.files.plan;
        let wrong = file.map(|file| self.wrong(file, |_, _| Vec::new()));
        self.files.plan = self.one(PLAN, file, wrong.unwrap_or_default());
    }

    /// What takes the place of a file that a book has once; `None` where it is not there.
    fn one(&mut self, path: &str, file: Option<FileId>, wrong: Vec<Diagnostic>) -> Option<FileId> {
        if wrong.is_empty() && !self.is_unread(path) {
            self.keep(file?);
            return file;
        }
        let text = self.last_text(path);
        let used = match (text, file) {
            (Some(_), _) => Used::LastText,
            (None, Some(_)) => Used::Partly,
            (None, None) => Used::Nothing,
        };
        self.set_aside(path, wrong, used);
        text.or(file)
    }

    /// Logs that can be worked with take their days; those whose text is the last one do so first,
    /// so that no other takes a day from them. Then come the last texts of all others.
    fn logs(&mut self) {
        let all = std::mem::take(&mut self.files.logs);
        let mut paths: BTreeSet<String> = all.iter().map(|file| self.path(*file)).collect();
        let (mut good, mut bad) = (Vec::new(), Vec::new());
        for file in &all {
            let (path, top) = (self.path(*file), self.top(*file));
            let wrong = self.wrong(*file, |_, _| top.wrong);
            match top
                .day
                .filter(|_| wrong.is_empty() && !self.is_unread(&path))
            {
                Some(day) => good.push((!self.is_last(*file), path, day)),
                None => bad.push((path, Some(*file), wrong)),
            }
        }
        good.sort_by(|one, other| (one.0, &one.1).cmp(&(other.0, &other.1)));
        for (_, path, day) in good {
            bad.extend(
                self.take_day(&day)
                    .err()
                    .map(|wrong| (path, None, vec![*wrong])),
            );
        }
        bad.extend(
            self.refused()
                .into_iter()
                .filter(|path| paths.insert(path.clone()))
                .map(|path| (path, None, vec![])),
        );
        for (path, file, wrong) in bad {
            self.fall_back(&path, file, wrong);
        }
        if let Some(days) = self
            .files
            .unread
            .iter_mut()
            .find(|unread| unread.path == "days")
        {
            days.used = if self.taken.is_empty() {
                Used::Nothing
            } else {
                Used::LastText
            };
        }
        let sources = &self.files.sources;
        self.files
            .logs
            .sort_by(|one, other| sources.path(*one).cmp(sources.path(*other)));
        self.kept
            .tops
            .retain(|file, _| self.files.logs.contains(file) || all.contains(file));
    }

    /// The logs that the disk keeps from us. Where `days/` cannot be listed, that is any log known
    /// of before.
    fn refused(&self) -> Vec<String> {
        let of_a_log = |path: &&String| path.starts_with("days/");
        let said = self
            .files
            .unread
            .iter()
            .map(|unread| &unread.path)
            .filter(of_a_log);
        let unlisted = self
            .last
            .keys()
            .filter(of_a_log)
            .filter(|_| self.is_unread("days"));
        said.chain(unlisted).cloned().collect()
    }

    /// Gives a log its day, where no other has it.
    fn take_day(&mut self, day: &Spanned<u32>) -> Result<(), Box<Diagnostic>> {
        if let Some(first) = self.taken.get(&day.value) {
            return Err(Box::new(same_day(day, first, &self.files)));
        }
        self.taken.insert(day.value, day.clone());
        self.files.logs.push(day.span.file);
        self.keep(day.span.file);
        Ok(())
    }

    /// Puts the last text in place of a log. Without one, the log is read as far as it goes; `file`
    /// is `None` where it must not be read.
    fn fall_back(&mut self, path: &str, file: Option<FileId>, mut wrong: Vec<Diagnostic>) {
        let text = self.last_text(path);
        let day = text.and_then(|text| self.top(text).day);
        if day.is_some_and(|day| self.take_day(&day).is_ok()) {
            return self.set_aside(path, wrong, Used::LastText);
        }
        let taken = file
            .and_then(|file| self.top(file).day)
            .and_then(|day| Some((self.taken.get(&day.value)?, day)));
        let taken = taken.map(|(first, day)| same_day(&day, first, &self.files));
        if let Some(file) = file.filter(|_| taken.is_none()) {
            let day = self.top(file).day;
            self.taken.extend(day.map(|day| (day.value, day)));
            self.files.logs.push(file);
            self.set_aside(path, wrong, Used::Partly);
        } else {
            wrong.extend(taken);
            self.set_aside(path, wrong, Used::Nothing);
        }
    }

    /// Notes that a file is not worked with as it is. What reading it says anyway is not said
    /// twice.
    fn set_aside(&mut self, path: &str, wrong: Vec<Diagnostic>, used: Used) {
        match self
            .files
            .unread
            .iter_mut()
            .find(|unread| unread.path == path)
        {
            Some(unread) if used == Used::LastText => unread.used = used,
            Some(_) => {}
            None => self.files.unread.extend(wrong.first().map(|first| Unread {
                path: path.to_owned(),
                at: first.at,
                why: first.message.clone(),
                used,
            })),
        }
        let said = wrong
            .into_iter()
            .filter(|found| used != Used::Partly || found.slug == Slug::UnsettledMerge);
        self.files.diagnostics.extend(said);
    }

    /// Why a file cannot be worked with: a merge in it, else what `check` says.
    fn wrong(
        &mut self,
        file: FileId,
        check: impl FnOnce(&mut ParseCache, &BookFiles) -> Vec<Diagnostic>,
    ) -> Vec<Diagnostic> {
        // What the disk keeps from us was said already.
        if self.is_last(file) || self.is_unread(self.files.sources.path(file)) {
            return Vec::new();
        }
        let merges = merge::unsettled(&self.files.sources, file);
        if !merges.is_empty() {
            return merges;
        }
        let mut wrong = check(self.kept, &self.files);
        wrong.retain(|found| found.severity == Severity::Error);
        wrong
    }

    fn top(&mut self, file: FileId) -> Top {
        let text = self.files.sources.shared(file);
        if let Some((_, top)) = self
            .kept
            .tops
            .get(&file)
            .filter(|(before, _)| Arc::ptr_eq(before, &text))
        {
            return top.clone();
        }
        let top = log::top(&self.files.sources, file);
        self.kept.tops.insert(file, (text, top.clone()));
        top
    }

    /// The text of a file is one to fall back to.
    fn keep(&mut self, file: FileId) {
        self.next
            .insert(self.path(file), self.files.sources.shared(file));
    }

    /// The last text of a file, among the sources.
    fn last_text(&mut self, path: &str) -> Option<FileId> {
        let text = self.last.get(path)?;
        self.next.insert(path.to_owned(), Arc::clone(text));
        Some(self.files.sources.add_file(Arc::clone(text)))
    }

    /// Is the text of a file the very one to fall back to?
    fn is_last(&self, file: FileId) -> bool {
        let now = self.files.sources.shared(file);
        self.last
            .get(now.path())
            .is_some_and(|last| Arc::ptr_eq(last, &now) || **last == *now)
    }

    fn is_unread(&self, path: &str) -> bool {
        self.files.unread.iter().any(|unread| unread.path == path)
    }

    fn path(&self, file: FileId) -> String {
        self.files.sources.path(file).to_owned()
    }
}

fn same_day(day: &Spanned<u32>, first: &Spanned<u32>, files: &BookFiles) -> Diagnostic {
    let first = first.span;
    let message = format!(
        "{} already has day {}, so this log is not read",
        files.sources.path(first.file),
        day.value
    );
    Diagnostic::error(Slug::DayNumber, day.span, message)
        .see(first, "the log that counts")
        .expected("a different day for each log")
}
