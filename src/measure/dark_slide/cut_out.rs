//! Photographs that are cut out: a shape on the background, not a box.

use crate::measure::raster::bits::Bits;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::slide::pieces::Content;
use crate::pixel::settings::Size;

/// Share of a box's sides that is content where a photograph is the whole box. Source: chosen; a bright sky may
/// have the background's colour, a shape cut out leaves most of its box's sides free.
const SIDES_OF_A_BOX: f64 = 0.7;

/// Codes from the background's colour up to which a pixel beside a cut-out photograph is its rim and no part
/// of it: what smoothing and compression leave. Source: chosen by eye, a quarter of the range.
const RIM_CODES: u8 = 64;

/// Part of the largest piece of content in a box, one in this many, from which a piece belongs to the
/// photograph. Source: chosen; words beside it are smaller.
const PIECE_PART: u64 = 10;

/// What a pixel in a photograph's box is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// The photograph.
    Photograph,
    /// The soft rim of one that is cut out.
    Rim,
    /// Something else, or the background.
    Beside,
}

/// A photograph's place: its box and, where it is cut out, what each pixel in the box is.
#[derive(Debug)]
pub(super) struct Place {
    pub(super) bounds: PixelBox,
    parts: Option<Vec<Part>>,
}

impl Place {
    /// All of a slide.
    pub(super) fn all(size: Size) -> Self {
        Self::whole(PixelBox {
            x: 0,
            y: 0,
            width: size.width(),
            height: size.height(),
        })
    }

    /// All of a box.
    fn whole(bounds: PixelBox) -> Self {
        Self {
            bounds,
            parts: None,
        }
    }

    /// The place of a photograph that was found in a box. Of one that is cut out, the large pieces of content
    /// that lie mostly in the box are the photograph, with what they enclose.
    pub(super) fn of(bounds: PixelBox, content: &Content, is_content: &Bits) -> Self {
        let sides = sides(bounds);
        let filled = sides.iter().filter(|&&(x, y)| is_content.get(x, y)).count();
        if filled as f64 >= SIDES_OF_A_BOX * sides.len() as f64 {
            return Self::whole(bounds);
        }
        let all = content.pieces();
        let is_inside = |&i: &usize| {
            let common = all[i].bounds.intersection(bounds);
            2 * common.map_or(0, PixelBox::area) > all[i].bounds.area()
        };
        let inside: Vec<usize> = (0..all.len()).filter(is_inside).collect();
        let largest = inside.iter().map(|&i| all[i].area).max().unwrap_or(0);
        let pieces = || {
            inside
                .iter()
                .filter(|&&i| PIECE_PART * all[i].area >= largest)
        };
        let bounds = pieces().fold(bounds, |b, &i| b.union(all[i].bounds));
        let mut parts = vec![Part::Beside; bounds.width as usize * bounds.height as usize];
        let width = is_content.size().width() as usize;
        for run in pieces().flat_map(|&i| content.runs_of(i)) {
            for x in run.start..run.end {
                let difference = content.differences()[run.y as usize * width + x as usize];
                parts[local(bounds, x, run.y)] = if difference > RIM_CODES {
                    Part::Photograph
                } else {
                    Part::Rim
                };
            }
        }
        let beside = beside(bounds, |x, y| {
            parts[local(bounds, x, y)] == Part::Photograph
        });
        for (part, beside) in parts.iter_mut().zip(beside) {
            if !beside {
                *part = Part::Photograph;
            }
        }
        Self {
            bounds,
            parts: Some(parts),
        }
    }

    /// What a pixel of the box is.
    pub(super) fn part(&self, x: u32, y: u32) -> Part {
        let parts = self.parts.as_ref();
        parts.map_or(Part::Photograph, |parts| parts[local(self.bounds, x, y)])
    }
}

/// Where a pixel is in a list of those of a box.
fn local(b: PixelBox, x: u32, y: u32) -> usize {
    (y - b.y) as usize * b.width as usize + (x - b.x) as usize
}

/// The pixels along the four sides of a box.
fn sides(b: PixelBox) -> Vec<(u32, u32)> {
    let across = (b.x..b.right()).flat_map(|x| [(x, b.y), (x, b.bottom() - 1)]);
    let down = (b.y..b.bottom()).flat_map(|y| [(b.x, y), (b.right() - 1, y)]);
    across.chain(down).collect()
}

/// For each pixel of a box, whether it hangs together with its sides without content between.
fn beside(b: PixelBox, is_content: impl Fn(u32, u32) -> bool) -> Vec<bool> {
    let mut beside = vec![false; b.width as usize * b.height as usize];
    let mut waiting = sides(b);
    while let Some((x, y)) = waiting.pop() {
        if beside[local(b, x, y)] || is_content(x, y) {
            continue;
        }
        beside[local(b, x, y)] = true;
        let around = [
            (x > b.x).then(|| (x - 1, y)),
            (x + 1 < b.right()).then_some((x + 1, y)),
            (y > b.y).then(|| (x, y - 1)),
            (y + 1 < b.bottom()).then_some((x, y + 1)),
        ];
        waiting.extend(around.into_iter().flatten());
    }
    beside
}
