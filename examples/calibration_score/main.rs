//! Measures how well `calibrate` measures: a few hundred random ways of the chart through a chain, and
//! the worst error of each figure. A status of 1 says that a goal is missed.

#![expect(
    clippy::print_stdout,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::unwrap_used,
    reason = "a program that prints a table about itself"
)]

#[path = "mixer.rs"]
mod mixer;
#[path = "simulation.rs"]
mod simulation;

use std::process::ExitCode;

use mixer::{Mixer, keyed};
use nightglass::measure::test_chart::calibration::Calibration;
use nightglass::measure::test_chart::key_fit::{Dimming, KeyFit};
use nightglass::measure::test_chart::keyed_curve::read_keyed_curve;
use nightglass::pixel::chain::Chain;
use nightglass::pixel::key::Ramp;
use nightglass::pixel::settings::{Alpha, Size, Turn};
use simulation::{Levels, Random, Way, capture};

/// How far off gain, offset, threshold and softness may be, percent of white.
const MAX_PERCENT: f64 = 0.5;
/// How far off noise may be, percent of itself.
const MAX_NOISE_PERCENT: f64 = 15.0;

impl Random {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[(self.next() % of.len() as u64) as usize]
    }
}

fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

fn random_way(random: &mut Random) -> Way {
    let chart = random.pick(&[
        size(1280, 720),
        size(1920, 1080),
        size(1920, 1080),
        size(1920, 1200),
        size(1024, 768),
        size(2560, 1440),
    ]);
    let turn = if random.unit() < 0.3 {
        random.pick(&Turn::ALL)
    } else {
        Turn::None
    };
    let upright = random.pick(&[
        size(1280, 720),
        size(1920, 1080),
        size(1600, 900),
        size(960, 540),
    ]);
    let crop = |random: &mut Random, side: u32| {
        if random.unit() < 0.5 {
            0.0
        } else {
            random.between(0.0, 0.05) * f64::from(side)
        }
    };
    let crop_px = [
        crop(random, chart.width()),
        crop(random, chart.height()),
        crop(random, chart.width()),
        crop(random, chart.height()),
    ];
    let line = Levels::Line {
        gain: random.between(0.75, 1.3),
        offset_codes: random.between(-25.0, 35.0),
        times: 1,
    };
    let levels = random.pick(&[
        Levels::CORRECT,
        Levels::expanded(1),
        Levels::expanded(2),
        Levels::compressed(1),
        Levels::compressed(2),
        Levels::Floor { code: 16.0 },
        line,
    ]);
    let jpeg_quality = (random.unit() < 0.5).then(|| random.between(60.0, 96.0) as u8);
    Way {
        chart,
        capture: if turn.swaps_sides() {
            upright.transposed()
        } else {
            upright
        },
        crop_px,
        turn,
        is_mirrored: random.unit() < 0.3,
        levels,
        blur_px: random.between(0.0, 1.6) * f64::from(upright.width()) / 1280.0,
        noise_codes: if random.unit() < 0.2 {
            0.0
        } else {
            random.between(0.5, 6.0)
        },
        is_noise_coloured: jpeg_quality.is_none() && random.unit() < 0.5,
        jpeg_quality,
    }
}

/// A range mistake, a mixer behind it, and the errors of threshold and softness, percent of white.
fn keyed_errors(seed: u64) -> Result<(f64, f64, bool), String> {
    let mut random = Random(0x5EED_0000 + seed);
    let hd = size(1280, 720);
    let way = Way {
        levels: random.pick(&[
            Levels::CORRECT,
            Levels::expanded(1),
            Levels::compressed(1),
            Levels::compressed(2),
        ]),
        crop_px: [0; 4].map(|_| random.between(0.0, 20.0)),
        blur_px: random.between(0.0, 1.0),
        noise_codes: random.between(0.0, 2.5),
        jpeg_quality: random.pick(&[None, Some(80), Some(95)]),
        ..Way::clean(hd)
    };
    let (gain, offset_codes) = way.levels.truth();
    // A threshold under the chain's own black drops nothing, so nothing could be seen of it.
    let black = offset_codes.max(0.0) / 2.55;
    let mixer = Mixer {
        threshold: black + random.between(4.0, 20.0),
        softness: random.between(3.0, 20.0),
        ramp: random.pick(&[Ramp::Linear, Ramp::Smooth]),
        alpha: random.pick(&[Alpha::Straight, Alpha::Straight, Alpha::Premultiplied]),
        dimming: Dimming::Colour,
        left: 1.0,
        over: random.between(35.0, 60.0),
    };
    let chain = Chain::new(gain, offset_codes / 2.55, 0.0).map_err(|error| error.to_string())?;
    let told = |why: String| format!("{why}\n    {mixer:?} {way:?}");
    let (frame, _) = keyed(&way, &mixer, &mut random);
    let points = read_keyed_curve(&frame, Some(chain)).map_err(|error| told(error.to_string()))?;
    let fit = KeyFit::find(&points, mixer.over).map_err(|error| told(error.to_string()))?;
    let threshold = (fit.threshold_percent - mixer.threshold).abs();
    let softness = (fit.softness_percent - mixer.softness).abs();
    if threshold.max(softness) > MAX_PERCENT {
        println!(
            "keyed {seed}: {:.2}/{:.2} margins {:.2}/{:.2} {:?} {:?}{}\n    {mixer:?} {way:?}",
            fit.threshold_percent,
            fit.softness_percent,
            fit.threshold_margin_percent,
            fit.softness_margin_percent,
            fit.ramp,
            fit.alpha,
            if fit.is_uncertain() { " uncertain" } else { "" },
        );
    }
    Ok((threshold, softness, fit.is_uncertain()))
}

/// The key behind chains: what `calibrate --keyed` finds where a range mistake lies before the mixer.
/// Whether none was refused and none off by more than [`MAX_PERCENT`] without a word.
fn score_keyed(count: u64) -> bool {
    let (mut threshold_worst, mut softness_worst) = (0.0_f64, 0.0_f64);
    let (mut refused, mut uncertain, mut over) = (0, 0, 0);
    for seed in 0..count {
        match keyed_errors(seed) {
            Err(why) => {
                refused += 1;
                println!("keyed {seed}: refused: {why}");
            }
            Ok((_, _, true)) => uncertain += 1,
            Ok((threshold, softness, false)) => {
                threshold_worst = threshold_worst.max(threshold);
                softness_worst = softness_worst.max(softness);
                over += u32::from(threshold.max(softness) > MAX_PERCENT);
            }
        }
    }
    println!("{count} keys behind chains, {refused} refused, {uncertain} said to be uncertain");
    println!("threshold  worst error {threshold_worst:.3} % of white");
    println!("softness   worst error {softness_worst:.3} % of white; {over} over {MAX_PERCENT} %");
    refused == 0 && over == 0
}

fn main() -> ExitCode {
    let count: u64 = std::env::args()
        .nth(1)
        .and_then(|count| count.parse().ok())
        .unwrap_or(300);
    let (mut gain_worst, mut offset_worst, mut noise_worst) = (0.0_f64, 0.0_f64, 0.0_f64);
    let mut edge_worst = 0.0_f64;
    let (mut refused, mut wrong_way, mut wrong_range, mut noise_count, mut hidden) =
        (0, 0, 0, 0, 0);
    for seed in 0..count {
        let mut random = Random(seed);
        let way = random_way(&mut random);
        let (frame, grid) = capture(&way, &mut random);
        let found = match Calibration::measure(&frame, grid.as_ref()) {
            Ok(found) => found,
            Err(error) => {
                refused += 1;
                println!("{seed}: refused: {error}\n    {way:?}");
                continue;
            }
        };
        let (gain, offset_codes) = way.levels.truth();
        let gain_error = (found.line.gain - gain).abs() * 100.0;
        let offset_error = (found.line.offset_codes - offset_codes).abs() / 2.55;
        gain_worst = gain_worst.max(gain_error);
        offset_worst = offset_worst.max(offset_error);
        let mut remarks = Vec::new();
        if gain_error.max(offset_error) > MAX_PERCENT {
            remarks.push(format!(
                "gain {:.4} for {gain:.4}, offset {:.2} for {offset_codes:.2} codes",
                found.line.gain, found.line.offset_codes
            ));
        }
        if found.reading.turn != way.turn || found.reading.is_mirrored != way.is_mirrored {
            wrong_way += 1;
            remarks.push("the wrong way round".to_owned());
        }
        for (edge, lost) in found.edges.iter().zip(way.crop_px) {
            let error = (edge.lost_px - lost).abs() / f64::from(way.chart.width()) * 1920.0;
            edge_worst = edge_worst.max(error);
            if error > 2.0 {
                remarks.push(format!(
                    "{} loses {:.1} for {lost:.1} px",
                    edge.edge.name(),
                    edge.lost_px
                ));
            }
        }
        let expected = nightglass::measure::test_chart::range_mistake::Range::of(
            gain,
            offset_codes,
            if matches!(way.levels, Levels::Floor { .. }) {
                16.0
            } else {
                0.0
            },
        );
        if found.range != expected {
            wrong_range += 1;
            remarks.push(format!("range {:?} for {expected:?}", found.range));
        }
        let noise = way.luma_noise_codes();
        if noise > 0.0 {
            if found.noise.is_hidden {
                hidden += 1;
            } else {
                noise_count += 1;
                let error = (found.noise.luma_codes / noise - 1.0).abs() * 100.0;
                noise_worst = noise_worst.max(error);
                if error > MAX_NOISE_PERCENT {
                    remarks.push(format!(
                        "noise {:.2} for {noise:.2}",
                        found.noise.luma_codes
                    ));
                }
            }
        }
        if !remarks.is_empty() {
            println!("{seed}: {}\n    {way:?}", remarks.join("; "));
        }
    }
    println!("{count} ways of a chart through a chain, {refused} refused");
    println!("gain    worst error {gain_worst:.3} % of white");
    println!("offset  worst error {offset_worst:.3} % of white");
    println!(
        "noise   worst error {noise_worst:.1} % of itself, over {noise_count}; hidden by compression and said so: {hidden}"
    );
    println!("edges   worst error {edge_worst:.2} px of 1920");
    println!("wrong way round {wrong_way}, wrong range {wrong_range}");
    let are_keys_known = score_keyed(count / 2);
    let is_chain_known = gain_worst.max(offset_worst) <= MAX_PERCENT
        && noise_worst <= MAX_NOISE_PERCENT
        && refused + wrong_way + wrong_range == 0;
    if are_keys_known && is_chain_known {
        ExitCode::SUCCESS
    } else {
        println!("the goals are missed");
        ExitCode::FAILURE
    }
}
