//! The record on the wall while the crew works.
//!
//! In: the book's folder and a theme. Out: pages over HTTP that change by themselves when something is saved. Two
//! threads' worth of work meet at the [`Board`]: one looks at the book and hangs up what it has become, the other
//! answers requests. Only what the book has is ever answered, and nothing is written.

mod answer;
mod board;
mod prints;
mod serve;
mod watch;

use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::Path;
use std::sync::Arc;

pub use board::{Board, News};
pub use serve::Guests;
pub use watch::{Notice, keep_looking};

use crate::open_book::OpenBook;
use crate::press::Theme;

/// Looks at a book again and again, and keeps the board current. Never ends.
pub fn keep_current(folder: &Path, notice: Notice, board: &Board) -> ! {
    let mut book = OpenBook::new(folder);
    keep_looking(folder, notice, || match book.look() {
        Ok(Some(worked)) => board.hang(worked),
        Ok(None) => board.still_right(),
        Err(error) => board.take_no_word_for_it(&format!("The book cannot be read: {}.", error.message)),
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
        let on = if guests == Guests::ThisMachine { Ipv4Addr::LOCALHOST } else { Ipv4Addr::UNSPECIFIED };
        let listener = std::net::TcpListener::bind(SocketAddr::from((on, port)))?;
        listener.set_nonblocking(true)?;
        Ok(Self { listener, guests, board: Arc::new(Board::new(theme)) })
    }

    /// Where the cover is to be found.
    pub fn address(&self) -> std::io::Result<String> {
        let port = self.listener.local_addr()?.port();
        let host = if self.guests == Guests::ThisMachine { Ipv4Addr::LOCALHOST.into() } else { own_address() };
        Ok(format!("http://{}{}", SocketAddr::new(host, port), self.guests.prefix()))
    }

    /// Keeps the pages current and answers whoever asks, until the program ends.
    pub fn stand(self, folder: &Path, notice: Notice) -> std::io::Result<()> {
        let (board, folder) = (Arc::clone(&self.board), folder.to_owned());
        std::thread::Builder::new()
            .name("looks at the book".to_owned())
            .spawn(move || keep_current(&folder, notice, &board))?;
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
        runtime.block_on(async {
            let listener = tokio::net::TcpListener::from_std(self.listener)?;
            serve::serve(listener, self.board, self.guests).await
        })
    }
}

/// The address under which the network knows this machine: the one it would send from. Nothing is sent.
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
