//! How a page looks: its background, its colours, its typeface and the size of its file.

use crate::lettering::Face;
use crate::noise::{grain, layered, mix, unit};
use crate::sheet::{Code, Fault, OUTPUT_HEIGHT, OUTPUT_WIDTH, Raster, Sheet, Spot};

pub(crate) const WHITE: Code = [255, 255, 255];
pub(crate) const YELLOW: Code = [255, 224, 92];
pub(crate) const ICE: Code = [158, 232, 255];
pub(crate) const CORAL: Code = [255, 122, 96];
pub(crate) const MINT: Code = [130, 240, 170];
pub(crate) const SILVER: Code = [176, 184, 196];

/// A background.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Ground {
    /// One colour.
    Flat(Code),
    /// Codes that differ by up to three from pixel to pixel.
    Dither(u8),
    /// From one colour at the top to another at the bottom.
    Fall(Code, Code),
    /// From one colour in the middle to another in the corners.
    Vignette(Code, Code),
    /// Clouds around a grey, with the amplitude.
    Cloud(f32, f32),
    /// From one colour in the top right corner down to black within a radius.
    Corner(Code, f32),
    /// A colour from a column on; black left of it, with a soft edge.
    Side(Code, f32),
}

impl Ground {
    /// The colour at a place.
    pub(crate) fn code(self, (x, y): Spot, (column, row): (i32, i32)) -> Code {
        let fade = |from: Code, to: Code, t: f32| {
            let lift = unit(column, row, 5);
            let t = t.clamp(0.0, 1.0);
            std::array::from_fn(|c| {
                let value = mix(f32::from(from[c]), f32::from(to[c]), t);
                (value + lift).floor().clamp(0.0, 255.0) as u8
            })
        };
        match self {
            Self::Flat(code) => code,
            Self::Dither(base) => {
                std::array::from_fn(|c| base + (4.0 * unit(column, row, c as i32)) as u8)
            }
            Self::Fall(top, bottom) => fade(top, bottom, y / OUTPUT_HEIGHT),
            Self::Vignette(middle, corner) => {
                let (dx, dy) = (x / OUTPUT_WIDTH - 0.5, y / OUTPUT_HEIGHT - 0.5);
                fade(middle, corner, dx.hypot(dy) / 0.7)
            }
            Self::Cloud(middle, swing) => {
                let cloud = layered(x * 0.006, y * 0.008, 3.0, 4) - 0.5;
                let value = middle + 2.0 * swing * cloud + 0.6 * grain(column, row, 9);
                [value.round().clamp(0.0, 255.0) as u8; 3]
            }
            Self::Corner(code, radius) => {
                let away = (OUTPUT_WIDTH - x).hypot(y) / radius;
                fade(code, [0; 3], away)
            }
            Self::Side(code, column_at) => fade([0; 3], code, (x - column_at) / 24.0),
        }
    }
}

/// Colours of a page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Colors {
    pub(crate) title: Code,
    pub(crate) body: Code,
    pub(crate) line: Code,
    pub(crate) accent: Code,
}

/// White and ice blue.
pub(crate) const COOL: Colors = Colors {
    title: WHITE,
    body: [226, 232, 240],
    line: ICE,
    accent: YELLOW,
};
/// Yellow and coral.
pub(crate) const WARM: Colors = Colors {
    title: YELLOW,
    body: WHITE,
    line: CORAL,
    accent: MINT,
};
/// Subdued but solid greys, as careful designers have them.
pub(crate) const QUIET: Colors = Colors {
    title: SILVER,
    body: [150, 158, 170],
    line: [96, 116, 140],
    accent: [200, 150, 80],
};
/// Dark on light, for white decks.
pub(crate) const INK: Colors = Colors {
    title: [16, 32, 72],
    body: [30, 30, 34],
    line: [40, 80, 140],
    accent: [180, 40, 30],
};

/// How a page looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Look {
    pub(crate) raster: Raster,
    pub(crate) ground: Ground,
    pub(crate) colors: Colors,
    pub(crate) face: Face,
}

/// Backgrounds that the key drops whole.
pub(crate) const DARK_GROUNDS: [Ground; 8] = [
    Ground::Flat([0, 0, 0]),
    Ground::Flat([8, 9, 12]),
    Ground::Dither(0),
    Ground::Flat([8, 10, 40]),
    Ground::Fall([13, 13, 13], [0, 0, 0]),
    Ground::Flat([0, 0, 0]),
    Ground::Dither(8),
    Ground::Vignette([10, 12, 16], [0, 0, 0]),
];

impl Look {
    /// The look with this number: every typeface with every background, mostly HD, in three palettes.
    pub(crate) fn numbered(k: usize) -> Self {
        let raster = match k % 12 {
            3 => Raster::SMALL,
            7 => Raster::LARGE,
            10 => Raster::NARROW,
            _ => Raster::HD,
        };
        Self {
            raster,
            ground: DARK_GROUNDS[k % DARK_GROUNDS.len()],
            colors: [COOL, WARM, QUIET][k % 3],
            face: Face::ALL[(k * 3 + k / 10) % Face::ALL.len()],
        }
    }

    /// The same on another background.
    pub(crate) fn on(self, ground: Ground) -> Self {
        Self { ground, ..self }
    }

    /// An empty slide with its background.
    pub(crate) fn sheet(&self) -> Result<Sheet, Fault> {
        let mut sheet = Sheet::black(self.raster)?;
        sheet.repaint(|_, spot, pixel| self.ground.code(spot, pixel));
        Ok(sheet)
    }

    /// A short word on it, for names.
    pub(crate) fn label(&self) -> String {
        let face = match self.face {
            Face::Paged(name) => name,
            Face::LIGHT => "Light",
            Face::HEAVY => "Heavy",
            Face::Outlined { .. } => "Fixed",
        };
        format!("{face}-{}", self.raster.height)
    }
}
