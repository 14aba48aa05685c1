//! A theme: templates and a style sheet, compiled in or one's own.
//!
//! In: a built-in theme's name, or the texts of one's own files. Out: something that renders pages.
//! All themes share their templates and `form.css`, which says where things stand; a theme's
//! `style.css` says how they look. A theme of one's own may hold only the files it changes; the
//! others come from `paper`.

use std::collections::BTreeMap;
use std::fmt;

use tera::{Context, Tera};

use super::breaks;
use super::clean::clean;

/// What all themes share.
const SHARED: [(&str, &str); 16] = [
    (
        "layout.html",
        include_str!("../../themes/paper/layout.html"),
    ),
    ("parts.html", include_str!("../../themes/paper/parts.html")),
    ("cover.html", include_str!("../../themes/paper/cover.html")),
    ("day.html", include_str!("../../themes/paper/day.html")),
    ("jobs.html", include_str!("../../themes/paper/jobs.html")),
    (
        "ledger.html",
        include_str!("../../themes/paper/ledger.html"),
    ),
    (
        "as-built.html",
        include_str!("../../themes/paper/as-built.html"),
    ),
    ("hold.html", include_str!("../../themes/paper/hold.html")),
    (
        "methods.html",
        include_str!("../../themes/paper/methods.html"),
    ),
    ("wall.html", include_str!("../../themes/paper/wall.html")),
    (
        "handed.html",
        include_str!("../../themes/paper/handed.html"),
    ),
    (
        "handed-parts.html",
        include_str!("../../themes/paper/handed-parts.html"),
    ),
    ("book.html", include_str!("../../themes/paper/book.html")),
    (WALL_STYLE, include_str!("../../themes/paper/wall.css")),
    (PRINT_STYLE, include_str!("../../themes/paper/print.css")),
    (FORM, include_str!("../../themes/paper/form.css")),
];

/// The built-in themes, the usual one first.
const BUILT_IN: [BuiltIn; 2] = [
    BuiltIn {
        name: "paper",
        style: include_str!("../../themes/paper/style.css"),
        wall_look: include_str!("../../themes/paper/wall-look.css"),
    },
    BuiltIn {
        name: "apron",
        style: include_str!("../../themes/apron/style.css"),
        wall_look: include_str!("../../themes/apron/wall-look.css"),
    },
];

/// What a built-in theme has of its own.
struct BuiltIn {
    name: &'static str,
    style: &'static str,
    wall_look: &'static str,
}

/// Where things stand; comes first on the page's style sheet.
const FORM: &str = "form.css";
/// How they look; comes after it.
const STYLE: &str = "style.css";
/// The colours and letters of the shop screen; comes first on its style sheet.
const WALL_LOOK: &str = "wall-look.css";
/// The rest of the shop screen's style sheet.
const WALL_STYLE: &str = "wall.css";
/// That of the whole book on paper.
const PRINT_STYLE: &str = "print.css";

/// Templates and a style sheet.
#[derive(Debug)]
pub struct Theme {
    tera: Tera,
    style: String,
    wall_style: String,
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

impl From<serde_json::Error> for ThemeError {
    fn from(error: serde_json::Error) -> Self {
        Self(error.to_string())
    }
}

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
    /// The usual built-in theme.
    pub fn built_in() -> Result<Self, ThemeError> {
        Self::with(&BTreeMap::new())
    }

    /// A built-in theme by its name; `None` where none is called so.
    pub fn named(name: &str) -> Option<Result<Self, ThemeError>> {
        let theme = BUILT_IN.iter().find(|theme| theme.name == name)?;
        let own = [(STYLE, theme.style), (WALL_LOOK, theme.wall_look)];
        Some(Self::with(
            &own.map(|(name, text)| (name.to_owned(), text.to_owned()))
                .into(),
        ))
    }

    /// The names of the built-in themes.
    pub fn names() -> impl Iterator<Item = &'static str> {
        BUILT_IN.iter().map(|theme| theme.name)
    }

    /// The usual theme with the given files in place of its own, by name.
    pub fn with(own: &BTreeMap<String, String>) -> Result<Self, ThemeError> {
        let mut files: BTreeMap<&str, &str> = SHARED.into_iter().collect();
        files.insert(STYLE, BUILT_IN[0].style);
        files.insert(WALL_LOOK, BUILT_IN[0].wall_look);
        files.extend(
            own.iter()
                .map(|(name, text)| (name.as_str(), text.as_str())),
        );
        let style = [FORM, STYLE]
            .map(|name| files.remove(name).unwrap_or_default())
            .concat();
        let wall_style = [WALL_LOOK, WALL_STYLE]
            .map(|name| files.remove(name).unwrap_or_default())
            .concat();
        let print_style = files.remove(PRINT_STYLE).unwrap_or_default().to_owned();
        let hash = hash(&files, &style);
        let mut tera = Tera::new();
        tera.register_filter(breaks::NAME, breaks::filter);
        tera.add_raw_templates(files)?;
        Ok(Self {
            tera,
            style,
            wall_style,
            print_style,
            hash,
        })
    }

    /// The style sheet.
    pub fn style(&self) -> &str {
        &self.style
    }

    /// The style sheet of the shop screen.
    pub fn wall_style(&self) -> &str {
        &self.wall_style
    }

    /// The style sheet of the whole book on paper.
    pub fn print_style(&self) -> &str {
        &self.print_style
    }

    /// A hash of what it makes pages from.
    pub fn hash(&self) -> &str {
        &self.hash
    }

    /// A page.
    pub(super) fn render(&self, template: &str, context: &Context) -> Result<Vec<u8>, ThemeError> {
        let mut page = Vec::new();
        self.tera.render_to(template, context, &mut page)?;
        Ok(clean(page))
    }
}

fn hash(files: &BTreeMap<&str, &str>, style: &str) -> String {
    let mut hasher = blake3::Hasher::new();
    for text in files
        .iter()
        .flat_map(|(name, text)| [*name, *text])
        .chain([style])
    {
        hasher.update(&(text.len() as u64).to_le_bytes());
        hasher.update(text.as_bytes());
    }
    hasher.finalize().to_hex().to_string()
}
