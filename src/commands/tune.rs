//! `tune`: one key for a whole deck.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;

use super::args::PictureArgs;
use super::deck::DeckArgs;
use super::failure::{Exit, Failure};
use super::output::{note, print, print_json, print_schema};
use super::setup::{self, LoadedSetup};
use super::tune_json::TuneJson;
use super::tune_text::tune_text;
use crate::files::atomic::AtomicFile;
use crate::files::picture_file::Picture;
use crate::files::picture_output::{WriteError, open_beside};
use crate::files::setup_file::Setup;
use crate::files::slide_file::SlideSource;
use crate::measure::check::slide_check::SlideToCheck;
use crate::measure::key::key_suggestion::{
    FALSE_ALARMS_PER_FRAME, KeySuggestion, KeyTerms, suggest_key,
};
use crate::measure::key::slide_levels::{SlideLevels, measure_slide_levels};
use crate::measure::limits::Limit;
use crate::pixel::settings::Size;
use crate::report::key_plot::key_plot;

/// Find one key for all slides: above their backgrounds, below their content
#[derive(Debug, Args)]
pub(super) struct TuneArgs {
    #[command(flatten)]
    deck: DeckArgs,
    /// Write threshold and softness into this setup file; the rest of it stays
    #[arg(long, value_name = "SETUP")]
    write: Option<PathBuf>,
    /// Draw backgrounds, content and the key into this SVG file
    #[arg(long, value_name = "FILE")]
    plot: Option<PathBuf>,
    /// Say what was found as one JSON document
    #[arg(long)]
    json: bool,
    /// Print the JSON Schema of that document and measure nothing
    #[arg(long)]
    schema: bool,
    #[command(flatten)]
    picture: PictureArgs,
}

/// What was found, with what it was found for.
#[derive(Debug)]
pub(super) struct Tuned<'a> {
    pub setup: &'a Setup,
    pub output: Size,
    /// The slides that count, as the suggestion numbers them.
    pub slides: Vec<&'a SlideSource>,
    pub suggestion: KeySuggestion,
}

impl Tuned<'_> {
    /// Standard deviation of the chain's noise, percent of white.
    pub(super) fn noise_percent(&self) -> f64 {
        noise_percent(self.setup)
    }
}

fn noise_percent(setup: &Setup) -> f64 {
    let chain = setup.settings.chain;
    chain.map_or(0.0, |chain| chain.noise_percent())
}

/// Runs the command.
pub(super) fn run(args: &TuneArgs) -> Result<Exit, Failure> {
    if args.schema {
        print_schema::<TuneJson<'_>>("nightglass tune")?;
        return Ok(Exit::Clean);
    }
    let LoadedSetup { setup, .. } = setup::load(&args.picture)?;
    let plot = args.plot.as_deref().map(open_plot).transpose()?;
    let mut written = args
        .write
        .as_deref()
        .map(|path| open_setup(path, &setup))
        .transpose()?;
    let deck = args.deck.open(&setup)?;
    let found = deck.work_through(|_, picture| Ok((measure(&setup, &picture), picture.warnings)));

    let mut slides = Vec::new();
    let mut measured: Vec<SlideLevels> = Vec::new();
    for (slide, found) in deck.slides.iter().zip(found) {
        if let Some((levels, warnings)) = found {
            slides.push(slide);
            measured.push(levels);
            for warning in warnings {
                note(&format!("warning: `{slide}`: {warning}"));
            }
        }
    }
    if measured.is_empty() {
        return Ok(Exit::Incomplete);
    }
    let is_incomplete = deck.incomplete || measured.len() < deck.slides.len();
    let suggestion = suggest_key(&measured, &terms(&setup));
    let tuned = Tuned {
        setup: &setup,
        output: setup.settings.placement.size.unwrap_or(Size::HD),
        slides,
        suggestion,
    };
    if let Some((file, path)) = plot {
        write_plot(file, path, &key_plot(&tuned.suggestion, &measured))?;
        note(&format!("wrote the plot `{}`", path.display()));
    }
    if let Some((path, to)) = &mut written {
        write_key(path, to, &tuned.suggestion)?;
    }
    if args.json {
        print_json(&TuneJson::new(&tuned))?;
    } else {
        print(&tune_text(&tuned))?;
    }
    Ok(if is_incomplete {
        Exit::Incomplete
    } else if tuned.suggestion.is_clean() {
        Exit::Clean
    } else {
        Exit::Found
    })
}

/// The levels of one slide under this setup.
fn measure(setup: &Setup, picture: &Picture) -> SlideLevels {
    measure_slide_levels(&SlideToCheck {
        slide: &picture.frame,
        lossy: picture.lossy,
        cameras: &[],
        settings: &setup.settings,
        limits: &setup.limits,
        reserved: &setup.reserved,
        zones: &[],
    })
}

/// What levels are judged by under this setup.
fn terms(setup: &Setup) -> KeyTerms {
    KeyTerms {
        current: setup.settings.key,
        noise_percent: noise_percent(setup),
        false_alarms: FALSE_ALARMS_PER_FRAME,
        not_dark_percent: setup.limits.get(Limit::NotDark),
        haze_percent: setup.limits.get(Limit::HazeWarn),
    }
}

/// Opens the plot's file before the slow work, so that a bad name is known at once.
fn open_plot(path: &Path) -> Result<(AtomicFile, &Path), Failure> {
    let is_svg = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("svg"));
    if !is_svg {
        return Err(Failure::with_hint(
            anyhow::anyhow!("expected a name ending in .svg, got `{}`", path.display()),
            Some("name the plot something.svg".to_owned()),
        ));
    }
    let file = open_beside(path)?;
    Ok((file, path))
}

fn write_plot(mut file: AtomicFile, path: &Path, svg: &str) -> Result<(), Failure> {
    let outcome = file.write_all(svg.as_bytes()).and_then(|()| file.commit());
    outcome.map_err(|source| {
        let path = path.to_owned();
        WriteError::System { path, source }.into()
    })
}

/// The setup that the key is written into: the file's, or where there is none, the one in use.
fn open_setup<'a>(path: &'a Path, in_use: &Setup) -> Result<(&'a Path, Setup), Failure> {
    let setup = if path.exists() {
        Setup::read(path)?
    } else {
        in_use.clone()
    };
    Setup::try_path(path)?;
    Ok((path, setup))
}

/// Puts the suggested threshold and softness into the file, and says so.
fn write_key(path: &Path, to: &mut Setup, suggestion: &KeySuggestion) -> Result<(), Failure> {
    let (threshold, softness) = (
        suggestion.key.threshold_percent(),
        suggestion.key.softness_percent(),
    );
    to.settings.key = to
        .settings
        .key
        .with_threshold(threshold)?
        .with_softness(softness)?;
    to.save(path)?;
    note(&format!(
        "wrote threshold {threshold} and softness {softness} into `{}`",
        path.display()
    ));
    Ok(())
}
