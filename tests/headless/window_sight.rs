//! What makes a frame of the window another one: all that is seen, and nothing else.

use egui::epaint::{ClippedPrimitive, Mesh, Primitive};
use egui::{Color32, Rect, pos2};
use nightglass::pixel::settings::Size;
use nightglass::pixel::views::View;
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

fn panel(color: Color32) -> ClippedPrimitive {
    let mut mesh = Mesh::default();
    mesh.add_colored_rect(Rect::from_min_max(pos2(3.0, 4.0), pos2(50.0, 60.0)), color);
    ClippedPrimitive {
        clip_rect: Rect::from_min_max(pos2(0.0, 0.0), pos2(100.0, 100.0)),
        primitive: Primitive::Mesh(mesh),
    }
}

fn sight() -> Sight {
    let view = |view| MadeView { view, revision: 3 };
    Sight {
        primitives: vec![panel(Color32::DARK_GRAY), panel(Color32::WHITE)],
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
fn the_same_things_are_the_same_frame() {
    assert!(sight().is_same(&sight()));
}

/// What changes in a frame.
type Change = fn(&mut Sight);

fn made(sight: &mut Sight) -> &mut [MadeView; 2] {
    &mut sight.picture.as_mut().unwrap().0
}

fn presentation(sight: &mut Sight) -> &mut Presentation {
    &mut sight.picture.as_mut().unwrap().1
}

#[test]
fn whatever_is_seen_makes_another_frame() {
    let changes: [(&str, Change); 12] = [
        ("a colour", |sight| {
            sight.primitives[1] = panel(Color32::GRAY);
        }),
        ("a shape more", |sight| {
            sight.primitives.push(panel(Color32::WHITE));
        }),
        ("a shape less", |sight| {
            sight.primitives.truncate(1);
        }),
        ("the order", |sight| {
            sight.primitives.reverse();
        }),
        ("what is clipped", |sight| {
            sight.primitives[0].clip_rect.max.x = 90.0;
        }),
        ("the scale", |sight| {
            sight.pixels_per_point = 1.25;
        }),
        ("the surround", |sight| {
            sight.surround = wgpu::Color::WHITE;
        }),
        ("no picture", |sight| {
            sight.picture = None;
        }),
        ("the left view", |sight| {
            made(sight)[0].view = View::Kept;
        }),
        ("the right view made anew", |sight| {
            made(sight)[1].revision = 4;
        }),
        ("the line", |sight| {
            presentation(sight).divider_px = 301.0;
        }),
        ("dimming", |sight| {
            presentation(sight).brightness_frac = 0.5;
        }),
    ];
    for (name, change) in changes {
        let mut other = sight();
        change(&mut other);
        assert!(!sight().is_same(&other), "{name}");
    }
}
