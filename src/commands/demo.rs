//! `demo`: the built-in demonstration as files, with composites and a summary.

use std::path::{Path, PathBuf};

use clap::Args;

use super::failure::{Exit, Failure};
use super::folder::make_folder;
use super::output::print_lines;
use crate::files::atomic;
use crate::files::demonstration::{CAMERA, DemonstrationFile, SLIDES};
use crate::files::picture_output::{PictureOutput, WriteError};
use crate::files::setup_file::{SETUP_FILE_NAME, Setup};
use crate::pixel::cpu_engine;
use crate::pixel::matte_shares::measure_matte;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::views::Background;

/// The file with the summary.
const SUMMARY_NAME: &str = "summary.txt";

/// Write the built-in demonstration: camera, slides, composites, a setup and a summary
#[derive(Debug, Args)]
pub(super) struct DemoArgs {
    /// Folder to write into; it is made if it is not there
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Runs the command.
pub(super) fn run(args: &DemoArgs) -> Result<Exit, Failure> {
    let summary = write_demonstration(&args.folder)?;
    print_lines(&summary)?;
    Ok(Exit::Clean)
}

/// Writes everything into `folder` and says what is there. Files of the user's are never replaced.
pub(super) fn write_demonstration(folder: &Path) -> Result<String, Failure> {
    make_folder(folder)?;
    if let Some(path) = file_of_the_users(folder) {
        return Err(Failure::with_hint(
            anyhow::anyhow!(
                "expected a folder without pictures of yours, found `{}`",
                path.display()
            ),
            Some("name a new or an empty folder; nothing was written".to_owned()),
        ));
    }
    let setup = Setup {
        camera: Some(folder.join(CAMERA.name)),
        slides: SLIDES.iter().map(|slide| folder.join(slide.name)).collect(),
        ..Setup::default()
    };
    let camera = CAMERA.frame()?;
    write_bytes(&folder.join(CAMERA.name), CAMERA.bytes)?;
    let key = setup.settings.key;
    let mut summary = format!(
        "nightglass demonstration: an evening course on finding one's way by the night sky\n\
         threshold {} percent, softness {} percent of white\n\n\
         {}\n  {}\n",
        key.threshold_percent(),
        key.softness_percent(),
        CAMERA.name,
        CAMERA.lesson,
    );
    for slide in &SLIDES {
        write_bytes(&folder.join(slide.name), slide.bytes)?;
        let frame = slide.frame()?;
        let scene = Scene {
            camera: Some(&camera),
            slide: Some(&frame),
            background: Background::BLACK,
            settings: &setup.settings,
        };
        let plan = Plan::new(&scene);
        let composite = composite_name(slide);
        PictureOutput::create(&folder.join(&composite), &[])?.write(&cpu_engine::compose(&plan))?;
        let matte = measure_matte(&plan);
        summary.push_str(&format!(
            "{} -> {composite}\n  {}\n  {:.1} % dropped, {:.1} % in the ramp, {:.1} % solid\n",
            slide.name, slide.lesson, matte.dropped, matte.in_the_ramp, matte.solid,
        ));
    }
    let setup_path = folder.join(SETUP_FILE_NAME);
    if !setup_path.exists() {
        setup.save(&setup_path)?;
    }
    write_bytes(&folder.join(SUMMARY_NAME), summary.as_bytes())?;
    summary.push_str(&format!("\nwritten into {}\n", folder.display()));
    Ok(summary)
}

/// What the composite of a slide is called.
fn composite_name(slide: &DemonstrationFile) -> String {
    slide.name.replace("slide_", "composite_")
}

/// A file in `folder` that the demonstration would replace and did not write: a picture of another
/// content, or anything else of its names in a folder that does not hold its pictures.
fn file_of_the_users(folder: &Path) -> Option<PathBuf> {
    let sources = || std::iter::once(&CAMERA).chain(&SLIDES);
    let found = |name: &str| Some(folder.join(name)).filter(|path| path.exists());
    let is_ours = |file: &DemonstrationFile| {
        std::fs::read(folder.join(file.name)).is_ok_and(|bytes| bytes == file.bytes)
    };
    let other = sources()
        .filter(|file| !is_ours(file))
        .find_map(|file| found(file.name));
    let made = || {
        SLIDES
            .iter()
            .map(composite_name)
            .chain([SUMMARY_NAME.to_owned()])
    };
    other.or_else(|| {
        let is_all_ours = sources().all(is_ours);
        made()
            .filter(|_| !is_all_ours)
            .find_map(|name| found(&name))
    })
}

/// Writes a file whole or not at all.
fn write_bytes(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    atomic::write(path, bytes).map_err(|source| {
        Failure::from(WriteError::System {
            path: path.to_owned(),
            source,
        })
    })
}
