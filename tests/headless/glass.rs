//! Centimetres on the glass, held against `OpenCV`.

use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::space::glass::{Glass, GlassError};

const CORNERS: [[f64; 2]; 4] = [
    [120.0, 80.0],
    [1790.0, 40.0],
    [1850.0, 1020.0],
    [60.0, 990.0],
];

#[test]
fn places_on_a_slanted_glass_are_those_of_opencv() {
    // cv2.getPerspectiveTransform of these corners to 0,0 180,0 180,100 0,100, then cv2.perspectiveTransform.
    let glass = Glass::new(CORNERS, [180.0, 100.0]).unwrap();
    for (px, cm) in EXPECTED {
        let got = glass.cm_from_px(px).unwrap();
        assert!(
            (got[0] - cm[0]).abs() < 1e-4 && (got[1] - cm[1]).abs() < 1e-4,
            "{px:?}: {got:?}"
        );
    }
    for (corner, cm) in
        CORNERS
            .into_iter()
            .zip([[0.0, 0.0], [180.0, 0.0], [180.0, 100.0], [0.0, 100.0]])
    {
        let got = glass.cm_from_px(corner).unwrap();
        assert!(
            (got[0] - cm[0]).abs() < 1e-9 && (got[1] - cm[1]).abs() < 1e-9,
            "{got:?}"
        );
    }
}

#[test]
fn a_glass_that_is_seen_straight_is_a_scale() {
    let glass = Glass::new(
        [
            [100.0, 50.0],
            [1100.0, 50.0],
            [1100.0, 550.0],
            [100.0, 550.0],
        ],
        [200.0, 100.0],
    )
    .unwrap();
    let corners = glass.corners_cm(PixelBox {
        x: 150,
        y: 100,
        width: 300,
        height: 100,
    });
    assert_eq!(
        corners,
        Some([[10.0, 10.0], [70.0, 10.0], [70.0, 30.0], [10.0, 30.0]])
    );
}

#[test]
fn a_place_beyond_the_vanishing_line_is_not_on_the_glass() {
    // The left and right sides meet 500 px above the top: 200 px wide at row 500, 400 at row 1000, and so 0 at row 0.
    let corners = [
        [400.0, 500.0],
        [600.0, 500.0],
        [700.0, 1000.0],
        [300.0, 1000.0],
    ];
    let glass = Glass::new(corners, [100.0, 50.0]).unwrap();
    assert!(glass.cm_from_px([500.0, 499.0]).is_some());
    for y in [0.0, -1.0, -400.0, 1.0] {
        assert_eq!(glass.cm_from_px([500.0, y]), None, "row {y}");
    }
    let bounds = PixelBox {
        x: 450,
        y: 0,
        width: 100,
        height: 700,
    };
    assert_eq!(glass.corners_cm(bounds), None);
    // Turned half round, the corners are the same sheet.
    let turned = Glass::new(
        [corners[2], corners[3], corners[0], corners[1]],
        [100.0, 50.0],
    );
    assert!(turned.unwrap().cm_from_px([500.0, 700.0]).is_some());
}

#[test]
fn corners_that_cross_or_a_size_of_nothing_are_refused() {
    let [a, b, c, d] = CORNERS;
    for wrong in [
        [a, c, b, d],
        [d, c, b, a],
        [a, a, c, d],
        [a, b, c, [1000.0, 500.0]],
    ] {
        assert_eq!(
            Glass::new(wrong, [180.0, 100.0]),
            Err(GlassError::Corners),
            "{wrong:?}"
        );
    }
    assert_eq!(
        Glass::new(CORNERS, [0.0, 100.0]),
        Err(GlassError::Size { got: [0.0, 100.0] })
    );
}

/// Pixels of the output and centimetres of the glass. Computed with `OpenCV` 5.0.0.
const EXPECTED: [([f64; 2], [f64; 2]); 4] = [
    ([960.0, 540.0], [93.878_882, 52.532_902]),
    ([300.0, 200.0], [21.417_110, 14.371_918]),
    ([1500.0, 900.0], [147.339_508, 88.904_605]),
    ([0.0, 0.0], [-14.708_629, -9.870_202]),
];
