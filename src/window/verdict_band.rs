//! Go, or what is wrong with the camera frame, large enough to be read from the glass.

use std::sync::Arc;

use egui::{Color32, FontId, Galley, Painter, Pos2, Sense, Ui, pos2, vec2};

use super::camera_check::CameraKnown;
use super::deck_check::SlideMark;
use super::look::Look;
use super::state::State;
use super::verdict_mark::paint_mark;
use crate::measure::inspect::camera_verdict::CameraVerdict;
use crate::report::words::sentence;

/// Height of the band as a share of the window's, and its least and most, in points.
/// Source: ISO 9241-303 asks for capitals of 16 minutes of arc at least, better 20 to 22; 20 are 17.5 mm from three
/// metres, 63 px on a screen of 24 inches (299 mm high) and 1080 lines. There the line has 65 px, as capitals of the
/// window's font are 0.69 of its size.
const SHARE_OF_WINDOW: f32 = 0.14;
const HEIGHTS: [f32; 2] = [56.0, 160.0];
/// Size of the line and of what stands below it, shares of the band's height. Source: chosen by eye; the line's capitals
/// are reckoned above.
const LINE_SHARE: f32 = 0.62;
const REST_SHARE: f32 = 0.2;
/// Room left and right, in points. Source: chosen by eye.
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
    let left = rect.left() + MARGIN + side + 0.25 * size;
    let room = rect.right() - MARGIN - left;
    let whole = galley(&painter, sentence(&spoken), size, look.text);
    let (large, below) = if whole.size().x <= room {
        (whole, None)
    } else {
        let (what, rest) = parted(&line, |words| {
            galley(&painter, sentence(words), size, look.text).size().x <= room
        });
        let fitted = |words: String, size: f32| fitted(&painter, words, size, room, look.text);
        let rest = Some(rest).filter(|rest| !rest.is_empty());
        let rest = rest.map(|rest| fitted(rest, REST_SHARE * rect.height()));
        (fitted(sentence(what), size), rest)
    };
    let middle = match below {
        None => rect.center().y,
        Some(below) => {
            let low = rect.bottom() - 0.8 * REST_SHARE * rect.height();
            put(&painter, pos2(left, low), below, look.text);
            rect.top() + 0.5 * (1.0 - REST_SHARE) * rect.height()
        }
    };
    put(&painter, pos2(left, middle), large, look.text);
    let mark_at = pos2(rect.left() + MARGIN + side / 2.0, middle);
    paint_mark(&painter, look, mark_at, side, line.mark);
}

/// What is large and what goes below it where not all has room in one line: a sentence that is too long itself is parted
/// at its comma.
fn parted<'a>(line: &Line<'a>, fits: impl Fn(&str) -> bool) -> (&'a str, String) {
    let join = |a: &str, b: &str| match (a.is_empty(), b.is_empty()) {
        (false, false) => format!("{a}, {b}"),
        _ => format!("{a}{b}"),
    };
    let parts = || line.what.split_once("; ").or(line.what.split_once(", "));
    match parts().filter(|_| !fits(line.what)) {
        Some((first, second)) => (first, join(second, line.rest)),
        None => (line.what, line.rest.to_owned()),
    }
}

fn galley(painter: &Painter, words: String, size: f32, color: Color32) -> Arc<Galley> {
    painter.layout_no_wrap(words, FontId::proportional(size), color)
}

/// Words in a line, smaller where there is no room for them.
fn fitted(painter: &Painter, words: String, size: f32, room: f32, color: Color32) -> Arc<Galley> {
    let wanted = galley(painter, words.clone(), size, color);
    if wanted.size().x <= room {
        return wanted;
    }
    let size = (size * room / wanted.size().x).floor().max(11.0);
    galley(painter, words, size, color)
}

/// A line around a height, from the left.
fn put(painter: &Painter, at: Pos2, line: Arc<Galley>, color: Color32) {
    painter.galley(at - vec2(0.0, line.size().y / 2.0), line, color);
}

/// What is known, in a line.
fn line(state: &State) -> Line<'_> {
    let plain = |mark, what| Line {
        mark,
        what,
        rest: "",
    };
    if state.why_camera_unread().is_some() {
        // What was seen in a frame that is gone is no verdict.
        return Line {
            mark: SlideMark::Unreadable,
            what: "the camera file cannot be read",
            rest: match state.camera_check.known() {
                CameraKnown::NoCamera => "",
                _ => "shown is the frame read last",
            },
        };
    }
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
