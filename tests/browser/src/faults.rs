//! What may be wrong with an open page, found by looking.
//!
//! In: an open [`Page`]. Out: one sentence a fault; none where all is well.

use serde_json::json;

use crate::page::Page;
use crate::tools::npm;

/// Elements wider than the page, text that is cut off, and things to touch that are too small for a
/// finger on a phone.
pub async fn layout(page: &Page) -> Vec<String> {
    page.script(include_str!("layout.js")).await
}

/// Texts of drawings that lie on one another or leave their drawing.
pub async fn overlaps(page: &Page) -> Vec<String> {
    page.script(include_str!("overlaps.js")).await
}

/// What axe-core finds, contrast included; `None` where `npm ci` has not been run in
/// `tests/browser`.
///
/// # Panics
/// Where the script cannot be run.
pub async fn accessibility(page: &Page) -> Option<Vec<String>> {
    let axe = std::fs::read_to_string(npm("axe-core/axe.min.js")?).expect("it can be read");
    page.script_with::<()>("(0, eval)(arguments[0])", vec![json!(axe)])
        .await;
    let body = "return axe.run(document, {resultTypes: ['violations']}).then(found => found.violations.flatMap(rule =>
        rule.nodes.map(node => `${rule.id}: ${rule.help}: ${node.html.slice(0, 160)} ${node.any.map(a => a.message).join('; ')}`)))";
    Some(page.script(body).await)
}
