//! The camera frame with what was found in it: a labelled box for every finding that has a place, and dashed lines
//! around writing and presenter.

use super::inspect_document::InspectDocument;
use super::inspect_words::{VerdictWords, facts_words, size_of};
use super::marked::{Mark, draw_marks};
use super::outline::draw_outline;
use crate::measure::inspect::camera_parts::CameraParts;
use crate::pixel::canvas::{Canvas, Words};
use crate::pixel::frame::Frame;
use crate::pixel::settings::Size;

/// Picture height over the length of a dash, of the presenter and of writing. Source: chosen by eye.
const DASH_SHARES: [u32; 2] = [60, 270];
/// R'G'B' codes of the list below the picture and of words on it. Source: chosen, 15 to 1.
const LIST_U8: [u8; 3] = [24; 3];
const INK_U8: [u8; 3] = [230; 3];
/// Picture width over the height of a line of the list, and its least height, px. Source: chosen by eye.
const LINE_SHARE: f32 = 64.0;
const LINE_LEAST_PX: f32 = 14.0;
/// What the lines around writing and presenter are; none where neither was found.
pub fn outline_words(document: &InspectDocument) -> Option<&'static str> {
    let camera = &document.camera;
    match (
        camera.presenter.boxes.is_empty(),
        camera.writing.boxes.is_empty(),
    ) {
        (true, true) => None,
        (false, true) => Some("Dashes run around what was taken for the presenter."),
        (true, false) => Some("Dashes run around what was taken for writing."),
        (false, false) => Some(
            "Long dashes run around what was taken for the presenter, short ones around writing.",
        ),
    }
}

/// Draws boxes and lines on a picture of the output, scaled.
pub fn mark_camera(picture: &mut Frame, document: &InspectDocument, parts: &CameraParts) {
    let height = picture.size().height();
    for (mask, share) in [&parts.presenter, &parts.writing]
        .into_iter()
        .zip(DASH_SHARES)
    {
        draw_outline(picture, mask, height / share);
    }
    let marks: Vec<Mark> = (1..)
        .zip(&document.findings)
        .filter(|(_, finding)| finding.bounds.is_some())
        .map(|(number, finding)| Mark {
            label: format!("{number} {}", finding.kind.name()),
            bounds: finding.bounds,
        })
        .collect();
    draw_marks(picture, size_of(document), &marks);
}

/// The marked frame with a list of all findings below it, for looking at without any other text. None only where a
/// list of that many lines makes it too high.
pub fn marked_camera(
    camera: &Frame,
    document: &InspectDocument,
    parts: &CameraParts,
) -> Option<Frame> {
    let mut marked = camera.clone();
    mark_camera(&mut marked, document, parts);
    let (width, height) = (camera.size().width(), camera.size().height());
    let scale_px = (width as f32 / LINE_SHARE).max(LINE_LEAST_PX);
    let line_px = (1.3 * scale_px).ceil();
    let lines = list_lines(document, scale_px, width as f32 - 2.0 * line_px);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "lines of a list"
    )]
    let list_px = (line_px * (lines.len() as f32 + 1.0)) as u32;
    let size = Size::new(width, height + list_px).ok()?;
    let mut sheet = Frame::from_fn(size, |_, _| LIST_U8);
    let mut canvas = Canvas::new(&mut sheet)?;
    canvas.put(&marked, 0, 0);
    for (index, line) in lines.iter().enumerate() {
        let y = height as f32 + line_px * (index as f32 + 0.5);
        canvas.draw(line, [line_px, y], INK_U8);
    }
    Some(sheet)
}

/// The verdict, then each finding, then what the dashed lines are, laid out in lines of that width.
fn list_lines(document: &InspectDocument, scale_px: f32, width_px: f32) -> Vec<Words> {
    let words = VerdictWords::of(document);
    let head = format!("{}: {}", words.verdict.name(), words.line());
    let findings = (1..).zip(&document.findings).map(|(number, finding)| {
        format!(
            "{number} {}, {}: {}",
            finding.kind.name(),
            finding.severity.name(),
            facts_words(finding, size_of(document))
        )
    });
    [head]
        .into_iter()
        .chain(findings)
        .chain(outline_words(document).map(str::to_owned))
        .flat_map(|paragraph| laid_out(&paragraph, scale_px, width_px))
        .collect()
}

/// A paragraph in lines that are at most so wide, where its words are not wider themselves.
fn laid_out(paragraph: &str, scale_px: f32, width_px: f32) -> Vec<Words> {
    let mut lines: Vec<Words> = Vec::new();
    let mut text = String::new();
    for word in paragraph.split(' ') {
        let longer = if text.is_empty() {
            word.to_owned()
        } else {
            format!("{text} {word}")
        };
        let fits = Words::new(&longer, scale_px).is_some_and(|line| line.width_px() <= width_px);
        if fits || text.is_empty() {
            text = longer;
        } else {
            lines.extend(Words::new(&text, scale_px));
            text = format!("    {word}");
        }
    }
    lines.extend(Words::new(&text, scale_px));
    lines
}
