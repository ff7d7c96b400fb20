//! Text in the base fonts of PDF: a page is written, rendered and laid over the slide.

use crate::sheet::{Code, Fault, Spot};
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf as Document;
use hayro::{PixmapSettings, RenderCache, RenderSettings, render};
use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str};
use tiny_skia::Pixmap;

/// Draws a line of text, its baseline's left end and its em in pixels of the slide.
pub(crate) fn draw(
    slide: &mut Pixmap,
    font: &str,
    text: &str,
    (x, y): Spot,
    size: f32,
    code: Code,
) -> Result<(), Fault> {
    let top = (y - 1.1 * size).floor();
    let rows = (1.5 * size).ceil();
    let (width, height) = (slide.width() as f32, rows);
    let written = write(
        font,
        text,
        (x, rows - (y - top)),
        size,
        code,
        (width, height),
    );
    let document = Document::new(written)
        .map_err(|source| format!("the page of text does not open: {source:?}"))?;
    let pages = document.pages();
    let page = pages.first().ok_or("the page of text is missing")?;
    let band = render(
        page,
        &RenderCache::new(),
        &InterpreterSettings::default(),
        &RenderSettings::default(),
        &PixmapSettings::default(),
    );
    lay_over(slide, band.data_as_u8_slice(), top as i64);
    Ok(())
}

/// Lays rows of colours that are multiplied by their alpha over the slide, from row `top` on.
fn lay_over(slide: &mut Pixmap, band: &[u8], top: i64) {
    let row_bytes = slide.width() as usize * 4;
    let rows = i64::from(slide.height());
    for (k, row) in band.chunks_exact(row_bytes).enumerate() {
        let y = top + k as i64;
        if !(0..rows).contains(&y) {
            continue;
        }
        let start = y as usize * row_bytes;
        let below = &mut slide.data_mut()[start..start + row_bytes];
        for (under, over) in below.chunks_exact_mut(4).zip(row.chunks_exact(4)) {
            let rest = u32::from(255 - over[3]);
            for c in 0..3 {
                let kept = (u32::from(under[c]) * rest + 127) / 255;
                under[c] = (u32::from(over[c]) + kept).min(255) as u8;
            }
        }
    }
}

/// A page with one line of text; `at` is measured from the bottom left.
fn write(
    font: &str,
    text: &str,
    at: Spot,
    size: f32,
    code: Code,
    (width, height): (f32, f32),
) -> Vec<u8> {
    let [catalog, tree, page, face, stream] = [1, 2, 3, 4, 5].map(Ref::new);
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(tree);
    pdf.pages(tree).kids([page]).count(1);
    let mut sheet = pdf.page(page);
    sheet.media_box(Rect::new(0.0, 0.0, width, height));
    sheet.parent(tree);
    sheet.contents(stream);
    sheet.resources().fonts().pair(Name(b"F"), face);
    sheet.finish();
    pdf.type1_font(face).base_font(Name(font.as_bytes()));
    let [r, g, b] = code.map(|c| f32::from(c) / 255.0);
    let mut content = Content::new();
    content.begin_text();
    content.set_fill_rgb(r, g, b);
    content.set_font(Name(b"F"), size);
    content.next_line(at.0, at.1);
    content.show(Str(text.as_bytes()));
    content.end_text();
    pdf.stream(stream, &content.finish());
    pdf.finish()
}
