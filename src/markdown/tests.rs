//! What the walk makes of a log.

use super::*;
use crate::diagnostics::{Severity, Slug};
use crate::source::{Position, Sources};

struct Page {
    sources: Sources,
    walked: Walked,
}

fn page(text: &str) -> Page {
    let mut sources = Sources::default();
    let file = sources.add("days/day-01.md", text);
    let set = |paths: &[&str]| paths.iter().map(|path| (*path).to_owned()).collect();
    let around = Surroundings {
        logs: set(&["days/day-01.md", "days/day-02.md"]),
        photos: set(&["photos/arch.png"]),
        refused_photos: set(&["photos/out"]),
        closed_photos: set(&["photos/locked"]),
    };
    let walked = walk(sources.text(file), file, 0, &around);
    Page { sources, walked }
}

impl Page {
    fn html(&self) -> String {
        html(&self.walked.prose)
    }

    fn said(&self) -> Vec<(Slug, usize, usize, &str)> {
        let said = self.walked.diagnostics.iter().map(|found| {
            let Position { line, column } = self.sources.position(found.at);
            (found.slug, line, column, found.message.as_str())
        });
        said.collect()
    }

    fn marks(&self) -> Vec<String> {
        let slice = |span| self.sources.slice(span);
        let text = |mark: &Mark| match mark {
            Mark::Job(job) => {
                format!(
                    "{} {}|{}",
                    if job.ticked { "x" } else { "-" },
                    slice(job.title),
                    slice(job.tail)
                )
            }
            Mark::Fence(fence) => {
                format!(
                    "{:?} {:?}",
                    fence.kind,
                    fence
                        .lines
                        .iter()
                        .map(|line| slice(*line))
                        .collect::<Vec<_>>()
                )
            }
        };
        self.walked.marks.iter().map(text).collect()
    }
}

fn html(prose: &Prose) -> String {
    let piece = |piece: &Piece| match piece {
        Piece::Html(html) => html.clone(),
        Piece::Entry(n) => format!("[entry {n}]"),
        Piece::Reference(reference) => format!("[ref {}]", reference.text),
        Piece::Photo(photo) => {
            format!("[photo {} {:?} {:?}]", photo.path, photo.alt, photo.caption)
        }
        Piece::Shop(prose) => format!("[shop {}]", html(prose)),
        Piece::Unread { text, .. } => format!("[unread {text:?}]"),
    };
    prose.pieces.iter().map(piece).collect()
}

#[test]
fn a_job_is_taken_out_of_its_item_and_the_rest_stays() {
    let page = page(
        "- [x] Ream *it* {box_plate, by A_b * c}\n  then *this*\n- [ ] plain\n- [ ] {motor}\n",
    );
    assert_eq!(
        page.marks(),
        ["x Ream *it*|box_plate, by A_b * c", "- |motor"]
    );
    assert_eq!(
        page.html(),
        "<ul>\n<li class=\"job\">[entry 0]then <em>this</em></li>\n\
         <li><input type=\"checkbox\" disabled aria-label=\"to do\"> plain</li>\n<li class=\"job\">[entry 1]</li>\n</ul>\n"
    );
    assert_eq!(
        page.sources.slice(page.walked.marks[0].span()),
        "[x] Ream *it* {box_plate, by A_b * c}"
    );
}

#[test]
fn a_loose_list_gives_the_rest_of_a_job_its_own_paragraph() {
    let page = page(
        "- [ ] One {a}\n\n  > - [x] Two {b, temp: *x}\n  >   more\n\n- [ ] Three {c}\n  more\n",
    );
    assert_eq!(page.marks(), ["- One|a", "x Two|b, temp: *x", "- Three|c"]);
    assert_eq!(
        page.html(),
        "<ul>\n<li class=\"job\">[entry 0]<blockquote>\n<ul>\n<li class=\"job\">[entry 1]more</li>\n</ul>\n</blockquote>\n</li>\n\
         <li class=\"job\">[entry 2]<p>more</p>\n</li>\n</ul>\n"
    );
}

#[test]
fn a_tail_that_is_not_at_the_end_of_the_first_line_is_warned_of() {
    let page =
        page("- [ ] One {a, by Ines,\n  takes 3 h}\n- [ ] Two {b, by Odd}.\n- [ ] Set {x} of 3\n");
    let message = "this text in braces is not read, so this is not a job";
    assert_eq!(
        page.said(),
        [
            (Slug::BadTail, 1, 11, message),
            (Slug::BadTail, 3, 11, message)
        ]
    );
    assert!(page.marks().is_empty());
}

#[test]
fn blocks_of_ours_count_at_any_depth_and_by_their_first_word() {
    let page = page(
        "> - x\n>\n>   ```sums extra\n>     a = 1 mm  \n>\n>   b = 2\n>   ```\n\n~~~~ parts\nx: in\n~~~~\n\n```rust\nlet x;\n```\n```drawing\nband a\n```",
    );
    assert_eq!(
        page.marks(),
        [
            "Sums [\"a = 1 mm\", \"b = 2\"]",
            "Parts [\"x: in\"]",
            "Drawing [\"band a\"]"
        ]
    );
    assert!(
        page.html()
            .contains("<pre><code class=\"language-rust\">let x;\n</code></pre>")
    );
    assert_eq!(
        page.sources.slice(page.walked.marks[1].span()),
        "~~~~ parts\nx: in\n~~~~"
    );
}

#[test]
fn a_block_that_is_not_closed_is_shown_and_not_read() {
    let page = page("one\n\n> ```sums\n> a = 1\n\ntwo\n\n```parts\nx: in\n");
    let message = "this block is not closed, so its lines are not read";
    assert_eq!(
        page.said(),
        [
            (Slug::OpenBlock, 3, 3, message),
            (Slug::OpenBlock, 8, 1, message)
        ]
    );
    assert_eq!(
        page.html(),
        "<p>one</p>\n<blockquote>\n[unread \"```sums\\n> a = 1\"]</blockquote>\n<p>two</p>\n[unread \"```parts\\nx: in\"]"
    );
    assert!(page.marks().is_empty());
}

#[test]
fn a_block_that_swallows_the_next_one_is_not_closed() {
    let page = page("```sums\na = 1\n\n```parts\nx: in\n```\n");
    assert_eq!(page.said()[0].0, Slug::OpenBlock);
    assert!(page.marks().is_empty());
}

#[test]
fn nothing_in_a_shop_block_states_anything() {
    let page = page(
        "> ```` shop\n> # Own\n> - [x] Swear {swear}\n>\n> ```sums\n> a = 1\n> ```\n> `a` [x](no.md)\n> ````\n\n# Own\n",
    );
    assert!(page.marks().is_empty());
    let html = page.html();
    assert!(
        html.contains("[shop <h1 id=\"own\">Own</h1>\n<ul>\n<li><input"),
        "{html}"
    );
    assert!(
        html.contains("Swear {swear}") && html.contains("<code class=\"language-sums\">a = 1"),
        "{html}"
    );
    assert!(
        html.contains("[ref a]") && html.ends_with("<h1 id=\"own-2\">Own</h1>\n"),
        "{html}"
    );
    assert_eq!(
        page.said(),
        [
            (
                Slug::NotRead,
                3,
                5,
                "this is not a job: Shimbook does not read `shop` blocks"
            ),
            (Slug::BadLink, 8, 7, "`no.md` is not in the book"),
        ]
    );
    assert_eq!(page.walked.headings.len(), 1);
}

#[test]
fn harmless_html_works_and_the_rest_goes_with_a_word() {
    let page = page(
        "a<br>b <b onclick=\"x\">c *d*</b><br /> CO<sub>2</sub> <span>e</span>\n\n<script>alert(1)</script>\n",
    );
    assert_eq!(
        page.html(),
        "<p>a<br>b <b>c <em>d</em></b><br> CO<sub>2</sub> e</p>\n\n"
    );
    assert_eq!(
        page.said(),
        [
            (Slug::RawHtml, 1, 8, "`onclick` of `<b>` is omitted"),
            (Slug::RawHtml, 1, 54, "`<span>` is omitted"),
            (Slug::RawHtml, 3, 1, "`<script>` is omitted"),
        ]
    );
}

#[test]
fn a_raw_tag_closes_where_it_was_opened_or_not_at_all() {
    let page = page(
        "a <b>b\n\n*c <i>d* e</i> </b>\n\n| <u>f | g</u> |\n|---|---|\n| <s>h</s> | [<q>i](day-01.md)</q> |\n",
    );
    assert_eq!(
        page.html(),
        "<p>a b</p>\n<p><em>c d</em> e </p>\n<table>\n<thead><tr><th scope=\"col\">f</th><th scope=\"col\">g</th></tr></thead>\
         <tbody>\n<tr><td><s>h</s></td><td><a href=\"day-01.html\">i</a></td></tr>\n</tbody></table>\n"
    );
    assert_eq!(page.said().len(), 8);
    assert_eq!(
        page.said()[0],
        (
            Slug::RawHtml,
            1,
            3,
            "`<b>` is not closed in its paragraph, so it is omitted"
        )
    );
    assert_eq!(
        page.said()[2],
        (
            Slug::RawHtml,
            3,
            11,
            "`</i>` has no opening tag here, so it is omitted"
        )
    );
}

#[test]
fn details_may_hold_markdown_and_never_more_than_they_stand_in() {
    let fold = page(
        "<details><summary>More</summary>\n\n- [x] *Do* it {job_1}\n\n<b>c</b>\n</DETAILS>\n\nd\n",
    );
    assert_eq!(
        fold.html(),
        "<details><summary>More</summary>\n<ul>\n<li class=\"job\">[entry 0]</li>\n</ul>\n<p><b>c</b></p>\n</details>\n<p>d</p>\n"
    );
    assert_eq!(fold.said(), []);
    let open = page("> <details>\n> a\n\nb\n\n</details>\n\n<table><tr><td><details>\n\nc\n");
    assert_eq!(
        open.html(),
        "<blockquote>\n<details>\na\n</details>\n</blockquote>\n<p>b</p>\n\n\
         <table><tbody><tr><td><details>\n</details></td></tr></tbody></table>\n<p>c</p>\n"
    );
    assert_eq!(
        open.said()[0],
        (
            Slug::RawHtml,
            1,
            3,
            "`<details>` is not closed here, so it ends with these lines"
        )
    );
}

#[test]
fn html_that_takes_the_rest_of_the_log_is_an_error_and_a_comment_is_none() {
    let page = page("a <!-- b -->\n\n<!-- c -->\n\n<!-- d\n\n- [ ] One {a}\n");
    assert_eq!(
        page.html(),
        "<p>a </p>\n[unread \"<!-- d\\n\\n- [ ] One {a}\"]"
    );
    assert_eq!(
        page.said(),
        [(
            Slug::OpenBlock,
            5,
            1,
            "this comment is not closed, so nothing after it is read"
        )]
    );
}

#[test]
fn links_lead_to_the_web_to_pages_of_the_book_and_to_headings() {
    let page = page(
        "# Top\n[a](https://x.y/?a=1&b) [b](day-02.md#tail) [c](../plan.md) [d](../parts.yaml) [e](#top) <m@x.y>\n",
    );
    let html = page.html();
    for href in ["day-02.html#tail", "../jobs.html", "../ledger.html", "#top"] {
        assert!(
            html.contains(&format!("<a href=\"{href}\">")),
            "{href}: {html}"
        );
    }
    for href in ["https://x.y/?a=1&amp;b", "mailto:m@x.y"] {
        assert!(
            html.contains(&format!("<a href=\"{href}\" rel=\"noopener noreferrer\">")),
            "{href}: {html}"
        );
    }
    assert_eq!(page.said(), []);
}

#[test]
fn other_links_show_as_their_words() {
    let page = page(
        "[a](javascript:x) [b](dya-01.md) [c](../../etc/passwd) [d](#nowhere) [e](file:///x) [f](//x.y)\n",
    );
    assert_eq!(page.html(), "<p>a b c d e f</p>\n");
    let said: Vec<_> = page
        .said()
        .into_iter()
        .map(|(slug, _, column, message)| (slug, column, message))
        .collect();
    assert_eq!(
        said[0],
        (Slug::BadLink, 1, "this kind of link is not supported")
    );
    assert_eq!(
        said[1],
        (Slug::BadLink, 19, "`dya-01.md` is not in the book")
    );
    assert_eq!(
        said[2],
        (
            Slug::OutsideBook,
            34,
            "`../../etc/passwd` is outside the book's folder"
        )
    );
    assert_eq!(
        said[5],
        (Slug::BadLink, 56, "this page has no heading `#nowhere`")
    );
    assert_eq!(
        page.walked.diagnostics[1].instead.as_deref(),
        Some("day-01.md")
    );
    assert!(
        page.walked
            .diagnostics
            .iter()
            .all(|found| found.severity == Severity::Warning)
    );
}

#[test]
fn pictures_come_from_the_books_folder_only() {
    let page = page(
        "![Arch *lip*](../photos/arch.png \"Full lock\") ![b](photos/arch.png)\n![c](photos/arhc.png) ![d](https://x.y/z.png) ![e](photos/out/z.png) ![f](../../z.png)\n",
    );
    assert_eq!(
        page.html(),
        "<p>[photo photos/arch.png \"Arch lip\" Some(\"Full lock\")] [photo photos/arch.png \"b\" None]\n[photo photos/arhc.png \"c\" None] d e f</p>\n"
    );
    let slugs: Vec<Slug> = page.said().iter().map(|said| said.0).collect();
    assert_eq!(
        slugs,
        [
            Slug::NoPhoto,
            Slug::BadLink,
            Slug::OutsideBook,
            Slug::BadLink
        ]
    );
    assert_eq!(
        page.walked.diagnostics[0].instead.as_deref(),
        Some("photos/arch.png")
    );
}

#[test]
fn inline_code_that_is_exactly_an_id_is_a_reference() {
    let page = page("`gap` `motor.mass` `a.b.c` `2x` `x y` [`gap`](#x)\n\n# `gap`\n");
    assert_eq!(
        page.html(),
        "<p>[ref gap] [ref motor.mass] <code>a.b.c</code> <code>2x</code> <code>x y</code> <code>gap</code></p>\n<h1 id=\"gap\">[ref gap]</h1>\n"
    );
}

#[test]
fn tables_and_notes_are_written_out() {
    let page = page("| a | b |\n|---|--:|\n| 1 | x[^n] |\n\n[^n]: Why\n");
    assert_eq!(
        page.html(),
        "<table>\n<thead><tr><th scope=\"col\">a</th><th scope=\"col\" class=\"right\">b</th></tr></thead><tbody>\n\
         <tr><td>1</td><td class=\"right\">x<sup id=\"from_note_1\"><a href=\"#note_1\">1</a></sup></td></tr>\n</tbody></table>\n\
         <div class=\"note\" id=\"note_1\"><sup>1</sup>\n<p>Why</p>\n</div>\n"
    );
}

#[test]
fn an_empty_cell_at_the_head_of_a_table_heads_no_column() {
    assert!(
        page("| | b |\n|---|---|\n| 1 | 2 |\n")
            .html()
            .contains("<tr><td></td><th scope=\"col\">b</th></tr>")
    );
}

#[test]
fn deep_nesting_is_bounded_and_said_once() {
    let page = page(&format!("{} x\n", ">".repeat(500)));
    assert_eq!(
        page.html().matches("<blockquote>").count(),
        page.html().matches("</blockquote>").count()
    );
    assert_eq!(page.said().len(), 1);
    assert_eq!(page.said()[0].0, Slug::TooDeep);
}

#[test]
fn the_first_heading_comes_as_plain_text() {
    let page = page("x\n\nReduction *box* `on`\n===\n\n## Two\n");
    assert_eq!(page.walked.headings[0].text, "Reduction box on");
    assert_eq!(page.walked.headings[1].level, 2);
}

#[test]
fn a_picture_in_a_folder_that_cannot_be_read_is_not_said_to_be_missing() {
    let page = page("![a](../photos/locked/a.png)\n");
    let said = page.said();
    assert_eq!(said[0].0, Slug::Unreadable, "{said:?}");
    assert!(said[0].3.contains("its folder cannot be read"), "{said:?}");
}
