//! Lines of text among the marks of a ground: characters of like height on a common baseline.

use std::collections::BTreeMap;

use super::marks::Ground;
use crate::measure::raster::links::Links;
use crate::measure::raster::pixel_box::PixelBox;
use crate::measure::raster::runs::Run;
use crate::measure::statistics::middle::middle_of;

/// Least height of a character, px. Source: chosen; a 5 x 7 matrix is the least for capitals, ISO 9241-3.
const LEAST_HEIGHT_PX: u32 = 4;
/// Width of a character over its height, at most; wider marks must be joined characters. Source: chosen, `W` has 1.4.
const WIDEST: f64 = 1.6;
/// Strokes that a row of joined characters cuts, per width over height, at least. Source: chosen; estimated
/// from letter widths and stroke counts, not measured. Frames, bars and waves of one period have fewer.
const JOINED_STROKES: f64 = 0.9;
/// Strokes that a row cuts in one character of a joined word. Source: chosen, `n` has 2 and `i` 1.
const STROKES_PER_CHARACTER: f64 = 1.7;
/// Gap between neighbouring characters, in heights of the taller, at most: a word space and a full stop. Source: chosen.
const WIDEST_GAP: f64 = 1.3;
/// Height of the lower neighbour over the taller, at least. Source: chosen, `o` beside a bracket has 0.5.
const LEAST_LIKENESS: f64 = 0.4;
/// How far bottoms of neighbours may lie apart, in heights of the taller: a descender. Source: chosen.
const DESCENDER: f64 = 0.4;
/// How far a bottom may lie off the baseline, in heights, and still stand on it. Source: chosen.
const ON_BASELINE: f64 = 0.15;
/// Characters in a line, at least. Source: chosen; two marks side by side are anything.
const LEAST_CHARACTERS: f64 = 3.0;
/// Share of marks of one shape over which a row is dots, ticks or icons. Source: chosen, `1000` has 0.75.
const MOST_ALIKE: f64 = 0.8;
/// Share of its box that a solid mark covers, at least, and share of such marks over which a row is ticks. Source: chosen.
const SOLID: f64 = 0.9;
const MOST_SOLID: f64 = 0.6;
/// Strokes that a row of a character cuts, at least, where it is no dot or bar, and share of such characters. Source: chosen.
const INTRICATE: f64 = 1.2;
const LEAST_INTRICATE: f64 = 0.3;
/// Least strength of a character's strongest pixel, 8-bit codes. Source: chosen; contours of a gradient
/// background, which begin at 16, are weaker, and type so faint is told as lost to the key.
const LEAST_STRENGTH: u8 = 32;
/// Gap between words of one line, in heights of the taller, and height of the lower word over the taller,
/// at most and at least. Source: chosen; a word without ascenders has 0.7, and columns lie farther apart.
const WORD_GAP: f64 = 2.0;
const WORD_LIKENESS: f64 = 0.5;
/// Share of the distances from stroke to stroke in a row of a joined mark that are alike, from which it is a
/// scale or a fence, and strokes that such a row has at least. Source: chosen, letters differ in width.
const MOST_REGULAR: f64 = 0.8;
const REGULAR_STROKES: usize = 6;
/// Height of the bands in which neighbours are sought, px. Source: chosen.
const BAND_PX: u32 = 8;
/// Marks to the right that are tried as the next character. Source: chosen; dots and commas lie between.
const TRIED: usize = 4;

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct TextLine {
    /// The box around its characters, from the top left of the ground's box.
    pub bounds: PixelBox,
    /// Height of its tallest character above the baseline, px.
    pub height_px: f64,
    /// Its marks, by their place among the ground's.
    pub marks: Vec<usize>,
}

/// A mark that may be a character or a few joined ones.
#[derive(Clone, Copy, Debug)]
struct Glyph {
    mark: usize,
    bounds: PixelBox,
    area: u64,
    /// Runs a row on average: strokes that a row cuts.
    strokes: f64,
}

impl Glyph {
    fn height(&self) -> f64 {
        f64::from(self.bounds.height)
    }

    fn aspect(&self) -> f64 {
        f64::from(self.bounds.width) / self.height()
    }

    fn fill(&self) -> f64 {
        self.area as f64 / self.bounds.area() as f64
    }

    /// How many characters it stands for.
    fn characters(&self) -> f64 {
        if self.aspect() > WIDEST {
            self.strokes / STROKES_PER_CHARACTER
        } else {
            1.0
        }
    }

    fn is_like_a_character(&self, tallest_px: u32) -> bool {
        let joined = self.strokes >= JOINED_STROKES * self.aspect() && self.strokes >= 2.0;
        (LEAST_HEIGHT_PX..=tallest_px).contains(&self.bounds.height)
            && (self.aspect() <= WIDEST || joined)
    }

    fn is_alike(&self, other: &Self) -> bool {
        let (a, b) = (self.area as f64, other.area as f64);
        self.bounds.width.abs_diff(other.bounds.width) <= 1
            && self.bounds.height.abs_diff(other.bounds.height) <= 1
            && (a - b).abs() <= 0.1 * a.max(b)
    }

    /// Whether the other can be the next character to the right.
    fn goes_on_with(&self, next: &Self) -> bool {
        let taller = self.height().max(next.height());
        let lower = self.height().min(next.height());
        let gap = f64::from(next.bounds.x) - f64::from(self.bounds.right());
        let bottoms = self.bounds.bottom().abs_diff(next.bounds.bottom());
        let shared = f64::from(self.bounds.bottom().min(next.bounds.bottom()))
            - f64::from(self.bounds.y.max(next.bounds.y));
        (-0.5 * lower..=WIDEST_GAP * taller).contains(&gap)
            && lower >= LEAST_LIKENESS * taller
            && f64::from(bottoms) <= (DESCENDER * taller).max(1.0)
            && shared >= 0.5 * lower
    }
}

/// The lines of text on a ground whose characters are at most `tallest_px` high, from top to bottom.
pub fn text_lines(ground: &Ground, tallest_px: u32) -> Vec<TextLine> {
    let marks = ground.marks.list().iter().enumerate();
    let mut glyphs: Vec<Glyph> = marks
        .map(|(mark, component)| Glyph {
            mark,
            bounds: component.bounds,
            area: component.area,
            strokes: ground.marks.runs_of(mark).len() as f64 / f64::from(component.bounds.height),
        })
        .filter(|glyph| glyph.is_like_a_character(tallest_px))
        .filter(|glyph| is_strong(ground, glyph.mark))
        .filter(|glyph| glyph.aspect() <= WIDEST || !is_regular(ground.marks.runs_of(glyph.mark)))
        .collect();
    glyphs.sort_unstable_by_key(|glyph| (glyph.bounds.x, glyph.bounds.y));
    let mut words = linked(&glyphs);
    words.retain(|word| is_text(word));
    let rows = joined(words);
    let mut lines: Vec<TextLine> = rows.iter().map(|row| line(ground, row)).collect();
    lines.sort_unstable_by_key(|line| (line.bounds.y, line.bounds.x));
    lines
}

/// Whether some pixel of a mark stands out clearly.
fn is_strong(ground: &Ground, mark: usize) -> bool {
    ground.marks.runs_of(mark).iter().any(|run| {
        (run.start..run.end)
            .any(|x| ground.strength_at(i64::from(x), i64::from(run.y)) >= LEAST_STRENGTH)
    })
}

/// Words that stand on one baseline beside each other, together: a word alone may have no tall character.
fn joined(words: Vec<Vec<Glyph>>) -> Vec<Vec<Glyph>> {
    let places: Vec<(PixelBox, u32, f64)> = words.iter().map(|word| place_of(word)).collect();
    let mut links = Links::new(words.len());
    for (i, (a, base_a, tall_a)) in places.iter().enumerate() {
        for (j, (b, base_b, tall_b)) in places.iter().enumerate() {
            let taller = tall_a.max(*tall_b);
            let gap = f64::from(b.x) - f64::from(a.right());
            let beside = (-0.5 * taller..=WORD_GAP * taller).contains(&gap);
            let level = f64::from(base_a.abs_diff(*base_b)) <= (ON_BASELINE * taller).max(1.0);
            if i != j && beside && level && tall_a.min(*tall_b) >= WORD_LIKENESS * taller {
                links.join(i, j);
            }
        }
    }
    let mut rows: BTreeMap<usize, Vec<Glyph>> = BTreeMap::new();
    for (i, word) in words.into_iter().enumerate() {
        rows.entry(links.root(i)).or_default().extend(word);
    }
    rows.into_values().collect()
}

/// The box of a row of glyphs, its baseline, and how high it reaches above that.
fn place_of(row: &[Glyph]) -> (PixelBox, u32, f64) {
    let none = PixelBox {
        x: 0,
        y: 0,
        width: 0,
        height: 0,
    };
    let boxes = row.iter().map(|glyph| glyph.bounds);
    let bounds = boxes.reduce(PixelBox::union).unwrap_or(none);
    let mut bottoms: Vec<u32> = row.iter().map(|glyph| glyph.bounds.bottom()).collect();
    let baseline = middle_of(&mut bottoms, u32::cmp).unwrap_or(0);
    (
        bounds,
        baseline,
        f64::from(baseline.saturating_sub(bounds.y)),
    )
}

/// Whether strokes follow each other at one distance in some row, as ticks of a scale do.
fn is_regular(runs: &[Run]) -> bool {
    runs.chunk_by(|a, b| a.y == b.y).any(|row| {
        let mut steps: Vec<u32> = row
            .windows(2)
            .map(|pair| pair[1].start - pair[0].start)
            .collect();
        if steps.len() + 1 < REGULAR_STROKES {
            return false;
        }
        let usual = middle_of(&mut steps, u32::cmp).unwrap_or(0);
        let alike = steps
            .iter()
            .filter(|step| step.abs_diff(usual) <= 1)
            .count();
        alike as f64 >= MOST_REGULAR * steps.len() as f64
    })
}

/// Glyphs that stand in a row, from left to right.
fn linked(glyphs: &[Glyph]) -> Vec<Vec<Glyph>> {
    let mut bands: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (i, glyph) in glyphs.iter().enumerate() {
        let last = glyph.bounds.bottom() - 1;
        for band in glyph.bounds.y / BAND_PX..=last / BAND_PX {
            bands.entry(band).or_default().push(i);
        }
    }
    let mut links = Links::new(glyphs.len());
    for band in bands.values() {
        for (n, &left) in band.iter().enumerate() {
            let next = band[n + 1..]
                .iter()
                .take(TRIED)
                .find(|&&right| glyphs[left].goes_on_with(&glyphs[right]));
            if let Some(&right) = next {
                links.join(left, right);
            }
        }
    }
    let mut rows: BTreeMap<usize, Vec<Glyph>> = BTreeMap::new();
    for (i, &glyph) in glyphs.iter().enumerate() {
        rows.entry(links.root(i)).or_default().push(glyph);
    }
    rows.into_values().collect()
}

/// Whether a row of glyphs reads as text: enough characters, not all alike, not all ticks or dots.
fn is_text(row: &[Glyph]) -> bool {
    let count = row.len() as f64;
    let share = |of: &dyn Fn(&Glyph) -> bool| row.iter().filter(|g| of(g)).count() as f64 / count;
    let characters: f64 = row.iter().map(Glyph::characters).sum();
    let alike = row
        .iter()
        .take(TRIED * 2)
        .map(|glyph| share(&|other| glyph.is_alike(other)))
        .fold(0.0, f64::max);
    let several = row.len() > 1;
    characters >= LEAST_CHARACTERS
        && !(several && alike > MOST_ALIKE)
        && share(&|glyph| glyph.fill() >= SOLID) <= MOST_SOLID
        && share(&|glyph| glyph.strokes >= INTRICATE) >= LEAST_INTRICATE
}

/// Measures a row of glyphs.
fn line(ground: &Ground, row: &[Glyph]) -> TextLine {
    let (bounds, baseline, _) = place_of(row);
    let above = |glyph: &Glyph| baseline.saturating_sub(glyph.bounds.y);
    let tallest = row.iter().map(above).max().unwrap_or(0);
    let near = (ON_BASELINE * f64::from(tallest)).max(1.0);
    // Of the tallest, the median of those that stand on the baseline: round ones overshoot it.
    let mut exact: Vec<f64> = row
        .iter()
        .filter(|glyph| {
            above(glyph) + 1 >= tallest
                && f64::from(glyph.bounds.bottom().abs_diff(baseline)) <= near
        })
        .map(|glyph| soft_height(ground, glyph.bounds))
        .collect();
    let exact = middle_of(&mut exact, f64::total_cmp).unwrap_or(f64::from(tallest));
    let mut marks: Vec<usize> = row.iter().map(|glyph| glyph.mark).collect();
    marks.sort_unstable();
    TextLine {
        bounds,
        height_px: exact,
        marks,
    }
}

/// The height of a mark to a fraction of a pixel, by how much its first and last rows cover.
fn soft_height(ground: &Ground, bounds: PixelBox) -> f64 {
    let most = |y: i64| {
        (bounds.x..bounds.right())
            .map(|x| f64::from(ground.strength_at(i64::from(x), y)))
            .fold(0.0, f64::max)
    };
    let (top, bottom) = (i64::from(bounds.y), i64::from(bounds.bottom()));
    let full = (top..bottom).map(most).fold(1.0, f64::max);
    let beyond = |near: i64, far: i64| (most(near) - most(far)).max(0.0) / full;
    let within = |row: i64| most(row).min(full) / full;
    let ends = if bottom - top > 1 {
        within(top) + within(bottom - 1)
    } else {
        1.0
    };
    f64::from(bounds.height.saturating_sub(2))
        + ends
        + beyond(top - 1, top - 2)
        + beyond(bottom, bottom + 1)
}
