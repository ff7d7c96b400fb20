//! One finding as a line of a list: its number, how bad it is, what it is, and its numbers where they have room.

use egui::accesskit::Role;
use egui::{Align, Rect, Sense, Ui, pos2, vec2};

use super::control::name_control;
use super::look::Look;
use super::verdict_mark::{MARK_SIDE, paint_severity};
use crate::measure::finding::Severity;

/// Height of a line of the list. Source: chosen by eye.
const LINE_HEIGHT: f32 = 22.0;

/// What stands in a line.
#[derive(Clone, Debug)]
pub(super) struct FindingLine {
    /// Its place in the list, from 0.
    pub(super) place: usize,
    /// What it is called in the list and in the picture.
    pub(super) number: String,
    /// How bad it is; none where that does not count.
    pub(super) severity: Option<Severity>,
    /// What it is.
    pub(super) words: String,
    /// What was measured.
    pub(super) values: String,
    /// The line as a screen reader says it.
    pub(super) spoken: String,
    /// Whether what is told about it when it is selected stands below it.
    pub(super) is_told_below: bool,
}

/// The line; whether it was clicked.
pub(super) fn finding_line_ui(ui: &mut Ui, line: &FindingLine, selected: Option<usize>) -> bool {
    let look = Look::of(ui.ctx());
    let place = line.place;
    let holds = selected == Some(place);
    let (rect, _) = ui.allocate_exact_size(vec2(ui.available_width(), LINE_HEIGHT), Sense::hover());
    // Only one line takes part in the walk with Tab, else a long list would be in the way.
    let takes_part = holds || selected.is_none() && place == 0;
    let sense = if takes_part {
        Sense::click()
    } else {
        Sense::CLICK
    };
    let response = ui.interact(rect, ui.make_persistent_id(("finding", place)), sense);
    response.widget_info(|| egui::WidgetInfo::selected(Role::Button, true, holds, &line.spoken));
    name_control(&response, line.spoken.as_str());
    if holds && !line.is_told_below && !response.has_focus() {
        bring(ui, place, rect, Some(Align::Center));
    }
    let fill = match (holds, response.hovered()) {
        (true, _) => look.accent_fill,
        (false, true) => look.control,
        (false, false) => egui::Color32::TRANSPARENT,
    };
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 3.0, fill);
    if holds {
        let bar = Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
        painter.rect_filled(bar, 0.0, look.accent);
    }
    let color = match line.severity {
        Some(_) => look.text,
        None => look.quiet_text,
    };
    let font = egui::FontId::proportional(13.0);
    let y = rect.center().y;
    painter.text(
        pos2(rect.left() + 26.0, y),
        egui::Align2::RIGHT_CENTER,
        &line.number,
        font.clone(),
        look.quiet_text,
    );
    if let Some(severity) = line.severity {
        let middle = pos2(rect.left() + 38.0, y);
        paint_severity(&painter, look, middle, MARK_SIDE, severity);
    }
    let values = painter.layout_no_wrap(
        line.values.clone(),
        egui::FontId::proportional(11.0),
        look.quiet_text,
    );
    let left = rect.left() + 50.0;
    let room = rect.right() - 6.0 - left;
    let mut job = egui::text::LayoutJob::simple_singleline(line.words.clone(), font, color);
    job.wrap = egui::text::TextWrapping::truncate_at_width(room);
    let galley = painter.layout_job(job);
    let has_room = galley.size().x + values.size().x + 12.0 <= room;
    painter.galley(pos2(left, y - galley.size().y / 2.0), galley, color);
    if has_room {
        let at = pos2(
            rect.right() - 6.0 - values.size().x,
            y - values.size().y / 2.0,
        );
        painter.galley(at, values, look.quiet_text);
    }
    response.clicked()
}

/// Brings the selected finding into sight with what is told about it below, from this height down to where the next one
/// goes: all of it, or where that is too high its beginning.
pub(super) fn bring_told(ui: &Ui, place: usize, top: f32) {
    let told = Rect::from_x_y_ranges(ui.max_rect().x_range(), top..=ui.cursor().top());
    let is_too_high = told.height() > ui.clip_rect().height();
    bring(ui, place, told, is_too_high.then_some(Align::Min));
}

/// Scrolls to a finding once it is selected.
fn bring(ui: &Ui, place: usize, rect: Rect, align: Option<Align>) {
    let id = ui.make_persistent_id("finding in sight");
    if ui.data(|data| data.get_temp::<usize>(id)) != Some(place) {
        ui.scroll_to_rect(rect, align);
        ui.data_mut(|data| data.insert_temp(id, place));
    }
}
