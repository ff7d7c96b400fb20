//! What was measured in a camera frame, each number with its unit and what is good.

use super::inspect_document::{InspectDocument, PartJson};
use super::words::count_words;
use crate::measure::backdrop_level::{RAISED_PERCENT, UNEVEN_PERCENT};
use crate::measure::camera_report::NOISE_CODES;
use crate::measure::dark_clothes::MELTED_PERCENT;
use crate::measure::edge_widths::{PRESENTER_WARN_PX, WRITING_WARN_PX};

/// One of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CameraNumber {
    /// What was measured.
    pub name: &'static str,
    /// The number and its unit.
    pub measured: String,
    /// What it is where nothing is said about it; none where every number is good.
    pub good: Option<String>,
}

/// All that could be measured.
pub fn camera_numbers(document: &InspectDocument) -> Vec<CameraNumber> {
    let camera = &document.camera;
    let number = |name, measured: String, good: String| CameraNumber {
        name,
        measured,
        good: Some(good),
    };
    let part = |name, part: &PartJson, group: &str| CameraNumber {
        name,
        measured: match part.boxes.len() {
            0 => "none".to_owned(),
            count => format!(
                "{} % of the picture{}",
                part.percent,
                groups_words(count, group)
            ),
        },
        good: None,
    };
    let channels = |[r, g, b]: [f64; 3]| format!("{r}, {g}, {b} codes in red, green, blue");
    let percent = |percent: f64| format!("{percent} % of white");
    let px = |px: f64| format!("{px} px");
    let rows = [
        Some(part("Writing", &camera.writing, "group")),
        Some(part("Presenter", &camera.presenter, "")),
        camera.backdrop.map(|luma| {
            let good = format!("at most {}", percent(RAISED_PERCENT));
            number("Backdrop", percent(luma), good)
        }),
        camera.unevenness.map(|luma| {
            let good = format!("at most {}", percent(UNEVEN_PERCENT));
            number("Its brightest part over its darkest", percent(luma), good)
        }),
        camera.noise.map(|codes| {
            let good = format!("under {NOISE_CODES} codes");
            number("Noise", channels(codes), good)
        }),
        camera.writing_edge.map(|width| {
            let good = format!("under {}", px(WRITING_WARN_PX));
            number("Edges of the writing", px(width), good)
        }),
        camera.presenter_edge.map(|width| {
            let good = format!("under {}", px(PRESENTER_WARN_PX));
            number("The presenter's sharpest edges", px(width), good)
        }),
        camera.melted_outline.map(|share| {
            let good = format!("at most {MELTED_PERCENT} %");
            number(
                "Outline that melts into the backdrop",
                format!("{share} %"),
                good,
            )
        }),
    ];
    rows.into_iter().flatten().collect()
}

/// How many groups there are, where that says something.
fn groups_words(count: usize, group: &str) -> String {
    if group.is_empty() {
        String::new()
    } else {
        format!(" in {}", count_words(count, group))
    }
}
