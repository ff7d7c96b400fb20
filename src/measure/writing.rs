//! Which pieces are writing.

use super::components::{Components, Neighbours};
use super::distance::Distances;
use super::ink_colors::PALE;
use super::ink_contrast::WIDEST_STROKE;
use super::ink_pieces::InkPieces;
use super::links::Links;
use super::piece_shape::InkPiece;
use super::runs::Runs;
use crate::pixel::settings::Size;

/// Hues of skin, -1 to 5, and its saturation. Source: chosen; skin from dark to pale under warm and cold light.
const SKIN_HUES: (f64, f64) = (-0.25, 0.85);
const SKIN_SATURATION: (f64, f64) = (0.12, 0.62);

/// How many times as long as wide a line before the backdrop is. Source: chosen; a lit finger alone has less.
const LINE_SLENDERNESS: f64 = 5.0;
/// Most of a line's rim that goes on beyond it, and how sharp the rim is at least, 0 to 1. Source: chosen.
const CLOSED: f64 = 0.15;
const SHARP: f64 = 0.4;

/// Radius from which a closed area is cloth, and least length of a group over the presenter, shares of the height.
/// Source: chosen; a stripe repeats over a hand's width, a badge is shorter than a letter is long.
const FABRIC_SHARE: f64 = 0.045;
const GROUP_SHARE: f64 = 0.08;
/// Share of the picture from which one piece is cloth. Source: chosen; a long word in a thick pen has a third of it.
const CLOTH_SHARE: f64 = 0.02;
/// How sharp a stroke over the presenter is at least, a share of what the others are. Source: chosen.
const SOFT_SHARE: f64 = 0.4;
/// How many times as wide as any stroke beside the presenter a stroke over it may be. Source: chosen; the pens of a set differ less.
const ODD_WIDTH: f64 = 3.5;
/// Share of what is around that is lit where a piece lies over something and not before the backdrop. Source: chosen.
pub const LIT_SHARE: f64 = 0.6;
/// How much wider than a stroke a piece is at most where strokes run together. Source: chosen; the angles of an `N` in a
/// thick pen are twice as wide as its lines.
const WIDEST_PIECE: f64 = 2.0;
/// From which elongation a piece is a bar, and how far from one another bars may run, radians. Source: chosen.
const BAR_ELONGATION: f64 = 4.0;
const SAME_DIRECTION: f64 = 0.15;

/// Whether a piece has the colour of ink: saturated or white, not that of skin or hair.
fn has_ink_color(piece: &InkPiece, all: &InkPieces) -> bool {
    let bright = piece.most() - all.backdrop;
    let saturation = piece.saturation(all.backdrop);
    let is_skin = (SKIN_HUES.0..SKIN_HUES.1).contains(&piece.hue())
        && (SKIN_SATURATION.0..SKIN_SATURATION.1).contains(&saturation);
    // Coral and orange ink have the hues of skin too; skin is no thin line before the
    // backdrop, nor one with a sharp edge all round.
    let is_line = piece.slenderness() > LINE_SLENDERNESS
        && (piece.lit_around < LIT_SHARE || piece.open < CLOSED && piece.sharpness > SHARP);
    let bright_enough = if piece.class == PALE { 0.55 } else { 0.35 };
    (!is_skin || is_line) && bright >= bright_enough * all.strongest
}

/// Which pieces look like strokes of ink wherever they are: no part of something larger, sharp, no cloth.
pub fn likely_ink(all: &InkPieces, size: Size) -> Vec<bool> {
    let mut likely: Vec<bool> = all
        .pieces
        .iter()
        .map(|piece| {
            let (sharp, open) = if piece.class == PALE {
                (0.3, 0.3)
            } else {
                (0.15, 0.7)
            };
            has_ink_color(piece, all) && piece.sharpness > sharp && piece.open < open
        })
        .collect();
    let solid: Vec<bool> = all
        .pieces
        .iter()
        .map(|piece| piece.sharpness > 0.12 && piece.open < 0.5)
        .collect();
    for i in fabric(all, &solid, size) {
        likely[i] = false;
    }
    likely
}

/// Which of the pieces are writing, given those that are likely and the presenter as far as it is known.
pub fn is_writing(all: &InkPieces, likely: &[bool], presenter: &Runs) -> Vec<bool> {
    let size = presenter.size();
    let over: Vec<f64> = all
        .pieces
        .iter()
        .map(|piece| share_inside(piece, presenter))
        .collect();
    let most_px = WIDEST_PIECE * WIDEST_STROKE * f64::from(size.height());
    let mut kept: Vec<bool> = (0..all.pieces.len())
        .map(|i| likely[i] && is_stroke(&all.pieces[i], all, over[i], most_px))
        .collect();
    drop_odd_widths(all, &mut kept, &over);
    drop_soft(all, &mut kept, &over);
    drop_small_groups(all, &mut kept, &over, size);
    // Dots, ends and streaks belong to strokes of their colour nearby; twice, so that they reach on.
    for _ in 0..2 {
        let sure: Vec<usize> = (0..kept.len()).filter(|&i| kept[i]).collect();
        for i in 0..kept.len() {
            let piece = &all.pieces[i];
            if kept[i] || piece.widest_px > most_px || !may_belong(piece, over[i]) {
                continue;
            }
            kept[i] = sure.iter().any(|&j| {
                let other = &all.pieces[j];
                let alike = if over[i] < 0.1 {
                    belong(piece, other)
                } else {
                    are_alike(piece, other)
                };
                alike && are_neighbours(piece, other)
            });
        }
    }
    kept
}

/// Whether a piece could be a remnant of a stroke.
fn may_belong(piece: &InkPiece, over: f64) -> bool {
    if over < 0.1 {
        piece.class != PALE || piece.beside_other > 0.3 || piece.lit_around < 0.2
    } else {
        piece.class != PALE
            && piece.sharpness > 0.25
            && piece.open < 0.35
            && piece.beside_other < 0.5
    }
}

/// Whether two pieces are near each other, as letters of a word are.
fn are_neighbours(a: &InkPiece, b: &InkPiece) -> bool {
    let reach = 2.5 * b.widest_px.max(a.widest_px);
    let gap = |a0: u32, a1: u32, b0: u32, b1: u32| {
        f64::from(b0.saturating_sub(a1).max(a0.saturating_sub(b1)))
    };
    gap(a.bounds.x, a.bounds.right(), b.bounds.x, b.bounds.right()) <= reach
        && gap(a.bounds.y, a.bounds.bottom(), b.bounds.y, b.bounds.bottom()) <= reach
}

/// Whether two pieces have nearly the same colour.
fn are_alike(a: &InkPiece, b: &InkPiece) -> bool {
    a.class == b.class && (0..3).all(|c| (a.color[c] - b.color[c]).abs() < 0.25 * b.most())
}

/// Whether a piece before the backdrop can be of the same ink as another, thinned or mixed.
fn belong(a: &InkPiece, b: &InkPiece) -> bool {
    (a.class == b.class || a.class == PALE) && a.most() > 0.35 * b.most()
}

fn is_stroke(piece: &InkPiece, all: &InkPieces, over: f64, most_px: f64) -> bool {
    let bright = (piece.most() - all.backdrop) / all.strongest;
    let plate = piece.fill > 0.85 && piece.slenderness() < 5.0;
    if piece.class == PALE {
        let alone = over < 0.2 && piece.lit_around < 0.15 && piece.open < 0.15;
        let uniform = piece.widest_px < 1.7 * piece.width_px + 2.0;
        let yellowish = piece.saturation(all.backdrop) > 0.2 && piece.hue() > SKIN_HUES.1;
        let crisp = piece.sharpness > 0.6;
        let (lit, open, long) = match (yellowish, crisp) {
            (true, _) => (1.0, 0.2, 5.0),
            (false, true) => (0.1, 0.07, 3.5),
            (false, false) => (0.1, 0.07, 6.0),
        };
        let stands_out = piece.lit_around <= lit && piece.open < open && piece.sharpness > 0.4;
        return alone
            || (piece.slenderness() > long
                && !plate
                && uniform
                && bright > 0.75
                && stands_out
                && piece.beside_other < 0.1);
    }
    if over < 0.3 {
        return piece.beside_other < 0.5
            && piece.lit_around < LIT_SHARE
            && piece.widest_px < most_px;
    }
    // What goes on beyond its rim in nearly the same colour has to be long to be a stroke.
    let long_enough = match piece.open {
        open if open < 0.1 => 2.8,
        open if open < 0.3 => 5.0,
        _ => 9.0,
    };
    !plate
        && piece.beside_other < 0.6
        && piece.widest_px < most_px
        && bright > 0.5
        && piece.slenderness() > long_enough
        && piece.strength > 0.33 * all.strongest
        && piece.saturation(all.backdrop) > 0.52
}

/// Bars that run the same way, as dense as the stripes of a shirt: closed over gaps of a little more than their own
/// width they fill a large area, which letters do not.
fn fabric(all: &InkPieces, likely: &[bool], size: Size) -> Vec<usize> {
    let mut woven = Vec::new();
    let most = all
        .pieces
        .iter()
        .map(|piece| piece.class)
        .max()
        .unwrap_or(0);
    let cloth_area = CLOTH_SHARE * size.area() as f64;
    for class in 1..=most {
        let large = all
            .pieces
            .iter()
            .filter(|piece| piece.class == class && piece.area as f64 > cloth_area);
        for cloth in large {
            let is_on_it = |&m: &usize| {
                all.pieces[m].class == class
                    && all.pieces[m].bounds.intersection(cloth.bounds).is_some()
            };
            woven.extend((0..likely.len()).filter(is_on_it));
        }
        let of_class: Vec<usize> = (0..likely.len())
            .filter(|&i| all.pieces[i].class == class && likely[i])
            .collect();
        let bars: Vec<usize> = of_class
            .iter()
            .copied()
            .filter(|&i| all.pieces[i].elongation > BAR_ELONGATION)
            .collect();
        let Some(&longest) = bars
            .iter()
            .max_by(|&&a, &&b| all.pieces[a].length_px.total_cmp(&all.pieces[b].length_px))
        else {
            continue;
        };
        let along = all.pieces[longest].direction;
        let members: Vec<usize> = bars
            .into_iter()
            .filter(|&i| {
                let off = (all.pieces[i].direction - along).abs();
                off.min(std::f64::consts::PI - off) < SAME_DIRECTION
            })
            .collect();
        if members.len() < 3 {
            continue;
        }
        let mut widths: Vec<f64> = members.iter().map(|&i| all.pieces[i].width_px).collect();
        let middle = widths.len() / 2;
        let width = *widths.select_nth_unstable_by(middle, f64::total_cmp).1;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few pixels"
        )]
        let reach = (1.6 * width).ceil() as u32;
        let mut bytes = vec![0_u8; size.area()];
        for &i in &members {
            for run in &all.pieces[i].runs {
                let row = run.y as usize * size.width() as usize;
                bytes[row + run.start as usize..row + run.end as usize].fill(1);
            }
        }
        let closed = Runs::of_bytes(size, &bytes, |byte| byte == 1).grown(reach);
        let parts = Components::of(&closed, Neighbours::EIGHT);
        for i in 0..parts.list().len() {
            let bounds = parts.list()[i].bounds;
            let deep = Distances::within(bounds, parts.runs_of(i).iter().copied())
                .map_or(f64::MAX, |d| d.largest_px());
            if deep - f64::from(reach) > FABRIC_SHARE * f64::from(size.height()) {
                woven.extend(
                    of_class
                        .iter()
                        .copied()
                        .filter(|&m| all.pieces[m].bounds.intersection(bounds).is_some()),
                );
            }
        }
    }
    woven
}

/// What is over the presenter and far wider than the pens of this frame is no stroke: a tie, say.
fn drop_odd_widths(all: &InkPieces, kept: &mut [bool], over: &[f64]) {
    let free =
        (0..kept.len()).filter(|&i| kept[i] && over[i] < 0.1 && all.pieces[i].slenderness() > 4.0);
    let widest = free.map(|i| all.pieces[i].width_px).fold(0.0, f64::max);
    if widest > 0.0 {
        for i in 0..kept.len() {
            kept[i] &= over[i] < 0.5 || all.pieces[i].width_px < ODD_WIDTH * widest;
        }
    }
}

/// The glass is as sharp over the presenter as beside: what is clearly softer there is part of the presenter.
fn drop_soft(all: &InkPieces, kept: &mut [bool], over: &[f64]) {
    let is_free = |&i: &usize| kept[i] && over[i] < 0.1 && all.pieces[i].slenderness() > 4.0;
    let mut sharp: Vec<f64> = (0..kept.len())
        .filter(is_free)
        .map(|i| all.pieces[i].sharpness)
        .collect();
    if sharp.len() < 2 {
        return;
    }
    let middle = sharp.len() / 2;
    let usual = *sharp.select_nth_unstable_by(middle, f64::total_cmp).1;
    for i in 0..kept.len() {
        kept[i] &= over[i] < 0.7 || all.pieces[i].sharpness > SOFT_SHARE * usual;
    }
}

/// What lies alone at the presenter and is no longer than a badge is a badge, or the marker in the hand.
fn drop_small_groups(all: &InkPieces, kept: &mut [bool], over: &[f64], size: Size) {
    let mut links = Links::new(kept.len());
    for i in 0..kept.len() {
        for j in 0..i {
            if kept[i]
                && kept[j]
                && are_neighbours(&all.pieces[i], &all.pieces[j])
                && are_alike(&all.pieces[i], &all.pieces[j])
            {
                links.join(i, j);
            }
        }
    }
    let mut lengths = vec![0.0; kept.len()];
    let mut free = vec![false; kept.len()];
    for i in (0..kept.len()).filter(|&i| kept[i]) {
        let root = links.root(i);
        lengths[root] += all.pieces[i].length_px;
        free[root] |= over[i] < 0.03;
    }
    for (i, kept) in kept.iter_mut().enumerate() {
        let root = links.root(i);
        *kept &= free[root] || lengths[root] > GROUP_SHARE * f64::from(size.height());
    }
}

/// Share of a piece that is in a mask, 0 to 1.
pub fn share_inside(piece: &InkPiece, mask: &Runs) -> f64 {
    let mut inside = 0_u64;
    for run in &piece.runs {
        for other in mask.row(run.y) {
            let common = run
                .end
                .min(other.end)
                .saturating_sub(run.start.max(other.start));
            inside += u64::from(common);
        }
    }
    inside as f64 / piece.area.max(1) as f64
}
