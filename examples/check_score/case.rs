//! A slide with what is known to be wrong on it.

use crate::sheet::{Code, Fault, Sheet};
use image::RgbImage;
use nightglass::measure::finding::{Kind, Severity};
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::pixel::guides::Guide;
use nightglass::pixel::settings::Key;

/// A fault that was planted.
#[derive(Clone, Debug)]
pub(crate) struct Planted {
    pub(crate) kind: Kind,
    /// Kinds that are as right, where the definition leaves it open.
    pub(crate) or_kinds: Vec<Kind>,
    /// Kinds that are as right in a file compressed with loss, which moves what lies at a limit over it.
    pub(crate) or_compressed: Vec<Kind>,
    /// The severities that are right; more than one only where the definition leaves it open.
    pub(crate) severities: Vec<Severity>,
    /// Where; none for the whole picture.
    pub(crate) place: Option<PixelBox>,
    /// The value to be measured and how far off it may be.
    pub(crate) value: Option<(f64, f64)>,
}

impl Planted {
    /// A fault of one severity at a place.
    pub(crate) fn new(kind: Kind, severity: Severity, place: PixelBox) -> Self {
        Self {
            kind,
            or_kinds: Vec::new(),
            or_compressed: Vec::new(),
            severities: vec![severity],
            place: Some(place),
            value: None,
        }
    }

    /// The same where these kinds are as right, in any of these severities.
    pub(crate) fn or(self, kinds: &[Kind], severities: &[Severity]) -> Self {
        Self {
            or_kinds: kinds.to_vec(),
            severities: severities.to_vec(),
            ..self
        }
    }

    /// The same with a value that must be measured within a tolerance.
    pub(crate) fn measuring(self, value: f64, tolerance: f64) -> Self {
        Self {
            value: Some((value, tolerance)),
            ..self
        }
    }
}

/// A finished slide.
#[derive(Clone, Debug)]
pub(crate) struct Slide {
    pub(crate) sheet: Sheet,
    pub(crate) camera: Option<RgbImage>,
    pub(crate) key: Key,
    pub(crate) reserved: Vec<Guide>,
    pub(crate) planted: Vec<Planted>,
    /// Kinds that are true beside what was planted, or a matter of reading: they count neither way.
    pub(crate) allowed: Vec<Kind>,
}

impl Slide {
    /// A slide on which nothing is wrong, under the default key and over no camera.
    pub(crate) fn clean(sheet: Sheet) -> Self {
        Self {
            sheet,
            camera: None,
            key: Key::default(),
            reserved: Vec::new(),
            planted: Vec::new(),
            allowed: Vec::new(),
        }
    }

    /// The same with a fault.
    pub(crate) fn with(mut self, planted: Planted) -> Self {
        self.planted.push(planted);
        self
    }

    /// The same with kinds that count neither way.
    pub(crate) fn allowing(mut self, kinds: &[Kind]) -> Self {
        self.allowed.extend_from_slice(kinds);
        self
    }

    /// The same over a camera. Things are laid over people and writing on purpose, so that it counts neither way that
    /// they cover them; `tests/headless/overlap.rs` judges that.
    pub(crate) fn over(mut self, camera: RgbImage) -> Self {
        self.camera = Some(camera);
        self.allowed.extend([
            Kind::CoversWriting,
            Kind::CloseToWriting,
            Kind::CoversPresenter,
        ]);
        self
    }

    /// The same under another key.
    pub(crate) fn under(mut self, key: Key) -> Self {
        self.key = key;
        self
    }
}

/// How a slide is made.
type Making = Box<dyn Fn() -> Result<Slide, Fault> + Send + Sync>;

/// A slide to be made, judged and dropped again.
pub(crate) struct Case {
    pub(crate) name: String,
    pub(crate) make: Making,
}

impl Case {
    /// A slide with a name and a way to make it.
    pub(crate) fn new(
        name: String,
        make: impl Fn() -> Result<Slide, Fault> + Send + Sync + 'static,
    ) -> Self {
        Self {
            name,
            make: Box::new(make),
        }
    }
}

/// Luma in percent. Source: ITU-R BT.709-6, Kr 0.2126 and Kb 0.0722.
pub(crate) fn luma_percent(code: Code) -> f64 {
    let [r, g, b] = code.map(f64::from);
    (0.2126 * r + 0.7152 * g + 0.0722 * b) / 2.55
}

/// Contrast of two colours, 1 to 21. Source: WCAG 2.2, "contrast ratio" and "relative luminance".
pub(crate) fn contrast(a: Code, b: Code) -> f64 {
    let luminance = |code: Code| {
        let [r, g, b] = code.map(|c| {
            let v = f64::from(c) / 255.0;
            if v <= 0.04045 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        });
        0.2126 * r + 0.7152 * g + 0.0722 * b
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// How bad it is to lose content of one colour on another; both grades near the limit between two.
pub(crate) fn losses(content: Code, around: Code) -> Vec<Severity> {
    let grade = |ratio: f64| match ratio {
        ratio if ratio >= 1.3 => Severity::Fail,
        ratio if ratio >= 1.1 => Severity::Warn,
        _ => Severity::Info,
    };
    let ratio = contrast(content, around);
    let mut grades = vec![grade(ratio * 0.985), grade(ratio * 1.015)];
    grades.dedup();
    grades
}
