//! Where answers and drawings go: a folder, made sure of before any work, filled all at once.
//!
//! Files are written under temporary names in the same folder and renamed when all of them are
//! there, so that a broken run never leaves half an answer beside an old drawing.

use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

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
                    "the folder {} cannot be written to: {error}",
                    path.display()
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
    let part: String = name
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    let part = part.trim_matches('-');
    if part.is_empty() {
        "cloth".to_owned()
    } else {
        part.to_owned()
    }
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
    fn names_become_file_names() {
        assert_eq!(file_part("blue lace/2"), "blue-lace-2");
        assert_eq!(file_part("Żaneta"), "Żaneta");
        assert_eq!(file_part("../"), "cloth");
    }
}
