//! An SVG goes out without what runs, what loads and what tells.

use shimbook::photos::{PhotoKind, Size, Trouble, develop, look};

use crate::shop::{Shop, pictures};

fn svg(inside: &str) -> Vec<u8> {
    format!(
        "<?xml version=\"1.0\"?><!-- by canary --><svg xmlns=\"http://www.w3.org/2000/svg\" \
         xmlns:xlink=\"http://www.w3.org/1999/xlink\" xmlns:ed=\"http://editor/canary\" ed:name=\"canary\" \
         viewBox=\"0 0 40 20\" onload=\"canary()\">{inside}</svg>"
    )
    .into_bytes()
}

fn cleaned(inside: &str) -> String {
    let bytes = svg(inside);
    let facts = look(&bytes).expect("an SVG");
    assert_eq!(
        (facts.kind, facts.extent(Size::Large)),
        (PhotoKind::Svg, (1600, 800))
    );
    String::from_utf8(develop(&bytes, &facts).expect("an SVG").large).expect("text")
}

#[test]
fn shapes_text_and_paint_stay_as_they_are() {
    let drawn = cleaned(
        "<defs><linearGradient id=\"g\"><stop offset=\"0\" stop-color=\"#fff\"/></linearGradient></defs>\
         <style>.a{fill:url(#g)}/* canary */</style><g transform=\"scale(2)\"><path class=\"a\" d=\"M0 0h9\"/>\
         <use xlink:href=\"#g\"/><text x=\"1\">5 &lt; 6 &amp; &#xb1;<tspan>7</tspan></text></g>",
    );
    assert_eq!(
        drawn,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 40 20\"><defs><linearGradient id=\"g\"><stop offset=\"0\" \
         stop-color=\"#fff\"></stop></linearGradient></defs><style>.a{fill:url(#g)} </style><g transform=\"scale(2)\">\
         <path class=\"a\" d=\"M0 0h9\"></path><use href=\"#g\"></use><text x=\"1\">5 &lt; 6 &amp; ±<tspan>7</tspan></text></g></svg>"
    );
}

#[test]
fn no_attack_and_no_telling_part_comes_through() {
    for attack in [
        "<script>canary()</script>",
        "<script xlink:href=\"http://canary/x.js\"/>",
        "<s:script xmlns:s=\"http://www.w3.org/2000/svg\">canary()</s:script>",
        "<foreignObject><body xmlns=\"http://www.w3.org/1999/xhtml\"><img src=\"x\" onerror=\"canary()\"/></body></foreignObject>",
        "<rect onclick=\"canary()\" ONLOAD=\"canary()\"/>",
        "<a href=\"javascript:canary()\"><rect/></a>",
        "<use href=\"http://canary/x.svg#a\"/><use xlink:href=\"data:image/svg+xml,canary\"/>",
        "<rect fill=\"url(http://canary/)\" style=\"fill:url('//canary')\"/>",
        "<style>@import 'http://canary';</style><style>rect{fill:u\\72l(//canary)}</style>",
        "<style><![CDATA[@font-face{src:url(http://canary)}]]></style>",
        "<rect><animate attributeName=\"href\" to=\"canary\"/><set attributeName=\"onload\" to=\"canary\"/></rect>",
        "<metadata>canary</metadata><title>canary</title><desc>canary</desc><ed:guide>canary</ed:guide>",
        "<rect ed:label=\"canary\" data-by=\"canary\" aria-label=\"canary\"/><!-- canary --><?canary canary?>canary",
        "<iframe src=\"canary\"/><h:img xmlns:h=\"http://www.w3.org/1999/xhtml\" src=\"canary\"/>",
        "<rect xmlns=\"http://www.w3.org/1999/xhtml\" id=\"canary\"/>",
        "<filter id=\"f\"><feTile result=\"canary\"/></filter>",
        "<rect xml:base=\"http://canary/\" fill=\"&#117;rl(//canary)\"/>",
    ] {
        let drawn = cleaned(attack);
        assert!(
            !drawn.contains("canary") && !drawn.contains("on"),
            "{attack} gives {drawn}"
        );
    }
}

#[test]
fn declarations_pictures_in_pictures_and_what_is_no_svg_are_refused() {
    let looked = |bytes: &[u8]| look(bytes).expect_err("refused");
    let declares = [
        b"<!DOCTYPE svg [<!ENTITY a \"b\">]>".as_slice(),
        &svg("<text>&a;</text>"),
    ]
    .concat();
    assert_eq!(looked(&declares), Trouble::SvgDeclares);
    assert_eq!(looked(&svg("<text>&a;</text>")), Trouble::SvgDeclares);
    assert_eq!(looked(&svg("<rect id=\"&a;\"/>")), Trouble::SvgDeclares);
    assert_eq!(
        looked(&svg("<image href=\"data:image/png;base64,AAAA\"/>")),
        Trouble::SvgShowsPicture
    );
    for no_svg in [
        "<svg></svg>",
        "<html><svg xmlns=\"http://www.w3.org/2000/svg\"/></html>",
        "<svg xmlns=\"http://www.w3.org/2000/svg\">",
    ] {
        assert_eq!(looked(no_svg.as_bytes()), Trouble::NoSvg, "{no_svg}");
    }
    let two = [svg(""), svg("")].concat();
    assert_eq!(looked(&two), Trouble::NoSvg);
}

#[test]
fn things_used_ten_times_ten_times_over_are_refused() {
    let level = |n: u32| {
        format!(
            "<g id=\"a{n}\">{}</g>",
            format!("<use href=\"#a{}\"/>", n - 1).repeat(10)
        )
    };
    let bomb: String = (1..12).map(level).collect();
    assert_eq!(
        look(&svg(&format!("<rect id=\"a0\"/>{bomb}"))),
        Err(Trouble::SvgTooLarge)
    );
    assert_eq!(
        look(&svg("<g id=\"a\"><use href=\"#a\"/></g>")),
        Err(Trouble::SvgTooLarge)
    );
    let deep = format!("{}{}", "<g>".repeat(100_000), "</g>".repeat(100_000));
    assert_eq!(look(&svg(&deep)), Err(Trouble::SvgTooLarge));
    let link = |n: u32| format!("<g id=\"a{n}\"><use href=\"#a{}\"/></g>", n - 1);
    let chain = (1..50_000).map(link).collect::<Vec<_>>().concat();
    assert_eq!(look(&svg(&chain)), Err(Trouble::SvgTooLarge));
}

#[test]
fn a_drawing_is_shown_from_the_record_as_it_was_written_anew() {
    let shop = Shop::with(&[("plate.svg", svg("<rect onclick=\"canary()\" width=\"9\"/>"))]);
    let files = shop.write_up();
    let pictures = pictures(&files);
    let (path, bytes) = pictures.iter().next().expect("a picture");
    assert!(
        path.starts_with("photos/plate-") && path.split('.').next_back() == Some("svg"),
        "{path}"
    );
    assert!(
        bytes.starts_with(b"<svg xmlns=") && !String::from_utf8_lossy(bytes).contains("canary")
    );
}
