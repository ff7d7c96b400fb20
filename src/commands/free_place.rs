//! `--slide-place free`: the place where the camera frame leaves most room for a slide.

use super::args::{PictureArgs, WantedPlace};
use super::failure::Failure;
use super::output::note;
use crate::measure::placed_camera::PlacedCamera;
use crate::measure::room::free_slide_place;
use crate::measure::zone::Zone;
use crate::pixel::frame::Frame;
use crate::pixel::placement::output_size;
use crate::pixel::settings::{Settings, Size};

/// Moves the slide where it is free, if that is asked for, and says where. Whether it was moved.
///
/// The place is for a slide of this size under these zones, without a size for a slide of the output's shape.
pub(super) fn move_where_free(
    args: &PictureArgs,
    settings: &mut Settings,
    zones: &[Zone],
    camera: &Frame,
    slide: Option<Size>,
) -> Result<bool, Failure> {
    if args.slide_place != Some(WantedPlace::Free) {
        return Ok(false);
    }
    let output = output_size(&settings.placement, Some(camera.size()));
    let placed = PlacedCamera::new(camera, settings, output);
    if let Some(words) = placed.masks().missing_words("the camera frame") {
        note(&words);
    }
    let place = free_slide_place(output, &[placed.masks()], zones, slide.unwrap_or(output));
    let place = place.ok_or_else(|| {
        Failure::with_hint(
            anyhow::anyhow!("expected room for the slide beside presenter, writing and zones, found none"),
            Some(
                "use a frame with less on the glass or fewer zones, or give `--slide-place` four percentages"
                    .to_owned(),
            ),
        )
    })??;
    settings.placement.slide_place = place;
    let [x, y, width, height] = place
        .percent()
        .map(|percent| (100.0 * percent).round() / 100.0);
    note(&format!(
        "the slide lies where it is free: --slide-place {x},{y},{width},{height}"
    ));
    Ok(true)
}
