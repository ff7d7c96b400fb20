//! A picture inside a page: scaled, JPEG, as a data URI, within a number of bytes.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder};

use crate::pixel::cpu_engine::compose;
use crate::pixel::frame::{Frame, Pixels};
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Fit, Settings, Size};
use crate::pixel::views::{Background, View};

/// What is tried until the picture fits: longest side in px, JPEG quality. Source: chosen by eye on the
/// demonstration; text stays readable down to the last line but one.
const TRIES: [(u32, u8); 10] = [
    (1600, 88),
    (1600, 75),
    (1280, 75),
    (960, 85),
    (960, 70),
    (960, 55),
    (800, 50),
    (640, 45),
    (480, 40),
    (320, 30),
];

/// A picture as a page has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EmbeddedPicture {
    /// `data:image/jpeg;base64,` and the file.
    pub data_uri: String,
    /// Width and height, px.
    pub size: Size,
}

impl EmbeddedPicture {
    /// Scales a frame down to sides of at most `longest_px`, lets `draw` draw on it, and packs it into at most
    /// `most_bytes`, or as near as it gets. None where there is nothing to pack.
    pub fn new(
        frame: &Frame,
        longest_px: u32,
        most_bytes: usize,
        draw: impl Fn(&mut Frame),
    ) -> Option<Self> {
        let mut smallest = None;
        let mut drawn: Option<Frame> = None;
        for (longest_px, quality) in TRIES.into_iter().filter(|&(px, _)| px <= longest_px) {
            let size = reduced_size(frame.size(), longest_px);
            let picture = match drawn.take() {
                Some(picture) if picture.size() == size => picture,
                _ => {
                    let mut picture = reduced(frame, size);
                    draw(&mut picture);
                    picture
                }
            };
            let jpeg = encode_jpeg(&picture, quality)?;
            drawn = Some(picture);
            let embedded = Self {
                data_uri: format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg)),
                size,
            };
            if embedded.data_uri.len() <= most_bytes {
                return Some(embedded);
            }
            smallest = Some(embedded);
        }
        smallest
    }
}

/// The size with its longest side at most this, never larger than it was.
fn reduced_size(size: Size, longest_px: u32) -> Size {
    let (width, height) = (size.width(), size.height());
    let longest = width.max(height);
    if longest <= longest_px {
        return size;
    }
    let side = |px: u32| (px * longest_px).div_ceil(longest).max(1);
    Size::new(side(width), side(height)).unwrap_or(size)
}

/// The picture in another size, every pixel the mean of what it covers.
fn reduced(frame: &Frame, size: Size) -> Frame {
    let mut settings = Settings {
        view: View::Camera,
        ..Settings::default()
    };
    settings.placement.size = Some(size);
    settings.placement.camera_fit = Fit::Stretch;
    compose(&Plan::new(&Scene {
        camera: Some(frame),
        slide: None,
        background: Background::BLACK,
        settings: &settings,
    }))
}

/// The file of an 8-bit picture, without its alpha.
fn encode_jpeg(picture: &Frame, quality: u8) -> Option<Vec<u8>> {
    let Pixels::Rgba8(pixels) = picture.pixels() else {
        return None;
    };
    let rgb: Vec<u8> = pixels.iter().flat_map(|&[r, g, b, _]| [r, g, b]).collect();
    let (width, height) = (picture.size().width(), picture.size().height());
    let mut jpeg = Vec::new();
    let encoder = JpegEncoder::new_with_quality(&mut jpeg, quality);
    let encoded = encoder.write_image(&rgb, width, height, ExtendedColorType::Rgb8);
    encoded.is_ok().then_some(jpeg)
}
