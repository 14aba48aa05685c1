//! A page in the browser.
//!
//! In: an address and a [`Look`]. Out: what a reader could see or do there. Every step panics with
//! its own words where the browser refuses it: a test has nothing better to do.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use base64::Engine as _;
use fantoccini::actions::{InputSource as _, KeyAction, KeyActions};
use fantoccini::key::Key;
use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, Locator};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use crate::written::folder;

/// How a page is looked at.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// Width of the window in px.
    pub width: u32,
    /// Does the reader ask for dark pages?
    pub dark: bool,
    /// Are scripts allowed?
    pub scripts: bool,
    /// Height of the window in px, if it is not the usual one for the width.
    pub height: Option<u32>,
    /// Does the reader ask for less motion?
    pub still: bool,
}

impl Look {
    /// Light, with scripts, at a width in px. A narrow one is a phone.
    pub fn at(width: u32) -> Self {
        Self {
            width,
            dark: false,
            scripts: true,
            height: None,
            still: false,
        }
    }

    /// The same, dark.
    #[must_use]
    pub fn dark(self) -> Self {
        Self { dark: true, ..self }
    }

    /// The same, with scripts forbidden.
    #[must_use]
    pub fn without_scripts(self) -> Self {
        Self {
            scripts: false,
            ..self
        }
    }

    /// The same in a window of another height in px.
    #[must_use]
    pub fn high(self, height: u32) -> Self {
        Self {
            height: Some(height),
            ..self
        }
    }

    /// The same for a reader who asks for less motion.
    #[must_use]
    pub fn still(self) -> Self {
        Self {
            still: true,
            ..self
        }
    }

    /// `390-dark`, or `1280x577-dark` in a window of another height.
    pub fn name(self) -> String {
        let height = self
            .height
            .map_or_else(String::new, |height| format!("x{height}"));
        format!(
            "{}{height}-{}",
            self.width,
            if self.dark { "dark" } else { "light" }
        )
    }

    fn height(self) -> u32 {
        self.height.unwrap_or(if self.is_phone() {
            844
        } else {
            self.width * 5 / 8
        })
    }

    fn is_phone(self) -> bool {
        self.width < 600
    }
}

/// Waits until every photo is there, also those further down that would come when they are scrolled
/// to.
const PHOTOS_IN: &str = "for (const photo of document.images) photo.loading = 'eager';
    return Promise.all([...document.images].map(photo => photo.decode().catch(() => null))).then(() => null)";

/// How long [`Page::until`] waits.
const PATIENCE: Duration = Duration::from_secs(15);

/// A page in a browser of its own.
#[derive(Clone, Debug)]
pub struct Page {
    client: Client,
}

impl Page {
    pub(crate) fn new(client: Client) -> Self {
        Self { client }
    }

    /// Opens an address, and waits until all of the page is there.
    pub async fn open(&self, address: &str, look: Look) {
        self.resize(look).await;
        let scheme = if look.dark { "dark" } else { "light" };
        let motion = if look.still {
            "reduce"
        } else {
            "no-preference"
        };
        let features = json!([
            {"name": "prefers-color-scheme", "value": scheme},
            {"name": "prefers-reduced-motion", "value": motion},
        ]);
        self.devtools(
            "Emulation.setEmulatedMedia",
            json!({"media": "", "features": features}),
        )
        .await;
        self.devtools(
            "Emulation.setScriptExecutionDisabled",
            json!({"value": !look.scripts}),
        )
        .await;
        self.client
            .goto(address)
            .await
            .unwrap_or_else(|cause| panic!("{address}: {cause}"));
        // Where scripts are forbidden, the driver comes back while a long page is still being read.
        self.until("document.readyState === 'complete'").await;
    }

    /// Gives the window the size of a look.
    pub async fn resize(&self, look: Look) {
        let (width, height, phone) = (look.width, look.height(), look.is_phone());
        let size =
            json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": phone});
        self.devtools("Emulation.setDeviceMetricsOverride", size)
            .await;
    }

    /// Runs a script in every page that is opened from now on, before any script of the page.
    pub async fn before_each_page(&self, script: &str) {
        self.devtools(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({"source": script}),
        )
        .await;
    }

    /// Shows the open page as it would be printed, or on screen again.
    pub async fn as_printed(&self, printed: bool) {
        self.devtools(
            "Emulation.setEmulatedMedia",
            json!({"media": if printed { "print" } else { "" }}),
        )
        .await;
    }

    /// Runs a script's body (`return document.title`) and gives what it returns.
    pub async fn script<T: DeserializeOwned>(&self, body: &str) -> T {
        self.script_with(body, Vec::new()).await
    }

    /// Runs a script's body with `arguments`; a promise is waited for.
    pub async fn script_with<T: DeserializeOwned>(&self, body: &str, arguments: Vec<Value>) -> T {
        let given = self
            .client
            .execute(body, arguments)
            .await
            .unwrap_or_else(|cause| panic!("{body}: {cause}"));
        serde_json::from_value(given).unwrap_or_else(|cause| panic!("{body}: {cause}"))
    }

    /// Waits until a script's expression is true.
    ///
    /// # Panics
    /// Where it is still false after 15 s.
    pub async fn until(&self, expression: &str) {
        let since = Instant::now();
        while !self
            .script::<bool>(&format!("return Boolean({expression})"))
            .await
        {
            assert!(since.elapsed() < PATIENCE, "still not so: {expression}");
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// The text of the first element that a CSS selector finds, as it is seen.
    pub async fn text(&self, css: &str) -> String {
        let found = self
            .client
            .find(Locator::Css(css))
            .await
            .unwrap_or_else(|cause| panic!("{css}: {cause}"));
        found
            .text()
            .await
            .unwrap_or_else(|cause| panic!("{css}: {cause}"))
    }

    /// Clicks the first element that a CSS selector finds.
    pub async fn click(&self, css: &str) {
        let found = self
            .client
            .find(Locator::Css(css))
            .await
            .unwrap_or_else(|cause| panic!("{css}: {cause}"));
        found
            .click()
            .await
            .unwrap_or_else(|cause| panic!("{css}: {cause}"));
    }

    /// Presses keys one after the other, wherever the focus is; `fantoccini::key::Key` names the
    /// others: `char::from(Key::Tab).to_string()`.
    pub async fn keys(&self, keys: &str) {
        let strokes = keys
            .chars()
            .fold(KeyActions::new("keys".to_owned()), |strokes, value| {
                strokes
                    .then(KeyAction::Down { value })
                    .then(KeyAction::Up { value })
            });
        self.client
            .perform_actions(strokes)
            .await
            .unwrap_or_else(|cause| panic!("{keys:?}: {cause}"));
    }

    /// Presses the tabulator until the focus is on what a CSS selector finds.
    ///
    /// # Panics
    /// Where it never comes there.
    pub async fn tab_to(&self, css: &str) {
        let there = format!("return document.activeElement.matches({})", json!(css));
        for _ in 0..400 {
            if self.script::<bool>(&there).await {
                return;
            }
            self.keys(&char::from(Key::Tab).to_string()).await;
        }
        panic!("the tabulator never comes to {css}");
    }

    /// Scrolls to a height in px from the top, and gives where the page came to rest.
    pub async fn scroll(&self, to: f64) -> f64 {
        let body =
            "window.scrollTo({top: arguments[0], behavior: 'instant'}); return window.scrollY";
        self.script_with(body, vec![json!(to)]).await
    }

    /// Keeps a picture of the whole page, all its photos in it, as `target/browser/NAME.png`.
    pub async fn screenshot(&self, name: &str) {
        self.script::<()>(PHOTOS_IN).await;
        let body = "const r = document.documentElement; return [r.clientWidth, Math.max(r.scrollHeight, r.clientHeight)]";
        let (width, height): (f64, f64) = self.script(body).await;
        let clip = json!({"x": 0, "y": 0, "width": width, "height": height, "scale": 1});
        let how = json!({"format": "png", "captureBeyondViewport": true, "clip": clip});
        let taken = self.devtools("Page.captureScreenshot", how).await;
        keep(&format!("{name}.png"), &taken);
    }

    /// Keeps the page as it would be printed on A4 as `target/browser/NAME.pdf`, and gives where
    /// that lies.
    pub async fn pdf(&self, name: &str) -> PathBuf {
        let how = json!({"preferCSSPageSize": true, "paperWidth": 8.27, "paperHeight": 11.69});
        let taken = self.devtools("Page.printToPDF", how).await;
        keep(&format!("{name}.pdf"), &taken)
    }

    /// Gives the browser a command of its developer tools' protocol.
    pub async fn devtools(&self, command: &'static str, params: Value) -> Value {
        let asked = self.client.issue_cmd(Devtools { command, params }).await;
        asked.unwrap_or_else(|cause| panic!("{command}: {cause}"))
    }
}

/// Writes the bytes that the developer tools gave.
fn keep(name: &str, taken: &Value) -> PathBuf {
    let data = taken["data"].as_str().expect("the browser gives bytes");
    let bytes = base64::engine::general_purpose::STANDARD
        .decode(data)
        .expect("as base64");
    let path = folder().join(name);
    std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
    std::fs::write(&path, bytes).expect("kept");
    path
}

/// A command of the developer tools, by way of chromedriver.
#[derive(Debug)]
struct Devtools {
    command: &'static str,
    params: Value,
}

impl WebDriverCompatibleCommand for Devtools {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!(
            "session/{}/goog/cdp/execute",
            session.unwrap_or_default()
        ))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        let body = json!({"cmd": self.command, "params": self.params});
        (http::Method::POST, Some(body.to_string()))
    }
}
