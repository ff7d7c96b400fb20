//! Where the picture lies in the window, and what the pointer points at.

use std::mem::offset_of;

use naga::TypeInner;
use nightglass::pixel::settings::Size;
use nightglass::window::picture::{MAX_ZOOM, MIN_ZOOM, WindowRect, layout, stepped_zoom};
use nightglass::window::present::PresentParams;
use nightglass::window::zooming::Zoom;
use proptest::prelude::*;

const AREA: WindowRect = WindowRect {
    left_px: 10.0,
    top_px: 40.0,
    width_px: 800.0,
    height_px: 500.0,
};

fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

#[test]
fn a_fitted_picture_fills_one_side_and_lies_in_the_middle_of_the_other() {
    let laid = layout(Zoom::Fit, [0.5; 2], size(1600, 900), AREA);
    assert_eq!(laid.zoom, 0.5);
    assert_eq!(laid.corner_px, [10.0, 65.0]);
}

#[test]
fn a_fitted_picture_lies_the_same_wherever_it_was_looked_at() {
    let output = size(1600, 900);
    let middle = layout(Zoom::Fit, [0.5; 2], output, AREA);
    assert_eq!(layout(Zoom::Fit, [0.1, 0.9], output, AREA), middle);
}

#[test]
fn one_to_one_lies_on_whole_pixels() {
    for centre in [0.3, 0.333_33, 0.5, 0.71] {
        let laid = layout(Zoom::Scale(1.0), [centre; 2], size(1921, 1081), AREA);
        assert_eq!(laid.corner_px, laid.corner_px.map(f64::round));
        assert_eq!(laid.zoom, 1.0);
    }
}

#[test]
fn the_pixel_under_the_pointer_is_the_one_that_is_drawn_there() {
    let laid = layout(Zoom::Scale(4.0), [0.5; 2], size(1600, 900), AREA);
    let [left, top] = laid.window_from_output([700.0, 400.0]);
    assert_eq!(laid.pixel_at([left, top]), Some((700, 400)));
    assert_eq!(laid.pixel_at([left + 3.9, top + 3.9]), Some((700, 400)));
    assert_eq!(laid.pixel_at([left + 4.0, top]), Some((701, 400)));
    assert_eq!(laid.pixel_at([left - 0.1, top]), Some((699, 400)));
}

#[test]
fn beside_the_picture_there_is_no_pixel() {
    let output = size(100, 100);
    let laid = layout(Zoom::Scale(1.0), [0.5; 2], output, AREA);
    let [left, top] = laid.corner_px;
    assert_eq!(laid.pixel_at([left - 0.5, top]), None);
    assert_eq!(laid.pixel_at([left + 100.0, top]), None);
    assert_eq!(laid.pixel_at([left + 99.5, top + 99.5]), Some((99, 99)));
}

#[test]
fn all_of_a_fitted_picture_is_visible_and_a_part_of_a_large_one() {
    let output = size(1600, 1000);
    assert_eq!(
        layout(Zoom::Fit, [0.5; 2], output, AREA).visible_uv(AREA),
        [1.0, 1.0]
    );
    let laid = layout(Zoom::Scale(1.0), [0.5; 2], output, AREA);
    assert_eq!(laid.visible_uv(AREA), [0.5, 0.5]);
}

#[test]
fn wheel_steps_come_by_one_to_one_and_by_twice_the_size() {
    let mut zoom = 0.456;
    let mut seen = Vec::new();
    for _ in 0..10 {
        zoom = stepped_zoom(zoom, 1);
        seen.push(zoom);
    }
    assert_eq!(seen[0], 0.5);
    assert!(seen.contains(&1.0) && seen.contains(&2.0), "{seen:?}");
    assert_eq!(stepped_zoom(0.456, -1), (-1.25_f64).exp2());
}

#[test]
fn steps_stop_at_both_ends() {
    assert_eq!(stepped_zoom(MAX_ZOOM, 1), MAX_ZOOM);
    assert_eq!(stepped_zoom(MIN_ZOOM, -1), MIN_ZOOM);
}

proptest! {
    #[test]
    fn the_way_to_the_output_and_back_is_the_same(
        width in 1_u32..5000, height in 1_u32..5000, zoom in 0.1_f32..16.0,
        u in 0.0_f32..1.0, v in 0.0_f32..1.0, x in 0.0_f64..900.0, y in 0.0_f64..600.0,
    ) {
        let laid = layout(Zoom::Scale(zoom), [u, v], size(width, height), AREA);
        let [back_x, back_y] = laid.window_from_output(laid.output_from_window([x, y]));
        prop_assert!((back_x - x).abs() < 1e-6 && (back_y - y).abs() < 1e-6);
    }

    #[test]
    fn a_picture_larger_than_the_area_covers_it(
        zoom in 1.0_f32..16.0, u in 0.0_f32..1.0, v in 0.0_f32..1.0,
    ) {
        let laid = layout(Zoom::Scale(zoom), [u, v], size(1000, 700), AREA);
        prop_assert_eq!(laid.visible(AREA).rounded(), AREA);
    }

    #[test]
    fn zooming_leaves_what_is_under_the_pointer_there(
        before in 2.0_f32..8.0, after in 2.0_f32..8.0, x in 300.0_f64..500.0, y in 200.0_f64..400.0,
    ) {
        let output = size(4000, 3000);
        let laid = layout(Zoom::Scale(before), [0.5; 2], output, AREA);
        let held = laid.output_from_window([x, y]);
        let centre = laid.centre_after_zoom(AREA, f64::from(after), [x, y]);
        let now = layout(Zoom::Scale(after), centre, output, AREA);
        let [now_x, now_y] = now.window_from_output(held);
        // Half a pixel is rounded off the corner, and the centre is kept in f32.
        prop_assert!((now_x - x).abs() < 1.0 && (now_y - y).abs() < 1.0, "{now_x} {now_y}");
    }

    #[test]
    fn the_picture_follows_the_pointer_that_drags_it(dx in -200.0_f64..200.0, dy in -200.0_f64..200.0) {
        let output = size(4000, 3000);
        let laid = layout(Zoom::Scale(1.0), [0.5; 2], output, AREA);
        let centre = laid.centre_after_pan(AREA, [dx, dy]);
        let now = layout(Zoom::Scale(1.0), centre, output, AREA);
        prop_assert!((now.corner_px[0] - laid.corner_px[0] - dx).abs() < 1.0);
        prop_assert!((now.corner_px[1] - laid.corner_px[1] - dy).abs() < 1.0);
    }
}

#[test]
fn the_presenting_shader_is_valid_and_its_parameters_lie_where_rust_puts_them() {
    let text = include_str!("../../shaders/present.wgsl");
    let module = naga::front::wgsl::parse_str(text)
        .unwrap_or_else(|error| panic!("{}", error.emit_to_string(text)));
    naga::valid::Validator::new(
        naga::valid::ValidationFlags::all(),
        naga::valid::Capabilities::default(),
    )
    .validate(&module)
    .unwrap();
    let mut types = module.types.iter().map(|(_, ty)| ty);
    let params = types
        .find(|ty| ty.name.as_deref() == Some("PresentParams"))
        .unwrap();
    let TypeInner::Struct { members, span } = &params.inner else {
        panic!("PresentParams is no struct");
    };
    let seen: Vec<(&str, u32)> = members
        .iter()
        .map(|member| (member.name.as_deref().unwrap(), member.offset))
        .collect();
    macro_rules! fields {
        ($($field:ident),*) => {
            vec![$((stringify!($field), offset_of!(PresentParams, $field) as u32)),*]
        };
    }
    let expected = fields!(
        output_width,
        output_height,
        left_px,
        top_px,
        output_per_window,
        mirrored,
        brightness_frac,
        reserved
    );
    assert_eq!(seen, expected);
    assert_eq!(*span as usize, size_of::<PresentParams>());
}
