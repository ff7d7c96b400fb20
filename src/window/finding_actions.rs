//! What a user does about findings and about the chain in force.

use super::action::MessageKind;
use super::deck_check::Listed;
use super::edit::Edit;
use super::history::Snapshot;
use super::key_search::KeySearch;
use super::state::State;
use crate::measure::raster::pixel_box::PixelBox;

/// Display pixels that the longer side of a selected finding has at least.
/// Source: chosen by eye; below, one has to search for it.
const LEAST_SHOWN_PX: f32 = 48.0;
/// Part of the picture area that a finding takes after the picture was brought closer to it.
/// Source: chosen by eye; enough of what is round it stays in sight.
const CLOSE_SHARE: f32 = 0.35;
/// Largest zoom that a finding is brought closer with. Source: chosen by eye.
const CLOSEST_ZOOM: f32 = 8.0;

impl State {
    /// How many findings the list of the slide shown has.
    fn finding_count(&self) -> usize {
        let accepted = &self.setup().accepted;
        self.deck_check.list(self.slide_index(), accepted).count()
    }

    pub(super) fn step_finding(&mut self, forwards: bool) {
        let count = self.finding_count();
        if count == 0 {
            self.open_findings();
            return;
        }
        let place = match (self.deck_check.selected(), forwards) {
            (None, true) => 0,
            (None, false) => count - 1,
            (Some(place), true) => (place + 1) % count,
            (Some(place), false) => (place + count - 1) % count,
        };
        self.select_finding(Some(place));
    }

    /// Selects a finding, and brings its place into sight.
    pub(super) fn select_finding(&mut self, place: Option<usize>) {
        let place = place.filter(|place| *place < self.finding_count());
        self.deck_check.select(place);
        if place.is_none() {
            return;
        }
        self.open_findings();
        let selected = self.deck_check.selected_finding(self.slide_index());
        if let Some(bounds) = selected.and_then(|finding| finding.bounds) {
            self.bring_into_sight(bounds);
        }
    }

    pub(super) fn go_to_next_finding(&mut self) {
        let accepted = &self.setup().accepted;
        let next = self
            .deck_check
            .next_slide_with_finding(self.slide_index(), accepted);
        let Some(index) = next else {
            self.open_findings();
            return;
        };
        self.go_to_slide(index);
        let accepted = &self.setup().accepted;
        let is_open = |listed: &Listed<'_>| !listed.accepted;
        let first = self.deck_check.list(index, accepted).find(is_open);
        let place = first.map(|listed| listed.number - 1);
        self.select_finding(place);
    }

    /// Selects the next finding of the camera, round the end.
    pub(super) fn step_camera_finding(&mut self) {
        let count = self.camera_check.findings().len();
        let next = self.camera_check.selected().map_or(0, |place| place + 1);
        self.inspect_open = true;
        if count > 0 {
            self.select_camera_finding(Some(next % count));
        }
    }

    /// Selects a finding of the camera, and brings its place into sight.
    pub(super) fn select_camera_finding(&mut self, place: Option<usize>) {
        self.camera_check.select(place);
        let selected = self.camera_check.selected();
        let finding = selected.and_then(|place| self.camera_check.findings().get(place));
        let bounds = finding.and_then(|finding| finding.bounds);
        self.inspect_open |= selected.is_some();
        if let Some(bounds) = bounds {
            self.leave_sight();
            self.bring_into_sight(bounds);
        }
    }

    /// Moves and scales the picture only where the place is not wholly in sight or is too small.
    fn bring_into_sight(&mut self, bounds: PixelBox) {
        let sides = [self.output_size.width(), self.output_size.height()].map(|v| v as f32);
        let start = [bounds.x as f32, bounds.y as f32];
        let span = [bounds.width as f32, bounds.height as f32];
        let is_in_sight = (0..2).all(|axis| {
            let half = self.visible_uv[axis] / 2.0;
            let from = (self.centre_uv[axis] - half) * sides[axis] - 1.0;
            let to = (self.centre_uv[axis] + half) * sides[axis] + 1.0;
            from <= start[axis] && start[axis] + span[axis] <= to
        });
        let longer = span[0].max(span[1]);
        let is_large = longer * self.shown_scale >= LEAST_SHOWN_PX;
        if is_in_sight && is_large {
            return;
        }
        let closest = (0..2)
            .map(|axis| {
                let area_px = self.visible_uv[axis] * sides[axis] * self.shown_scale;
                CLOSE_SHARE * area_px / span[axis]
            })
            .fold(CLOSEST_ZOOM, f32::min);
        let scale = if is_large {
            self.shown_scale.min(closest)
        } else {
            closest.max(self.shown_scale)
        };
        let centre = [0, 1].map(|axis| (start[axis] + span[axis] / 2.0) / sides[axis]);
        self.zoom_to(scale, centre);
    }

    /// Goes to a slide, and to a place on it.
    pub(super) fn go_to_place(&mut self, index: usize, bounds: Option<PixelBox>) {
        self.go_to_slide(index);
        if let Some(bounds) = bounds {
            self.bring_into_sight(bounds);
        }
    }

    /// Asks for a key for the deck; the result stands in the settings.
    pub(super) fn search_key(&mut self) {
        if self.slide_names().is_empty() {
            self.tell(
                MessageKind::Warning,
                "There are no slides to find a key for.",
            );
            return;
        }
        self.key_search = KeySearch::Wanted;
        self.open_settings();
    }

    /// Sets the key that was found.
    pub(super) fn use_found_key(&mut self) {
        if let KeySearch::Found(found) = &self.key_search {
            let key = found.suggestion.key;
            let both = [key.threshold_percent(), key.softness_percent()];
            self.edit(Edit::ThresholdAndSoftness(both), None);
        }
    }

    /// Accepts the selected finding, or takes back whatever accepts it.
    pub(super) fn toggle_accepted(&mut self) {
        let index = self.slide_index();
        let Some(finding) = self.deck_check.selected_finding(index).cloned() else {
            return;
        };
        let check = &self.deck_check;
        let before = Snapshot::of(&self.open.edited);
        let accepted = &mut self.open.edited.setup.accepted;
        let count = accepted.len();
        accepted.retain(|one| !check.covers(index, &finding, one));
        if accepted.len() == count {
            accepted.extend(check.to_accept(index, &finding));
        }
        self.history.record(before, None);
    }

    pub(super) fn toggle_chain(&mut self) {
        if self.settings().chain.is_some() {
            let before = Snapshot::of(&self.open.edited);
            self.open.edited.chain_left_out = !self.open.edited.chain_left_out;
            self.history.record(before, None);
        }
    }
}
