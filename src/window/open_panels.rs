//! Which of the panels are open. What was seen in the camera frame takes the place of settings and findings.

use super::state::State;

impl State {
    /// Whether the settings are open as the window is now.
    pub fn settings_open(&self) -> bool {
        let is_open = if self.is_narrow {
            self.settings_open_narrow
        } else {
            self.settings_open_wide
        };
        is_open && !self.inspect_open
    }

    fn settings_open_mut(&mut self) -> &mut bool {
        if self.is_narrow {
            &mut self.settings_open_narrow
        } else {
            &mut self.settings_open_wide
        }
    }

    /// Opens the settings; what stands in their place makes room.
    pub(super) fn open_settings(&mut self) {
        self.close_inspect();
        self.findings_open_beside = false;
        *self.settings_open_mut() = true;
    }

    /// Opens or closes the settings; what stands in their place makes room.
    pub(super) fn toggle_settings(&mut self) {
        let is_covered = self.inspect_open || self.findings_are_beside && self.findings_open_beside;
        if is_covered || !self.settings_open() {
            self.open_settings();
        } else {
            *self.settings_open_mut() = false;
        }
    }

    /// Opens or closes what was seen in the camera frame.
    pub(super) fn toggle_inspect(&mut self) {
        if self.inspect_open {
            self.close_inspect();
        } else {
            self.inspect_open = true;
        }
    }

    /// Closes what was seen in the camera frame; the picture goes back to where it was before a finding was gone to.
    fn close_inspect(&mut self) {
        self.inspect_open = false;
        self.return_sight();
    }

    /// Whether the list of findings is open as the window is now.
    pub fn findings_open(&self) -> bool {
        let is_open = if self.findings_are_beside {
            self.findings_open_beside
        } else {
            self.findings_open_below
        };
        is_open && !self.inspect_open
    }

    pub(super) fn open_findings(&mut self) {
        self.close_inspect();
        if self.findings_are_beside {
            self.findings_open_beside = true;
        } else {
            self.findings_open_below = true;
        }
    }

    pub(super) fn toggle_findings(&mut self) {
        if self.findings_open() {
            self.findings_open_beside = false;
            self.findings_open_below &= self.findings_are_beside;
        } else {
            self.open_findings();
        }
    }

    /// Stops a drag of a zone, or closes the uppermost open thing.
    pub(super) fn dismiss(&mut self) {
        if self.put_held_zone_back() || self.open.dismiss() {
            return;
        }
        if self.zone_tool.drawing {
            self.zone_tool.drawing = false;
        } else if self.key_sheet_open {
            self.key_sheet_open = false;
        } else if !self.messages.dismiss_newest() {
            let has_selected =
                self.deck_check.selected().is_some() || self.camera_check.selected().is_some();
            if self.selected_zone().is_some() {
                self.select_zone(None);
            } else if has_selected {
                self.deck_check.select(None);
                self.camera_check.select(None);
            } else {
                self.settings_open_narrow = false;
                self.findings_open_beside = false;
                self.close_inspect();
            }
        }
    }
}
