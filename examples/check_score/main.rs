//! Judges `check`: draws slides on which it is known what is wrong, and counts what is missed and
//! what is found where nothing is. `cargo run --release --example check_score`

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "pixels and codes stay small, and are rounded or held in range where it matters"
)]

mod cameras;
mod case;
mod clean;
mod coding;
mod faulty_camera;
mod faulty_geometry;
mod faulty_ground;
mod faulty_keyed;
mod judge;
mod lettering;
mod look;
#[path = "../demonstration/noise.rs"]
mod noise;
mod page;
mod pages;
mod photographs;
mod sheet;
#[path = "../demonstration/sky.rs"]
mod sky;
mod table;
mod written;

use case::Case;
use clap::Parser;
use coding::Coding;
use judge::{Judged, judge};
use rayon::prelude::*;
use sheet::Fault;
use std::io::{Write, stderr, stdout};
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;
use table::Table;

/// Judges `check` on generated slides, clean and faulty, as PNG and as JPEG.
///
/// Exit status: 0 where misses and false alarms are within the bounds, else 1; 2 where it could not
/// be done.
#[derive(Debug, Parser)]
struct Args {
    /// Judge only slides whose name contains this, and print what was found on each.
    #[arg(long, value_name = "NAME")]
    only: Option<String>,
    /// Write the slides that are judged here, to look at, with contact sheets.
    #[arg(long, value_name = "DIR")]
    write: Option<PathBuf>,
    /// Judge only one slide in so many, for a quick look.
    #[arg(long, value_name = "COUNT", default_value_t = 1)]
    one_in: usize,
    /// Name every slide that was judged wrongly, not only some.
    #[arg(long)]
    all: bool,
}

fn main() -> ExitCode {
    match run(&Args::parse()) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(fault) => {
            let _ = writeln!(stderr(), "error: {fault}");
            ExitCode::from(2)
        }
    }
}

/// Makes and judges the slides; whether the bounds hold.
fn run(args: &Args) -> Result<bool, Fault> {
    let started = Instant::now();
    let mut cases = clean::clean();
    cases.extend(faulty_ground::faulty());
    cases.extend(faulty_keyed::faulty());
    cases.extend(faulty_geometry::faulty());
    cases.extend(faulty_camera::faulty());
    if let Some(only) = &args.only {
        cases.retain(|case| case.name.contains(only.as_str()));
    }
    let mut number = 0;
    cases.retain(|_| {
        number += 1;
        (number - 1) % args.one_in.max(1) == 0
    });
    if cases.is_empty() {
        return Err("no slide has such a name; without `--only` all are judged".into());
    }
    if let Some(folder) = &args.write {
        std::fs::create_dir_all(folder)?;
    }
    let judged: Vec<Vec<Judged>> = cases
        .par_iter()
        .map(|case| {
            judge_case(case, args).map_err(|fault| format!("{}: {fault}", case.name).into())
        })
        .collect::<Result<_, Fault>>()?;
    if let Some(folder) = &args.write {
        let names: Vec<&str> = cases.iter().map(|case| case.name.as_str()).collect();
        written::contact_sheets(folder, &names)?;
    }
    let mut table = Table::default();
    let mut out = stdout().lock();
    for (case, slide) in cases.iter().zip(&judged) {
        table.add(&case.name, slide);
        if args.only.is_some() {
            written::explain(&mut out, &case.name, slide)?;
        }
    }
    let within = table.print(&mut out, args.all)?;
    writeln!(out, "{:.0} s", started.elapsed().as_secs_f64())?;
    Ok(within)
}

/// Makes a slide and judges it in every coding.
fn judge_case(case: &Case, args: &Args) -> Result<Vec<Judged>, Fault> {
    let slide = (case.make)()?;
    let picture = slide.sheet.picture();
    if let Some(folder) = &args.write {
        written::write(folder, &case.name, &slide, &picture)?;
    }
    Coding::ALL
        .into_iter()
        .map(|coding| judge(&slide, &picture, coding))
        .collect()
}
