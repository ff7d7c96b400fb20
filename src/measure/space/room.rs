//! Where there is room for slides and writing: free of presenter and writing in all frames, and within reach.

use thiserror::Error;

use super::clear_shift::shortest_clear_shift;
use super::guide_area::graphics_safe;
use super::zone::{Zone, closed_by_zones};
use crate::measure::inspect::camera_masks::CameraMasks;
use crate::measure::raster::free_space::{best_free, free_rectangles, with_clearance};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::pixel::settings::{SettingsError, Size, SlidePlace};

/// Least side of a free box, share of the output's height. Source: chosen; a line of legible text with room around.
const LEAST_SIDE: f64 = 0.1;
/// Room that is kept where nothing else is said, percent of the output's height. Source: chosen by eye.
pub const CLEARANCE_PERCENT: f64 = 3.0;
/// Rows that a hand writes well in where nothing else is said, percent of the output's height from the top.
/// Source: chosen; a standing person who is seen from the hips up writes from over the head to the elbow.
pub const REACH_PERCENT: [f64; 2] = [5.0, 85.0];

/// What room is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoomWanted {
    clearance_percent: f64,
    reach_percent: [f64; 2],
    boxes: usize,
}

/// Room that cannot be.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum RoomError {
    /// More clearance than a picture has.
    #[error("`--clearance` must be between 0 and 50 percent of the height, got {got}")]
    Clearance {
        /// What was asked for.
        got: f64,
    },
    /// A band without rows.
    #[error("`--reach` must be two percentages of the height, top before bottom, such as 5,85, got {},{}", got[0], got[1])]
    Reach {
        /// What was asked for.
        got: [f64; 2],
    },
}

impl Default for RoomWanted {
    fn default() -> Self {
        Self {
            clearance_percent: CLEARANCE_PERCENT,
            reach_percent: REACH_PERCENT,
            boxes: 4,
        }
    }
}

impl RoomWanted {
    /// This far from presenter and writing, between these rows, and this many free boxes at most.
    pub fn new(
        clearance_percent: f64,
        reach_percent: [f64; 2],
        boxes: usize,
    ) -> Result<Self, RoomError> {
        let [top, bottom] = reach_percent;
        if !(0.0..=50.0).contains(&clearance_percent) {
            return Err(RoomError::Clearance {
                got: clearance_percent,
            });
        }
        let percent = 0.0..=100.0;
        if !(percent.contains(&top) && percent.contains(&bottom) && bottom - top >= 1.0) {
            return Err(RoomError::Reach { got: reach_percent });
        }
        Ok(Self {
            clearance_percent,
            reach_percent,
            boxes,
        })
    }

    /// Distance from presenter and writing, percent of the output's height.
    pub fn clearance_percent(&self) -> f64 {
        self.clearance_percent
    }

    /// First and last of the rows within reach, percent of the output's height.
    pub fn reach_percent(&self) -> [f64; 2] {
        self.reach_percent
    }
}

/// The room of an output.
#[derive(Clone, Debug)]
pub struct Room {
    /// Presenter and writing of all frames, with clearance, what zones close, and what is not to be used otherwise.
    pub kept_clear: Runs,
    /// Presenter and writing of all frames as they are.
    pub camera: Runs,
    /// What is within reach and inside graphics safe.
    pub within: PixelBox,
    /// The largest free rectangle, then the largest of what is left, and so on.
    pub boxes: Vec<PixelBox>,
    /// Share of the output that is free within reach, percent.
    pub free_percent: f64,
}

impl Room {
    /// Finds the room that the frames and these zones leave.
    pub fn find(
        output: Size,
        cameras: &[&CameraMasks],
        zones: &[Zone],
        wanted: &RoomWanted,
    ) -> Self {
        Self::find_beside(&Runs::none(output), cameras, zones, wanted)
    }

    /// The same, where these pixels of the output are not to be used either.
    pub fn find_beside(
        closed: &Runs,
        cameras: &[&CameraMasks],
        zones: &[Zone],
        wanted: &RoomWanted,
    ) -> Self {
        let output = closed.size();
        let camera = writing_and_presenter(output, cameras);
        let kept_clear = kept_clear(&camera, zones, wanted.clearance_percent).union(closed);
        let row = |percent: f64| share_px(percent / 100.0, output);
        let [top, bottom] = wanted.reach_percent;
        let band = PixelBox {
            y: row(top),
            height: (row(bottom) - row(top)).max(1),
            ..PixelBox::of_size(output)
        };
        let safe = safe(output);
        // A band beside graphics safe is its nearest row, in which there is no room.
        let within = safe.intersection(band).unwrap_or(PixelBox {
            y: band.y.clamp(safe.y, safe.bottom() - 1),
            height: 1,
            ..safe
        });
        let least = share_px(LEAST_SIDE, output).max(1);
        let boxes = free_rectangles(&kept_clear, within, (least, least), wanted.boxes);
        let free = Runs::of_boxes(output, [within]).without(&kept_clear);
        Self {
            kept_clear,
            camera,
            within,
            boxes,
            free_percent: 100.0 * free.area() as f64 / output.area() as f64,
        }
    }
}

/// Whether this content covers neither presenter nor writing and lies where zones let it.
pub fn is_clear(content: &Runs, cameras: &[&CameraMasks], zones: &[Zone]) -> bool {
    let output = content.size();
    let taken = writing_and_presenter(output, cameras).union(&closed_by_zones(zones, output));
    content.intersection(&taken).area() == 0
}

/// Where a slide becomes largest without its content covering presenter or writing, with the content inside graphics
/// safe and where zones let it lie; none where the slide would be smaller than a tenth of the output.
///
/// `content` is the box of what the key keeps of the slide where it fills the output. What is black around it may lie
/// over anything, and beyond the output. The slide is never larger than the output; where it need not be smaller, it is
/// moved as little as can be.
pub fn free_slide_place(
    output: Size,
    cameras: &[&CameraMasks],
    zones: &[Zone],
    content: PixelBox,
) -> Option<Result<SlidePlace, SettingsError>> {
    let camera = writing_and_presenter(output, cameras);
    let kept_clear = kept_clear(&camera, zones, CLEARANCE_PERCENT);
    let safe = safe(output);
    let (width, height) = (f64::from(output.width()), f64::from(output.height()));
    let of_output = |x: f64, y: f64, scale: f64| {
        let side = 100.0 * scale;
        SlidePlace::new([100.0 * x / width, 100.0 * y / height, side, side])
    };
    let whole = Runs::of_boxes(output, [content]);
    if let Some(shift) = shortest_clear_shift(&whole, &kept_clear, safe) {
        return Some(of_output(shift.right_px.into(), shift.down_px.into(), 1.0));
    }
    // Of the content's larger size in the rectangle, over that of the content: exact as a product.
    let (across, down) = (u64::from(content.width), u64::from(content.height));
    let scaled = |width: u32, height: u32| {
        let fitted = (u64::from(width) * down).min(u64::from(height) * across);
        fitted.min(across * down)
    };
    let scale_of = |scaled: u64| scaled as f64 / (across * down) as f64;
    let score = |width: u32, height: u32| {
        let scaled = scaled(width, height);
        if scale_of(scaled) >= LEAST_SIDE {
            scaled
        } else {
            0
        }
    };
    let (room, scaled) = best_free(&kept_clear, safe, score)?;
    let scale = scale_of(scaled);
    // The content's middle in the room's middle.
    let start = |room: u32, room_px: u32, content: u32, content_px: u32| {
        let middle = f64::from(room) + f64::from(room_px) / 2.0;
        middle - scale * (f64::from(content) + f64::from(content_px) / 2.0)
    };
    Some(of_output(
        start(room.x, room.width, content.x, content.width),
        start(room.y, room.height, content.y, content.height),
        scale,
    ))
}

/// Presenter and writing of all frames.
fn writing_and_presenter(output: Size, cameras: &[&CameraMasks]) -> Runs {
    cameras.iter().fold(Runs::none(output), |taken, masks| {
        taken.union(masks.writing()).union(masks.presenter())
    })
}

/// The same with clearance, and what zones close.
fn kept_clear(camera: &Runs, zones: &[Zone], clearance_percent: f64) -> Runs {
    let output = camera.size();
    let clearance_px = clearance_percent / 100.0 * f64::from(output.height());
    with_clearance(camera, clearance_px).union(&closed_by_zones(zones, output))
}

/// Inside graphics safe; all of an output that is too small to have it.
fn safe(output: Size) -> PixelBox {
    graphics_safe(output).unwrap_or(PixelBox::of_size(output))
}

/// A share of the output's height, whole pixels.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a share of a height"
)]
fn share_px(share: f64, output: Size) -> u32 {
    (share * f64::from(output.height())).round() as u32
}
