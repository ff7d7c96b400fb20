//! `--engine gpu` takes whatever adapter there is, and says so where it is the processor in disguise.

use std::process::Command;

use nightglass::gpu::device::Gpu;

use crate::harness::{Check, Tally};

pub(crate) fn checks() -> Vec<Check> {
    vec![Check::new(
        "compose: a software adapter is told of",
        software_is_told_of,
    )]
}

/// What the command says on stderr, and on stdout.
fn compose(engine: &str) -> Result<(String, String), String> {
    let folder = tempfile::tempdir().map_err(|error| error.to_string())?;
    image::RgbImage::from_pixel(8, 8, image::Rgb([90; 3]))
        .save(folder.path().join("slide.png"))
        .map_err(|error| error.to_string())?;
    let output = Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder.path())
        .args(["compose", "--camera", "slide.png", "--slide", "slide.png"])
        .args(["--out", "out.png"])
        .args(["--engine", engine])
        .output()
        .map_err(|error| error.to_string())?;
    let said = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    if output.status.success() {
        Ok((said(&output.stderr), said(&output.stdout)))
    } else {
        Err(said(&output.stderr))
    }
}

fn software_is_told_of(gpu: &Gpu) -> Result<Tally, String> {
    let adapter = gpu.adapter_name();
    let (noted, told) = compose("gpu")?;
    let expected = if gpu.is_software() {
        format!(
            "note: `{adapter}` is no graphics card but the processor in its place; `--engine cpu` makes the same \
             picture faster\n"
        )
    } else {
        String::new()
    };
    // A driver may write words of its own there, as Mesa's does where no session runs.
    let notes: String = noted
        .split_inclusive('\n')
        .filter(|line| line.starts_with("note: "))
        .collect();
    if notes != expected {
        return Err(format!("expected {expected:?}, got {noted:?}"));
    }
    if !told.contains(&format!("gpu: {adapter}")) {
        return Err(format!("the adapter is not named: {told}"));
    }
    // The processor's own engine has nothing to tell.
    let (noted, _) = compose("cpu")?;
    if !noted.is_empty() {
        return Err(format!("expected no word, got {noted:?}"));
    }
    Ok(Tally {
        compared: 3,
        note: expected.trim_end().to_owned(),
        ..Tally::default()
    })
}
