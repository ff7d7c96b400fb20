//! Zones in the window: which of them are in sight, which is selected, and what keys do to it.

use super::action::MessageKind;
use super::edit::Setting;
use super::history::Snapshot;
use super::state::State;
use super::zone_edit::{ZoneEdit, moved, resized};
use crate::measure::space::zone::{Zone, ZoneKind};

/// How far a key moves a zone or its side, percent of the output. Source: chosen.
const STEP_PERCENT: f64 = 1.0;
/// Sides of a zone that is made by a key, shares of what is visible. Source: chosen by eye.
const NEW_SHARE: f64 = 0.25;

/// How zones are shown and worked on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ZoneTool {
    /// Whether they are drawn over the picture.
    pub shown: bool,
    /// Whether the next drag over the picture draws a new one.
    pub drawing: bool,
    /// Whether the pointer holds the selected zone.
    pub held: bool,
    /// Place of the selected zone among so many zones: where their number has changed, it is another's.
    selected: Option<(usize, usize)>,
}

impl Default for ZoneTool {
    fn default() -> Self {
        Self {
            shown: true,
            drawing: false,
            held: false,
            selected: None,
        }
    }
}

/// What a key does to the selected zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ZoneKey {
    /// So many steps to the right and down.
    Move([i8; 2]),
    /// So many steps wider and higher.
    Grow([i8; 2]),
    /// The next kind.
    NextKind,
    /// A field to type its name into.
    Name,
    /// For the slide shown alone, or for the whole deck.
    ForSlideOrDeck,
    /// No more.
    Remove,
}

impl State {
    /// The zones that are for the slide shown, with their places in the setup.
    pub fn zones_of_slide(&self) -> Vec<(usize, &Zone)> {
        let slide = self.deck_check.id(self.slide_index());
        let is_for = |zone: &Zone| match slide {
            Some(slide) => zone.is_for(&slide.file_name, slide.page),
            None => zone.slide.is_none() && zone.page.is_none(),
        };
        let zones = self.setup().zones.iter().enumerate();
        zones.filter(|(_, zone)| is_for(zone)).collect()
    }

    /// The zones that are drawn, with their places in the setup.
    pub fn zones_in_sight(&self) -> Vec<(usize, &Zone)> {
        if self.zone_tool.shown {
            self.zones_of_slide()
        } else {
            Vec::new()
        }
    }

    /// Place in the setup of the selected zone, if it is in sight.
    pub fn selected_zone(&self) -> Option<usize> {
        let (selected, count) = self.zone_tool.selected?;
        if count != self.setup().zones.len() {
            return None;
        }
        let zones = self.zones_in_sight();
        zones
            .iter()
            .any(|(index, _)| *index == selected)
            .then_some(selected)
    }

    /// Selects a zone by its place in the setup, or none.
    pub(super) fn select_zone(&mut self, index: Option<usize>) {
        self.history.end_drag();
        let count = self.setup().zones.len();
        self.zone_tool.selected = index.map(|index| (index, count));
        self.zone_tool.shown |= index.is_some();
        self.zone_tool.drawing &= index.is_none();
    }

    /// Selects a zone and lets the pointer hold it.
    pub(super) fn hold_zone(&mut self, index: usize) {
        self.select_zone(Some(index));
        self.zone_tool.held = true;
    }

    /// Puts the zone back that the pointer holds; whether it held one.
    pub(super) fn put_held_zone_back(&mut self) -> bool {
        if self.zone_tool.held {
            self.zone_tool.held = false;
            self.history.take_drag_back(&mut self.open.edited);
            return true;
        }
        false
    }

    /// Selects the next of the zones for the slide shown, round the end.
    pub(super) fn step_zone(&mut self) {
        let zones: Vec<usize> = self
            .zones_of_slide()
            .iter()
            .map(|(index, _)| *index)
            .collect();
        let place = self.selected_zone();
        let after = zones
            .iter()
            .find(|index| place.is_none_or(|place| **index > place));
        self.select_zone(after.or(zones.first()).copied());
    }

    pub(super) fn toggle_zones(&mut self) {
        self.zone_tool.shown = !self.zone_tool.shown;
        self.zone_tool.drawing = false;
    }

    pub(super) fn toggle_zone_drawing(&mut self) {
        self.zone_tool.drawing = !self.zone_tool.drawing;
        self.zone_tool.shown |= self.zone_tool.drawing;
    }

    /// A zone in the middle of what is visible.
    pub(super) fn add_zone(&mut self) {
        let along = |axis: usize| {
            let visible = f64::from(self.visible_uv[axis]);
            let middle = f64::from(self.centre_uv[axis]);
            let side = (100.0 * NEW_SHARE * visible).round().max(5.0);
            let start = (100.0 * middle - side / 2.0).round();
            [start.clamp(0.0, 100.0 - side), side]
        };
        let ([x, width], [y, height]) = (along(0), along(1));
        let edit = ZoneEdit::Add(ZoneKind::KeepOut, [x, y, width, height]);
        self.edit_zone(edit, false);
    }

    /// Does to the selected zone what a key does; says so where none is selected.
    pub(super) fn zone_key(&mut self, key: ZoneKey) {
        let Some(index) = self.selected_zone() else {
            let words = "No zone is selected. J selects the next one, W draws one.";
            self.tell(MessageKind::Warning, words);
            return;
        };
        let zone = &self.setup().zones[index];
        let way = |steps: [i8; 2]| steps.map(|steps| STEP_PERCENT * f64::from(steps));
        let edit = match key {
            ZoneKey::Move(steps) => ZoneEdit::Place(index, moved(zone.box_percent(), way(steps))),
            ZoneKey::Grow(steps) => {
                let place = resized(zone.box_percent(), [1, 1], way(steps));
                ZoneEdit::Place(index, place)
            }
            ZoneKey::Name => {
                self.open_settings();
                self.focus = Some(Setting::Zones);
                return;
            }
            ZoneKey::NextKind => ZoneEdit::Kind(index, next_kind(zone.kind)),
            ZoneKey::ForSlideOrDeck => {
                let is_for_deck = zone.slide.is_none() && zone.page.is_none();
                ZoneEdit::ForSlideShown(index, is_for_deck)
            }
            ZoneKey::Remove => ZoneEdit::Remove(index),
        };
        self.edit_zone(edit, false);
    }

    /// Checks a change and does it, or keeps why not.
    pub(super) fn edit_zone(&mut self, edit: ZoneEdit, is_dragged: bool) {
        let mut zones = self.setup().zones.clone();
        let shown = self.deck_check.id(self.slide_index());
        match edit.put_into(&mut zones, shown) {
            Ok(selected) => {
                self.refused = None;
                self.zone_tool.selected = selected.map(|index| (index, zones.len()));
                self.zone_tool.shown |= selected.is_some();
                self.zone_tool.drawing = false;
                if zones != self.setup().zones {
                    let dragged = is_dragged.then_some(Setting::Zones);
                    let before = Snapshot::of(&self.open.edited);
                    self.history.record(before, dragged);
                    self.open.edited.setup.zones = zones;
                }
            }
            Err(why) => self.refused = Some((Setting::Zones, why)),
        }
    }
}

/// All kinds in turn.
fn next_kind(kind: ZoneKind) -> ZoneKind {
    match kind {
        ZoneKind::KeepOut => ZoneKind::KeepIn,
        ZoneKind::KeepIn => ZoneKind::WriteHere,
        ZoneKind::WriteHere => ZoneKind::KeepOut,
    }
}
