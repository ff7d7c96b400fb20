//! Trees of questions about a piece, whose answers add up to how much speaks for its being ink.

use super::ink_figures::Figures;
use super::ink_tree_table::{BEFORE, TREES};

/// A question or an answer of a tree. After a question comes what follows a no, then what follows a yes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Node {
    /// Whether this figure is over this limit; if so, so many nodes are passed over.
    Ask(u8, f64, u8),
    /// Log odds to add.
    Say(f64),
}

/// What a tree says; nothing where it ends without an answer.
pub fn answer(tree: &[Node], figures: &Figures) -> f64 {
    let mut at = 0;
    while let Some(&Node::Ask(figure, limit, passed)) = tree.get(at) {
        let is_over = figures[usize::from(figure)] > limit;
        at += 1 + if is_over { usize::from(passed) } else { 0 };
    }
    match tree.get(at) {
        Some(&Node::Say(log_odds)) => log_odds,
        _ => 0.0,
    }
}

/// Log odds that a piece with these figures is ink.
///
/// Source: fitted by `examples/writing_score/fit_ink.py` to the pieces of 7176 drawn frames, two a kind of the seeds 1000 to 1089
/// and 1100 to 1165, with people and prints of photographs among them.
pub fn ink_log_odds(figures: &Figures) -> f64 {
    BEFORE + TREES.iter().map(|tree| answer(tree, figures)).sum::<f64>()
}
