//! The textures that egui believes the device has, so that a new device can be given them again.

use egui::Color32;
use egui::epaint::{ImageData, ImageDelta, TextureId};

/// The textures that egui believes the device has.
#[derive(Default)]
pub struct KnownTextures {
    whole: Vec<(TextureId, ImageDelta)>,
}

impl std::fmt::Debug for KnownTextures {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("KnownTextures")
            .field("count", &self.whole.len())
            .finish()
    }
}

impl KnownTextures {
    /// Takes over a change: a whole texture, or a patch of one that is known. Returns whether anything changed
    /// that may have been drawn. What comes to a new texture, or to where a texture was transparent, has not been;
    /// so it is with letters, which egui adds to the empty part of theirs.
    pub fn apply(&mut self, id: TextureId, delta: &ImageDelta) -> bool {
        let known = self.whole.iter_mut().find(|(known, _)| *known == id);
        match (known, delta.pos) {
            (Some((_, whole)), Some(corner)) => patch(whole, delta, corner),
            (Some((_, whole)), None) => {
                *whole = delta.clone();
                true
            }
            (None, _) => {
                self.whole.push((id, delta.clone()));
                false
            }
        }
    }

    /// The textures, each whole.
    pub fn iter(&self) -> impl Iterator<Item = (TextureId, &ImageDelta)> {
        self.whole.iter().map(|(id, whole)| (*id, whole))
    }

    /// Forgets a texture.
    pub fn free(&mut self, id: TextureId) {
        self.whole.retain(|(known, _)| *known != id);
    }
}

/// Copies a patch into a whole texture at a corner; whether it changed a pixel that was not empty.
fn patch(whole: &mut ImageDelta, delta: &ImageDelta, corner: [usize; 2]) -> bool {
    let is_sampled_otherwise = whole.options != delta.options;
    whole.options = delta.options;
    let ImageData::Color(from) = &delta.image;
    let ImageData::Color(shared) = &mut whole.image;
    let into = std::sync::Arc::make_mut(shared);
    let [width, _] = into.size;
    let mut has_changed = false;
    for (row, line) in from.pixels.chunks_exact(from.size[0].max(1)).enumerate() {
        let start = (corner[1] + row) * width + corner[0];
        if let Some(target) = into.pixels.get_mut(start..start + line.len()) {
            let is_changed =
                |(old, new): (&Color32, &Color32)| *old != Color32::TRANSPARENT && old != new;
            has_changed |= target.iter().zip(line).any(is_changed);
            target.copy_from_slice(line);
        }
    }
    has_changed || is_sampled_otherwise
}
