//! PDF files made for checks.

use pdf_writer::{Content, Finish, Pdf, Rect, Ref};

/// A page: its size in points and the rectangles painted on it.
#[derive(Clone, Debug)]
pub(crate) struct PdfPage {
    /// Width and height in points.
    pub(crate) size: [f32; 2],
    /// Degrees clockwise that it is turned when shown.
    pub(crate) rotate: i32,
    /// Left, top, width, height in shares of the page, and a colour in codes.
    pub(crate) patches: Vec<([f32; 4], [u8; 3])>,
}

impl PdfPage {
    /// A page of this size with nothing on it.
    pub(crate) fn empty(width: f32, height: f32) -> Self {
        Self {
            size: [width, height],
            rotate: 0,
            patches: Vec::new(),
        }
    }

    /// The same with one more rectangle.
    pub(crate) fn patch(mut self, place: [f32; 4], color: [u8; 3]) -> Self {
        self.patches.push((place, color));
        self
    }
}

/// The bytes of a PDF with these pages.
pub(crate) fn pdf(pages: &[PdfPage]) -> Vec<u8> {
    let (catalog, tree) = (Ref::new(1), Ref::new(2));
    let page_ref = |index: usize| Ref::new(3 + 2 * i32::try_from(index).unwrap());
    let content_ref = |index: usize| Ref::new(4 + 2 * i32::try_from(index).unwrap());
    let mut pdf = Pdf::new();
    pdf.catalog(catalog).pages(tree);
    pdf.pages(tree)
        .kids((0..pages.len()).map(page_ref))
        .count(i32::try_from(pages.len()).unwrap());
    for (index, page) in pages.iter().enumerate() {
        let [width, height] = page.size;
        let mut written = pdf.page(page_ref(index));
        written.parent(tree);
        written.media_box(Rect::new(0.0, 0.0, width, height));
        written.rotate(page.rotate);
        written.contents(content_ref(index));
        written.resources();
        written.finish();
        let mut content = Content::new();
        for &([x, y, across, down], color) in &page.patches {
            let [r, g, b] = color.map(|code| f32::from(code) / 255.0);
            content.set_fill_rgb(r, g, b);
            let bottom = (1.0 - y - down) * height;
            content.rect(x * width, bottom, across * width, down * height);
            content.fill_nonzero();
        }
        pdf.stream(content_ref(index), &content.finish());
    }
    pdf.finish()
}
