//! A browser for one test.
//!
//! In: a test. Out: the test run with a page of its own; browser and driver are closed whether it
//! held or not.

use std::io::{BufRead as _, BufReader, Lines};
use std::process::{Child, ChildStdout, Command, Stdio};

use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::json;
use tempfile::TempDir;

use crate::page::Page;
use crate::tools::{program, skipped};

const FLAGS: [&str; 10] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--hide-scrollbars",
];

/// Runs a test in a browser of its own.
///
/// # Panics
/// With the test; and where `SHIMBOOK_NEEDS_TOOLS=1` is set and no browser is installed.
pub fn in_browser<T, F>(test: T)
where
    T: FnOnce(Page) -> F,
    F: Future<Output = ()> + 'static,
{
    let (Some(chromedriver), Some(chromium)) = (program("chromedriver"), program("chromium"))
    else {
        return skipped("chromium and chromedriver are not installed");
    };
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a runtime");
    let driver = Driver::start(Command::new(chromedriver));
    tokio::task::LocalSet::new().block_on(&runtime, async {
        let client = driver.session(&chromium.to_string_lossy()).await;
        // In a task of its own, so that the browser is closed before a panic travels on.
        let done = tokio::task::spawn_local(test(Page::new(client.clone()))).await;
        client.close().await.expect("the browser closes");
        if let Err(failure) = done {
            std::panic::resume_unwind(failure.into_panic());
        }
    });
}

/// How often a driver is started before a test gives up.
const STARTS: usize = 5;

/// A chromedriver on a port of its own; ended with the test.
struct Driver {
    process: Child,
    port: u16,
    profile: TempDir,
    /// Kept open: a driver that cannot speak ends.
    _words: Lines<BufReader<ChildStdout>>,
}

impl Driver {
    /// Starts a driver. One that finds its port taken meanwhile ends at once, so a few are tried.
    fn start(mut command: Command) -> Self {
        command
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null());
        (0..STARTS)
            .find_map(|_| Self::started(&mut command))
            .expect("chromedriver tells its port")
    }

    /// `None` if it ended without telling its port.
    fn started(command: &mut Command) -> Option<Self> {
        let mut process = command.spawn().expect("chromedriver starts");
        let mut words = BufReader::new(process.stdout.take().expect("its words are read")).lines();
        let port = words
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| port_in(&line));
        let Some(port) = port else {
            process.wait().expect("it has ended");
            return None;
        };
        Some(Self {
            process,
            port,
            profile: tempfile::tempdir().expect("a folder"),
            _words: words,
        })
    }

    async fn session(&self, chromium: &str) -> Client {
        let mut flags: Vec<String> = FLAGS.map(str::to_owned).to_vec();
        flags.push(format!("--user-data-dir={}", self.profile.path().display()));
        let options = json!({"binary": chromium, "args": flags});
        let wanted = Capabilities::from_iter([("goog:chromeOptions".to_owned(), options)]);
        let address = format!("http://127.0.0.1:{}", self.port);
        ClientBuilder::new(HttpConnector::new())
            .capabilities(wanted)
            .connect(&address)
            .await
            .expect("chromium starts")
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // Already ended is as good.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// `ChromeDriver was started successfully on port 40123.`
fn port_in(line: &str) -> Option<u16> {
    line.split_once("started successfully on port ")?
        .1
        .trim_end_matches('.')
        .parse()
        .ok()
}
