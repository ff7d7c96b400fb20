//! Values printed in standards and papers. Each check names its source.

use nightglass::pixel::key::{Luma, luma};

/// Source: ITU-R BT.709-6, 75 % colour bars; 8-bit full-range luma of pure green.
#[test]
fn pure_blue_has_7_percent_luma() {
    let (kr, kb) = Luma::Bt709.weights();
    assert!((luma([0.0, 0.0, 1.0], kr, kb) - 0.0722).abs() < 1e-6);
}
