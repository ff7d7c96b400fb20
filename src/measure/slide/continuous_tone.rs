//! Where a slide shows photographs and other pictures of continuous tone: many tones, none that prevails, and
//! texture. Text, lines and flat shapes have a tone that prevails; gradients and shadows have no texture.

use super::slide_raster::SlideRaster;
use super::texture::{TEXTURE_REACH_PX, is_texture};
use crate::measure::raster::pixel_box::PixelBox;
use crate::pixel::key::{Luma, luma};
use crate::pixel::settings::Size;
use crate::pixel::views::Background;

/// Tiles down a slide. Source: chosen; 17 px at 1080 lines, a letter of legible text and more.
const TILES_DOWN: u32 = 64;
/// Bins of luma, 8 codes each. Source: chosen.
const BINS: usize = 32;
/// Share of a window that its fullest bin may hold. Source: measured on text of 14 to 60 px in five
/// fonts, where the fullest bin held 0.45 and more.
const FULLEST_BIN: f32 = 0.4;
/// Share of a window from which a bin counts as filled.
const FILLED_BIN: f32 = 0.01;
/// Bins that are filled at least. Source: the same measurement; edges of text fill six at most.
const FILLED_BINS: usize = 8;
/// Share of a window that is texture, at least; more in a lossy file. Source: measured on five photographs as
/// they are, halved, enlarged two and three times and as JPEG of quality 75 and 90, and on gradients and shadows
/// of a talk as drawn and as JPEG of quality 60 to 90. The lowest tenth of the photographs' windows had 0.16
/// (0.31 as JPEG), the highest tenth of the gradients' 0.04 (0.40 as JPEG, beside letters).
const TEXTURED: f32 = 0.12;
const TEXTURED_LOSSY: f32 = 0.4;
/// Tiles that a picture has at least. Source: chosen, about 70 x 50 px at 1080 lines.
const LEAST_TILES: usize = 12;
/// Share of its box that a picture fills with such tiles. Source: chosen; skies and walls are smooth.
const LEAST_FILL: f32 = 0.35;
/// Share of a box's row or column that is content where the picture has not ended.
const INSIDE_EDGE: f32 = 0.6;

/// Pictures that cover more of a slide than this, 0 to 1, are the slide. Source: chosen.
const ALL_PICTURE: f64 = 0.85;
/// The same for windows of which [`TEXTURED_LOSSY`] is texture, where less than this of the slide has the
/// background's colour and its fullest bin holds no more than this: dim photographs, skies and dark parts.
/// Source: measured; of photographs over all of a slide, dimmed too, 0.58 and more of the windows had texture and
/// the fullest bin held 0.15 at most; of textured backgrounds 0.31 of the windows, and the bin held 0.36.
const MOST_TEXTURED: f64 = 0.5;
const LITTLE_BACKGROUND: f64 = 0.3;
const FULLEST_OF_ALL: f32 = 0.25;
/// Share of the slide's border from which the background's colour surrounds a picture. Source: chosen.
const SURROUNDED: f64 = 0.5;
/// The border's width, one part in this many of the shorter side. Source: that of `background`.
const BORDER_PART: u32 = 50;
/// Codes by which a pixel of a lossy file differs from the background at most. Source: chosen, quality 75.
const BACKGROUND_CODES_LOSSY: f32 = 8.0;

/// A raster of tiles, true where the tones are continuous.
struct ToneTiles {
    across: u32,
    down: u32,
    side_px: u32,
    continuous: Vec<bool>,
}

/// The boxes of all pictures of continuous tone on a slide of R'G'B' codes, from top to bottom.
///
/// `is_content` says which pixels differ from the background; a box ends where they do.
pub(crate) fn find_continuous_tone(
    size: Size,
    codes: &[[u8; 4]],
    lossy: bool,
    is_content: impl Fn(u32, u32) -> bool,
) -> Vec<PixelBox> {
    ToneTiles::new(size, codes, lossy).pictures(size, is_content)
}

/// Whether a photograph fills the slide: it is content all over, and no background is left that a key could drop.
///
/// `background` is R'G'B' from 0 to 1 as it reaches the key. What lies beside the slide does not count.
pub(crate) fn photograph_fills(raster: &SlideRaster, background: [f32; 3], lossy: bool) -> bool {
    let Some(inside) = raster.inside() else {
        return false;
    };
    let Ok(size) = Size::new(inside.width, inside.height) else {
        return false;
    };
    let tolerance = if lossy {
        BACKGROUND_CODES_LOSSY
    } else {
        255.0 * Background::TOLERANCE
    };
    let is_background = |x: u32, y: u32| {
        let color = raster.color(inside.x + x, inside.y + y);
        (0..3).all(|c| (f32::from(color[c]) - 255.0 * background[c]).abs() <= tolerance)
    };
    let border = (size.width().min(size.height()) / BORDER_PART).max(1);
    let (mut around, mut border_pixels, mut all) = (0_u64, 0_u64, 0_u64);
    for y in 0..size.height() {
        for x in 0..size.width() {
            let is_background = is_background(x, y);
            let on_border = x < border
                || y < border
                || x + border >= size.width()
                || y + border >= size.height();
            around += u64::from(on_border && is_background);
            border_pixels += u64::from(on_border);
            all += u64::from(is_background);
        }
    }
    let background_share = all as f64 / size.area() as f64;
    if around as f64 >= SURROUNDED * border_pixels as f64 || background_share >= SURROUNDED {
        return false;
    }
    let rows = (inside.y..inside.bottom()).map(|y| raster.index(inside.x, y));
    let row = |start: usize| &raster.codes()[start..start + inside.width as usize];
    let codes: Vec<[u8; 4]> = rows.flat_map(row).copied().collect();
    if background_share < LITTLE_BACKGROUND && is_texture_all_over(size, &codes) {
        return true;
    }
    let boxes = ToneTiles::new(size, &codes, lossy).pictures(size, |x, y| !is_background(x, y));
    let covered: u64 = boxes.iter().map(|b| b.area()).sum();
    covered as f64 > ALL_PICTURE * size.area() as f64
}

/// Whether a slide has many tones, and texture in most of its windows.
fn is_texture_all_over(size: Size, codes: &[[u8; 4]]) -> bool {
    let whole = PixelBox {
        x: 0,
        y: 0,
        width: size.width(),
        height: size.height(),
    };
    if !has_many_tones(size, &luma_codes(codes), whole, FULLEST_OF_ALL) {
        return false;
    }
    let side_px = ToneTiles::side_px(size);
    let (mut textured, mut all) = (0_u32, 0_u32);
    for y in (0..size.height()).step_by(side_px as usize) {
        for x in (0..size.width()).step_by(side_px as usize) {
            let window = window(size, x, y, side_px);
            textured += u32::from(texture_share(size, codes, window) >= TEXTURED_LOSSY);
            all += 1;
        }
    }
    f64::from(textured) > MOST_TEXTURED * f64::from(all)
}

impl ToneTiles {
    /// Side of a tile on a slide of this size, px.
    fn side_px(size: Size) -> u32 {
        (size.height() / TILES_DOWN).max(8)
    }

    /// The boxes of the pictures.
    fn pictures(&self, size: Size, is_content: impl Fn(u32, u32) -> bool) -> Vec<PixelBox> {
        let mut seen = vec![false; self.continuous.len()];
        let mut boxes: Vec<PixelBox> = Vec::new();
        for start in 0..seen.len() {
            if seen[start] || !self.continuous[start] {
                continue;
            }
            let (bounds, count) = self.component(start, &mut seen);
            let fill = count as f32 / (bounds.area() as f32);
            if count >= LEAST_TILES && fill >= LEAST_FILL {
                let in_pixels = self.in_pixels(bounds, size);
                boxes.push(fitted(in_pixels, size, self.side_px, &is_content));
            }
        }
        merged(boxes)
    }

    fn new(size: Size, codes: &[[u8; 4]], lossy: bool) -> Self {
        let side_px = Self::side_px(size);
        let (across, down) = (
            size.width().div_ceil(side_px),
            size.height().div_ceil(side_px),
        );
        let lumas = luma_codes(codes);
        let tile = |index: u32| {
            let (x, y) = (index % across * side_px, index / across * side_px);
            let window = window(size, x, y, side_px);
            let least = if lossy { TEXTURED_LOSSY } else { TEXTURED };
            has_many_tones(size, &lumas, window, FULLEST_BIN)
                && texture_share(size, codes, window) >= least
        };
        Self {
            across,
            down,
            side_px,
            continuous: (0..across * down).map(tile).collect(),
        }
    }

    /// The box, in tiles, and the number of the tiles that hang together with this one; a gap of one
    /// tile is none.
    fn component(&self, start: usize, seen: &mut [bool]) -> (PixelBox, usize) {
        let mut waiting = vec![start];
        seen[start] = true;
        let place = |index: usize| {
            let index = u32::try_from(index).unwrap_or(u32::MAX);
            (index % self.across, index / self.across)
        };
        let one = |(x, y): (u32, u32)| PixelBox {
            x,
            y,
            width: 1,
            height: 1,
        };
        let (mut bounds, mut count) = (one(place(start)), 0);
        while let Some(index) = waiting.pop() {
            count += 1;
            let (x, y) = place(index);
            bounds = bounds.union(one((x, y)));
            for near_y in y.saturating_sub(2)..(y + 3).min(self.down) {
                for near_x in x.saturating_sub(2)..(x + 3).min(self.across) {
                    let near = near_y as usize * self.across as usize + near_x as usize;
                    if self.continuous[near] && !seen[near] {
                        seen[near] = true;
                        waiting.push(near);
                    }
                }
            }
        }
        (bounds, count)
    }

    fn in_pixels(&self, tiles: PixelBox, size: Size) -> PixelBox {
        let (x, y) = (tiles.x * self.side_px, tiles.y * self.side_px);
        PixelBox {
            x,
            y,
            width: (tiles.width * self.side_px).min(size.width() - x),
            height: (tiles.height * self.side_px).min(size.height() - y),
        }
    }
}

/// BT.709 luma of each pixel in 8-bit codes; the weights of the key do not matter here.
fn luma_codes(codes: &[[u8; 4]]) -> Vec<u8> {
    let (kr, kb) = Luma::Bt709.weights();
    let code = |&[r, g, b, _]: &[u8; 4]| {
        crate::pixel::color::to_u8(luma([r, g, b].map(|v| f32::from(v) / 255.0), kr, kb))
    };
    codes.iter().map(code).collect()
}

/// The window around a tile, twice its side.
fn window(size: Size, x: u32, y: u32, side_px: u32) -> PixelBox {
    let (left, top) = (x.saturating_sub(side_px / 2), y.saturating_sub(side_px / 2));
    PixelBox {
        x: left,
        y: top,
        width: (x + side_px * 3 / 2).min(size.width()) - left,
        height: (y + side_px * 3 / 2).min(size.height()) - top,
    }
}

/// Whether a window has many tones and none that prevails, up to a share of its fullest bin.
fn has_many_tones(size: Size, lumas: &[u8], window: PixelBox, most: f32) -> bool {
    let mut bins = [0_u32; BINS];
    for row in window.y..window.bottom() {
        let start = row as usize * size.width() as usize;
        for &code in &lumas[start + window.x as usize..start + window.right() as usize] {
            bins[usize::from(code) * BINS / 256] += 1;
        }
    }
    let all = window.area() as f32;
    let fullest = bins.iter().max().map_or(0.0, |&count| count as f32);
    let filled = bins
        .iter()
        .filter(|&&count| count as f32 >= FILLED_BIN * all);
    fullest <= most * all && filled.count() >= FILLED_BINS
}

/// Share of a window's pixels that are texture.
fn texture_share(size: Size, codes: &[[u8; 4]], window: PixelBox) -> f32 {
    let reach = TEXTURE_REACH_PX;
    let width = size.width() as usize;
    let inner = |at: u32, end: u32, side: u32| at.max(reach)..end.min(side.saturating_sub(reach));
    let (mut textured, mut all) = (0_u32, 0_u32);
    for y in inner(window.y, window.bottom(), size.height()) {
        for x in inner(window.x, window.right(), size.width()) {
            let here = y as usize * width + x as usize;
            textured += u32::from(is_texture(codes, width, here));
            all += 1;
        }
    }
    textured as f32 / all.max(1) as f32
}

/// The box, grown over rows and columns that are mostly content and shrunk by those that are not.
fn fitted(
    mut bounds: PixelBox,
    size: Size,
    side_px: u32,
    is_content: &impl Fn(u32, u32) -> bool,
) -> PixelBox {
    let row_is_inside = |b: PixelBox, y: u32| {
        let count = (b.x..b.right()).filter(|&x| is_content(x, y)).count();
        count as f32 >= INSIDE_EDGE * b.width as f32
    };
    let column_is_inside = |b: PixelBox, x: u32| {
        let count = (b.y..b.bottom()).filter(|&y| is_content(x, y)).count();
        count as f32 >= INSIDE_EDGE * b.height as f32
    };
    for _ in 0..side_px * 2 {
        let before = bounds;
        if bounds.y > 0 && row_is_inside(bounds, bounds.y - 1) {
            bounds.y -= 1;
            bounds.height += 1;
        } else if bounds.height > 1 && !row_is_inside(bounds, bounds.y) {
            bounds.y += 1;
            bounds.height -= 1;
        }
        if bounds.bottom() < size.height() && row_is_inside(bounds, bounds.bottom()) {
            bounds.height += 1;
        } else if bounds.height > 1 && !row_is_inside(bounds, bounds.bottom() - 1) {
            bounds.height -= 1;
        }
        if bounds.x > 0 && column_is_inside(bounds, bounds.x - 1) {
            bounds.x -= 1;
            bounds.width += 1;
        } else if bounds.width > 1 && !column_is_inside(bounds, bounds.x) {
            bounds.x += 1;
            bounds.width -= 1;
        }
        if bounds.right() < size.width() && column_is_inside(bounds, bounds.right()) {
            bounds.width += 1;
        } else if bounds.width > 1 && !column_is_inside(bounds, bounds.right() - 1) {
            bounds.width -= 1;
        }
        if bounds == before {
            break;
        }
    }
    bounds
}

/// Boxes that overlap become one, until none do.
fn merged(mut boxes: Vec<PixelBox>) -> Vec<PixelBox> {
    let mut done: Vec<PixelBox> = Vec::new();
    while let Some(mut bounds) = boxes.pop() {
        while let Some(other) = done.iter().position(|b| b.intersection(bounds).is_some()) {
            bounds = bounds.union(done.swap_remove(other));
        }
        done.push(bounds);
    }
    done.sort_by_key(|b| (b.y, b.x));
    done
}
