//! Cloth among the pieces that may be ink: stripes and other bars that repeat.

use super::ink_pieces::InkPieces;
use crate::measure::raster::components::{Components, Neighbours};
use crate::measure::raster::distance::Distances;
use crate::measure::raster::runs::Runs;
use crate::measure::statistics::middle::middle_of;
use crate::pixel::settings::Size;

/// Radius from which a closed area is cloth, a share of the height. Source: chosen; a stripe repeats over a hand's width.
const FABRIC_SHARE: f64 = 0.045;
/// Share of the picture from which one piece is cloth. Source: chosen; a long word in a thick pen has a third of it.
const CLOTH_SHARE: f64 = 0.02;
/// Least sharpness of a stripe, and most of its rim that goes on beyond it. Source: chosen.
const STRIPE_SHARPNESS: f64 = 0.12;
const STRIPE_OPEN: f64 = 0.5;
/// From which elongation a piece is a bar, and how far from one another bars may run, radians. Source: chosen.
const BAR_ELONGATION: f64 = 4.0;
const SAME_DIRECTION: f64 = 0.15;

/// Bars that run the same way, as dense as the stripes of a shirt: closed over gaps of a little more than their own
/// width they fill a large area, which letters do not.
pub fn fabric(all: &InkPieces, size: Size) -> Vec<bool> {
    let mut woven = vec![false; all.pieces.len()];
    let likely: Vec<bool> = all
        .pieces
        .iter()
        .map(|piece| piece.sharpness > STRIPE_SHARPNESS && piece.open < STRIPE_OPEN)
        .collect();
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
                all.pieces[m].is_alike(cloth)
                    && all.pieces[m].bounds.intersection(cloth.bounds).is_some()
            };
            (0..likely.len())
                .filter(is_on_it)
                .for_each(|m| woven[m] = true);
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
        let mut widths: Vec<f64> = members.iter().map(|&i| all.pieces[i].width_px).collect();
        let Some(width) = middle_of(&mut widths, f64::total_cmp).filter(|_| members.len() >= 3)
        else {
            continue;
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few pixels"
        )]
        let reach = (1.6 * width).ceil() as u32;
        let bars = members.iter().flat_map(|&i| &all.pieces[i].runs);
        let closed = Runs::of_runs(size, bars).grown(reach);
        let parts = Components::of(&closed, Neighbours::EIGHT);
        for i in 0..parts.list().len() {
            let bounds = parts.list()[i].bounds;
            let deep = Distances::within(bounds, parts.runs_of(i).iter().copied())
                .map_or(f64::MAX, |d| d.largest_px());
            if deep - f64::from(reach) > FABRIC_SHARE * f64::from(size.height()) {
                of_class
                    .iter()
                    .copied()
                    .filter(|&m| {
                        let piece = &all.pieces[m];
                        piece.bounds.intersection(bounds).is_some()
                            && members.iter().any(|&bar| piece.is_alike(&all.pieces[bar]))
                    })
                    .for_each(|m| woven[m] = true);
            }
        }
    }
    woven
}
