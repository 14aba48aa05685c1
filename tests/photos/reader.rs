//! A reader of what files tell beside what they show, which is not ours.
//!
//! In: a folder. Out: what `exiftool` finds in its files.

use std::path::Path;
use std::process::Command;

use serde_json::{Map, Value};

/// What a file may tell: what it is, and how large.
const HARMLESS: [&str; 35] = [
    "SourceFile",
    "ExifTool:ExifToolVersion",
    "Composite:ImageSize",
    "Composite:Megapixels",
    "File:BitsPerSample",
    "File:ColorComponents",
    "File:EncodingProcess",
    "File:FileType",
    "File:FileTypeExtension",
    "File:ImageHeight",
    "File:ImageWidth",
    "File:MIMEType",
    "File:YCbCrSubSampling",
    "JFIF:JFIFVersion",
    "JFIF:ResolutionUnit",
    "JFIF:XResolution",
    "JFIF:YResolution",
    "PNG:BitDepth",
    "PNG:ColorType",
    "PNG:Compression",
    "PNG:Filter",
    "PNG:ImageHeight",
    "PNG:ImageWidth",
    "PNG:Interlace",
    "PNG:Palette",
    "PNG:Transparency",
    "SVG:ImageHeight",
    "SVG:ImageWidth",
    "SVG:ViewBox",
    "SVG:Xmlns",
    "System:Directory",
    "System:FileName",
    "System:FilePermissions",
    "System:FileSize",
    "System:FileType",
];

/// What is told of each file below a folder; nothing, with a word about it, where there is no
/// exiftool.
pub(crate) fn told(folder: &Path) -> Vec<Map<String, Value>> {
    let Ok(read) = Command::new("exiftool")
        .args(["-j", "-a", "-G1", "-ee3", "-r"])
        .arg(folder)
        .output()
    else {
        let needed = std::env::var_os("SHIMBOOK_NEEDS_TOOLS").is_some_and(|needed| needed == "1");
        assert!(
            !needed,
            "exiftool is not installed: apt-get install libimage-exiftool-perl"
        );
        eprintln!("skipped: exiftool is not installed, so nobody else reads the files");
        return Vec::new();
    };
    serde_json::from_slice(&read.stdout).expect("what exiftool tells")
}

/// What a file tells that it should not.
pub(crate) fn telling(of: &Map<String, Value>) -> Vec<&String> {
    let dates = |key: &str| key.starts_with("System:File") && key.ends_with("Date");
    of.keys()
        .filter(|key| !HARMLESS.contains(&key.as_str()) && !dates(key))
        .collect()
}
