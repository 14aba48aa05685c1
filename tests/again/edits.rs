//! What a crew, its editors and its accidents do to the files of a book.

use std::path::PathBuf;

/// Lines that turn up anywhere; some of them are what nobody should write.
const LINES: [&str; 33] = [
    "```sums",
    "```",
    "```parts",
    "```drawing",
    "```shop",
    "---",
    "day: 3",
    "day: 2",
    "day: 77",
    "arch_gap measured 27 ± 1 mm",
    "arch_gap at least 25 mm, hold",
    "x = arch_gap * 2",
    "x = y + 1 mm",
    "y = x",
    "arch_gap measured 31 ± 1 mm by Ines",
    "z choose between 1 mm and 9 mm",
    "z2 = z + arch_gap",
    "z2 at most 40 mm",
    "- [x] Lift the box {lift_it, by Ines, takes 2 h, took 3 h, caution lifting}",
    "- [ ] {lift_it, again: it leaks}",
    "- [ ] Blocks {blocks, temp: two trestles}",
    "- [x] {blocks, made good by Ines}",
    "# Another title",
    "See `arch_gap` and `lift_it` and `day1.arch_gap`.",
    "[next](day-002.md)",
    "",
    "  ",
    "\u{feff}é ± µ",
    "band arch_gap",
    "x within 3 ± 0.1 deg",
    "![The box](../photos/box.png)",
    "![The gap](photos/gap.png \"Tonight\")",
    "![Nothing](photos/no.png)",
];

/// An editor with a seed.
pub struct Editor {
    state: u64,
    folder: PathBuf,
}

impl Editor {
    pub fn new(seed: u64, folder: PathBuf) -> Self {
        Self {
            state: seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1,
            folder,
        }
    }

    /// Below `below`, by xorshift.
    fn pick(&mut self, below: usize) -> usize {
        self.state ^= self.state << 13;
        self.state ^= self.state >> 7;
        self.state ^= self.state << 17;
        (self.state >> 33) as usize % below.max(1)
    }

    /// True once in so many times.
    pub fn chance(&mut self, once_in: usize) -> bool {
        self.pick(once_in) == 0
    }

    /// Does something to the book; says what.
    pub fn edit(&mut self) -> String {
        match self.pick(24) {
            0 => self.create(),
            1 => self.rename(),
            2 => self.delete(),
            3 => self.half_saved(),
            4 => self.touch(),
            5 => self.lines_of("parts.yaml"),
            6 => self.lines_of("plan.md"),
            7 => self.lines_of("build-sheet.yaml"),
            8..=11 => self.photo(),
            _ => {
                let log = self.log();
                self.lines_of(&log)
            }
        }
    }

    fn logs(&self) -> Vec<String> {
        let names = std::fs::read_dir(self.folder.join("days")).unwrap();
        let mut logs: Vec<String> = names
            .map(|name| format!("days/{}", name.unwrap().file_name().to_string_lossy()))
            .collect();
        logs.sort();
        logs
    }

    fn log(&mut self) -> String {
        let logs = self.logs();
        // Mostly the latest: that is where the crew writes.
        let index = if self.chance(2) {
            logs.len().saturating_sub(1)
        } else {
            self.pick(logs.len())
        };
        logs.get(index)
            .cloned()
            .unwrap_or_else(|| "days/day-001.md".to_owned())
    }

    fn read(&self, path: &str) -> String {
        String::from_utf8_lossy(&std::fs::read(self.folder.join(path)).unwrap_or_default())
            .into_owned()
    }

    /// Saves in place, or beside and renamed.
    fn save(&mut self, path: &str, text: &str) {
        let file = self.folder.join(path);
        if self.chance(2) {
            let beside = file.with_extension("new~");
            std::fs::write(&beside, text).unwrap();
            std::fs::rename(&beside, &file).unwrap();
        } else {
            std::fs::write(&file, text).unwrap();
        }
    }

    fn lines_of(&mut self, path: &str) -> String {
        let text = self.read(path);
        let mut lines: Vec<&str> = text.lines().collect();
        let at = self.pick(lines.len() + 1);
        let what = self.pick(5);
        match what {
            0 => lines.insert(at, LINES[self.pick(LINES.len())]),
            1 if at < lines.len() => drop(lines.remove(at)),
            2 if at < lines.len() => lines[at] = LINES[self.pick(LINES.len())],
            3 if at + 1 < lines.len() => lines.swap(at, at + 1),
            _ => lines.extend([
                "```sums",
                LINES[9 + self.pick(9)],
                LINES[9 + self.pick(9)],
                "```",
            ]),
        }
        let text = lines.join("\n") + "\n";
        self.save(path, &text);
        format!("change {what} of {path} at line {}", at + 1)
    }

    fn create(&mut self) -> String {
        let day = 1 + self.pick(9);
        let text = format!(
            "---\nday: {day}\n---\n# New\n\n```sums\narch_gap measured 3{day} ± 1 mm\n```\n"
        );
        self.save(&format!("days/day-{day:03}.md"), &text);
        format!("a new log of day {day}")
    }

    fn rename(&mut self) -> String {
        let from = self.log();
        let to = format!("days/day-{:03}-x.md", 1 + self.pick(9));
        let _ = std::fs::rename(self.folder.join(&from), self.folder.join(&to));
        format!("{from} renamed to {to}")
    }

    fn delete(&mut self) -> String {
        let log = self.log();
        let _ = std::fs::remove_file(self.folder.join(&log));
        format!("{log} deleted")
    }

    /// A file of which only the first part is there yet.
    fn half_saved(&mut self) -> String {
        let log = self.log();
        let text = self.read(&log);
        let end = self.pick(text.len() + 1);
        let end = (0..=end)
            .rev()
            .find(|end| text.is_char_boundary(*end))
            .unwrap_or(0);
        std::fs::write(self.folder.join(&log), &text[..end]).unwrap();
        format!("{log} half saved")
    }

    /// Another picture in the place of one, half of one, or none.
    fn photo(&mut self) -> String {
        let path = self
            .folder
            .join("photos")
            .join(["box.png", "gap.png"][self.pick(2)]);
        std::fs::create_dir_all(self.folder.join("photos")).unwrap();
        let mut bytes = Vec::new();
        let colour = image::Rgb([self.pick(256) as u8, 90, 0]);
        let format = if self.chance(2) {
            image::ImageFormat::Png
        } else {
            image::ImageFormat::Jpeg
        };
        let picture = image::RgbImage::from_pixel(500 + self.pick(3) as u32, 9, colour);
        picture
            .write_to(&mut std::io::Cursor::new(&mut bytes), format)
            .unwrap();
        let what = self.pick(5);
        match what {
            0 => drop(std::fs::remove_file(&path)),
            1 => std::fs::write(&path, &bytes[..bytes.len() / 2]).unwrap(),
            _ => std::fs::write(&path, &bytes).unwrap(),
        }
        format!("change {what} of {}", path.display())
    }

    /// Saved again without a change.
    fn touch(&mut self) -> String {
        let log = self.log();
        let text = self.read(&log);
        self.save(&log, &text);
        format!("{log} saved again")
    }
}
