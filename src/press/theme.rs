//! A theme: templates and a style sheet, compiled in or one's own.
//!
//! In: the texts of a theme's files. Out: something that renders pages. A theme of one's own may hold
//! only the files it changes; the others come from the built-in one.

use std::collections::BTreeMap;
use std::fmt;

use tera::{Context, Tera};

/// The files of the built-in theme.
const BUILT_IN: [(&str, &str); 14] = [
    ("layout.html", include_str!("../../themes/paper/layout.html")),
    ("parts.html", include_str!("../../themes/paper/parts.html")),
    ("cover.html", include_str!("../../themes/paper/cover.html")),
    ("day.html", include_str!("../../themes/paper/day.html")),
    ("jobs.html", include_str!("../../themes/paper/jobs.html")),
    ("ledger.html", include_str!("../../themes/paper/ledger.html")),
    ("as-built.html", include_str!("../../themes/paper/as-built.html")),
    ("hold.html", include_str!("../../themes/paper/hold.html")),
    ("methods.html", include_str!("../../themes/paper/methods.html")),
    ("handed.html", include_str!("../../themes/paper/handed.html")),
    ("handed-parts.html", include_str!("../../themes/paper/handed-parts.html")),
    ("book.html", include_str!("../../themes/paper/book.html")),
    (STYLE, include_str!("../../themes/paper/style.css")),
    (PRINT_STYLE, include_str!("../../themes/paper/print.css")),
];

/// The files that are no templates: the style of every page, and of the whole book on paper.
const STYLE: &str = "style.css";
const PRINT_STYLE: &str = "print.css";

/// Templates and a style sheet.
#[derive(Debug)]
pub struct Theme {
    tera: Tera,
    style: String,
    print_style: String,
    hash: String,
}

/// What is wrong with a theme's template, with file, line and column.
#[derive(Debug)]
pub struct ThemeError(String);

impl fmt::Display for ThemeError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "the theme cannot be used: {}", self.0)
    }
}

impl std::error::Error for ThemeError {}

impl From<tera::Error> for ThemeError {
    fn from(error: tera::Error) -> Self {
        let mut words = error.to_string();
        let mut cause = std::error::Error::source(&error);
        while let Some(inner) = cause {
            words = format!("{words}: {inner}");
            cause = inner.source();
        }
        Self(words)
    }
}

impl Theme {
    /// The built-in theme.
    pub fn built_in() -> Result<Self, ThemeError> {
        Self::with(&BTreeMap::new())
    }

    /// The built-in theme with the given files in place of its own, by name.
    pub fn with(own: &BTreeMap<String, String>) -> Result<Self, ThemeError> {
        let mut files: BTreeMap<&str, &str> = BUILT_IN.into_iter().collect();
        files.extend(own.iter().map(|(name, text)| (name.as_str(), text.as_str())));
        let style = files.remove(STYLE).unwrap_or_default().to_owned();
        let print_style = files.remove(PRINT_STYLE).unwrap_or_default().to_owned();
        let hash = hash(&files, &style);
        let mut tera = Tera::new();
        tera.add_raw_templates(files)?;
        Ok(Self { tera, style, print_style, hash })
    }

    /// The style sheet.
    pub fn style(&self) -> &str {
        &self.style
    }

    /// The style sheet of the whole book on paper.
    pub fn print_style(&self) -> &str {
        &self.print_style
    }

    /// A hash of the files that the record is pressed with.
    pub fn hash(&self) -> &str {
        &self.hash
    }

    /// A page.
    pub(super) fn render(&self, template: &str, context: &Context) -> Result<Vec<u8>, ThemeError> {
        let mut page = Vec::new();
        self.tera.render_to(template, context, &mut page)?;
        Ok(page)
    }
}

fn hash(files: &BTreeMap<&str, &str>, style: &str) -> String {
    let mut hasher = blake3::Hasher::new();
    for text in files.iter().flat_map(|(name, text)| [*name, *text]).chain([style]) {
        hasher.update(&(text.len() as u64).to_le_bytes());
        hasher.update(text.as_bytes());
    }
    hasher.finalize().to_hex().to_string()
}
