//! The keys of a setup file: one table that reading, writing and error messages share.

use std::path::PathBuf;

use clap::ValueEnum;
use toml_edit::{Item, Value};

use super::setup_field_error::FieldError;
use super::setup_file::Setup;
use super::setup_section::Section;
use super::setup_value::{array, as_number, number, text, word, word_of};
use crate::measure::limits::{LIMITS, Limit};
use crate::pixel::chain::Chain;
use crate::pixel::guides::Guide;
use crate::pixel::knobs::{KnobScale, Knobs};
use crate::pixel::settings::{SettingsError, SlidePlace, Turn};

/// What a new file begins with.
pub(super) const HEAD: &str = "# nightglass setup. Percentages are of white or of the output; paths are relative to this file.\n\n";

/// A key of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Field {
    Camera,
    Like,
    Slides,
    Pages,
    View,
    Guides,
    Engine,
    Threshold,
    Softness,
    Ramp,
    Luma,
    Alpha,
    BlendSpace,
    Size,
    CameraFit,
    SlideFit,
    SlidePlace,
    TurnCamera,
    MirrorCamera,
    MirrorSlide,
    CameraRange,
    SlideRange,
    Gain,
    Offset,
    Noise,
    ThresholdZero,
    ThresholdStep,
    SoftnessZero,
    SoftnessStep,
    Limit(Limit),
    Reserved,
    MirrorMonitor,
}

/// A key with its section, its meaning and what to write where it is not set.
#[derive(Clone, Copy)]
pub(super) struct FieldSpec {
    pub(super) field: Field,
    pub(super) section: Section,
    pub(super) key: &'static str,
    pub(super) meaning: &'static str,
    pub(super) example: &'static str,
}

const fn spec(
    field: Field,
    section: Section,
    key: &'static str,
    meaning: &'static str,
    example: &'static str,
) -> FieldSpec {
    FieldSpec {
        field,
        section,
        key,
        meaning,
        example,
    }
}

/// Every key, section by section in the order in which a new file has them.
pub(super) fn fields() -> impl Iterator<Item = FieldSpec> {
    let limits = LIMITS.iter().map(|row| {
        let field = Field::Limit(row.limit);
        spec(field, Section::Limits, row.key, row.meaning, "")
    });
    FIELDS.into_iter().chain(limits)
}

/// The keys that are no limits.
#[rustfmt::skip]
const FIELDS: [FieldSpec; 31] = [
    spec(Field::Camera, Section::Top, "camera", "The camera frame.", "\"board.png\""),
    spec(Field::Like, Section::Top, "like", "A camera frame of the last good setup, which the camera is compared with.", "\"last_good.png\""),
    spec(Field::Slides, Section::Top, "slides", "Slides and folders of slides, in order.", "[\"slides\"]"),
    spec(Field::Pages, Section::Top, "pages", "Pages of a PDF or a file of a slide program that are slides; all where it is not set.", "\"3-7,9\""),
    spec(Field::View, Section::Top, "view", "composite, matte, camera, slide, kept or exposure.", ""),
    spec(Field::Guides, Section::Top, "guides", "Any of action-safe, graphics-safe, title-legacy, captions, thirds, centre, grid.", ""),
    spec(Field::Engine, Section::Top, "engine", "auto, gpu or cpu.", ""),
    spec(Field::Threshold, Section::Key, "threshold", "Luma at and below which the slide is dropped, 0 to 100 percent of white.", ""),
    spec(Field::Softness, Section::Key, "softness", "Width of the ramp above it; 0 is a hard step, else 0.01 to 100 percent of white.", ""),
    spec(Field::Ramp, Section::Key, "ramp", "linear or smooth.", ""),
    spec(Field::Luma, Section::Key, "luma", "What red, green and blue weigh in luma: bt709, bt601 or bt2020.", ""),
    spec(Field::Alpha, Section::Key, "alpha", "How the slide's colour enters: straight or premultiplied.", ""),
    spec(Field::BlendSpace, Section::Key, "blend_space", "Where the blend is computed: encoded, as mixers do, or linear.", ""),
    spec(Field::Size, Section::Placement, "size", "The output in pixels; the camera's own size where it is not set.", "\"1920x1080\""),
    spec(Field::CameraFit, Section::Placement, "camera_fit", "fill, fit or stretch.", ""),
    spec(Field::SlideFit, Section::Placement, "slide_fit", "fill, fit or stretch.", ""),
    spec(Field::SlidePlace, Section::Placement, "slide_place", "Where the slide lies: x, y, width, height in percent of the output.", ""),
    spec(Field::TurnCamera, Section::Placement, "turn_camera", "Degrees clockwise, before mirroring: 0, 90, 180 or 270.", ""),
    spec(Field::MirrorCamera, Section::Placement, "mirror_camera", "Left-right flip of the camera.", ""),
    spec(Field::MirrorSlide, Section::Placement, "mirror_slide", "Left-right flip of the slide.", ""),
    spec(Field::CameraRange, Section::Placement, "camera_range", "Which values are black and white: full (0 to 255) or video (16 to 235).", ""),
    spec(Field::SlideRange, Section::Placement, "slide_range", "The same for the slide.", ""),
    spec(Field::Gain, Section::Chain, "gain", "Factor that the video chain puts on the slide signal.", "1.0"),
    spec(Field::Offset, Section::Chain, "offset", "What it adds, percent of white.", "0.0"),
    spec(Field::Noise, Section::Chain, "noise", "Its noise, standard deviation in percent of white; for measuring only.", "0.0"),
    spec(Field::ThresholdZero, Section::Knobs, "threshold_zero", "Threshold that the mixer's knob value 0 stands for, percent of white.", "0.0"),
    spec(Field::ThresholdStep, Section::Knobs, "threshold_step", "What one step of that knob adds, percent of white.", "1.0"),
    spec(Field::SoftnessZero, Section::Knobs, "softness_zero", "The same for softness.", "0.0"),
    spec(Field::SoftnessStep, Section::Knobs, "softness_step", "The same for softness.", "1.0"),
    spec(Field::Reserved, Section::Limits, "reserved", "Guides whose areas slides keep out of, such as captions.", ""),
    spec(Field::MirrorMonitor, Section::Window, "mirror_monitor", "Left-right flip of the presenter's monitor alone; never in a file.", ""),
];

impl Field {
    /// The key's name.
    fn key(self) -> &'static str {
        fields()
            .find(|spec| spec.field == self)
            .map_or("", |spec| spec.key)
    }

    /// Whether it takes one number that may have decimals.
    pub(super) fn is_number(self) -> bool {
        matches!(
            self,
            Self::Threshold
                | Self::Softness
                | Self::Gain
                | Self::Offset
                | Self::Noise
                | Self::ThresholdZero
                | Self::ThresholdStep
                | Self::SoftnessZero
                | Self::SoftnessStep
                | Self::Limit(_)
        )
    }

    /// The value that the setup has; nothing where it is not set.
    pub(super) fn value_in(self, setup: &Setup) -> Option<Value> {
        let (key, placement) = (&setup.settings.key, &setup.settings.placement);
        let chain = setup.settings.chain;
        Some(match self {
            Self::Camera => text(setup.camera.as_ref()?.to_string_lossy()),
            Self::Like => text(setup.like.as_ref()?.to_string_lossy()),
            Self::Slides if setup.slides.is_empty() => return None,
            Self::Slides => array(
                setup
                    .slides
                    .iter()
                    .map(|slide| text(slide.to_string_lossy())),
            ),
            Self::Pages => text(setup.pages.as_ref()?.to_string()),
            Self::View => word(&setup.settings.view),
            Self::Guides => array(setup.guides.iter().map(word)),
            Self::Engine => word(&setup.engine),
            Self::Threshold => number(key.threshold_percent()),
            Self::Softness => number(key.softness_percent()),
            Self::Ramp => word(&key.ramp),
            Self::Luma => word(&key.luma),
            Self::Alpha => word(&key.alpha),
            Self::BlendSpace => word(&key.blend_space),
            Self::Size => text(placement.size?.to_string()),
            Self::CameraFit => word(&placement.camera_fit),
            Self::SlideFit => word(&placement.slide_fit),
            Self::SlidePlace => array(placement.slide_place.percent().into_iter().map(number)),
            Self::TurnCamera => Value::from(i64::from(placement.turn_camera.degrees())),
            Self::MirrorCamera => Value::from(placement.mirror_camera),
            Self::MirrorSlide => Value::from(placement.mirror_slide),
            Self::CameraRange => word(&placement.camera_range),
            Self::SlideRange => word(&placement.slide_range),
            Self::Gain => number(chain?.gain()),
            Self::Offset => number(chain?.offset_percent()),
            Self::Noise => number(chain?.noise_percent()),
            Self::ThresholdZero => number(setup.knobs?.threshold?.zero_percent()),
            Self::ThresholdStep => number(setup.knobs?.threshold?.per_step_percent()),
            Self::SoftnessZero => number(setup.knobs?.softness?.zero_percent()),
            Self::SoftnessStep => number(setup.knobs?.softness?.per_step_percent()),
            Self::Limit(limit) => number(setup.limits.get(limit)),
            Self::Reserved => array(setup.reserved.iter().map(word)),
            Self::MirrorMonitor => Value::from(setup.mirror_monitor),
        })
    }

    /// Puts a value of the file into the setup.
    pub(super) fn apply(self, item: &Item, setup: &mut Setup) -> Result<(), FieldError> {
        let settings = &mut setup.settings;
        let placement = &mut settings.placement;
        match self {
            Self::Camera => setup.camera = Some(self.path(self.read_text(item)?)?),
            Self::Like => setup.like = Some(self.path(self.read_text(item)?)?),
            Self::Slides => {
                let paths = self.read_texts(item)?.into_iter();
                setup.slides = paths
                    .map(|path| self.path(path))
                    .collect::<Result<_, _>>()?;
            }
            Self::Pages => setup.pages = Some(self.read_text(item)?.parse()?),
            Self::View => settings.view = self.read_word(item)?,
            Self::Guides => setup.guides = self.read_words(item)?,
            Self::Engine => setup.engine = self.read_word(item)?,
            Self::Threshold => {
                settings.key = settings.key.with_threshold(self.read_number(item)?)?;
            }
            Self::Softness => settings.key = settings.key.with_softness(self.read_number(item)?)?,
            Self::Ramp => settings.key.ramp = self.read_word(item)?,
            Self::Luma => settings.key.luma = self.read_word(item)?,
            Self::Alpha => settings.key.alpha = self.read_word(item)?,
            Self::BlendSpace => settings.key.blend_space = self.read_word(item)?,
            Self::Size => placement.size = Some(self.read_text(item)?.parse()?),
            Self::CameraFit => placement.camera_fit = self.read_word(item)?,
            Self::SlideFit => placement.slide_fit = self.read_word(item)?,
            Self::SlidePlace => placement.slide_place = SlidePlace::new(self.read_numbers(item)?)?,
            Self::TurnCamera => placement.turn_camera = self.read_turn(item)?,
            Self::MirrorCamera => placement.mirror_camera = self.read_switch(item)?,
            Self::MirrorSlide => placement.mirror_slide = self.read_switch(item)?,
            Self::CameraRange => placement.camera_range = self.read_word(item)?,
            Self::SlideRange => placement.slide_range = self.read_word(item)?,
            Self::Gain => {
                let (_, offset, noise) = chain_or_none(settings.chain);
                settings.chain = Some(Chain::new(self.read_number(item)?, offset, noise)?);
            }
            Self::Offset => {
                let (gain, _, noise) = chain_or_none(settings.chain);
                settings.chain = Some(Chain::new(gain, self.read_number(item)?, noise)?);
            }
            Self::Noise => {
                let (gain, offset, _) = chain_or_none(settings.chain);
                settings.chain = Some(Chain::new(gain, offset, self.read_number(item)?)?);
            }
            Self::ThresholdZero | Self::ThresholdStep | Self::SoftnessZero | Self::SoftnessStep => {
                setup.knobs = Some(self.knobs_with(setup.knobs, self.read_number(item)?)?);
            }
            Self::Limit(limit) => setup.limits.set(limit, self.read_number(item)?)?,
            Self::Reserved => setup.reserved = self.read_words::<Guide>(item)?,
            Self::MirrorMonitor => setup.mirror_monitor = self.read_switch(item)?,
        }
        Ok(())
    }

    /// Knob scales with a number of one of them replaced; its zero, and one step a percent, where that was not set.
    fn knobs_with(self, knobs: Option<Knobs>, number: f64) -> Result<Knobs, SettingsError> {
        let mut knobs = knobs.unwrap_or_default();
        let scale = match self {
            Self::ThresholdZero | Self::ThresholdStep => &mut knobs.threshold,
            _ => &mut knobs.softness,
        };
        let (zero, per_step) = scale.map_or((0.0, 1.0), |scale| {
            (scale.zero_percent(), scale.per_step_percent())
        });
        *scale = Some(match self {
            Self::ThresholdZero | Self::SoftnessZero => KnobScale::new(number, per_step)?,
            _ => KnobScale::new(zero, number)?,
        });
        Ok(knobs)
    }

    fn expected(self, expected: impl Into<String>, got: &str) -> FieldError {
        FieldError::Kind {
            key: self.key(),
            expected: expected.into(),
            got: got.to_owned(),
        }
    }

    fn read_text(self, item: &Item) -> Result<String, FieldError> {
        let text = item.as_str().map(str::to_owned);
        text.ok_or_else(|| self.expected("a text in quotes", item.to_string().trim()))
    }

    /// A path: a backslash in double quotes can make a line break or a tab of it.
    fn path(self, path: String) -> Result<PathBuf, FieldError> {
        if path.chars().any(char::is_control) {
            return Err(FieldError::Path { key: self.key() });
        }
        Ok(PathBuf::from(path))
    }

    fn read_texts(self, item: &Item) -> Result<Vec<String>, FieldError> {
        let texts = item.as_array().and_then(|array| {
            array
                .iter()
                .map(|value| value.as_str().map(str::to_owned))
                .collect::<Option<Vec<_>>>()
        });
        texts.ok_or_else(|| self.expected("a list of texts in brackets", item.to_string().trim()))
    }

    fn read_number(self, item: &Item) -> Result<f64, FieldError> {
        let number = item.as_value().and_then(as_number);
        number.ok_or_else(|| self.expected("a number", item.to_string().trim()))
    }

    fn read_numbers(self, item: &Item) -> Result<[f64; 4], FieldError> {
        let numbers = item
            .as_array()
            .and_then(|array| array.iter().map(as_number).collect::<Option<Vec<f64>>>())
            .and_then(|numbers| <[f64; 4]>::try_from(numbers).ok());
        numbers.ok_or_else(|| self.expected("four numbers in brackets", item.to_string().trim()))
    }

    fn read_switch(self, item: &Item) -> Result<bool, FieldError> {
        item.as_bool()
            .ok_or_else(|| self.expected("true or false", item.to_string().trim()))
    }

    fn read_turn(self, item: &Item) -> Result<Turn, FieldError> {
        let degrees = item.as_integer();
        let turn = Turn::ALL
            .into_iter()
            .find(|turn| Some(i64::from(turn.degrees())) == degrees);
        turn.ok_or_else(|| self.expected("0, 90, 180 or 270", item.to_string().trim()))
    }

    fn read_word<T: ValueEnum>(self, item: &Item) -> Result<T, FieldError> {
        self.parse_word(&self.read_text(item)?)
    }

    fn read_words<T: ValueEnum>(self, item: &Item) -> Result<Vec<T>, FieldError> {
        let words = self.read_texts(item)?;
        words.iter().map(|word| self.parse_word(word)).collect()
    }

    fn parse_word<T: ValueEnum>(self, word: &str) -> Result<T, FieldError> {
        T::from_str(word, false).map_err(|_unknown| {
            let words: Vec<String> = T::value_variants().iter().map(word_of).collect();
            self.expected(
                format!("one of {}", words.join(", ")),
                &format!("\"{word}\""),
            )
        })
    }
}

/// Gain, offset and noise; a chain that does nothing where none is set.
fn chain_or_none(chain: Option<Chain>) -> (f64, f64, f64) {
    chain.map_or((1.0, 0.0, 0.0), |c| {
        (c.gain(), c.offset_percent(), c.noise_percent())
    })
}
