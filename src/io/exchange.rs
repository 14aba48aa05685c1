//! Two folders that change places, and an old one that is removed with care.
//!
//! In: paths of folders on one disk. Out: each is where the other was, in one step where the system
//! can do that; and a folder without the files that are known. What was asked of the disk is on it
//! when a function here returns.

use std::collections::BTreeSet;
use std::fs::File;
use std::io;
use std::path::Path;

/// Lets `new` and `place` change places. Where the system cannot do that in one step, what was at
/// `place` is moved to `aside`, and back again where `new` cannot be moved.
pub(super) fn change_places(new: &Path, place: &Path, aside: &Path) -> io::Result<()> {
    match in_one_step(new, place) {
        Err(cause) if cause.kind() == io::ErrorKind::Unsupported => in_two_steps(new, place, aside),
        done => done,
    }
}

#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn in_one_step(new: &Path, place: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    renameat_with(CWD, new, CWD, place, RenameFlags::EXCHANGE).map_err(|cause| match cause {
        // An old kernel, or a file system that does not know how.
        Errno::NOSYS | Errno::INVAL | Errno::NOTSUP => io::ErrorKind::Unsupported.into(),
        other => other.into(),
    })
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn in_one_step(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

fn in_two_steps(new: &Path, place: &Path, aside: &Path) -> io::Result<()> {
    std::fs::rename(place, aside)?;
    std::fs::rename(new, place).inspect_err(|_| {
        // Where even that fails, the next run puts it back.
        let _ = std::fs::rename(aside, place);
    })
}

/// Removes these files below a folder, and the folders that are empty then. Says whether nothing is
/// left. `last` is removed when all the others are: it says which files are known, should the
/// program be killed meanwhile.
pub(super) fn remove_unchanged(root: &Path, files: &BTreeSet<String>, last: &str) -> bool {
    let mut folders: BTreeSet<&Path> = BTreeSet::new();
    for path in files.iter().filter(|path| *path != last) {
        // A file that cannot be removed is left, and the folder with it.
        let _ = std::fs::remove_file(root.join(path));
        folders.extend(Path::new(path).ancestors().skip(1));
    }
    // The longest path first; a folder that is not empty stays.
    folders
        .into_iter()
        .rev()
        .filter(|folder| *folder != Path::new(""))
        .for_each(|folder| {
            let _ = std::fs::remove_dir(root.join(folder));
        });
    if files.contains(last) {
        let _ = std::fs::remove_file(root.join(last));
    }
    std::fs::remove_dir(root).is_ok()
}

/// Forces onto the disk which files are in a folder; nothing where the system does not let folders
/// be opened.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    let Ok(file) = File::open(folder) else {
        return Ok(());
    };
    match file.sync_all() {
        // Some file systems cannot do this for folders.
        Err(cause)
            if matches!(
                cause.kind(),
                io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported
            ) =>
        {
            Ok(())
        }
        done => done,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folders() -> (tempfile::TempDir, [std::path::PathBuf; 3]) {
        let dir = tempfile::tempdir().unwrap();
        let paths = ["new", "place", "aside"].map(|name| dir.path().join(name));
        for path in &paths[..2] {
            std::fs::create_dir(path).unwrap();
            std::fs::write(
                path.join("name"),
                path.file_name().unwrap().to_str().unwrap(),
            )
            .unwrap();
        }
        (dir, paths)
    }

    fn name(path: &Path) -> String {
        std::fs::read_to_string(path.join("name")).unwrap()
    }

    #[test]
    fn folders_change_places_in_one_step_or_in_two() {
        let (_dir, [new, place, aside]) = folders();
        change_places(&new, &place, &aside).unwrap();
        assert_eq!(name(&place), "new");
        let (_dir, [new, place, aside]) = folders();
        in_two_steps(&new, &place, &aside).unwrap();
        assert_eq!(
            (name(&place), name(&aside)),
            ("new".to_owned(), "place".to_owned())
        );
    }

    #[test]
    fn where_the_new_folder_is_missing_the_old_one_stays() {
        let (_dir, [new, place, aside]) = folders();
        std::fs::remove_dir_all(&new).unwrap();
        assert!(
            change_places(&new, &place, &aside).is_err()
                && in_two_steps(&new, &place, &aside).is_err()
        );
        assert_eq!(name(&place), "place");
    }

    #[test]
    fn only_the_files_that_are_named_go_and_a_folder_with_others_stays() {
        let (_dir, [_, place, _]) = folders();
        std::fs::create_dir(place.join("days")).unwrap();
        std::fs::write(place.join("days/day-01.html"), "").unwrap();
        let named = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
        assert!(!remove_unchanged(&place, &named(&["days/day-01.html"]), ""));
        assert!(place.join("name").exists() && !place.join("days").exists());
        assert!(remove_unchanged(&place, &named(&["name", "gone"]), "name"));
        assert!(!place.exists());
    }
}
