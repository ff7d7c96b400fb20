//! How a file looks from outside, so that another content is noticed without reading it.

use std::fs::Metadata;
use std::time::SystemTime;

/// How a file looks; another look is another content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp {
    length: u64,
    modified: Option<SystemTime>,
    /// Number of the file and time of its last change of any kind, which no program can set.
    identity: (u64, i64, i64),
}

impl Stamp {
    pub(super) fn new(meta: &Metadata) -> Self {
        #[cfg(unix)]
        let identity = {
            use std::os::unix::fs::MetadataExt;
            (meta.ino(), meta.ctime(), meta.ctime_nsec())
        };
        #[cfg(not(unix))]
        let identity = (0, 0, 0);
        Self {
            length: meta.len(),
            modified: meta.modified().ok(),
            identity,
        }
    }
}
