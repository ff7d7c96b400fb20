//! The small pictures of a deck that egui has.

use std::fmt;

use egui::{ColorImage, TextureHandle, TextureId, TextureOptions};

/// One for each slide, as far as they are made.
#[derive(Default)]
pub(super) struct Thumbnails(Vec<Option<TextureHandle>>);

impl fmt::Debug for Thumbnails {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Thumbnails").field(&self.ids()).finish()
    }
}

impl Thumbnails {
    /// What egui knows them by.
    pub(super) fn ids(&self) -> Vec<Option<TextureId>> {
        let id = |thumbnail: &Option<TextureHandle>| thumbnail.as_ref().map(TextureHandle::id);
        self.0.iter().map(id).collect()
    }

    /// Puts them in the order of another deck; `before` is where each of its slides was.
    pub(super) fn rearrange(&mut self, before: &[Option<usize>]) {
        let mut old = std::mem::take(&mut self.0);
        let mut kept = |place: Option<usize>| old.get_mut(place?)?.take();
        self.0 = before.iter().map(|place| kept(*place)).collect();
    }

    /// Takes the picture of the slide at a place.
    pub(super) fn put(&mut self, place: usize, image: ColorImage, egui: &egui::Context) {
        if let Some(thumbnail) = self.0.get_mut(place) {
            *thumbnail = Some(egui.load_texture("thumbnail", image, TextureOptions::LINEAR));
        }
    }
}
