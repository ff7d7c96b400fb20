//! What cannot be ink over the presenter, by its shape alone.

use nightglass::measure::finding::PixelBox;
use nightglass::measure::ink_evidence::{KnownInk, PieceOver};
use nightglass::measure::ink_pieces::InkPieces;
use nightglass::measure::piece_shape::InkPiece;

const HEIGHT: f64 = 1080.0;

/// A letter in red, as strong as anything in the frame.
fn letter() -> InkPiece {
    InkPiece {
        class: 2,
        runs: Vec::new(),
        bounds: PixelBox {
            x: 900,
            y: 600,
            width: 100,
            height: 120,
        },
        area: 3000,
        color: [230.0, 60.0, 70.0],
        strength: 200.0,
        widest_px: 14.0,
        width_px: 12.0,
        length_px: 250.0,
        fill: 0.25,
        direction: 1.0,
        elongation: 1.3,
        sharpness: 0.5,
        open: 0.02,
        lit_around: 0.9,
        beside_other: 0.0,
        glow: 4.0,
        darker: 0.0,
        mirrored: 0.4,
        dark_around: 0.0,
    }
}

fn is_ruled_out(piece: &InkPiece, worn: f64) -> bool {
    let all = InkPieces {
        pieces: Vec::new(),
        strongest: 200.0,
        backdrop: 10.0,
    };
    let ink = KnownInk {
        codes: 230.0,
        is_seen: true,
    };
    PieceOver { piece, worn }.is_ruled_out(&all, &ink, HEIGHT)
}

#[test]
fn a_band_round_the_neck_is_no_ink_and_a_circle_before_the_breast_may_be() {
    let band = InkPiece {
        length_px: 700.0,
        fill: 0.14,
        elongation: 2.1,
        ..letter()
    };
    assert!(is_ruled_out(&band, 0.75));
    assert!(!is_ruled_out(&band, 0.3), "it hangs on one side alone");
    let others = [
        InkPiece {
            elongation: 1.0,
            ..band.clone()
        },
        InkPiece {
            length_px: 250.0,
            ..band.clone()
        },
        InkPiece { fill: 0.3, ..band },
        letter(),
    ];
    for other in others {
        assert!(!is_ruled_out(&other, 0.75), "{other:?}");
    }
}

#[test]
fn the_rim_of_a_plate_is_no_ink_and_a_bar_may_be() {
    // A plate three times as wide as high, and a bar ten times.
    let rim = InkPiece {
        fill: 0.75,
        elongation: 2.9,
        ..letter()
    };
    assert!(is_ruled_out(&rim, 0.0));
    let bar = InkPiece {
        length_px: 130.0,
        elongation: 10.8,
        ..rim.clone()
    };
    assert!(!is_ruled_out(&bar, 0.0));
    let letters = InkPiece { fill: 0.6, ..rim };
    assert!(!is_ruled_out(&letters, 0.0));
}
