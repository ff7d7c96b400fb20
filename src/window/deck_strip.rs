//! The slides in order, with the one that is shown marked.

use egui::{Align, Rect, RichText, Sense, TextureId, Ui, pos2, vec2};

use super::action::{Action, FileKind};
use super::control::{action_button_ui, name_control, quiet_ui, toggle_ui};
use super::findings_panel::found_words;
use super::look::Look;
use super::state::State;
use super::verdict_mark::{MARKS_TOOLTIP, mark_ui, paint_corner_mark};
use crate::files::demonstration::SLIDES;

/// Size of a thumbnail. Source: chosen by eye, 16:9.
const THUMBNAIL: [f32; 2] = [80.0, 45.0];
/// Width of what stands left of the slides, and where the buttons of findings and camera stand there too.
/// Source: chosen by eye.
const STEPS_WIDTH: f32 = 190.0;
const WIDE_STEPS_WIDTH: f32 = 262.0;
/// Width of what a slide of the demonstration teaches, and from how much room it is said. Source: chosen by eye.
const LESSON_WIDTH: f32 = 380.0;
const LESSON_FROM: f32 = 740.0;
/// Height of the name under it. Source: chosen by eye.
const NAME_HEIGHT: f32 = 16.0;

/// Height of the strip's content.
pub(super) fn strip_height(has_thumbnails: bool) -> f32 {
    if has_thumbnails {
        THUMBNAIL[1] + NAME_HEIGHT + 12.0
    } else {
        26.0
    }
}

/// Buttons to step, and the slides where there is room.
pub(super) fn deck_strip_ui(
    ui: &mut Ui,
    state: &mut State,
    thumbnails: &[Option<TextureId>],
    has_thumbnails: bool,
) {
    ui.horizontal(|ui| {
        if state.slide_names().is_empty() {
            open_button_ui(ui, state);
            quiet_ui(ui, "No slides yet. Drop some on the window, or open them.");
            return;
        }
        if has_thumbnails {
            ui.vertical(|ui| {
                ui.set_width(if state.findings_are_beside {
                    WIDE_STEPS_WIDTH
                } else {
                    STEPS_WIDTH
                });
                position_ui(ui, state);
                ui.horizontal(|ui| step_buttons_ui(ui, state));
            });
            let lesson = lesson(state).filter(|_| ui.available_width() > LESSON_FROM);
            let lesson_width = lesson.map_or(0.0, |_| LESSON_WIDTH);
            let slides_size = vec2(ui.available_width() - lesson_width, ui.available_height());
            ui.allocate_ui(slides_size, |ui| slides_ui(ui, state, thumbnails));
            if let Some(lesson) = lesson {
                quiet_ui(ui, &format!("This slide {lesson}."));
            }
        } else {
            step_buttons_ui(ui, state);
            position_ui(ui, state);
        }
    });
}

/// What a slide of the demonstration teaches; nothing about the user's own.
fn lesson(state: &State) -> Option<&'static str> {
    let slide = SLIDES.get(state.slide_index())?;
    state.is_demonstration().then_some(slide.lesson)
}

/// Which slide of how many, by name.
fn position_ui(ui: &mut Ui, state: &mut State) {
    let index = state.slide_index();
    let count = state.slide_names().len();
    let hidden = if state.slide_hidden { ", hidden" } else { "" };
    ui.horizontal(|ui| {
        ui.label(format!("Slide {} of {count}{hidden}", index + 1));
        let mark = state.deck_check.mark(index, &state.setup().accepted);
        mark_ui(ui, mark);
        if state.findings_are_beside {
            let found = format!(
                "{}. Opens or closes the list of what was found. C.",
                mark.name()
            );
            let seen = "What was seen in the camera frame. I.".to_owned();
            for (label, holds, tooltip, action) in [
                (
                    "Findings",
                    state.findings_open(),
                    found,
                    Action::ToggleFindings,
                ),
                ("Inspect", state.inspect_open, seen, Action::ToggleInspect),
            ] {
                let response = toggle_ui(ui, label, holds).on_hover_text(tooltip);
                name_control(&response, label);
                if response.clicked() {
                    state.apply(action);
                }
            }
        } else {
            ui.label(RichText::new(mark.name()).weak());
        }
    });
    if let Some(name) = state.slide_names().get(index) {
        ui.add(egui::Label::new(RichText::new(name).weak()).truncate());
    }
}

/// Back, on, and away.
fn step_buttons_ui(ui: &mut Ui, state: &mut State) {
    action_button_ui(
        ui,
        state,
        "Back",
        "The slide before. Page Up.",
        Action::PreviousSlide,
    );
    action_button_ui(
        ui,
        state,
        "Next",
        "The next slide. Page Down.",
        Action::NextSlide,
    );
    let response = toggle_ui(ui, "Hide", state.slide_hidden)
        .on_hover_text("Takes the slide away, so that the camera is seen alone. B.");
    name_control(&response, "Hide the slide");
    if response.clicked() {
        state.apply(Action::ToggleSlideHidden);
    }
    open_button_ui(ui, state);
}

/// Other slides.
fn open_button_ui(ui: &mut Ui, state: &mut State) {
    let response = ui
        .button("Open")
        .on_hover_text("Opens a slide, several, or a folder of them. Ctrl O.");
    name_control(&response, "Open slides");
    if response.clicked() {
        state.apply(Action::Open(FileKind::Slides));
    }
}

/// The thumbnails that are in sight.
fn slides_ui(ui: &mut Ui, state: &mut State, thumbnails: &[Option<TextureId>]) {
    let [width, height] = THUMBNAIL;
    let gap = 6.0;
    let count = state.slide_names().len();
    let shown_id = ui.make_persistent_id("shown slide");
    let shown_before = ui.data(|data| data.get_temp::<usize>(shown_id));
    let current = state.slide_index();
    egui::ScrollArea::horizontal()
        .auto_shrink(false)
        .show_viewport(ui, |ui, viewport| {
            let total = vec2(count as f32 * (width + gap), height + NAME_HEIGHT + 4.0);
            let (all, _) = ui.allocate_exact_size(total, Sense::hover());
            let mut clicked = None;
            for index in 0..count {
                let left = all.left() + index as f32 * (width + gap) + 2.0;
                let rect = Rect::from_min_size(
                    pos2(left, all.top() + 2.0),
                    vec2(width, height + NAME_HEIGHT),
                );
                let in_sight = viewport
                    .translate(all.min.to_vec2())
                    .expand(width)
                    .intersects(rect);
                if index == current && shown_before != Some(current) {
                    ui.scroll_to_rect(rect, Some(Align::Center));
                }
                if in_sight {
                    let texture = thumbnails.get(index).copied().flatten();
                    if slide_ui(ui, state, index, rect, texture) {
                        clicked = Some(index);
                    }
                }
            }
            if let Some(index) = clicked {
                state.apply(Action::GoToSlide(index));
            }
        });
    ui.data_mut(|data| data.insert_temp(shown_id, current));
}

/// One slide; whether it was clicked.
fn slide_ui(ui: &Ui, state: &State, index: usize, rect: Rect, texture: Option<TextureId>) -> bool {
    let look = Look::of(ui.ctx());
    let holds = index == state.slide_index();
    // Only the shown slide takes part in the walk with Tab, else a long deck would be in the way.
    let sense = if holds { Sense::click() } else { Sense::CLICK };
    let response = ui.interact(rect, ui.make_persistent_id(("slide", index)), sense);
    let name = state.slide_names().get(index).map_or("", String::as_str);
    let found = found_words(state, index);
    let spoken = format!("Slide {}: {name}, {found}", index + 1);
    response.widget_info(|| {
        egui::WidgetInfo::selected(egui::accesskit::Role::Button, true, holds, &spoken)
    });
    name_control(&response, spoken.as_str());
    let picture = Rect::from_min_size(rect.min, THUMBNAIL.into());
    let painter = ui.painter();
    painter.rect_filled(picture, 2.0, look.well);
    match texture {
        Some(texture) => {
            let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
            let tint = if state.dimmed {
                egui::Color32::from_gray(150)
            } else {
                egui::Color32::WHITE
            };
            painter.image(texture, picture, uv, tint);
        }
        None => {
            painter.text(
                picture.center(),
                egui::Align2::CENTER_CENTER,
                index + 1,
                egui::FontId::proportional(13.0),
                look.quiet_text,
            );
        }
    }
    let (line, color) = if response.has_focus() {
        (2.5, look.text)
    } else if holds {
        (2.0, look.accent)
    } else {
        (1.0, look.line)
    };
    painter.rect_stroke(
        picture.expand(1.0),
        2.0,
        egui::Stroke::new(line, color),
        egui::StrokeKind::Outside,
    );
    let text_color = if holds { look.text } else { look.quiet_text };
    let mut job = egui::text::LayoutJob::simple_singleline(
        format!("{} {name}", index + 1),
        egui::FontId::proportional(11.0),
        text_color,
    );
    job.wrap = egui::text::TextWrapping::truncate_at_width(rect.width());
    let galley = painter.layout_job(job);
    painter.galley(
        pos2(rect.left(), picture.bottom() + 2.0),
        galley,
        text_color,
    );
    let mark = state.deck_check.mark(index, &state.setup().accepted);
    paint_corner_mark(painter, look, picture, mark);
    response
        .on_hover_text(format!("{spoken}.\n\n{MARKS_TOOLTIP}"))
        .clicked()
}
