//! What every slide of a deck is checked over and under, and checking one.

use std::path::{Path, PathBuf};

use rayon::iter::{IntoParallelIterator as _, ParallelIterator as _};

use super::failure::Failure;
use super::output::note;
use super::setup::LoadedSetup;
use crate::files::picture_file::{Picture, read_picture};
use crate::files::setup_file::Setup;
use crate::files::slide_file::SlideSource;
use crate::measure::accepted::Accepted;
use crate::measure::check::placed_camera::PlacedCamera;
use crate::measure::check::slide_check::{CheckedCamera, SlideCheck, SlideToCheck};
use crate::measure::finding::Finding;
use crate::measure::inspect::camera_masks::CameraMasks;
use crate::measure::space::zone::zones_for;
use crate::pixel::cpu_engine::compose;
use crate::pixel::frame::Frame;
use crate::pixel::placement::output_size;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::Size;
use crate::pixel::views::{Background, View};
use crate::report::check_document::{
    CheckDocument, CheckedSlide, SlideVerdict, UnansweredCamera, UnreadableSlide,
};
use crate::report::check_page::SlidePictures;

/// Smallest sides of a camera frame, px, the longer one first. Source: chosen, the least height in which writing and a
/// presenter are looked for, and its width in a picture of 16 to 9.
const LEAST_CAMERA_PX: [u32; 2] = [160, 90];

/// A camera frame and the name it is shown under.
#[derive(Debug)]
struct Camera {
    name: String,
    frame: Frame,
    placed: PlacedCamera,
}

impl Camera {
    /// What was not found in the frame, or could not be looked for, in words.
    fn missing_words(&self) -> Option<String> {
        let masks = self.placed.masks();
        masks.missing_words(&format!("`{}`", self.name))
    }
}

/// What every slide is checked over and under.
#[derive(Debug)]
pub(super) struct CheckJob {
    setup: Setup,
    setup_path: Option<PathBuf>,
    cameras: Vec<Camera>,
    checks: Checks,
    wants_pictures: bool,
}

/// What is looked for on a slide.
pub(super) type Checks = fn(&SlideToCheck<'_>) -> SlideCheck;

/// A slide that was checked.
#[derive(Clone, Debug)]
pub(super) struct SlideResult {
    /// What was found.
    pub slide: CheckedSlide,
    /// Composite and marked slide, where they are wanted.
    pub pictures: Option<SlidePictures>,
    /// What is worth saying about its file.
    pub warnings: Vec<String>,
}

/// A failure where a camera frame is too small to look for anything in it: no answer would pass for a good one.
fn refuse_tiny(size: Size, path: &Path) -> Result<(), Failure> {
    let (width, height) = (size.width(), size.height());
    let [long, short] = LEAST_CAMERA_PX;
    if width.max(height) >= long && width.min(height) >= short {
        return Ok(());
    }
    Err(Failure::with_hint(
        anyhow::anyhow!(
            "expected a camera frame of {long}x{short} pixels or more, got {width}x{height}: `{}`",
            path.display()
        ),
        Some("take a frame as it is recorded, in its own size".to_owned()),
    ))
}

impl CheckJob {
    /// Reads the cameras, and passes their warnings on.
    pub(super) fn open(
        loaded: LoadedSetup,
        camera_paths: &[PathBuf],
        checks: Checks,
        wants_pictures: bool,
    ) -> Result<Self, Failure> {
        let camera_of_setup = loaded.setup.camera.clone();
        let read = |path: &PathBuf| {
            let Picture {
                frame, warnings, ..
            } = read_picture(path).map_err(|error| {
                let is_named_there = camera_of_setup.as_ref() == Some(path);
                Failure::from(error)
                    .context("cannot read the camera")
                    .of_setup("camera", is_named_there)
            })?;
            for warning in warnings {
                note(&format!("warning: {warning}"));
            }
            refuse_tiny(frame.size(), path)?;
            let name = path.to_string_lossy().into_owned();
            Ok((name, frame))
        };
        let LoadedSetup { setup, path } = loaded;
        let frames: Result<Vec<(String, Frame)>, Failure> = camera_paths.iter().map(read).collect();
        let frames = frames?;
        let settings = &setup.settings;
        let first_size = frames.first().map(|(_, frame)| frame.size());
        let output = output_size(&settings.placement, first_size);
        let cameras = frames
            .into_par_iter()
            .map(|(name, frame)| Camera {
                placed: PlacedCamera::new(&frame, settings, output),
                name,
                frame,
            })
            .collect();
        Ok(Self {
            setup,
            setup_path: path,
            cameras,
            checks,
            wants_pictures,
        })
    }

    /// For each camera what cannot be covered because it was looked for and not found in the frame.
    pub(super) fn cameras_in_words(&self) -> Vec<String> {
        let is_answered = |camera: &&Camera| camera.placed.masks().unanswered().is_none();
        let cameras = self.cameras.iter().filter(is_answered);
        cameras.filter_map(Camera::missing_words).collect()
    }

    /// The cameras that cannot tell what slides cover.
    pub(super) fn unanswered(&self) -> Vec<UnansweredCamera> {
        let told = |camera: &Camera| {
            Some(UnansweredCamera {
                camera: camera.name.clone(),
                reason: camera.placed.masks().unanswered()?,
                words: camera.missing_words()?,
            })
        };
        self.cameras.iter().filter_map(told).collect()
    }

    /// The verdict on a slide with these findings, where so many others were accepted.
    pub(super) fn verdict(&self, findings: &[Finding], accepted: usize) -> SlideVerdict {
        let verdict = SlideVerdict::of(findings, accepted);
        let is_unanswered = |camera: &Camera| camera.placed.masks().unanswered().is_some();
        if self.cameras.iter().any(is_unanswered) {
            verdict.over_unanswered()
        } else {
            verdict
        }
    }

    /// What is in each camera frame.
    pub(super) fn masks(&self) -> Vec<&CameraMasks> {
        let cameras = self.cameras.iter();
        cameras.map(|camera| camera.placed.masks()).collect()
    }

    /// The size of the first camera, which decides the output's where the setup does not.
    pub(super) fn camera_size(&self) -> Option<Size> {
        self.cameras.first().map(|camera| camera.frame.size())
    }

    /// The size that boxes are counted in.
    pub(super) fn output(&self) -> Size {
        output_size(&self.setup.settings.placement, self.camera_size())
    }

    /// Checks a slide that was read.
    pub(super) fn check(&self, source: &SlideSource, picture: Picture) -> SlideResult {
        let Picture {
            frame,
            lossy,
            warnings,
        } = picture;
        let cameras: Vec<CheckedCamera<'_>> = self
            .cameras
            .iter()
            .map(|camera| CheckedCamera {
                name: &camera.name,
                frame: &camera.frame,
                placed: &camera.placed,
            })
            .collect();
        let (name, output) = (source.file_name(), self.output());
        let checked = (self.checks)(&SlideToCheck {
            slide: &frame,
            lossy,
            cameras: &cameras,
            settings: &self.setup.settings,
            limits: &self.setup.limits,
            reserved: &self.setup.reserved,
            zones: &zones_for(&self.setup.zones, &name, source.page),
        });
        let mut findings = checked.findings;
        let found = findings.len();
        findings.retain(|finding| {
            let covers = |one: &Accepted| one.covers(&name, source.page, finding, output);
            !self.setup.accepted.iter().any(covers)
        });
        let pictures = if self.wants_pictures {
            let picture = |view, camera| self.picture(&frame, view, checked.background, camera);
            let first = self.cameras.first();
            let is_shown = |camera: &&Camera| {
                let name = Some(&camera.name);
                findings.iter().any(|one| one.camera.as_ref() == name)
            };
            let others = self.cameras.iter().skip(1).filter(is_shown).map(Some);
            let composites: Vec<(Option<&str>, Frame)> = [first]
                .into_iter()
                .chain(others)
                .map(|camera| {
                    let name = camera.map(|camera| camera.name.as_str());
                    (name, picture(View::Composite, camera))
                })
                .collect();
            SlidePictures::new(&composites, &picture(View::Slide, first), &findings)
        } else {
            None
        };
        let slide = CheckedSlide {
            slide: source.path.to_string_lossy().into_owned(),
            page: source.page,
            verdict: self.verdict(&findings, found - findings.len()),
            accepted: found - findings.len(),
            findings,
        };
        SlideResult {
            slide,
            pictures,
            warnings,
        }
    }

    /// A view of a slide over a camera.
    fn picture(
        &self,
        slide: &Frame,
        view: View,
        background: Background,
        camera: Option<&Camera>,
    ) -> Frame {
        let mut settings = self.setup.settings;
        settings.view = view;
        settings.placement.size = Some(self.output());
        let camera = camera.map(|camera| &camera.frame);
        compose(&Plan::new(&Scene {
            camera,
            slide: Some(slide),
            background,
            settings: &settings,
        }))
    }

    /// The document of these slides and of what could not be read.
    pub(super) fn document(
        &self,
        slides: Vec<CheckedSlide>,
        unreadable: Vec<UnreadableSlide>,
    ) -> CheckDocument {
        let output = self.output();
        let settings = &self.setup.settings;
        CheckDocument {
            schema: CheckDocument::SCHEMA,
            output: [output.width(), output.height()],
            key: settings.key.into(),
            chain: settings.chain.map(Into::into),
            setup: self
                .setup_path
                .as_ref()
                .map(|path| path.to_string_lossy().into_owned()),
            cameras: self.cameras.iter().map(|c| c.name.clone()).collect(),
            unanswered: self.unanswered(),
            slides,
            unreadable,
        }
    }
}
