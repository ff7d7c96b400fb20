//! What of a zone is under the pointer, and what a drag from there does.

use egui::{CursorIcon, Pos2, Rect, pos2, vec2};

/// Side of a handle in points. Source: chosen; WCAG 2.2, 2.5.8, counts what is smaller than 24 as too small for a finger,
/// and 14 is what a mouse holds with ease.
pub const HANDLE: f32 = 14.0;
/// How near the pointer has to be to the edge of a zone to hold it, in points. Source: chosen, easy to hit.
const NEAR_EDGE: f32 = 6.0;

/// A zone that can be held.
#[derive(Clone, Copy, Debug)]
pub struct HeldZone {
    /// Its place in the setup.
    pub index: usize,
    /// Where it is, in points.
    pub rect: Rect,
    /// The plate with its name.
    pub label: Rect,
    /// Whether it is selected.
    pub is_selected: bool,
}

/// What the pointer holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grip {
    /// The zone's place in the setup.
    pub zone: usize,
    /// For each axis the side that moves: -1 the first, 1 the last; both 0 move the whole zone.
    pub sides: [i8; 2],
}

impl Grip {
    /// The pointer that says what a drag will do.
    pub fn cursor(self) -> CursorIcon {
        match self.sides {
            [0, 0] => CursorIcon::Move,
            [_, 0] => CursorIcon::ResizeHorizontal,
            [0, _] => CursorIcon::ResizeVertical,
            [x, y] if x == y => CursorIcon::ResizeNwSe,
            _ => CursorIcon::ResizeNeSw,
        }
    }
}

/// Where a zone's handles are within what is visible: corners, and the middles of sides that are long enough for three.
pub fn handles(rect: Rect, visible: Rect) -> Vec<([i8; 2], Rect)> {
    let mut handles = Vec::new();
    for y in [-1_i8, 0, 1] {
        for x in [-1_i8, 0, 1] {
            let is_long = |side: f32| side >= 4.0 * HANDLE;
            let is_shown = match [x, y] {
                [0, 0] => false,
                [0, _] => is_long(rect.width()),
                [_, 0] => is_long(rect.height()),
                _ => true,
            };
            let middle = rect.center() + vec2(f32::from(x), f32::from(y)) * rect.size() / 2.0;
            let half = HANDLE / 2.0;
            let inside = |v: f32, from: f32, to: f32| v.min(to - half).max(from + half);
            let middle = pos2(
                inside(middle.x, visible.left(), visible.right()),
                inside(middle.y, visible.top(), visible.bottom()),
            );
            if is_shown {
                handles.push(([x, y], Rect::from_center_size(middle, vec2(HANDLE, HANDLE))));
            }
        }
    }
    handles
}

/// What is held at a place: a handle of the selected zone, that zone, or the name or edge of another.
pub fn grip_at(zones: &[HeldZone], visible: Rect, at: Pos2) -> Option<Grip> {
    if !visible.contains(at) {
        return None;
    }
    let whole = |zone: &HeldZone| Grip {
        zone: zone.index,
        sides: [0, 0],
    };
    if let Some(zone) = zones.iter().find(|zone| zone.is_selected) {
        let handles = handles(zone.rect, visible);
        let distance = |rect: &Rect| rect.center().distance(at);
        let hit = handles
            .iter()
            .filter(|(_, rect)| rect.contains(at))
            .min_by(|a, b| distance(&a.1).total_cmp(&distance(&b.1)));
        if let Some((sides, _)) = hit {
            return Some(Grip {
                zone: zone.index,
                sides: *sides,
            });
        }
        if zone.rect.expand(NEAR_EDGE).contains(at) || zone.label.contains(at) {
            return Some(whole(zone));
        }
    }
    let is_on_edge = |zone: &HeldZone| {
        zone.rect.expand(NEAR_EDGE).contains(at) && !zone.rect.shrink(NEAR_EDGE).contains(at)
    };
    let hit = |zone: &&HeldZone| zone.label.contains(at) || is_on_edge(zone);
    zones.iter().rev().find(hit).map(whole)
}
