//! The unsaved setup of a window that has to close, put beside the one that it came from.

use std::path::{Path, PathBuf};

use crate::files::setup_error::SetupError;
use crate::files::setup_file::Setup;

/// How many names are tried. Source: chosen; who has so many rescued setups needs no other.
const MOST_NAMES: u32 = 100;

/// Writes `nightglass-rescued.toml` into the folder of the setup's file, or into the current folder
/// where there is none or it cannot be written; never over a file. Returns where it is.
pub fn rescue(setup: &Setup, setup_path: Option<&Path>) -> Result<PathBuf, SetupError> {
    let current = Path::new("");
    let folder = setup_path.and_then(Path::parent).unwrap_or(current);
    write_beside(setup, folder).or_else(|error| {
        if folder == current {
            Err(error)
        } else {
            write_beside(setup, current)
        }
    })
}

fn write_beside(setup: &Setup, folder: &Path) -> Result<PathBuf, SetupError> {
    let names = (1..=MOST_NAMES).map(|number| match number {
        1 => "nightglass-rescued.toml".to_owned(),
        number => format!("nightglass-rescued-{number}.toml"),
    });
    let mut free = names.map(|name| folder.join(name)).filter(|path| {
        // A link to nowhere is there too, and a name that cannot be looked at is not free.
        path.symlink_metadata()
            .is_err_and(|error| error.kind() == std::io::ErrorKind::NotFound)
    });
    let Some(path) = free.next() else {
        return Err(SetupError::Write {
            path: folder.join("nightglass-rescued.toml"),
            source: std::io::ErrorKind::AlreadyExists.into(),
        });
    };
    setup.save(&path)?;
    Ok(path)
}
