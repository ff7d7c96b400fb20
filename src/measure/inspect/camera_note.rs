//! What a camera frame cannot tell.

use super::camera_verdict::Unanswered;
use crate::measure::still::still_pair::PairFault;

/// Something worth saying about a frame that is no fault of the rig.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CameraNote {
    /// The frame is too small to look for anything.
    TooSmall,
    /// There is no dark backdrop to tell things from.
    NoBackdrop,
    /// Too little of the backdrop is seen between all that covers it.
    BackdropHidden,
    /// Nothing but the backdrop is seen.
    NothingSeen,
    /// There is no noise to measure.
    NoiseHidden,
    /// Nothing is written.
    NothingWritten,
    /// Nobody is there.
    NobodyThere,
    /// So much is lit that no presenter can be told from it.
    LitAllOver,
    /// The frame has no colour, by which most ink is told.
    NoColour,
    /// Black is raised, white lowered and colour little, as flat and log camera profiles have it.
    FlatProfile,
    /// The test chart is in the frame, and what lies on it is not looked at.
    ChartThere,
    /// The empty frame is not used.
    EmptyNotUsed(PairFault),
    /// The frame from before writing is not used.
    BeforeNotUsed(PairFault),
    /// The frame of the last good setup is not used.
    LikeNotUsed(PairFault),
    /// What stands still looks alike another way round.
    LikeAlike,
    /// What stands still does not hold enough both ways to tell where it is.
    LikeShiftHidden,
    /// What stands still is at one place, or blurred.
    LikeZoomHidden,
    /// Nothing that stands still is bright enough to tell of the light.
    LikeLightHidden,
}

impl CameraNote {
    /// What of all that was asked is not answered because of it.
    pub fn unanswered(self) -> Option<Unanswered> {
        match self {
            Self::TooSmall => Some(Unanswered::TooSmall),
            Self::NoBackdrop => Some(Unanswered::NoBackdrop),
            Self::LitAllOver => Some(Unanswered::LitAllOver),
            Self::BackdropHidden => Some(Unanswered::BackdropHidden),
            Self::NothingSeen => Some(Unanswered::NothingSeen),
            Self::LikeNotUsed(_) => Some(Unanswered::NotCompared),
            _ => None,
        }
    }

    /// The note as a sentence without a period.
    pub fn words(self) -> String {
        match self {
            Self::TooSmall => "the frame is too small to look for writing and a presenter; take one of 320x180 pixels or more".to_owned(),
            Self::NoBackdrop => "there is no dark backdrop in this frame, so neither writing nor a presenter can be told from it; take one of the glass before its backdrop, in the light of the take".to_owned(),
            Self::BackdropHidden => "too little of the backdrop is seen to tell how black and even it is, and whether it has reflections; take a frame that shows more of it".to_owned(),
            Self::NothingSeen => "this frame is dark all over, as where the camera is off, capped or not connected; switch the glass's light on, see that the picture comes through, and take a frame with writing and presenter".to_owned(),
            Self::NoiseHidden => "this frame shows no noise to measure, as after compression, noise reduction or enlarging; grab one at the camera's own size before any of them, and keep it as PNG".to_owned(),
            Self::NothingWritten => "nothing is written on the glass, as far as this frame shows".to_owned(),
            Self::NobodyThere => "nobody stands behind the glass, as far as this frame shows".to_owned(),
            Self::LitAllOver => "most of the picture is lit, so no presenter can be told from the backdrop; dim the light on the backdrop, or take a frame with more of it around the presenter".to_owned(),
            Self::NoColour => "the frame has no colour, so coloured ink cannot be told from anything else that is bright".to_owned(),
            Self::FlatProfile => "this looks like a flat or log camera profile: black is raised, white lowered and colour little; a luma key and the limits here want a profile for direct use, so switch it, or take the frame behind the look of camera or mixer".to_owned(),
            Self::ChartThere => "the test chart is in this frame; it tells which way round the picture is, and nothing else on it is looked at, so take a frame without it for the rest".to_owned(),
            Self::EmptyNotUsed(fault) => format!("the empty frame {} and is not used", fault.words()),
            Self::BeforeNotUsed(fault) => format!("the frame from before writing {} and is not used", fault.words()),
            Self::LikeNotUsed(fault) => format!("the frame of the last good setup {} and is not used", fault.words()),
            Self::LikeAlike => "what stands still looks alike another way round, so whether the picture is the wrong way round cannot be told from the frame of the last good setup".to_owned(),
            Self::LikeShiftHidden => "too little stands still in sight to tell both how far sideways and how far up or down the picture has moved; put something with an edge into a corner, or take frames that show the lit edges of the glass".to_owned(),
            Self::LikeZoomHidden => "what stands still is in one place, so zoom and rotation cannot be told, and the move is that of this place".to_owned(),
            Self::LikeLightHidden => "nothing that stands still is bright enough to tell how exposure and colour have changed".to_owned(),
        }
    }
}
