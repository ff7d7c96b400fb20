//! What is weighed about a piece that may be ink, on shapes whose figures are known, and light beside a presenter.

use nightglass::measure::camera::backdrop::Backdrop;
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::inspect::camera_parts::{CameraParts, CameraStills, find_camera_parts};
use nightglass::measure::parts::ink_contrast::InkContrast;
use nightglass::measure::parts::ink_pieces::InkPieces;
use nightglass::measure::parts::piece_shape::InkPiece;
use nightglass::measure::parts::symmetry::worn_shares;
use nightglass::measure::raster::hull::hull_area;
use nightglass::measure::raster::runs::{Run, Runs};
use nightglass::pixel::color::{srgb_decode, srgb_encode};
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;

use crate::frames::hash_at;

fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

/// Codes with a little noise, so that nothing is even by chance.
fn noisy(codes: [f64; 3], x: u32, y: u32) -> [u8; 3] {
    let noise = |k: u32| f64::from(hash_at(k, x, y) % 1000) / 500.0 - 1.0;
    [0, 1, 2].map(|c: u32| (codes[c as usize] + noise(c)).round().clamp(0.0, 255.0) as u8)
}

fn found(frame: &Frame) -> CameraParts {
    find_camera_parts(&CameraStills {
        camera: &CameraRaster::new(frame),
        empty: None,
        before: None,
    })
}

fn pieces_of(frame: &Frame) -> InkPieces {
    let camera = CameraRaster::new(frame);
    let backdrop = Backdrop::measure(&camera);
    InkPieces::find(&camera, &backdrop, &InkContrast::measure(&camera))
}

/// The piece at a place.
fn piece_at(all: &InkPieces, x: u32, y: u32) -> &InkPiece {
    let is_here = |run: &Run| run.y == y && (run.start..run.end).contains(&x);
    let mut here = all
        .pieces
        .iter()
        .filter(|piece| piece.runs.iter().any(is_here));
    here.next().unwrap()
}

fn runs(rows: &[(u32, u32, u32)]) -> Vec<Run> {
    let run = |&(y, start, end): &(u32, u32, u32)| Run { y, start, end };
    rows.iter().map(run).collect()
}

#[test]
fn the_hull_of_a_box_is_the_box_and_notches_and_slopes_are_filled() {
    let area = |rows: &[(u32, u32, u32)]| hull_area(&runs(rows));
    assert!((area(&[(2, 3, 8), (3, 3, 8), (4, 3, 8)]) - 15.0).abs() < 1e-9);
    // A u of three by two, and a stair of two steps: half a pixel more than its three.
    assert!((area(&[(0, 0, 1), (0, 2, 3), (1, 0, 3)]) - 6.0).abs() < 1e-9);
    assert!((area(&[(0, 0, 1), (1, 0, 2)]) - 3.5).abs() < 1e-9);
}

#[test]
fn the_hull_of_a_disc_has_its_area() {
    let rows: Vec<(u32, u32, u32)> = (0..401)
        .map(|y| {
            let half = (200.5_f64.powi(2) - (f64::from(y) - 200.0).powi(2)).sqrt();
            let [start, end] = [200.5 - half, 200.5 + half].map(|x| x.round() as u32);
            (y, start, end)
        })
        .collect();
    let disc = std::f64::consts::PI * 200.5_f64.powi(2);
    let share = hull_area(&runs(&rows)) / disc;
    assert!((share - 1.0).abs() < 0.01, "{share}");
}

#[test]
fn a_tilted_plate_fills_its_hull_and_a_cross_does_not() {
    let frame = Frame::from_fn(size(640, 360), |x, y| {
        let turned = |cx: f64, cy: f64, degrees: f64| {
            let (sin, cos) = degrees.to_radians().sin_cos();
            let (dx, dy) = (f64::from(x) - cx, f64::from(y) - cy);
            (dx * cos + dy * sin, dy * cos - dx * sin)
        };
        let (u, v) = turned(150.0, 180.0, 20.0);
        let plate = u.abs() < 13.0 && v.abs() < 11.0;
        let (u, v) = turned(450.0, 180.0, 45.0);
        let cross = u.abs() < 4.0 && v.abs() < 50.0 || v.abs() < 4.0 && u.abs() < 50.0;
        let color = if plate || cross {
            [60.0, 200.0, 240.0]
        } else {
            [8.0; 3]
        };
        noisy(color, x, y)
    });
    let all = pieces_of(&frame);
    let (plate, cross) = (piece_at(&all, 150, 180), piece_at(&all, 450, 180));
    assert!(plate.convexity > 0.9 && plate.fill < 0.7, "{plate:?}");
    assert!(cross.convexity < 0.4, "{}", cross.convexity);
}

#[test]
fn a_line_on_a_badge_lies_on_less_than_one_on_the_cloth() {
    // Cloth of 300 by 240 px, a badge of 100 by 60 on it, and a line on each.
    let frame = Frame::from_fn(size(640, 360), |x, y| {
        let cloth = (170..470).contains(&x) && y >= 120;
        let badge = (200..300).contains(&x) && (190..250).contains(&y);
        let on_badge = (232..268).contains(&x) && (218..222).contains(&y);
        let on_cloth = (360..420).contains(&x) && (218..222).contains(&y);
        let color = if on_badge || on_cloth {
            [245.0, 80.0, 80.0]
        } else if badge {
            [40.0, 110.0, 60.0]
        } else if cloth {
            [60.0, 60.0, 90.0]
        } else {
            [8.0; 3]
        };
        noisy(color, x, y)
    });
    let all = pieces_of(&frame);
    let area = |x| piece_at(&all, x, 220).backing.exp() * 360.0 * 360.0;
    let (badge, cloth) = (area(250), area(390));
    assert!(badge < 100.0 * 60.0, "{badge}");
    assert!(cloth > 40_000.0, "{cloth}");
}

/// A presenter with thin strands that run from the neck to one point, as a lanyard does, leaning by so much, and with one arm aside.
fn with_strands(lean: f64) -> Frame {
    Frame::from_fn(size(960, 540), |x, y| {
        let (fx, fy) = (f64::from(x), f64::from(y));
        let head = ((fx - 503.0) / 50.0).powi(2) + ((fy - 130.0) / 66.0).powi(2) < 1.0;
        let trunk = (fx - 503.0).abs() < 130.0 && y > 190;
        let arm = (633..800).contains(&x) && y > 230;
        let strand = |side: f64| {
            let middle = 503.0 + side * (430.0 - fy) * 0.3 + lean * (fy - 220.0);
            (220.0..430.0).contains(&fy) && (fx - middle).abs() < 2.5
        };
        let color = if strand(-1.0) || strand(1.0) {
            [60.0, 170.0, 240.0]
        } else if head {
            [190.0, 140.0, 112.0]
        } else if trunk || arm {
            [90.0, 80.0, 40.0]
        } else {
            [6.0; 3]
        };
        noisy(color, x, y)
    })
}

#[test]
fn thin_strands_on_both_sides_of_the_neck_are_worn_wherever_an_arm_is() {
    let worn = |lean: f64| {
        let frame = with_strands(lean);
        let all = pieces_of(&frame);
        let presenter = found(&frame).presenter;
        let shares = worn_shares(&all.pieces, &vec![1.0; all.pieces.len()], &presenter);
        // The strands are the highest piece.
        let all = all.pieces.iter().zip(shares);
        all.max_by_key(|(piece, _)| piece.bounds.height).unwrap().1
    };
    let (straight, leaning) = (worn(0.0), worn(0.4));
    assert!(straight > 0.8 && leaning < 0.5, "{straight} {leaning}");
}

#[test]
fn a_smear_at_the_head_is_no_presenter_and_a_dark_cap_is() {
    let frame = Frame::from_fn(size(960, 540), |x, y| {
        let (fx, fy) = (f64::from(x), f64::from(y));
        let head = ((fx - 480.0) / 60.0).powi(2) + ((fy - 170.0) / 80.0).powi(2) < 1.0;
        let trunk = (fx - 480.0).abs() < 160.0 && y > 240;
        let cap = (420..540).contains(&x) && (20..120).contains(&y);
        // Streaks of a dirty glass, weaker towards the edge of the patch.
        let patch = 1.0 - ((fx - 630.0) / 100.0).powi(2) - ((fy - 150.0) / 50.0).powi(2);
        let smear = patch.max(0.0) * (16.0 + 12.0 * (0.2 * fx + 0.3 * fy).sin());
        let code = if cap {
            22.0
        } else if head {
            165.0
        } else if trunk {
            110.0
        } else {
            8.0 + smear
        };
        noisy([code; 3], x, y)
    });
    let presenter = found(&frame).presenter;
    let has = |x: u32, y: u32| presenter.contains(x, y);
    assert!(has(480, 180) && has(480, 400), "head and trunk");
    assert!(has(480, 75) && has(430, 75), "the cap");
    let beside = Runs::of_bytes(
        frame.size(),
        &(0_u32..960 * 540)
            .map(|at| u8::from(at % 960 > 560 && at / 960 < 240))
            .collect::<Vec<u8>>(),
        |byte| byte == 1,
    );
    let taken = presenter.intersection(&beside).area();
    assert!(taken < 200, "{taken} px of a smear");
}

#[test]
fn a_thick_wave_whose_glow_reaches_the_head_is_writing_and_its_glow_no_presenter() {
    // Orange, as skin may be; its glow is 3 % of its light beside it.
    let size = size(960, 540);
    let ink = [250.0, 170.0, 60.0];
    let away = |x: u32, y: u32| {
        let (fx, fy) = (f64::from(x), f64::from(y));
        let course = |x: f64| 170.0 + 40.0 * (x / 22.0).sin();
        let near = (570..=900).map(|at| {
            let at = f64::from(at);
            (fx - at).powi(2) + (fy - course(at)).powi(2)
        });
        near.fold(f64::MAX, f64::min)
    };
    let frame = Frame::from_fn(size, |x, y| {
        let (fx, fy) = (f64::from(x), f64::from(y));
        let head = ((fx - 470.0) / 60.0).powi(2) + ((fy - 170.0) / 80.0).powi(2) < 1.0;
        let trunk = (fx - 470.0).abs() < 160.0 && y > 240;
        let under = if head {
            [185.0, 140.0, 115.0]
        } else if trunk {
            [60.0, 62.0, 70.0]
        } else {
            [8.0; 3]
        };
        let away = away(x, y);
        if away < 100.0 {
            return noisy(ink, x, y);
        }
        let share = 0.03 * (-away / 800.0).exp();
        let lit = [0, 1, 2].map(|c: usize| {
            let [under, ink] = [under[c], ink[c]].map(|code| srgb_decode((code / 255.0) as f32));
            255.0 * f64::from(srgb_encode(under + share as f32 * ink))
        });
        noisy(lit, x, y)
    });
    let parts = found(&frame);
    let wave = Runs::of_bytes(
        size,
        &(0_u32..960 * 540)
            .map(|at| u8::from(away(at % 960, at / 960) < 100.0))
            .collect::<Vec<u8>>(),
        |byte| byte == 1,
    );
    let kept = wave.intersection(&parts.writing).area() as f64 / wave.area() as f64;
    assert!(kept > 0.9, "{kept}");
    let right = parts.presenter_place.unwrap().right();
    assert!(right < 650, "the presenter reaches {right}");
}
