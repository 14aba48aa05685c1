//! The record on the wall while the crew works.
//!
//! In: the book's folder and a theme. Out: pages over HTTP that change by themselves when something
//! is saved. Two threads' worth of work meet at the [`Board`]: one looks at the book and hangs up
//! what it has become, the other answers requests. Only what the book has is ever answered, and
//! nothing is written.

mod answer;
mod board;
mod prints;
mod serve;
mod watch;

use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Arc;

pub use board::{Beat, Board, News};
pub use serve::Guests;
pub use watch::{Notice, keep_looking};

use crate::io::FileError;
use crate::open_book::{OpenBook, WorkedBook};
use crate::render::Theme;

/// A look at a book: worked out where it changed since the last one.
pub type Look = Box<dyn FnMut() -> Result<Option<WorkedBook>, FileError> + Send>;

/// Looks at the book in a folder. After a look that broke off it is opened anew, with the same
/// texts to fall back to.
pub fn looks_at(folder: &Path) -> Look {
    let (mut book, mut last) = (Some(OpenBook::new(folder)), None);
    let folder = folder.to_owned();
    Box::new(move || {
        // Of a book whose look broke off nothing can be relied on.
        let mut open = book.take().unwrap_or_else(|| match last.clone() {
            Some(last) => OpenBook::new(&folder).after(last),
            None => OpenBook::new(&folder),
        });
        let found = open.look()?;
        if let Some(worked) = &found {
            last = Some(worked.build.last.clone());
        }
        book = Some(open);
        Ok(found)
    })
}

/// A wall that can be reached, and nobody answered yet.
pub struct Wall {
    listener: std::net::TcpListener,
    guests: Guests,
    board: Arc<Board>,
}

impl Wall {
    /// Takes a port; 0 takes a free one.
    pub fn open(port: u16, guests: Guests, theme: Theme) -> std::io::Result<Self> {
        let on = if guests == Guests::ThisMachine {
            Ipv4Addr::LOCALHOST
        } else {
            Ipv4Addr::UNSPECIFIED
        };
        let listener = std::net::TcpListener::bind(SocketAddr::from((on, port)))?;
        listener.set_nonblocking(true)?;
        Ok(Self {
            listener,
            guests,
            board: Arc::new(Board::new(theme)),
        })
    }

    /// Where the cover is to be found.
    pub fn address(&self) -> std::io::Result<String> {
        let port = self.listener.local_addr()?.port();
        let host = if self.guests == Guests::ThisMachine {
            Ipv4Addr::LOCALHOST.into()
        } else {
            own_address()
        };
        Ok(format!(
            "http://{}{}",
            SocketAddr::new(host, port),
            self.guests.prefix()
        ))
    }

    /// Keeps the pages current and answers whoever asks, until the program ends.
    pub fn stand(self, folder: &Path, notice: Notice) -> std::io::Result<()> {
        self.stand_by(looks_at(folder), folder, notice)
    }

    /// The same, with a look of the caller's whenever something in the folder may have been saved.
    pub fn stand_by(self, mut look: Look, folder: &Path, notice: Notice) -> std::io::Result<()> {
        let (board, folder) = (Arc::clone(&self.board), folder.to_owned());
        let keep = move || loop {
            let ended = catch_unwind(AssertUnwindSafe(|| {
                keep_looking(&folder, notice, || board.look(&mut look));
            }));
            // It never ends but by breaking off.
            drop(ended);
            board.broke_off();
            std::thread::sleep(watch::TICK);
        };
        std::thread::Builder::new()
            .name("looks at the book".to_owned())
            .spawn(keep)?;
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_all()
            .build()?;
        runtime.block_on(async {
            let listener = tokio::net::TcpListener::from_std(self.listener)?;
            serve::serve(listener, self.board, self.guests).await
        })
    }
}

/// The address under which the network knows this machine: the one it would send from. Nothing is
/// sent.
fn own_address() -> IpAddr {
    // An address set aside for documentation (RFC 5737), which nobody has.
    let asked = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).and_then(|socket| {
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9))?;
        socket.local_addr()
    });
    asked.map_or(Ipv4Addr::LOCALHOST.into(), |address| address.ip())
}

/// A key that nobody guesses: 128 random bits.
pub fn random_key() -> Result<String, getrandom::Error> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes)?;
    Ok(format!("{:032x}", u128::from_be_bytes(bytes)))
}
