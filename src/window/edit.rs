//! A new value for a setting: which one, and into which place of the setup it goes.

use crate::files::setup_file::Setup;
use crate::pixel::chain::Chain;
use crate::pixel::guides::Guide;
use crate::pixel::key::{Luma, Ramp};
use crate::pixel::settings::{
    Alpha, BlendSpace, CodeRange, Engine, Fit, Settings, SettingsError, Size, SlidePlace, Turn,
};

/// Names of the settings, to find the control, its error and its undo step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Setting {
    /// Luma at and below which the slide is dropped.
    Threshold,
    /// Width of the ramp above it.
    Softness,
    /// Shape of the ramp.
    Ramp,
    /// Luma weights.
    Luma,
    /// How the slide's colour enters.
    Alpha,
    /// Where the blend is computed.
    BlendSpace,
    /// Size of the output.
    Size,
    /// How the camera is brought to the output.
    CameraFit,
    /// How the slide is brought to its rectangle.
    SlideFit,
    /// The slide's rectangle.
    SlidePlace,
    /// Turn of the camera.
    TurnCamera,
    /// Flip of the camera.
    MirrorCamera,
    /// Flip of the slide.
    MirrorSlide,
    /// Range of the camera still.
    CameraRange,
    /// Range of the slide stills.
    SlideRange,
    /// What the video chain does to the slide signal.
    Chain,
    /// Safe areas and grids.
    Guides,
    /// Flip of the presenter's monitor.
    MirrorMonitor,
    /// Who computes the picture.
    Engine,
    /// Where content of slides is to be, and where not.
    Zones,
}

/// A new value for a setting, not yet checked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Edit {
    /// Percent of white.
    Threshold(f64),
    /// Percent of white.
    Softness(f64),
    /// Threshold and softness, percent of white.
    ThresholdAndSoftness([f64; 2]),
    /// Shape of the ramp.
    Ramp(Ramp),
    /// Luma weights.
    Luma(Luma),
    /// How the slide's colour enters.
    Alpha(Alpha),
    /// Where the blend is computed.
    BlendSpace(BlendSpace),
    /// Width and height in pixels, or the camera's.
    Size(Option<[u32; 2]>),
    /// How the camera is brought to the output.
    CameraFit(Fit),
    /// How the slide is brought to its rectangle.
    SlideFit(Fit),
    /// x, y, width, height in percent of the output.
    SlidePlace([f64; 4]),
    /// Turn of the camera.
    TurnCamera(Turn),
    /// Flip of the camera.
    MirrorCamera(bool),
    /// Flip of the slide.
    MirrorSlide(bool),
    /// Range of the camera still.
    CameraRange(CodeRange),
    /// Range of the slide stills.
    SlideRange(CodeRange),
    /// Gain as a factor, offset and noise in percent of white; or no chain.
    Chain(Option<[f64; 3]>),
    /// Whether a guide is shown.
    Guide(Guide, bool),
    /// Flip of the presenter's monitor.
    MirrorMonitor(bool),
    /// Who computes the picture.
    Engine(Engine),
}

impl Edit {
    /// The setting that changes.
    pub fn setting(self) -> Setting {
        match self {
            Self::Threshold(_) | Self::ThresholdAndSoftness(_) => Setting::Threshold,
            Self::Softness(_) => Setting::Softness,
            Self::Ramp(_) => Setting::Ramp,
            Self::Luma(_) => Setting::Luma,
            Self::Alpha(_) => Setting::Alpha,
            Self::BlendSpace(_) => Setting::BlendSpace,
            Self::Size(_) => Setting::Size,
            Self::CameraFit(_) => Setting::CameraFit,
            Self::SlideFit(_) => Setting::SlideFit,
            Self::SlidePlace(_) => Setting::SlidePlace,
            Self::TurnCamera(_) => Setting::TurnCamera,
            Self::MirrorCamera(_) => Setting::MirrorCamera,
            Self::MirrorSlide(_) => Setting::MirrorSlide,
            Self::CameraRange(_) => Setting::CameraRange,
            Self::SlideRange(_) => Setting::SlideRange,
            Self::Chain(_) => Setting::Chain,
            Self::Guide(..) => Setting::Guides,
            Self::MirrorMonitor(_) => Setting::MirrorMonitor,
            Self::Engine(_) => Setting::Engine,
        }
    }

    /// Checks the value and puts it into the setup.
    pub fn put_into(self, setup: &mut Setup) -> Result<(), SettingsError> {
        let Settings {
            key,
            placement,
            chain,
            view: _,
        } = &mut setup.settings;
        match self {
            Self::Threshold(percent) => *key = key.with_threshold(percent)?,
            Self::Softness(percent) => *key = key.with_softness(percent)?,
            Self::ThresholdAndSoftness([threshold, softness]) => {
                *key = key.with_threshold(threshold)?.with_softness(softness)?;
            }
            Self::Ramp(ramp) => key.ramp = ramp,
            Self::Luma(luma) => key.luma = luma,
            Self::Alpha(alpha) => key.alpha = alpha,
            Self::BlendSpace(blend_space) => key.blend_space = blend_space,
            Self::Size(None) => placement.size = None,
            Self::Size(Some([width, height])) => placement.size = Some(Size::new(width, height)?),
            Self::CameraFit(fit) => placement.camera_fit = fit,
            Self::SlideFit(fit) => placement.slide_fit = fit,
            Self::SlidePlace(percent) => placement.slide_place = SlidePlace::new(percent)?,
            Self::TurnCamera(turn) => placement.turn_camera = turn,
            Self::MirrorCamera(mirrored) => placement.mirror_camera = mirrored,
            Self::MirrorSlide(mirrored) => placement.mirror_slide = mirrored,
            Self::CameraRange(range) => placement.camera_range = range,
            Self::SlideRange(range) => placement.slide_range = range,
            Self::Chain(None) => *chain = None,
            Self::Chain(Some([gain, offset, noise])) => {
                *chain = Some(Chain::new(gain, offset, noise)?);
            }
            Self::Guide(guide, shown) => {
                setup.guides.retain(|other| *other != guide);
                if shown {
                    setup.guides.push(guide);
                }
            }
            Self::MirrorMonitor(mirrored) => setup.mirror_monitor = mirrored,
            Self::Engine(engine) => setup.engine = engine,
        }
        Ok(())
    }
}
