//! Findings in words that terminal and page share: where, what was measured, under which key.

use super::check_document::{ChainJson, CheckDocument, KeyJson};
use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::told_apart::told_apart;
use crate::pixel::settings::{Key, Size};

/// Share of a side from which a box is more than a part of it. Source: chosen.
const MOST_OF_A_SIDE: f64 = 0.75;

impl Severity {
    /// The word for it: `info`, `warn` or `fail`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Info => "info",
            Self::Warn => "warn",
            Self::Fail => "fail",
        }
    }
}

/// What a kind means: the same few words in the window and on the page.
pub fn kind_words(kind: Kind) -> &'static str {
    match kind {
        Kind::NotDark => "Bright background",
        Kind::Haze => "Background shows as haze",
        Kind::ChainBlack => "Black is not dropped",
        Kind::Hole => "Hole in what is solid",
        Kind::KeyedOut => "Content disappears",
        Kind::HalfKeyed => "Content goes half transparent",
        Kind::DarkEdge => "Dark edge",
        Kind::Hairline => "Lines too thin",
        Kind::SmallText => "Text too small",
        Kind::OutsideSafe => "Outside the safe area",
        Kind::Contrast => "Hard to see over the camera",
        Kind::CoversWriting => "Covers writing",
        Kind::CloseToWriting => "Close to writing",
        Kind::CoversPresenter => "Covers the presenter",
        Kind::Zone => "Not where it is meant to be",
    }
}

/// Where a box is, by the ninth of the picture that its middle lies in, such as `top left`.
pub fn place_words(bounds: Option<PixelBox>, output: Size) -> String {
    let Some(bounds) = bounds else {
        return "whole picture".to_owned();
    };
    let share = |px: u32, side: u32| f64::from(px) / f64::from(side);
    let is_wide = share(bounds.width, output.width()) >= MOST_OF_A_SIDE;
    let is_tall = share(bounds.height, output.height()) >= MOST_OF_A_SIDE;
    if is_wide && is_tall {
        return "most of the picture".to_owned();
    }
    let third = |start: u32, length: u32, side: u32, names: [&'static str; 3]| {
        let middle = f64::from(start) + f64::from(length) / 2.0;
        match 3.0 * middle / f64::from(side) {
            m if m < 1.0 => names[0],
            m if m < 2.0 => names[1],
            _ => names[2],
        }
    };
    let across = third(
        bounds.x,
        bounds.width,
        output.width(),
        ["left", "", "right"],
    );
    let down = third(
        bounds.y,
        bounds.height,
        output.height(),
        ["top", "", "bottom"],
    );
    let parts = [
        if is_tall { "" } else { down },
        if is_wide { "" } else { across },
    ];
    let named: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    if named.is_empty() {
        "middle".to_owned()
    } else {
        named.join(" ")
    }
}

/// A box in numbers, such as `600x80 px at 100,900`; empty for the whole picture.
pub fn box_words(bounds: Option<PixelBox>) -> Option<String> {
    let PixelBox {
        x,
        y,
        width,
        height,
    } = bounds?;
    Some(format!("{width}x{height} px at {x},{y}"))
}

/// What was measured against its limit, such as `added luma 5.1 %, limit 3 %`.
pub fn measured_words(finding: &Finding) -> String {
    let quantity = quantity(finding);
    let [measured, limit] =
        told_apart(finding.measured, finding.limit, 2).map(|n| with_unit(n, finding.unit));
    format!("{quantity} {measured}, limit {limit}")
}

/// What was measured.
fn quantity(finding: &Finding) -> &'static str {
    match (finding.kind, finding.unit) {
        (Kind::NotDark, _) => "background luma",
        (Kind::Haze, _) => "added luma",
        (Kind::ChainBlack, _) => "black comes up to",
        (Kind::Contrast, _) => "contrast",
        (Kind::CoversWriting | Kind::CoversPresenter, _) => "covered",
        (Kind::CloseToWriting, _) => "distance",
        (Kind::Zone, _) => "share",
        (_, Unit::Ratio) => "contrast on the slide",
        (Kind::DarkEdge, Unit::Codes) => "darker by",
        (Kind::DarkEdge, _) => "width",
        (Kind::Hairline, _) => "stroke width",
        (Kind::SmallText, _) => "character height",
        (Kind::Hole, _) => "luma in it",
        // Over presenter or writing it is the share of the place that counts.
        (Kind::KeyedOut | Kind::HalfKeyed, _) => "over what is lit",
        // A reserved guide may not be covered at all; from an edge, content keeps a distance.
        (Kind::OutsideSafe, _) if finding.limit <= 0.0 => "share of the picture",
        (Kind::OutsideSafe, _) => "distance to the edge",
    }
}

/// A number with its unit.
pub(super) fn with_unit(number: String, unit: Unit) -> String {
    match unit {
        Unit::Percent => format!("{number} %"),
        Unit::Px => format!("{number} px"),
        Unit::Ratio => format!("{number}:1"),
        Unit::Codes => format!("{number} of 255"),
        Unit::None => number,
    }
}

/// Words that begin a sentence.
pub fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// A number of things, such as `1 slide` or `3 slides`.
pub fn count_words(count: usize, thing: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{ending}")
}

/// The key, such as `threshold 6 %, softness 4 %`; the rest of it where it is not as everywhere, such as `ramp smooth`.
pub fn key_words(key: &KeyJson) -> String {
    let KeyJson {
        threshold,
        softness,
        ramp,
        luma,
        alpha,
        blend_space,
    } = key;
    let usual = KeyJson::from(Key::default());
    let unusual = [
        (*ramp != usual.ramp).then(|| format!("ramp {}", word(ramp))),
        (*luma != usual.luma).then(|| format!("luma weights {}", word(luma))),
        (*alpha != usual.alpha).then(|| format!("alpha {}", word(alpha))),
        (*blend_space != usual.blend_space)
            .then(|| format!("blended in {} values", word(blend_space))),
    ];
    let mut words = format!("threshold {threshold} %, softness {softness} %");
    for part in unusual.into_iter().flatten() {
        words.push_str(&format!(", {part}"));
    }
    words
}

/// The chain, such as `gain 0.86, offset 6.3 %, noise 0.2 %`.
pub fn chain_words(chain: &ChainJson) -> String {
    let ChainJson {
        gain,
        offset,
        noise,
    } = chain;
    format!("gain {gain}, offset {offset} %, noise {noise} %")
}

/// Which cameras: `over camera.jpg`, or over black.
pub fn camera_words(document: &CheckDocument) -> String {
    if document.cameras.is_empty() {
        "over black, no camera".to_owned()
    } else {
        format!("over {}", document.cameras.join(", "))
    }
}

/// The word that a flag takes for a value.
fn word(value: &impl clap::ValueEnum) -> String {
    let value = value.to_possible_value();
    value.map_or_else(String::new, |value| value.get_name().to_owned())
}
