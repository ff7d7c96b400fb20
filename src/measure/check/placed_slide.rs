//! A slide on the output, measured once for all keys.

use std::sync::OnceLock;

use super::slide_geometry::Drawn;
use crate::measure::limits::{Limit, Limits};
use crate::measure::slide::background::measure_background;
use crate::measure::slide::ground::Ground;
use crate::measure::slide::pieces::Content;
use crate::measure::slide::slide_raster::SlideRaster;
use crate::measure::slide::tiles::Tiles;
use crate::pixel::chain::Chain;
use crate::pixel::frame::Frame;
use crate::pixel::key::Luma;
use crate::pixel::placement::output_size;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Placement, Settings, Size};
use crate::pixel::views::Background;

/// All that decides what a slide is on the output; of the key the luma weights alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlacedUnder {
    placement: Placement,
    chain: Option<Chain>,
    luma: Luma,
    brightest_percent: f64,
}

impl PlacedUnder {
    /// What of settings and limits decides it. The camera's size is the output's where the settings have none.
    pub fn new(settings: &Settings, limits: &Limits, camera: Option<Size>) -> Self {
        let output = output_size(&settings.placement, camera);
        Self {
            placement: Placement {
                size: Some(output),
                ..settings.placement
            },
            chain: settings.chain,
            luma: settings.key.luma,
            brightest_percent: limits.get(Limit::NotDark),
        }
    }

    fn settings(&self) -> Settings {
        let mut settings = Settings {
            placement: self.placement,
            chain: self.chain,
            ..Settings::default()
        };
        settings.key.luma = self.luma;
        settings
    }
}

/// A slide on the output: the signal that reaches the key, its background, and what is on it.
#[derive(Clone, Debug)]
pub struct PlacedSlide {
    pub(crate) background: Background,
    /// The background as it reaches the key, R'G'B' 0 to 1.
    pub(super) keyed_background: [f32; 3],
    pub(crate) raster: SlideRaster,
    /// Tiles of the background, where it has some.
    pub(crate) tiles: Option<Tiles>,
    pub(crate) ground: Ground,
    pub(crate) content: Content,
    drawn: OnceLock<Drawn>,
}

impl PlacedSlide {
    /// Places a slide and measures it, on this thread. `lossy` says that its file was compressed with loss,
    /// so that small differences are noise.
    pub fn new(slide: &Frame, lossy: bool, under: &PlacedUnder) -> Self {
        let background = measure_background(slide, under.placement.slide_range);
        let settings = under.settings();
        let plan = Plan::new(&Scene {
            camera: None,
            slide: Some(slide),
            background,
            settings: &settings,
        });
        let raster = SlideRaster::new(&plan);
        let tiles = Tiles::measure(&raster);
        let ground = match &tiles {
            Some(tiles) => {
                Ground::measure(&raster, tiles, plan.background, under.brightest_percent)
            }
            None => Ground::flat(plan.background),
        };
        let content = Content::on_ground(&raster, &ground, lossy);
        Self {
            background,
            keyed_background: plan.background,
            raster,
            tiles,
            ground,
            content,
            drawn: OnceLock::new(),
        }
    }

    /// Its marks and lines of text; made when first asked for.
    pub(crate) fn drawn(&self) -> &Drawn {
        let draw = || Drawn::new(&self.raster, &self.content, self.keyed_background);
        self.drawn.get_or_init(draw)
    }
}
