//! A small book on a wall, behind a line that can be cut.

use std::io::{Read as _, Write as _};
use std::net::{Shutdown, SocketAddr, TcpListener, TcpStream};
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;

use shimbook::render::Theme;
use shimbook::wall::{Guests, Notice, Wall};
use tempfile::TempDir;

const SHEET: &str =
    "title: Kittiwake\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 8}\n";
const DAY_1: &str = "---\nday: 1\n---\n# Arch\n\n- [x] Trim the arch {arch_trim, by Ines, takes 2 h, took 3 h}\n\n```sums\narch_gap measured 27 ± 1 mm\narch_gap at least 25 mm, hold\n```\n";
const DAY_2: &str =
    "---\nday: 2\n---\n# Tray\n\n- [ ] Hang the tray {tray_in, by Ines, takes 3 h}\n";

/// A book that hangs on a wall for one test.
pub struct Hung {
    home: TempDir,
    line: Line,
}

impl Hung {
    pub fn new() -> Self {
        Self::in_theme("paper")
    }

    /// The same in a built-in theme.
    pub fn in_theme(theme: &str) -> Self {
        Self::hang(theme, true)
    }

    /// A wall whose book is not there yet; it comes with [`Self::bring_back`].
    pub fn missing() -> Self {
        Self::hang("paper", false)
    }

    fn hang(theme: &str, readable: bool) -> Self {
        let home = tempfile::tempdir().unwrap();
        std::fs::create_dir_all(home.path().join("book/days")).unwrap();
        let hung = |line| Self { home, line };
        let this = hung(Line::idle());
        let details = "\n<details><summary>The old arch</summary>\n\nIt was bent.\n\n</details>\n";
        let long = "\nThe arch was trimmed, offered up and trimmed again.\n".repeat(40);
        std::fs::write(this.book().join("build-sheet.yaml"), SHEET).unwrap();
        std::fs::write(
            this.book().join("days/day-01.md"),
            format!("{DAY_1}{details}{long}"),
        )
        .unwrap();
        std::fs::write(this.book().join("days/day-02.md"), DAY_2).unwrap();
        if !readable {
            this.take_away();
        }
        let wall = Wall::open(
            0,
            Guests::ThisMachine,
            Theme::named(theme).unwrap().unwrap(),
        )
        .unwrap();
        let address = wall.address().unwrap();
        let book = this.book();
        thread::spawn(move || wall.stand(&book, Notice::Told).unwrap());
        let port: SocketAddr = address
            .trim_start_matches("http://")
            .trim_end_matches('/')
            .parse()
            .unwrap();
        Self {
            line: Line::to(port),
            ..this
        }
    }

    fn book(&self) -> PathBuf {
        self.home.path().join("book")
    }

    /// The address of a path of the record, by way of the line.
    pub fn address(&self, path: &str) -> String {
        format!("http://{}/{path}", self.line.here)
    }

    /// Saves a file with something changed in it.
    pub fn save(&self, path: &str, change: impl FnOnce(String) -> String) {
        let file = self.book().join(path);
        let text = std::fs::read_to_string(&file).unwrap_or_default();
        std::fs::write(file, change(text)).unwrap();
    }

    /// Deletes a file; gives what was in it.
    pub fn delete(&self, path: &str) -> String {
        let text = std::fs::read_to_string(self.book().join(path)).unwrap();
        std::fs::remove_file(self.book().join(path)).unwrap();
        text
    }

    /// Takes the book's folder away.
    pub fn take_away(&self) {
        std::fs::rename(self.book(), self.home.path().join("away")).unwrap();
    }

    /// Brings it back.
    pub fn bring_back(&self) {
        std::fs::rename(self.home.path().join("away"), self.book()).unwrap();
    }

    /// Cuts the line to the shop's computer.
    pub fn cut(&mut self) {
        self.line.cut();
    }

    /// Mends it.
    pub fn mend(&mut self) {
        self.line.whole.store(true, Ordering::SeqCst);
    }
}

/// A line between the browser and the wall.
struct Line {
    here: SocketAddr,
    whole: Arc<AtomicBool>,
    ends: Arc<Mutex<Vec<TcpStream>>>,
}

impl Line {
    /// A line that leads nowhere.
    fn idle() -> Self {
        Self {
            here: ([127, 0, 0, 1], 9).into(),
            whole: Arc::default(),
            ends: Arc::default(),
        }
    }

    fn to(wall: SocketAddr) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let here = listener.local_addr().unwrap();
        let (whole, ends) = (
            Arc::new(AtomicBool::new(true)),
            Arc::new(Mutex::new(Vec::new())),
        );
        let line = Self {
            here,
            whole: Arc::clone(&whole),
            ends: Arc::clone(&ends),
        };
        thread::spawn(move || {
            for near in listener.incoming().flatten() {
                let Ok(far) = TcpStream::connect(wall) else {
                    continue;
                };
                if !whole.load(Ordering::SeqCst) {
                    continue;
                }
                ends.lock()
                    .unwrap()
                    .extend([near.try_clone().unwrap(), far.try_clone().unwrap()]);
                join(near.try_clone().unwrap(), far.try_clone().unwrap());
                join(far, near);
            }
        });
        line
    }

    fn cut(&self) {
        self.whole.store(false, Ordering::SeqCst);
        for end in self.ends.lock().unwrap().drain(..) {
            // An end that is closed already is cut as well.
            let _ = end.shutdown(Shutdown::Both);
        }
    }
}

/// Carries what comes in at one end to the other.
fn join(mut from: TcpStream, mut to: TcpStream) {
    thread::spawn(move || {
        let mut bytes = [0; 16 * 1024];
        while let Ok(count) = from.read(&mut bytes) {
            if count == 0 || to.write_all(&bytes[..count]).is_err() {
                break;
            }
        }
        let _ = to.shutdown(Shutdown::Both);
    });
}
