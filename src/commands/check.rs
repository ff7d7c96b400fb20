//! `check`: what the key will do to every slide of a deck.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::args::PictureArgs;
use super::check_job::CheckJob;
use super::deck::DeckArgs;
use super::failure::{Exit, Failure};
use super::output::{columns, note, print_json, print_styled};
use super::setup;
use crate::measure::finding::Verdict;
use crate::report::check_document::{CheckDocument, UnreadableSlide, check_schema};
use crate::report::check_table::check_table;

/// Check every slide for what the key will make of it, before anything is recorded
#[derive(Debug, Args)]
#[command(mut_arg("view", |arg| arg.hide(true)), mut_arg("engine", |arg| arg.hide(true)))]
pub(super) struct CheckArgs {
    #[command(flatten)]
    deck: DeckArgs,
    /// Camera frame that the slides are checked over, may be repeated; else the setup's; none is needed
    #[arg(long = "camera", value_name = "FILE")]
    cameras: Vec<PathBuf>,
    /// Print the result as one JSON document
    #[arg(long)]
    json: bool,
    /// Print the JSON Schema of that document and check nothing
    #[arg(long)]
    schema: bool,
    /// The verdict from which the exit status is 1 [default: fail]
    #[arg(long, value_enum, value_name = "VERDICT")]
    fail_on: Option<FailOn>,
    #[command(flatten)]
    picture: PictureArgs,
}

/// The verdict from which slides make the command end with status 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum FailOn {
    /// A slide that warns or fails.
    Warn,
    /// A slide that fails.
    #[default]
    Fail,
}

impl FailOn {
    /// How the command ends with this document.
    fn exit(self, document: &CheckDocument) -> Exit {
        let from = match self {
            Self::Warn => Verdict::Warn,
            Self::Fail => Verdict::Fail,
        };
        if !document.unreadable.is_empty() {
            Exit::Incomplete
        } else if document.verdict() >= from {
            Exit::Found
        } else {
            Exit::Clean
        }
    }
}

/// Runs the command.
pub(super) fn run(args: &CheckArgs) -> Result<Exit, Failure> {
    if args.schema {
        print_json(&check_schema())?;
        return Ok(Exit::Clean);
    }
    let setup = setup::load(&args.picture)?.setup;
    let cameras: Vec<PathBuf> = if args.cameras.is_empty() {
        setup.camera.iter().cloned().collect()
    } else {
        args.cameras.clone()
    };
    let deck = args.deck.open(&setup)?;
    let job = CheckJob::open(setup, &cameras)?;
    let done = deck.results_of(|source, picture| Ok(job.check(source, picture)));
    let problems = deck.problems.iter().cloned();
    let mut unreadable: Vec<UnreadableSlide> = problems
        .map(|error| UnreadableSlide {
            slide: None,
            page: None,
            error,
        })
        .collect();
    let mut slides = Vec::new();
    for (source, result) in deck.slides.iter().zip(done) {
        match result {
            Ok(result) => {
                for warning in result.warnings {
                    note(&format!("warning: {warning}"));
                }
                slides.push(result.slide);
            }
            Err(error) => unreadable.push(UnreadableSlide {
                slide: Some(source.path.to_string_lossy().into_owned()),
                page: source.page,
                error,
            }),
        }
    }
    let document = job.document(slides, unreadable);
    if args.json {
        print_json(&document)?;
    } else {
        print_styled(&check_table(&document, columns()))?;
    }
    Ok(args.fail_on.unwrap_or_default().exit(&document))
}
