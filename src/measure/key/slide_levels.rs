//! The luma of one slide's background and of its content: what a key for the whole deck is chosen from.

use crate::measure::check::slide_check::SlideToCheck;
use crate::measure::contrast::{contrast_ratio, relative_luminance, relative_luminance_frac};
use crate::measure::limits::Limit;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::slide::background::measure_background;
use crate::measure::slide::pieces::Content;
use crate::measure::slide::slide_cores::{Core, slide_cores};
use crate::measure::slide::slide_raster::SlideRaster;
use crate::measure::statistics::level_counts::{Level, LevelCounts};
use crate::measure::statistics::noise_ceiling::LEAST_PIXELS;
use crate::pixel::cpu_engine::for_each_matte_row;
use crate::pixel::key::{Ramp, luma};
use crate::pixel::plan::{Plan, Scene};

/// Most pieces of content that are kept of a slide, those with the lowest luma.
/// Source: chosen; a slide has to be opened once, however many of its pieces conflict.
pub const MOST_PIECES: usize = 32;

/// A piece of visible content and the lowest luma in it that has to stay solid.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ContentFloor {
    /// Where it is.
    pub bounds: PixelBox,
    /// What at least [`LEAST_PIXELS`] of its pixels stay at or under.
    pub floor: Level,
    /// Their colour, 8-bit R'G'B' after the chain.
    pub color: [u8; 3],
}

/// The levels of one slide, some tens of kilobytes where it has a photograph.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SlideLevels {
    /// Luma of the colour that most of the background has, before the chain, percent of white.
    pub background_percent: f64,
    /// Pixels of the background, black beside the slide included, as they reach the key.
    pub background: LevelCounts,
    /// From the lowest level up, where the background is at or over it; levels with the same place as a
    /// higher one are left out.
    pub background_places: Vec<(Level, PixelBox)>,
    /// Pixels of visible content, without anti-aliased edges.
    pub content: LevelCounts,
    /// The pieces with the lowest floors, lowest first; at most [`MOST_PIECES`].
    pub pieces: Vec<ContentFloor>,
    /// Pixels of the output.
    pub output_px: u64,
}

impl SlideLevels {
    /// The highest level of the background that more than a speck has.
    pub fn background_top(&self) -> Option<Level> {
        self.background.reached_by(LEAST_PIXELS)
    }

    /// Where the background is at or over a luma, percent of white.
    pub fn background_at(&self, percent: f64) -> Option<PixelBox> {
        let mut places = self.background_places.iter();
        places
            .find(|(level, _)| level.percent() >= percent)
            .map(|(_, bounds)| *bounds)
    }
}

/// Measures a slide as it reaches the key: placed and after the chain's gain and offset. The chain's
/// noise comes in where levels become a key.
///
/// Content counts where its contrast to the slide's background is at or over the limit `loss_warn`.
pub fn measure_slide_levels(check: &SlideToCheck<'_>) -> SlideLevels {
    let background = measure_background(check.slide, check.settings.placement.slide_range);
    let plan = Plan::new(&Scene {
        camera: check.cameras.first().map(|camera| camera.frame),
        slide: Some(check.slide),
        background,
        settings: check.settings,
    });
    let raster = SlideRaster::new(&plan);
    let content = Content::measure(&raster, plan.background, check.lossy);
    let cores = slide_cores(&raster, &content, check.lossy);
    let lumas = unrounded_lumas(&plan);

    let behind = relative_luminance_frac(plan.background);
    let limit = check.limits.get(Limit::LossWarn);
    let is_visible = |code: [u8; 3]| contrast_ratio(relative_luminance(code), behind) >= limit;
    let mut content_counts = vec![0_u32; Level::WHITE.index() + 1];
    let mut pieces = Vec::new();
    for (index, piece) in content.pieces().iter().enumerate() {
        let mut levels = Vec::new();
        for run in content.runs_of(index) {
            for i in raster.index(run.start, run.y)..raster.index(run.end, run.y) {
                let [r, g, b, _] = raster.codes()[i];
                if cores[i] == Core::Content && is_visible([r, g, b]) {
                    let level = Level::at_or_under(lumas[i]);
                    content_counts[level.index()] += 1;
                    levels.push((level, i));
                }
            }
        }
        let nth = usize::try_from(LEAST_PIXELS - 1).unwrap_or(usize::MAX);
        if nth < levels.len() {
            let (floor, i) = *levels.select_nth_unstable(nth).1;
            let [r, g, b, _] = raster.codes()[i];
            pieces.push(ContentFloor {
                bounds: piece.bounds,
                floor,
                color: [r, g, b],
            });
        }
    }
    pieces.sort_by_key(|piece| (piece.floor, piece.bounds.y, piece.bounds.x));
    pieces.truncate(MOST_PIECES);

    let (background_counts, background_places) = background_levels(&raster, &cores, &lumas);
    SlideLevels {
        background_percent: 100.0 * f64::from(luma(background.color, plan.kr, plan.kb)),
        background: background_counts,
        background_places,
        content: Level::all().zip(content_counts).collect(),
        pieces,
        output_px: plan.output.area() as u64,
    }
}

/// Luma of every pixel of the slide signal, 0 to 1, as the key gets it.
fn unrounded_lumas(plan: &Plan<'_>) -> Vec<f32> {
    // The matte of a linear ramp over the whole range is the luma itself.
    let whole_range = Plan {
        threshold: 0.0,
        softness: 1.0,
        ramp: Ramp::Linear,
        ..plan.clone()
    };
    let mut lumas = Vec::with_capacity(plan.output.area());
    for_each_matte_row(&whole_range, |row| lumas.extend_from_slice(row));
    lumas
}

/// How many pixels of the background have which level, and where it is at or over each level.
fn background_levels(
    raster: &SlideRaster,
    cores: &[Core],
    lumas: &[f32],
) -> (LevelCounts, Vec<(Level, PixelBox)>) {
    let mut counts = vec![0_u32; Level::WHITE.index() + 1];
    let mut places: Vec<Option<PixelBox>> = vec![None; counts.len()];
    let grown = |place: Option<PixelBox>, more: PixelBox| {
        Some(place.map_or(more, |place| place.union(more)))
    };
    for y in 0..raster.size().height() {
        for x in 0..raster.size().width() {
            let i = raster.index(x, y);
            if cores[i] == Core::Background {
                let level = Level::at_or_over(lumas[i]).index();
                counts[level] += 1;
                let pixel = PixelBox {
                    x,
                    y,
                    width: 1,
                    height: 1,
                };
                places[level] = grown(places[level], pixel);
            }
        }
    }
    let mut over = None;
    let mut from_top: Vec<(Level, PixelBox)> = Vec::new();
    let levels: Vec<Level> = Level::all().collect();
    for (&level, place) in levels.iter().zip(places).rev() {
        let Some(place) = place else { continue };
        over = grown(over, place);
        if let Some(bounds) = over {
            match from_top.last_mut() {
                // The same place holds the lower level too.
                Some(last) if last.1 == bounds => {}
                _ => from_top.push((level, bounds)),
            }
        }
    }
    from_top.reverse();
    (levels.into_iter().zip(counts).collect(), from_top)
}
