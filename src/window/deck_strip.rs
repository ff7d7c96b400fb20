//! The slides in order, with the one that is shown marked.

use egui::{Align, Rect, RichText, Sense, TextureId, Ui, pos2, vec2};

use super::action::{Action, FileKind};
use super::control::{action_button_ui, explained, name_control, quiet_ui, rows_ui, toggle_ui};
use super::findings_panel::found_words;
use super::look::Look;
use super::state::State;
use super::strip_name::{fitted, shared_start, telling_part};
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
/// Room beside the words of a button where all is one row, in points. Source: chosen by eye.
const ROW_PADDING: f32 = 5.0;
/// From how much room on the name of the slide stands in the row, in points. Source: chosen, some letters.
const NAME_FROM: f32 = 60.0;
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
    rows_ui(ui, |ui| {
        rows_of_strip_ui(ui, state, thumbnails, has_thumbnails);
    });
}

fn rows_of_strip_ui(
    ui: &mut Ui,
    state: &mut State,
    thumbnails: &[Option<TextureId>],
    has_thumbnails: bool,
) {
    ui.horizontal(|ui| {
        if !has_thumbnails {
            ui.spacing_mut().button_padding.x = ROW_PADDING;
        }
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
        let position = ui.label(format!("Slide {} of {count}{hidden}", index + 1));
        if let Some(name) = state.slide_names().get(index) {
            explained(position, name);
        }
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
                let response = explained(toggle_ui(ui, label, holds), &tooltip);
                name_control(&response, label);
                if response.clicked() {
                    state.apply(action);
                }
            }
        } else {
            ui.label(RichText::new(mark.name()).weak());
        }
    });
    let room = ui.available_width();
    if let Some(name) = state.slide_names().get(index).filter(|_| room >= NAME_FROM) {
        let font = egui::TextStyle::Body.resolve(ui.style());
        let short = fitted(ui.painter(), name, &font, room);
        let label = egui::Label::new(RichText::new(short).weak()).extend();
        let response = ui.add(label);
        response
            .ctx
            .accesskit_node_builder(response.id, |node| node.set_label(name.as_str()));
        explained(response, name);
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
    let response = explained(
        toggle_ui(ui, "Hide", state.slide_hidden),
        "Takes the slide away, so that the camera is seen alone. B.",
    );
    name_control(&response, "Hide the slide");
    if response.clicked() {
        state.apply(Action::ToggleSlideHidden);
    }
    open_button_ui(ui, state);
}

/// Other slides.
fn open_button_ui(ui: &mut Ui, state: &mut State) {
    let response = explained(
        ui.button("Open"),
        "Opens a slide, several, or a folder of them. Ctrl O.",
    );
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
    let shared = shared_start(state.slide_names());
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
                    let name = state.slide_names().get(index);
                    let name = name.map_or("", |name| telling_part(name, shared, index + 1));
                    if slide_ui(ui, state, index, rect, texture, name) {
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
fn slide_ui(
    ui: &Ui,
    state: &State,
    index: usize,
    rect: Rect,
    texture: Option<TextureId>,
    short: &str,
) -> bool {
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
    let font = egui::FontId::proportional(11.0);
    let words = fitted(
        painter,
        &format!("{} {short}", index + 1),
        &font,
        rect.width(),
    );
    let galley = painter.layout_no_wrap(words, font, text_color);
    painter.galley(
        pos2(rect.left(), picture.bottom() + 2.0),
        galley,
        text_color,
    );
    let mark = state.deck_check.mark(index, &state.setup().accepted);
    paint_corner_mark(painter, look, picture, mark);
    explained(response, &format!("{spoken}.\n\n{MARKS_TOOLTIP}")).clicked()
}
