//! How large the picture is shown, and which part of it.

use super::action::Action;
use super::picture::{MAX_ZOOM, MIN_ZOOM, stepped_zoom, to_f32};
use super::state::State;

/// How large the picture is shown.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Zoom {
    /// As large as it fits.
    #[default]
    Fit,
    /// Display pixels an output pixel gets.
    Scale(f32),
}

/// How large the picture was shown, and around which point, before something was brought into sight.
#[derive(Clone, Copy, Debug)]
pub(super) struct LeftSight {
    zoom: Zoom,
    centre_uv: [f32; 2],
}

impl State {
    /// What is seen of the picture now can be given back, or what was before that can be already.
    pub(super) fn leave_sight(&mut self) {
        self.left_sight.get_or_insert(LeftSight {
            zoom: self.zoom,
            centre_uv: self.centre_uv,
        });
    }

    /// Gives back what was seen of the picture.
    pub(super) fn return_sight(&mut self) {
        if let Some(left) = self.left_sight.take() {
            self.zoom = left.zoom;
            self.centre_uv = left.centre_uv;
        }
    }

    /// Takes what a user asks to see of the picture; nothing is given back then.
    pub(super) fn choose_sight(&mut self, action: &Action) {
        self.left_sight = None;
        match *action {
            Action::ZoomFit => self.zoom = Zoom::Fit,
            Action::ZoomActual => self.zoom_to(1.0, self.centre_uv),
            Action::ZoomIn => self.zoom_by(1),
            Action::ZoomOut => self.zoom_by(-1),
            Action::ZoomTo(scale, centre_uv) => self.zoom_to(scale, centre_uv),
            Action::Pan(right, down) => self.pan(right, down),
            _ => {}
        }
    }

    /// Fixes the read-out to the middle of what is visible, or gives it back to the pointer.
    pub(super) fn toggle_probe(&mut self) {
        self.probe_px = match self.probe_px {
            Some(_) => None,
            None => Some(self.centre_px()),
        };
    }

    /// The output pixel in the middle of the picture area.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a part from 0 to 1 of a side of at most MAX_SIDE_PX"
    )]
    fn centre_px(&self) -> [u32; 2] {
        let along = |share: f32, side: u32| ((share * side as f32) as u32).min(side - 1);
        let [u, v] = self.centre_uv;
        [
            along(u, self.output_size.width()),
            along(v, self.output_size.height()),
        ]
    }

    /// Goes some steps closer or further away; 1:1 is one of them.
    fn zoom_by(&mut self, steps: i32) {
        let scale = match self.zoom {
            Zoom::Scale(scale) => scale,
            Zoom::Fit => self.shown_scale,
        };
        let zoom = stepped_zoom(f64::from(scale), steps);
        self.zoom_to(to_f32(zoom), self.centre_uv);
    }

    pub(super) fn zoom_to(&mut self, scale: f32, centre_uv: [f32; 2]) {
        let [smallest, largest] = [MIN_ZOOM, MAX_ZOOM].map(to_f32);
        if scale.is_finite() && centre_uv.iter().all(|v| v.is_finite()) {
            self.zoom = Zoom::Scale(scale.clamp(smallest, largest));
            self.centre_uv = centre_uv.map(clamp_uv);
        }
    }

    /// Moves the view by parts of what is visible.
    fn pan(&mut self, right: f32, down: f32) {
        let [u, v] = self.centre_uv;
        let [visible_u, visible_v] = self.visible_uv;
        self.centre_uv = [u + right * visible_u, v + down * visible_v].map(clamp_uv);
    }
}

/// A place on the output, 0 to 1.
fn clamp_uv(v: f32) -> f32 {
    v.clamp(0.0, 1.0)
}
