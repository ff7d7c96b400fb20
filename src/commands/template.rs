//! `template`: where camera frames leave room for slides and writing.

use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use super::args::{CameraArgs, CameraOutputArgs, percent_value, whole_number};
use super::check::camera_paths;
use super::check_job::CheckJob;
use super::failure::{Exit, Failure};
use super::free_place::no_room;
use super::output::{columns, note, print, print_json};
use super::setup;
use crate::files::page_output::PageOutput;
use crate::files::picture_output::PictureOutput;
use crate::files::setup_file::Setup;
use crate::measure::check::slide_check::check_overlap;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Runs;
use crate::measure::space::glass::Glass;
use crate::measure::space::room::{CLEARANCE_PERCENT, REACH_PERCENT, Room, RoomError, RoomWanted};
use crate::measure::space::zone::{Zone, ZoneError, ZoneKind, zones_of_deck};
use crate::pixel::settings::{Size, SlidePlace};
use crate::report::check_document::UnansweredCamera;
use crate::report::paragraph::wrapped;
use crate::report::template_picture::{template_picture, template_svg};

/// What zones that are written into a setup are called, before their number.
const ZONE_NAME: &str = "free ";

/// Find the room that presenter and writing leave, and draw it as a picture to lay under slides
#[derive(Debug, Args)]
pub(super) struct TemplateArgs {
    /// Camera frame, may be repeated: room is what all of them leave; else the setup's
    #[arg(long = "camera", value_name = "FILE")]
    cameras: Vec<PathBuf>,
    /// Picture to write, transparent where nothing is drawn: .png or .svg
    #[arg(long, value_name = "FILE", required_unless_present_any = ["json", "write_zones", "glass"])]
    out: Option<PathBuf>,
    /// Distance that slides keep from presenter and writing, percent of the output's height [default: 3]
    #[arg(long, value_name = "P", value_parser = percent_value)]
    clearance: Option<f64>,
    /// Rows that a hand writes well in, percent of the height [default: 5,85]
    #[arg(long, value_name = "TOP,BOTTOM", value_parser = percent_value, value_delimiter = ',', num_args = 1..)]
    reach: Option<Vec<f64>>,
    /// Free boxes at most, the largest first
    #[arg(long, value_name = "COUNT", default_value_t = 4, value_parser = whole_number::<1, 20>)]
    boxes: u8,
    /// Setup file that gets the free boxes as zones that slides keep in, `free 1`, `free 2` and on, in the place of
    /// those of the last time; its comments stay
    #[arg(long, value_name = "SETUP")]
    write_zones: Option<PathBuf>,
    /// Tell boxes in centimetres on the glass: its corners in output pixels and its size in centimetres
    ///
    /// The corners are eight numbers with commas between, clockwise from the top left one. Centimetres count from the
    /// glass's top left in the picture; where that is flipped so that writing reads, this is how the presenter sees the
    /// glass. Boxes stay on the glass.
    #[arg(long, num_args = 2, value_names = ["CORNERS", "WIDTHxHEIGHT"], allow_hyphen_values = true)]
    glass: Option<Vec<String>>,
    /// Print the result as one JSON document
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    output: CameraOutputArgs,
    #[command(flatten)]
    camera_place: CameraArgs,
}

/// What `--json` prints.
#[derive(Debug, Serialize)]
struct TemplateJson {
    schema: u32,
    output: [u32; 2],
    cameras: Vec<String>,
    clearance: f64,
    reach: [f64; 2],
    /// Share of the output that is free within reach, percent.
    free: f64,
    /// The corners of the place where slides lie on the glass, cm, from the top left one clockwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    slide_glass_cm: Option<[[f64; 2]; 4]>,
    boxes: Vec<FreeBox>,
}

/// A free box.
#[derive(Debug, Serialize)]
struct FreeBox {
    /// x, y, width, height in output pixels.
    #[serde(rename = "box")]
    bounds: PixelBox,
    /// The same in percent of the output.
    percent: [f64; 4],
    /// Its corners on the glass, cm, from the top left one clockwise.
    #[serde(skip_serializing_if = "Option::is_none")]
    glass_cm: Option<[[f64; 2]; 4]>,
}

/// A picture or drawing to be.
enum Output {
    Picture(PictureOutput),
    Drawing(PageOutput),
}

/// Runs the command.
pub(super) fn run(args: &TemplateArgs) -> Result<Exit, Failure> {
    let loaded = setup::load_for_camera(&args.output, &args.camera_place)?;
    let paths = camera_paths(&args.cameras, &loaded.setup);
    if paths.is_empty() {
        return Err(Failure::with_hint(
            anyhow::anyhow!("expected a camera frame, got none"),
            Some("add `--camera FILE`, or set `camera` in the setup file".to_owned()),
        ));
    }
    let wanted = args.wanted()?;
    let output = args.out.as_deref().map(|path| open_output(path, &paths));
    let output = output.transpose()?;
    let glass = args.glass()?;
    if let Some(path) = &args.write_zones {
        Setup::read_or_default(path)?;
        Setup::try_path(path)?;
    }
    // Free boxes of the last time don't bound those of this time.
    let mut zones = zones_of_deck(&loaded.setup.zones);
    zones.retain(|zone| !is_free_box(zone));
    let slide_place = loaded.setup.settings.placement.slide_place;
    if slide_place != SlidePlace::default() {
        note(
            "the picture is of the whole output; the setup's slides lie in `slide_place`, a part of it",
        );
    }
    let job = CheckJob::open(loaded, &paths, check_overlap, false)?;
    if let Some(UnansweredCamera { words, .. }) = job.unanswered().into_iter().next() {
        return Err(no_room(&words));
    }
    for words in job.cameras_in_words() {
        note(&words);
    }
    let size = job.output();
    let beside_glass = glass.map_or_else(|| Runs::none(size), |glass| glass.beside(size));
    let room = Room::find_beside(&beside_glass, &job.masks(), &zones, &wanted);
    match output {
        Some(Output::Picture(picture)) => picture.write_with_alpha(&template_picture(&room))?,
        Some(Output::Drawing(drawing)) => drawing.write(&template_svg(&room))?,
        None => {}
    }
    if let Some(path) = &args.write_zones {
        write_zones(path, &room.boxes, size)?;
    }
    let on_glass = |bounds: PixelBox| {
        let corners = glass?.corners_cm(bounds)?;
        Some(corners.map(|corner| corner.map(|cm| (10.0 * cm).round() / 10.0 + 0.0)))
    };
    // A place that reaches over the edges is told as far as it is seen.
    let slide = Zone::new(
        String::new(),
        ZoneKind::KeepIn,
        inside(slide_place.percent()),
    );
    let document = TemplateJson {
        schema: 1,
        output: [size.width(), size.height()],
        cameras: paths
            .iter()
            .map(|path| path.to_string_lossy().into_owned())
            .collect(),
        clearance: wanted.clearance_percent(),
        reach: wanted.reach_percent(),
        free: rounded(room.free_percent),
        slide_glass_cm: slide.ok().and_then(|zone| on_glass(zone.bounds(size))),
        boxes: room
            .boxes
            .iter()
            .map(|&bounds| FreeBox {
                bounds,
                percent: bounds.percent_of(size),
                glass_cm: on_glass(bounds),
            })
            .collect(),
    };
    if args.json {
        print_json(&document)?;
    } else {
        print(&summary(&document, args, columns()))?;
    }
    Ok(Exit::Clean)
}

impl TemplateArgs {
    /// What room is asked for.
    fn wanted(&self) -> Result<RoomWanted, Failure> {
        let clearance = self.clearance.unwrap_or(CLEARANCE_PERCENT);
        let reach = match self.reach.as_deref() {
            None => REACH_PERCENT,
            Some(&[top, bottom]) => [top, bottom],
            Some(other) => {
                let got = other.len();
                let error = anyhow::anyhow!("expected two percentages for `--reach`, got {got}");
                return Err(Failure::with_hint(
                    error,
                    Some("such as --reach 5,85".to_owned()),
                ));
            }
        };
        Ok(RoomWanted::new(clearance, reach, usize::from(self.boxes))?)
    }
}

impl TemplateArgs {
    /// The sheet of glass, where it is told.
    fn glass(&self) -> Result<Option<Glass>, Failure> {
        let Some([corners, size]) = self.glass.as_deref() else {
            return Ok(None);
        };
        let hint = || Some("such as --glass 120,80,1790,40,1850,1020,60,990 180x100".to_owned());
        let numbers = |text: &str, between: char| -> Option<Vec<f64>> {
            text.split(between).map(|n| n.trim().parse().ok()).collect()
        };
        let corners = numbers(corners, ',').and_then(|n| <[f64; 8]>::try_from(n).ok());
        let size = numbers(size, 'x').and_then(|n| <[f64; 2]>::try_from(n).ok());
        let (Some(xy), Some(size)) = (corners, size) else {
            let error = anyhow::anyhow!(
                "expected eight pixel numbers and a size in centimetres for `--glass`"
            );
            return Err(Failure::with_hint(error, hint()));
        };
        let corner = |i: usize| [xy[2 * i], xy[2 * i + 1]];
        let glass = Glass::new([0, 1, 2, 3].map(corner), size);
        Ok(Some(
            glass.map_err(|error| Failure::with_hint(error, hint()))?,
        ))
    }
}

/// A rectangle in percent, cut to the output.
fn inside([x, y, width, height]: [f64; 4]) -> [f64; 4] {
    let cut = |start: f64, length: f64| {
        let (from, to) = (start.clamp(0.0, 100.0), (start + length).clamp(0.0, 100.0));
        (from, to - from)
    };
    let ((x, width), (y, height)) = (cut(x, width), cut(y, height));
    [x, y, width, height]
}

/// Corners in centimetres, such as `12.3,4.5  …`.
fn glass_words(corners: Option<[[f64; 2]; 4]>) -> String {
    match corners {
        Some(corners) => {
            let corners = corners.map(|[x, y]| format!("{x},{y}"));
            format!("{} cm", corners.join("  "))
        }
        None => "past where its plane ends in the picture".to_owned(),
    }
}

impl From<RoomError> for Failure {
    fn from(error: RoomError) -> Self {
        Self::plain(error)
    }
}

/// Opens the output, so that a bad name is known at once.
fn open_output(path: &Path, cameras: &[PathBuf]) -> Result<Output, Failure> {
    let inputs: Vec<&Path> = cameras.iter().map(PathBuf::as_path).collect();
    let ending = path.extension().and_then(|ending| ending.to_str());
    match ending.map(str::to_ascii_lowercase).as_deref() {
        Some("png") => Ok(Output::Picture(PictureOutput::create(path, &inputs)?)),
        Some("svg") => Ok(Output::Drawing(PageOutput::create_svg(path, &inputs)?)),
        _ => Err(Failure::with_hint(
            anyhow::anyhow!(
                "expected a name ending in .png or .svg, got `{}`",
                path.display()
            ),
            Some("name the picture template.png".to_owned()),
        )),
    }
}

/// Puts free boxes into a setup file, in the place of those of the last time.
fn write_zones(path: &Path, boxes: &[PixelBox], size: Size) -> Result<(), Failure> {
    let mut setup = Setup::read_or_default(path)?;
    setup.zones.retain(|zone| !is_free_box(zone));
    let zones: Result<Vec<Zone>, ZoneError> = (1..)
        .zip(boxes)
        .map(|(number, &bounds)| {
            let name = format!("{ZONE_NAME}{number}");
            Zone::new(name, ZoneKind::KeepIn, bounds.percent_of(size))
        })
        .collect();
    setup.zones.extend(zones.map_err(Failure::plain)?);
    setup.save(path)?;
    let (count, path) = (boxes.len(), path.display());
    note(&match count {
        0 => format!("found no free box, so `{path}` has no zone of one"),
        _ => format!(
            "wrote {} into `{path}` as zones that slides keep in",
            count_words(count)
        ),
    });
    Ok(())
}

/// Whether a zone is a free box that was written the last time, by its name.
fn is_free_box(zone: &Zone) -> bool {
    let number = zone.name.strip_prefix(ZONE_NAME).map(str::parse::<u32>);
    zone.kind == ZoneKind::KeepIn && zone.slide.is_none() && number.is_some_and(|n| n.is_ok())
}

/// What was found, a line each, in so many columns.
fn summary(document: &TemplateJson, args: &TemplateArgs, columns: usize) -> String {
    let mut text = match &args.out {
        Some(path) => format!("wrote {}\n", path.display()),
        None => String::new(),
    };
    let [top, bottom] = document.reach;
    text.push_str(&wrapped(
        &format!(
            "{} within reach ({top} to {bottom} % of the height), {} % from presenter and writing; {:.0} % of the \
             picture is free there",
            count_words(document.boxes.len()),
            document.clearance,
            document.free
        ),
        "",
        columns,
    ));
    // Numbers of boxes stand over each other.
    let digits = document.boxes.len().to_string().len();
    let indent = " ".repeat("  free ".len() + digits + "  ".len());
    let on_glass = |corners: Option<[[f64; 2]; 4]>| {
        let words = format!("{indent}on the glass: {}", glass_words(corners));
        if args.glass.is_some() {
            wrapped(&words, &format!("{indent}  "), columns)
        } else {
            String::new()
        }
    };
    for (number, free) in (1..).zip(&document.boxes) {
        let PixelBox {
            x,
            y,
            width,
            height,
        } = free.bounds;
        let [left, top, across, down] = free.percent;
        let words = format!(
            "  free {number:<digits$}  {width}x{height} px at {x},{y}; in percent {left},{top},{across},{down}"
        );
        text.push_str(&wrapped(&words, &indent, columns));
        text.push_str(&on_glass(free.glass_cm));
    }
    if args.glass.is_some() {
        text.push_str("  the slides\n");
        text.push_str(&on_glass(document.slide_glass_cm));
        text.push_str(&wrapped(
            "corners go clockwise from the top left one; cm to the right and down from the glass's top left in the \
             picture; where that is flipped so that writing reads, this is how the presenter sees the glass, so stick \
             ticks on from behind",
            "",
            columns,
        ));
    }
    text
}

fn count_words(count: usize) -> String {
    match count {
        0 => "no free box".to_owned(),
        1 => "1 free box".to_owned(),
        more => format!("{more} free boxes"),
    }
}

/// To a hundredth.
fn rounded(value: f64) -> f64 {
    (100.0 * value).round() / 100.0
}
