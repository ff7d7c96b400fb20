//! The flags that commands on pictures share: a command has those that change what it does. A flag that is
//! given overrides the setup.

use std::path::PathBuf;

use clap::Args;

use super::failure::Failure;
use crate::files::setup_file::Setup;
use crate::pixel::guides::Guide;
use crate::pixel::key::{Luma, Ramp};
use crate::pixel::settings::{Alpha, BlendSpace, CodeRange, Engine, Fit, Size, SlidePlace, Turn};
use crate::pixel::views::View;

/// Setup, key, and where the slide lies.
#[derive(Clone, Debug, Default, Args)]
pub(super) struct PictureArgs {
    /// Setup file; else a nightglass.toml in the current folder, if there is one
    #[arg(long, value_name = "FILE", help_heading = "Setup")]
    pub setup: Option<PathBuf>,

    /// Luma at and below which the slide is dropped, percent of white [default: 6]
    #[arg(
        long,
        value_name = "P",
        value_parser = percent_value,
        allow_hyphen_values = true,
        help_heading = "Key"
    )]
    pub threshold: Option<f64>,
    /// Width of the ramp above the threshold, percent of white; 0 is a hard step [default: 4]
    #[arg(
        long,
        value_name = "P",
        value_parser = percent_value,
        allow_hyphen_values = true,
        help_heading = "Key"
    )]
    pub softness: Option<f64>,
    /// Shape of the matte between dropped and solid [default: linear]
    #[arg(long, value_enum, help_heading = "Key")]
    pub ramp: Option<Ramp>,
    /// What red, green and blue weigh in luma [default: bt709]
    #[arg(long, value_enum, help_heading = "Key")]
    pub luma: Option<Luma>,
    /// How the slide's colour enters [default: straight]; a file's own transparency is laid over black before
    #[arg(long, value_enum, help_heading = "Key")]
    pub alpha: Option<Alpha>,
    /// Where the blend is computed [default: encoded]
    #[arg(long, value_enum, help_heading = "Key")]
    pub blend_space: Option<BlendSpace>,

    /// Output in pixels [default: the camera's own size, else 1920x1080]
    #[arg(long, value_name = "WxH", help_heading = "Placement")]
    pub size: Option<Size>,
    /// How the slide is brought to its place [default: fit]
    #[arg(long, value_enum, help_heading = "Placement")]
    pub slide_fit: Option<Fit>,
    /// Where the slide lies: x, y, width, height in percent of the output, or `free` [default: 0,0,100,100]
    ///
    /// `free` is where a slide becomes largest beside presenter and writing; for `compose` and `preview`.
    #[arg(
        long,
        value_name = "X,Y,W,H",
        value_parser = slide_place_value,
        allow_hyphen_values = true,
        help_heading = "Placement"
    )]
    pub slide_place: Option<WantedPlace>,
    /// Flip the slide left-right
    #[arg(long, value_name = "YES", num_args = 0..=1, default_missing_value = "true", require_equals = true, help_heading = "Placement")]
    pub mirror_slide: Option<bool>,
    /// Which values are black and white in the slide still [default: full]
    #[arg(long, value_enum, help_heading = "Placement")]
    pub slide_range: Option<CodeRange>,
}

impl PictureArgs {
    /// Puts every flag that was given over the setup.
    pub(super) fn apply(&self, setup: &mut Setup) -> Result<(), Failure> {
        let Self {
            setup: _,
            threshold,
            softness,
            ramp,
            luma,
            alpha,
            blend_space,
            size,
            slide_fit,
            slide_place,
            mirror_slide,
            slide_range,
        } = self;
        let key = &mut setup.settings.key;
        if let Some(threshold) = *threshold {
            *key = key.with_threshold(threshold)?;
        }
        if let Some(softness) = *softness {
            *key = key.with_softness(softness)?;
        }
        replace(&mut key.ramp, *ramp);
        replace(&mut key.luma, *luma);
        replace(&mut key.alpha, *alpha);
        replace(&mut key.blend_space, *blend_space);
        let placement = &mut setup.settings.placement;
        placement.size = size.or(placement.size);
        replace(&mut placement.slide_fit, *slide_fit);
        if let Some(WantedPlace::At(place)) = *slide_place {
            placement.slide_place = place;
        }
        replace(&mut placement.mirror_slide, *mirror_slide);
        replace(&mut placement.slide_range, *slide_range);
        Ok(())
    }
}

/// Setup and output of a command that looks at camera frames alone.
#[derive(Clone, Debug, Default, Args)]
pub(super) struct CameraOutputArgs {
    /// Setup file; else a nightglass.toml in the current folder, if there is one
    #[arg(long, value_name = "FILE", help_heading = "Setup")]
    pub setup: Option<PathBuf>,
    /// Output in pixels, which boxes are counted in [default: the camera's own size]
    #[arg(long, value_name = "WxH", help_heading = "Placement")]
    pub size: Option<Size>,
}

impl CameraOutputArgs {
    /// Puts every flag that was given over the setup.
    pub(super) fn apply(&self, setup: &mut Setup) {
        let Self { setup: _, size } = self;
        let placement = &mut setup.settings.placement;
        placement.size = size.or(placement.size);
    }
}

/// How the camera is brought to the output.
#[derive(Clone, Debug, Default, Args)]
pub(super) struct CameraArgs {
    /// How the camera is brought to the output [default: fill]
    #[arg(long, value_enum, help_heading = "Placement")]
    pub camera_fit: Option<Fit>,
    /// Turn the camera clockwise, before mirroring [default: 0]
    #[arg(long, value_enum, value_name = "DEGREES", help_heading = "Placement")]
    pub turn_camera: Option<Turn>,
    /// Flip the camera left-right
    #[arg(long, value_name = "YES", num_args = 0..=1, default_missing_value = "true", require_equals = true, help_heading = "Placement")]
    pub mirror_camera: Option<bool>,
    /// Which values are black and white in the camera still [default: full]
    #[arg(long, value_enum, help_heading = "Placement")]
    pub camera_range: Option<CodeRange>,
}

impl CameraArgs {
    /// Puts every flag that was given over the setup.
    pub(super) fn apply(&self, setup: &mut Setup) {
        let Self {
            camera_fit,
            turn_camera,
            mirror_camera,
            camera_range,
        } = self;
        let placement = &mut setup.settings.placement;
        replace(&mut placement.camera_fit, *camera_fit);
        replace(&mut placement.turn_camera, *turn_camera);
        replace(&mut placement.mirror_camera, *mirror_camera);
        replace(&mut placement.camera_range, *camera_range);
    }
}

/// What a picture shows, and who makes it.
#[derive(Clone, Debug, Default, Args)]
pub(super) struct ShownArgs {
    /// Guides to draw over the picture, comma-separated
    #[arg(
        long,
        value_enum,
        value_delimiter = ',',
        num_args = 1..,
        value_name = "LIST",
        help_heading = "Picture"
    )]
    pub guides: Option<Vec<Guide>>,
    /// What is shown [default: composite]
    #[arg(long, value_enum, help_heading = "Picture")]
    pub view: Option<View>,
    /// Who computes the picture [default: auto]
    #[arg(long, value_enum, help_heading = "Picture")]
    pub engine: Option<Engine>,
}

impl ShownArgs {
    /// Puts every flag that was given over the setup.
    pub(super) fn apply(&self, setup: &mut Setup) {
        let Self {
            guides,
            view,
            engine,
        } = self;
        replace(&mut setup.guides, guides.clone());
        replace(&mut setup.settings.view, *view);
        replace(&mut setup.engine, *engine);
    }
}

/// Takes the value where one was given.
pub(super) fn replace<T>(to: &mut T, given: Option<T>) {
    if let Some(given) = given {
        *to = given;
    }
}

/// A percentage, with or without its sign.
pub(super) fn percent_value(written: &str) -> Result<f64, String> {
    let number = written
        .trim()
        .trim_end_matches('%')
        .replace(',', ".")
        .parse();
    number.map_err(|_not_a_number| "expected a number, such as 6.5".to_owned())
}

/// Where a slide is to lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum WantedPlace {
    /// Where the camera frame leaves most room.
    Free,
    /// There.
    At(SlidePlace),
}

fn slide_place_value(written: &str) -> Result<WantedPlace, String> {
    if written.trim() == "free" {
        return Ok(WantedPlace::Free);
    }
    let numbers: Option<Vec<f64>> = written.split(',').map(|n| n.trim().parse().ok()).collect();
    match numbers.and_then(|numbers| <[f64; 4]>::try_from(numbers).ok()) {
        Some(xywh) => SlidePlace::new(xywh)
            .map(WantedPlace::At)
            .map_err(|error| error.to_string()),
        None => Err("expected four percentages, such as 50,10,45,80, or `free`".to_owned()),
    }
}

/// Reads a whole number from the first to the last.
pub(super) fn whole_number<const FIRST: u8, const LAST: u8>(written: &str) -> Result<u8, String> {
    let number = written.trim().parse::<u8>().ok();
    number
        .filter(|number| (FIRST..=LAST).contains(number))
        .ok_or_else(|| format!("expected a whole number from {FIRST} to {LAST}"))
}
