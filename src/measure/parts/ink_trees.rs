//! Trees of questions about a piece, whose answers add up to how much speaks for its being ink.

use super::company_tree_table;
use super::ink_company::CompanyFigures;
use super::ink_figures::Figures;
use super::ink_tree_table;

/// A question or an answer of a tree. After a question comes what follows a no, then what follows a yes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Node {
    /// Whether this figure is over this limit; if so, so many nodes are passed over.
    Ask(u8, f64, u8),
    /// Log odds to add.
    Say(f64),
}

/// What a tree says; nothing where it ends without an answer.
pub fn answer(tree: &[Node], figures: &[f64]) -> f64 {
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

/// Log odds that a piece with these figures is ink, whatever else there is.
///
/// Source: fitted by `examples/writing_score/fit_ink.py` to the pieces of 7176 drawn frames, two a kind of the seeds 1000 to 1089
/// and 1100 to 1165, with people and prints of photographs among them.
pub fn own_log_odds(figures: &Figures) -> f64 {
    let trees = ink_tree_table::TREES.iter();
    ink_tree_table::BEFORE + trees.map(|tree| answer(tree, figures)).sum::<f64>()
}

/// Log odds that a piece with these figures and this company is ink.
///
/// Source: fitted likewise to 13,340 other drawn frames, two a kind of the seeds 1500 to 1629 and 1800 to 1959.
pub fn company_log_odds(figures: &CompanyFigures) -> f64 {
    let trees = company_tree_table::TREES.iter();
    company_tree_table::BEFORE + trees.map(|tree| answer(tree, figures)).sum::<f64>()
}
