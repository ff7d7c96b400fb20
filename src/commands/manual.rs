//! `completions` and `manual`: both made from the definitions of the command line itself.

use std::path::PathBuf;

use clap::{Args, CommandFactory};
use clap_complete::Shell;

use super::CommandLine;
use super::failure::{Exit, Failure};
use super::folder::make_folder;
use super::output::print;
use crate::files::picture_output::WriteError;

/// Print a completion script for a shell
#[derive(Debug, Args)]
pub(super) struct CompletionsArgs {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

/// Write the manual pages, one for each command
#[derive(Debug, Args)]
pub(super) struct ManualArgs {
    /// Folder to write into
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Prints the completion script.
pub(super) fn run_completions(args: &CompletionsArgs) -> Result<Exit, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(
        args.shell,
        &mut CommandLine::command(),
        "nightglass",
        &mut script,
    );
    print(&String::from_utf8_lossy(&script))?;
    Ok(Exit::Clean)
}

/// Writes `nightglass.1` and a page for each command.
pub(super) fn run_manual(args: &ManualArgs) -> Result<Exit, Failure> {
    let failed = |source| {
        Failure::from(WriteError::System {
            path: args.folder.clone(),
            source,
        })
    };
    make_folder(&args.folder)?;
    let command = CommandLine::command().disable_help_subcommand(true);
    let pages = 1 + command.get_subcommands().count();
    clap_mangen::generate_to(command, &args.folder).map_err(failed)?;
    print(&format!(
        "wrote {pages} pages into {}\n",
        args.folder.display()
    ))?;
    Ok(Exit::Clean)
}
