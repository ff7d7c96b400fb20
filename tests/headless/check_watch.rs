//! `check --watch` as a person runs it: what is exported anew is checked again and printed.

use std::io::{BufRead, BufReader, Read};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{self, Receiver};
use std::time::Duration;

use crate::check::Desk;

/// How long a line may take to come on a busy machine.
const PATIENCE: Duration = Duration::from_secs(30);

/// The running command, ended with the test.
struct Running {
    child: Child,
    stdout: Receiver<String>,
    stderr: Receiver<String>,
}

impl Drop for Running {
    fn drop(&mut self) {
        self.child.kill().ok();
        self.child.wait().ok();
    }
}

fn lines_of(stream: impl Read + Send + 'static) -> Receiver<String> {
    let (tell, told) = mpsc::channel();
    std::thread::Builder::new()
        .spawn(move || {
            for line in BufReader::new(stream).lines().map_while(Result::ok) {
                tell.send(line).ok();
            }
        })
        .unwrap();
    told
}

impl Running {
    fn start(desk: &Desk, args: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_nightglass"))
            .current_dir(desk.folder.path())
            .args(["check", "--watch"])
            .args(args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let stdout = lines_of(child.stdout.take().unwrap());
        let stderr = lines_of(child.stderr.take().unwrap());
        Self {
            child,
            stdout,
            stderr,
        }
    }
}

#[test]
fn a_slide_that_is_exported_anew_is_checked_again() {
    let desk = Desk::new();
    let running = Running::start(&desk, &[".", "--report", "report.html"]);
    let next = || running.stdout.recv_timeout(PATIENCE).unwrap();
    assert_eq!(next(), "2 slides: 1 pass, 0 warn, 1 fail");
    let said = running.stderr.recv_timeout(PATIENCE).unwrap();
    assert_eq!(said, "watching for changes; Ctrl C ends it");
    while next() != "        Use black, or turn the deck dark with `nightglass darken`." {}
    desk.paint("2 white.png", [0; 3]);
    assert_eq!(next(), "pass  ./2 white.png");
    assert_eq!(next(), "2 slides: 2 pass, 0 warn, 0 fail");
    let report = std::fs::read_to_string(desk.path("report.html")).unwrap();
    assert!(report.contains("<p class=\"counts\">2 slides: 2 pass.</p>"));
    desk.paint("3 new.png", [255; 3]);
    assert_eq!(next(), "fail  ./3 new.png");
}
