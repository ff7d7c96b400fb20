//! Whether a file on disk is whole, by what its format ends with: a program may still be writing it.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom};
use std::path::Path;

/// Bytes that are looked at from the end.
/// Source: the end record of a ZIP archive is the last 22 bytes and a comment of up to 65,535 (APPNOTE.TXT 4.3.16).
const TAIL_BYTES: u64 = 66_000;
/// How far before the end of a PDF its end mark is looked for, in bytes.
/// Source: ISO 32000-1, annex H.3, implementation note 18: the last 1024 bytes.
const PDF_TAIL_BYTES: usize = 1024;

/// How whole a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wholeness {
    /// It ends as its format says.
    Whole,
    /// Its format does not tell.
    Unknown,
    /// It has no end yet: it is being written, or was cut off.
    Unended,
}

/// Looks at the two ends of a file.
pub(super) fn wholeness_of(path: &Path) -> io::Result<Wholeness> {
    let mut file = File::open(path)?;
    let length = file.metadata()?.len();
    let mut head = Vec::new();
    (&mut file).take(12).read_to_end(&mut head)?;
    file.seek(SeekFrom::Start(length.saturating_sub(TAIL_BYTES)))?;
    let mut tail = Vec::new();
    (&mut file).take(TAIL_BYTES).read_to_end(&mut tail)?;
    Ok(wholeness(&head, &tail, length))
}

/// The same for the first bytes and the last ones of a file of this length.
///
/// Source: PNG, ISO/IEC 15948 11.2.5, IEND; JPEG, ITU-T T.81 annex B, EOI; RIFF and BMP name their own
/// length; PDF, ISO 32000-1 7.5.5, `%%EOF`; ZIP, APPNOTE.TXT 4.3.16, end of central directory.
fn wholeness(head: &[u8], tail: &[u8], length: u64) -> Wholeness {
    let named_length = |at: usize| {
        let bytes = head.get(at..at + 4)?.first_chunk::<4>()?;
        Some(u64::from(u32::from_le_bytes(*bytes)))
    };
    let is_ended = if head.starts_with(b"\x89PNG") {
        tail.ends_with(b"IEND\xAE\x42\x60\x82")
    } else if head.starts_with(b"\xFF\xD8") {
        tail.ends_with(b"\xFF\xD9")
    } else if head.starts_with(b"RIFF") {
        named_length(4).is_some_and(|named| length >= named + 8)
    } else if head.starts_with(b"BM") {
        named_length(2).is_some_and(|named| length >= named)
    } else if head.starts_with(b"%PDF") {
        let end = &tail[tail.len().saturating_sub(PDF_TAIL_BYTES)..];
        end.windows(5).any(|mark| mark == b"%%EOF")
    } else if head.starts_with(b"PK") {
        tail.windows(4).any(|mark| mark == b"PK\x05\x06")
    } else {
        return if length == 0 {
            Wholeness::Unended
        } else {
            Wholeness::Unknown
        };
    };
    if is_ended {
        Wholeness::Whole
    } else {
        Wholeness::Unended
    }
}
