//! The wall over HTTP.
//!
//! In: requests. Out: pages, and a stream of news for each page that is looked at. Read only:
//! nothing but GET and HEAD is answered. On this machine only names of this machine are answered,
//! so that no page of somewhere else can read the record through the browser; for the shop's
//! network the address holds a random key.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::response::sse::{Event, Sse};
use axum::response::{IntoResponse, Response};
use percent_encoding::percent_decode_str;
use tokio::net::TcpListener;
use tokio::time::{Instant, interval_at};
use tokio_stream::wrappers::{BroadcastStream, IntervalStream};
use tokio_stream::{StreamExt, once};

use super::answer::Answer;
use super::board::{Beat, Board, News};

/// A page that hears nothing for longer than a few of these calls itself out of date.
const BEAT: Duration = Duration::from_secs(4);
/// Seconds until a browser asks again for a page that is not there yet.
const ASK_AGAIN: &str = "1";
/// How often the age of the last look is checked.
const AGE: Duration = Duration::from_secs(1);
/// Nothing but our own style sheets, scripts and pictures; no forms, no frames.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; \
                      base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Who may look on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Guests {
    /// This machine only.
    ThisMachine,
    /// Whoever in the network knows the key.
    WithKey(String),
}

impl Guests {
    /// What stands before every path.
    pub fn prefix(&self) -> String {
        match self {
            Self::ThisMachine => "/".to_owned(),
            Self::WithKey(key) => format!("/{key}/"),
        }
    }
}

struct Door {
    board: Arc<Board>,
    guests: Guests,
    prefix: String,
}

/// Answers requests until the program ends.
pub async fn serve(
    listener: TcpListener,
    board: Arc<Board>,
    guests: Guests,
) -> std::io::Result<()> {
    tokio::spawn(watch_the_age(Arc::clone(&board)));
    let door = Arc::new(Door {
        board,
        prefix: guests.prefix(),
        guests,
    });
    axum::serve(
        listener,
        axum::Router::new().fallback(handle).with_state(door),
    )
    .await
}

async fn handle(State(door): State<Arc<Door>>, request: Request) -> Response {
    let head = request.method() == Method::HEAD;
    let mut response = match door.path(&request) {
        Ok(path) if path == "events" => events(&door.board).into_response(),
        Ok(path) => {
            let asked = request.headers().get(header::IF_NONE_MATCH).cloned();
            let board = Arc::clone(&door.board);
            // Pressing a large page takes a while; everybody else is answered meanwhile.
            let answer = tokio::task::spawn_blocking(move || board.answer(&path)).await;
            answer.map_or_else(
                |_| refusal(StatusCode::INTERNAL_SERVER_ERROR),
                |answer| respond(&answer, asked.as_ref()),
            )
        }
        Err(status) => refusal(status),
    };
    guard(response.headers_mut());
    if head {
        *response.body_mut() = Body::empty();
    }
    response
}

impl Door {
    /// The path inside the record that is asked for, where it may be.
    fn path(&self, request: &Request) -> Result<String, StatusCode> {
        if request.method() != Method::GET && request.method() != Method::HEAD {
            return Err(StatusCode::METHOD_NOT_ALLOWED);
        }
        if self.guests == Guests::ThisMachine && !names_this_machine(request.headers()) {
            return Err(StatusCode::FORBIDDEN);
        }
        let inside = request
            .uri()
            .path()
            .strip_prefix(&self.prefix)
            .ok_or(StatusCode::NOT_FOUND)?;
        let path = percent_decode_str(inside)
            .decode_utf8()
            .map_err(|_| StatusCode::NOT_FOUND)?;
        Ok(if path.is_empty() {
            "index.html".to_owned()
        } else {
            path.into_owned()
        })
    }
}

/// Was the request made to a name that only this machine has? A name of somewhere else may have
/// been pointed here.
fn names_this_machine(headers: &HeaderMap) -> bool {
    let Some(host) = headers
        .get(header::HOST)
        .and_then(|host| host.to_str().ok())
    else {
        return false;
    };
    let name = host
        .rsplit_once(':')
        .filter(|(_, port)| port.bytes().all(|byte| byte.is_ascii_digit()));
    matches!(
        name.map_or(host, |(name, _)| name),
        "localhost" | "127.0.0.1" | "[::1]"
    )
}

fn respond(answer: &Answer, asked: Option<&HeaderValue>) -> Response {
    let status = StatusCode::from_u16(answer.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let tag = [
        (header::ETAG, answer.tag.clone()),
        (header::CONTENT_TYPE, answer.kind.to_owned()),
    ];
    if status == StatusCode::SERVICE_UNAVAILABLE {
        return (
            status,
            [(header::REFRESH, ASK_AGAIN)],
            tag,
            answer.bytes.to_vec(),
        )
            .into_response();
    }
    if status == StatusCode::OK
        && asked.is_some_and(|asked| asked.as_bytes() == answer.tag.as_bytes())
    {
        return (StatusCode::NOT_MODIFIED, tag).into_response();
    }
    (status, tag, answer.bytes.to_vec()).into_response()
}

fn refusal(status: StatusCode) -> Response {
    let allow = [(header::ALLOW, "GET, HEAD")];
    match status {
        StatusCode::METHOD_NOT_ALLOWED => {
            (status, allow, "This record is read-only.\n").into_response()
        }
        StatusCode::FORBIDDEN => {
            (status, "This record is shown on this machine only.\n").into_response()
        }
        _ => (status, "This address has no page.\n").into_response(),
    }
}

/// What holds for every answer.
fn guard(headers: &mut HeaderMap) {
    let rules: [(HeaderName, &'static str); 5] = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-cache"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
    ];
    for (name, value) in rules {
        headers.insert(name, HeaderValue::from_static(value));
    }
}

/// The news: the latest at once, then each as it comes, and a beat every few seconds.
fn events(board: &Arc<Board>) -> impl IntoResponse + use<> {
    let (now, later) = board.listen();
    let (board, beating) = (Arc::clone(board), Arc::clone(board));
    // Whoever fell behind is told the latest.
    let later = BroadcastStream::new(later).map(move |news| news.unwrap_or_else(|_| board.news()));
    let events = once(now).chain(later).map(|news| told(&news));
    let beats = IntervalStream::new(interval_at(Instant::now() + BEAT, BEAT))
        .map(move |_| beat(&beating.beat()));
    Sse::new(events.merge(beats).map(Ok::<Event, Infallible>))
}

/// Tells everybody soon after the last look at the book is too long ago: whoever looks at it may be
/// hanging.
async fn watch_the_age(board: Arc<Board>) {
    let mut every = tokio::time::interval(AGE);
    loop {
        every.tick().await;
        board.tell_the_age();
    }
}

/// A page that hears it knows that somebody is there, and when the book was looked at last.
fn beat(beat: &Beat) -> Event {
    Event::default()
        .event("beat")
        .data(serde_json::to_string(beat).unwrap_or_default())
}

fn told(news: &News) -> Event {
    // News has only numbers, truth values and text, which can always be put into words.
    let data = serde_json::to_string(news).unwrap_or_default();
    Event::default()
        .event("book")
        .id(news.number.to_string())
        .data(data)
}
