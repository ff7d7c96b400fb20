//! Small marks that lie alone over the presenter: badges, and the marker in the hand.

use super::ink_company::are_near;
use super::ink_pieces::InkPieces;
use crate::measure::raster::links::Links;
use crate::pixel::settings::Size;

/// Share over the presenter up to which a piece is before the backdrop for certain. Source: chosen.
pub(super) const FREE_SHARE: f64 = 0.03;
/// Least length of a group over the presenter, a share of the height. Source: chosen; a badge is shorter than a letter is long.
const GROUP_SHARE: f64 = 0.08;

/// Which pieces are kept of those that are, given how much of each is over the presenter, 0 to 1, in a frame of this size: what is
/// near and alike is a group, and a group that is over the presenter and short is none.
pub fn without_lone_marks(all: &InkPieces, kept: &[bool], over: &[f64], size: Size) -> Vec<bool> {
    let pieces = &all.pieces;
    let known: Vec<usize> = (0..kept.len()).filter(|&i| kept[i]).collect();
    let mut links = Links::new(kept.len());
    for (nth, &i) in known.iter().enumerate() {
        for &j in &known[..nth] {
            if are_near(&pieces[i], &pieces[j]) && pieces[i].is_alike(&pieces[j]) {
                links.join(i, j);
            }
        }
    }
    let mut lengths_px = vec![0.0; kept.len()];
    let mut is_free = vec![false; kept.len()];
    for &i in &known {
        let root = links.root(i);
        lengths_px[root] += pieces[i].length_px;
        is_free[root] |= over[i] < FREE_SHARE;
    }
    let least_px = GROUP_SHARE * f64::from(size.height());
    let mut is_kept = vec![false; kept.len()];
    for i in known {
        let root = links.root(i);
        is_kept[i] = is_free[root] || lengths_px[root] > least_px;
    }
    is_kept
}
