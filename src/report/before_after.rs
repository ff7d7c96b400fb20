//! A sheet for looking: every slide small, before and after.

use crate::pixel::canvas::{Canvas, Words};
use crate::pixel::cpu_engine;
use crate::pixel::frame::Frame;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{MAX_SIDE_PX, Placement, Settings, Size};
use crate::pixel::views::{Background, View};

/// Size of a small slide, px. Source: chosen; six across fill a wide screen.
const SMALL_PX: [u32; 2] = [320, 180];
/// Space around each small slide, px.
const GAP_PX: u32 = 12;
/// Height of a name, px.
const NAME_PX: u32 = 20;
/// Pairs side by side at most, before the sheet becomes too long.
const MOST_ACROSS: u32 = 3;
/// R'G'B' codes of the sheet, a middle grey on which black and white slides both stand out.
const SHEET: [u8; 3] = [96, 96, 96];
/// R'G'B' codes of names. Source: WCAG 2.2, 6.2 to 1 on the sheet.
const NAME: [u8; 3] = [255, 255, 255];

/// A slide before and after, both [`small`].
#[derive(Clone, Debug)]
pub struct BeforeAfter {
    /// What it is called.
    pub name: String,
    /// As it was.
    pub before: Frame,
    /// As it is.
    pub after: Frame,
}

/// A slide reduced for the sheet, whole, black beside it.
pub fn small(slide: &Frame) -> Frame {
    let [width, height] = SMALL_PX;
    let settings = Settings {
        placement: Placement {
            size: Size::new(width, height).ok(),
            ..Placement::default()
        },
        view: View::Slide,
        ..Settings::default()
    };
    cpu_engine::compose(&Plan::new(&Scene {
        camera: None,
        slide: Some(slide),
        background: Background::BLACK,
        settings: &settings,
    }))
}

/// The sheet; none where there is no slide, or where there are more than fit into a picture.
pub fn before_after_sheet(slides: &[BeforeAfter]) -> Option<Frame> {
    let count = u32::try_from(slides.len()).ok().filter(|&n| n > 0)?;
    let [width, height] = SMALL_PX;
    let cell = [2 * width + 3 * GAP_PX, height + NAME_PX + 2 * GAP_PX];
    let most_down = MAX_SIDE_PX / cell[1];
    let across = count.div_ceil(most_down).max(MOST_ACROSS.min(count));
    let down = count.div_ceil(across);
    let size = Size::new(across * cell[0], down * cell[1]).ok()?;
    let mut sheet = Frame::from_fn(size, |_, _| SHEET);
    let mut canvas = Canvas::new(&mut sheet)?;
    for (index, slide) in (0..).zip(slides) {
        let (left, top) = (index % across * cell[0], index / across * cell[1]);
        let (x, y) = (left + GAP_PX, top + GAP_PX);
        for (words, x) in [
            (format!("{}, before", slide.name), x),
            ("after".to_owned(), x + width + GAP_PX),
        ] {
            if let Some(words) = fitting(&words, width) {
                canvas.draw(&words, [x as f32, y as f32], NAME);
            }
        }
        canvas.put(&slide.before, x, y + NAME_PX);
        canvas.put(&slide.after, x + width + GAP_PX, y + NAME_PX);
    }
    Some(sheet)
}

/// A name that fits, its beginning left out where it is too long: the end of a path tells slides apart.
fn fitting(name: &str, width: u32) -> Option<Words> {
    let scale_px = 0.8 * NAME_PX as f32;
    let mut rest = name;
    loop {
        let shown = if rest.len() < name.len() {
            format!("…{rest}")
        } else {
            rest.to_owned()
        };
        let words = Words::new(&shown, scale_px)?;
        let mut letters = rest.chars();
        if words.width_px() <= width as f32 || letters.next().is_none() {
            return Some(words);
        }
        rest = letters.as_str();
    }
}
