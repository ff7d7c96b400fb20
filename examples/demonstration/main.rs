//! Makes the demonstration pictures: a lecturer behind a written-on glass, and four slides to lay
//! over. `cargo run --release --example demonstration [FOLDER]` writes them again, byte for byte.

#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "pixels and codes stay small, and are rounded or held in range where it matters"
)]

mod camera;
mod figure;
mod hand;
mod lettering;
mod noise;
mod sky;
mod slides;
mod stroke;
mod vector;

use image::RgbImage;
use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use std::error::Error;
use std::fs::File;
use std::io::BufWriter;
use std::path::{Path, PathBuf};

/// Looks along each side of a pixel at the figure.
const LOOKS: usize = 2;

fn main() -> Result<(), Box<dyn Error>> {
    let here = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/examples/demonstration/pictures"
    );
    let folder = std::env::args_os()
        .nth(1)
        .map_or_else(|| PathBuf::from(here), PathBuf::from);
    std::fs::create_dir_all(&folder)?;
    let slides = [
        ("slide_1_keys_cleanly.png", slides::keys_cleanly()?),
        ("slide_2_faint_stars.png", slides::faint_stars()?),
        ("slide_3_grey_background.png", slides::grey_background()?),
        ("slide_4_lands_on_writing.png", slides::lands_on_writing()?),
    ];
    for (name, slide) in &slides {
        png(&folder.join(name), slide)?;
    }
    jpeg(&folder.join("camera.jpg"), &camera::frame(LOOKS))
}

/// Writes a slide, packed tightly.
fn png(path: &Path, picture: &RgbImage) -> Result<(), Box<dyn Error>> {
    let file = BufWriter::new(File::create(path)?);
    let encoder = PngEncoder::new_with_quality(file, CompressionType::Best, FilterType::Adaptive);
    picture.write_with_encoder(encoder)?;
    Ok(())
}

/// Writes the camera's frame.
fn jpeg(path: &Path, picture: &RgbImage) -> Result<(), Box<dyn Error>> {
    let file = BufWriter::new(File::create(path)?);
    picture.write_with_encoder(JpegEncoder::new_with_quality(file, 92))?;
    Ok(())
}
