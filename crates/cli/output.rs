//! Where answers and drawings go: a folder, made sure of before any work, filled all at once.
//!
//! Files are written under temporary names in the same folder and renamed when all of them are
//! there, so that a broken run never leaves half an answer beside an old drawing.

use std::collections::BTreeSet;
use std::fs;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::answer::Trouble;
use crate::message::Refused;

/// A folder that can be written to.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
}

impl Folder {
    /// Makes the folder if need be, and tries to write in it.
    ///
    /// # Errors
    /// It cannot be made or written to.
    pub fn prepare(path: &Path) -> Result<Self, Refused> {
        let refused = |error: std::io::Error| {
            Refused::plain(
                format!(
                    "the folder {} cannot be written to: {}",
                    path.display(),
                    reason(&error)
                ),
                "name another with --out FOLDER",
            )
        };
        fs::create_dir_all(path).map_err(refused)?;
        NamedTempFile::new_in(path).map_err(refused)?;
        Ok(Folder {
            path: path.to_owned(),
        })
    }

    /// Its path.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes all files, then removes those of an earlier run that are not among them.
    ///
    /// # Errors
    /// As [`Folder::write`].
    pub fn replace(&self, files: &[(String, String)], earlier: &[String]) -> Result<(), Trouble> {
        self.write(files).map_err(|error| {
            Trouble::Internal(format!(
                "cannot write into {}: {}",
                self.path.display(),
                reason(&error)
            ))
        })?;
        for name in earlier {
            if !files.iter().any(|(new, _)| new == name) {
                // One that is gone or cannot be removed does no harm to the new answer.
                let _ = fs::remove_file(self.path.join(name));
            }
        }
        Ok(())
    }

    /// Writes all files, or none that can be seen.
    ///
    /// # Errors
    /// The disc is full, or the folder has gone.
    pub fn write(&self, files: &[(String, String)]) -> std::io::Result<()> {
        let mut written = Vec::new();
        for (name, text) in files {
            let mut file = new_file(&self.path)?;
            file.write_all(text.as_bytes())?;
            file.flush()?;
            written.push((file, name));
        }
        for (file, name) in written {
            file.persist(self.path.join(name))
                .map_err(|error| error.error)?;
        }
        Ok(())
    }
}

/// A file under a temporary name. It gets the rights of any new file; temporary files are otherwise
/// for their owner only, and an answer is passed on.
fn new_file(folder: &Path) -> std::io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// Why the system refused, in plain words and without the name of a temporary file.
#[must_use]
pub fn reason(error: &std::io::Error) -> String {
    let words = match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder",
        ErrorKind::PermissionDenied => "permission is denied",
        ErrorKind::AlreadyExists | ErrorKind::NotADirectory => "a file of that name is in the way",
        ErrorKind::IsADirectory => "it is a folder",
        ErrorKind::StorageFull => "the disc is full",
        ErrorKind::ReadOnlyFilesystem => "the disc is read only",
        ErrorKind::InvalidFilename => "the name is too long or not allowed",
        _ => {
            let text = error.to_string();
            // What the system calls it, up to the number and the path that follow.
            return text
                .split(" (os error")
                .next()
                .unwrap_or(&text)
                .to_lowercase();
        }
    };
    words.to_owned()
}

/// The folder beside a job file that its answer goes to: `skirt.toml` gives `skirt-layout`.
#[must_use]
pub fn beside(job: &Path, ending: &str) -> PathBuf {
    let stem = job.file_stem().unwrap_or(job.as_os_str());
    let mut name = stem.to_owned();
    name.push(ending);
    job.with_file_name(name)
}

/// A part of a file name from a name in a job: letters and digits kept, the rest as hyphens.
#[must_use]
pub fn file_part(name: &str) -> String {
    // A label may be a sentence; file systems take some 250 bytes.
    let part: String = name
        .chars()
        .take(40)
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let part = part.trim_matches('-');
    if part.is_empty() {
        "cloth".to_owned()
    } else {
        part.to_owned()
    }
}

/// A file name for each of these parts, none of them twice: `marker-linen.svg`, `marker-linen-2.svg`.
/// Names that differ by capitals alone are one file on some systems.
#[must_use]
pub fn file_names<'a>(
    before: &str,
    parts: impl IntoIterator<Item = &'a str>,
    ending: &str,
) -> Vec<String> {
    let mut taken = BTreeSet::new();
    let name = |part: &str| {
        let part = file_part(part);
        let mut name = format!("{before}{part}{ending}");
        let mut number = 1;
        while !taken.insert(name.to_lowercase()) {
            number += 1;
            name = format!("{before}{part}-{number}{ending}");
        }
        name
    };
    parts.into_iter().map(name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_job_gets_a_folder_of_its_name() {
        assert_eq!(
            beside(Path::new("a/skirt.toml"), "-layout"),
            Path::new("a/skirt-layout")
        );
    }

    #[test]
    fn files_appear_whole_and_nothing_else_stays() {
        let place = tempfile::tempdir().unwrap();
        let folder = Folder::prepare(&place.path().join("new/out")).unwrap();
        folder.write(&[("a.txt".into(), "one".into())]).unwrap();
        folder.write(&[("a.txt".into(), "two".into())]).unwrap();
        let names: Vec<_> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .collect();
        assert_eq!(names, ["a.txt"]);
        let text = fs::read_to_string(folder.path().join("a.txt")).unwrap();
        assert_eq!(text, "two");
    }

    #[test]
    fn a_reason_names_no_temporary_file() {
        let place = tempfile::tempdir().unwrap();
        let gone = place.path().join("gone");
        let error = NamedTempFile::new_in(&gone).unwrap_err();
        assert!(error.to_string().contains(".tmp"), "{error}");
        assert_eq!(reason(&error), "there is no such file or folder");
        let other = std::io::Error::from_raw_os_error(24);
        assert!(!reason(&other).contains("os error"), "{}", reason(&other));
    }

    #[test]
    fn no_two_file_names_are_one() {
        let names = file_names("marker-", ["linen", "Linen", "linen!", "silk"], ".svg");
        assert_eq!(
            names,
            [
                "marker-linen.svg",
                "marker-Linen-2.svg",
                "marker-linen-3.svg",
                "marker-silk.svg"
            ]
        );
    }

    #[test]
    fn names_become_file_names() {
        assert_eq!(file_part("blue lace/2"), "blue-lace-2");
        assert_eq!(file_part("Żaneta"), "Żaneta");
        assert_eq!(file_part("../"), "cloth");
        assert_eq!(file_part(&"ż".repeat(300)).chars().count(), 40);
    }
}
