//! A light slide turned into a dark one that keys, at the slide's own size. Decides what is background,
//! content and photograph; the colours are made by `dark_color`.

use std::collections::HashMap;

use serde::Serialize;

use super::cut_out::{Part, Place};
use super::dark_color::{DarkColors, Turn, lightness, solid_codes};
use super::plates::plates;
use crate::measure::check::slide_check::{SlideToCheck, check_slide};
use crate::measure::finding::Kind;
use crate::measure::limits::{Limit, Limits};
use crate::measure::raster::bits::Bits;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::slide::background::measure_background;
use crate::measure::slide::continuous_tone::{find_continuous_tone, photograph_fills};
use crate::measure::slide::flat_regions::FlatRegions;
use crate::measure::slide::pieces::Content;
use crate::measure::slide::slide_raster::SlideRaster;
use crate::measure::slide::smooth_ground::grown_background;
use crate::pixel::color::to_u8;
use crate::pixel::frame::{Frame, FrameError, Pixels};
use crate::pixel::key::luma;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Placement, Settings};
use crate::pixel::views::Background;

/// L* by which a plate under lighter words is darker than the background. Source: chosen; white words
/// read on such a colour.
const PLATE_DARKER: f64 = 35.0;
/// Codes from the background's colour from which a pixel of a lossy file is painted although compression
/// noise may be as large. Source: chosen; ringing at quality 75 is seldom larger.
const SURE_CODES_LOSSY: u8 = 16;
/// How far around an edge pixel its two sides are looked for, px. Source: an edge after scaling and
/// smoothing is at most four pixels wide.
const EDGE_REACH_PX: u32 = 2;
/// Neighbours of eight that a pixel inside a shape is like. Source: chosen.
const LIKE_NEIGHBOURS: usize = 5;
/// Codes by which neighbours inside a shape differ at most; more in a lossy file. Source: chosen, dither
/// and compression noise at quality 75.
const LIKE_CODES: u8 = 4;
const LIKE_CODES_LOSSY: u8 = 14;
/// Codes by which an edge pixel lies off the line between its two sides at most. Source: chosen; smoothing
/// in linear light bends the line by up to 60 codes between black and white, but not off it.
const EDGE_OFF_CODES: f32 = 40.0;
/// How far a plate reaches beyond its photograph, of the slide's height. Source: chosen by eye.
const PLATE_MARGIN: f32 = 0.012;

/// What is turned, and under what.
#[derive(Clone, Copy, Debug)]
pub struct SlideToDarken<'a> {
    /// The slide, as decoded.
    pub slide: &'a Frame,
    /// Whether its file was compressed with loss.
    pub lossy: bool,
    /// The key and chain that the dark slide must stay solid under, and the slide's code range.
    pub settings: &'a Settings,
    /// Where a background is not dark.
    pub limits: &'a Limits,
    /// Whether photographs get a plate of the darkest solid grey behind them.
    pub plate: bool,
}

/// What became of a slide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Change {
    /// The key drops its background already: nothing changed.
    LeftAlone,
    /// The key drops most of its background, and what it keeps may be part of a picture on it: nothing changed.
    LeftWithPicture,
    /// The background was dark and is black now; the rest is kept, lifted where it was not solid.
    Blackened,
    /// Lightness was reversed.
    Reversed,
    /// A photograph fills it: kept, its darks lifted.
    Photograph,
}

impl Change {
    /// What became of it, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::LeftAlone => "left as it was: the key drops its background already",
            Self::LeftWithPicture => {
                "left as it was: the key drops most of its background, and what it keeps may be part of the picture on it"
            }
            Self::Blackened => "its dark background made black",
            Self::Reversed => "turned dark",
            Self::Photograph => {
                "a photograph fills it: kept, its darks lifted; it covers the camera, so show it smaller \
                 on black where the presenter must be seen"
            }
        }
    }
}

/// A slide that keys.
#[derive(Clone, Debug)]
pub struct DarkSlide {
    /// The slide, 8-bit, of the same size.
    pub frame: Frame,
    /// What became of it.
    pub change: Change,
    /// Where photographs were kept, from top to bottom.
    pub photographs: Vec<PixelBox>,
}

/// Turns a slide dark.
pub fn darken(slide: &SlideToDarken<'_>) -> Result<DarkSlide, FrameError> {
    let key = &slide.settings.key;
    let (kr, kb) = key.luma.weights();
    let range = slide.settings.placement.slide_range;
    let background = measure_background(slide.slide, range);
    let (gain, offset) = slide
        .settings
        .chain
        .map_or((1.0, 0.0), |chain| chain.gain_and_offset_frac());
    let background_luma = luma(background.color, kr, kb);
    let raster = own_raster(slide, background);
    let content = Content::measure(&raster, background.color, slide.lossy);
    let size = raster.size();
    let mut is_content = Bits::of(content.mask());
    let photographs = find_continuous_tone(size, raster.codes(), slide.lossy, |x, y| {
        is_content.get(x, y)
    });
    let fills_it = photograph_fills(&raster, background.color, slide.lossy);
    let is_dropped = background_luma * gain + offset <= key.threshold_frac();
    if !fills_it
        && is_dropped
        && let Some(change) = left_as(slide, !photographs.is_empty())
    {
        return unchanged(&raster, change);
    }
    let is_light = 100.0 * f64::from(background_luma) > slide.limits.get(Limit::NotDark);
    let turn = if is_light {
        Turn::Reverse {
            background: lightness(background.color),
        }
    } else {
        Turn::Keep
    };
    let colors = DarkColors::new(slide.settings, turn);
    let kept = DarkColors::new(slide.settings, Turn::Keep);
    let like = [LIKE_CODES, LIKE_CODES_LOSSY][usize::from(slide.lossy)];
    let regions = FlatRegions::of(&raster, like);
    let plates = if is_light {
        plates(&raster, lightness(background.color) - PLATE_DARKER)
    } else {
        vec![false; size.area()]
    };
    let mut painting = Painting {
        raster: &raster,
        colors: &colors,
        kept: &kept,
        background: background.color,
        regions,
        plates,
        like,
        turned: HashMap::new(),
        out: vec![[0, 0, 0, u8::MAX]; size.area()],
    };
    let photographs = if fills_it {
        let place = Place::all(size);
        painting.keep_photograph(&place);
        vec![place.bounds]
    } else {
        let codes = background.color.map(to_u8);
        if slide.lossy {
            painting.take_in_what_is_no_noise(&mut is_content, codes);
        }
        let mut ground = grown_background(
            &raster,
            &content,
            &is_content,
            &photographs,
            codes,
            slide.lossy,
        );
        let places: Vec<Place> = photographs
            .iter()
            .map(|&bounds| Place::of(bounds, &content, &is_content))
            .collect();
        // Black in a filled area would be a hole: it is as dark as what stays.
        let is_free = |x, y| !is_content.get(x, y) || ground.get(x, y);
        painting.regions.join_counters(is_free);
        for (x, y) in painting.regions.enclosed(size, is_free) {
            is_content.set(x, y, true);
            ground.set(x, y, false);
        }
        painting.paint_content(&is_content, &ground);
        for place in &places {
            if slide.plate {
                painting.lay_plate(place.bounds);
            }
            painting.keep_photograph(place);
        }
        places.iter().map(|place| place.bounds).collect()
    };
    Ok(DarkSlide {
        frame: Frame::new(size, Pixels::Rgba8(painting.out))?,
        change: match (fills_it, is_light) {
            (true, _) => Change::Photograph,
            (false, true) => Change::Reversed,
            (false, false) => Change::Blackened,
        },
        photographs,
    })
}

/// How a slide is left alone whose most frequent colour is dropped; none where its background changes and is not
/// dropped all over.
fn left_as(slide: &SlideToDarken<'_>, has_picture: bool) -> Option<Change> {
    let check = check_slide(&SlideToCheck {
        slide: slide.slide,
        lossy: slide.lossy,
        cameras: &[],
        settings: slide.settings,
        limits: slide.limits,
        reserved: &[],
        zones: &[],
    });
    let is_hazy = check.findings.iter().any(|one| one.kind == Kind::Haze);
    match (is_hazy, has_picture) {
        (false, _) => Some(Change::LeftAlone),
        // The dark parts of a picture are not told from a background that changes.
        (true, true) => Some(Change::LeftWithPicture),
        (true, false) => None,
    }
}

/// The slide as it is, flattened.
fn unchanged(raster: &SlideRaster, change: Change) -> Result<DarkSlide, FrameError> {
    let opaque = |&[r, g, b, _]: &[u8; 4]| [r, g, b, u8::MAX];
    let pixels = raster.codes().iter().map(opaque).collect();
    Ok(DarkSlide {
        frame: Frame::new(raster.size(), Pixels::Rgba8(pixels))?,
        change,
        photographs: Vec::new(),
    })
}

/// The slide on an output of its own size, without a chain.
fn own_raster(slide: &SlideToDarken<'_>, background: Background) -> SlideRaster {
    let settings = Settings {
        key: slide.settings.key,
        placement: Placement {
            size: Some(slide.slide.size()),
            slide_range: slide.settings.placement.slide_range,
            ..Placement::default()
        },
        ..Settings::default()
    };
    SlideRaster::new(&Plan::new(&Scene {
        camera: None,
        slide: Some(slide.slide),
        background,
        settings: &settings,
    }))
}

/// What a pixel is part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Role {
    /// A filled area.
    Fill,
    /// A letter or a line.
    Stroke,
    /// A plate, or what lies on it.
    Plate,
}

/// The dark slide while it is made.
struct Painting<'a> {
    raster: &'a SlideRaster,
    colors: &'a DarkColors,
    kept: &'a DarkColors,
    background: [f32; 3],
    regions: FlatRegions,
    /// Pixels of dark bars and boxes with lighter words on them, which stay as they are.
    plates: Vec<bool>,
    like: u8,
    turned: HashMap<([u8; 3], Role), [f32; 3]>,
    out: Vec<[u8; 4]>,
}

impl Painting<'_> {
    /// Everything but photographs: content in turned colours, edges between it and the background in the
    /// same share of them, the rest black.
    fn paint_content(&mut self, is_content: &Bits, is_ground: &Bits) {
        let size = self.raster.size();
        for y in 0..size.height() {
            for x in 0..size.width() {
                let is_plate = self.plates[self.raster.index(x, y)];
                if !is_plate && (!is_content.get(x, y) || is_ground.get(x, y)) {
                    continue;
                }
                let painted = if is_plate || self.is_inside_a_shape(x, y) {
                    self.turned((x, y))
                } else {
                    self.edge(x, y, is_content, is_ground)
                };
                self.put(x, y, painted);
            }
        }
    }

    /// Pixels beside strong edges of a lossy file that differ from the background more than noise does.
    fn take_in_what_is_no_noise(&self, is_content: &mut Bits, background: [u8; 3]) {
        let size = self.raster.size();
        for y in 0..size.height() {
            for x in 0..size.width() {
                let color = self.raster.color(x, y);
                if (0..3).any(|c| color[c].abs_diff(background[c]) > SURE_CODES_LOSSY) {
                    is_content.set(x, y, true);
                }
            }
        }
    }

    /// Whether most neighbours are like the pixel.
    fn is_inside_a_shape(&self, x: u32, y: u32) -> bool {
        let color = self.raster.color(x, y);
        let near = self.window(x, y, 1).filter(|&(nx, ny)| {
            let other = self.raster.color(nx, ny);
            (0..3).all(|c| color[c].abs_diff(other[c]) <= self.like)
        });
        // The pixel itself is like itself.
        near.count() > LIKE_NEIGHBOURS
    }

    /// An edge pixel: how much of the colour beside it there is over the background, in the turned colour.
    fn edge(&mut self, x: u32, y: u32, is_content: &Bits, is_ground: &Bits) -> [f32; 3] {
        let color = self.raster.color(x, y);
        let off =
            |color: [u8; 3], ground: [f32; 3]| [0, 1, 2].map(|c| f32::from(color[c]) - ground[c]);
        let ground_at = |&(nx, ny): &(u32, u32)| {
            !self.plates[self.raster.index(nx, ny)]
                && (!is_content.get(nx, ny) || is_ground.get(nx, ny))
        };
        let mut ground = [0.0; 3];
        let mut ground_pixels = 0.0;
        for (nx, ny) in self.window(x, y, EDGE_REACH_PX).filter(ground_at) {
            let other = self.raster.color(nx, ny);
            ground = [0, 1, 2].map(|c| ground[c] + f32::from(other[c]));
            ground_pixels += 1.0;
        }
        if ground_pixels == 0.0 {
            return self.turned((x, y));
        }
        let ground = ground.map(|sum| sum / ground_pixels);
        let far = self
            .window(x, y, EDGE_REACH_PX)
            .filter(|place| !ground_at(place))
            .max_by(|&a, &b| {
                let far = |(nx, ny)| squared(off(self.raster.color(nx, ny), ground));
                far(a).total_cmp(&far(b))
            });
        let far_place = far.unwrap_or((x, y));
        let far = self.raster.color(far_place.0, far_place.1);
        let (whole, part) = (off(far, ground), off(color, ground));
        let share = dot(part, whole) / squared(whole).max(1.0);
        let beside = [0, 1, 2].map(|c| part[c] - share * whole[c]);
        if squared(beside) > EDGE_OFF_CODES * EDGE_OFF_CODES {
            return self.turned((x, y));
        }
        self.turned(far_place).map(|v| v * share.clamp(0.0, 1.0))
    }

    /// A photograph as it is, its darks lifted: `y' = (y^4 + s^4)^(1/4)` with `s` the luma that is solid,
    /// added as grey, so that what is well above stays as it is and dark tones keep their order.
    fn keep_photograph(&mut self, place: &Place) {
        let bounds = place.bounds;
        let solid = self.colors.solid_luma();
        for y in bounds.y..bounds.bottom() {
            for x in bounds.x..bounds.right() {
                match place.part(x, y) {
                    Part::Photograph => {}
                    Part::Rim => {
                        self.put(x, y, [0.0; 3]);
                        continue;
                    }
                    Part::Beside => continue,
                }
                let codes = self.raster.color(x, y);
                let color = codes.map(|v| f32::from(v) / 255.0);
                let tone = self.raster.luma(codes);
                let lifted = (tone.powi(4) + solid.powi(4)).sqrt().sqrt();
                let raised = color.map(|v| (v + lifted - tone).min(1.0));
                let sure = self.colors.lifted(raised);
                self.put(x, y, sure);
            }
        }
    }

    /// The darkest solid grey around a photograph's place.
    fn lay_plate(&mut self, bounds: PixelBox) {
        let size = self.raster.size();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a small share of a side"
        )]
        let margin = (PLATE_MARGIN * size.height() as f32) as u32 + 1;
        let grey = self.colors.lifted([0.0; 3]);
        let rows = bounds.y.saturating_sub(margin)..(bounds.bottom() + margin).min(size.height());
        for y in rows {
            let end = (bounds.right() + margin).min(size.width());
            for x in bounds.x.saturating_sub(margin)..end {
                self.put(x, y, grey);
            }
        }
    }

    /// The turned colour of a pixel, by what it is part of.
    fn turned(&mut self, (x, y): (u32, u32)) -> [f32; 3] {
        let role = if self.plates[self.raster.index(x, y)] {
            Role::Plate
        } else if self.regions.is_stroke(x, y) {
            Role::Stroke
        } else {
            Role::Fill
        };
        let (colors, kept, background) = (self.colors, self.kept, self.background);
        let codes = self.raster.color(x, y);
        let color = codes.map(|v| f32::from(v) / 255.0);
        let turned = || match role {
            Role::Fill => colors.turned(color),
            Role::Stroke => colors.turned_stroke(color, background),
            Role::Plate => kept.turned(color),
        };
        *self.turned.entry((codes, role)).or_insert_with(turned)
    }

    fn put(&mut self, x: u32, y: u32, color: [f32; 3]) {
        let [r, g, b] = solid_codes(color);
        let index = self.raster.index(x, y);
        self.out[index] = [r, g, b, u8::MAX];
    }

    /// The places at most `reach` away, the place itself included.
    fn window(&self, x: u32, y: u32, reach: u32) -> impl Iterator<Item = (u32, u32)> + use<> {
        let size = self.raster.size();
        let columns = x.saturating_sub(reach)..(x + reach + 1).min(size.width());
        let rows = y.saturating_sub(reach)..(y + reach + 1).min(size.height());
        rows.flat_map(move |ny| columns.clone().map(move |nx| (nx, ny)))
    }
}

fn dot(a: [f32; 3], b: [f32; 3]) -> f32 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn squared(a: [f32; 3]) -> f32 {
    dot(a, a)
}
