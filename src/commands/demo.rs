//! `demo`: the built-in demonstration as files, with composites and a summary.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;

use super::failure::{Exit, Failure};
use super::output::print;
use crate::files::atomic;
use crate::files::demonstration::{CAMERA, SLIDES};
use crate::files::picture_file::{PictureOutput, WriteError};
use crate::files::setup_file::{SETUP_FILE_NAME, Setup};
use crate::pixel::cpu_engine;
use crate::pixel::matte_shares::measure_matte;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::views::Background;

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
    print(&summary)?;
    Ok(Exit::Clean)
}

/// Writes everything into `folder` and says what is there.
pub(super) fn write_demonstration(folder: &Path) -> Result<String, Failure> {
    std::fs::create_dir_all(folder).map_err(|source| {
        Failure::with_hint(
            WriteError::System {
                path: folder.to_owned(),
                source,
            },
            Some("name a folder that can be made or written".to_owned()),
        )
    })?;
    let setup = Setup {
        camera: Some(PathBuf::from(CAMERA.name)),
        slides: SLIDES
            .iter()
            .map(|slide| PathBuf::from(slide.name))
            .collect(),
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
        let composite = slide.name.replace("slide_", "composite_");
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
    write_bytes(&folder.join("summary.txt"), summary.as_bytes())?;
    summary.push_str(&format!("\nwritten into {}\n", folder.display()));
    Ok(summary)
}

/// Writes a file whole or not at all.
fn write_bytes(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let written = atomic::AtomicFile::create(path).and_then(|mut file| {
        file.write_all(bytes)?;
        file.commit()
    });
    written.map_err(|source| {
        Failure::from(WriteError::System {
            path: path.to_owned(),
            source,
        })
    })
}
