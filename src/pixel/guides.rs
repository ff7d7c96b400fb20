//! Safe areas and grids as geometry in output pixels. The window draws them at display resolution,
//! files rasterise them at output resolution; both ask [`guide_shapes`].

use serde::Serialize;

use super::settings::Size;

/// A guide that can be laid over any view.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Guide {
    /// 3.5 % off each edge. Source: EBU R 95.
    ActionSafe,
    /// 5 % off each edge. Source: EBU R 95.
    GraphicsSafe,
    /// 10 % off each edge. Source: the safe title area of SMPTE RP 218-2009, 80 % of each side, which calls itself legacy.
    TitleLegacy,
    /// The bottom 15 %, where players put captions and controls. Source: common practice, no standard.
    Captions,
    /// Lines at a third and two thirds.
    Thirds,
    /// The middle of both sides.
    Centre,
    /// Lines at every tenth.
    Grid,
}

impl Guide {
    /// Every guide, in the order in which they are offered.
    pub const ALL: [Self; 7] = [
        Self::ActionSafe,
        Self::GraphicsSafe,
        Self::TitleLegacy,
        Self::Captions,
        Self::Thirds,
        Self::Centre,
        Self::Grid,
    ];

    /// What is written beside the guide in a picture: its standard's name for it, and how far from each edge it lies.
    pub fn label(self) -> &'static str {
        match self {
            Self::ActionSafe => "action safe, margin 3.5 %",
            Self::GraphicsSafe => "graphics safe, margin 5 %",
            Self::TitleLegacy => "safe title, margin 10 %",
            Self::Captions => "captions and player controls, lowest 15 %",
            _ => self.short_label(),
        }
    }

    /// Its name alone, where a picture is small.
    pub fn short_label(self) -> &'static str {
        match self {
            Self::ActionSafe => "action safe",
            Self::GraphicsSafe => "graphics safe",
            Self::TitleLegacy => "safe title",
            Self::Captions => "captions",
            Self::Thirds => "thirds",
            Self::Centre => "centre",
            Self::Grid => "tenths",
        }
    }
}

/// A piece of a guide; positions are pixel edges from the top left of the output.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// An outline between two corners.
    Outline {
        /// Left edge.
        x0: f64,
        /// Top edge.
        y0: f64,
        /// Right edge.
        x1: f64,
        /// Bottom edge.
        y1: f64,
    },
    /// A line from top to bottom.
    Vertical {
        /// Its place.
        x: f64,
    },
    /// A line from left to right.
    Horizontal {
        /// Its place.
        y: f64,
    },
}

/// A guide on an output of a certain size.
#[derive(Clone, Debug, PartialEq)]
pub struct GuideShapes {
    /// Which guide.
    pub guide: Guide,
    /// Its outlines and lines.
    pub shapes: Vec<Shape>,
}

/// The geometry of a guide.
///
/// Margins are rounded to whole pixels on each side, as EBU R 95 prints them.
pub fn guide_shapes(guide: Guide, size: Size) -> GuideShapes {
    let (width, height) = (f64::from(size.width()), f64::from(size.height()));
    let inset = |share: f64| {
        let (dx, dy) = (rounded(width * share), rounded(height * share));
        Shape::Outline {
            x0: dx,
            y0: dy,
            x1: width - dx,
            y1: height - dy,
        }
    };
    let shapes = match guide {
        Guide::ActionSafe => vec![inset(0.035)],
        Guide::GraphicsSafe => vec![inset(0.05)],
        Guide::TitleLegacy => vec![inset(0.1)],
        Guide::Captions => {
            vec![Shape::Outline {
                x0: 0.0,
                y0: rounded(height * 0.85),
                x1: width,
                y1: height,
            }]
        }
        Guide::Thirds => lines(width, height, 3),
        Guide::Centre => lines(width, height, 2),
        Guide::Grid => lines(width, height, 10),
    };
    GuideShapes { guide, shapes }
}

/// `floor(x + 0.5)`.
fn rounded(x: f64) -> f64 {
    (x + 0.5).floor()
}

/// Lines that cut both sides into `parts`.
fn lines(width: f64, height: f64, parts: u32) -> Vec<Shape> {
    let share = |i: u32| f64::from(i) / f64::from(parts);
    (1..parts)
        .flat_map(|i| {
            [
                Shape::Vertical {
                    x: width * share(i),
                },
                Shape::Horizontal {
                    y: height * share(i),
                },
            ]
        })
        .collect()
}
