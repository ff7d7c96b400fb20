//! Whether something solid is lit and ends at once, as people and clothes do: light on the glass falls off slowly, and what wiping
//! leaves is threads.

use super::brightest::Brightest;
use crate::measure::camera::backdrop::Backdrop;
use crate::measure::raster::runs::Runs;
use crate::measure::statistics::slow_course::place_of;

/// Half the width of threads that are nothing solid, px in 540 rows. Source: chosen; wiping leaves threads of 2 to 6 px, and a
/// finger is wider than twice this.
const THREAD_PX: f64 = 4.0;
/// How deep something is even at least, and within how many px it ends, px in 540 rows. Source: computed; a light that falls off
/// by a normal curve, however wide, is either less even or ends later, and an edge that is blurred by a deviation of 5 px still
/// ends at once.
const EVEN_PX: f64 = 20.0;
const END_PX: f64 = 6.0;
/// Share of the brightest that the darkest has at least where something is even, and share of the darkest at most that is left
/// where it has ended. Source: computed as above; the shading of a cheek leaves 0.7 over so many px.
const EVEN_SHARE: f32 = 0.6;
const END_SHARE: f32 = 0.4;
/// Brightness over the backdrop under which nothing is lit, codes. Source: measured; faces in frames that are exposed too little by
/// half have 50, wiped glass has more in a few places only.
const LEAST_CODES: f32 = 20.0;
/// Fewest places along edges, a share of the rows. Source: measured; drawn and photographed people have 0.2 and more, light
/// and wiped glass 0.06 at most.
const LEAST_PLACES: f64 = 0.1;

/// What of a frame is solid, and how bright.
#[derive(Clone, Debug)]
pub struct SolidLight {
    /// Codes over the backdrop.
    over: Vec<f32>,
    width: usize,
    height: usize,
    even: usize,
    end: usize,
}

impl SolidLight {
    /// Takes out what is thin.
    pub fn of(brightest: &Brightest, backdrop: &Backdrop) -> Self {
        let opened = brightest.codes().opened(brightest.px(THREAD_PX));
        let codes = opened.bytes().iter().map(|&code| f32::from(code));
        let levels = brightest.backdrop(backdrop);
        Self {
            over: codes
                .zip(levels)
                .map(|(code, level)| code - level)
                .collect(),
            width: opened.width(),
            height: opened.height(),
            even: brightest.px(EVEN_PX),
            end: brightest.px(END_PX),
        }
    }

    /// Whether much of a figure is lit, even, and ends at once. What ink covers says nothing. Both masks are as small as
    /// [`Brightest`] is.
    pub fn has_steep_edge(&self, figure: &Runs, ink: &Runs) -> bool {
        let needed = place_of(self.height, LEAST_PLACES).max(1);
        let bare = figure.without(ink);
        let all = bare.as_slice().iter().flat_map(|run| {
            let y = run.y as usize;
            (run.start as usize..run.end as usize).map(move |x| (x, y))
        });
        all.flat_map(|place| self.edges_at(place))
            .take(needed)
            .count()
            == needed
    }

    /// One for each of the four sides to which something ends at a place, and not already before it.
    fn edges_at(&self, (x, y): (usize, usize)) -> impl Iterator<Item = ()> {
        let at = y * self.width + x;
        let row = self.width.cast_signed();
        // How far it is to the frame's edge behind and ahead, and the way to the next place.
        let sides = [
            (x, self.width - 1 - x, 1),
            (self.width - 1 - x, x, -1),
            (y, self.height - 1 - y, row),
            (self.height - 1 - y, y, -row),
        ];
        let is_lit = self.over[at] >= LEAST_CODES;
        sides.into_iter().filter_map(move |(behind, ahead, step)| {
            let has_room = behind > self.even && ahead >= self.end;
            let ends = is_lit
                && has_room
                && self.ends(at, step)
                && !self.ends(at.wrapping_add_signed(-step), step);
            ends.then_some(())
        })
    }

    /// Whether it is even up to a place and ends there, on the way of so many places a step.
    fn ends(&self, at: usize, step: isize) -> bool {
        let over = |steps: usize, step: isize| {
            self.over[at.wrapping_add_signed(steps.cast_signed() * step)]
        };
        let left = over(self.end, step);
        if left > END_SHARE * over(0, step) {
            return false;
        }
        let inside = (0..=self.even).map(|steps| over(steps, -step));
        let (least, most) = inside.fold((f32::MAX, f32::MIN), |(least, most), over| {
            (least.min(over), most.max(over))
        });
        least >= LEAST_CODES.max(EVEN_SHARE * most) && left <= END_SHARE * least
    }
}
