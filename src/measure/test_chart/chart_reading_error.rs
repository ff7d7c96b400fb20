//! Why a picture cannot be read as a capture of the test chart, and what to do about it.

use thiserror::Error;

use super::capture::whole;
use super::chart_markers::FoundMarker;
use crate::pixel::settings::Size;

/// Smallest capture that is looked at, longer and shorter side, px. Source: chosen, a little less than the 320x180 of
/// the smallest chart.
pub(super) const MIN_CAPTURE_PX: [u32; 2] = [280, 150];

/// Why a picture cannot be read as a capture of the chart.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ChartReadingError {
    /// Too few pixels.
    #[error(
        "the capture is too small: expected at least {}x{} pixels, got {size}",
        MIN_CAPTURE_PX[0], MIN_CAPTURE_PX[1]
    )]
    Tiny {
        /// What came.
        size: Size,
    },
    /// One even shade.
    #[error("expected the test chart, got a picture that is all {shade}")]
    Even {
        /// `black`, `white` or `grey`.
        shade: &'static str,
    },
    /// Some of the markers, or none.
    #[error(
        "expected the test chart, found {found} of 4 corner markers{}",
        places(at)
    )]
    Markers {
        /// How many.
        found: usize,
        /// Where, in capture pixels.
        at: Vec<[u32; 2]>,
    },
    /// The markers without what belongs between them.
    #[error("found 4 of 4 corner markers, but not the grey steps between them")]
    Steps,
    /// The cells with the chart's size cannot be read.
    #[error("found the chart, but cannot read the cells below its title that tell its size")]
    Cells,
    /// Seen at an angle.
    #[error(
        "the corner markers lie {miss_px:.0} px beside a straight picture: expected a capture, got a view at an angle"
    )]
    Angle {
        /// Largest distance, capture px.
        miss_px: f64,
    },
    /// Steps without a difference.
    #[error(
        "found the chart, but only {usable} of its steps are neither crushed nor clipped; at least 6 are needed"
    )]
    Levels {
        /// How many.
        usable: usize,
    },
}

/// Where markers were found, for a person to look.
fn places(at: &[[u32; 2]]) -> String {
    let places: Vec<String> = at.iter().take(6).map(|[x, y]| format!("{x},{y}")).collect();
    match places.len() {
        0 => String::new(),
        _ => format!(" (at {})", places.join(" and ")),
    }
}

impl ChartReadingError {
    /// Some of the markers, or none, or so many that they are something else.
    pub(super) fn markers_missing(found: &[FoundMarker]) -> Self {
        Self::Markers {
            found: found.len().min(3),
            at: match found.len() {
                0..4 => found
                    .iter()
                    .map(|marker| marker.centre.map(whole))
                    .collect(),
                _ => Vec::new(),
            },
        }
    }

    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        let way_out = match self {
            Self::Tiny { .. } => "record in the size of the program, at least 640x360",
            Self::Even { .. } => {
                "check that the slide is on the air and the key is off, then grab a still again"
            }
            Self::Markers { found: 0, .. } => {
                "write the chart with `nightglass chart --out chart.png`, show it full screen, and grab a still"
            }
            Self::Markers { .. } => {
                "all four rings must be in the picture: remove zoom, crop, overlays and pictures within pictures"
            }
            Self::Steps => "show the whole chart, nothing over it and nothing else beside it",
            Self::Cells => "record larger, sharper or with less compression",
            Self::Angle { .. } => {
                "grab the signal itself; a photograph of a screen has levels of its own"
            }
            Self::Levels { .. } => {
                "bring contrast and brightness of the chain nearer to neutral first"
            }
        };
        Some(way_out.to_owned())
    }
}
