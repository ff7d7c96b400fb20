//! `--slide-place free`: the place where the camera frame leaves most room for a slide.

use super::args::{PictureArgs, WantedPlace};
use super::failure::Failure;
use super::output::note;
use crate::measure::check::placed_camera::PlacedCamera;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::slide::fates::{Fate, Fates};
use crate::measure::space::room::{free_slide_place, is_clear};
use crate::measure::space::zone::Zone;
use crate::pixel::frame::Frame;
use crate::pixel::placement::output_size;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Settings, Size, SlidePlace};
use crate::pixel::views::Background;

/// Size of a slide, percent of what it was, under which its text may well be too small. Source: chosen; text of twice the
/// least height is common.
const SMALL_PERCENT: f64 = 50.0;

/// Moves the slide where it is free, if that is asked for and it is not free where it lies, and says where. Whether it was
/// moved.
///
/// The place is for what the key keeps of this slide under these zones; without a slide for one that is content all over.
pub(super) fn move_where_free(
    args: &PictureArgs,
    settings: &mut Settings,
    zones: &[Zone],
    camera: &Frame,
    slide: Option<&Frame>,
) -> Result<bool, Failure> {
    if args.slide_place != Some(WantedPlace::Free) {
        return Ok(false);
    }
    let output = output_size(&settings.placement, Some(camera.size()));
    let placed = PlacedCamera::new(camera, settings, output);
    let missing = placed.masks().missing_words("the camera frame");
    match missing {
        Some(words) if placed.masks().unanswered().is_some() => return Err(no_room(&words)),
        Some(words) => note(&words),
        None => {}
    }
    let own_place = settings.placement.slide_place;
    let kept_there = slide.map(|slide| kept(slide, settings, output, own_place));
    if kept_there.is_some_and(|kept| is_clear(&kept, &[placed.masks()], zones)) {
        note("the slide stays where it lies: what is on it covers nothing there");
        return Ok(false);
    }
    let content = slide
        .map(|slide| kept(slide, settings, output, SlidePlace::default()))
        .and_then(|kept| kept.bounds())
        .unwrap_or(PixelBox::of_size(output));
    let place = free_slide_place(output, &[placed.masks()], zones, content);
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
    match width {
        100.0.. => {}
        SMALL_PERCENT.. => note(&format!("the slide is {width} % of its size")),
        _ => note(&format!(
            "the slide is {width} % of its size; `nightglass check` with this place says whether its text is too small"
        )),
    }
    note(&format!(
        "the slide lies where it is free: --slide-place {x},{y},{width},{height}"
    ));
    Ok(true)
}

/// A failure where room is asked for beside what could not be looked for, and why it could not.
pub(super) fn no_room(why: &str) -> Failure {
    Failure::with_hint(
        anyhow::anyhow!("expected a camera frame that shows where there is room: {why}"),
        Some("`nightglass inspect` says what frame to take".to_owned()),
    )
}

/// What the key keeps of a slide at this place of the output.
fn kept(slide: &Frame, settings: &Settings, output: Size, place: SlidePlace) -> Runs {
    let mut settings = *settings;
    settings.placement.size = Some(output);
    settings.placement.slide_place = place;
    let fates = Fates::new(&Plan::new(&Scene {
        camera: None,
        slide: Some(slide),
        background: Background::BLACK,
        settings: &settings,
    }));
    fates.mask_where(|fate| fate != Fate::Dropped)
}
