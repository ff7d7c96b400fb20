//! `--help`: it fits a terminal, and a command takes only flags that change what it does.

use std::process::{Command, Output};

use crate::check::{Desk, said};

/// Every verb.
const VERBS: [&str; 13] = [
    "preview",
    "compose",
    "darken",
    "tune",
    "check",
    "inspect",
    "overlap",
    "template",
    "demo",
    "chart",
    "calibrate",
    "completions",
    "manual",
];

/// What is printed where there is no terminal, as wide as one is usually.
fn run(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .env_remove("COLUMNS")
        .args(args)
        .output()
        .unwrap()
}

#[test]
fn help_fits_80_columns_and_stays_short() {
    for verb in VERBS {
        for flag in ["-h", "--help"] {
            let output = run(&[verb, flag]);
            let text = said(&output.stdout);
            assert_eq!(output.status.code(), Some(0));
            let widest = text.lines().map(|line| line.chars().count()).max();
            assert!(widest <= Some(80), "{verb}: {widest:?}");
            let lines = text.lines().count();
            assert!(lines <= 80, "{verb} has {lines} lines");
            assert!(text.contains("Usage: nightglass "), "{text}");
        }
        // The long form is there for who asks for it.
        let long = said(&run(&["help", verb]).stdout);
        assert!(long.lines().count() >= said(&run(&[verb, "-h"]).stdout).lines().count());
    }
    let long = said(&run(&["help", "check"]).stdout);
    assert!(long.contains("- haze:"), "{long}");
}

#[test]
fn a_flag_without_effect_is_refused() {
    for verb in ["check", "tune", "darken"] {
        for flag in [
            &["--view", "matte"][..],
            &["--guides", "captions"],
            &["--engine", "cpu"],
        ] {
            let output = run(&[&[verb, "slide.png"], flag].concat());
            assert_eq!(output.status.code(), Some(2), "{verb} {flag:?}");
            let error = said(&output.stderr);
            let words = format!("error: unexpected argument '{}' found", flag[0]);
            assert!(error.starts_with(&words), "{error}");
        }
    }
    for flag in [
        "--threshold=8",
        "--softness=2",
        "--ramp=smooth",
        "--luma=bt601",
        "--alpha=straight",
        "--blend-space=linear",
        "--slide-fit=fill",
        "--slide-place=0,0,50,50",
        "--mirror-slide",
        "--slide-range=video",
        "--view=matte",
    ] {
        for command in [
            &["inspect", "camera.png"][..],
            &["template", "--camera", "camera.png", "--json"],
        ] {
            let output = run(&[command, &[flag]].concat());
            assert_eq!(output.status.code(), Some(2), "{command:?} {flag}");
            assert!(said(&output.stderr).starts_with("error: unexpected argument"));
        }
    }
    for verb in ["tune", "darken"] {
        for flag in [
            "--camera-fit",
            "--turn-camera",
            "--mirror-camera",
            "--camera-range",
        ] {
            let output = run(&[verb, "slide.png", flag]);
            assert_eq!(output.status.code(), Some(2), "{verb} {flag}");
            assert!(said(&output.stderr).starts_with("error: unexpected argument"));
        }
    }
}

/// `head -1` has read enough, closes the pipe, and what the work came to is still the exit status.
#[cfg(unix)]
#[test]
fn a_closed_pipe_is_quiet_and_keeps_the_exit_status() {
    use std::os::unix::process::CommandExt;
    use std::process::Stdio;

    let desk = Desk::new();
    desk.write("3 broken.png", b"no picture");
    let status = |args: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_nightglass"));
        command.current_dir(desk.folder.path()).args(args);
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        command.arg0("nightglass");
        let mut child = command.spawn().unwrap();
        // Closed before anything was written.
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        (output.status.code(), said(&output.stderr))
    };
    for (args, code) in [
        (&["check", "1 black.png"][..], 0),
        (&["check", "1 black.png", "--json"], 0),
        (&["check", "2 white.png"], 1),
        (&["check", "2 white.png", "--json"], 1),
        (&["tune", "2 white.png"], 1),
        (&["tune", "2 white.png", "--json"], 1),
    ] {
        assert_eq!(status(args), (Some(code), String::new()), "{args:?}");
    }
    let (code, stderr) = status(&["check", ".", "--json"]);
    assert_eq!(code, Some(2));
    assert!(!stderr.contains("pipe"), "{stderr}");
}
