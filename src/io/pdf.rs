//! A page printed to PDF by the browser of this machine.
//!
//! In: files by path, and which of them to print. Out: the PDF's bytes; nothing where no browser is
//! found. Only our own files are loaded, and there is no script in them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use super::FileError;

/// Programs that print a page, as PATH may have them.
const PROGRAMS: [&str; 2] = ["chromium", "chromium-browser"];
/// No book takes longer.
const LONGEST: Duration = Duration::from_mins(3);

/// The page `page` of `files` as a PDF; `None` where no browser is on PATH.
pub fn print_pdf(
    files: &BTreeMap<String, Vec<u8>>,
    page: &str,
) -> Result<Option<Vec<u8>>, FileError> {
    let Some(program) = PROGRAMS.iter().find_map(|name| on_path(name)) else {
        return Ok(None);
    };
    let failed = |why: &str| {
        FileError::new(
            format!("{} did not print {page}: {why}", program.display()),
            BY_HAND,
        )
    };
    let shop = tempfile::tempdir().map_err(|cause| failed(&cause.to_string()))?;
    for (path, bytes) in files {
        let on_disk = shop.path().join("files").join(path);
        let folder = on_disk.parent().unwrap_or(shop.path());
        std::fs::create_dir_all(folder)
            .and_then(|()| std::fs::write(&on_disk, bytes))
            .map_err(|cause| failed(&cause.to_string()))?;
    }
    let pdf = shop.path().join("record.pdf");
    let mut child = command(&program, shop.path(), &pdf, page)
        .spawn()
        .map_err(|cause| failed(&cause.to_string()))?;
    if !ends_in_time(&mut child) {
        return Err(failed("it took too long"));
    }
    let bytes = std::fs::read(&pdf).map_err(|_| failed("it wrote no PDF"))?;
    Ok(Some(without_clock(bytes)))
}

/// What to do where this machine cannot print by itself.
pub(super) const BY_HAND: &str = "open the handover's book.html in a browser and print it to PDF";

fn command(program: &Path, shop: &Path, pdf: &Path, page: &str) -> Command {
    let mut command = Command::new(program);
    command
        .args([
            "--headless",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
        ])
        .args([
            "--disable-component-update",
            "--disable-sync",
            "--disable-dev-shm-usage",
            "--no-pdf-header-footer",
        ])
        // The sandbox wants rights that containers and root do not give; nothing but our own files
        // is loaded.
        .arg("--no-sandbox")
        .arg(format!(
            "--user-data-dir={}",
            shop.join("profile").display()
        ))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(shop.join("files").join(page))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

/// Waits for the end; a program that does not come to one is stopped.
fn ends_in_time(child: &mut Child) -> bool {
    let began = Instant::now();
    while began.elapsed() < LONGEST {
        match child.try_wait() {
            Ok(Some(_)) => return true,
            Ok(None) => std::thread::sleep(Duration::from_millis(50)),
            Err(_) => break,
        }
    }
    // It may have ended just now; then there is nothing to stop.
    let _ = child.kill();
    let _ = child.wait();
    false
}

fn on_path(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .filter(|folder| folder.is_absolute())
        .map(|folder| folder.join(name))
        .find(|file| file.is_file())
}

/// The PDF with its dates set to one that says nothing: the same book prints the same at any time
/// of day. The dates keep their length, for a PDF knows its pieces by where they begin.
fn without_clock(mut pdf: Vec<u8>) -> Vec<u8> {
    for key in [&b"/CreationDate (D:"[..], b"/ModDate (D:"] {
        let mut from = 0;
        while let Some(at) = pdf[from..]
            .windows(key.len())
            .position(|window| window == key)
        {
            from += at + key.len();
            pdf[from..]
                .iter_mut()
                .take_while(|byte| **byte != b')')
                .filter(|byte| byte.is_ascii_digit())
                .for_each(|byte| *byte = b'0');
        }
    }
    pdf
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_dates_of_a_pdf_keep_their_length_and_say_nothing() {
        let pdf = b"<</CreationDate (D:20310502101112+00'00')\n/ModDate (D:20310502)>> 12".to_vec();
        assert_eq!(
            without_clock(pdf),
            b"<</CreationDate (D:00000000000000+00'00')\n/ModDate (D:00000000)>> 12"
        );
    }
}
