//! What is written on the picture of free room, and where: names of guides off presenter and writing, and never one word on another.

use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::space::room::Room;
use crate::pixel::canvas::Words;
use crate::pixel::guide_labels::label_corners;
use crate::pixel::guides::{Guide, guide_shapes};
use crate::pixel::label_room::{Edges, LabelRoom, shared};
use crate::pixel::settings::Size;

/// Where the words of what is out of reach stand across it, shares of the room beside them. Source: chosen by eye.
const ALONG_SHARES: [f64; 3] = [0.5, 0.3, 0.7];
/// What covering writing or a person counts beside leaving what is kept clear, where its own words stand. Source: chosen; it
/// decides between places that are equal otherwise.
const LITTLE: f64 = 1e-3;
/// Every so many of the rows that hold words, and at most how many of them, are looked at. Source: chosen; rows next to each
/// other are alike.
const ROW_STEP: usize = 8;
const MOST_ROWS: usize = 60;
/// Colour of words that belong to no guide. Source: chosen; 21:1 on black.
const WORDS_U8: [u8; 3] = [255; 3];
/// Width of words in the font of whoever shows a drawing, over that of the font in pictures. Source: measured on a common
/// sans-serif font that is wider than most.
pub(super) const DRAWING_WIDER: f64 = 1.35;
/// Room around words on their ground, share of a line's height. Source: chosen by eye.
pub(super) const PAD_SHARE: f64 = 0.2;

/// Words at a place.
pub(super) struct Label {
    /// What is written.
    pub(super) words: String,
    /// The ground behind it.
    pub(super) place: Edges,
    /// The colour of the words.
    pub(super) color: [u8; 3],
}

/// At each free box its number and size, at guides, in what is kept clear and out of reach what it is. Words get `wider` times
/// the width that they take in pictures.
pub(super) fn labels(
    room: &Room,
    guides: &[Guide],
    out_of_reach: &[PixelBox],
    wider: f64,
) -> Vec<Label> {
    let size = room.kept_clear.size();
    let mut labels = Labels {
        room: LabelRoom::on(size),
        letters: letters_px(size),
        wider,
        done: Vec::new(),
    };
    let covered = |place: &Edges| shared_px(&room.camera, place);
    for (number, bounds) in (1..).zip(&room.boxes) {
        labels.put_free(number, *bounds, size);
    }
    for area in out_of_reach {
        let [width, height] = labels.size_of("out of reach or unsafe");
        let (x, y) = (f64::from(area.x), f64::from(area.y));
        let spare = [
            f64::from(area.width) - width,
            f64::from(area.height) - height,
        ];
        if spare[1] >= 0.0 {
            let along = ALONG_SHARES.map(|share| [x + share * spare[0], y + spare[1] / 2.0]);
            labels.put("out of reach or unsafe", WORDS_U8, along, covered);
        }
    }
    for &guide in guides {
        let shapes = guide_shapes(guide, size);
        let corners = label_corners(&shapes, size, labels.size_of(guide.label()));
        let in_boxes = |place: &Edges| {
            let boxes = room
                .boxes
                .iter()
                .map(|bounds| shared(place, &edges(*bounds)));
            boxes.sum::<f64>()
        };
        labels.put(guide.label(), guide.color_u8(), corners, |place| {
            covered(place) + in_boxes(place)
        });
    }
    let clear = "keep clear";
    let clear_size = labels.size_of(clear);
    // The widest places of what is kept clear within reach come first.
    let outside = |place: &Edges| area(place) - shared_px(&room.kept_clear, place);
    let corners = clear_corners(room, clear_size);
    labels.put(clear, WORDS_U8, corners, |place| {
        LITTLE * covered(place) + outside(place)
    });
    labels.done
}

/// Height of a line of words.
pub(super) fn letters_px(size: Size) -> f64 {
    (f64::from(size.height()) / 36.0).max(11.0)
}

/// Width of lines: 2 px at 540 rows, 4 at 1080.
pub(super) fn line_px(size: Size) -> f64 {
    (f64::from(size.height()) / 270.0).round().max(1.0)
}

struct Labels {
    room: LabelRoom,
    letters: f64,
    wider: f64,
    done: Vec<Label>,
}

impl Labels {
    /// Width and height of words with the ground around them.
    fn size_of(&self, words: &str) -> [f64; 2] {
        #[expect(clippy::cast_possible_truncation, reason = "a height in pixels")]
        let laid_out = Words::new(words, self.letters as f32);
        let text = laid_out.map_or([0.0; 2], |words| [words.width_px(), words.height_px()]);
        let [width, height] = text.map(f64::from);
        let pad = PAD_SHARE * height;
        [self.wider * width + 2.0 * pad, height + pad]
    }

    fn put(
        &mut self,
        words: &str,
        color: [u8; 3],
        corners: impl IntoIterator<Item = [f64; 2]>,
        seen_px: impl Fn(&Edges) -> f64,
    ) {
        let size = self.size_of(words);
        if let Some(place) = self.room.put_at(corners, size, seen_px) {
            let words = words.to_owned();
            self.done.push(Label {
                words,
                place,
                color,
            });
        }
    }

    /// A free box has its size too where it is wide enough, and its name beside it where it is too narrow for that.
    fn put_free(&mut self, number: usize, bounds: PixelBox, size: Size) {
        let percent = |px: u32, side: u32| 100.0 * f64::from(px) / f64::from(side);
        let name = format!("free {number}");
        let long = format!(
            "{name}: {:.0} % x {:.0} %",
            percent(bounds.width, size.width()),
            percent(bounds.height, size.height())
        );
        let inset = 2.0 * line_px(size);
        let fits = |words: &str| self.size_of(words)[0] <= f64::from(bounds.width) - 2.0 * inset;
        let words = if fits(&long) { long } else { name };
        let [width, height] = self.size_of(&words);
        let [left, top, right, bottom] = edges(bounds);
        let (inner_left, inner_right) = (left + inset, right - inset - width);
        let inside = [
            [inner_left, top + inset],
            [inner_left, bottom - inset - height],
            [inner_right, top + inset],
        ];
        let beside = [
            [left, top - height],
            [left, bottom],
            [right, top],
            [left - width, top],
        ];
        let inside = inside.into_iter().filter(|_| inner_right >= inner_left);
        let corners: Vec<[f64; 2]> = inside.chain(beside).collect();
        self.put(&words, WORDS_U8, corners, |_| 0.0);
    }
}

/// Corners for words of this size in the middle of the runs that are kept clear within reach, the longest runs first.
fn clear_corners(room: &Room, [width, height]: [f64; 2]) -> Vec<[f64; 2]> {
    let PixelBox { x, .. } = room.within;
    let (left, right) = (f64::from(x), f64::from(room.within.right()));
    let (top, bottom) = (f64::from(room.within.y), f64::from(room.within.bottom()));
    let mut found: Vec<(f64, [f64; 2])> = Vec::new();
    for run in room.kept_clear.as_slice() {
        let from = f64::from(run.start).max(left);
        let to = f64::from(run.end).min(right);
        let y = f64::from(run.y) - height / 2.0;
        if to - from >= width && y >= top && y + height <= bottom {
            found.push((to - from, [f64::midpoint(from, to) - width / 2.0, y]));
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found
        .into_iter()
        .step_by(ROW_STEP)
        .take(MOST_ROWS)
        .map(|(_, corner)| corner)
        .collect()
}

/// Pixels of a mask in a place.
fn shared_px(mask: &Runs, [left, top, right, bottom]: &Edges) -> f64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the rows of the mask"
    )]
    let row = |y: f64| y.clamp(0.0, f64::from(mask.size().height())) as u32;
    let runs = (row(top.floor())..row(bottom.ceil())).flat_map(|y| mask.row(y));
    runs.map(|run| (f64::from(run.end).min(*right) - f64::from(run.start).max(*left)).max(0.0))
        .sum()
}

/// Left, top, right and bottom.
pub(super) fn edges(bounds: PixelBox) -> Edges {
    [bounds.x, bounds.y, bounds.right(), bounds.bottom()].map(f64::from)
}

fn area([left, top, right, bottom]: &Edges) -> f64 {
    (right - left) * (bottom - top)
}
