//! What of a frame of the window is drawn anew: where it looks otherwise, and nothing else.

use egui::epaint::{ClippedPrimitive, Mesh, Primitive};
use egui::{Color32, Rect, pos2};
use nightglass::pixel::settings::Size;
use nightglass::pixel::views::View;
use nightglass::window::damage::Damage;
use nightglass::window::picture::{WindowRect, layout};
use nightglass::window::present::Presentation;
use nightglass::window::sight::{MadeView, Sight};
use nightglass::window::zooming::Zoom;

const AREA: WindowRect = WindowRect {
    left_px: 0.0,
    top_px: 40.0,
    width_px: 800.0,
    height_px: 600.0,
};

/// The part of the window from one corner to another.
fn part([left, top]: [u32; 2], [right, bottom]: [u32; 2]) -> WindowRect {
    WindowRect {
        left_px: left.into(),
        top_px: top.into(),
        width_px: (right - left).into(),
        height_px: (bottom - top).into(),
    }
}

/// Where the two squares of a panel are.
const SQUARES: [[[u32; 2]; 2]; 2] = [[[3, 4], [50, 60]], [[60, 70], [99, 90]]];
const CLIP: [[u32; 2]; 2] = [[0, 0], [100, 100]];

fn rect([min, max]: [[u32; 2]; 2]) -> Rect {
    let [min, max] = [min, max].map(|[x, y]| pos2(x as f32, y as f32));
    Rect::from_min_max(min, max)
}

fn panel(colors: [Color32; 2]) -> ClippedPrimitive {
    let mut mesh = Mesh::default();
    for (square, color) in SQUARES.into_iter().zip(colors) {
        mesh.add_colored_rect(rect(square), color);
    }
    ClippedPrimitive {
        clip_rect: rect(CLIP),
        primitive: Primitive::Mesh(mesh),
    }
}

fn square(index: usize) -> WindowRect {
    let [min, max] = SQUARES[index];
    part(min, max)
}

fn sight() -> Sight {
    let view = |view| MadeView { view, revision: 3 };
    Sight {
        primitives: vec![panel([Color32::DARK_GRAY; 2]), panel([Color32::WHITE; 2])],
        pixels_per_point: 1.0,
        surround: wgpu::Color::BLACK,
        picture: Some((
            [view(View::Composite), view(View::Matte)],
            Presentation {
                layout: layout(Zoom::Fit, [0.5; 2], Size::new(1920, 1080).unwrap(), AREA),
                area: AREA,
                divider_px: 300.0,
                mirrored: false,
                brightness_frac: 1.0,
            },
        )),
    }
}

#[test]
fn nothing_is_drawn_where_nothing_changed() {
    assert!(sight().damage_since(&sight()).is_none());
}

#[test]
fn what_is_clipped_away_changes_nothing() {
    let hidden = Rect::from_min_max(pos2(200.0, 200.0), pos2(300.0, 300.0));
    let mut more = sight();
    mesh(&mut more, 0).add_colored_rect(hidden, Color32::WHITE);
    assert!(more.damage_since(&sight()).is_none());

    let mut moved = sight();
    moved.primitives[0].clip_rect = hidden;
    let expected = Damage::Parts(vec![panel_part()]);
    assert_eq!(moved.damage_since(&sight()), expected);
    assert_eq!(sight().damage_since(&moved), expected);
}

/// What changes in a frame.
type Change = fn(&mut Sight);

fn made(sight: &mut Sight) -> &mut [MadeView; 2] {
    &mut sight.picture.as_mut().unwrap().0
}

fn presentation(sight: &mut Sight) -> &mut Presentation {
    &mut sight.picture.as_mut().unwrap().1
}

fn mesh(sight: &mut Sight, index: usize) -> &mut Mesh {
    match &mut sight.primitives[index].primitive {
        Primitive::Mesh(mesh) => mesh,
        Primitive::Callback(_) => panic!("a panel is a mesh"),
    }
}

/// Both squares of a panel in one part.
fn panel_part() -> WindowRect {
    square(0).around(square(1))
}

#[test]
fn what_changed_is_drawn_anew_and_nothing_else() {
    let changes: [(&str, Change, WindowRect); 15] = [
        (
            "the colour of the second square",
            |sight| sight.primitives[1] = panel([Color32::WHITE, Color32::GRAY]),
            square(1),
        ),
        (
            "the colour of the first square",
            |sight| sight.primitives[0] = panel([Color32::GRAY, Color32::DARK_GRAY]),
            square(0),
        ),
        (
            "both",
            |sight| sight.primitives[0] = panel([Color32::GRAY; 2]),
            panel_part(),
        ),
        (
            "a corner moved out",
            |sight| mesh(sight, 1).vertices[0].pos.x -= 1.5,
            part([1, 4], [50, 60]),
        ),
        (
            "a corner moved in",
            |sight| mesh(sight, 1).vertices[0].pos.x += 1.5,
            square(0),
        ),
        (
            "a square more",
            |sight| {
                let more = Rect::from_min_max(pos2(10.25, 70.0), pos2(20.0, 80.5));
                mesh(sight, 0).add_colored_rect(more, Color32::WHITE);
            },
            part([10, 70], [20, 81]),
        ),
        (
            "a square less",
            |sight| mesh(sight, 0).indices.truncate(6),
            square(1),
        ),
        (
            "a square that is hidden by the clip",
            |sight| {
                let beside = Rect::from_min_max(pos2(90.0, 95.0), pos2(300.0, 300.0));
                mesh(sight, 0).add_colored_rect(beside, Color32::WHITE);
            },
            part([90, 95], [100, 100]),
        ),
        (
            "a panel more",
            |sight| sight.primitives.push(panel([Color32::WHITE; 2])),
            panel_part(),
        ),
        (
            "a panel less",
            |sight| sight.primitives.truncate(1),
            panel_part(),
        ),
        (
            "the order",
            |sight| sight.primitives.reverse(),
            panel_part(),
        ),
        (
            "what is clipped",
            |sight| sight.primitives[0].clip_rect.max.x = 90.0,
            panel_part(),
        ),
        (
            "the left view",
            |sight| made(sight)[0].view = View::Kept,
            AREA,
        ),
        (
            "the right view made anew",
            |sight| made(sight)[1].revision = 4,
            AREA,
        ),
        ("no picture", |sight| sight.picture = None, AREA),
    ];
    for (name, change, expected) in changes {
        let mut other = sight();
        change(&mut other);
        let expected = Damage::Parts(vec![expected]);
        assert_eq!(other.damage_since(&sight()), expected, "{name}");
        assert_eq!(sight().damage_since(&other), expected, "{name}, taken back");
    }
}

#[test]
fn a_picture_elsewhere_is_drawn_anew_where_it_is_and_where_it_was() {
    let mut other = sight();
    let moved = WindowRect {
        left_px: 900.0,
        ..AREA
    };
    presentation(&mut other).area = moved;
    let expected = Damage::Parts(vec![moved, AREA]);
    assert_eq!(other.damage_since(&sight()), expected);
    for change in [
        (|presentation| presentation.divider_px = 301.0) as fn(&mut Presentation),
        |presentation| presentation.brightness_frac = 0.5,
        |presentation| presentation.layout.corner_px[0] += 1.0,
    ] {
        let mut other = sight();
        change(presentation(&mut other));
        let expected = Damage::Parts(vec![AREA]);
        assert_eq!(other.damage_since(&sight()), expected);
    }
}

#[test]
fn another_scale_or_surround_changes_all() {
    let changes: [Change; 2] = [
        |sight| sight.pixels_per_point = 1.25,
        |sight| sight.surround = wgpu::Color::WHITE,
    ];
    for change in changes {
        let mut other = sight();
        change(&mut other);
        assert_eq!(other.damage_since(&sight()), Damage::Whole);
    }
}

#[test]
fn points_are_pixels_at_the_scale_of_the_window() {
    let scaled = |color| {
        let mut sight = sight();
        sight.pixels_per_point = 1.5;
        sight.primitives[1] = panel([Color32::WHITE, color]);
        sight
    };
    // 60, 70 to 99, 90 points.
    let expected = Damage::Parts(vec![part([90, 105], [149, 135])]);
    let damage = scaled(Color32::GRAY).damage_since(&scaled(Color32::WHITE));
    assert_eq!(damage, expected);
}

#[test]
fn parts_never_overlap() {
    let mut damage = Damage::none();
    for [x, y] in [[0, 0], [40, 0], [0, 40], [10, 15], [80, 80], [79, 2]] {
        damage.add(part([x, y], [x + 20, y + 20]));
    }
    let parts = damage.parts([90, 200]);
    assert!(parts.len() > 1, "{parts:?}");
    for (index, one) in parts.iter().enumerate() {
        for other in &parts[..index] {
            assert!(one.intersect(*other).area() <= 0.0, "{one:?} {other:?}");
        }
        assert!(
            one.left_px + one.width_px <= 90.0,
            "{one:?} is on the surface"
        );
    }
    let is_covered = |[x, y]: [u32; 2]| {
        let pixel = part([x, y], [x + 1, y + 1]);
        parts.iter().any(|one| one.intersect(pixel).area() >= 1.0)
    };
    assert!(
        [[0, 0], [59, 19], [19, 59], [29, 34], [89, 99], [89, 21]]
            .into_iter()
            .all(is_covered)
    );
}
