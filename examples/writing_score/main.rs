//! Judges how well writing and presenter are found in camera frames: drawn ones of many people, inks,
//! clothes and faults, or those of a folder with truth masks.
//!
//! `cargo run --release --example writing_score`, with `-- --frames DIR` a folder instead, with
//! `--each N` N frames of each kind, `--seed N` others, `--write DIR` pictures to look at, `--figures FILE` adds
//! what `fit_ink.py` reads, `--only NAME` one kind, `--photographs DIR` people and prints of photographs among the drawn
//! ones, `--beside empty,before` the other stills of the rig as `inspect` takes them.
//! A status of 1 says that the goals are missed.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "a program that draws pictures and prints a table about them"
)]

mod album;
mod arm;
mod board;
mod camera;
mod cap;
mod clothes;
mod decoy;
mod figure;
mod figures;
mod folder;
#[path = "../demonstration/hand.rs"]
mod hand;
mod head;
mod judge;
#[path = "../demonstration/noise.rs"]
#[expect(
    dead_code,
    reason = "shared with another example that needs more of it"
)]
mod noise;
mod overlay;
mod print;
mod random;
mod room;
mod scene;
mod sheet;
mod table;
mod words;
mod worn;
mod writing;

use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Instant;

use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::inspect::camera_parts::{CameraStills, find_camera_parts};
use nightglass::measure::inspect::double_image::measure_double_image;
use nightglass::measure::inspect::edge_widths::measure_edge_widths;

use album::Album;
use figures::append_figures;
use judge::{judge, runs_of};
use overlay::write_overlay;
use scene::{Kind, scene};
use table::Table;

/// What the command line asks for.
#[derive(Debug, Default)]
struct Wish {
    frames: Option<PathBuf>,
    write: Option<PathBuf>,
    figures: Option<PathBuf>,
    photographs: Option<PathBuf>,
    only: Option<String>,
    beside: Option<String>,
    each: u64,
    seed: u64,
}

fn wish() -> Option<Wish> {
    let mut wish = Wish {
        each: 3,
        ..Wish::default()
    };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let value = words.next()?;
        match word.as_str() {
            "--frames" => wish.frames = Some(value.into()),
            "--figures" => wish.figures = Some(value.into()),
            "--photographs" => wish.photographs = Some(value.into()),
            "--write" => wish.write = Some(value.into()),
            "--only" => wish.only = Some(value),
            "--beside" => wish.beside = Some(value),
            "--each" => wish.each = value.parse().ok()?,
            "--seed" => wish.seed = value.parse().ok()?,
            _ => return None,
        }
    }
    Some(wish)
}

fn main() -> ExitCode {
    let Some(wish) = wish().filter(|wish| wish.frames.is_none() || wish.photographs.is_none())
    else {
        eprintln!(
            "expected --frames DIR or --photographs DIR, --write DIR, --figures FILE, --only NAME, --beside empty,before, --each N or --seed N"
        );
        return ExitCode::from(2);
    };
    if let Some(folder) = &wish.write
        && let Err(error) = std::fs::create_dir_all(folder)
    {
        eprintln!(
            "error: cannot make the folder `{}`: {error}",
            folder.display()
        );
        return ExitCode::from(2);
    }
    let table = match &wish.frames {
        Some(folder) => {
            match folder::judge_folder(folder, wish.write.as_deref(), wish.figures.as_deref()) {
                Ok(table) => table,
                Err(error) => {
                    eprintln!("error: {error}");
                    return ExitCode::from(2);
                }
            }
        }
        None => match wish.photographs.as_deref().map(Album::read).transpose() {
            Ok(album) => judge_drawn(&wish, &album.unwrap_or_default()),
            Err(error) => {
                eprintln!("error: a picture of --photographs cannot be read: {error}");
                return ExitCode::from(2);
            }
        },
    };
    print!("{table}");
    if table.is_held() {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

fn judge_drawn(wish: &Wish, album: &Album) -> Table {
    let mut table = Table::default();
    for (index, (kind, name)) in (0_u64..).zip(Kind::ALL) {
        if wish.only.as_deref().is_some_and(|only| only != name) {
            continue;
        }
        for number in 0..wish.each {
            let seed = wish.seed * 100_000 + index * 1000 + number;
            let Some(drawn) = scene(
                kind,
                seed,
                album,
                wish.beside.as_deref().unwrap_or_default(),
            ) else {
                continue;
            };
            judge_one(wish, &mut table, name, number, &drawn);
        }
    }
    table
}

fn judge_one(
    wish: &Wish,
    table: &mut Table,
    name: &'static str,
    number: u64,
    drawn: &scene::Scene,
) {
    let raster = CameraRaster::new(&drawn.frame);
    let (empty, before) = (
        drawn.empty.as_ref().map(CameraRaster::new),
        drawn.before.as_ref().map(CameraRaster::new),
    );
    let started = Instant::now();
    let parts = find_camera_parts(&CameraStills {
        camera: &raster,
        empty: empty.as_ref(),
        before: before.as_ref(),
    });
    let milliseconds = started.elapsed().as_secs_f64() * 1000.0;
    let edges = measure_edge_widths(&raster, &parts, 0.0);
    if measure_double_image(&raster, &parts, edges.writing_px).is_some() {
        table.add_copy(format!("{name} {number}"));
    }
    let size = drawn.frame.size();
    let (writing, presenter) = (
        runs_of(size, &drawn.writing),
        runs_of(size, &drawn.presenter),
    );
    let mut score = judge(&parts, &writing, &presenter, &drawn.decoys);
    score.milliseconds = milliseconds;
    if let Some(path) = &wish.figures
        && let Err(error) = append_figures(path, &parts, &writing, &drawn.decoys)
    {
        eprintln!("error: cannot write `{}`: {error}", path.display());
    }
    if let Some(folder) = &wish.write {
        let path = folder.join(format!("{}-{number}.jpg", name.replace(' ', "-")));
        if let Err(error) = write_overlay(&path, &drawn.frame, &parts, &writing, &presenter) {
            eprintln!("error: cannot write `{}`: {error}", path.display());
        }
    }
    table.add(name, format!("{name} {number}"), score);
}
