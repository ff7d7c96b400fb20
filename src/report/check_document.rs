//! The result of a check as one document, and the schema of that document. Does not check anything.

use std::path::{Path, PathBuf};

use schemars::{JsonSchema, schema_for};
use serde::Serialize;

use super::words::count_words;
use crate::measure::finding::{Finding, Severity, Verdict};
use crate::measure::inspect::camera_verdict::Unanswered;
use crate::pixel::chain::Chain;
use crate::pixel::key::{Luma, Ramp};
use crate::pixel::settings::{Alpha, BlendSpace, Key, Size};

/// The key as every JSON document has it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct KeyJson {
    /// Luma at and below which the slide is dropped, percent of white.
    pub threshold: f64,
    /// Width of the ramp above the threshold, percent of white; 0 is a hard step.
    pub softness: f64,
    /// Shape of the matte between dropped and solid.
    pub ramp: Ramp,
    /// Weights that make luma from R'G'B'.
    pub luma: Luma,
    /// How the slide's colour enters.
    pub alpha: Alpha,
    /// Where the blend is computed.
    pub blend_space: BlendSpace,
}

impl From<Key> for KeyJson {
    fn from(key: Key) -> Self {
        Self {
            threshold: key.threshold_percent(),
            softness: key.softness_percent(),
            ramp: key.ramp,
            luma: key.luma,
            alpha: key.alpha,
            blend_space: key.blend_space,
        }
    }
}

/// The video chain as every JSON document has it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ChainJson {
    /// What the chain multiplies the slide signal by.
    pub gain: f64,
    /// What it adds then, percent of white.
    pub offset: f64,
    /// Its noise, one standard deviation, percent of white.
    pub noise: f64,
}

impl From<Chain> for ChainJson {
    fn from(chain: Chain) -> Self {
        Self {
            gain: chain.gain(),
            offset: chain.offset_percent(),
            noise: chain.noise_percent(),
        }
    }
}

/// How a slide did.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum SlideVerdict {
    /// Nothing, or only what is worth knowing.
    Pass,
    /// Nothing beside what was accepted, which stays quiet and is still there.
    Accepted,
    /// Something that viewers will notice.
    Warn,
    /// A camera frame could not be judged, and nothing fails for sure: no pass.
    Unclear,
    /// Something that spoils the take.
    Fail,
}

impl SlideVerdict {
    /// All of them, the best first.
    pub const ALL: [Self; 5] = [
        Self::Pass,
        Self::Accepted,
        Self::Warn,
        Self::Unclear,
        Self::Fail,
    ];

    /// The verdict on these findings, where so many others were accepted.
    pub fn of(findings: &[Finding], accepted: usize) -> Self {
        match Verdict::of(findings) {
            Verdict::Pass if accepted > 0 => Self::Accepted,
            Verdict::Pass => Self::Pass,
            Verdict::Warn => Self::Warn,
            Verdict::Fail => Self::Fail,
        }
    }

    /// The same where a camera frame could not be judged: what fails fails, and nothing else is sure.
    #[must_use]
    pub fn over_unanswered(self) -> Self {
        self.max(Self::Unclear)
    }

    /// The word for it: `pass`, `accepted`, `warn`, `unclear` or `fail`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Accepted => "accepted",
            Self::Unclear => "unclear",
            Self::Pass | Self::Warn | Self::Fail => self.care().name(),
        }
    }

    /// How much care it asks for: what was accepted asks for none, what is unclear is to be looked at, like a warning.
    pub fn care(self) -> Verdict {
        match self {
            Self::Pass | Self::Accepted => Verdict::Pass,
            Self::Warn | Self::Unclear => Verdict::Warn,
            Self::Fail => Verdict::Fail,
        }
    }
}

/// A slide and what was found on it.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CheckedSlide {
    /// The file.
    pub slide: String,
    /// The page, from 1; null where the file is one slide.
    pub page: Option<u32>,
    /// The worst that was found; `accepted` where nothing is left beside what was accepted, `unclear` where the
    /// document's `unanswered` is not empty and nothing fails.
    pub verdict: SlideVerdict,
    /// How many findings stay quiet because they were accepted.
    pub accepted: usize,
    /// What was found, by kind, then from top to bottom.
    pub findings: Vec<Finding>,
}

impl CheckedSlide {
    /// The slide as it is named in texts, such as `deck.pdf, page 3`.
    pub fn title(&self) -> String {
        match self.page {
            Some(page) => format!("{}, page {page}", self.slide),
            None => self.slide.clone(),
        }
    }

    /// How many findings have this severity.
    pub fn count(&self, severity: Severity) -> usize {
        let is_it = |finding: &&Finding| finding.severity == severity;
        self.findings.iter().filter(is_it).count()
    }
}

/// Something that was to be checked and could not be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct UnreadableSlide {
    /// The file; null where what was asked for gave no slide at all.
    pub slide: Option<String>,
    /// The page, from 1; null where the file is one slide.
    pub page: Option<u32>,
    /// Why, in words that name the file or folder.
    pub error: String,
}

/// A camera frame in which writing and presenter could not both be looked for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct UnansweredCamera {
    /// The camera frame, as in `cameras`.
    pub camera: String,
    /// Why.
    pub reason: Unanswered,
    /// The same in words that name the frame.
    pub words: String,
}

/// What `nightglass check --json` prints.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CheckDocument {
    /// The version of this document's form.
    #[schemars(extend("const" = 1))]
    pub schema: u32,
    /// Width and height of the output, px. Boxes are counted in it.
    pub output: [u32; 2],
    /// The key that the slides were checked under.
    pub key: KeyJson,
    /// What the video chain does to the slides; null where none is set.
    pub chain: Option<ChainJson>,
    /// The setup file in force, which accepted findings stand in; null where there is none.
    pub setup: Option<String>,
    /// The camera frames that the slides were checked over; empty for black.
    pub cameras: Vec<String>,
    /// Which of them cannot tell what slides cover; empty where all can.
    pub unanswered: Vec<UnansweredCamera>,
    /// The slides in order.
    pub slides: Vec<CheckedSlide>,
    /// What could not be read.
    pub unreadable: Vec<UnreadableSlide>,
}

impl CheckDocument {
    /// The version of the document's form.
    pub const SCHEMA: u32 = 1;

    /// The worst verdict; `pass` where there is no slide.
    pub fn verdict(&self) -> Verdict {
        let verdicts = self.slides.iter().map(|slide| slide.verdict.care());
        verdicts.max().unwrap_or(Verdict::Pass)
    }

    /// How many slides have this verdict.
    pub fn count(&self, verdict: SlideVerdict) -> usize {
        let is_it = |slide: &&CheckedSlide| slide.verdict == verdict;
        self.slides.iter().filter(is_it).count()
    }

    /// How many findings were accepted, on all slides.
    pub fn accepted(&self) -> usize {
        self.slides.iter().map(|slide| slide.accepted).sum()
    }

    /// How many findings were accepted and where they stand, such as `2 findings accepted in a.toml`; none
    /// where none were.
    pub fn accepted_words(&self) -> Option<String> {
        let count = self.accepted();
        let place = self.setup.as_ref().map(|path| format!(" in `{path}`"));
        let accepted = format!("{} accepted", count_words(count, "finding"));
        (count > 0).then(|| accepted + &place.unwrap_or_default())
    }

    /// The folder that all slides lie in; none where they share none, or lie in the current one.
    pub fn folder(&self) -> Option<PathBuf> {
        let mut parents = self.slides.iter().map(|one| Path::new(&one.slide).parent());
        let first = parents.next()??;
        let shared = parents.try_fold(first, |shared, parent| {
            let parent = parent?;
            shared.ancestors().find(|folder| parent.starts_with(folder))
        })?;
        let is_named = !shared.as_os_str().is_empty() && shared != Path::new(".");
        (is_named && shared.parent().is_some()).then(|| shared.to_owned())
    }

    /// A slide's file as it is named within that folder; one of the current folder without `./` before it.
    pub fn name_of(&self, slide: &CheckedSlide) -> String {
        let path = Path::new(&slide.slide);
        let folder = self.folder().unwrap_or_else(|| PathBuf::from("."));
        let name = path.strip_prefix(folder).unwrap_or(path);
        name.to_string_lossy().into_owned()
    }

    /// The output's size; high definition where the numbers are none.
    pub fn output_size(&self) -> Size {
        Size::new(self.output[0], self.output[1]).unwrap_or(Size::HD)
    }
}

/// The JSON Schema of [`CheckDocument`], draft 2020-12.
pub fn check_schema() -> serde_json::Value {
    let mut schema = schema_for!(CheckDocument);
    schema.insert("title".to_owned(), "nightglass check".into());
    schema.to_value()
}
