//! `preview`: the window; without arguments on the built-in demonstration.

use std::path::PathBuf;

use clap::Args;

use super::args::{PictureArgs, replace};
use super::demo::write_demonstration;
use super::failure::{Exit, Failure};
use super::output::{note, print};
use super::setup;
use crate::files::deck::Deck;

/// Open the window on a camera frame and slides
#[derive(Debug, Args)]
pub(super) struct PreviewArgs {
    /// Slides and folders of slides, in order; else the setup's
    #[arg(value_name = "SLIDES")]
    slides: Vec<PathBuf>,
    /// Camera frame: PNG, JPEG, WebP, TIFF or BMP; else the setup's
    #[arg(long, value_name = "FILE")]
    camera: Option<PathBuf>,
    /// Open the clean output at once, full screen on this monitor (1 is the first)
    #[arg(long, value_name = "MONITOR", value_parser = clap::value_parser!(u8).range(1..))]
    clean_output: Option<u8>,
    /// Flip the clean output left-right, for a presenter who sees it in a mirror; never in a file
    #[arg(long, value_name = "YES", num_args = 0..=1, default_missing_value = "true", require_equals = true)]
    mirror_monitor: Option<bool>,
    #[command(flatten)]
    picture: PictureArgs,
}

/// Where the demonstration is written when no window can open.
const FALLBACK_FOLDER: &str = "nightglass-demo";

/// Runs the command.
pub(super) fn run(args: PreviewArgs) -> Result<Exit, Failure> {
    let mut loaded = setup::load(&args.picture)?;
    replace(&mut loaded.setup.mirror_monitor, args.mirror_monitor);
    replace(&mut loaded.setup.camera, args.camera.map(Some));
    if !args.slides.is_empty() {
        loaded.setup.slides = Deck::open(&args.slides)?.slides;
    }
    let _ = (args.clean_output, loaded.path);
    Ok(Exit::Clean)
}

/// The window on the demonstration; where none can open, files that show the same.
pub(super) fn run_demonstration() -> Result<Exit, Failure> {
    note("no window can open here");
    let summary = write_demonstration(FALLBACK_FOLDER.as_ref())?;
    print(&summary)?;
    Ok(Exit::Clean)
}
