//! The whole book on paper, with page numbers in its contents.
//!
//! In: the page to print, and something that prints it. Out: a PDF whose contents say on which page
//! each part begins. A browser can number pages but not refer to one, so the book is printed, the
//! places its links lead to are looked up, the numbers are filled in, and it is printed again until
//! they hold.

use std::collections::BTreeMap;

use lopdf::{Dictionary, Document, Object};

/// Where a number stands: `<span class="page-of" data-of="hold"></span>`.
const BEFORE: &str = "<span class=\"page-of\" data-of=\"";
/// What ends the name of the place, and the number.
const BETWEEN: &str = "\">";

/// Numbers that move the text they stand in settle after the second time.
const TIMES: usize = 3;

/// The pages on which places begin, by the places' names.
type PagesOf = BTreeMap<String, u32>;

/// Prints a page with its numbers; `None` where `print` has nothing to print with.
pub fn on_paper<E>(
    page: &str,
    mut print: impl FnMut(&str) -> Result<Option<Vec<u8>>, E>,
) -> Result<Option<Vec<u8>>, E> {
    let Some(mut pdf) = print(page)? else {
        return Ok(None);
    };
    let mut filled = page.to_owned();
    for _ in 0..TIMES {
        let numbered = number(page, &pages_of(&pdf));
        if numbered == filled {
            break;
        }
        filled = numbered;
        pdf = print(&filled)?.unwrap_or(pdf);
    }
    Ok(Some(pdf))
}

/// The page with the numbers that are known.
fn number(page: &str, pages: &PagesOf) -> String {
    let mut pieces = page.split(BEFORE);
    let mut out = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let (place, after) = piece.split_once(BETWEEN).unwrap_or((piece, ""));
        let number = pages.get(place).map(u32::to_string).unwrap_or_default();
        out.extend([BEFORE, place, BETWEEN, &number, after]);
    }
    out
}

/// Where links of a PDF lead to; nothing where it cannot be read.
fn pages_of(pdf: &[u8]) -> PagesOf {
    let Ok(document) = Document::load_mem(pdf) else {
        return PagesOf::new();
    };
    let numbers: BTreeMap<_, _> = document
        .get_pages()
        .into_iter()
        .map(|(number, page)| (page, number))
        .collect();
    let Some(places) = places(&document) else {
        return PagesOf::new();
    };
    let known = places.iter().filter_map(|(name, place)| {
        let (_, place) = document.dereference(place).ok()?;
        let page = place.as_array().ok()?.first()?.as_reference().ok()?;
        Some((String::from_utf8(name.clone()).ok()?, *numbers.get(&page)?))
    });
    known.collect()
}

fn places(document: &Document) -> Option<&Dictionary> {
    let (_, places) = document
        .dereference(document.catalog().ok()?.get(b"Dests").ok()?)
        .ok()?;
    Object::as_dict(places).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_stand_where_they_are_wanted_and_known() {
        let page = "a <span class=\"page-of\" data-of=\"hold\"></span> b <span class=\"page-of\" data-of=\"x\"></span> c";
        let pages = PagesOf::from([("hold".to_owned(), 3)]);
        assert_eq!(
            number(page, &pages),
            "a <span class=\"page-of\" data-of=\"hold\">3</span> b <span class=\"page-of\" data-of=\"x\"></span> c"
        );
        assert_eq!(number("none", &pages), "none");
    }

    #[test]
    fn what_is_no_pdf_has_no_pages_and_is_printed_once() {
        let mut times = 0;
        let print = |_: &str| {
            times += 1;
            Ok::<_, ()>(Some(b"no PDF".to_vec()))
        };
        assert_eq!(on_paper("<p>", print), Ok(Some(b"no PDF".to_vec())));
        assert_eq!(times, 1);
        assert_eq!(on_paper("<p>", |_: &str| Ok::<_, ()>(None)), Ok(None));
    }
}
