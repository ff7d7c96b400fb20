//! A picture as a PDF of one page of exactly its size, with the same pixels, so that it can go into a deck.

use std::io::Write;
use std::path::Path;

use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::{ExtendedColorType, ImageEncoder, ImageError};
use pdf_writer::{Content, Filter, Finish, Name, Pdf, Rect, Ref};

use super::picture_output::{WriteError, open_beside, rgb8};
use crate::pixel::frame::Frame;

/// Points to a pixel, so that 1920x1080 is 13.33 x 7.5 inches, the size of wide slides, and 16,384 pixels
/// stay below the 14,400 points that a page may have. Source: ISO 32000-1, annex C.
const POINTS_PER_PIXEL: f32 = 0.5;
/// Length of a PNG file's signature, bytes. Source: ISO/IEC 15948.
const PNG_SIGNATURE_BYTES: usize = 8;

/// Writes the frame as a PDF, whole or not at all.
pub fn write_picture_pdf(path: &Path, frame: &Frame) -> Result<(), WriteError> {
    let system = |source| WriteError::System {
        path: path.to_owned(),
        source,
    };
    let mut file = open_beside(path)?;
    let document = encode_pdf(frame).map_err(|source| WriteError::Encoder {
        path: path.to_owned(),
        source,
    })?;
    file.write_all(&document).map_err(system)?;
    file.commit().map_err(system)
}

/// The bytes of the document.
fn encode_pdf(frame: &Frame) -> Result<Vec<u8>, ImageError> {
    let (width, height) = (frame.size().width(), frame.size().height());
    let mut png = Vec::new();
    PngEncoder::new_with_quality(&mut png, CompressionType::Default, FilterType::Adaptive)
        .write_image(&rgb8(frame), width, height, ExtendedColorType::Rgb8)?;
    let pixels = image_chunks(&png);

    let (catalog, pages, page, picture, content) = (
        Ref::new(1),
        Ref::new(2),
        Ref::new(3),
        Ref::new(4),
        Ref::new(5),
    );
    let (across, down) = (
        width as f32 * POINTS_PER_PIXEL,
        height as f32 * POINTS_PER_PIXEL,
    );
    let name = Name(b"Chart");
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(pages);
    pdf.pages(pages).kids([page]).count(1);
    let mut sheet = pdf.page(page);
    sheet
        .parent(pages)
        .media_box(Rect::new(0.0, 0.0, across, down))
        .contents(content);
    sheet.resources().x_objects().pair(name, picture);
    sheet.finish();

    // The image data of a PNG file is what the PDF filter with PNG predictors decodes, as it is.
    let side = |px: u32| i32::try_from(px).unwrap_or(i32::MAX);
    let mut image = pdf.image_xobject(picture, &pixels);
    image.filter(Filter::FlateDecode);
    image
        .width(side(width))
        .height(side(height))
        .bits_per_component(8);
    image.color_space().device_rgb();
    image
        .decode_parms()
        .predictor(pdf_writer::types::Predictor::PngOptimum)
        .colors(3)
        .bits_per_component(8)
        .columns(side(width));
    image.finish();

    let mut drawing = Content::new();
    drawing
        .save_state()
        .transform([across, 0.0, 0.0, down, 0.0, 0.0])
        .x_object(name)
        .restore_state();
    pdf.stream(content, &drawing.finish());
    Ok(pdf.finish())
}

/// The contents of a PNG file's `IDAT` chunks, joined: one zlib stream.
fn image_chunks(png: &[u8]) -> Vec<u8> {
    let mut data = Vec::with_capacity(png.len());
    let mut rest = png.get(PNG_SIGNATURE_BYTES..).unwrap_or_default();
    while let Some((head, after)) = rest.split_first_chunk::<8>() {
        let [l0, l1, l2, l3, kind @ ..] = *head;
        let length = u32::from_be_bytes([l0, l1, l2, l3]) as usize;
        if kind == *b"IDAT" {
            data.extend_from_slice(after.get(..length).unwrap_or_default());
        }
        // Four bytes of checksum follow the contents.
        rest = after.get(length + 4..).unwrap_or_default();
    }
    data
}
