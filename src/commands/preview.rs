//! `preview`: the window; without arguments on the built-in demonstration.

use std::path::PathBuf;

use clap::Args;

use super::args::{CameraArgs, PictureArgs, ShownArgs, WantedPlace, replace, whole_number};
use super::deck::DeckArgs;
use super::demo::write_demonstration;
use super::failure::{Exit, Failure};
use super::free_place::move_where_free;
use super::output::{note, print_lines};
use super::setup::{self, LoadedSetup};
use crate::files::deck::Deck;
use crate::files::demonstration::CAMERA;
use crate::files::documents::is_office;
use crate::files::picture_file::{ReadError, read_picture};
use crate::measure::space::zone::zones_of_deck;
use crate::window;
use crate::window::error_words::error_words;
use crate::window::run::{WindowError, WindowStart};

/// Open the window on a camera frame and slides
#[derive(Debug, Args)]
pub(super) struct PreviewArgs {
    #[command(flatten)]
    deck: DeckArgs,
    /// Camera frame, a picture; else the setup's
    #[arg(long, value_name = "FILE")]
    camera: Option<PathBuf>,
    /// Frame of the last good setup; else the setup's
    #[arg(long, value_name = "FILE")]
    like: Option<PathBuf>,
    /// Open the clean output at once, full screen on this monitor (1 is the first)
    #[arg(long, value_name = "MONITOR", value_parser = whole_number::<1, 255>)]
    clean_output: Option<u8>,
    /// Flip the clean output left-right, for a presenter who sees it in a mirror; never in a file
    #[arg(long, value_name = "YES", num_args = 0..=1, default_missing_value = "true", require_equals = true)]
    mirror_monitor: Option<bool>,
    #[command(flatten)]
    picture: PictureArgs,
    #[command(flatten)]
    camera_place: CameraArgs,
    #[command(flatten)]
    shown: ShownArgs,
}

/// Where the demonstration is written when no window can open.
const FALLBACK_FOLDER: &str = "nightglass-demo";

/// Runs the command.
pub(super) fn run(args: PreviewArgs) -> Result<Exit, Failure> {
    let mut loaded = setup::load_for_placing(&args.picture)?;
    args.camera_place.apply(&mut loaded.setup);
    args.shown.apply(&mut loaded.setup);
    replace(&mut loaded.setup.mirror_monitor, args.mirror_monitor);
    let are_of_setup = [args.camera.is_none(), args.like.is_none()];
    replace(&mut loaded.setup.camera, args.camera.map(Some));
    replace(&mut loaded.setup.like, args.like.map(Some));
    if !args.deck.slides.is_empty() {
        // A folder stays a folder in the setup, so that slides added to it are found next time.
        let is_quick = |path: &&PathBuf| !is_office(path) || !path.exists();
        let quick: Vec<PathBuf> = args.deck.slides.iter().filter(is_quick).cloned().collect();
        let mut deck = Deck::open(&quick);
        if let Some(pages) = &args.deck.pages
            && quick.len() == args.deck.slides.len()
        {
            deck.pick(pages);
        }
        if let Some(problem) = deck.problems.into_iter().next() {
            return Err(problem.into());
        }
        loaded.setup.slides = args.deck.slides;
        loaded.setup.pages = None;
    }
    replace(&mut loaded.setup.pages, args.deck.pages.map(Some));
    let (camera, like) = (&loaded.setup.camera, &loaded.setup.like);
    let files = [
        (camera, "camera", "camera"),
        (like, "like", "frame of the last good setup"),
    ];
    for ((file, key, what), is_of_setup) in files.into_iter().zip(are_of_setup) {
        if let Some(path) = file.clone().filter(|path| !path.exists()) {
            let missing = Failure::from(ReadError::Missing { path });
            let missing = missing.context(format!("cannot read the {what}"));
            return Err(missing.of_setup(key, is_of_setup));
        }
    }
    if args.picture.slide_place == Some(WantedPlace::Free) {
        let camera = match &loaded.setup.camera {
            Some(path) => read_picture(path).map(|picture| picture.frame),
            None if loaded.setup.slides.is_empty() => CAMERA.frame(),
            None => {
                return Err(Failure::with_hint(
                    anyhow::anyhow!("expected a camera frame to find room in, got none"),
                    Some("add `--camera FILE`, or name the slide's place in percent".to_owned()),
                ));
            }
        };
        let camera =
            camera.map_err(|error| Failure::from(error).context("cannot read the camera"))?;
        let zones = zones_of_deck(&loaded.setup.zones);
        move_where_free(
            &args.picture,
            &mut loaded.setup.settings,
            &zones,
            &camera,
            None,
        )?;
    }
    open_window(loaded, args.clean_output)
}

/// The window on what the setup names; on the demonstration where it names nothing.
fn open_window(loaded: LoadedSetup, clean_output: Option<u8>) -> Result<Exit, Failure> {
    let demonstration = loaded.setup.camera.is_none() && loaded.setup.slides.is_empty();
    window::run::run(WindowStart {
        setup: loaded.setup,
        setup_path: loaded.path,
        demonstration,
        clean_output_monitor: clean_output.map(|number| usize::from(number) - 1),
    })?;
    Ok(Exit::Clean)
}

/// The window on the setup in the current folder, if there is one that names pictures; else on the
/// demonstration, and where no window can open, files that show the same.
pub(super) fn run_alone() -> Result<Exit, Failure> {
    let loaded = setup::load(&PictureArgs::default())?;
    if loaded.setup.camera.is_some() || !loaded.setup.slides.is_empty() {
        return open_window(loaded, None);
    }
    let start = WindowStart {
        setup: loaded.setup,
        setup_path: loaded.path,
        demonstration: true,
        clean_output_monitor: None,
    };
    match window::run::run(start) {
        Ok(()) => Ok(Exit::Clean),
        Err(error) if error.cannot_open() => {
            note(&error_words(&error, error.hint()));
            let summary = write_demonstration(FALLBACK_FOLDER.as_ref())?;
            print_lines(&summary)?;
            Ok(Exit::Clean)
        }
        Err(error) => Err(error.into()),
    }
}

impl From<WindowError> for Failure {
    fn from(error: WindowError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}
