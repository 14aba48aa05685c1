//! The whole book on paper, with page numbers in its contents.
//!
//! In: the page to print, and something that prints it. Out: a PDF whose contents say on which page
//! each part begins. A browser can number pages but not refer to one, so the book is printed, the
//! places its links lead to are looked up, the numbers are filled in, and it is printed again until
//! they hold.

use std::collections::BTreeMap;

use hayro_syntax::Pdf;
use hayro_syntax::object::{Array, Dict, Name};

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

/// The pages that the links of a PDF lead to; empty if the PDF cannot be read.
fn pages_of(pdf: &[u8]) -> PagesOf {
    let Ok(pdf) = Pdf::new(pdf.to_vec()) else {
        return PagesOf::new();
    };
    let numbers: BTreeMap<_, _> = (1..)
        .zip(pdf.pages().iter())
        .filter_map(|(number, page)| Some((page.raw().obj_id()?, number)))
        .collect();
    let Some(places) = places(&pdf) else {
        return PagesOf::new();
    };
    let page_of = |name: &Name<'_>| {
        let target = places.get::<Array<'_>>(name)?.raw_iter().next()?;
        numbers.get(&target.as_obj_ref()?.into()).copied()
    };
    let known = places
        .keys()
        .filter_map(|name| Some((name.as_str().to_owned(), page_of(&name)?)));
    known.collect()
}

/// The dictionary of named destinations.
fn places(pdf: &Pdf) -> Option<Dict<'_>> {
    let catalog: Dict<'_> = pdf.xref().get(pdf.xref().root_id())?;
    catalog.get("Dests")
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

    /// A PDF of these objects, numbered from 1 on; the first is the catalog.
    fn pdf_of(objects: &[&str]) -> Vec<u8> {
        let mut pdf = "%PDF-1.4\n".to_owned();
        let mut table = format!("xref\n0 {}\n0000000000 65535 f \n", objects.len() + 1);
        for (number, object) in (1..).zip(objects) {
            table += &format!("{:010} 00000 n \n", pdf.len());
            pdf += &format!("{number} 0 obj\n{object}\nendobj\n");
        }
        let (at, size) = (pdf.len(), objects.len() + 1);
        pdf += &format!("{table}trailer\n<</Size {size}\n/Root 1 0 R>>\nstartxref\n{at}\n%%EOF\n");
        pdf.into_bytes()
    }

    const PAGE: &str = "<</Type /Page /MediaBox [0 0 595 842] /Resources <<>>>>";

    #[test]
    fn the_page_of_each_place_is_counted_through_the_tree_of_pages() {
        let pdf = pdf_of(&[
            "<</Type /Catalog /Pages 2 0 R /Dests 3 0 R>>",
            "<</Type /Pages /Count 3 /Kids [6 0 R 4 0 R]>>",
            "<</day-1 [7 0 R /XYZ 6 792 0] /hold [5 0 R /XYZ 6 777.75 0]\n\
             /cover [6 0 R /Fit] /b#20b 8 0 R /lost [9 0 R /Fit] /odd 3>>",
            "<</Type /Pages /Count 2 /Kids [7 0 R 5 0 R]>>",
            PAGE,
            PAGE,
            PAGE,
            "[5 0 R /Fit]",
        ]);
        let pages = [("b b", 3), ("cover", 1), ("day-1", 2), ("hold", 3)];
        assert_eq!(
            pages_of(&pdf),
            pages.map(|(name, page)| (name.to_owned(), page)).into()
        );
    }

    #[test]
    fn a_pdf_without_places_has_no_numbers() {
        let pdf = pdf_of(&[
            "<</Type /Catalog /Pages 2 0 R>>",
            "<</Type /Pages /Count 1 /Kids [3 0 R]>>",
            PAGE,
        ]);
        assert_eq!(pages_of(&pdf), PagesOf::new());
        assert_eq!(pages_of(&pdf[..pdf.len() / 2]), PagesOf::new());
    }

    #[test]
    fn a_page_is_printed_until_its_numbers_hold() {
        let page = "<span class=\"page-of\" data-of=\"hold\"></span>";
        let printed = |last: &str| {
            pdf_of(&[
                "<</Type /Catalog /Pages 2 0 R /Dests 3 0 R>>",
                "<</Type /Pages /Count 2 /Kids [4 0 R 5 0 R]>>",
                &format!("<</hold [{last} 0 R /Fit]>>"),
                PAGE,
                PAGE,
            ])
        };
        let mut seen = Vec::new();
        let print = |page: &str| {
            seen.push(page.to_owned());
            // The first number moves its place to the next page.
            Ok::<_, ()>(Some(printed(if seen.len() == 1 { "4" } else { "5" })))
        };
        assert_eq!(on_paper(page, print), Ok(Some(printed("5"))));
        let filled = |number: &str| page.replace("></", &format!(">{number}</"));
        assert_eq!(seen, [page.to_owned(), filled("1"), filled("2")]);
    }
}
