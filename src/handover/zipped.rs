//! Files as one zip, the same bytes for the same files.
//!
//! In: files by path. Out: the bytes of a zip: sorted by path, one date, plain rights, nothing of the machine.

use std::io::{Cursor, Write as _};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::press::Pages;

/// The zip of some files.
pub fn zipped(files: &Pages) -> Result<Vec<u8>, zip::result::ZipError> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .compression_level(Some(6))
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (path, bytes) in files {
        writer.start_file(path.as_str(), options.large_file(bytes.len() as u64 >= u64::from(u32::MAX)))?;
        writer.write_all(bytes)?;
    }
    Ok(writer.finish()?.into_inner())
}
