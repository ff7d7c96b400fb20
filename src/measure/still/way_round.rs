//! The eight ways in which a picture can lie over another of the same rig: four turns, each mirrored or not.

use schemars::JsonSchema;
use serde::Serialize;

use crate::pixel::settings::Turn;

/// How a picture lies beside another: turned clockwise, then mirrored left to right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WayRound {
    /// Not turned and not mirrored.
    Same,
    /// Left is right.
    Mirrored,
    /// Top is bottom, and left is left.
    Flipped,
    /// Upside down.
    HalfTurn,
    /// A quarter turn clockwise.
    QuarterTurn,
    /// A quarter turn counter-clockwise.
    ThreeQuarterTurn,
    /// A quarter turn clockwise, then mirrored.
    QuarterTurnMirrored,
    /// A quarter turn counter-clockwise, then mirrored.
    ThreeQuarterTurnMirrored,
}

impl WayRound {
    /// All of them, the one that should be first.
    pub const ALL: [Self; 8] = [
        Self::Same,
        Self::Mirrored,
        Self::Flipped,
        Self::HalfTurn,
        Self::QuarterTurn,
        Self::ThreeQuarterTurn,
        Self::QuarterTurnMirrored,
        Self::ThreeQuarterTurnMirrored,
    ];

    /// The way of a turn and a mirroring after it.
    pub fn of(turn: Turn, is_mirrored: bool) -> Self {
        match (turn, is_mirrored) {
            (Turn::None, false) => Self::Same,
            (Turn::None, true) => Self::Mirrored,
            (Turn::Half, true) => Self::Flipped,
            (Turn::Half, false) => Self::HalfTurn,
            (Turn::Quarter, false) => Self::QuarterTurn,
            (Turn::ThreeQuarters, false) => Self::ThreeQuarterTurn,
            (Turn::Quarter, true) => Self::QuarterTurnMirrored,
            (Turn::ThreeQuarters, true) => Self::ThreeQuarterTurnMirrored,
        }
    }

    /// Whether width and height change places.
    pub fn is_on_its_side(self) -> bool {
        !matches!(
            self,
            Self::Same | Self::Mirrored | Self::Flipped | Self::HalfTurn
        )
    }

    /// What a picture is, in words that follow `the picture is`.
    pub fn words(self) -> &'static str {
        match self {
            Self::Same => "the right way round",
            Self::Mirrored => "mirrored left to right",
            Self::Flipped => "flipped top to bottom",
            Self::HalfTurn => "turned upside down",
            Self::QuarterTurn => "turned a quarter clockwise",
            Self::ThreeQuarterTurn => "turned a quarter counter-clockwise",
            Self::QuarterTurnMirrored => "turned a quarter clockwise and then mirrored",
            Self::ThreeQuarterTurnMirrored => {
                "turned a quarter counter-clockwise and then mirrored"
            }
        }
    }

    /// How many corners of a picture are in another one of it.
    pub fn moved_corners(self) -> u32 {
        match self {
            Self::Same => 0,
            Self::QuarterTurnMirrored | Self::ThreeQuarterTurnMirrored => 2,
            Self::Mirrored
            | Self::Flipped
            | Self::HalfTurn
            | Self::QuarterTurn
            | Self::ThreeQuarterTurn => 4,
        }
    }

    /// How to undo it on the set, a sentence.
    pub fn advice(self) -> &'static str {
        match self {
            Self::Same => "Leave it so.",
            Self::Mirrored => {
                "Flip it left to right in the camera or the mixer, once: a mirror before the lens and a flip undo each other."
            }
            Self::Flipped | Self::HalfTurn => {
                "Switch the flip in the camera or the mixer off, or mount the camera upright; two flips are a half turn."
            }
            _ => {
                "Turn the camera upright, or set its turn in the mixer; `--turn-camera` and `--mirror-camera` do it here."
            }
        }
    }

    /// What of a picture of this width and height is at a place of the picture that lies this way.
    pub(crate) fn source(self, [width, height]: [usize; 2], x: usize, y: usize) -> [usize; 2] {
        let (right, bottom) = (width - 1, height - 1);
        match self {
            Self::Same => [x, y],
            Self::Mirrored => [right - x, y],
            Self::Flipped => [x, bottom - y],
            Self::HalfTurn => [right - x, bottom - y],
            Self::QuarterTurn => [y, bottom - x],
            Self::ThreeQuarterTurn => [right - y, x],
            Self::QuarterTurnMirrored => [y, x],
            Self::ThreeQuarterTurnMirrored => [right - y, bottom - x],
        }
    }

    /// Where a place of a picture of this width and height is in the picture that lies this way.
    pub(crate) fn place(self, [width, height]: [usize; 2], x: usize, y: usize) -> [usize; 2] {
        // The others are their own way back.
        let back = match self {
            Self::QuarterTurn => Self::ThreeQuarterTurn,
            Self::ThreeQuarterTurn => Self::QuarterTurn,
            other => other,
        };
        let sides = if self.is_on_its_side() {
            [height, width]
        } else {
            [width, height]
        };
        back.source(sides, x, y)
    }
}
