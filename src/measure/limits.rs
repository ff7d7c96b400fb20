//! Where findings begin: one table that the checks, the setup file and the manual share.

use thiserror::Error;

/// A limit outside what makes sense.
#[derive(Clone, Debug, Error, PartialEq)]
#[error("`{key}` must be between {least} and {most} {unit}, got {got}")]
pub struct LimitError {
    key: &'static str,
    least: f64,
    most: f64,
    unit: &'static str,
    got: f64,
}

/// A limit with its key, its meaning and its range.
#[derive(Clone, Copy, Debug)]
pub struct LimitSpec {
    /// The limit.
    pub limit: Limit,
    /// Its key in the setup file.
    pub key: &'static str,
    /// What it does, in one sentence.
    pub meaning: &'static str,
    /// What it is counted in: `percent`, `px`, `ratio` or `codes`.
    pub unit: &'static str,
    /// The value where the setup says nothing.
    pub default: f64,
    /// The smallest value.
    pub least: f64,
    /// The largest value.
    pub most: f64,
}

/// One of the limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// Background luma over which a slide is `not-dark`, percent of white.
    NotDark,
    /// Added luma from which `haze` warns, percent of white.
    HazeWarn,
    /// Added luma from which `haze` fails, percent of white.
    HazeFail,
    /// Contrast on the slide from which content lost by the key warns, ratio.
    LossWarn,
    /// Contrast on the slide from which content lost by the key fails, ratio.
    LossFail,
    /// Inscribed radius of a flat solid from which a patch in it is a `hole`, percent of the output's height.
    HoleRadius,
    /// Width from which a `dark-edge` counts, px.
    DarkEdgeWidth,
    /// Depth from which a `dark-edge` counts, 8-bit codes.
    DarkEdgeDepth,
    /// Width under which a stroke is a `hairline`, px.
    Hairline,
    /// Character height under which `small-text` warns, percent of the output's height.
    TextWarn,
    /// Character height under which `small-text` fails, percent of the output's height.
    TextFail,
    /// Contrast in the composite under which text warns, ratio.
    ContrastText,
    /// Contrast in the composite under which graphics warn, ratio.
    ContrastGraphics,
    /// Share of a piece that may be under the contrast, percent of its area.
    ContrastShare,
    /// Share of a written line from which `covers-writing` warns, percent.
    WritingWarn,
    /// Share of a written line from which `covers-writing` fails, percent.
    WritingFail,
    /// Distance to a written line under which `close-to-writing` warns, percent of the output's height; 0 is off.
    WritingClearance,
    /// Share of the presenter from which `covers-presenter` warns, percent.
    PresenterWarn,
    /// Share of the presenter's head from which `covers-presenter` fails, percent.
    HeadFail,
}

const fn spec(
    limit: Limit,
    key: &'static str,
    default: f64,
    unit: &'static str,
    least: f64,
    most: f64,
    meaning: &'static str,
) -> LimitSpec {
    LimitSpec {
        limit,
        key,
        meaning,
        unit,
        default,
        least,
        most,
    }
}

/// Every limit, in the order in which a new setup file has them.
///
/// Sources: contrast 4.5 and 3, WCAG 2.2 success criteria 1.4.3 and 1.4.11. Character heights, the
/// element heights of AVIXA V202.01:2016 (DISCAS) for viewers at 6 and 4 picture heights. Hairlines of
/// one pixel flicker on interlaced and scaled video: common practice, no source. The others are
/// chosen: light added over a black backdrop is seen from about one percent of white on.
#[rustfmt::skip]
pub const LIMITS: [LimitSpec; 19] = [
    spec(Limit::NotDark, "not_dark", 25.0, "percent", 0.0, 100.0, "Background luma over which a slide is not made for a key."),
    spec(Limit::HazeWarn, "haze_warn", 1.0, "percent", 0.01, 100.0, "Luma that a background may add over the camera without a warning."),
    spec(Limit::HazeFail, "haze_fail", 3.0, "percent", 0.01, 100.0, "Luma that a background may add before the slide fails."),
    spec(Limit::LossWarn, "loss_warn", 1.1, "ratio", 1.0, 21.0, "Contrast on the slide from which content lost by the key is worth a warning."),
    spec(Limit::LossFail, "loss_fail", 1.3, "ratio", 1.0, 21.0, "Contrast on the slide from which content lost by the key fails."),
    spec(Limit::HoleRadius, "hole_radius", 2.0, "percent", 0.1, 100.0, "Inscribed radius of a solid, of the output's height, from which a patch dropped inside it is a hole."),
    spec(Limit::DarkEdgeWidth, "dark_edge_width", 1.5, "px", 0.0, 100.0, "Width of a dark band from which it counts."),
    spec(Limit::DarkEdgeDepth, "dark_edge_depth", 8.0, "steps", 0.0, 255.0, "How much darker than both sides a band must be to count, of 255 steps from black to white."),
    spec(Limit::Hairline, "hairline", 2.0, "px", 0.0, 100.0, "Width under which a stroke is too thin for video."),
    spec(Limit::TextWarn, "text_warn", 3.0, "percent", 0.0, 100.0, "Height of the tallest characters of a line, of the output's height, under which a line warns."),
    spec(Limit::TextFail, "text_fail", 2.0, "percent", 0.0, 100.0, "The same under which it fails."),
    spec(Limit::ContrastText, "contrast_text", 4.5, "ratio", 1.0, 21.0, "Contrast that text needs against what is behind it."),
    spec(Limit::ContrastGraphics, "contrast_graphics", 3.0, "ratio", 1.0, 21.0, "Contrast that graphics need against what is behind them."),
    spec(Limit::ContrastShare, "contrast_share", 10.0, "percent", 0.0, 100.0, "Share of a piece that may be under its contrast."),
    spec(Limit::WritingWarn, "writing_warn", 5.0, "percent", 0.0, 100.0, "Share of a written line that a slide may cover without a warning."),
    spec(Limit::WritingFail, "writing_fail", 20.0, "percent", 0.0, 100.0, "Share of a written line that a slide may cover before it fails."),
    spec(Limit::WritingClearance, "writing_clearance", 0.0, "percent", 0.0, 100.0, "Distance, of the output's height, that a slide keeps from written lines; 0 asks for none."),
    spec(Limit::PresenterWarn, "presenter_warn", 2.0, "percent", 0.0, 100.0, "Share of the presenter that a slide may cover without a warning."),
    spec(Limit::HeadFail, "head_fail", 2.0, "percent", 0.0, 100.0, "Share of the presenter's head that a slide may cover before it fails."),
];

/// A limit from which something warns, and the one from which it fails.
#[derive(Clone, Copy, Debug)]
pub struct LimitOrder {
    warns: Limit,
    fails: Limit,
    /// Whether less is worse.
    is_falling: bool,
}

/// All pairs of them.
pub const LIMIT_ORDERS: [LimitOrder; 4] = [
    order(Limit::HazeWarn, Limit::HazeFail, false),
    order(Limit::LossWarn, Limit::LossFail, false),
    order(Limit::TextWarn, Limit::TextFail, true),
    order(Limit::WritingWarn, Limit::WritingFail, false),
];

const fn order(warns: Limit, fails: Limit, is_falling: bool) -> LimitOrder {
    LimitOrder {
        warns,
        fails,
        is_falling,
    }
}

impl LimitOrder {
    /// The keys of both in the setup file, that of the warning first.
    pub fn keys(self) -> [&'static str; 2] {
        [self.warns, self.fails].map(|limit| limit.spec().key)
    }
}

/// A warning beyond its failure.
#[derive(Clone, Debug, Error, PartialEq)]
#[error("`{warns}` must be {side} `{fails}`, got {got} and {beside}")]
pub struct LimitOrderError {
    warns: &'static str,
    fails: &'static str,
    side: &'static str,
    got: f64,
    beside: f64,
}

impl Limit {
    /// Its row of the table.
    pub fn spec(self) -> &'static LimitSpec {
        &LIMITS[self as usize]
    }
}

/// Where findings begin, as set.
#[derive(Clone, Debug, PartialEq)]
pub struct Limits([f64; LIMITS.len()]);

impl Default for Limits {
    fn default() -> Self {
        Self(LIMITS.map(|spec| spec.default))
    }
}

impl Limits {
    /// What is wrong with the order of two limits; none where the warning comes first or with the failure.
    pub fn out_of(&self, order: LimitOrder) -> Option<LimitOrderError> {
        let LimitOrder {
            warns,
            fails,
            is_falling,
        } = order;
        let (got, beside) = (self.get(warns), self.get(fails));
        let is_beyond = if is_falling {
            got < beside
        } else {
            got > beside
        };
        let [warns, fails] = order.keys();
        is_beyond.then_some(LimitOrderError {
            warns,
            fails,
            side: if is_falling { "at least" } else { "at most" },
            got,
            beside,
        })
    }

    /// The value of a limit, in the unit of its row.
    pub fn get(&self, limit: Limit) -> f64 {
        self.0[limit as usize]
    }

    /// Sets a limit; [`LimitError`] where the value is outside the range of its row.
    pub fn set(&mut self, limit: Limit, got: f64) -> Result<(), LimitError> {
        let spec = limit.spec();
        if (spec.least..=spec.most).contains(&got) {
            self.0[limit as usize] = got;
            Ok(())
        } else {
            Err(LimitError {
                key: spec.key,
                least: spec.least,
                most: spec.most,
                unit: spec.unit,
                got,
            })
        }
    }
}
