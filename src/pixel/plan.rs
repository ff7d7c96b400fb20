//! Settings and frames resolved to what an engine computes with. Built once a picture; every engine takes it.

use super::composite::apply_chain;
use super::frame::Frame;
use super::key::Ramp;
use super::placement::{Placed, output_size, place_camera, place_slide};
use super::sample::Source;
use super::settings::{Alpha, BlendSpace, Settings, Size};
use super::views::{Background, View};

/// What goes into a picture. A missing camera or slide is black.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// The camera frame.
    pub camera: Option<&'a Frame>,
    /// The slide.
    pub slide: Option<&'a Frame>,
    /// What counts as the slide's background, for `kept`.
    pub background: Background,
    /// Everything else.
    pub settings: &'a Settings,
}

/// One of the two sources, placed.
#[derive(Clone, Debug)]
pub struct Layer<'a> {
    /// The picture and how it is read.
    pub source: Source<'a>,
    /// Where it lies.
    pub placed: Placed,
}

/// A scene in the numbers of the formulas, all 0 to 1.
#[derive(Clone, Debug)]
pub struct Plan<'a> {
    /// Size of the picture that is made.
    pub output: Size,
    /// The camera, or black.
    pub camera: Option<Layer<'a>>,
    /// The slide, or black.
    pub slide: Option<Layer<'a>>,
    /// Weight of R'.
    pub kr: f32,
    /// Weight of B'.
    pub kb: f32,
    /// Threshold.
    pub threshold: f32,
    /// Softness.
    pub softness: f32,
    /// Shape of the matte.
    pub ramp: Ramp,
    /// How the slide's colour enters.
    pub alpha: Alpha,
    /// Where the blend is computed.
    pub blend_space: BlendSpace,
    /// The chain's gain and offset, if one is set.
    pub chain: Option<(f32, f32)>,
    /// The slide's background after the chain.
    pub background: [f32; 3],
    /// How far a channel may be off the background.
    pub tolerance: f32,
    /// What is shown.
    pub view: View,
}

impl<'a> Plan<'a> {
    /// Resolves a scene.
    pub fn new(scene: &Scene<'a>) -> Self {
        let Settings {
            key,
            placement,
            chain,
            view,
        } = scene.settings;
        let output = output_size(placement, scene.camera.map(Frame::size));
        let camera = scene.camera.map(|frame| Layer {
            source: Source {
                frame,
                range: placement.camera_range,
                flattened: false,
            },
            placed: place_camera(placement, frame.size(), output),
        });
        let slide = scene.slide.map(|frame| Layer {
            source: Source {
                frame,
                range: placement.slide_range,
                flattened: !frame.is_opaque(),
            },
            placed: place_slide(placement, frame.size(), output),
        });
        let (kr, kb) = key.luma.weights();
        let chain = chain.map(|chain| chain.gain_and_offset_frac());
        let background = match chain {
            Some((gain, offset)) => apply_chain(scene.background.color, gain, offset),
            None => scene.background.color,
        };
        Self {
            output,
            camera,
            slide,
            kr,
            kb,
            threshold: key.threshold_frac(),
            softness: key.softness_frac(),
            ramp: key.ramp,
            alpha: key.alpha,
            blend_space: key.blend_space,
            chain,
            background,
            tolerance: scene.background.tolerance,
            view: *view,
        }
    }
}
