//! `inspect`: what is in a frame of the camera.

use std::path::{Path, PathBuf};

use clap::Args;

use super::args::{CameraArgs, CameraOutputArgs};
use super::check::FailOn;
use super::failure::{Exit, Failure};
use super::folder::make_folder;
use super::output::{columns, note, print_json, print_schema, print_styled};
use super::setup;
use crate::files::page_output::PageOutput;
use crate::files::picture_file::{Picture, read_picture};
use crate::files::picture_output::PictureOutput;
use crate::files::setup_file::Setup;
use crate::measure::camera::camera_raster::CameraRaster;
use crate::measure::inspect::camera_look::CameraLook;
use crate::measure::inspect::camera_note::CameraNote;
use crate::measure::inspect::camera_parts::{CameraParts, CameraStills, find_camera_parts};
use crate::measure::inspect::empty_still::find_in_empty;
use crate::measure::inspect::seen_like::SeenLike;
use crate::measure::raster::runs::Runs;
use crate::measure::still::still_pair::PairFault;
use crate::pixel::cpu_engine::compose;
use crate::pixel::frame::Frame;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Settings, Size};
use crate::pixel::views::{Background, View};
use crate::report::inspect_document::InspectDocument;
use crate::report::inspect_page::{inspect_page, page_picture};
use crate::report::inspect_text::inspect_text;
use crate::report::marked_camera::marked_camera;

/// Look at a frame of the camera: what is wrong with it, and where writing and presenter are
#[derive(Debug, Args)]
pub(super) struct InspectArgs {
    /// Camera frame: PNG, JPEG, WebP, TIFF or BMP
    #[arg(value_name = "CAMERA", required_unless_present = "schema")]
    camera: Option<PathBuf>,
    /// A frame of the same rig with nobody there and nothing written: makes what is found more certain
    #[arg(long, value_name = "FILE")]
    empty: Option<PathBuf>,
    /// A frame from before anything was written: what is in it already is no writing
    #[arg(long, value_name = "FILE")]
    before: Option<PathBuf>,
    /// A frame of the same rig from the last good setup; else the setup's: how far the picture has moved since, how light and colour
    /// have changed, and whether it is the wrong way round
    #[arg(long, value_name = "FILE")]
    like: Option<PathBuf>,
    /// Folder for `writing.png` and `presenter.png`, white where each is; it is made if it is not there
    #[arg(long, value_name = "DIR")]
    masks: Option<PathBuf>,
    /// Picture to write: the frame with a labelled box for every finding, and all of them listed below it
    #[arg(long, value_name = "FILE")]
    marked: Option<PathBuf>,
    /// Write the result as one HTML page with the marked frame, for reading, printing and sending
    #[arg(long, value_name = "FILE.html")]
    report: Option<PathBuf>,
    /// Print the result as one JSON document
    #[arg(long)]
    json: bool,
    /// Print the JSON Schema of that document and look at nothing
    #[arg(long)]
    schema: bool,
    /// The verdict from which the exit status is 1 [default: fail]; a frame that cannot be judged, or not be compared
    /// with that of `--like`, is unclear and always ends with 2
    #[arg(long, value_enum, value_name = "VERDICT")]
    fail_on: Option<FailOn>,
    #[command(flatten)]
    output: CameraOutputArgs,
    #[command(flatten)]
    camera_place: CameraArgs,
}

/// Runs the command.
pub(super) fn run(args: &InspectArgs) -> Result<Exit, Failure> {
    let Some(path) = args.camera.as_deref().filter(|_| !args.schema) else {
        print_schema::<InspectDocument>("nightglass inspect")?;
        return Ok(Exit::Clean);
    };
    let setup = setup::load_for_camera(&args.output, &args.camera_place)?.setup;
    let outputs = Outputs::open(args, &setup)?;
    let camera = read_camera(path, "camera")?;
    let placed = on_the_output(&camera, &setup.settings);
    let raster = CameraRaster::new(&placed);
    let mut notes = Vec::new();
    let mut other =
        |path: &Option<PathBuf>, role: &'static str, unusable: CameraNote| -> Result<_, Failure> {
            let Some(path) = path else { return Ok(None) };
            let frame = read_camera(path, role)?;
            if frame.size() != camera.size() {
                notes.push(unusable);
                return Ok(None);
            }
            Ok(Some(CameraRaster::new(&on_the_output(
                &frame,
                &setup.settings,
            ))))
        };
    let empty = other(
        &args.empty,
        "empty frame",
        CameraNote::EmptyNotUsed(PairFault::Size),
    )?;
    let fault = empty
        .as_ref()
        .and_then(|empty| find_in_empty(&raster, empty));
    let empty = empty.filter(|_| fault.is_none());
    let before = other(
        &args.before,
        "frame from before writing",
        CameraNote::BeforeNotUsed(PairFault::Size),
    )?;
    let like = args.read_like(&setup, camera.size(), raster.size())?;
    let mut parts = find_camera_parts(&CameraStills {
        camera: &raster,
        empty: empty.as_ref(),
        before: before.as_ref(),
    });
    notes.extend(fault.map(CameraNote::EmptyNotUsed));
    notes.append(&mut parts.notes);
    parts.notes = notes;
    let like = like
        .as_ref()
        .map(|like| like.as_ref().map_err(|&fault| fault));
    let look = CameraLook::at(&placed, &raster, parts, like);
    let file = path.to_string_lossy().into_owned();
    let size = [camera.size().width(), camera.size().height()];
    let document = InspectDocument::of_look(file, size, &look);
    outputs.write(&placed, &document, &look.parts)?;
    if args.json {
        print_json(&document)?;
    } else {
        print_styled(&(inspect_text(&document, columns()) + &args.written_words()))?;
    }
    if !document.unanswered.is_empty() {
        return Ok(Exit::Incomplete);
    }
    Ok(args
        .fail_on
        .unwrap_or_default()
        .exit_at(document.verdict.care()))
}

impl InspectArgs {
    /// The frame of the last good setup beside which the camera frame is looked at: the flag's, else the setup's.
    fn read_like(
        &self,
        setup: &Setup,
        camera_size: Size,
        output: Size,
    ) -> Result<Option<Result<SeenLike, PairFault>>, Failure> {
        let Some(path) = self.like.as_ref().or(setup.like.as_ref()) else {
            return Ok(None);
        };
        let frame = read_camera(path, "frame of the last good setup")
            .map_err(|failure| failure.of_setup("like", self.like.is_none()))?;
        let settings = &setup.settings;
        Ok(Some(SeenLike::place(&frame, camera_size, settings, output)))
    }

    /// Every file that is read, so that none is written over.
    fn inputs<'a>(&'a self, setup: &'a Setup) -> Vec<&'a Path> {
        let inputs = [
            &self.camera,
            &self.empty,
            &self.before,
            &self.like,
            &setup.like,
            &self.output.setup,
        ];
        inputs.into_iter().flatten().map(PathBuf::as_path).collect()
    }

    /// What was written, a line each.
    fn written_words(&self) -> String {
        let in_folder = |folder: &PathBuf| MASK_NAMES.map(|name| folder.join(name));
        let masks = self.masks.iter().flat_map(in_folder);
        let others = self.marked.iter().chain(&self.report).cloned();
        let mut words = String::new();
        for path in masks.chain(others) {
            words.push_str(&format!("wrote {}\n", path.display()));
        }
        words
    }
}

/// Files of the masks, of writing and presenter.
const MASK_NAMES: [&str; 2] = ["writing.png", "presenter.png"];

/// What is to be written, opened before the slow work so that a bad name is known at once.
struct Outputs {
    masks: Option<[PictureOutput; 2]>,
    marked: Option<PictureOutput>,
    page: Option<PageOutput>,
}

impl Outputs {
    fn open(args: &InspectArgs, setup: &Setup) -> Result<Self, Failure> {
        let inputs = args.inputs(setup);
        let masks = args.masks.as_deref();
        let masks = masks.map(|folder| open_masks(folder, &inputs));
        let marked = args.marked.as_deref();
        let marked = marked.map(|path| PictureOutput::create(path, &inputs));
        let page = args.report.as_deref();
        let page = page.map(|path| PageOutput::create(path, &inputs));
        Ok(Self {
            masks: masks.transpose()?,
            marked: marked.transpose()?,
            page: page.transpose()?,
        })
    }

    fn write(
        self,
        camera: &Frame,
        document: &InspectDocument,
        parts: &CameraParts,
    ) -> Result<(), Failure> {
        if let Some([writing, presenter]) = self.masks {
            writing.write(&mask_picture(&parts.writing))?;
            presenter.write(&mask_picture(&parts.presenter))?;
        }
        if let Some(output) = self.marked {
            let picture = marked_camera(camera, document, parts).ok_or_else(|| {
                Failure::with_hint(
                    anyhow::anyhow!("the list of findings does not fit below a frame of this size"),
                    Some("give a smaller output with `--size`".to_owned()),
                )
            })?;
            output.write(&picture)?;
        }
        if let Some(page) = self.page {
            let marked = page_picture(camera, document, parts);
            page.write(&inspect_page(document, marked.as_ref()))?;
        }
        Ok(())
    }
}

/// Both masks to be, in a folder that is made if it is not there.
fn open_masks(folder: &Path, inputs: &[&Path]) -> Result<[PictureOutput; 2], Failure> {
    make_folder(folder)?;
    let create = |name: &str| PictureOutput::create(&folder.join(name), inputs);
    let [writing, presenter] = MASK_NAMES.map(create);
    Ok([writing?, presenter?])
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
fn on_the_output(camera: &Frame, settings: &Settings) -> Frame {
    let mut settings = *settings;
    settings.view = View::Camera;
    compose(&Plan::new(&Scene {
        camera: Some(camera),
        slide: None,
        background: Background::BLACK,
        settings: &settings,
    }))
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
