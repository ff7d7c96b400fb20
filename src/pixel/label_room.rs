//! Where labels go: beside what they name, over as little as can be of what is seen there, and never over each other.
//! Files and the window ask it alike, in pixels or in points.

use super::settings::Size;

/// `[left, top, right, bottom]`.
pub type Edges = [f64; 4];

/// How many labels lie above or below each other where their places are the same. Source: chosen, more than a page has.
const MOST_STACKED: u32 = 16;
/// How much a pixel that is marked and empty counts beside one on which something is seen. Source: chosen; a tight box
/// round letters is kept clear, a wide one with room in it is not.
const EMPTY_SHARE: f64 = 0.25;
/// Share of a label that may cover something before places farther off are looked for. Source: chosen by eye.
const COVER_SHARE: f64 = 0.1;
/// Share of a label that may be covered more for each step that it stands nearer. Source: chosen by eye.
const STEP_SHARE: f64 = 0.15;

/// The room for labels on a picture, with those that have their place already.
#[derive(Clone, Debug, PartialEq)]
pub struct LabelRoom {
    within: Edges,
    marked: Vec<Edges>,
    taken: Vec<Edges>,
}

impl LabelRoom {
    /// Room within these edges, beside what is marked there.
    pub fn new(within: Edges, marked: Vec<Edges>) -> Self {
        Self {
            within,
            marked,
            taken: Vec::new(),
        }
    }

    /// Room on a whole picture with nothing marked on it.
    pub fn on(picture: Size) -> Self {
        let [width, height] = [picture.width(), picture.height()].map(f64::from);
        Self::new([0.0, 0.0, width, height], Vec::new())
    }

    /// A label that stands where it is: others keep off it.
    pub fn take(&mut self, label: Edges) {
        self.taken.push(label);
    }

    /// Puts a label beside what it names, or in it where there is no room: above its left corner before all.
    ///
    /// `seen_px` says how many pixels of a place show something.
    pub fn put_beside(
        &mut self,
        named: Edges,
        size: [f64; 2],
        seen_px: impl Fn(&Edges) -> f64,
    ) -> Edges {
        let place = self.beside(named, size, &seen_px);
        self.taken.push(place);
        place
    }

    /// The same; none where every place is taken by another label.
    pub fn put_beside_free(
        &mut self,
        named: Edges,
        size: [f64; 2],
        seen_px: impl Fn(&Edges) -> f64,
    ) -> Option<Edges> {
        let place = self.beside(named, size, &seen_px);
        let is_free = self.taken.iter().all(|other| shared(&place, other) <= 0.0);
        is_free.then(|| {
            self.taken.push(place);
            place
        })
    }

    /// Puts a label at the best of these top left corners, the first ones before all; none where there is none inside
    /// that is free of labels.
    pub fn put_at(
        &mut self,
        corners: impl IntoIterator<Item = [f64; 2]>,
        size: [f64; 2],
        seen_px: impl Fn(&Edges) -> f64,
    ) -> Option<Edges> {
        let places = corners.into_iter().map(|corner| of_size(corner, size));
        let fitting = places.filter(|place| self.holds(place));
        let (place, cost) = self.best(fitting, None, &seen_px)?;
        (cost.labels <= 0.0).then(|| {
            self.taken.push(place);
            place
        })
    }

    fn beside(&self, named: Edges, size: [f64; 2], seen_px: &impl Fn(&Edges) -> f64) -> Edges {
        let [left, top, right, bottom] = named;
        let [width, height] = size;
        let [low_x, low_y, high_x, high_y] = self.within;
        let corners = [
            [left, top - height],
            [right - width, top - height],
            [left, bottom],
            [right - width, bottom],
            [left - width, top],
            [right, top],
            [left - width, bottom - height],
            [right, bottom - height],
            [left, top],
            [right - width, top],
            [left, bottom - height],
            [right - width, bottom - height],
        ];
        let inside_x = |x: f64| x.clamp(low_x, (high_x - width).max(low_x));
        let inside_y = |y: f64| y.clamp(low_y, (high_y - height).max(low_y));
        // A label further along, or pushed into the picture, where the corners are taken.
        let along = [top - height, bottom].into_iter().flat_map(|y| {
            let further = [left + width, right - 2.0 * width];
            let further = further
                .into_iter()
                .filter(|&x| x < right && x + width > left);
            let pushed = [left, right - width].map(inside_x);
            further.chain(pushed).map(move |x| [x, y])
        });
        let near = corners.into_iter().chain(along);
        let fits = |place: &Edges| self.holds(place);
        let near = near.map(|corner| of_size(corner, size)).filter(fits);
        let near = self.best(near, Some(&named), seen_px);
        let area = width * height;
        if let Some((place, cost)) = near
            && cost.labels <= 0.0
            && cost.seen <= COVER_SHARE * area
        {
            return place;
        }
        // Then farther off above and below, within and beside.
        let mut best = near;
        for step in 0..MOST_STACKED {
            let off = f64::from(step) * height;
            let rows = [top - height - off, bottom + off, top + off];
            let corners = rows
                .into_iter()
                .flat_map(|y| [[inside_x(left), y], [inside_x(right - width), y]]);
            let places = corners.map(|corner| of_size(corner, size)).filter(fits);
            if let Some((place, mut cost)) = self.best(places, Some(&named), seen_px) {
                cost.seen += f64::from(step) * STEP_SHARE * area;
                if best.is_none_or(|(_, least)| cost.is_less(least)) {
                    best = Some((place, cost));
                }
            }
        }
        best.map_or_else(
            || of_size([inside_x(left), inside_y(top)], size),
            |(place, _)| place,
        )
    }

    /// The first of those that cost least.
    fn best(
        &self,
        places: impl Iterator<Item = Edges>,
        named: Option<&Edges>,
        seen_px: &impl Fn(&Edges) -> f64,
    ) -> Option<(Edges, Cost)> {
        let mut best: Option<(Edges, Cost)> = None;
        for place in places {
            let cost = self.cost(&place, named, seen_px);
            if best.is_none_or(|(_, least)| cost.is_less(least)) {
                best = Some((place, cost));
            }
        }
        best
    }

    fn cost(&self, place: &Edges, named: Option<&Edges>, seen_px: &impl Fn(&Edges) -> f64) -> Cost {
        let labels = self.taken.iter().map(|other| shared(place, other)).sum();
        // What holds the whole of what is named, a background's box say, is everywhere.
        let is_everywhere = |other: &&Edges| named.is_some_and(|named| holds(other, named));
        let marked = self.marked.iter().filter(|other| !is_everywhere(other));
        let marked: f64 = marked.map(|other| shared(place, other)).sum();
        let empty = marked + named.map_or(0.0, |named| shared(place, named));
        Cost {
            labels,
            seen: seen_px(place) + EMPTY_SHARE * empty,
        }
    }

    fn holds(&self, place: &Edges) -> bool {
        holds(&self.within, place)
    }
}

/// What a label would cover, in pixels.
#[derive(Clone, Copy, Debug)]
struct Cost {
    labels: f64,
    seen: f64,
}

impl Cost {
    fn is_less(self, other: Self) -> bool {
        (self.labels, self.seen) < (other.labels, other.seen)
    }
}

fn of_size([x, y]: [f64; 2], [width, height]: [f64; 2]) -> Edges {
    [x, y, x + width, y + height]
}

/// Pixels that two places share.
pub fn shared(a: &Edges, b: &Edges) -> f64 {
    let along = |axis: usize| (a[axis + 2].min(b[axis + 2]) - a[axis].max(b[axis])).max(0.0);
    along(0) * along(1)
}

/// Whether one place holds another.
fn holds(outer: &Edges, inner: &Edges) -> bool {
    outer[0] <= inner[0] && outer[1] <= inner[1] && outer[2] >= inner[2] && outer[3] >= inner[3]
}
