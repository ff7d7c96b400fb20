//! `compose`: one slide over one camera frame, into a file.

use std::borrow::Cow;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use super::args::PictureArgs;
use super::engine::ReadyEngine;
use super::failure::{Exit, Failure};
use super::output::{ChainJson, KeyJson, note, print, print_json};
use super::setup;
use crate::files::deck::Deck;
use crate::files::picture_file::{Picture, read_picture};
use crate::files::picture_output::PictureOutput;
use crate::files::setup_file::Setup;
use crate::measure::background::measure_background;
use crate::pixel::frame::Frame;
use crate::pixel::guide_drawing::draw_guides;
use crate::pixel::guides::Guide;
use crate::pixel::matte_shares::{MatteShares, measure_matte};
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::Size;
use crate::pixel::views::{Background, View};

/// Write what the key makes of a slide and a camera frame
#[derive(Debug, Args)]
pub(super) struct ComposeArgs {
    /// Camera frame: PNG, JPEG, WebP, TIFF or BMP; else the setup's
    #[arg(long, value_name = "FILE")]
    camera: Option<PathBuf>,
    /// Slide: PNG, JPEG, WebP, TIFF or BMP; else the setup's first
    #[arg(long, value_name = "FILE")]
    slide: Option<PathBuf>,
    /// Picture to write: .png, .jpg, .webp or .tiff
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Say what was done as one JSON document
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    picture: PictureArgs,
}

/// What `--json` prints.
#[derive(Debug, Serialize)]
struct ComposeJson<'a> {
    schema: u32,
    output: [u32; 2],
    key: KeyJson,
    chain: Option<ChainJson>,
    view: View,
    guides: &'a [Guide],
    engine: &'a str,
    adapter: Option<&'a str>,
    camera: InputJson<'a>,
    slide: InputJson<'a>,
    matte: MatteShares,
    out: Cow<'a, str>,
}

#[derive(Debug, Serialize)]
struct InputJson<'a> {
    file: Cow<'a, str>,
    size: [u32; 2],
}

fn pair(size: Size) -> [u32; 2] {
    [size.width(), size.height()]
}

/// Runs the command.
pub(super) fn run(args: &ComposeArgs) -> Result<Exit, Failure> {
    let mut setup = setup::load(&args.picture)?.setup;
    super::args::replace(&mut setup.camera, args.camera.clone().map(Some));
    let camera_path = wanted(setup.camera.as_ref(), "camera")?;
    let slide_path = match &args.slide {
        Some(slide) => Some(slide.clone()),
        None => first_slide(&setup)?,
    };
    let slide_path = wanted(slide_path.as_ref(), "slide")?;
    let output = PictureOutput::create(&args.out, &[camera_path, slide_path])?;
    let camera = read_input(camera_path, "camera")?;
    let slide = read_input(slide_path, "slide")?;

    let background = match setup.settings.view {
        View::Kept => measure_background(&slide, setup.settings.placement.slide_range),
        _ => Background::BLACK,
    };
    let scene = Scene {
        camera: Some(&camera),
        slide: Some(&slide),
        background,
        settings: &setup.settings,
    };
    let plan = Plan::new(&scene);
    let mut engine = ReadyEngine::open(setup.engine, &plan)?;
    let mut frame = engine.compose(&plan)?;
    draw_guides(&mut frame, &setup.guides);
    let matte = measure_matte(&plan);
    output.write(&frame)?;

    if args.json {
        print_json(&ComposeJson {
            schema: 1,
            output: pair(plan.output),
            key: setup.settings.key.into(),
            chain: setup.settings.chain.map(ChainJson::from),
            view: setup.settings.view,
            guides: &setup.guides,
            engine: engine.name(),
            adapter: engine.adapter(),
            camera: InputJson {
                file: camera_path.to_string_lossy(),
                size: pair(camera.size()),
            },
            slide: InputJson {
                file: slide_path.to_string_lossy(),
                size: pair(slide.size()),
            },
            matte,
            out: args.out.to_string_lossy(),
        })?;
    } else {
        print(&summary(&args.out, &setup, &plan, &engine, matte))?;
    }
    Ok(Exit::Clean)
}

/// The first slide of the setup's deck, if it names one.
fn first_slide(setup: &Setup) -> Result<Option<PathBuf>, Failure> {
    let Deck { slides, problems } = Deck::open(&setup.slides);
    match problems.into_iter().next() {
        Some(problem) if slides.is_empty() => Err(problem.into()),
        _ => Ok(slides.into_iter().next().map(|slide| slide.path)),
    }
}

/// The path, or a failure that says how to give one.
fn wanted<'a>(path: Option<&'a PathBuf>, role: &'static str) -> Result<&'a PathBuf, Failure> {
    path.ok_or_else(|| {
        Failure::with_hint(
            anyhow::anyhow!("expected a {role}, got none"),
            Some(format!("add `--{role} FILE`, or set it in the setup file")),
        )
    })
}

/// Reads an input and passes its warnings on.
fn read_input(path: &Path, role: &'static str) -> Result<Frame, Failure> {
    let Picture {
        frame, warnings, ..
    } = read_picture(path)
        .map_err(|error| Failure::from(error).context(format!("cannot read the {role}")))?;
    for warning in warnings {
        note(&format!("warning: {warning}"));
    }
    Ok(frame)
}

/// What was done, in two lines.
fn summary(
    out: &Path,
    setup: &Setup,
    plan: &Plan<'_>,
    engine: &ReadyEngine,
    matte: MatteShares,
) -> String {
    let key = setup.settings.key;
    format!(
        "wrote {} ({}x{}, {}{})\n\
         at threshold {} and softness {} percent, {:.1} % of the picture is dropped, \
         {:.1} % in the ramp, {:.1} % solid\n",
        out.display(),
        plan.output.width(),
        plan.output.height(),
        engine.name(),
        engine
            .adapter()
            .map(|name| format!(": {name}"))
            .unwrap_or_default(),
        key.threshold_percent(),
        key.softness_percent(),
        matte.dropped,
        matte.in_the_ramp,
        matte.solid,
    )
}
