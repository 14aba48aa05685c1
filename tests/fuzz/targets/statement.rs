#![no_main]

#[path = "../feed/mod.rs"]
mod feed;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| feed::statement(&String::from_utf8_lossy(bytes)));
