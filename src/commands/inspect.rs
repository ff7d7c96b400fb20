//! `inspect`: what is in a frame of the camera.

use std::path::{Path, PathBuf};

use clap::Args;

use super::args::{CameraArgs, PictureArgs};
use super::check::FailOn;
use super::failure::{Exit, Failure};
use super::output::{columns, note, print_json, print_styled};
use super::setup;
use crate::files::picture_file::{Picture, read_picture};
use crate::files::picture_output::PictureOutput;
use crate::measure::camera_finding::camera_verdict;
use crate::measure::camera_note::CameraNote;
use crate::measure::camera_parts::{CameraStills, find_camera_parts};
use crate::measure::camera_raster::CameraRaster;
use crate::measure::camera_report::camera_findings;
use crate::measure::runs::Runs;
use crate::measure::still_pair::PairFault;
use crate::pixel::cpu_engine::compose;
use crate::pixel::frame::Frame;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::Settings;
use crate::pixel::views::{Background, View};
use crate::report::inspect_document::InspectDocument;
use crate::report::inspect_text::inspect_text;

/// Look at a frame of the camera: where the writing is and where the presenter
#[derive(Debug, Args)]
pub(super) struct InspectArgs {
    /// Camera frame: PNG, JPEG, WebP, TIFF or BMP
    #[arg(value_name = "CAMERA")]
    camera: PathBuf,
    /// A frame of the same rig with nobody there and nothing written: makes what is found more certain
    #[arg(long, value_name = "FILE")]
    empty: Option<PathBuf>,
    /// A frame from before anything was written: what is in it already is no writing
    #[arg(long, value_name = "FILE")]
    before: Option<PathBuf>,
    /// Folder for `writing.png` and `presenter.png`, white where each is; it is made if it is not there
    #[arg(long, value_name = "DIR")]
    masks: Option<PathBuf>,
    /// Print the result as one JSON document
    #[arg(long)]
    json: bool,
    /// The verdict from which the exit status is 1 [default: fail]
    #[arg(long, value_enum, value_name = "VERDICT")]
    fail_on: Option<FailOn>,
    #[command(flatten)]
    picture: PictureArgs,
    #[command(flatten)]
    camera_place: CameraArgs,
}

/// Runs the command.
pub(super) fn run(args: &InspectArgs) -> Result<Exit, Failure> {
    let mut setup = setup::load(&args.picture)?.setup;
    args.camera_place.apply(&mut setup);
    let outputs = match &args.masks {
        Some(folder) => Some(open_masks(folder, &args.inputs())?),
        None => None,
    };
    let camera = read_camera(&args.camera, "camera")?;
    let raster = on_the_output(&camera, &setup.settings);
    let mut notes = Vec::new();
    let mut other =
        |path: &Option<PathBuf>, role: &'static str, unusable: CameraNote| -> Result<_, Failure> {
            let Some(path) = path else { return Ok(None) };
            let frame = read_camera(path, role)?;
            if frame.size() != camera.size() {
                notes.push(unusable);
                return Ok(None);
            }
            Ok(Some(on_the_output(&frame, &setup.settings)))
        };
    let empty = other(
        &args.empty,
        "empty frame",
        CameraNote::EmptyNotUsed(PairFault::Size),
    )?;
    let before = other(
        &args.before,
        "frame from before writing",
        CameraNote::BeforeNotUsed(PairFault::Size),
    )?;
    let mut parts = find_camera_parts(&CameraStills {
        camera: &raster,
        empty: empty.as_ref(),
        before: before.as_ref(),
    });
    notes.append(&mut parts.notes);
    parts.notes = notes;
    if let Some([writing, presenter]) = outputs {
        writing.write(&mask_picture(&parts.writing))?;
        presenter.write(&mask_picture(&parts.presenter))?;
    }
    let report = camera_findings(&raster, &parts);
    let file = args.camera.to_string_lossy().into_owned();
    let size = [camera.size().width(), camera.size().height()];
    let document = InspectDocument::new(file, size, &parts, &report);
    if args.json {
        print_json(&document)?;
    } else {
        print_styled(&inspect_text(&document, columns()))?;
    }
    Ok(args
        .fail_on
        .unwrap_or_default()
        .exit_at(camera_verdict(&document.findings)))
}

impl InspectArgs {
    /// Every file that is read, so that none is written over.
    fn inputs(&self) -> Vec<&Path> {
        let others = self.empty.iter().chain(&self.before);
        others.chain([&self.camera]).map(PathBuf::as_path).collect()
    }
}

/// Both masks to be, in a folder that is made if it is not there.
fn open_masks(folder: &Path, inputs: &[&Path]) -> Result<[PictureOutput; 2], Failure> {
    std::fs::create_dir_all(folder).map_err(|source| {
        let error = anyhow::Error::new(source)
            .context(format!("cannot make the folder `{}`", folder.display()));
        Failure::with_hint(error, Some("name a folder that can be written".to_owned()))
    })?;
    let create = |name: &str| PictureOutput::create(&folder.join(name), inputs);
    Ok([create("writing.png")?, create("presenter.png")?])
}

/// A camera frame; its warnings are passed on.
fn read_camera(path: &Path, role: &'static str) -> Result<Frame, Failure> {
    let Picture {
        frame, warnings, ..
    } = read_picture(path)
        .map_err(|error| Failure::from(error).context(format!("cannot read the {role}")))?;
    for warning in warnings {
        note(&format!("warning: {warning}"));
    }
    Ok(frame)
}

/// The camera as it lies on the output.
fn on_the_output(camera: &Frame, settings: &Settings) -> CameraRaster {
    let mut settings = *settings;
    settings.view = View::Camera;
    CameraRaster::new(&compose(&Plan::new(&Scene {
        camera: Some(camera),
        slide: None,
        background: Background::BLACK,
        settings: &settings,
    })))
}

/// A mask as a picture, white on black.
fn mask_picture(mask: &Runs) -> Frame {
    let mut frame = Frame::from_fn(mask.size(), |_, _| [0; 3]);
    let width = mask.size().width() as usize;
    if let Some(pixels) = frame.rgba8_mut() {
        for run in mask.as_slice() {
            let row = run.y as usize * width;
            pixels[row + run.start as usize..row + run.end as usize].fill([u8::MAX; 4]);
        }
    }
    frame
}
