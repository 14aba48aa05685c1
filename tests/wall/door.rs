//! Who is let in, and what is never given out.

use crate::looker::{get, request};
use crate::standing::Standing;

#[test]
fn only_the_record_is_served_and_never_the_books_folder() {
    let wall = Standing::with(&[]);
    let ways_out = [
        "build-sheet.yaml",
        "days/day-01.md",
        "../build-sheet.yaml",
        "days/../../build-sheet.yaml",
        "%2e%2e/build-sheet.yaml",
        "..%2fbuild-sheet.yaml",
        "days/%2e%2e%2f%2e%2e%2fbuild-sheet.yaml",
        "/etc/passwd",
        "%2fetc%2fpasswd",
        "photos/../build-sheet.yaml",
        "days/day-01.html%00",
        "%ff",
        "days",
        "days/",
        ".shimbook-pages",
    ];
    for path in ways_out {
        assert_eq!(wall.get(path).status, 404, "{path}");
    }
    for path in [
        "",
        "index.html",
        "jobs.html",
        "wall.html",
        "style.css",
        "wall.js",
        "record.js",
        "search-data.js",
        "record.json",
        "days/day-01.html",
    ] {
        assert_eq!(wall.get(path).status, 200, "{path}");
    }
}

#[cfg(unix)]
#[test]
fn a_photo_that_is_a_link_out_of_the_book_is_not_there() {
    let mut wall = Standing::with(&[]);
    std::fs::create_dir(wall.book().join("photos")).unwrap();
    std::fs::write(wall.home().join("secret.png"), "secret").unwrap();
    std::os::unix::fs::symlink(
        wall.home().join("secret.png"),
        wall.book().join("photos/out.png"),
    )
    .unwrap();
    let text = wall.read("days/day-02.md");
    wall.save(
        "days/day-02.md",
        &format!("{text}\n![out](../photos/out.png)\n"),
    );
    assert_eq!(wall.get("photos/out.png").status, 404);
}

#[test]
fn nothing_but_reading_is_answered() {
    let wall = Standing::with(&[]);
    for method in ["POST", "PUT", "DELETE", "OPTIONS", "PATCH"] {
        let answer = request(method, &wall.address, "", "");
        assert_eq!(
            (answer.status, answer.header("allow")),
            (405, Some("GET, HEAD")),
            "{method}"
        );
    }
    let head = request("HEAD", &wall.address, "", "");
    assert_eq!((head.status, head.body.len()), (200, 0));
}

#[test]
fn a_name_of_somewhere_else_that_was_pointed_here_is_refused() {
    let wall = Standing::with(&[]);
    for host in [
        "elsewhere.example",
        "elsewhere.example:8437",
        "127.0.0.1.elsewhere.example",
        "localhost.elsewhere.example:1",
    ] {
        assert_eq!(
            request("GET", &wall.address, "", &format!("Host: {host}\r\n")).status,
            403,
            "{host}"
        );
    }
    for host in ["localhost", "localhost:8437", "127.0.0.1:1", "[::1]:8437"] {
        assert_eq!(
            request("GET", &wall.address, "", &format!("Host: {host}\r\n")).status,
            200,
            "{host}"
        );
    }
}

#[test]
fn in_the_shops_network_nothing_is_given_out_without_the_key() {
    let wall = Standing::with(&["--lan"]);
    let (host, key) = wall
        .address
        .strip_prefix("http://")
        .unwrap()
        .split_once('/')
        .unwrap();
    let key = key.trim_end_matches('/');
    assert!(
        key.len() == 32 && key.bytes().all(|byte| byte.is_ascii_hexdigit()),
        "{key}"
    );
    assert!(
        wall.said.contains('█') && wall.said.contains("not encrypted"),
        "{}",
        wall.said
    );
    assert_eq!(wall.get("").status, 200);
    let other: String = key.chars().rev().collect();
    for path in [
        "",
        "index.html",
        "wall.html",
        "events",
        &format!("{other}/"),
        &key[..31],
        key,
    ] {
        assert_eq!(get(&format!("http://{host}/"), path).status, 404, "{path}");
    }
}

#[test]
fn two_walls_have_two_keys() {
    let (one, two) = (Standing::with(&["--lan"]), Standing::with(&["--lan"]));
    let key = |wall: &Standing| wall.address.rsplit('/').nth(1).unwrap().to_owned();
    assert_ne!(key(&one), key(&two));
}

#[test]
fn every_answer_lets_nothing_in_from_outside() {
    let wall = Standing::with(&[]);
    for path in [
        "",
        "wall.html",
        "days/day-01.html",
        "style.css",
        "nowhere.html",
    ] {
        let answer = wall.get(path);
        let policy = answer.header("content-security-policy").unwrap();
        assert!(
            policy.starts_with("default-src 'none'")
                && !policy.contains("unsafe")
                && !policy.contains('*'),
            "{policy}"
        );
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert_eq!(answer.header("referrer-policy"), Some("no-referrer"));
    }
}

#[test]
fn a_page_that_has_not_changed_is_not_sent_again() {
    let mut wall = Standing::with(&[]);
    let tag = wall
        .get("days/day-01.html")
        .header("etag")
        .unwrap()
        .to_owned();
    let again = |wall: &Standing| {
        request(
            "GET",
            &wall.address,
            "days/day-01.html",
            &format!("If-None-Match: {tag}\r\n"),
        )
    };
    assert_eq!((again(&wall).status, again(&wall).body.len()), (304, 0));
    let day_2 = wall.read("days/day-02.md");
    wall.save("days/day-02.md", &format!("{day_2}\nOne more line.\n"));
    assert_eq!(again(&wall).status, 304);
    let day_1 = wall.read("days/day-01.md");
    wall.save("days/day-01.md", &format!("{day_1}\nOne more line.\n"));
    assert_eq!(again(&wall).status, 200);
}

#[test]
fn a_port_that_is_taken_is_said_with_what_to_do() {
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let wall = Standing::with(&[]);
    let port = taken.local_addr().unwrap().port().to_string();
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_shimbook"))
        .args(["wall", wall.book().to_str().unwrap(), "--port", &port])
        .output()
        .unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(
        said.contains("cannot be used") && said.contains("--port 0"),
        "{said}"
    );
}
