//! Checks that want a graphics adapter. Without one they pass and say so; with
//! `NIGHTGLASS_REQUIRE_ADAPTER=1` they fail.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests, though without the built-in harness by which clippy would know"
)]
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "test pictures are made of small numbers"
)]

use std::env;
use std::process::ExitCode;

use nightglass::gpu::device::Gpu;

mod canvas;
mod engine_note;
#[path = "../support/gpu_compare.rs"]
mod gpu_compare;
#[path = "../support/gpu_frames.rs"]
mod gpu_frames;
#[path = "../support/gpu_probe.rs"]
mod gpu_probe;
mod harness;
mod negative;
mod parity;
mod present;
mod read_back;
mod scenes;
mod twins;
mod window_engine;

use harness::{Check, Tally};

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    let checks: Vec<Check> = [
        twins::checks(),
        parity::checks(),
        negative::checks(),
        present::checks(),
        canvas::checks(),
        window_engine::checks(),
        engine_note::checks(),
    ]
    .into_iter()
    .flatten()
    .collect();
    if arguments.iter().any(|a| a == "--list") {
        for check in &checks {
            println!("{}: test", check.name);
        }
        return ExitCode::SUCCESS;
    }
    let filters: Vec<&String> = arguments.iter().filter(|a| !a.starts_with('-')).collect();
    let chosen: Vec<&Check> = checks
        .iter()
        .filter(|check| filters.is_empty() || filters.iter().any(|f| check.name.contains(*f)))
        .collect();
    match Gpu::open() {
        Ok(gpu) => run(&gpu, &chosen, !filters.is_empty()),
        Err(error) => {
            eprintln!("error: {error}");
            println!("gpu: 0 of {} checks ran, no adapter", chosen.len());
            if env::var_os("NIGHTGLASS_REQUIRE_ADAPTER").is_some_and(|v| v == "1") {
                ExitCode::FAILURE
            } else {
                ExitCode::SUCCESS
            }
        }
    }
}

fn run(gpu: &Gpu, chosen: &[&Check], filtered: bool) -> ExitCode {
    println!("\nadapter: {}", gpu.adapter_name());
    let mut failed = Vec::new();
    let mut sum = Tally::default();
    for check in chosen {
        match check.run(gpu) {
            Ok(tally) => {
                println!(
                    "ok   {}: {} compared, {} off by 1, {} by more{}{}",
                    check.name,
                    tally.compared,
                    tally.off_by_one,
                    tally.off_by_more,
                    if tally.note.is_empty() { "" } else { "; " },
                    tally.note
                );
                sum.compared += tally.compared;
                sum.off_by_one += tally.off_by_one;
                sum.off_by_more += tally.off_by_more;
            }
            Err(message) => {
                println!("FAIL {}: {message}", check.name);
                failed.push(check.name.as_str());
            }
        }
    }
    println!(
        "\ngpu: {} of {} checks ran on {}, {} failed; {} pixels and results compared, \
         {} off by 1 code, {} by more",
        chosen.len(),
        chosen.len(),
        gpu.adapter_name(),
        failed.len(),
        sum.compared,
        sum.off_by_one,
        sum.off_by_more,
    );
    for name in &failed {
        println!("failed: {name}");
    }
    if failed.is_empty() && (filtered || !chosen.is_empty()) {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
