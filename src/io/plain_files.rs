//! Plain files only: what is looked at before anything is opened.
//!
//! In: a path and the folder it must stay in. Out: what stands there, or its bytes. A pipe, a
//! device or a folder in place of a file is never opened, and a link that leads out is never
//! followed.

use std::fs::{File, OpenOptions, Permissions};
use std::io::{ErrorKind, Read};
use std::path::Path;

use tempfile::NamedTempFile;

use super::FileError;

/// What stands at a path, links followed only where they stay inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum PathKind {
    Nothing,
    /// A link whose target is not there.
    Dangling,
    File,
    Folder,
    /// A pipe, a device, a socket.
    Other,
    /// A link whose target lies outside.
    Outside,
}

/// What stands at `path`; `root` is the canonical folder it must stay in. Fails where the system
/// does not tell: that is never the same as nothing.
pub(super) fn stands(path: &Path, root: &Path) -> std::io::Result<PathKind> {
    let missing = |cause: &std::io::Error| cause.kind() == ErrorKind::NotFound;
    match path.symlink_metadata() {
        Ok(_) => {}
        Err(cause) if missing(&cause) => return Ok(PathKind::Nothing),
        Err(cause) => return Err(cause),
    }
    let real = match path.canonicalize() {
        Ok(real) => real,
        Err(cause) if missing(&cause) => return Ok(PathKind::Dangling),
        Err(cause) => return Err(cause),
    };
    if !real.starts_with(root) {
        return Ok(PathKind::Outside);
    }
    let about = real.metadata()?;
    Ok(match about {
        about if about.is_file() => PathKind::File,
        about if about.is_dir() => PathKind::Folder,
        _ => PathKind::Other,
    })
}

/// Opens a plain file. A link, a pipe or a device that was put in its place is not opened, and
/// never waited for.
pub(super) fn open(path: &Path) -> std::io::Result<File> {
    let mut options = File::options();
    never_wait(options.read(true));
    let file = options.open(path)?;
    if file.metadata()?.is_file() {
        Ok(file)
    } else {
        Err(std::io::Error::other("it is not a plain file"))
    }
}

#[cfg(unix)]
fn never_wait(options: &mut OpenOptions) {
    use std::os::unix::fs::OpenOptionsExt;
    let flags = rustix::fs::OFlags::NONBLOCK | rustix::fs::OFlags::NOFOLLOW;
    options.custom_flags(flags.bits().cast_signed());
}

#[cfg(not(unix))]
fn never_wait(_: &mut OpenOptions) {}

/// The bytes of a plain file, or `None` where it holds more than `limit`.
pub(super) fn bytes(path: &Path, limit: u64) -> std::io::Result<Option<Vec<u8>>> {
    let file = File::open(path)?;
    let mut bytes = Vec::with_capacity(file.metadata()?.len().min(limit) as usize);
    file.take(limit + 1).read_to_end(&mut bytes)?;
    Ok((bytes.len() as u64 <= limit).then_some(bytes))
}

/// What a file without a name yet is called on the disk begins with this.
pub(super) const UNNAMED: &str = ".shimbook-new-";

/// A file without a name yet, in `folder`, with the rights any new file has.
pub(super) fn beside(folder: &Path) -> Result<NamedTempFile, FileError> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(UNNAMED);
    if let Some(rights) = usual_rights() {
        builder.permissions(rights);
    }
    builder
        .tempfile_in(folder)
        .map_err(|cause| FileError::cannot("write into", folder, &cause))
}

#[cfg(unix)]
#[allow(
    clippy::unnecessary_wraps,
    reason = "other systems have no access rights to give"
)]
fn usual_rights() -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn usual_rights() -> Option<Permissions> {
    None
}
