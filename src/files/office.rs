//! Slides of a slide program, made into a PDF by LibreOffice where that is installed.
//! It is a substitute: fonts and builds may differ from what the slide program shows.

use std::ffi::OsString;
use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

use tempfile::TempDir;
use thiserror::Error;

use super::pdf::PdfError;

/// What is worth saying about every slide that comes this way.
pub const SUBSTITUTE: &str = "a substitute rendering by LibreOffice: fonts and builds may differ";
/// What LibreOffice's program is called. Source: its packages for Debian, Fedora, macOS and Windows.
const PROGRAMS: [&str; 2] = ["soffice", "libreoffice"];
/// Where its installers put it without adding it to the path. Source: the same.
const USUAL_FOLDERS: [&str; 2] = [
    "/Applications/LibreOffice.app/Contents/MacOS",
    "C:\\Program Files\\LibreOffice\\program",
];
/// How long it may take. Source: chosen, many times what a hundred slides and a first start take.
const TIME_LIMIT: Duration = Duration::from_mins(2);
/// How often to look whether it is done. Source: chosen.
const LOOK_EVERY: Duration = Duration::from_millis(20);
/// Most bytes that are read of what it says. Source: chosen.
const MAX_SAID_BYTES: usize = 4096;

/// Why a file of a slide program gives no slides.
#[derive(Debug, Error)]
pub enum OfficeError {
    /// LibreOffice is not there.
    #[error("slides of a slide program are read through LibreOffice, which is not installed: `{}`", path.display())]
    Missing {
        /// The file asked for.
        path: PathBuf,
    },
    /// LibreOffice does not run.
    #[error("LibreOffice does not start for `{}`", path.display())]
    Start {
        /// The file asked for.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// LibreOffice gave up.
    #[error("LibreOffice failed with {status}{} on `{}`", said_words(said), path.display())]
    Failed {
        /// The file asked for.
        path: PathBuf,
        /// How it ended.
        status: ExitStatus,
        /// The last line that it said.
        said: String,
    },
    /// LibreOffice hangs.
    #[error("LibreOffice took longer than {} seconds on `{}`", limit.as_secs_f64(), path.display())]
    TooLong {
        /// The file asked for.
        path: PathBuf,
        /// What it may take.
        limit: Duration,
    },
    /// LibreOffice ended well and wrote nothing.
    #[error("LibreOffice made no PDF{} of `{}`", said_words(said), path.display())]
    NothingWritten {
        /// The file asked for.
        path: PathBuf,
        /// The last line that it said.
        said: String,
    },
    /// What LibreOffice wrote cannot be used.
    #[error("LibreOffice made no usable PDF of `{}`", path.display())]
    Unusable {
        /// The file asked for.
        path: PathBuf,
        /// What is wrong with it.
        source: Box<PdfError>,
    },
    /// The system refused.
    #[error("cannot open `{}`", path.display())]
    System {
        /// The file asked for.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

impl OfficeError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        Some("export the slides as a PDF from the slide program, and name that".to_owned())
    }
}

fn said_words(said: &str) -> String {
    if said.is_empty() {
        String::new()
    } else {
        format!(" (`{said}`)")
    }
}

/// Where LibreOffice is looked for, and how long it may take.
#[derive(Clone, Debug)]
pub struct Office {
    folders: Vec<PathBuf>,
    limit: Duration,
}

impl Default for Office {
    fn default() -> Self {
        let path = std::env::var_os("PATH").unwrap_or_default();
        let mut office = Self::new(&path, TIME_LIMIT);
        office.folders.extend(USUAL_FOLDERS.map(PathBuf::from));
        office
    }
}

impl Office {
    /// Looked for in the folders of a search path alone.
    pub fn new(search_path: &OsString, limit: Duration) -> Self {
        Self {
            folders: std::env::split_paths(search_path).collect(),
            limit,
        }
    }

    /// The program, if it is there.
    fn program(&self) -> Option<PathBuf> {
        let named = |name: &str| format!("{name}{}", std::env::consts::EXE_SUFFIX);
        PROGRAMS.iter().find_map(|name| {
            let all = self.folders.iter().map(|folder| folder.join(named(name)));
            all.into_iter().find(|program| program.is_file())
        })
    }

    /// Makes a PDF of a file, in a folder of its own, with settings that nobody else uses.
    pub(super) fn to_pdf(&self, path: &Path) -> Result<Vec<u8>, OfficeError> {
        let refused = |source| OfficeError::System {
            path: path.to_owned(),
            source,
        };
        let input = path.canonicalize().map_err(refused)?;
        let program = self.program().ok_or_else(|| OfficeError::Missing {
            path: path.to_owned(),
        })?;
        let folder = tempfile::Builder::new()
            .prefix("nightglass-")
            .tempdir()
            .map_err(refused)?;
        let written = folder.path().join("pdf");
        std::fs::create_dir(&written).map_err(refused)?;
        let said = folder.path().join("said");
        let mut command = command(&program, &input, &folder);
        command.stderr(File::create(&said).map_err(refused)?);
        let child = command.spawn().map_err(|source| OfficeError::Start {
            path: path.to_owned(),
            source,
        })?;
        let ended = Running(child).wait(self.limit).map_err(refused)?;
        let status = ended.ok_or_else(|| OfficeError::TooLong {
            path: path.to_owned(),
            limit: self.limit,
        })?;
        if !status.success() {
            return Err(OfficeError::Failed {
                path: path.to_owned(),
                status,
                said: last_line(&said),
            });
        }
        let mut files = written.read_dir().map_err(refused)?;
        let Some(pdf) = files.next() else {
            return Err(OfficeError::NothingWritten {
                path: path.to_owned(),
                said: last_line(&said),
            });
        };
        std::fs::read(pdf.map_err(refused)?.path()).map_err(refused)
    }
}

/// The conversion as it is started.
fn command(program: &Path, input: &Path, folder: &TempDir) -> Command {
    let mut profile = OsString::from("-env:UserInstallation=file://");
    // On Windows a path begins with its drive, where the address wants a slash.
    if !folder.path().has_root() || cfg!(windows) {
        profile.push("/");
    }
    profile.push(folder.path().join("profile"));
    let mut command = Command::new(program);
    command
        .arg(profile)
        .args(["--headless", "--norestore", "--nolockcheck", "--nodefault"])
        .args(["--convert-to", "pdf", "--outdir"])
        .arg(folder.path().join("pdf"))
        .arg(input)
        .stdin(Stdio::null())
        .stdout(Stdio::null());
    #[cfg(unix)]
    {
        use std::os::unix::process::CommandExt;
        // The program is a script that starts another; a group of their own lets both be ended.
        command.process_group(0);
    }
    command
}

/// A program that is ended, with all that it started, when it is not waited for any more.
struct Running(Child);

impl Running {
    /// How it ended; none where it takes longer than this.
    fn wait(mut self, limit: Duration) -> io::Result<Option<ExitStatus>> {
        let started = Instant::now();
        loop {
            if let Some(status) = self.0.try_wait()? {
                return Ok(Some(status));
            }
            if started.elapsed() >= limit {
                return Ok(None);
            }
            std::thread::sleep(LOOK_EVERY);
        }
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        // What ended by itself cannot be ended again, which is as well.
        #[cfg(unix)]
        if let Ok(None) = self.0.try_wait() {
            let group = rustix::process::Pid::from_child(&self.0);
            rustix::process::kill_process_group(group, rustix::process::Signal::KILL).ok();
        }
        self.0.kill().ok();
        self.0.wait().ok();
    }
}

/// The last line of a text file that says something; nothing where there is none.
fn last_line(path: &Path) -> String {
    let bytes = std::fs::read(path).unwrap_or_default();
    let end = &bytes[bytes.len().saturating_sub(MAX_SAID_BYTES)..];
    let text = String::from_utf8_lossy(end);
    let said = text
        .lines()
        .rev()
        .map(str::trim)
        .find(|line| !line.is_empty());
    said.unwrap_or_default().to_owned()
}
