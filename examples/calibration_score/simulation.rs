//! A chart on its way through a chain that is known: levels, scaling, crop, blur, noise, compression.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder, ImageFormat};
use nightglass::files::jpeg_grid::jpeg_grid;
use nightglass::measure::test_chart::chart::Chart;
use nightglass::measure::test_chart::chart_drawing::draw_chart;
use nightglass::measure::test_chart::jpeg_noise::JpegGrid;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::{Size, Turn};

/// What the chain does to the codes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Levels {
    /// `round(clamp(gain v + offset, 0, 255))`, as often as it says.
    Line {
        gain: f64,
        offset_codes: f64,
        times: u32,
    },
    /// Nothing but a floor.
    Floor { code: f64 },
}

impl Levels {
    pub(crate) const CORRECT: Self = Self::Line {
        gain: 1.0,
        offset_codes: 0.0,
        times: 1,
    };

    /// A full-range picture read as limited: `(v - 16) 255 / 219`. Source: CTA-861.
    pub(crate) const fn expanded(times: u32) -> Self {
        Self::Line {
            gain: 255.0 / 219.0,
            offset_codes: -16.0 * 255.0 / 219.0,
            times,
        }
    }

    /// A limited picture read as full: `16 + v 219 / 255`. Source: CTA-861.
    pub(crate) const fn compressed(times: u32) -> Self {
        Self::Line {
            gain: 219.0 / 255.0,
            offset_codes: 16.0,
            times,
        }
    }

    /// What a code becomes.
    pub(crate) fn apply(self, code: f64) -> f64 {
        match self {
            Self::Line {
                gain,
                offset_codes,
                times,
            } => (0..times).fold(code, |code, _| {
                (gain * code + offset_codes).clamp(0.0, 255.0).round()
            }),
            Self::Floor { code: floor } => code.max(floor),
        }
    }

    /// Gain and offset in codes of all of it.
    pub(crate) fn truth(self) -> (f64, f64) {
        match self {
            Self::Line {
                gain,
                offset_codes,
                times,
            } => (0..times).fold((1.0, 0.0), |(g, o), _| (gain * g, gain * o + offset_codes)),
            Self::Floor { .. } => (1.0, 0.0),
        }
    }
}

/// Everything that happens on the way.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Way {
    pub(crate) chart: Size,
    pub(crate) capture: Size,
    /// Chart pixels cut off left, top, right, bottom.
    pub(crate) crop_px: [f64; 4],
    pub(crate) turn: Turn,
    pub(crate) is_mirrored: bool,
    pub(crate) levels: Levels,
    /// Standard deviation of the blur, capture pixels.
    pub(crate) blur_px: f64,
    /// Standard deviation of the noise, codes.
    pub(crate) noise_codes: f64,
    /// Whether each channel has noise of its own.
    pub(crate) is_noise_coloured: bool,
    pub(crate) jpeg_quality: Option<u8>,
}

impl Way {
    /// Nothing happens.
    pub(crate) fn clean(chart: Size) -> Self {
        Self {
            chart,
            capture: chart,
            crop_px: [0.0; 4],
            turn: Turn::None,
            is_mirrored: false,
            levels: Levels::CORRECT,
            blur_px: 0.0,
            noise_codes: 0.0,
            is_noise_coloured: false,
            jpeg_quality: None,
        }
    }

    /// Standard deviation that luma has, codes.
    pub(crate) fn luma_noise_codes(&self) -> f64 {
        if self.is_noise_coloured {
            self.noise_codes * 0.2126_f64.hypot(0.7152).hypot(0.0722)
        } else {
            self.noise_codes
        }
    }
}

/// Repeatable random numbers: `SplitMix64`. Source: Steele, Lea and Flood, OOPSLA 2014.
#[derive(Clone, Debug)]
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 up to 1.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Normal, deviation 1: Box and Muller.
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.unit()).cos()
    }
}

/// A picture of code values with fractions.
#[derive(Clone)]
pub(crate) struct Planes {
    pub(crate) size: Size,
    pub(crate) codes: Vec<[f32; 3]>,
}

impl Planes {
    pub(crate) fn of(frame: &Frame) -> Self {
        let codes = (0..frame.size().area()).map(|index| {
            let [r, g, b, _] = frame.rgba_frac(index);
            [r, g, b].map(|v| v * 255.0)
        });
        Self {
            size: frame.size(),
            codes: codes.collect(),
        }
    }

    pub(crate) fn map(&mut self, change: impl Fn([f64; 3]) -> [f64; 3]) {
        for pixel in &mut self.codes {
            *pixel = change(pixel.map(f64::from)).map(|v| v as f32);
        }
    }

    fn at(&self, x: f64, y: f64) -> [f64; 3] {
        let (width, height) = (self.size.width() as usize, self.size.height() as usize);
        let (x, y) = (
            (x - 0.5).clamp(0.0, (width - 1) as f64),
            (y - 0.5).clamp(0.0, (height - 1) as f64),
        );
        let (x0, y0) = (x as usize, y as usize);
        let (x1, y1) = ((x0 + 1).min(width - 1), (y0 + 1).min(height - 1));
        let (fx, fy) = (x - x0 as f64, y - y0 as f64);
        std::array::from_fn(|c| {
            let v = |x: usize, y: usize| f64::from(self.codes[y * width + x][c]);
            (v(x0, y0) * (1.0 - fx) + v(x1, y0) * fx) * (1.0 - fy)
                + (v(x0, y1) * (1.0 - fx) + v(x1, y1) * fx) * fy
        })
    }

    /// Gauss, along rows and then along columns.
    fn blur(&mut self, deviation: f64) {
        if deviation < 0.05 {
            return;
        }
        let reach = (3.5 * deviation).ceil() as i64;
        let mut weights: Vec<f64> = (-reach..=reach)
            .map(|d| (-0.5 * (d as f64 / deviation).powi(2)).exp())
            .collect();
        let sum: f64 = weights.iter().sum();
        for weight in &mut weights {
            *weight /= sum;
        }
        let (width, height) = (i64::from(self.size.width()), i64::from(self.size.height()));
        for (dx, dy) in [(1, 0), (0, 1)] {
            let old = self.codes.clone();
            for y in 0..height {
                for x in 0..width {
                    let mut sum = [0.0; 3];
                    for (d, weight) in (-reach..=reach).zip(&weights) {
                        let (px, py) = (
                            (x + d * dx).clamp(0, width - 1),
                            (y + d * dy).clamp(0, height - 1),
                        );
                        for c in 0..3 {
                            sum[c] += weight * f64::from(old[(py * width + px) as usize][c]);
                        }
                    }
                    self.codes[(y * width + x) as usize] = sum.map(|v| v as f32);
                }
            }
        }
    }
}

/// The chart after its way, and the grid of the JPEG file if it became one.
pub(crate) fn capture(way: &Way, random: &mut Random) -> (Frame, Option<JpegGrid>) {
    let chart = draw_chart(Chart::new(way.chart).unwrap());
    let mut slide = Planes::of(&chart);
    slide.map(|rgb| rgb.map(|code| way.levels.apply(code)));
    record(&slide, way, random)
}

/// A slide signal as the recorder has it: all of the way but the levels.
pub(crate) fn record(slide: &Planes, way: &Way, random: &mut Random) -> (Frame, Option<JpegGrid>) {
    let (width, height) = (way.capture.width(), way.capture.height());
    let upright = if way.turn.swaps_sides() {
        way.capture.transposed()
    } else {
        way.capture
    };
    let (uw, uh) = (f64::from(upright.width()), f64::from(upright.height()));
    let [left, top, right, bottom] = way.crop_px;
    let (cw, ch) = (
        f64::from(way.chart.width()) - left - right,
        f64::from(way.chart.height()) - top - bottom,
    );
    // As many samples a pixel as the picture shrinks.
    let (nx, ny) = ((cw / uw).ceil().max(1.0), (ch / uh).ceil().max(1.0));
    let mut picture = Planes {
        size: way.capture,
        codes: Vec::with_capacity(way.capture.area()),
    };
    for y in 0..height {
        for x in 0..width {
            let mut sum = [0.0; 3];
            for sy in 0..ny as u32 {
                for sx in 0..nx as u32 {
                    let px = f64::from(x) + (f64::from(sx) + 0.5) / nx;
                    let py = f64::from(y) + (f64::from(sy) + 0.5) / ny;
                    let px = if way.is_mirrored {
                        f64::from(width) - px
                    } else {
                        px
                    };
                    let (ux, uy) = match way.turn {
                        Turn::None => (px, py),
                        Turn::Quarter => (py, uh - px),
                        Turn::Half => (uw - px, uh - py),
                        Turn::ThreeQuarters => (uw - py, px),
                    };
                    let value = slide.at(left + ux / uw * cw, top + uy / uh * ch);
                    (0..3).for_each(|c| sum[c] += value[c] / (nx * ny));
                }
            }
            picture.codes.push(sum.map(|v| v as f32));
        }
    }
    picture.blur(way.blur_px);
    if way.noise_codes > 0.0 {
        for pixel in &mut picture.codes {
            let common = random.normal();
            for value in pixel {
                let noise = if way.is_noise_coloured {
                    random.normal()
                } else {
                    common
                };
                *value += (noise * way.noise_codes) as f32;
            }
        }
    }
    let mut codes = picture.codes.iter();
    let frame = Frame::from_fn(way.capture, |_, _| {
        let next = codes.next().copied().unwrap_or_default();
        next.map(|v| v.round().clamp(0.0, 255.0) as u8)
    });
    match way.jpeg_quality {
        None => (frame, None),
        Some(quality) => {
            let file = jpeg_file(&frame, quality);
            let image = image::load_from_memory_with_format(&file, ImageFormat::Jpeg)
                .unwrap()
                .into_rgb8();
            let decoded = Frame::from_fn(way.capture, |x, y| image.get_pixel(x, y).0);
            (decoded, jpeg_grid(&file, way.capture))
        }
    }
}

/// The frame as a JPEG file.
pub(crate) fn jpeg_file(frame: &Frame, quality: u8) -> Vec<u8> {
    let rgb: Vec<u8> = (0..frame.size().area())
        .flat_map(|index| {
            let [r, g, b, _] = frame.rgba_frac(index);
            [r, g, b].map(|v| (v * 255.0).round() as u8)
        })
        .collect();
    let mut file = Cursor::new(Vec::new());
    JpegEncoder::new_with_quality(&mut file, quality)
        .write_image(
            &rgb,
            frame.size().width(),
            frame.size().height(),
            ExtendedColorType::Rgb8,
        )
        .unwrap();
    file.into_inner()
}
