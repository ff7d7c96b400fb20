//! Folders that commands write into.

use std::path::Path;

use super::failure::Failure;
use crate::files::atomic::AtomicFile;
use crate::files::picture_output::WriteError;

/// A file that is begun in a folder and never kept, so that a folder which takes none is told at once and by itself.
const TRIAL_NAME: &str = ".nightglass-trial";

/// Makes a folder, and those above it, where it is not there, and sees that it takes files.
pub(super) fn make_folder(folder: &Path) -> Result<(), Failure> {
    // The nearest that is there has to be a folder.
    let there = folder.ancestors().find(|path| path.exists());
    if let Some(file) = there.filter(|path| !path.is_dir()) {
        let path = file.to_owned();
        return Err(WriteError::NoFolderButFile { path }.into());
    }
    let made = std::fs::create_dir_all(folder);
    let tried = made.and_then(|()| AtomicFile::create(&folder.join(TRIAL_NAME)).map(drop));
    tried.map_err(|source| {
        let path = folder.to_owned();
        Failure::with_hint(
            WriteError::System { path, source },
            Some("name a folder that can be made and written".to_owned()),
        )
    })
}
