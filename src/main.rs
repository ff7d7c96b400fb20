//! The command line of nightglass.

use std::process::ExitCode;

use nightglass::commands::{CommandLine, Exit, report};

fn main() -> ExitCode {
    let exit = match CommandLine::read().and_then(CommandLine::run) {
        Ok(exit) => exit,
        Err(failure) if failure.is_broken_pipe() => Exit::Clean,
        Err(failure) => {
            report(&failure);
            Exit::Incomplete
        }
    };
    ExitCode::from(exit.code())
}
