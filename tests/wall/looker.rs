//! Somebody who looks on: a plain HTTP client, and a listener to the stream of news.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::Duration;

/// Longer than any answer takes, so that a test ends.
const PATIENCE: Duration = Duration::from_secs(30);

/// The news of one page that is looked at.
pub struct Looker {
    stream: BufReader<TcpStream>,
}

impl Looker {
    /// Listens to the news under an address such as `http://127.0.0.1:8437/`.
    pub fn new(address: &str) -> Self {
        Self {
            stream: BufReader::new(ask("GET", address, "events", "")),
        }
    }

    /// The next news, as JSON; beats are passed over.
    pub fn news(&mut self) -> serde_json::Value {
        self.next("book")
    }

    /// The next beat, as JSON; news are passed over.
    pub fn beat(&mut self) -> serde_json::Value {
        self.next("beat")
    }

    fn next(&mut self, wanted: &str) -> serde_json::Value {
        let mut event = String::new();
        loop {
            let mut line = String::new();
            assert!(
                self.stream.read_line(&mut line).unwrap() > 0,
                "the stream ended"
            );
            if let Some(name) = line.strip_prefix("event: ") {
                name.trim_end().clone_into(&mut event);
            }
            if let Some(data) = line.strip_prefix("data: ").filter(|_| event == wanted) {
                return serde_json::from_str(data).unwrap();
            }
        }
    }

    /// Waits until the book hangs there as it is.
    pub fn current(&mut self) -> serde_json::Value {
        loop {
            let news = self.news();
            if news["current"] == true {
                return news;
            }
        }
    }
}

/// An answer.
pub struct Answer {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Answer {
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// The value of a header, by its name in small letters.
    pub fn header(&self, name: &str) -> Option<&str> {
        self.head
            .lines()
            .find_map(|line| {
                line.split_once(": ")
                    .filter(|(key, _)| key.eq_ignore_ascii_case(name))
            })
            .map(|(_, value)| value)
    }
}

/// Gets a path below an address.
pub fn get(address: &str, path: &str) -> Answer {
    request("GET", address, path, "")
}

/// Asks for a path below an address, with further headers, each ended by `\r\n`; a `Host:` among
/// them goes before our own.
pub fn request(method: &str, address: &str, path: &str, headers: &str) -> Answer {
    let mut bytes = Vec::new();
    ask(
        method,
        address,
        path,
        &format!("{headers}Connection: close\r\n"),
    )
    .read_to_end(&mut bytes)
    .unwrap();
    let end = bytes
        .windows(4)
        .position(|window| window == b"\r\n\r\n")
        .unwrap();
    let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
    let status = head.split(' ').nth(1).unwrap().parse().unwrap();
    Answer {
        status,
        head,
        body: bytes[end + 4..].to_vec(),
    }
}

fn ask(method: &str, address: &str, path: &str, headers: &str) -> TcpStream {
    let (host, prefix) = address
        .strip_prefix("http://")
        .unwrap()
        .split_once('/')
        .unwrap();
    let mut stream = TcpStream::connect(host).unwrap();
    stream.set_read_timeout(Some(PATIENCE)).unwrap();
    let own = if headers.contains("Host:") {
        String::new()
    } else {
        format!("Host: {host}\r\n")
    };
    write!(
        stream,
        "{method} /{prefix}{path} HTTP/1.1\r\n{own}{headers}\r\n"
    )
    .unwrap();
    stream
}
