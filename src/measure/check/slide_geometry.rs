//! The checks that look at what is drawn and where: strokes, text and places.

use super::edge_contact::Layout;
use super::hairline::{SlideFile, find_hairlines};
use super::outside_safe::find_outside_safe;
use super::small_text::{MeasuredLine, find_small_text};
use crate::measure::finding::Finding;
use crate::measure::limits::Limits;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::slide::fates::Fates;
use crate::measure::slide::marks::{Codes, Ground, plates_on};
use crate::measure::slide::photographs::photographs;
use crate::measure::slide::pieces::Content;
use crate::measure::slide::slide_raster::SlideRaster;
use crate::measure::slide::text_lines::{TextLine, text_lines};
use crate::pixel::color::to_u8;
use crate::pixel::guides::Guide;

/// Height over which a mark is no character, as a share of the output's. Source: chosen, over any title.
const TALLEST_SHARE: f64 = 0.25;

/// How deep plates may lie on plates. Source: chosen, a key on a panel on a slide.
const DEEPEST_PLATE: usize = 2;
/// Plates that are looked into, in areas of the output. Source: chosen, bounds the time on any slide.
const MOST_PLATE_AREAS: u64 = 2;

/// The marks of a slide and the lines of text among them.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// The slide's background first, then plates.
    pub grounds: Vec<Ground>,
    /// For each ground its lines of text.
    pub lines: Vec<Vec<TextLine>>,
    /// For each piece of content, whether it is a photograph, in which nothing is sought.
    pub is_photograph: Vec<bool>,
}

impl Drawn {
    /// Takes a slide apart; photographs are left out. `background` is R'G'B' from 0 to 1 as it reaches the key.
    pub fn new(raster: &SlideRaster, content: &Content, background: [f32; 3]) -> Self {
        let is_photograph = photographs(raster, content);
        let drawn = content
            .mask()
            .filtered(|run, _| !is_photograph[content.piece_of_run(run)]);
        let codes = Codes {
            size: raster.size(),
            pixels: raster.codes(),
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a share of a height"
        )]
        let tallest = (TALLEST_SHARE * f64::from(raster.size().height())) as u32;
        let mut budget_px = MOST_PLATE_AREAS * raster.size().area() as u64;
        let (mut grounds, mut lines) = (Vec::new(), Vec::new());
        let mut level: Vec<Ground> = Ground::background(codes, background.map(to_u8), &drawn)
            .into_iter()
            .collect();
        for _ in 0..=DEEPEST_PLATE {
            let mut deeper = Vec::new();
            for ground in level {
                let found = text_lines(&ground, tallest);
                let mut is_character = vec![false; ground.marks.list().len()];
                for &mark in found.iter().flat_map(|line| &line.marks) {
                    is_character[mark] = true;
                }
                deeper.extend(plates_on(codes, &ground, &is_character, &mut budget_px));
                grounds.push(ground);
                lines.push(found);
            }
            level = deeper;
        }
        Self {
            grounds,
            lines,
            is_photograph,
        }
    }

    /// All lines of text in output pixels.
    pub fn measured_lines(&self) -> Vec<MeasuredLine> {
        let grounds = self.grounds.iter().zip(&self.lines);
        grounds
            .flat_map(|(ground, lines)| {
                lines.iter().map(|line| MeasuredLine {
                    bounds: ground.in_output(line.bounds),
                    height_px: line.height_px,
                })
            })
            .collect()
    }
}

/// `hairline`, `small-text` and `outside-safe`.
pub fn find_by_geometry(
    raster: &SlideRaster,
    fates: &Fates,
    content: &Content,
    drawn: &Drawn,
    reserved: &[Guide],
    file: SlideFile,
    limits: &Limits,
) -> Vec<Finding> {
    let lines = drawn.measured_lines();
    let boxes: Vec<PixelBox> = lines.iter().map(|line| line.bounds).collect();
    let height_px = raster.size().height();
    let hairlines = find_hairlines(&drawn.grounds, &drawn.lines, height_px, file, limits);
    let mut findings: Vec<Finding> = hairlines.into_iter().collect();
    findings.extend(find_small_text(&lines, raster.size(), limits));
    findings.extend(find_outside_safe(&Layout {
        raster,
        fates,
        content,
        lines: &boxes,
        reserved,
    }));
    findings
}
