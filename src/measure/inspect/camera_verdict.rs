//! The verdict on a camera frame: the worst that was found, and whether the frame could answer at all.

use schemars::JsonSchema;
use serde::Serialize;

use super::camera_finding::CameraFinding;
use crate::measure::finding::{Severity, Verdict};

/// Why a frame, or a comparison that was asked for, cannot be judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Unanswered {
    /// The frame is too small to look at.
    TooSmall,
    /// No dark backdrop is recognised in it.
    NoBackdrop,
    /// So much is lit that no presenter can be told from it.
    LitAllOver,
    /// Too little of the backdrop is seen.
    BackdropHidden,
    /// Nothing but the backdrop is seen, as where the camera is capped or off.
    NothingSeen,
    /// It could not be compared with the frame of the last good setup.
    NotCompared,
}

/// How good a camera frame is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum CameraVerdict {
    /// Nothing, or only what is worth knowing.
    Pass,
    /// Something that viewers will notice.
    Warn,
    /// It cannot be judged, or not all of what was asked, and nothing fails for sure: no pass.
    Unclear,
    /// Something that spoils the take.
    Fail,
}

impl CameraVerdict {
    /// The verdict on these findings, where so much is unanswered.
    pub fn of(findings: &[CameraFinding], unanswered: &[Unanswered]) -> Self {
        match findings.iter().map(|finding| finding.severity).max() {
            Some(Severity::Fail) => Self::Fail,
            _ if !unanswered.is_empty() => Self::Unclear,
            Some(Severity::Warn) => Self::Warn,
            None | Some(Severity::Info) => Self::Pass,
        }
    }

    /// The word for it: `pass`, `warn`, `unclear` or `fail`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Warn => "warn",
            Self::Unclear => "unclear",
            Self::Fail => "fail",
        }
    }

    /// How much care it asks for: what is unclear is to be looked at, like a warning.
    pub fn care(self) -> Verdict {
        match self {
            Self::Pass => Verdict::Pass,
            Self::Warn | Self::Unclear => Verdict::Warn,
            Self::Fail => Verdict::Fail,
        }
    }
}
