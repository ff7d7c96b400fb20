//! The verbs of the command line, one file each, and what they share.

mod args;
mod calibrate;
mod calibrate_keyed;
mod calibrate_report;
mod chart;
mod check;
mod check_job;
mod check_watch;
mod compose;
mod darken;
mod deck;
mod demo;
mod engine;
mod failure;
mod folder;
mod free_place;
mod inspect;
mod keyed_report;
mod manual;
mod output;
mod overlap;
mod preview;
mod progress;
mod setup;
mod stderr;
mod template;
mod tune;
mod tune_json;
mod tune_text;

use std::path::{MAIN_SEPARATOR, Path};

use clap::error::{ContextKind, ContextValue};
use clap::{Parser, Subcommand};

use crate::files::deck::has_slides;

pub use failure::{Exit, Failure, report};

/// See and measure what a luma key does to slides laid over a writing-glass camera picture.
#[derive(Debug, Parser)]
#[command(name = "nightglass", version, term_width = help_columns(), after_help = AFTER_HELP, disable_help_flag = true)]
pub struct CommandLine {
    /// Print this help; `nightglass help COMMAND` explains every value too
    #[arg(short, long, global = true, action = clap::ArgAction::HelpShort, display_order = 1000)]
    help: Option<bool>,
    #[command(subcommand)]
    verb: Option<Verb>,
}

/// What stands below the list of verbs.
const AFTER_HELP: &str = "\
Without a command the window opens on the nightglass.toml in the current folder,
or, where there is none, on the built-in demonstration. Every command uses that
file and names it; flags override it.
Exit status: 0 done, 1 done and something was found, 2 could not do all the work,
or could not tell all that was asked.";

/// Most columns of a help text. Source: chosen; longer lines are hard to follow.
const MOST_HELP_COLUMNS: usize = 100;

/// How wide a help text is: as what commands print, where it goes to no terminal too.
fn help_columns() -> usize {
    output::columns().min(MOST_HELP_COLUMNS)
}

/// The word that stands where a command is to, and is none.
fn unknown_command(error: &clap::Error) -> Option<String> {
    match error.get(ContextKind::InvalidSubcommand)? {
        ContextValue::String(word) => Some(word.clone()),
        _ => None,
    }
}

/// Whether nothing stands before a word, such as `help`.
fn is_first(word: &str) -> bool {
    std::env::args_os()
        .nth(1)
        .is_some_and(|first| first == word)
}

/// A path as it is typed into a shell.
fn shell_word(path: &str) -> String {
    let is_plain = |c: char| c.is_alphanumeric() || "._-/:".contains(c) || c == MAIN_SEPARATOR;
    if path.chars().all(is_plain) {
        path.to_owned()
    } else if path.contains(['"', '$', '`', '!']) {
        format!("'{}'", path.replace('\'', r"'\''"))
    } else {
        format!("\"{path}\"")
    }
}

#[derive(Debug, Subcommand)]
enum Verb {
    Preview(preview::PreviewArgs),
    Compose(compose::ComposeArgs),
    Darken(darken::DarkenArgs),
    Tune(tune::TuneArgs),
    Check(check::CheckArgs),
    Inspect(inspect::InspectArgs),
    Overlap(overlap::OverlapArgs),
    Template(template::TemplateArgs),
    Demo(demo::DemoArgs),
    Chart(chart::ChartArgs),
    Calibrate(calibrate::CalibrateArgs),
    Completions(manual::CompletionsArgs),
    Manual(manual::ManualArgs),
}

impl CommandLine {
    /// What the command line says; ends the program where it asks for help or is wrong, but for a path in place of a
    /// command.
    pub fn read() -> Result<Self, Failure> {
        Self::try_parse().map_err(|error| match unknown_command(&error) {
            Some(word) if is_first(&word) && has_slides(Path::new(&word)) => Failure::with_hint(
                anyhow::anyhow!("expected a command, got a path: `{word}`"),
                Some(format!(
                    "the window opens on it with `nightglass preview {}`",
                    shell_word(&word)
                )),
            ),
            _ => error.exit(),
        })
    }

    /// Does what the command line asks for.
    pub fn run(self) -> Result<Exit, Failure> {
        match self.verb {
            None => preview::run_alone(),
            Some(Verb::Preview(args)) => preview::run(args),
            Some(Verb::Compose(args)) => compose::run(&args),
            Some(Verb::Darken(args)) => darken::run(&args),
            Some(Verb::Tune(args)) => tune::run(&args),
            Some(Verb::Check(args)) => check::run(&args),
            Some(Verb::Inspect(args)) => inspect::run(&args),
            Some(Verb::Overlap(args)) => overlap::run(&args),
            Some(Verb::Template(args)) => template::run(&args),
            Some(Verb::Demo(args)) => demo::run(&args),
            Some(Verb::Chart(args)) => chart::run(&args),
            Some(Verb::Calibrate(args)) => calibrate::run(&args),
            Some(Verb::Completions(args)) => manual::run_completions(&args),
            Some(Verb::Manual(args)) => manual::run_manual(&args),
        }
    }
}
