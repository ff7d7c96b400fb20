//! `check`: what the key will do to every slide of a deck.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::args::{CameraArgs, PictureArgs};
use super::check_job::{CheckJob, SlideResult};
use super::check_watch;
use super::deck::{DeckArgs, OpenDeck};
use super::failure::{Exit, Failure};
use super::output::{columns, note, print_json, print_styled};
use super::setup::{self, LoadedSetup};
use crate::files::page_output::PageOutput;
use crate::files::setup_file::{SETUP_FILE_NAME, Setup};
use crate::files::slide_file::SlideSource;
use crate::measure::accepted::Accepted;
use crate::measure::check::slide_check::check_slide;
use crate::measure::finding::{Kind, Verdict};
use crate::measure::told_apart::told;
use crate::report::check_document::{CheckDocument, UnreadableSlide, check_schema};
use crate::report::check_page::{SlidePictures, check_page};
use crate::report::check_table::check_table;
use crate::report::words::count_words;

/// Check every slide for what the key will make of it, before anything is recorded
#[derive(Debug, Args)]
pub(super) struct CheckArgs {
    #[command(flatten)]
    pub deck: DeckArgs,
    /// Camera frame that the slides are checked over, may be repeated; else the setup's; none is needed
    #[arg(long = "camera", value_name = "FILE")]
    cameras: Vec<PathBuf>,
    /// Write the result as one HTML page with pictures, for reading, printing and sending
    #[arg(long, value_name = "FILE.html")]
    report: Option<PathBuf>,
    /// Print the result as one JSON document
    #[arg(long, conflicts_with = "watch")]
    json: bool,
    /// Print the JSON Schema of that document and check nothing
    #[arg(long)]
    schema: bool,
    /// Stay, and check again whatever changes on disk
    #[arg(long)]
    watch: bool,
    /// The verdict from which the exit status is 1 [default: fail]
    #[arg(long, value_enum, value_name = "VERDICT")]
    fail_on: Option<FailOn>,
    /// Accept what is found, all of it or these kinds: the setup file keeps it, and it stays quiet
    #[arg(
        long,
        value_enum,
        value_name = "KINDS",
        value_delimiter = ',',
        num_args = 0..,
        require_equals = true,
        conflicts_with = "watch"
    )]
    accept: Option<Vec<Kind>>,
    #[command(flatten)]
    picture: PictureArgs,
    #[command(flatten)]
    camera_place: CameraArgs,
}

/// The verdict from which slides make the command end with status 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(super) enum FailOn {
    /// What warns or fails.
    Warn,
    /// What fails.
    #[default]
    Fail,
}

impl FailOn {
    /// How the command ends with this document.
    pub(super) fn exit(self, document: &CheckDocument) -> Exit {
        if document.unreadable.is_empty() && document.unanswered.is_empty() {
            self.exit_at(document.verdict())
        } else {
            Exit::Incomplete
        }
    }

    /// How a command ends that did all of its work.
    pub(super) fn exit_at(self, verdict: Verdict) -> Exit {
        let from = match self {
            Self::Warn => Verdict::Warn,
            Self::Fail => Verdict::Fail,
        };
        if verdict >= from {
            Exit::Found
        } else {
            Exit::Clean
        }
    }
}

/// Slides with what was found on them; words for what could not be read.
pub(super) type Results = Vec<(SlideSource, Result<SlideResult, String>)>;

/// Runs the command.
pub(super) fn run(args: &CheckArgs) -> Result<Exit, Failure> {
    if args.schema {
        print_json(&check_schema())?;
        return Ok(Exit::Clean);
    }
    if args.watch {
        return check_watch::run(args);
    }
    let loaded = args.load()?;
    let mut deck = args.deck.open(&loaded.setup)?;
    let report = args.open_report(&loaded, &deck)?;
    let job = args.open_job(loaded.clone())?;
    for words in job.cameras_in_words() {
        note(&words);
    }
    deck.set_camera(job.camera_size());
    let mut results = check_deck(&job, &deck);
    if let Some(kinds) = &args.accept {
        accept(kinds, &job, &mut results, &loaded)?;
    }
    tell(&job, &deck, results, report, args.json, args.fail_on)
}

/// Writes the page, where one is wanted, prints the result, and says how the command ends.
pub(super) fn tell(
    job: &CheckJob,
    deck: &OpenDeck,
    results: Results,
    report: Option<PageOutput>,
    json: bool,
    fail_on: Option<FailOn>,
) -> Result<Exit, Failure> {
    let (document, pictures) = document_of(job, deck, results);
    if let Some(report) = report {
        report.write(&check_page(&document, &pictures))?;
    }
    if json {
        print_json(&document)?;
    } else {
        print_styled(&check_table(&document, columns()))?;
    }
    Ok(fail_on.unwrap_or_default().exit(&document))
}

impl CheckArgs {
    /// The setup with the flags of this run.
    pub(super) fn load(&self) -> Result<LoadedSetup, Failure> {
        let mut loaded = setup::load(&self.picture)?;
        self.camera_place.apply(&mut loaded.setup);
        Ok(loaded)
    }

    /// The camera frames: the setup's where none are named.
    pub(super) fn camera_paths(&self, setup: &Setup) -> Vec<PathBuf> {
        camera_paths(&self.cameras, setup)
    }

    /// What to check the slides over and under.
    pub(super) fn open_job(&self, mut loaded: LoadedSetup) -> Result<CheckJob, Failure> {
        if self.accept.is_some() && loaded.path.is_none() {
            loaded.path = Some(PathBuf::from(SETUP_FILE_NAME));
        }
        let cameras = self.camera_paths(&loaded.setup);
        CheckJob::open(loaded, &cameras, check_slide, self.report.is_some())
    }

    /// The page to be, where one is wanted.
    pub(super) fn open_report(
        &self,
        loaded: &LoadedSetup,
        deck: &OpenDeck,
    ) -> Result<Option<PageOutput>, Failure> {
        let cameras = self.camera_paths(&loaded.setup);
        open_report(self.report.as_deref(), &cameras, loaded, deck)
    }
}

/// The camera frames that are named: the setup's where there are none.
pub(super) fn camera_paths(named: &[PathBuf], setup: &Setup) -> Vec<PathBuf> {
    if named.is_empty() {
        setup.camera.iter().cloned().collect()
    } else {
        named.to_vec()
    }
}

/// The page to be, where one is wanted.
pub(super) fn open_report(
    path: Option<&Path>,
    cameras: &[PathBuf],
    loaded: &LoadedSetup,
    deck: &OpenDeck,
) -> Result<Option<PageOutput>, Failure> {
    let Some(path) = path else {
        return Ok(None);
    };
    let slides = deck.slides.iter().map(|slide| slide.path.as_path());
    let inputs: Vec<&Path> = slides
        .chain(cameras.iter().map(PathBuf::as_path))
        .chain(loaded.path.as_deref())
        .collect();
    Ok(Some(PageOutput::create(path, &inputs)?))
}

/// Checks every slide of a deck.
pub(super) fn check_deck(job: &CheckJob, deck: &OpenDeck) -> Results {
    let results = deck.results_of(|source, picture| Ok(job.check(source, picture)));
    for warning in results.iter().flatten().flat_map(|done| &done.warnings) {
        note(&format!("warning: {warning}"));
    }
    deck.slides.iter().cloned().zip(results).collect()
}

/// The document of what was found, and the pictures of its slides in order.
pub(super) fn document_of(
    job: &CheckJob,
    deck: &OpenDeck,
    results: Results,
) -> (CheckDocument, Vec<SlidePictures>) {
    let problems = deck.problems.iter().cloned();
    let mut unreadable: Vec<UnreadableSlide> = problems
        .map(|error| UnreadableSlide {
            slide: None,
            page: None,
            error,
        })
        .collect();
    let mut slides = Vec::new();
    let mut pictures = Vec::new();
    for (source, result) in results {
        match result {
            Ok(result) => {
                slides.push(result.slide);
                pictures.extend(result.pictures);
            }
            Err(error) => unreadable.push(UnreadableSlide {
                slide: Some(source.path.to_string_lossy().into_owned()),
                page: source.page,
                error,
            }),
        }
    }
    (job.document(slides, unreadable), pictures)
}

/// Puts what was found into the setup file as accepted, and takes it out of the results.
fn accept(
    kinds: &[Kind],
    job: &CheckJob,
    results: &mut Results,
    loaded: &LoadedSetup,
) -> Result<(), Failure> {
    let mut accepted: Vec<Accepted> = Vec::new();
    for (source, result) in results.iter_mut() {
        let Ok(result) = result else { continue };
        let name = source.file_name();
        let slide = &mut result.slide;
        let found = slide.findings.len();
        slide.findings.retain(|finding| {
            let is_wanted = kinds.is_empty() || kinds.contains(&finding.kind);
            if is_wanted {
                let one = Accepted::new(&name, source.page, finding, job.output());
                accepted.push(one);
            }
            !is_wanted
        });
        slide.accepted += found - slide.findings.len();
        slide.verdict = job.verdict(&slide.findings, slide.accepted);
    }
    if accepted.is_empty() {
        note("nothing was found that could be accepted");
        return Ok(());
    }
    let path = loaded.path.as_deref().unwrap_or(Path::new(SETUP_FILE_NAME));
    // Flags of this run stay out of the file.
    let mut kept = Setup::read_or_default(path)?;
    let list = accepted_lines(&accepted);
    let count = count_words(accepted.len(), "finding");
    kept.accepted.extend(accepted);
    kept.save(path)?;
    let path = path.display();
    note(&format!(
        "accepted {count} in `{path}`:\n{list}take a [[accepted]] table out of it to hear of one again"
    ));
    Ok(())
}

/// A line for each: kind, slide and place.
fn accepted_lines(accepted: &[Accepted]) -> String {
    let columns = accepted.iter().map(|one| one.kind.name().len());
    let columns = columns.max().unwrap_or(0);
    let line = |one: &Accepted| {
        let page = one.page.map(|page| format!(", page {page}"));
        let place = match one.place_percent {
            None => "whole picture".to_owned(),
            Some([x, y, width, height]) => {
                let [x, y, width, height] = [x, y, width, height].map(|percent| told(percent, 1));
                format!("{width} x {height} % of the picture at {x}, {y} %")
            }
        };
        let (kind, page) = (one.kind.name(), page.unwrap_or_default());
        format!("  {kind:columns$}  {}{page}; {place}\n", one.slide)
    };
    accepted.iter().map(line).collect()
}
