//! Writing and presenter in one still of the camera. Says what it cannot know in notes.

use super::backdrop::Backdrop;
use super::camera_raster::CameraRaster;
use super::components::{Components, Neighbours};
use super::finding::PixelBox;
use super::ink_colors::PALE;
use super::ink_contrast::InkContrast;
use super::ink_pieces::InkPieces;
use super::presenter::find_presenter;
use super::runs::Runs;
use super::writing::{is_writing, likely_ink};
use crate::pixel::settings::Size;

/// What was found in a camera frame, in pixels of the output.
#[derive(Clone, Debug)]
pub struct CameraParts {
    /// Where the glass is written on.
    pub writing: Runs,
    /// Where the presenter is, including what writing covers.
    pub presenter: Runs,
    /// A box around each group of strokes that belong together.
    pub writing_places: Vec<PixelBox>,
    /// The box around the presenter; none where nobody is there.
    pub presenter_place: Option<PixelBox>,
    /// The backdrop.
    pub backdrop: Backdrop,
    /// Everything that could have been writing.
    pub pieces: InkPieces,
    /// Which of the pieces are writing.
    pub kept: Vec<bool>,
}

/// Finds writing and presenter.
pub fn find_camera_parts(camera: &CameraRaster) -> CameraParts {
    let size = camera.size();
    let backdrop = Backdrop::measure(camera);
    let contrast = InkContrast::measure(camera);
    let pieces = InkPieces::find(camera, &backdrop, &contrast);
    let likely = likely_ink(&pieces, size);
    let strokes: Vec<bool> = pieces
        .pieces
        .iter()
        .zip(&likely)
        .map(|(piece, &likely)| likely && piece.class != PALE && piece.slenderness() > 2.8)
        .collect();
    #[expect(clippy::cast_possible_truncation, reason = "a code")]
    let brightness = pieces.strongest as f32;
    let presenter = find_presenter(size, &backdrop, &mask_of(size, &pieces, &strokes), brightness);
    let kept = is_writing(&pieces, &likely, &presenter);
    let writing = mask_of(size, &pieces, &kept);
    let presenter = find_presenter(size, &backdrop, &writing, brightness);
    let writing_places = Components::of(&writing, Neighbours::Within(size.height() / 40 + 1))
        .list()
        .iter()
        .map(|part| part.bounds)
        .collect();
    let presenter_place = presenter
        .as_slice()
        .iter()
        .map(|run| run.bounds())
        .reduce(PixelBox::union);
    CameraParts {
        writing,
        presenter,
        writing_places,
        presenter_place,
        backdrop,
        pieces,
        kept,
    }
}

/// The pixels of the pieces that are kept.
fn mask_of(size: Size, pieces: &InkPieces, kept: &[bool]) -> Runs {
    let mut bytes = vec![0_u8; size.area()];
    let width = size.width() as usize;
    for (piece, _) in pieces.pieces.iter().zip(kept).filter(|(_, kept)| **kept) {
        for run in &piece.runs {
            let row = run.y as usize * width;
            bytes[row + run.start as usize..row + run.end as usize].fill(1);
        }
    }
    Runs::of_bytes(size, &bytes, |byte| byte == 1)
}
