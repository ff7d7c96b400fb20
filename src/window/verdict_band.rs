//! Go, or what is wrong with the camera frame, large enough to be read from the glass.

use egui::{FontId, Painter, Rect, Sense, Ui, pos2, vec2};

use super::camera_check::CameraKnown;
use super::deck_check::SlideMark;
use super::look::Look;
use super::state::State;
use super::verdict_mark::paint_mark;
use crate::measure::camera_verdict::CameraVerdict;

/// Height of the band as a share of the window's, and its least and most, in points.
/// Source: ISO 9241-303 asks for characters of 16 minutes of arc at least, 14 mm from three metres; capitals of the
/// highest band have that on a screen of 24 inches and 1080 lines.
const SHARE_OF_WINDOW: f32 = 0.13;
const HEIGHTS: [f32; 2] = [56.0, 120.0];
/// Size of the line and of what stands below it, shares of the band's height.
const LINE_SHARE: f32 = 0.62;
const REST_SHARE: f32 = 0.21;
/// Room left and right, in points.
const MARGIN: f32 = 12.0;

/// Height of the band in a window of this height, in points.
pub(super) fn verdict_height(window_height: f32) -> f32 {
    let [least, most] = HEIGHTS;
    (SHARE_OF_WINDOW * window_height).clamp(least, most)
}

/// What the band says.
struct Line<'a> {
    mark: SlideMark,
    what: &'a str,
    rest: &'a str,
}

/// The line with its mark, and where the worst is.
pub(super) fn verdict_band_ui(ui: &mut Ui, state: &State) {
    let line = line(state);
    let (rect, response) = ui.allocate_exact_size(ui.available_size(), Sense::hover());
    let spoken = if line.rest.is_empty() {
        line.what.to_owned()
    } else {
        format!("{}, {}", line.what, line.rest)
    };
    response.widget_info(|| {
        egui::WidgetInfo::labeled(egui::accesskit::Role::Status, true, spoken.as_str())
    });
    let look = Look::of(ui.ctx());
    let painter = ui.painter_at(rect);
    let size = LINE_SHARE * rect.height();
    let side = 0.62 * size;
    let (middle, low) = if line.rest.is_empty() {
        (rect.center().y, rect.bottom())
    } else {
        (
            rect.top() + 0.52 * (1.0 - REST_SHARE) * rect.height() + 2.0,
            rect.bottom() - 0.75 * REST_SHARE * rect.height(),
        )
    };
    let left = rect.left() + MARGIN;
    paint_mark(
        &painter,
        look,
        pos2(left + side / 2.0, middle),
        side,
        line.mark,
    );
    let text_left = left + side + 0.25 * size;
    let room = rect.right() - MARGIN - text_left;
    text(
        &painter,
        pos2(text_left, middle),
        line.what,
        size,
        room,
        look.text,
    );
    if !line.rest.is_empty() {
        let size = REST_SHARE * rect.height();
        text(
            &painter,
            pos2(text_left, low),
            line.rest,
            size,
            room,
            look.text,
        );
    }
}

/// A line of text around a height, smaller where there is no room for it.
fn text(
    painter: &Painter,
    at: egui::Pos2,
    words: &str,
    size: f32,
    room: f32,
    color: egui::Color32,
) {
    let at_size =
        |size: f32| painter.layout_no_wrap(words.to_owned(), FontId::proportional(size), color);
    let mut galley = at_size(size);
    if galley.size().x > room {
        galley = at_size((size * room / galley.size().x).floor().max(11.0));
    }
    let rect = Rect::from_min_size(at - vec2(0.0, galley.size().y / 2.0), galley.size());
    painter.galley(rect.min, galley, color);
}

/// What is known, in a line.
fn line(state: &State) -> Line<'_> {
    let plain = |mark, what| Line {
        mark,
        what,
        rest: "",
    };
    match state.camera_check.known() {
        CameraKnown::NoCamera => plain(SlideMark::Unchecked, "no camera picture"),
        CameraKnown::Looking => plain(SlideMark::Unchecked, "looking at the camera picture"),
        CameraKnown::Failed(why) => plain(SlideMark::Unreadable, why),
        CameraKnown::Seen(_) if state.camera_check.is_old() => {
            plain(SlideMark::Unchecked, "looking at the camera picture again")
        }
        CameraKnown::Seen(seen) => Line {
            mark: match seen.verdict.verdict {
                CameraVerdict::Pass => SlideMark::Pass,
                CameraVerdict::Warn => SlideMark::Warn,
                CameraVerdict::Unclear => SlideMark::Unchecked,
                CameraVerdict::Fail => SlideMark::Fail,
            },
            what: seen.verdict.what,
            rest: &seen.verdict.rest,
        },
    }
}
