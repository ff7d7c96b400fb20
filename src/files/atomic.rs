//! Writing that leaves either the old file or the whole new one, never half of it.

use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use tempfile::TempPath;

/// What is said of a name that something else than a file or a folder has.
const NO_FILE: &str = "expected a file or a new name, found a device, a pipe or a socket";
/// What is said of a folder that is none of a disk.
const NO_NEW_FILES: &str = "this folder takes no new files";

/// A file that is written beside its destination and renamed onto it by [`AtomicFile::commit`].
/// Dropped without that, it leaves no trace.
#[derive(Debug)]
pub struct AtomicFile {
    writer: BufWriter<File>,
    beside: TempPath,
    path: PathBuf,
    refused: Option<i32>,
}

impl AtomicFile {
    /// Opens a new file beside `path`, which fails now if the folder cannot be written.
    ///
    /// Where `path` is a link, what it leads to is replaced; where a file is there already, the new
    /// one gets its permissions. A device, a pipe or a socket is refused.
    pub fn create(path: &Path) -> io::Result<Self> {
        let path = match path.canonicalize() {
            Ok(target) if path.is_symlink() => target,
            _ => path.to_owned(),
        };
        let folder = match path.parent() {
            Some(parent) if parent != Path::new("") => parent,
            _ => Path::new("."),
        };
        if path.is_dir() {
            return Err(io::Error::from(io::ErrorKind::IsADirectory));
        }
        let found = path.metadata().ok();
        if found.as_ref().is_some_and(|found| !found.is_file()) {
            return Err(io::Error::new(io::ErrorKind::InvalidInput, NO_FILE));
        }
        let mut builder = tempfile::Builder::new();
        builder.prefix(".nightglass-").suffix(".part");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            // What any newly made file gets; the umask takes its share.
            builder.permissions(std::fs::Permissions::from_mode(0o666));
        }
        let beside = builder
            .tempfile_in(folder)
            .map_err(|refused| match refused.kind() {
                io::ErrorKind::NotFound if folder.is_dir() => {
                    io::Error::new(io::ErrorKind::Unsupported, NO_NEW_FILES)
                }
                _ => without_path(&refused),
            })?;
        if let Some(found) = found {
            beside.as_file().set_permissions(found.permissions())?;
        }
        let (file, beside) = beside.into_parts();
        let writer = BufWriter::with_capacity(1 << 16, file);
        Ok(Self {
            writer,
            beside,
            path,
            refused: None,
        })
    }

    /// What the system said when it first refused to write, if it has.
    pub fn refused(&self) -> Option<io::Error> {
        self.refused.map(io::Error::from_raw_os_error)
    }

    /// Keeps what the system says.
    fn noted<T>(&mut self, outcome: io::Result<T>) -> io::Result<T> {
        if let Err(error) = &outcome {
            self.refused = self.refused.or(error.raw_os_error());
        }
        outcome
    }

    /// Puts the file in place of whatever was there.
    pub fn commit(self) -> io::Result<()> {
        drop(
            self.writer
                .into_inner()
                .map_err(io::IntoInnerError::into_error)?,
        );
        self.beside
            .persist(&self.path)
            .map_err(|refused| without_path(&refused.error))
    }
}

/// The system's own error; the name of the file beside means nothing to the user.
fn without_path(error: &io::Error) -> io::Error {
    error.raw_os_error().map_or_else(
        || io::Error::from(error.kind()),
        io::Error::from_raw_os_error,
    )
}

impl Write for AtomicFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let outcome = self.writer.write(bytes);
        self.noted(outcome)
    }

    fn flush(&mut self) -> io::Result<()> {
        let outcome = self.writer.flush();
        self.noted(outcome)
    }
}

impl io::Seek for AtomicFile {
    fn seek(&mut self, to: io::SeekFrom) -> io::Result<u64> {
        let outcome = self.writer.seek(to);
        self.noted(outcome)
    }
}

/// Writes all of `bytes` to `path`, or leaves what was there, also when the power fails.
pub fn write(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = AtomicFile::create(path)?;
    file.write_all(bytes)?;
    file.writer.flush()?;
    file.writer.get_ref().sync_all()?;
    file.commit()
}
