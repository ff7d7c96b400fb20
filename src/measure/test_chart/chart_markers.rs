//! Corner markers in a capture: a ring around a dot, wherever they lie and however they are scaled.

use super::capture::Plane;
use super::chart::{DOT, RING_INNER};

/// How far the middles of ring and dot may lie apart, of the ring's width. Source: chosen.
const MAX_MIDDLE_SHIFT: f64 = 0.12;
/// Smallest ring that is looked at, px. Source: chosen.
const MIN_RING_PX: u32 = 8;
/// How much smaller than the largest a marker may be, of its size. Source: chosen.
const SAME_SIZE: f64 = 0.7;
/// Where between black and white a marker is cut out, tried in this order. Source: chosen.
const CUTS: [f64; 5] = [0.5, 0.35, 0.65, 0.22, 0.8];

/// A marker that was found, in capture pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct FoundMarker {
    /// Centre.
    pub(super) centre: [f64; 2],
    /// Width and height of the ring.
    pub(super) size_px: [f64; 2],
}

/// All that look like markers, at the cut that shows most of them.
pub(super) fn find_markers(plane: &Plane, dark: f64, bright: f64) -> Vec<FoundMarker> {
    let mut best: Vec<FoundMarker> = Vec::new();
    for polarity in [1.0, -1.0] {
        for cut in CUTS {
            let level = dark + cut * (bright - dark);
            let found = markers_at(plane, |code| polarity * (code - level) > 0.0);
            if found.len() == 4 {
                return found;
            }
            // More than four has the four among it; fewer is what can be told of.
            let is_better = match (best.len(), found.len()) {
                (0..4, now) => now > best.len(),
                (had, now) => now >= 4 && now < had,
            };
            if is_better {
                best = found;
            }
        }
    }
    best
}

/// Pieces of connected pixels.
#[derive(Clone, Copy, Debug)]
struct Piece {
    pixels: u32,
    x0: u32,
    y0: u32,
    x1: u32,
    y1: u32,
    sum: [f64; 2],
}

impl Piece {
    fn size_px(&self) -> [f64; 2] {
        [f64::from(self.x1 - self.x0), f64::from(self.y1 - self.y0)]
    }

    fn centre(&self) -> [f64; 2] {
        self.sum.map(|sum| sum / f64::from(self.pixels) + 0.5)
    }

    /// Share of its box that it covers.
    fn fill(&self) -> f64 {
        let [width, height] = self.size_px();
        f64::from(self.pixels) / (width * height)
    }
}

fn markers_at(plane: &Plane, is_set: impl Fn(f64) -> bool) -> Vec<FoundMarker> {
    let pieces = pieces(plane, is_set);
    let disc = std::f64::consts::FRAC_PI_4;
    // A blurred ring grows or shrinks with the cut, so its cover is only known roughly.
    let ring_fill = disc * (1.0 - RING_INNER * RING_INNER);
    let rings: Vec<&Piece> = pieces
        .iter()
        .filter(|piece| {
            piece.x1 - piece.x0 >= MIN_RING_PX
                && piece.y1 - piece.y0 >= MIN_RING_PX
                && (0.5 * ring_fill..1.5 * ring_fill).contains(&piece.fill())
        })
        .collect();
    let dots: Vec<&Piece> = pieces
        .iter()
        .filter(|piece| piece.pixels >= 4 && (0.65..=1.0).contains(&piece.fill()))
        .collect();
    let mut found: Vec<FoundMarker> = Vec::new();
    for ring in rings {
        let (centre, size_px) = (ring.centre(), ring.size_px());
        let has_dot = dots.iter().any(|dot| {
            (0..2).all(|axis| {
                let share = dot.size_px()[axis] / size_px[axis];
                let shift = (dot.centre()[axis] - centre[axis]).abs();
                (0.5 * DOT..1.6 * DOT).contains(&share) && shift <= MAX_MIDDLE_SHIFT * size_px[axis]
            })
        });
        if has_dot {
            let scale = f64::from(plane.reduced_by);
            found.push(FoundMarker {
                centre: centre.map(|v| v * scale),
                size_px: size_px.map(|v| v * scale),
            });
        }
    }
    // All four are equally large; what is much smaller is a letter.
    let largest = |axis: usize| {
        found
            .iter()
            .fold(0.0, |most, f| f64::max(most, f.size_px[axis]))
    };
    let least = [0, 1].map(|axis| SAME_SIZE * largest(axis));
    found.retain(|marker| (0..2).all(|axis| marker.size_px[axis] >= least[axis]));
    found
}

/// A stretch of set pixels in a row.
#[derive(Clone, Copy)]
struct Run {
    y: u32,
    from: u32,
    to: u32,
}

/// Pieces of set pixels that touch, corners included.
fn pieces(plane: &Plane, is_set: impl Fn(f64) -> bool) -> Vec<Piece> {
    let mut runs: Vec<Run> = Vec::new();
    let mut parents: Vec<usize> = Vec::new();
    let mut above = 0..0;
    for (y, row) in (0..).zip(plane.codes.chunks_exact(plane.width as usize)) {
        let first = runs.len();
        let mut start = None;
        for (x, set) in (0_u32..).zip(row.iter().map(|&code| is_set(code)).chain([false])) {
            match (start, set) {
                (None, true) => start = Some(x),
                (Some(from), false) => {
                    runs.push(Run { y, from, to: x });
                    parents.push(parents.len());
                    start = None;
                }
                _ => {}
            }
        }
        let mut over = above.start;
        for here in first..runs.len() {
            while over < above.end && runs[over].to < runs[here].from {
                over += 1;
            }
            let mut touching = over;
            while touching < above.end && runs[touching].from <= runs[here].to {
                let (a, b) = (root(&mut parents, here), root(&mut parents, touching));
                parents[a.max(b)] = a.min(b);
                touching += 1;
            }
        }
        above = first..runs.len();
    }
    let mut pieces: Vec<Option<Piece>> = vec![None; runs.len()];
    for (index, run) in runs.iter().enumerate() {
        let of = root(&mut parents, index);
        let length = run.to - run.from;
        let sum_x = f64::from(length) * f64::from(run.from + run.to - 1) / 2.0;
        let sum_y = f64::from(length) * f64::from(run.y);
        let piece = pieces[of].get_or_insert(Piece {
            pixels: 0,
            x0: run.from,
            y0: run.y,
            x1: run.to,
            y1: run.y + 1,
            sum: [0.0; 2],
        });
        piece.pixels += length;
        piece.x0 = piece.x0.min(run.from);
        piece.x1 = piece.x1.max(run.to);
        piece.y1 = piece.y1.max(run.y + 1);
        piece.sum[0] += sum_x;
        piece.sum[1] += sum_y;
    }
    pieces.into_iter().flatten().collect()
}

/// The first run of the piece that a run belongs to.
fn root(parents: &mut [usize], mut run: usize) -> usize {
    while parents[run] != run {
        parents[run] = parents[parents[run]];
        run = parents[run];
    }
    run
}
