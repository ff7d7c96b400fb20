//! What is known about the camera frame, and which of its findings is selected.
//! Does no looking; `checks` has it done.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::camera_job::SeenCamera;
use crate::measure::finding::Severity;
use crate::measure::inspect::camera_finding::CameraFinding;
use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::settings::Size;

/// How much is known.
#[derive(Clone, Debug, Default)]
pub enum CameraKnown {
    /// There is no camera picture.
    #[default]
    NoCamera,
    /// It is being looked at for the first time.
    Looking,
    /// This was seen.
    Seen(Arc<SeenCamera>),
    /// It could not be looked at, and why.
    Failed(String),
}

/// The camera frame with what is known about it.
#[derive(Clone, Debug, Default)]
pub struct CameraCheck {
    known: CameraKnown,
    is_old: bool,
    selected: Option<usize>,
    free_boxes: Vec<PixelBox>,
    unread: Option<(PathBuf, String)>,
}

impl CameraCheck {
    /// How much is known.
    pub fn known(&self) -> &CameraKnown {
        &self.known
    }

    /// What was seen last.
    pub fn seen(&self) -> Option<&Arc<SeenCamera>> {
        match &self.known {
            CameraKnown::Seen(seen) => Some(seen),
            _ => None,
        }
    }

    /// What was seen in the frame that is shown on an output of this size; none while another frame is looked at.
    pub fn seen_on(&self, output: Size) -> Option<&SeenCamera> {
        let seen = self.seen()?;
        let is_of_it = !self.is_old && seen.drawing.output == output;
        is_of_it.then_some(seen)
    }

    /// Whether what was seen is of another frame than the one shown, which is being looked at.
    pub fn is_old(&self) -> bool {
        self.is_old
    }

    /// What is wrong, the worst first; empty where nothing is known.
    pub fn findings(&self) -> &[CameraFinding] {
        self.seen().map_or(&[], |seen| &seen.findings)
    }

    /// How bad the worst is; none where nothing is known.
    pub fn worst(&self) -> Option<Severity> {
        self.findings().first().map(|finding| finding.severity)
    }

    /// Place in the list of the selected finding.
    pub fn selected(&self) -> Option<usize> {
        self.selected
    }

    /// Selects a finding by its place in the list, or none.
    pub fn select(&mut self, place: Option<usize>) {
        self.selected = place.filter(|place| *place < self.findings().len());
    }

    /// The largest boxes that writing, presenter and zones leave free, in pixels of the output; empty until they are
    /// asked for.
    pub fn free_boxes(&self) -> &[PixelBox] {
        &self.free_boxes
    }

    /// Takes the free boxes.
    pub fn put_free_boxes(&mut self, free_boxes: Vec<PixelBox>) {
        self.free_boxes = free_boxes;
    }

    /// Why this file cannot be read as it is now; what was seen is of the frame read before, if there is one.
    pub fn why_unread(&self, path: &Path) -> Option<&str> {
        let (unread, why) = self.unread.as_ref()?;
        (unread == path).then_some(why)
    }

    /// The camera's file cannot be read, and why.
    pub fn put_unread(&mut self, path: PathBuf, why: String) {
        self.unread = Some((path, why));
    }

    /// The camera's file is read.
    pub fn forget_unread(&mut self) {
        self.unread = None;
    }

    /// There is no camera picture any more.
    pub fn clear(&mut self) {
        *self = Self::default();
    }

    /// Another frame is being looked at; what was seen stays in sight until that is done.
    pub fn outdate(&mut self) {
        self.free_boxes.clear();
        self.look_again();
    }

    /// The same frame is being looked at beside another one; what was seen stays in sight until that is done.
    pub fn look_again(&mut self) {
        self.is_old = true;
        if self.seen().is_none() {
            self.known = CameraKnown::Looking;
        }
    }

    /// Takes what was seen, or why nothing was. The same kind of finding at the same place of the list stays selected.
    pub fn put(&mut self, seen: Result<Arc<SeenCamera>, String>) {
        let kind = |check: &Self| Some(check.findings().get(check.selected?)?.kind);
        let before = kind(self);
        self.is_old = false;
        self.known = match seen {
            Ok(seen) => CameraKnown::Seen(seen),
            Err(why) => CameraKnown::Failed(why),
        };
        if kind(self) != before {
            self.selected = None;
        }
    }
}
