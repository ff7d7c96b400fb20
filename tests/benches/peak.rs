//! The most memory that a program holds at once.

use std::process::{Command, ExitStatus, Stdio};
use std::time::Duration;

/// How often the memory of a running process is looked at.
const LOOK_EVERY: Duration = Duration::from_micros(500);

/// Runs a program to its end, without showing what it says, and gives the most memory that it held, in
/// units of a million bytes; none where the system does not tell. Source: proc(5), `VmHWM`.
pub(crate) fn run_to_its_end(
    command: &mut Command,
) -> Result<(ExitStatus, Option<f64>), std::io::Error> {
    let mut child = command
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()?;
    let status = format!("/proc/{}/status", child.id());
    let mut peak = None;
    loop {
        if let Ok(text) = std::fs::read_to_string(&status) {
            let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
            let kibibytes =
                line.and_then(|line| line.trim().strip_suffix(" kB")?.parse::<f64>().ok());
            peak = kibibytes.map(|k| k * 1024.0 / 1e6).or(peak);
        }
        if let Some(ended) = child.try_wait()? {
            return Ok((ended, peak));
        }
        std::thread::sleep(LOOK_EVERY);
    }
}
