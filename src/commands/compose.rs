//! `compose`: one slide over one camera frame, into a file.

use std::borrow::Cow;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use super::args::{CameraArgs, PictureArgs, ShownArgs};
use super::engine::ReadyEngine;
use super::failure::{Exit, Failure};
use super::free_place::move_where_free;
use super::output::{ChainJson, KeyJson, note, print_json, print_lines};
use super::setup;
use crate::files::deck::Deck;
use crate::files::documents::Documents;
use crate::files::pages::Pages;
use crate::files::picture_file::{Picture, ReadError, read_picture};
use crate::files::picture_output::PictureOutput;
use crate::files::setup_file::Setup;
use crate::files::slide_file::{SlideReader, SlideSource};
use crate::measure::slide::background::measure_background;
use crate::measure::space::zone::zones_for;
use crate::pixel::frame::Frame;
use crate::pixel::guide_drawing::draw_guides;
use crate::pixel::guides::Guide;
use crate::pixel::label_room::LabelRoom;
use crate::pixel::matte_shares::{MatteShares, measure_matte};
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::seen_detail::SeenDetail;
use crate::pixel::settings::Size;
use crate::pixel::views::{Background, View};

/// Write what the key makes of a slide and a camera frame
#[derive(Debug, Args)]
pub(super) struct ComposeArgs {
    /// Camera frame: PNG, JPEG, WebP, TIFF or BMP; else the setup's
    #[arg(long, value_name = "FILE")]
    camera: Option<PathBuf>,
    /// Slide: PNG, JPEG, WebP, TIFF or BMP, or a page of a PDF, .pptx or .odp file; else the setup's first
    #[arg(long, value_name = "FILE")]
    slide: Option<PathBuf>,
    /// Page of the slide's file [default: the first]
    #[arg(long, value_name = "PAGE")]
    pages: Option<Pages>,
    /// Picture to write: .png, .jpg, .webp or .tiff
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Say what was done as one JSON document
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    picture: PictureArgs,
    #[command(flatten)]
    camera_place: CameraArgs,
    #[command(flatten)]
    shown: ShownArgs,
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
    #[serde(skip_serializing_if = "Option::is_none")]
    page: Option<u32>,
    size: [u32; 2],
}

fn pair(size: Size) -> [u32; 2] {
    [size.width(), size.height()]
}

/// Runs the command.
pub(super) fn run(args: &ComposeArgs) -> Result<Exit, Failure> {
    let mut setup = setup::load_for_placing(&args.picture)?.setup;
    args.camera_place.apply(&mut setup);
    args.shown.apply(&mut setup);
    super::args::replace(&mut setup.camera, args.camera.clone().map(Some));
    let camera_path = setup.camera.clone();
    let camera_path = wanted(camera_path.as_ref(), "camera")?;
    let documents = Documents::default();
    let slide_source = slide_source(args, &setup, &documents)?;
    let slide_source = wanted(slide_source.as_ref(), "slide")?;
    let output = PictureOutput::create(&args.out, &[camera_path, &slide_source.path])?;
    let camera = read_input(read_picture(camera_path), "camera")
        .map_err(|failure| failure.of_setup("camera", args.camera.is_none()))?;
    let reader = |setup: &Setup| {
        SlideReader::new(&setup.settings.placement, Some(camera.size()))
            .with_documents(documents.clone())
    };
    let mut slide = read_input(reader(&setup).read(slide_source), "slide")?;
    let is_moved = move_where_free(
        &args.picture,
        &mut setup.settings,
        &zones_for(&setup.zones, &slide_source.file_name(), slide_source.page),
        &camera,
        Some(&slide),
    )?;
    if is_moved && slide_source.page.is_some() {
        // A page is drawn for the place where it lies.
        slide = read_input(reader(&setup).read(slide_source), "slide")?;
    }

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
    if !setup.guides.is_empty() {
        let detail = SeenDetail::of(&frame);
        let mut labels = LabelRoom::on(frame.size());
        draw_guides(&mut frame, &setup.guides, &mut labels, |place| {
            detail.seen_px(place)
        });
    }
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
                page: None,
                size: pair(camera.size()),
            },
            slide: InputJson {
                file: slide_source.path.to_string_lossy(),
                page: slide_source.page,
                size: pair(slide.size()),
            },
            matte,
            out: args.out.to_string_lossy(),
        })?;
    } else {
        print_lines(&summary(&args.out, &setup, &plan, &engine, matte))?;
    }
    Ok(Exit::Clean)
}

/// The slide that is named, else the first of the setup's deck, if there is one.
fn slide_source(
    args: &ComposeArgs,
    setup: &Setup,
    documents: &Documents,
) -> Result<Option<SlideSource>, Failure> {
    let (paths, pages) = match &args.slide {
        // Reading it will say what is wrong with it.
        Some(path) if !path.is_file() => return Ok(Some(SlideSource::file(path.clone()))),
        Some(path) => (std::slice::from_ref(path), args.pages.as_ref()),
        None => (
            &setup.slides[..],
            args.pages.as_ref().or(setup.pages.as_ref()),
        ),
    };
    let mut deck = Deck::open_with(paths, documents);
    if let Some(pages) = pages {
        deck.pick(pages);
    }
    // What was picked and is not there is not made up for by another page.
    let is_picked = args.pages.is_some();
    match deck.problems.into_iter().next() {
        Some(problem) if is_picked || deck.slides.is_empty() => {
            Err(Failure::from(problem).of_setup("slides", args.slide.is_none()))
        }
        _ => {
            let count = deck.slides.len();
            let first = deck.slides.into_iter().next();
            if let Some(path) = &args.slide
                && let Some(page) = first.as_ref().and_then(|slide| slide.page)
                && count > 1
            {
                let path = path.display();
                note(&format!(
                    "page {page} of {count} in `{path}` is used; `--pages` picks another"
                ));
            }
            Ok(first)
        }
    }
}

/// What is given, or a failure that says how to give it.
fn wanted<'a, T>(given: Option<&'a T>, role: &'static str) -> Result<&'a T, Failure> {
    given.ok_or_else(|| {
        Failure::with_hint(
            anyhow::anyhow!("expected a {role}, got none"),
            Some(format!("add `--{role} FILE`, or set it in the setup file")),
        )
    })
}

/// Takes an input and passes its warnings on.
fn read_input(read: Result<Picture, ReadError>, role: &'static str) -> Result<Frame, Failure> {
    let Picture {
        frame, warnings, ..
    } = read.map_err(|error| Failure::from(error).context(format!("cannot read the {role}")))?;
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
