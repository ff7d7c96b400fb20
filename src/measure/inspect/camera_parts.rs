//! Writing and presenter in one still of the camera. Says what it cannot know in notes.

use super::camera_note::CameraNote;
use crate::measure::camera::backdrop::Backdrop;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::camera::flat_profile::is_flat_profile;
use crate::measure::camera::glass_edges::glass_edges;
use crate::measure::parts::fabric::fabric;
use crate::measure::parts::figure_edge::with_edge;
use crate::measure::parts::ink_contrast::InkContrast;
use crate::measure::parts::ink_figures::share_inside;
use crate::measure::parts::ink_pieces::InkPieces;
use crate::measure::parts::likely_line::is_likely_line;
use crate::measure::parts::presenter::PresenterLook;
use crate::measure::parts::writing::{SURE_INK, free_log_odds, judge_pieces};
use crate::measure::raster::byte_plane::BytePlane;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::{Run, Runs};
use crate::measure::still::still_pair::{PairFault, change_from, compare_stills, is_new, new_runs};
use crate::pixel::settings::Size;

/// What was found in a camera frame, in pixels of the output.
#[derive(Clone, Debug)]
pub struct CameraParts {
    /// Where the glass is written on.
    pub writing: Runs,
    /// Where the presenter is, including what writing covers. Nowhere where it would be most of the output.
    pub presenter: Runs,
    /// A box around each group of strokes that belong together.
    pub writing_places: Vec<PixelBox>,
    /// The box around the presenter; none where nobody is there.
    pub presenter_place: Option<PixelBox>,
    /// The lit edges of the glass that the picture shows.
    pub glass_edges: Runs,
    /// The backdrop.
    pub backdrop: Backdrop,
    /// Everything that could have been writing.
    pub pieces: InkPieces,
    /// Which of the pieces are writing.
    pub kept: Vec<bool>,
    /// What the frame cannot tell.
    pub notes: Vec<CameraNote>,
}

/// A still of the camera, and others of the same rig that sharpen what is found in it.
#[derive(Clone, Copy, Debug)]
pub struct CameraStills<'a> {
    /// The frame that is looked at.
    pub camera: &'a CameraRaster,
    /// The same with nobody there and nothing written.
    pub empty: Option<&'a CameraRaster>,
    /// The same before anything was written; the presenter may be there.
    pub before: Option<&'a CameraRaster>,
}

/// Smallest height in which anything is looked for, px. Source: chosen; a stroke is a pixel wide there.
const LEAST_HEIGHT_PX: u32 = 90;
/// Brightest backdrop, codes. Source: chosen, a quarter of white; 4 % are a fault, and flat camera profiles raise black
/// to 10 %.
const BRIGHTEST_BACKDROP: f64 = 64.0;
/// How far a backdrop's cells may be off their slow course, standard deviation, codes. Source: measured; 1.4 at most in 138
/// drawn and 6 composed frames, 10 and more in photographs of other things.
const LEAST_EVEN_BACKDROP: f32 = 4.0;
/// Share of the output that a presenter takes at most. Source: chosen; a person close by takes half of it, and a figure that
/// takes more is a backdrop that is lit, or glow that joins presenter, writing and edges.
const MOST_OF_OUTPUT: f64 = 0.6;
/// Colour of cells under which a frame has none, codes. Source: chosen, what rounding and compression leave of grey.
const LEAST_COLOUR: f32 = 3.0;

/// Share of a piece on a lit edge of the glass from which it is that edge. Source: chosen; a stroke that begins on it leaves it.
const EDGE_SHARE: f64 = 0.8;

/// Finds writing and presenter.
pub fn find_camera_parts(stills: &CameraStills<'_>) -> CameraParts {
    let camera = stills.camera;
    let size = camera.size();
    let own = Backdrop::measure(camera);
    let mut notes = Vec::new();
    let (mut empty, mut before) = (None, None);
    for (still, used, same_scene) in [
        (stills.empty, &mut empty, true),
        (stills.before, &mut before, false),
    ] {
        let Some(still) = still else { continue };
        let other = Backdrop::measure(still);
        let compared = if still.size() == size {
            compare_stills(&own, &other, same_scene)
        } else {
            Err(PairFault::Size)
        };
        match compared {
            Ok(()) => *used = Some((still, other)),
            Err(fault) if same_scene => notes.push(CameraNote::EmptyNotUsed(fault)),
            Err(fault) => notes.push(CameraNote::BeforeNotUsed(fault)),
        }
    }
    let backdrop = match &empty {
        Some((_, empty)) => own.against(empty),
        None => own,
    };
    if let Some(note) = blind_note(size, &backdrop) {
        notes.push(note);
        return CameraParts::nothing(size, backdrop, notes);
    }
    notes.extend(look_notes(camera, &backdrop));
    let edges = glass_edges(&backdrop, size);
    let look = PresenterLook::of(camera, &backdrop, &edges);
    let contrast = InkContrast::measure(camera);
    let pieces = InkPieces::find(camera, &backdrop, &contrast);
    let others = [empty.map(|still| still.0), before.map(|still| still.0)];
    let changes: Vec<BytePlane> = others
        .into_iter()
        .flatten()
        .map(|other| change_from(camera, other))
        .collect();
    let free = free_log_odds(&pieces, size);
    let may_be: Vec<bool> = pieces
        .pieces
        .iter()
        .zip(fabric(&pieces, size))
        .zip(&free)
        .map(|((piece, is_cloth), &free)| {
            (!is_cloth || free > SURE_INK)
                && share_inside(piece, &edges) < EDGE_SHARE
                && changes.iter().all(|change| is_new(piece, change))
        })
        .collect();
    let strokes: Vec<bool> = pieces
        .pieces
        .iter()
        .zip(&may_be)
        .zip(&free)
        .map(|((piece, &may_be), &free)| {
            may_be && (is_likely_line(piece, &pieces) || free > SURE_INK)
        })
        .collect();
    let presenter = look.find(&mask_of(size, &pieces, &strokes));
    let first = judge_pieces(&pieces, &may_be, &presenter);
    // Ink hides where the figure ends, and what the figure is decides about ink: once more with what is ink for sure.
    let presenter = look.find(&mask_of(size, &pieces, &first.sure));
    let kept = judge_pieces(&pieces, &may_be, &presenter).kept;
    let writing = new_writing(size, &pieces, &kept, &changes);
    let presenter = look.find(&writing);
    let mut presenter = with_edge(&presenter, look.brightest(), &backdrop, &writing);
    if writing.as_slice().is_empty() {
        notes.push(CameraNote::NothingWritten);
    }
    if presenter.area() as f64 > MOST_OF_OUTPUT * size.area() as f64 {
        notes.push(CameraNote::LitAllOver);
        presenter = Runs::none(size);
    } else if presenter.as_slice().is_empty() {
        notes.push(CameraNote::NobodyThere);
    }
    let writing_places = Components::of(&writing, Neighbours::Within(size.height() / 40 + 1))
        .list()
        .iter()
        .map(|part| part.bounds)
        .collect();
    CameraParts {
        presenter_place: presenter.bounds(),
        writing,
        presenter,
        writing_places,
        glass_edges: edges,
        backdrop,
        pieces,
        kept,
        notes,
    }
}

/// Why nothing can be looked for, if so.
fn blind_note(size: Size, backdrop: &Backdrop) -> Option<CameraNote> {
    if size.height() < LEAST_HEIGHT_PX || size.width() < LEAST_HEIGHT_PX {
        return Some(CameraNote::TooSmall);
    }
    let is_backdrop = backdrop.level_codes() <= BRIGHTEST_BACKDROP
        && backdrop.deviations_codes()[0] <= LEAST_EVEN_BACKDROP;
    (!is_backdrop).then_some(CameraNote::NoBackdrop)
}

/// What the look of the frame hides.
fn look_notes(camera: &CameraRaster, backdrop: &Backdrop) -> Vec<CameraNote> {
    let mut notes = Vec::new();
    if is_flat_profile(camera) {
        notes.push(CameraNote::FlatProfile);
    }
    if backdrop.most_colour_codes() < LEAST_COLOUR {
        notes.push(CameraNote::NoColour);
    }
    notes
}

impl CameraParts {
    /// Whether nothing was looked for, because the frame is too small or has no dark backdrop.
    pub fn is_blind(&self) -> bool {
        let is_reason =
            |note: &CameraNote| matches!(note, CameraNote::TooSmall | CameraNote::NoBackdrop);
        self.notes.iter().any(is_reason)
    }

    /// Nothing was looked for.
    fn nothing(size: Size, backdrop: Backdrop, notes: Vec<CameraNote>) -> Self {
        Self {
            writing: Runs::none(size),
            presenter: Runs::none(size),
            writing_places: Vec::new(),
            presenter_place: None,
            glass_edges: Runs::none(size),
            pieces: InkPieces {
                pieces: Vec::new(),
                strongest: 0.0,
                backdrop: backdrop.level_codes(),
            },
            backdrop,
            kept: Vec::new(),
            notes,
        }
    }
}

/// The pixels of the pieces that are kept, and of them what is in none of the other stills: what a stroke runs into is one piece
/// with it, and may have been there before.
fn new_writing(size: Size, pieces: &InkPieces, kept: &[bool], changes: &[BytePlane]) -> Runs {
    let all = mask_of(size, pieces, kept);
    changes.iter().fold(all, |writing, change| {
        let kept = pieces.pieces.iter().zip(kept).filter(|(_, kept)| **kept);
        let new: Vec<Run> = kept
            .flat_map(|(piece, _)| new_runs(piece, change))
            .collect();
        writing.intersection(&Runs::of_runs(size, &new))
    })
}

/// The pixels of the pieces that are kept.
fn mask_of(size: Size, pieces: &InkPieces, kept: &[bool]) -> Runs {
    let kept = pieces.pieces.iter().zip(kept).filter(|(_, kept)| **kept);
    Runs::of_runs(size, kept.flat_map(|(piece, _)| &piece.runs))
}
