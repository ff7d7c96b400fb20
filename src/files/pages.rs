//! Which pages of a file with many are slides, as in `3-7,9`.

use std::fmt;
use std::ops::RangeInclusive;
use std::str::FromStr;

use thiserror::Error;

/// Pages that were picked, from 1; a deck has them in the order of its files, whatever order they are written in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pages {
    ranges: Vec<RangeInclusive<u32>>,
}

/// Why a text picks no pages.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum PagesError {
    /// A part of it is neither a page nor a range of pages.
    #[error("expected pages such as 3-7,9, got `{got}`")]
    Text {
        /// What was written.
        got: String,
    },
    /// Page 0.
    #[error("the first page is 1, got {got}")]
    Zero {
        /// What was written.
        got: String,
    },
    /// A range from a later page to an earlier one.
    #[error("expected the smaller page first, such as {last}-{first}, got {first}-{last}")]
    Reversed {
        /// What it begins with.
        first: u32,
        /// What it ends with.
        last: u32,
    },
}

impl Pages {
    /// Whether this page was picked.
    pub fn contains(&self, page: u32) -> bool {
        self.ranges.iter().any(|range| range.contains(&page))
    }

    /// The pages that were picked by number, or as the ends of a range, and are above this count.
    pub(super) fn ends_above(&self, count: u32) -> impl Iterator<Item = u32> {
        let ends = self.ranges.iter().map(|range| *range.end());
        ends.filter(move |end| *end > count)
    }
}

impl FromStr for Pages {
    type Err = PagesError;

    /// Reads pages and ranges of pages with commas between them.
    fn from_str(written: &str) -> Result<Self, PagesError> {
        let range = |part: &str| {
            let text = || PagesError::Text {
                got: written.to_owned(),
            };
            let page = |digits: &str| {
                let is_number = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
                let page: Option<u32> = digits.parse().ok().filter(|_| is_number);
                match page {
                    None => Err(text()),
                    Some(0) => Err(PagesError::Zero {
                        got: written.to_owned(),
                    }),
                    Some(page) => Ok(page),
                }
            };
            let (first, last) = part.split_once('-').unwrap_or((part, part));
            let (first, last) = (page(first.trim())?, page(last.trim())?);
            if first > last {
                return Err(PagesError::Reversed { first, last });
            }
            Ok(first..=last)
        };
        let ranges: Result<_, PagesError> = written.split(',').map(range).collect();
        Ok(Self { ranges: ranges? })
    }
}

impl fmt::Display for Pages {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, range) in self.ranges.iter().enumerate() {
            let comma = if index == 0 { "" } else { "," };
            if range.start() == range.end() {
                write!(f, "{comma}{}", range.start())?;
            } else {
                write!(f, "{comma}{}-{}", range.start(), range.end())?;
            }
        }
        Ok(())
    }
}
