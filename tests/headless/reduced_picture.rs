//! The picture that the processor reduces for the window: the mean over the area of each of its pixels.

use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;
use nightglass::window::picture::{PictureLayout, WindowRect, layout};
use nightglass::window::reduced_picture::reduced;
use nightglass::window::zooming::Zoom;

use crate::frames::hash_at;

const AREA: WindowRect = WindowRect {
    left_px: 4.0,
    top_px: 3.0,
    width_px: 57.0,
    height_px: 41.0,
};

fn picture() -> Frame {
    Frame::from_fn(Size::new(131, 97).unwrap(), |x, y| {
        let [r, g, b, _] = hash_at(5, x, y).to_le_bytes();
        [r, g, b]
    })
}

/// The mean code over the area of a window pixel, from the definition.
fn mean(frame: &Frame, laid: &PictureLayout, [x, y]: [f64; 2]) -> [f64; 3] {
    let sides = [frame.size().width(), frame.size().height()];
    let [from, to] = [[x, y], [x + 1.0, y + 1.0]].map(|at| laid.output_from_window(at));
    let part = |axis: usize, pixel: u32| {
        let pixel = f64::from(pixel);
        (to[axis].min(pixel + 1.0) - from[axis].max(pixel)).max(0.0)
    };
    let (mut sum, mut weights) = ([0.0; 3], 0.0);
    for row in 0..sides[1] {
        for column in 0..sides[0] {
            let weight = part(0, column) * part(1, row);
            let index = (row * sides[0] + column) as usize * 4;
            let code = |c: usize| f64::from(frame.bytes()[index + c]);
            weights += weight;
            sum = [0, 1, 2].map(|c| sum[c] + weight * code(c));
        }
    }
    sum.map(|v| v / weights)
}

#[test]
fn each_pixel_is_the_mean_over_its_area() {
    let frame = picture();
    for (zoom, centre) in [
        (Zoom::Fit, [0.5; 2]),
        (Zoom::Scale(0.9), [0.4, 0.6]),
        (Zoom::Scale(0.61), [0.0, 1.0]),
        (Zoom::Scale(1.0 / 3.0), [0.5; 2]),
        (Zoom::Scale(0.05), [0.5; 2]),
    ] {
        let laid = layout(zoom, centre, frame.size(), AREA);
        let (small, placed) = reduced(&frame, &laid, AREA).unwrap();
        let seen = laid.visible(AREA).rounded();
        assert_eq!(placed.rect(), seen, "{zoom:?}");
        for y in 0..small.size().height() {
            for x in 0..small.size().width() {
                let at = [seen.left_px + f64::from(x), seen.top_px + f64::from(y)];
                let expected = mean(&frame, &laid, at);
                let index = (y * small.size().width() + x) as usize * 4;
                for (got, expected) in small.bytes()[index..].iter().zip(expected) {
                    let off = (f64::from(*got) - expected).abs();
                    assert!(off < 0.51, "{zoom:?} at {at:?}: {got}, not {expected}");
                }
            }
        }
    }
}

#[test]
fn at_its_own_size_and_beside_the_window_nothing_is_reduced() {
    let frame = picture();
    for zoom in [Zoom::Scale(1.0), Zoom::Scale(3.0)] {
        let laid = layout(zoom, [0.5; 2], frame.size(), AREA);
        assert!(reduced(&frame, &laid, AREA).is_none());
    }
    let nowhere = WindowRect {
        width_px: 0.0,
        ..AREA
    };
    let laid = layout(Zoom::Scale(0.5), [0.5; 2], frame.size(), AREA);
    assert!(reduced(&frame, &laid, nowhere).is_none());
}
