//! The test chart: what lies where on it and with which value. Drawing it and reading a capture of it
//! both ask here. Places are chart pixels from its top left corner, y down.

use thiserror::Error;

use super::chart_code::{CODE_CELLS, code_bits};
use crate::pixel::settings::Size;

/// Smallest width of a chart, px. Below it a wedge step is too small to be measured after scaling. Source: chosen.
pub const MIN_CHART_WIDTH_PX: u32 = 320;
/// Smallest height of a chart, px. Source: chosen, that width at 16:9.
pub const MIN_CHART_HEIGHT_PX: u32 = 180;
/// Longest shape of a chart, long side to short side. Source: chosen, well beyond any screen.
const MAX_CHART_ASPECT: f64 = 4.0;
/// Radius of a marker, of the height and of the width, whichever is less. Source: chosen, so that ring,
/// gap and dot are each over 3 px on the smallest chart.
const MARKER_RADIUS: [f64; 2] = [0.07, 0.04];
/// Inner radius of a marker's white ring, of its outer one. Source: chosen.
pub(super) const RING_INNER: f64 = 0.70;
/// Radius of the white dot within, of the ring's outer radius. Source: chosen.
pub(super) const DOT: f64 = 0.35;
/// How far an edge ruler reaches into the picture, of the side it measures. Source: chosen.
const RULER_REACH: f64 = 0.075;
/// Places of the markers' centres, of width and height, clockwise from the top left.
const MARKER_CENTRES: [[f64; 2]; 4] = [
    [0.115, 0.155],
    [0.885, 0.155],
    [0.885, 0.845],
    [0.115, 0.845],
];

/// A size that no chart can have.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
pub enum ChartError {
    /// Too few pixels for its steps.
    #[error(
        "a chart must be at least {MIN_CHART_WIDTH_PX}x{MIN_CHART_HEIGHT_PX} pixels, got {size}: \
         smaller steps cannot be told apart in a capture"
    )]
    Small {
        /// What was asked for.
        size: Size,
    },
    /// Too long for its layout.
    #[error("a chart may be at most 4 times as long as wide, got {size}")]
    Long {
        /// What was asked for.
        size: Size,
    },
}

impl ChartError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        Some("give the size in which the slides are shown, such as `--size 1920x1080`".to_owned())
    }
}

/// A rectangle of chart pixels, edges included left and top.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChartArea {
    /// Left edge.
    pub x0: u32,
    /// Top edge.
    pub y0: u32,
    /// Right edge, outside.
    pub x1: u32,
    /// Bottom edge, outside.
    pub y1: u32,
}

/// A corner marker: a white ring, a gap and a white dot on black.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marker {
    /// Centre.
    pub centre: [f64; 2],
    /// Outer radius of the ring.
    pub radius_px: f64,
}

/// Which part of the chart a patch belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PatchRole {
    /// Codes 0 to 31, one code a step: 0 to 12 % of white.
    Fine,
    /// 32 steps from black to white.
    Coarse,
    /// Neutral greys, large.
    Grey,
    /// Colour bars at 100 and 75 %.
    Bar,
}

/// A patch of one colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Patch {
    /// Part of the chart.
    pub role: PatchRole,
    /// R'G'B' as sent.
    pub rgb_u8: [u8; 3],
    /// Place.
    pub area: ChartArea,
}

/// One edge of the picture, as the chart was drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Edge {
    /// Left.
    Left,
    /// Top.
    Top,
    /// Right.
    Right,
    /// Bottom.
    Bottom,
}

impl Edge {
    /// All edges, in the order in which they are reported.
    pub const ALL: [Self; 4] = [Self::Left, Self::Top, Self::Right, Self::Bottom];

    /// Its name in reports and JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Top => "top",
            Self::Right => "right",
            Self::Bottom => "bottom",
        }
    }
}

/// An edge ruler: a white spine from the edge inward with ticks beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ruler {
    /// The edge it measures.
    pub edge: Edge,
    /// The spine.
    pub spine: ChartArea,
    /// Pixels between two ticks.
    pub tick_px: u32,
    /// How many ticks, the one at the edge itself not counted.
    pub ticks: u32,
}

/// The layout of a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chart {
    size: Size,
}

impl Chart {
    /// The chart that places are taken from while the true size is not known: layouts differ by their
    /// proportions alone.
    pub(super) const NOMINAL: Self = Self { size: Size::HD };

    /// The chart of a size; [`ChartError`] where its steps could not be told apart.
    pub fn new(size: Size) -> Result<Self, ChartError> {
        let (width, height) = (f64::from(size.width()), f64::from(size.height()));
        if size.width() < MIN_CHART_WIDTH_PX || size.height() < MIN_CHART_HEIGHT_PX {
            return Err(ChartError::Small { size });
        }
        if width.max(height) > MAX_CHART_ASPECT * width.min(height) {
            return Err(ChartError::Long { size });
        }
        Ok(Self { size })
    }

    /// Width and height.
    pub fn size(self) -> Size {
        self.size
    }

    /// A rectangle given in parts of width and height, on whole pixels.
    pub(crate) fn area(self, [x0, y0, x1, y1]: [f64; 4]) -> ChartArea {
        ChartArea {
            x0: part(x0, self.size.width()),
            y0: part(y0, self.size.height()),
            x1: part(x1, self.size.width()),
            y1: part(y1, self.size.height()),
        }
    }

    /// The four corner markers, clockwise from the top left.
    pub fn markers(self) -> [Marker; 4] {
        let (width, height) = (f64::from(self.size.width()), f64::from(self.size.height()));
        let radius_px = (MARKER_RADIUS[0] * height)
            .min(MARKER_RADIUS[1] * width)
            .floor();
        MARKER_CENTRES.map(|[x, y]| Marker {
            centre: [(x * width).round(), (y * height).round()],
            radius_px,
        })
    }

    /// All patches with a known value.
    pub fn patches(self) -> Vec<Patch> {
        let mut patches = Vec::new();
        for step in 0..WEDGE_STEPS {
            for (role, code, tops) in [
                (PatchRole::Fine, fine_code(step), FINE_TOPS),
                (PatchRole::Coarse, coarse_code(step), COARSE_TOPS),
            ] {
                patches.push(Patch {
                    role,
                    rgb_u8: [code; 3],
                    area: self.wedge_step(step, tops),
                });
            }
        }
        for (place, code) in (0_u32..).zip(GREY_CODES) {
            let left = if place < 3 { 0.20 } else { 0.44 } + 0.06 * f64::from(place);
            patches.push(Patch {
                role: PatchRole::Grey,
                rgb_u8: [code; 3],
                area: self.area([left, 0.805, left + 0.06, 0.915]),
            });
        }
        for (top, level) in [(0.656, 255), (0.703, BAR_75_CODE)] {
            for (place, on) in (0_u32..).zip(BARS) {
                let left = 0.09 + 0.035 * f64::from(place);
                patches.push(Patch {
                    role: PatchRole::Bar,
                    rgb_u8: on.map(|on| on * level),
                    area: self.area([left, top, left + 0.035, top + 0.045]),
                });
            }
        }
        patches
    }

    /// Place of a wedge's step.
    fn wedge_step(self, step: u32, tops: [f64; 2]) -> ChartArea {
        let top = tops[usize::from(step >= WEDGE_COLUMNS)];
        let left = 0.09 + 0.82 / f64::from(WEDGE_COLUMNS) * f64::from(step % WEDGE_COLUMNS);
        let right = left + 0.82 / f64::from(WEDGE_COLUMNS);
        self.area([left, top, right, top + WEDGE_HEIGHT])
    }

    /// The cells that carry the chart's own size, white where true.
    pub fn code_cells(self) -> [(ChartArea, bool); CODE_CELLS] {
        let bits = code_bits(self.size);
        std::array::from_fn(|cell| {
            let column = f64::from(u32::try_from(cell % 20).unwrap_or(0));
            let top = if cell < 20 { 0.17 } else { 0.1975 };
            let left = 0.22 + 0.028 * column;
            (
                self.area([left, top, left + 0.028, top + 0.0275]),
                bits[cell],
            )
        })
    }

    /// The rulers of the four edges, in the order of [`Edge::ALL`].
    pub fn rulers(self) -> [Ruler; 4] {
        let (width, height) = (self.size.width(), self.size.height());
        let half = (width.min(height) / 180).max(2);
        Edge::ALL.map(|edge| {
            let (side, across) = match edge {
                Edge::Left | Edge::Right => (width, height / 2),
                Edge::Top | Edge::Bottom => (height, width / 2),
            };
            let reach = part(RULER_REACH, side);
            let (from, to) = match edge {
                Edge::Left | Edge::Top => (0, reach),
                Edge::Right | Edge::Bottom => (side - reach, side),
            };
            let (near, far) = (across - half, across + half);
            let spine = match edge {
                Edge::Left | Edge::Right => ChartArea {
                    x0: from,
                    y0: near,
                    x1: to,
                    y1: far,
                },
                Edge::Top | Edge::Bottom => ChartArea {
                    x0: near,
                    y0: from,
                    x1: far,
                    y1: to,
                },
            };
            let tick_px = tick_px(reach);
            Ruler {
                edge,
                spine,
                tick_px,
                ticks: (reach - 1) / tick_px,
            }
        })
    }

    /// The continuous ramp: code 0 at its left end, 255 at its right one.
    pub fn ramp(self) -> ChartArea {
        self.area([0.09, 0.612, 0.91, 0.629])
    }

    /// Code of the ramp at a distance from its left end, both chart px: all codes are equally wide.
    pub fn ramp_code(self, from_left_px: u32) -> u8 {
        let ramp = self.ramp();
        let code = 256 * u64::from(from_left_px) / u64::from((ramp.x1 - ramp.x0).max(1));
        u8::try_from(code).unwrap_or(u8::MAX)
    }

    /// Fields of single-pixel lines: upright ones, then level ones.
    pub fn line_fields(self) -> [ChartArea; 2] {
        [
            self.area([0.63, 0.656, 0.76, 0.748]),
            self.area([0.78, 0.656, 0.91, 0.748]),
        ]
    }

    /// Centre and radius of the circle.
    pub fn circle(self) -> ([f64; 2], f64) {
        let (width, height) = (f64::from(self.size.width()), f64::from(self.size.height()));
        let radius = (0.135 * height).min(0.1 * width);
        (
            [(0.5 * width).round(), (0.78 * height).round()],
            radius.floor(),
        )
    }
}

/// Steps of each wedge. Source: chosen.
pub const WEDGE_STEPS: u32 = 32;
/// Steps in a row. Source: chosen.
pub(super) const WEDGE_COLUMNS: u32 = 16;
/// Tops of the two rows of the fine wedge, of the height. Source: chosen.
pub(super) const FINE_TOPS: [f64; 2] = [0.27, 0.35];
/// Tops of the two rows of the coarse wedge, of the height. Source: chosen.
pub(super) const COARSE_TOPS: [f64; 2] = [0.455, 0.535];
/// Height of a step, of the chart's. Source: chosen.
pub(super) const WEDGE_HEIGHT: f64 = 0.055;
/// Neutral greys: 10, 25, 40, 60, 75 and 90 % of white. Source: chosen.
const GREY_CODES: [u8; 6] = [26, 64, 102, 153, 191, 230];
/// 75 % of white, 191.25 exactly. Source: chosen, the usual level of colour bars.
const BAR_75_CODE: u8 = 191;
/// Which channels a bar has. Source: order of ITU-R BT.801 and SMPTE RP 219: white, yellow, cyan, green,
/// magenta, red, blue, black.
const BARS: [[u8; 3]; 8] = [
    [1, 1, 1],
    [1, 1, 0],
    [0, 1, 1],
    [0, 1, 0],
    [1, 0, 1],
    [1, 0, 0],
    [0, 0, 1],
    [0, 0, 0],
];

/// Code of a step of the fine wedge: the step itself.
pub fn fine_code(step: u32) -> u8 {
    u8::try_from(step).unwrap_or(u8::MAX)
}

/// Code of a step of the coarse wedge: `255 step / 31`, rounded.
pub fn coarse_code(step: u32) -> u8 {
    let last = WEDGE_STEPS - 1;
    u8::try_from((2 * 255 * step + last) / (2 * last)).unwrap_or(u8::MAX)
}

/// A part of a side, rounded to whole pixels; a half goes up, however the share was summed up.
fn part(share: f64, side: u32) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share from 0 to 1 of a side below 2^15"
    )]
    let px = (share * f64::from(side) + 1e-6).round() as u32;
    px
}

/// Pixels between ticks: 1, 2 or 5 times a power of ten, at most about 20 ticks in `reach`.
fn tick_px(reach: u32) -> u32 {
    let mut decade = 1;
    loop {
        for step in [1, 2, 5] {
            if step * decade * 20 >= reach {
                return step * decade;
            }
        }
        decade *= 10;
    }
}
