//! Well-known attacks by HTML and addresses, each in a log of its own, wherever a log can say
//! something.
//!
//! In: attack strings. Out: tests that parse the pages as a browser does and look at the tree: no
//! script but ours, no handler, no style, no address of a foreign kind, and the page's own parts
//! where they belong.

use std::fmt::Write as _;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;

use scraper::{ElementRef, Html, Selector};

use super::sound;

/// Markup that means harm.
const MARKUP: [&str; 96] = [
    "<script>canary()</script>",
    "<SCRIPT SRC=//evil.example/x.js></SCRIPT>",
    "<script\n>canary()</script\n>",
    "<scr<script>ipt>canary()</scr</script>ipt>",
    "<script/x>canary()</script>",
    "<script>/*</script><svg onload=canary()>*/",
    "<<script>canary();//<</script>",
    "<img src=x onerror=canary()>",
    "<img src=\"x\" onerror=\"canary()\" />",
    "<img/src=x/onerror=canary()>",
    "<img \"\"\"><script>canary()</script>\">",
    "<img src=`x`onerror=canary()>",
    "<img src=https://evil.example/pixel.png>",
    "<img srcset=\"https://evil.example/a 1x\" alt=a>",
    "<img dynsrc=javascript:canary()>",
    "<b onclick=canary()>a</b>",
    "<b onmouseover='canary()' onfocus=canary() tabindex=0 autofocus>a</b>",
    "<b/onpointerenter=canary()//>a</b>",
    "<b ONCLICK\n=\ncanary()>a</b>",
    "<b \u{c}onclick=canary()>a</b>",
    "<b x=`>` onclick=canary()>a</b>",
    "<b x='\"' onclick=canary() y='\"'>a</b>",
    "<details open ontoggle=canary()>a</details>",
    "<details><summary onclick=canary()>a</summary>b</details>",
    "<abbr title='\" onclick=\"canary()'>a</abbr>",
    "<abbr title='</main><script>canary()</script>'>a</abbr>",
    "<abbr title=\"&quot; onclick=&quot;canary()\">a</abbr>",
    "<marquee onstart=canary()>a</marquee>",
    "<body onload=canary()>",
    "<html onclick=canary()>",
    "<svg onload=canary()>",
    "<svg><script>canary()</script></svg>",
    "<svg><script xlink:href=data:,canary() /></svg>",
    "<svg><a xlink:href=\"javascript:canary()\"><text y=20>a</text></a></svg>",
    "<svg><animate onbegin=canary() attributeName=x dur=1s></svg>",
    "<svg><set attributeName=href to=javascript:canary()></svg>",
    "<svg><use href=\"data:image/svg+xml,<svg id='x' onload='canary()'/>#x\"></svg>",
    "<svg><foreignObject><iframe src=javascript:canary()></iframe></foreignObject></svg>",
    "<svg><style><img src=x onerror=canary()></style></svg>",
    "<svg></p><style><a id=\"</style><img src=1 onerror=canary()>\">",
    "<svg><desc><b></desc><img src onerror=canary()></svg>",
    "<math><mtext><table><mglyph><style><!--</style><img title=\"--&gt;&lt;img src=1 onerror=canary()&gt;\">",
    "<math><mi//xlink:href=\"data:x,<script>canary()</script>\">",
    "<math href=\"javascript:canary()\">a</math>",
    "<math><annotation-xml encoding=\"text/html\"><style><img src onerror=canary()></style></annotation-xml></math>",
    "<form><math><mtext></form><form><mglyph><style></math><img src onerror=canary()>",
    "<noscript><p title=\"</noscript><img src=x onerror=canary()>\">",
    "<noembed><img title=\"</noembed><img src onerror=canary()>\">",
    "<xmp><p title=\"</xmp><svg/onload=canary()>\"></xmp>",
    "<title><a title=\"</title><img src onerror=canary()>\"></title>",
    "<textarea><img title=\"</textarea><img src onerror=canary()>\"></textarea>",
    "<plaintext><script>canary()</script>",
    "<listing>&lt;img src=1 onerror=canary()&gt;</listing>",
    "<template><script>canary()</script></template>",
    "<template shadowrootmode=open><img src onerror=canary()></template>",
    "<select><template><style></select><img src onerror=canary()></style></template></select>",
    "<select><option><img src onerror=canary()></select>",
    "<iframe src=\"javascript:canary()\"></iframe>",
    "<iframe srcdoc=\"&lt;script&gt;canary()&lt;/script&gt;\"></iframe>",
    "<frameset onload=canary()><frame src=x></frameset>",
    "<object data=\"javascript:canary()\"></object>",
    "<object data=\"data:text/html;base64,PHNjcmlwdD5jYW5hcnkoKTwvc2NyaXB0Pg==\"></object>",
    "<embed src=\"javascript:canary()\">",
    "<applet code=canary archive=//evil.example/x.jar></applet>",
    "<base href=\"https://evil.example/\">",
    "<base target=_blank href=javascript:/a/>",
    "<meta http-equiv=refresh content=\"0;url=javascript:canary()\">",
    "<meta http-equiv=\"Content-Security-Policy\" content=\"script-src *\">",
    "<link rel=stylesheet href=https://evil.example/x.css>",
    "<link rel=import href=x.html>",
    "<style>@import 'https://evil.example/x.css';</style>",
    "<style>main{background:url(javascript:canary())}</style>",
    "<b style=\"width:expression(canary())\">a</b>",
    "<b style=\"background:url(https://evil.example/x)\">a</b>",
    "<b style='position:fixed;inset:0'>a</b>",
    "<p style=-moz-binding:url(x#y)>a</p>",
    "<form action=javascript:canary()><input type=submit></form>",
    "<form id=x></form><button form=x formaction=javascript:canary()>a</button>",
    "<input onfocus=canary() autofocus>",
    "<video><source onerror=canary()></video>",
    "<video poster=javascript:canary()></video>",
    "<audio src=x onerror=canary()></audio>",
    "<a href=\"javascript:canary()\">a</a>",
    "<a href=\"java\tscript:canary()\">a</a>",
    "<a href=\"&#x6A;avascript&colon;canary()\">a</a>",
    "<b id=page name=main class=tag>a</b>",
    "</main></div></body></html><script>canary()</script>",
    "</article></main><footer>b</footer>",
    "</p></li></ul></td></tr></table></blockquote></aside>a",
    "<b><i><u>never closed",
    "<details><summary>never closed",
    "<table><tr><td>never closed",
    "<table><b onclick=canary()><tr><td></b><script>canary()</script></table>",
    "<!--><img src=x onerror=canary()>-->",
    "<![CDATA[<img src=x onerror=canary()>]]>",
    "<?php echo '<script>canary()</script>' ?>",
];

/// Addresses that mean harm.
const ADDRESSES: [&str; 44] = [
    "javascript:canary()",
    "JaVaScRiPt:canary()",
    "javascript&colon;canary()",
    "javascript&#58;canary()",
    "&#106;&#97;vascript:canary()",
    "&#x6A&#x61vascript:canary()",
    "java&#9;script:canary()",
    "java&Tab;script:canary()",
    "java&NewLine;script:canary()",
    "java&#10;script:canary()",
    "java&#13;script:canary()",
    "&#1;javascript:canary()",
    "&#14; javascript:canary()",
    "&#x20;javascript:canary()",
    "javascript:%61lert(1)//canary",
    "javascript%3Acanary()",
    "javascript\\:canary()",
    "javascript&amp;colon;canary()",
    "javascript:/*-/*`/*\\`/*'/*\"/**/canary()",
    "javascript://evil.example/%0Acanary()",
    "feed:javascript:canary()",
    "view-source:javascript:canary()",
    "jar:javascript:canary()",
    "data:text/html,<script>canary()</script>",
    "data:text/html;base64,PHNjcmlwdD5jYW5hcnkoKTwvc2NyaXB0Pg==",
    "data:image/svg+xml;utf8,<svg/onload=canary()>",
    "DATA&colon;text/html,canary",
    "vbscript:canary()",
    "file:///etc/passwd",
    "FILE:\\\\\\\\server\\\\share",
    "blob:https://evil.example/x",
    "about:blank",
    "ftp://evil.example/x",
    "//evil.example/x.png",
    "\\\\\\\\evil.example/x.png",
    "/\\\\evil.example/x.png",
    "/etc/passwd",
    "../../../../etc/passwd",
    "..%2f..%2f..%2fsecret",
    "%2e%2e/%2e%2e/secret.png",
    "..\\\\..\\\\secret.png",
    "photos/../../secret.png",
    "C:\\\\secret.png",
    "#\" onclick=\"canary()",
];

/// A log that says an attack wherever it can.
fn log(day: usize, attack: &str) -> String {
    let line = attack.replace('\n', " ");
    let mut log = format!("---\nday: {day}\n---\n# Day {line}\n\n");
    for place in [
        format!("before {attack} behind"),
        format!("*in {line}* **more {line}**"),
        format!(
            "| {0} | b |\n|---|---|\n| c | {0} |",
            line.replace('|', "\\|")
        ),
        format!("> {line}"),
        format!("- {line}\n\n  {line}"),
        format!("1. {line}"),
        format!(
            "[{line}](https://book.example) ![{line}](photos/arch.png \"{}\")",
            line.replace('"', "\\\"")
        ),
        format!("a[^1]\n\n[^1]: {line}"),
        format!("- [x] {line} {{job_{day}}}\n  {line}"),
        format!("```sums\ngap_{day} measured 3 ± 1 mm # {line}\n```"),
        format!("{attack}\n\n</details>\n\n{line}"),
    ] {
        write!(log, "{place}\n\n<!-- -->\n\n").expect("a text grows");
    }
    log + "# The end\n\nall is well\n"
}

/// A log that leads to an address wherever it can.
fn leading(day: usize, address: &str) -> String {
    format!(
        "---\nday: {day}\n---\n[a]({address}) [b](<{address}>) [c][ref] <{address}> ![d]({address}) ![e](<{address}> \"f\")\n\n\
         <a href=\"{address}\">g</a> <img src=\"{address}\" alt=h>\n\n- [x] [i]({address}) {{job_{day}}}\n\n[ref]: {address}\n\n# The end\n\nall is well\n"
    )
}

/// Writes up a book of one log an attack; gives its pages by day.
fn pages(attacks: &[&str], log: fn(usize, &str) -> String) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("a/book");
    lay_down(folder.path(), attacks, log);
    let wrote = super::write_up(&book);
    let said = String::from_utf8_lossy(&wrote.stderr).into_owned();
    assert!(matches!(wrote.status.code(), Some(0 | 1)), "{said}");
    sound::record(&book.join("record")).unwrap();
    let page = |(index, _)| {
        fs::read_to_string(book.join(format!("record/days/day-{:03}.html", index + 1))).unwrap()
    };
    attacks.iter().enumerate().map(page).collect()
}

fn lay_down(folder: &Path, attacks: &[&str], log: fn(usize, &str) -> String) {
    let book = folder.join("a/book");
    fs::create_dir_all(book.join("days")).unwrap();
    fs::create_dir_all(book.join("photos")).unwrap();
    fs::write(folder.join("secret.png"), "canary of the neighbour").unwrap();
    image::RgbImage::new(4, 4)
        .save(book.join("photos/arch.png"))
        .unwrap();
    fs::write(
        book.join("build-sheet.yaml"),
        "title: A\nstart: 2031-05-02\ndays: 200\ncrew: [{name: Ines, hours: 8}]\n",
    )
    .unwrap();
    for (index, attack) in attacks.iter().enumerate() {
        fs::write(
            book.join(format!("days/day-{:03}.md", index + 1)),
            log(index + 1, attack),
        )
        .unwrap();
    }
}

fn all<'a>(page: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    let selector = Selector::parse(selector).unwrap();
    page.select(&selector).collect()
}

/// What is wrong with a page.
fn trouble(page: &str) -> Result<(), String> {
    let html = Html::parse_document(page);
    for own in [
        "head > title",
        "body > .sheet",
        ".sheet > main",
        "main > article.log",
        ".sheet > footer.standing",
        "header",
        "h1:first-of-type",
    ] {
        if all(&html, own).is_empty() || all(&html, own).len() > 1 && !own.starts_with("h1") {
            return Err(format!("{own} is there {} times", all(&html, own).len()));
        }
    }
    for script in all(&html, "script") {
        if script
            .value()
            .attr("src")
            .is_none_or(|src| src != "../record.js")
            || !script.inner_html().is_empty()
        {
            return Err(script.html());
        }
    }
    for element in all(&html, "*") {
        for (name, value) in element.value().attrs() {
            attribute(element, name, value)?;
        }
    }
    // What takes the rest of a log for its own shows it as it was written.
    let last = all(&html, "article.log > p, article.log > pre.unread")
        .into_iter()
        .last()
        .ok_or("no text")?;
    if last.text().collect::<String>().ends_with("all is well") {
        Ok(())
    } else {
        Err("the end is lost".to_owned())
    }
}

fn attribute(element: ElementRef, name: &str, value: &str) -> Result<(), String> {
    let says = || Err(element.html().chars().take(300).collect::<String>());
    let foreign = value
        .split_once(':')
        .is_some_and(|(scheme, _)| !scheme.contains(['#', '/', '?']));
    let sound = ["https:", "mailto:"]
        .iter()
        .any(|known| value.starts_with(known));
    match name {
        _ if name.starts_with("on") => says(),
        "style" | "srcset" | "srcdoc" | "action" | "formaction" | "xlink:href" | "poster"
        | "data" => says(),
        "src" | "href" if foreign && !sound => says(),
        "src" if !(value.starts_with("../photos/") || value == "../record.js") => says(),
        "href"
            if value.starts_with("//")
                || value.contains('\\')
                || value.contains("secret")
                || value.contains("etc/") =>
        {
            says()
        }
        "href" if sound && element.value().attr("rel") != Some("noopener noreferrer") => says(),
        _ => Ok(()),
    }
}

fn hold(attacks: &[&str], log: fn(usize, &str) -> String) {
    let pages = pages(attacks, log);
    let wrong = attacks
        .iter()
        .zip(&pages)
        .filter_map(|(attack, page)| Some(format!("{attack}\n    {}", trouble(page).err()?)));
    let wrong: Vec<String> = wrong.collect();
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        attacks.len(),
        wrong.join("\n")
    );
}

#[test]
fn no_markup_of_a_log_becomes_a_script_a_handler_a_style_or_a_hole_in_the_page() {
    hold(&MARKUP, log);
}

#[test]
fn no_address_of_a_log_runs_anything_or_leads_out_of_the_book() {
    hold(&ADDRESSES, leading);
}

#[test]
fn what_a_page_is_looked_through_for_is_found() {
    let good = pages(&["a"], log).remove(0);
    trouble(&good).unwrap();
    for (from, to) in [
        ("all is well", "<b onclick=x>all is well</b>"),
        ("<p>all is well", "<details><p>all is well"),
        ("all is well", "<a href=javascript:x>all is well</a>"),
        ("all is well", "all is well<script>x</script>"),
        ("all is well</p>", "all is well</p></main><main>"),
        ("all is well", "<i style=x>all is well</i>"),
    ] {
        assert!(trouble(&good.replace(from, to)).is_err(), "{to}");
    }
}

#[test]
fn no_picture_is_read_through_a_link_that_leads_out() {
    let folder = tempfile::tempdir().unwrap();
    let says = |day: usize, _: &str| {
        format!(
            "---\nday: {day}\n---\n![a](../photos/out.png) ![b](photos/away/secret.png) ![c](photos/loop.png) ![d](photos/in.png) ![e](photos/arch.png)\n"
        )
    };
    lay_down(folder.path(), &[""], says);
    let photos = folder.path().join("a/book/photos");
    symlink("../../../secret.png", photos.join("out.png")).unwrap();
    symlink(folder.path(), photos.join("away")).unwrap();
    symlink("loop.png", photos.join("loop.png")).unwrap();
    symlink("arch.png", photos.join("in.png")).unwrap();
    super::write_up(&folder.path().join("a/book"));
    let check = Command::new(env!("CARGO_BIN_EXE_shimbook"))
        .arg("check")
        .arg(folder.path().join("a/book"))
        .output();
    let said = String::from_utf8_lossy(&check.unwrap().stdout).into_owned();
    for words in [
        "`photos/out.png` is outside the book's folder",
        "`photos/away/secret.png` is outside the book's folder",
        "the picture file in `photos/`",
    ] {
        assert!(said.contains(words), "{words}:\n{said}");
    }
    let files = super::lies_in(&folder.path().join("a/book/record"));
    assert!(files.keys().any(|path| path.contains("photos/arch-")));
    assert!(!files.iter().any(
        |(path, bytes)| path.contains("secret") || bytes.windows(6).any(|six| six == b"canary")
    ));
    let page = fs::read_to_string(folder.path().join("a/book/record/days/day-001.html")).unwrap();
    let page = Html::parse_document(&page);
    let shown: Vec<&str> = all(&page, "img")
        .iter()
        .map(|img| img.attr("src").unwrap())
        .collect();
    let ours = |src: &&str| {
        ["../photos/arch-", "../photos/in-"]
            .iter()
            .any(|begins| src.starts_with(begins))
    };
    assert!(shown.len() == 2 && shown.iter().all(ours), "{shown:?}");
}
