//! A mixer that keys the chart over flat grey: the project's formula for the matte, the rest in `f64`.

use nightglass::measure::test_chart::chart::Chart;
use nightglass::measure::test_chart::chart_drawing::draw_chart;
use nightglass::measure::test_chart::jpeg_noise::JpegGrid;
use nightglass::measure::test_chart::key_fit::Dimming;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::key::{Luma, Ramp, luma, matte};
use nightglass::pixel::settings::Alpha;

use crate::simulation::{Planes, Random, Way, record};

/// How the mixer is set.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mixer {
    /// Percent of white.
    pub(crate) threshold: f64,
    /// Percent of white.
    pub(crate) softness: f64,
    pub(crate) ramp: Ramp,
    pub(crate) alpha: Alpha,
    pub(crate) dimming: Dimming,
    /// What is left of it; 1 where nothing is dimmed.
    pub(crate) left: f64,
    /// Level of the grey, percent of white.
    pub(crate) over: f64,
}

/// The chart after the levels of the chain, keyed, and recorded.
pub(crate) fn keyed(way: &Way, mixer: &Mixer, random: &mut Random) -> (Frame, Option<JpegGrid>) {
    let mut picture = Planes::of(&draw_chart(Chart::new(way.chart).unwrap()));
    let (kr, kb) = Luma::Bt709.weights();
    let over = mixer.over / 100.0;
    picture.map(|rgb| {
        let slide = rgb.map(|code| way.levels.apply(code) / 255.0);
        let m = f64::from(matte(
            luma(slide.map(|v| v as f32), kr, kb),
            mixer.threshold as f32 / 100.0,
            mixer.softness as f32 / 100.0,
            mixer.ramp,
        ));
        let (colour, m) = match mixer.dimming {
            Dimming::Colour => (mixer.left, m),
            Dimming::Matte => (1.0, mixer.left * m),
        };
        slide.map(|s| {
            let out = match (mixer.alpha, mixer.dimming) {
                (Alpha::Straight, _) => m * colour * s + (1.0 - m) * over,
                (Alpha::Premultiplied, _) => mixer.left * s + (1.0 - m) * over,
            };
            255.0 * out.min(1.0)
        })
    });
    record(&picture, way, random)
}
