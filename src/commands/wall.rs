//! `wall`: the record on the shop's screen, current while the crew writes.

use std::path::PathBuf;

use clap::Args;

use super::terminal::{self, BOLD};
use super::{Done, Failure, Status, theme};
use crate::io;
use crate::wall::{Guests, Notice, Wall, random_key};

/// Show the record on this machine and keep it current while the crew writes.
///
/// Open pages update on every save and keep their scroll position. `wall.html` is for a screen in
/// the shop: it is readable from four metres and changes pages by itself. Nothing is written;
/// `writeup` writes the record. Stop it with Ctrl-C.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook wall book-example --lan")]
pub(super) struct HangUp {
    /// The book's folder (default: this folder or its nearest parent with a book)
    book: Option<PathBuf>,
    /// Port (0: any free port)
    #[arg(long, default_value_t = 8437)]
    port: u16,
    /// Let others on the shop network view it, at an address with a random key
    #[arg(long)]
    lan: bool,
    /// Poll for changes instead of watching (for network shares)
    #[arg(long)]
    poll: bool,
    /// Folder with your own templates and style sheets; missing files come from the built-in theme
    #[arg(long, value_name = "DIR")]
    theme: Option<PathBuf>,
}

impl HangUp {
    pub(super) fn run(self) -> Done {
        let folder = io::find_book(self.book.as_deref())?;
        let guests = if self.lan {
            Guests::WithKey(random_key()?)
        } else {
            Guests::ThisMachine
        };
        let wall = Wall::open(self.port, guests, theme(self.theme.as_deref())?)
            .map_err(|cause| self.no_port(&cause))?;
        self.say(&wall.address()?)?;
        wall.stand(
            &folder,
            if self.poll {
                Notice::Polled
            } else {
                Notice::Told
            },
        )?;
        Ok(Status::Fine)
    }

    fn no_port(&self, cause: &std::io::Error) -> Failure {
        Failure(format!(
            "port {} cannot be used: {cause}\n  choose another with --port, or --port 0 for any free one",
            self.port
        ))
    }

    fn say(&self, address: &str) -> Result<(), Failure> {
        let mut text = format!(
            "{BOLD}On the wall{BOLD:#}: {address}\nFor the shop’s screen: {address}wall.html\n"
        );
        if self.lan {
            text.push_str(
                "Anyone with this address can read the whole record, costs and names too. It is not encrypted.\n",
            );
            if let Ok(code) = fast_qr::QRBuilder::new(format!("{address}wall.html")).build() {
                text.push_str(&format!("{}\n", code.to_str()));
            }
        }
        text.push_str("Stop with Ctrl-C.\n");
        terminal::print(&text)
    }
}
