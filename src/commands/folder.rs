//! Folders that commands write into.

use std::path::Path;

use super::failure::Failure;
use crate::files::picture_output::WriteError;

/// Makes a folder, and those above it, where it is not there.
pub(super) fn make_folder(folder: &Path) -> Result<(), Failure> {
    // The nearest that is there has to be a folder.
    let there = folder.ancestors().find(|path| path.exists());
    if let Some(file) = there.filter(|path| !path.is_dir()) {
        let path = file.to_owned();
        return Err(WriteError::NoFolderButFile { path }.into());
    }
    std::fs::create_dir_all(folder).map_err(|source| {
        let path = folder.to_owned();
        Failure::with_hint(
            WriteError::System { path, source },
            Some("name a folder that can be made and written".to_owned()),
        )
    })
}
