//! What is wrong on the slide shown, and how the deck does as a whole.

use egui::{Align, Label, RichText, Ui, vec2};

use super::action::Action;
use super::control::{action_button_ui, name_control, quiet_ui};
use super::deck_check::{Listed, SlideMark};
use super::finding_line::{FindingLine, bring_told, finding_line_ui};
use super::finding_words::{findings_words, measured_words, place_sentence, severity_word};
use super::panel_scroll::{TextPanel, panel_scroll_ui};
use super::state::State;
use super::verdict_mark::{MARKS_TOOLTIP, mark_ui};
use crate::measure::finding::Finding;
use crate::report::words::{kind_words, sentence};

/// Height of the panel under the picture. Source: chosen, so that at 1200x700 points the picture stays
/// as wide as beside a column.
pub(super) const FINDINGS_HEIGHT: f32 = 146.0;
/// Part of the width that the list has beside what is told about one finding.
const LIST_SHARE: f32 = 0.48;
/// Seconds after which old results are called so. Source: chosen, so that nothing flickers while the
/// key is dragged and checks keep up.
const OLD_AFTER_SECS: f64 = 0.5;

/// The list with what is told about the selected finding: side by side where it lies below the
/// picture, below its line where the list stands beside it.
pub(super) fn findings_ui(ui: &mut Ui, state: &mut State) {
    if state.findings_are_beside {
        panel_scroll_ui(ui, state, TextPanel::Findings, |ui, state| {
            head_ui(ui, state);
            ui.add_space(2.0);
            match nothing_to_list(state) {
                Some(words) => quiet_ui(ui, &words),
                None => list_ui(ui, state),
            }
        });
        return;
    }
    head_ui(ui, state);
    ui.add_space(2.0);
    if let Some(words) = nothing_to_list(state) {
        quiet_ui(ui, &words);
        return;
    }
    let size = ui.available_size();
    ui.horizontal_top(|ui| {
        let downwards = egui::Layout::top_down(Align::Min);
        ui.allocate_ui_with_layout(vec2(LIST_SHARE * size.x, size.y), downwards, |ui| {
            egui::ScrollArea::vertical()
                .id_salt("list of findings")
                .auto_shrink(false)
                .show(ui, |ui| list_ui(ui, state));
        });
        ui.separator();
        ui.vertical(|ui| advice_ui(ui, state));
    });
}

/// Why the list is empty, in words.
fn nothing_to_list(state: &State) -> Option<String> {
    let index = state.slide_index();
    if state.slide_names().is_empty() {
        return Some("No slides yet.".to_owned());
    }
    match state.deck_check.mark(index, &state.setup().accepted) {
        SlideMark::Unchecked => Some("This slide is being checked.".to_owned()),
        SlideMark::Unreadable => {
            let why = state.deck_check.unreadable(index).unwrap_or_default();
            Some(format!("This slide cannot be checked: {why}"))
        }
        _ if state.deck_check.list(index, &[]).next().is_none() => {
            Some("Nothing found on this slide.".to_owned())
        }
        _ => None,
    }
}

/// The verdict on the slide shown, the way through the findings, and the deck.
fn head_ui(ui: &mut Ui, state: &mut State) {
    ui.horizontal_wrapped(|ui| {
        let index = state.slide_index();
        let mark = state.deck_check.mark(index, &state.setup().accepted);
        ui.label(RichText::new("Findings").heading().strong());
        if !state.slide_names().is_empty() {
            mark_ui(ui, mark);
            let mut words = found_words(state, index);
            if is_long_old(ui, state, index) {
                words = format!("{words}, checking again");
            }
            ui.add(Label::new(words).extend());
        }
        for (label, name, tooltip, action) in [
            (
                "Previous finding",
                "Previous finding",
                "The finding before this one. Ctrl N.",
                Action::PreviousFinding,
            ),
            (
                "Next finding",
                "Next finding",
                "The next finding on this slide. N.",
                Action::NextFinding,
            ),
            (
                "Next slide with one",
                "Next slide with a finding",
                "The next slide with a finding that is not accepted. G.",
                Action::NextSlideWithFinding,
            ),
        ] {
            let response = ui.button(label).on_hover_text(tooltip);
            name_control(&response, name);
            if response.clicked() {
                state.apply(action);
            }
        }
        if !state.findings_are_beside {
            summary_ui(ui, state);
        }
    });
    if state.findings_are_beside {
        ui.horizontal_wrapped(|ui| summary_ui(ui, state));
    }
}

/// The verdict on a slide with how much was found, such as `fail, 2 findings, 1 accepted` or `accepted, 3 findings`.
pub(super) fn found_words(state: &State, index: usize) -> String {
    let mark = state.deck_check.mark(index, &state.setup().accepted);
    let name = mark.name();
    match (mark, counts(state, index)) {
        (SlideMark::Unchecked | SlideMark::Unreadable, _) => name.to_owned(),
        (SlideMark::Accepted, (0, quiet)) => format!("{name}, {}", findings_words(quiet)),
        (_, (open, 0)) => format!("{name}, {}", findings_words(open)),
        (_, (open, quiet)) => format!("{name}, {}, {quiet} accepted", findings_words(open)),
    }
}

/// Findings of a slide that count, and those that were accepted.
fn counts(state: &State, index: usize) -> (usize, usize) {
    let accepted = &state.setup().accepted;
    let list = state.deck_check.list(index, accepted);
    let (quiet, open): (Vec<_>, Vec<_>) = list.partition(|listed| listed.accepted);
    (open.len(), quiet.len())
}

/// Whether what is shown has been old for so long that it has to be said.
fn is_long_old(ui: &Ui, state: &State, index: usize) -> bool {
    let id = ui.make_persistent_id("findings old since");
    if !state.deck_check.is_old(index) {
        ui.data_mut(|data| data.remove::<f64>(id));
        return false;
    }
    let now = ui.input(|input| input.time);
    let since = ui.data_mut(|data| *data.get_temp_mut_or(id, now));
    let left = OLD_AFTER_SECS - (now - since);
    if left > 0.0 {
        ui.ctx()
            .request_repaint_after(std::time::Duration::from_secs_f64(left));
    }
    left <= 0.0
}

/// How many slides of the deck have which verdict. It explains the marks too.
fn summary_ui(ui: &mut Ui, state: &State) {
    if state.slide_names().len() < 2 {
        return;
    }
    let counts = state.deck_check.summary(&state.setup().accepted);
    let parts: Vec<(SlideMark, usize)> = SlideMark::ALL
        .into_iter()
        .zip(counts)
        .filter(|(_, count)| *count > 0)
        .collect();
    ui.label(RichText::new("Deck:").weak())
        .on_hover_text(MARKS_TOOLTIP);
    for (mark, count) in parts {
        mark_ui(ui, mark);
        let words = format!("{count} {}", mark.name());
        ui.add(Label::new(words).extend())
            .on_hover_text(MARKS_TOOLTIP);
    }
}

/// The findings of the slide, the worst first, what is told about the selected one below its line where it has no place of
/// its own.
fn list_ui(ui: &mut Ui, state: &mut State) {
    let is_told_here = state.findings_are_beside;
    let selected = state.deck_check.selected();
    ui.spacing_mut().item_spacing.y = 1.0;
    let list = state
        .deck_check
        .list(state.slide_index(), &state.setup().accepted);
    let lines: Vec<FindingLine> = list
        .map(|listed| FindingLine {
            is_told_below: is_told_here,
            ..line(&listed)
        })
        .collect();
    for line in &lines {
        let top = ui.cursor().top();
        if finding_line_ui(ui, line, selected) {
            let is_same = is_told_here && selected == Some(line.place);
            let chosen = (!is_same).then_some(line.place);
            state.apply(Action::SelectFinding(chosen));
        }
        if is_told_here && selected == Some(line.place) {
            ui.indent("detail", |ui| {
                ui.spacing_mut().item_spacing.y = 4.0;
                detail_ui(ui, state);
                ui.add_space(4.0);
            });
            bring_told(ui, line.place, top);
        }
    }
}

/// A finding in the list.
fn line(listed: &Listed<'_>) -> FindingLine {
    let Listed {
        number,
        finding,
        accepted,
    } = *listed;
    let words = kind_words(finding.kind);
    FindingLine {
        place: number - 1,
        number: number.to_string(),
        severity: (!accepted).then_some(finding.severity),
        words: if accepted {
            format!("{words}, accepted")
        } else {
            words.to_owned()
        },
        values: measured_words(finding),
        spoken: format!("{number}. {}", spoken_words(finding, accepted)),
        is_told_below: false,
    }
}

/// A finding as a screen reader says it.
fn spoken_words(finding: &Finding, accepted: bool) -> String {
    let severity = if accepted {
        "accepted"
    } else {
        severity_word(finding.severity)
    };
    format!(
        "{}, {severity}, {}",
        kind_words(finding.kind),
        measured_words(finding)
    )
}

/// The finding that is selected, and whether it was accepted.
fn selected_finding(state: &State) -> Option<(Finding, bool)> {
    let number = state.deck_check.selected()? + 1;
    let mut list = state
        .deck_check
        .list(state.slide_index(), &state.setup().accepted);
    let listed = list.find(|listed| listed.number == number)?;
    Some((listed.finding.clone(), listed.accepted))
}

/// What is told about the selected finding, or how to select one.
fn advice_ui(ui: &mut Ui, state: &mut State) {
    if selected_finding(state).is_some() {
        panel_scroll_ui(ui, state, TextPanel::Advice, detail_ui);
    } else {
        quiet_ui(
            ui,
            "Choose a finding, or press N: its place is marked in the picture, and here stands what to do about it.",
        );
    }
}

/// What is told about the selected finding, and what can be done.
fn detail_ui(ui: &mut Ui, state: &mut State) {
    let Some((finding, accepted)) = selected_finding(state) else {
        return;
    };
    ui.horizontal_wrapped(|ui| {
        let (label, tooltip) = if accepted {
            ("Take back", "The finding counts again. A.")
        } else {
            ("Accept", "The finding stays quiet from now on; the setup keeps that. A, and A again takes it back.")
        };
        action_button_ui(ui, state, label, tooltip, Action::ToggleAccepted);
        let what = if accepted {
            "Accepted: it does not count.".to_owned()
        } else {
            let severity = sentence(severity_word(finding.severity));
            format!("{severity}: {}.", measured_words(&finding))
        };
        let words = format!("{what} {}", place_sentence(finding.bounds, state.output_size));
        ui.add(Label::new(RichText::new(words).weak()).wrap());
    });
    ui.add(Label::new(finding.advice.as_str()).wrap());
}
