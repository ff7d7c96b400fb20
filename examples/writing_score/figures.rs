//! Figures of what may be ink, with whether it is, as lines of text that `fit_ink.py` reads.

use std::fs::OpenOptions;
use std::io::{BufWriter, Write};
use std::path::Path;

use nightglass::measure::inspect::camera_parts::CameraParts;
use nightglass::measure::parts::fabric::fabric;
use nightglass::measure::parts::ink_company::{COMPANY, Company};
use nightglass::measure::parts::ink_figures::{FIGURES, ink_figures, share_inside};
use nightglass::measure::parts::ink_trees::own_log_odds;
use nightglass::measure::raster::runs::Runs;

/// Share of a piece that is written from which it is ink, and up to which it is none; between them it is neither.
const INK: f64 = 0.6;
const NO_INK: f64 = 0.3;
/// Pixels that writing counts as at least, so that a speck in a frame with little writing does not weigh as much as a word.
const LEAST_WRITING_PX: u64 = 3000;

/// Adds a line a piece to a file: whether it is ink, what it weighs, what it is a decoy of, its figures, those of its company.
pub(crate) fn append_figures(
    path: &Path,
    parts: &CameraParts,
    writing: &Runs,
    decoys: &[u8],
) -> std::io::Result<()> {
    let file = OpenOptions::new().create(true).append(true).open(path)?;
    let mut to = BufWriter::new(file);
    let all = &parts.pieces;
    let size = writing.size();
    let share =
        |mask: &Runs| -> Vec<f64> { all.pieces.iter().map(|p| share_inside(p, mask)).collect() };
    let (over, written) = (share(&parts.presenter), share(&writing.grown(1)));
    let figures = ink_figures(all, &over, &parts.presenter);
    let may_be: Vec<bool> = fabric(all, size).iter().map(|is_cloth| !is_cloth).collect();
    let log_odds: Vec<f64> = figures.iter().map(own_log_odds).collect();
    let company = Company {
        all,
        may_be: &may_be,
        over: &over,
        figures: &figures,
        log_odds: &log_odds,
    }
    .figures();
    let whole = writing.area().max(LEAST_WRITING_PX) as f64;
    for (i, piece) in all.pieces.iter().enumerate() {
        if !may_be[i] || (NO_INK..INK).contains(&written[i]) {
            continue;
        }
        let middle = piece.runs.get(piece.runs.len() / 2);
        let decoy = middle.and_then(|run| {
            let x = u32::midpoint(run.start, run.end);
            decoys.get(run.y as usize * size.width() as usize + x as usize)
        });
        let weight = (piece.area as f64 / whole).min(1.0);
        let (is_ink, decoy) = (u8::from(written[i] >= INK), decoy.copied().unwrap_or(0));
        write!(to, "{is_ink}\t{weight:.5}\t{decoy}")?;
        for figure in figures[i] {
            write!(to, "\t{figure:.4}")?;
        }
        match &company[i] {
            Some(both) => {
                for figure in &both[FIGURES..] {
                    write!(to, "\t{figure:.4}")?;
                }
            }
            None => write!(to, "{}", "\tnan".repeat(COMPANY))?,
        }
        writeln!(to)?;
    }
    to.flush()
}
