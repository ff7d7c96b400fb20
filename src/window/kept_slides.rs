//! The slides that stay in memory, as many as there is room for.

use std::sync::Arc;

use super::picture_source::PictureSource;
use crate::pixel::frame::Frame;
use crate::pixel::views::Background;

/// How many slides stay in memory. Source: chosen, the one shown, its neighbours and the last visited.
const MAX_SLIDES: usize = 8;
/// Most bytes that they take together, unless the wanted one alone takes more.
/// Source: chosen, seven slides of 3840 x 2160 pixels of four bytes.
const MAX_BYTES: usize = 256 << 20;

/// A slide with its background.
#[derive(Clone, Debug)]
pub struct Slide {
    /// Its pixels.
    pub frame: Arc<Frame>,
    /// What counts as its background.
    pub background: Background,
    /// Whether its file was compressed with loss.
    pub lossy: bool,
}

/// What came of reading a slide; `slide` is none where it could not be read.
#[derive(Debug)]
struct Kept {
    source: PictureSource,
    slide: Option<Slide>,
}

/// Slides that were read, the one read longest ago first.
#[derive(Debug)]
pub struct KeptSlides {
    kept: Vec<Kept>,
    max_bytes: usize,
}

impl Default for KeptSlides {
    fn default() -> Self {
        Self::with_max_bytes(MAX_BYTES)
    }
}

impl KeptSlides {
    /// None yet; later as many as take this many bytes.
    pub fn with_max_bytes(max_bytes: usize) -> Self {
        Self {
            kept: Vec::new(),
            max_bytes,
        }
    }

    /// Forgets all.
    pub fn clear(&mut self) {
        self.kept.clear();
    }

    /// Forgets what came of reading this slide.
    pub fn forget(&mut self, source: &PictureSource) {
        self.kept.retain(|kept| kept.source != *source);
    }

    /// What came of reading this slide, if that is still known: the slide, or none.
    pub fn get(&self, source: &PictureSource) -> Option<Option<&Slide>> {
        let kept = self.kept.iter().find(|kept| kept.source == *source)?;
        Some(kept.slide.as_ref())
    }

    /// The slides that could be read.
    pub fn slides_mut(&mut self) -> impl Iterator<Item = &mut Slide> {
        self.kept.iter_mut().filter_map(|kept| kept.slide.as_mut())
    }

    /// Keeps what came of reading a slide, and forgets those read longest ago where they are too
    /// many or too large; never the wanted one.
    pub fn keep(
        &mut self,
        source: PictureSource,
        slide: Option<Slide>,
        wanted: Option<&PictureSource>,
    ) {
        self.kept.retain(|kept| kept.source != source);
        self.kept.push(Kept { source, slide });
        while self.kept.len() > MAX_SLIDES || self.bytes() > self.max_bytes {
            let oldest = |kept: &Kept| Some(&kept.source) != wanted;
            match self.kept.iter().position(oldest) {
                Some(index) => drop(self.kept.remove(index)),
                None => return,
            }
        }
    }

    fn bytes(&self) -> usize {
        let slides = self.kept.iter().filter_map(|kept| kept.slide.as_ref());
        slides.map(|slide| slide.frame.bytes().len()).sum()
    }
}
