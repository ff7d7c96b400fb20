//! What was seen in the camera frame: how sharp and bright it is, what is wrong, where, and what to do.

use egui::{Label, RichText, Ui};

use super::action::Action;
use super::camera_check::CameraKnown;
use super::camera_job::SeenCamera;
use super::control::{action_button_ui, quiet_ui};
use super::finding_line::{FindingLine, bring_told, finding_line_ui};
use super::finding_words::{findings_words, place_sentence, severity_word};
use super::inspect_bars::bars_ui;
use super::panel_scroll::{TextPanel, panel_scroll_ui};
use super::state::State;
use crate::measure::inspect::camera_finding::CameraFinding;
use crate::pixel::settings::Size;
use crate::report::inspect_words::{kind_words, measured_words};
use crate::report::words::sentence;

/// The panel.
pub(super) fn inspect_ui(ui: &mut Ui, state: &mut State) {
    head_ui(ui, state);
    panel_scroll_ui(ui, state, TextPanel::Camera, |ui, state| {
        let why_unread = state.why_camera_unread().map(sentence);
        if let Some(why) = &why_unread {
            ui.add(Label::new(format!("{why}.")).wrap());
            ui.add_space(4.0);
        }
        let nothing = match state.camera_check.known() {
            CameraKnown::NoCamera if why_unread.is_some() => None,
            CameraKnown::NoCamera => {
                Some("No camera picture yet. Drop one on the window, or open it with Ctrl Shift O.")
            }
            CameraKnown::Looking => Some("The camera picture is being looked at."),
            CameraKnown::Failed(why) => {
                ui.add(Label::new(format!("{}.", sentence(why))).wrap());
                None
            }
            CameraKnown::Seen(_) if why_unread.is_some() => {
                Some("The frame that was read last, as it was seen:")
            }
            CameraKnown::Seen(_) => None,
        };
        if let Some(words) = nothing {
            quiet_ui(ui, words);
        }
        if let Some(seen) = state.camera_check.seen().cloned() {
            seen_ui(ui, state, &seen);
        }
    });
}

/// What was seen.
fn seen_ui(ui: &mut Ui, state: &mut State, seen: &SeenCamera) {
    if seen.is_blank() {
        for note in &seen.notes {
            ui.add(Label::new(format!("{}.", sentence(note))).wrap());
        }
        return;
    }
    bars_ui(ui, seen);
    ui.separator();
    if seen.findings.is_empty() && seen.is_judged() {
        quiet_ui(ui, "Nothing found in this frame.");
    }
    let selected = state.camera_check.selected();
    for (place, finding) in seen.findings.iter().enumerate() {
        let top = ui.cursor().top();
        if finding_line_ui(ui, &line(place, finding), selected) {
            let chosen = (selected != Some(place)).then_some(place);
            state.apply(Action::SelectCameraFinding(chosen));
        }
        if selected == Some(place) {
            detail_ui(ui, finding, state.output_size);
            bring_told(ui, place, top);
        }
    }
    since_ui(ui, seen);
    for note in &seen.notes {
        ui.add_space(4.0);
        quiet_ui(ui, &format!("Note: {note}."));
    }
}

/// How much was found, and the way through it.
fn head_ui(ui: &mut Ui, state: &mut State) {
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Camera").heading().strong());
        if let Some(seen) = state.camera_check.seen()
            && !seen.is_blank()
        {
            let count = findings_words(seen.findings.len());
            let words = if state.camera_check.is_old() {
                format!("{count}, looking again")
            } else {
                count
            };
            ui.add(Label::new(words).extend());
            let tooltip = "Marks the next finding of the camera in the picture. Ctrl I.";
            let action = Action::NextCameraFinding;
            action_button_ui(ui, state, "Next camera finding", tooltip, action);
        }
    });
}

/// What has changed since the last good setup, where the camera is compared with it.
fn since_ui(ui: &mut Ui, seen: &SeenCamera) {
    if seen.since.is_empty() {
        return;
    }
    ui.separator();
    ui.label(RichText::new("Beside the last good setup").strong());
    for number in &seen.since {
        let name = number.name.trim_end_matches(" since then");
        let words = format!("{}: {}", sentence(name), number.measured);
        let response = ui.add(Label::new(RichText::new(words).weak()).wrap());
        if let Some(good) = &number.good {
            response.on_hover_text(format!("Good: {good}."));
        }
    }
}

/// A finding in the list.
fn line(place: usize, finding: &CameraFinding) -> FindingLine {
    let number = place + 1;
    let words = kind_words(finding.kind);
    let severity = severity_word(finding.severity);
    FindingLine {
        place,
        number: number.to_string(),
        severity: Some(finding.severity),
        words: sentence(words),
        values: String::new(),
        is_told_below: true,
        spoken: format!("{number}. {words}, {severity}, {}", measured_words(finding)),
    }
}

/// What is told about the selected finding.
fn detail_ui(ui: &mut Ui, finding: &CameraFinding, output: Size) {
    let severity = sentence(severity_word(finding.severity));
    let place = place_sentence(finding.bounds, output);
    let words = format!("{severity}: {}. {place}", measured_words(finding));
    ui.indent("detail", |ui| {
        ui.add(Label::new(RichText::new(words).weak()).wrap());
        ui.add(Label::new(finding.advice.as_str()).wrap());
        ui.add_space(4.0);
    });
}
