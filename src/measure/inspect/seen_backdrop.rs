//! Where the backdrop is seen: not behind writing and its glow, nor the presenter, nor the lit edge of the glass.

use super::camera_note::CameraNote;
use super::camera_parts::CameraParts;
use crate::measure::camera::backdrop::Backdrop;
use crate::measure::camera::camera_luma::luma_codes;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::parts::ink_colors::PALE;
use crate::measure::parts::ink_pieces::InkPieces;
use crate::measure::parts::piece_shape::InkPiece;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::statistics::middle::middle_of;
use crate::pixel::settings::Size;

/// How far the glow of writing reaches, and that of the presenter, px in a frame 1080 high.
/// Source: chosen; measured on drawn and composed frames, none is left of a glow from 40 px on.
const GLOW_PX: u32 = 40;
const RIM_PX: u32 = 36;
/// Largest side of a dot that stands alone and so is no writing, and how far it is from any, px in a frame 1080 high.
/// Source: chosen; the dot of an `i` and a full stop are a letter's height from the next stroke.
const DOT_PX: u32 = 18;
const ALONE_PX: u32 = 110;
/// How far in from a side of the picture the lit edge of the glass is looked for, a part of its height.
/// Source: chosen by eye on the demonstration.
const EDGE_PART: u32 = 10;
/// How much brighter than farther in the lit edge is, codes. Source: chosen, 1 % of white.
const EDGE_CODES: f32 = 2.55;

/// How far beyond a lit edge its corner's light reaches, cells. Source: chosen.
const CORNER_CELLS: u32 = 3;
/// How much brighter than the backdrop a presenter's cells are where glow is taken away, codes. Source: chosen, 4 %.
const LIT_CODES: f32 = 10.0;
/// Least size of a part of the figure, such as a head over a dark collar, a share of the largest. Source: chosen.
const PART_OF_FIGURE: f64 = 0.15;
/// Saturation and contrast, codes, from which a long piece is ink. Source: chosen; lamps are white to warm white.
const VIVID_SATURATION: f64 = 0.45;
const VIVID_CODES: f64 = 40.0;

/// What of a frame is backdrop, with its four sides.
#[derive(Clone, Debug)]
pub struct SeenBackdrop {
    /// The pixels.
    pub mask: Runs,
    /// The presenter, without glow around and between.
    pub figure: Runs,
    /// What writing, its glow and the presenter cover.
    pub covered: Runs,
    /// Pixels left out along the left, top, right and bottom: the lit edge of the glass.
    pub lit_edges_px: [u32; 4],
}

/// Finds it.
pub fn find_seen_backdrop(camera: &CameraRaster, parts: &CameraParts) -> SeenBackdrop {
    let size = camera.size();
    let px = |at_1080: u32| at_1080 * size.height() / 1080 + 1;
    let ink = sure_writing(&parts.writing, px(DOT_PX), px(ALONE_PX)).union(&vivid_pieces(
        &parts.pieces,
        size,
        px(DOT_PX),
    ));
    let glowing = ink.grown(px(GLOW_PX));
    // Where two edges meet, their light is thicker than either.
    let edges = parts
        .glass_edges
        .grown(CORNER_CELLS * parts.backdrop.cell_px());
    let without_ink = all(size, [0; 4]).without(&glowing);
    let mut figure = parts.presenter.clone();
    let lit_edges_px = lit_edges(camera, &without_ink.without(&figure.grown(px(RIM_PX))));
    // Glow that joins presenter, writing and edges makes one of them all.
    if parts.notes.contains(&CameraNote::LitAllOver) {
        figure = largest_lit(&parts.backdrop, &all(size, lit_edges_px));
    }
    let covered = glowing.union(&figure.grown(px(RIM_PX)));
    SeenBackdrop {
        mask: all(size, lit_edges_px).without(&covered).without(&edges),
        figure,
        covered,
        lit_edges_px,
    }
}

/// Everything that may be ink and is of a colour that no lamp has.
fn vivid_pieces(pieces: &InkPieces, size: Size, dot: u32) -> Runs {
    let is_vivid = |piece: &&InkPiece| {
        piece.class != PALE
            && piece.saturation(pieces.backdrop) > VIVID_SATURATION
            && piece.strength > VIVID_CODES
            && piece.bounds.width.max(piece.bounds.height) > dot
    };
    let vivid = pieces.pieces.iter().filter(is_vivid);
    Runs::of_runs(size, vivid.flat_map(|piece| &piece.runs))
}

/// The largest parts of what is well over the backdrop, where that is looked for.
fn largest_lit(backdrop: &Backdrop, inside: &Runs) -> Runs {
    let size = inside.size();
    let (across, cell) = (backdrop.cells_across(), backdrop.cell_px());
    let mut bytes = vec![0_u8; size.area()];
    for run in inside.as_slice() {
        for x in run.start..run.end {
            let at = (run.y / cell) as usize * across + (x / cell) as usize;
            bytes[(run.y * size.width() + x) as usize] =
                u8::from(backdrop.over_codes(at) > LIT_CODES);
        }
    }
    let lit = Runs::of_bytes(size, &bytes, |byte| byte == 1);
    let parts = Components::of(&lit, Neighbours::EIGHT);
    let largest = parts.list().iter().map(|part| part.area).max().unwrap_or(0);
    lit.filtered(|run, _| {
        parts.list()[parts.label_of_run(run)].area as f64 >= PART_OF_FIGURE * largest as f64
    })
}

/// Writing without dots that stand alone: a lamp of a few pixels looks like one.
fn sure_writing(writing: &Runs, dot: u32, alone: u32) -> Runs {
    let groups = Components::of(writing, Neighbours::Within(alone));
    writing.filtered(|run, _| {
        let bounds = groups.list()[groups.label_of_run(run)].bounds;
        bounds.width.max(bounds.height) > dot
    })
}

/// Every pixel that is at least so far from the left, top, right and bottom side.
fn all(size: Size, [left, top, right, bottom]: [u32; 4]) -> Runs {
    let inside = PixelBox {
        x: left,
        y: top,
        width: size.width().saturating_sub(left + right),
        height: size.height().saturating_sub(top + bottom),
    };
    Runs::of_boxes(size, [inside])
}

/// How far the edge light of the glass reaches in from each side: as far as the median along the side is brighter
/// than farther in. A lamp or a monitor at the side takes less than half of it.
fn lit_edges(camera: &CameraRaster, seen: &Runs) -> [u32; 4] {
    let size = camera.size();
    let (width, height) = (size.width(), size.height());
    let depth = height / EDGE_PART;
    let median_at = |side: usize, depth: u32| {
        let length = if side.is_multiple_of(2) {
            height
        } else {
            width
        };
        let mut codes: Vec<f32> = (0..length)
            .step_by(3)
            .filter_map(|along| {
                let (x, y) = match side {
                    0 => (depth, along),
                    1 => (along, depth),
                    2 => (width - 1 - depth, along),
                    _ => (along, height - 1 - depth),
                };
                let at = (y * width + x) as usize;
                seen.contains(x, y).then(|| luma_codes(camera.codes()[at]))
            })
            .collect();
        let are_enough = codes.len() > length as usize / 12;
        middle_of(&mut codes, f32::total_cmp).filter(|_| are_enough)
    };
    std::array::from_fn(|side| {
        if width <= depth || depth < 2 {
            return 0;
        }
        let Some(inside) = median_at(side, depth) else {
            return 0;
        };
        let is_lit = |&at: &u32| median_at(side, at).is_some_and(|code| code > inside + EDGE_CODES);
        let reach = (0..depth).take_while(is_lit).last();
        reach.map_or(0, |last| last + 1)
    })
}
