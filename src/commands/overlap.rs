//! `overlap`: where slides land on writing and presenter, and in and out of zones.

use std::path::PathBuf;

use clap::Args;

use super::args::{CameraArgs, PictureArgs};
use super::check::{FailOn, camera_paths, check_deck, open_report, tell};
use super::check_job::CheckJob;
use super::deck::DeckArgs;
use super::failure::{Exit, Failure};
use super::output::note;
use super::setup;
use crate::measure::check::slide_check::check_overlap;

/// Find slide content that lands on writing, on the presenter, or against a zone
#[derive(Debug, Args)]
pub(super) struct OverlapArgs {
    #[command(flatten)]
    deck: DeckArgs,
    /// Camera frame with presenter and writing, may be repeated, and each is judged; else the setup's
    #[arg(long = "camera", value_name = "FILE")]
    cameras: Vec<PathBuf>,
    /// Write the result as one HTML page with pictures, for reading, printing and sending
    #[arg(long, value_name = "FILE.html")]
    report: Option<PathBuf>,
    /// Print the result as one JSON document, of the form that `check --schema` describes
    #[arg(long)]
    json: bool,
    /// The verdict from which the exit status is 1 [default: fail]
    #[arg(long, value_enum, value_name = "VERDICT")]
    fail_on: Option<FailOn>,
    #[command(flatten)]
    picture: PictureArgs,
    #[command(flatten)]
    camera_place: CameraArgs,
}

/// Runs the command.
pub(super) fn run(args: &OverlapArgs) -> Result<Exit, Failure> {
    let mut loaded = setup::load(&args.picture)?;
    args.camera_place.apply(&mut loaded.setup);
    let cameras = camera_paths(&args.cameras, &loaded.setup);
    if cameras.is_empty() && loaded.setup.zones.is_empty() {
        return Err(Failure::with_hint(
            anyhow::anyhow!("expected a camera frame, got none"),
            Some("add `--camera FILE`, or set `camera` or [[zones]] in the setup file".to_owned()),
        ));
    }
    let mut deck = args.deck.open(&loaded.setup)?;
    let report = open_report(args.report.as_deref(), &cameras, &loaded, &deck)?;
    let job = CheckJob::open(loaded, &cameras, check_overlap, report.is_some())?;
    for words in job.cameras_in_words() {
        note(&words);
    }
    deck.set_camera(job.camera_size());
    let results = check_deck(&job, &deck);
    tell(&job, &deck, results, report, args.json, args.fail_on)
}
