//! Black that the chain brings over what the key drops for good.

use crate::measure::finding::{Finding, Kind, Severity, Unit};
use crate::measure::test_chart::chain_noise::false_alarm_deviations;
use crate::measure::told_apart::told;
use crate::pixel::settings::{Settings, Size};

/// That black lies over the camera, or flickers there, under this key after this chain, and from which threshold on it
/// does not; none where it does not, or no chain is set.
pub(super) fn find(settings: &Settings, output: Size) -> Option<Finding> {
    let chain = settings.chain?;
    let black = chain.offset_percent().max(0.0);
    let noise = chain.noise_percent();
    let least = black + false_alarm_deviations(output) * noise;
    let threshold = settings.key.threshold_percent();
    if threshold >= least {
        return None;
    }
    let with_noise = if noise > 0.0 {
        format!(" with noise of {} %", told(noise, 2))
    } else {
        String::new()
    };
    let what = if black > threshold {
        "lies over the camera"
    } else {
        "flickers"
    };
    let enough = (10.0 * least).ceil() / 10.0;
    let cure = if enough > 100.0 {
        "Mend".to_owned()
    } else {
        format!("Use a threshold of {} % or more, or mend", told(enough, 1))
    };
    Some(Finding {
        kind: Kind::ChainBlack,
        severity: Severity::Warn,
        bounds: None,
        measured: least,
        limit: threshold,
        unit: Unit::Percent,
        advice: format!(
            "The chain brings black to {} % of white{with_noise}, so under a threshold of {threshold} % it {what}. {cure} \
             the chain and measure it again with `nightglass calibrate`.",
            told(black, 2),
        ),
        camera: None,
    })
}
