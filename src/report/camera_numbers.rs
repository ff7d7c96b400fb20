//! What was measured in a camera frame, each number with its unit and what is good: the rows of terminal and page.

use super::inspect_document::{InspectDocument, PartJson};
use super::like_json::LikeJson;
use super::words::count_words;
use crate::measure::inspect::backdrop_level::{RAISED_PERCENT, UNEVEN_PERCENT};
use crate::measure::inspect::camera_exposure::CLIP_PERCENT;
use crate::measure::inspect::camera_report::NOISE_CODES;
use crate::measure::inspect::camera_verdict::Unanswered;
use crate::measure::inspect::dark_clothes::MELTED_PERCENT;
use crate::measure::inspect::double_image::{LEAST_PERCENT, shift_words};
use crate::measure::inspect::edge_widths::{PRESENTER_WARN_PX, WRITING_WARN_PX};
use crate::measure::inspect::ink_loss::LOSS_PERCENT;
use crate::measure::inspect::like_report::{
    COLOUR_RATIO, LIGHT_RATIO, MOVED_PERCENT, change_words,
};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::told_apart::told;

/// What stands where a number is not known.
const UNKNOWN: &str = "cannot be told";

/// One of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CameraNumber {
    /// What was measured.
    pub name: String,
    /// The number and its unit.
    pub measured: String,
    /// What it is where nothing is said about it; none where every number is good.
    pub good: Option<String>,
    /// Where it is, for what has places.
    pub places: Vec<PixelBox>,
}

/// All that could be measured.
pub fn camera_numbers(document: &InspectDocument) -> Vec<CameraNumber> {
    let camera = &document.camera;
    let channels = |[r, g, b]: [f64; 3]| format!("{r}, {g}, {b} of 255 in red, green, blue");
    let percent = |percent: f64| format!("{percent} % of white");
    let px = |px: f64| format!("{px} px");
    let under_clip = format!("under {}", percent(CLIP_PERCENT.round()));
    let rows = [
        camera.backdrop_percent.map(|luma| {
            let good = format!("at most {}", percent(RAISED_PERCENT));
            number("backdrop", percent(luma), good)
        }),
        camera.unevenness_percent.map(|luma| {
            let good = format!("at most {}", percent(UNEVEN_PERCENT));
            number("unevenness of backdrop", percent(luma), good)
        }),
        camera.noise_codes.map(|codes| {
            let good = format!("under {NOISE_CODES} of 255");
            number("noise", channels(codes), good)
        }),
        camera.writing_edge_px.map(|width| {
            let good = format!("under {}", px(WRITING_WARN_PX));
            number("edges of the writing", px(width), good)
        }),
        camera.presenter_edge_px.map(|width| {
            let good = format!("under {}", px(PRESENTER_WARN_PX));
            number("edges of the presenter", px(width), good)
        }),
        camera.writing_brightest_percent.map(|luma| {
            let name = "brightest writing";
            number(name, percent(luma), under_clip.clone())
        }),
        camera.skin_brightest_percent.map(|luma| {
            let name = "brightest skin";
            number(name, percent(luma), under_clip.clone())
        }),
        camera.melted_outline_percent.map(|share| {
            let good = format!("at most {MELTED_PERCENT} %");
            number(
                "melted outline",
                format!("{share} % is as dark as the backdrop"),
                good,
            )
        }),
        double_image(document),
    ];
    let cannot_tell = |why| document.unanswered.contains(&why);
    let is_blind = cannot_tell(Unanswered::TooSmall) || cannot_tell(Unanswered::NoBackdrop);
    let is_lit = cannot_tell(Unanswered::LitAllOver);
    let parts = [
        part("writing", &camera.writing, "group", is_blind),
        part("presenter", &camera.presenter, "", is_blind || is_lit),
    ];
    parts
        .into_iter()
        .chain(rows.into_iter().flatten())
        .chain(camera.like.iter().flat_map(like_numbers))
        .collect()
}

fn number(name: impl Into<String>, measured: String, good: String) -> CameraNumber {
    CameraNumber {
        name: name.into(),
        measured,
        good: Some(good),
        places: Vec::new(),
    }
}

/// What a part takes of the picture, in how many groups where that says something.
fn part(name: &str, part: &PartJson, group: &str, is_hidden: bool) -> CameraNumber {
    let measured = match part.boxes.len() {
        0 if is_hidden => UNKNOWN.to_owned(),
        0 => "none".to_owned(),
        _ if group.is_empty() => format!("{} % of the picture", part.percent),
        count => {
            let groups = count_words(count, group);
            format!("{} % of the picture in {groups}", part.percent)
        }
    };
    CameraNumber {
        name: name.to_owned(),
        measured,
        good: None,
        places: part.boxes.clone(),
    }
}

/// The copy of all strokes, where there are strokes.
fn double_image(document: &InspectDocument) -> Option<CameraNumber> {
    let camera = &document.camera;
    let measured = match camera.double_image {
        Some(double) => format!(
            "{} % of the strokes' contrast, {}",
            double.strength_percent,
            shift_words(double.shift_px)
        ),
        None if camera.writing.boxes.is_empty() => return None,
        None => "none found".to_owned(),
    };
    Some(number(
        "double image",
        measured,
        format!("under {LEAST_PERCENT} %"),
    ))
}

/// What has changed since the last good setup.
pub fn like_numbers(like: &LikeJson) -> Vec<CameraNumber> {
    let way = like
        .way_round
        .map_or(UNKNOWN.to_owned(), |way| way.words().to_owned());
    let change = change_words(like.shift_px, like.zoom_percent, like.rotation_degrees);
    let moved = format!(
        "{}; the farthest corner {} % of the width",
        change.unwrap_or_else(|| "not at all".to_owned()),
        told(like.displacement_percent, 2)
    );
    let light = like
        .exposure_stops
        .map(|stops| format!("{} stops", signed(stops)));
    let colour = like.colour_percent.map(|percent| {
        let [r, g, b] = percent.map(signed);
        format!("red {r}, green {g}, blue {b} % beside all light")
    });
    let mut rows = vec![
        CameraNumber {
            good: None,
            ..number("way round since then", way, String::new())
        },
        number(
            "moved since then",
            moved,
            format!("under {MOVED_PERCENT} % of the width"),
        ),
        number(
            "light since then",
            light.unwrap_or_else(|| UNKNOWN.to_owned()),
            format!("under {:.2} stops more or less", LIGHT_RATIO.log2()),
        ),
        number(
            "colour since then",
            colour.unwrap_or_else(|| UNKNOWN.to_owned()),
            format!("under {:.0} % more or less", 100.0 * (COLOUR_RATIO - 1.0)),
        ),
    ];
    rows.extend(like.inks.iter().map(|ink| {
        let way = if ink.loss_percent < 0.0 {
            "more"
        } else {
            "less"
        };
        number(
            format!("ink {} since then", ink.color),
            format!("{} % {way} light", ink.loss_percent.abs()),
            format!("under {LOSS_PERCENT} % less"),
        )
    }));
    rows
}

/// A number with its sign, where it has one.
fn signed(number: f64) -> String {
    if number > 0.0 {
        format!("+{number}")
    } else {
        number.to_string()
    }
}
