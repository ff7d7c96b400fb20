//! The signal model compared with `tests/outside/signal_model.py`, which was written from the definition
//! in float64 and shares no code. Whole frames are compared by `tests/outside/against_compose.py`.

use std::collections::HashMap;

use nightglass::files::picture_file::read_picture;
use nightglass::files::setup_file::Setup;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::key::{Luma, luma, matte};
use nightglass::pixel::matte_shares::measure_matte;
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::reference::{pixel, slide_signal};
use nightglass::pixel::settings::Settings;
use nightglass::pixel::views::Background;
use serde_json::Value;

use crate::formats::{data, json};

/// Settings of a case through the setup file's own words, so that these are checked as well.
fn settings(case: &Value) -> Settings {
    let mut sections = [
        String::new(),
        "[key]\n".to_owned(),
        "[placement]\n".to_owned(),
    ];
    for (key, value) in case["settings"].as_object().unwrap() {
        if value.is_null() || key == "chain" {
            continue;
        }
        let is_key = [
            "threshold",
            "softness",
            "ramp",
            "luma",
            "alpha",
            "blend_space",
        ]
        .contains(&key.as_str());
        sections[if is_key { 1 } else { 2 }].push_str(&format!("{key} = {value}\n"));
    }
    if let Some(chain) = case["settings"]["chain"].as_object() {
        let (gain, offset) = (&chain["gain"], &chain["offset"]);
        sections[0] = format!("[chain]\ngain = {gain}\noffset = {offset}\n");
    }
    let text = sections.concat();
    match Setup::parse(&text, "case.toml".as_ref()) {
        Ok(setup) => setup.settings,
        Err(error) => panic!("{error}\n{text}"),
    }
}

/// Values at an edge of float32: the composite may move by this many codes for one code of the slide.
fn slope(settings: &Settings) -> f64 {
    1.0 + 1.5 / f64::from(settings.key.softness_frac().max(1e-6))
}

#[test]
fn sampled_pixels_are_those_of_the_outside_computation() {
    let expected = json("outside/expected.json");
    let mut frames: HashMap<String, Frame> = HashMap::new();
    let mut compared = 0;
    for case in expected["cases"].as_array().unwrap() {
        let name = case["name"].as_str().unwrap();
        let settings = settings(case);
        for role in ["camera", "slide"] {
            let file = case[role].as_str().unwrap();
            frames
                .entry(file.to_owned())
                .or_insert_with(|| read_picture(&data(file)).unwrap().frame);
        }
        let frame = |role: &str| &frames[case[role].as_str().unwrap()];
        let scene = Scene {
            camera: Some(frame("camera")),
            slide: Some(frame("slide")),
            background: Background::BLACK,
            settings: &settings,
        };
        let plan = Plan::new(&scene);
        let size = [
            u64::from(plan.output.width()),
            u64::from(plan.output.height()),
        ];
        assert_eq!(case["output"], serde_json::json!(size), "{name}");
        // JPEG decoders may differ by a code, which the key's slope carries on.
        let is_jpeg = |role: &str| case[role].as_str().unwrap().split_once('.').unwrap().1 == "jpg";
        let slack = if is_jpeg("slide") {
            slope(&settings)
        } else if is_jpeg("camera") {
            1.0
        } else {
            0.0
        };
        for sample in case["pixels"].as_array().unwrap() {
            let v: Vec<f64> = sample
                .as_array()
                .unwrap()
                .iter()
                .map(|v| v.as_f64().unwrap())
                .collect();
            let (x, y) = (v[0] as u32, v[1] as u32);
            let rgb = pixel(&plan, x, y);
            let m = matte(
                luma(slide_signal(&plan, x, y), plan.kr, plan.kb),
                plan.threshold,
                plan.softness,
                plan.ramp,
            );
            // One code of the slide through the ramp, and float32 at the smallest softness.
            let matte_slack = slack * 1.5 / 255.0 / f64::from(plan.softness.max(1e-6)) + 2e-3;
            assert!(
                (f64::from(m) - v[2]).abs() <= matte_slack.min(1.0),
                "{name} {sample}: matte {m}"
            );
            for channel in 0..3 {
                let code = 255.0 * f64::from(rgb[channel]);
                let off = (code - v[3 + channel]).abs();
                assert!(
                    off <= 0.01 + slack,
                    "{name} {sample}: {code} in channel {channel}"
                );
                compared += 1;
            }
        }
        let shares = measure_matte(&plan);
        for (key, share) in [
            ("dropped", shares.dropped),
            ("in_the_ramp", shares.in_the_ramp),
            ("solid", shares.solid),
        ] {
            let outside = case[key].as_f64().unwrap();
            let allowed = if is_jpeg("slide") { 0.5 } else { 0.01 };
            assert!(
                (share - outside).abs() < allowed,
                "{name}: {share} % {key}, not {outside} %"
            );
        }
    }
    assert!(
        compared >= 35 * 96 * 3,
        "only {compared} values were compared"
    );
}

#[test]
fn luma_is_that_of_numpy() {
    let expected = json("outside/expected.json");
    let pixels = expected["luma"].as_array().unwrap();
    assert_eq!(pixels.len(), 64);
    for pixel in pixels {
        let rgb = [0, 1, 2].map(|c| pixel["rgb"][c].as_f64().unwrap() as f32 / 255.0);
        for (key, weights) in [
            ("bt601", Luma::Bt601),
            ("bt709", Luma::Bt709),
            ("bt2020", Luma::Bt2020),
        ] {
            let (kr, kb) = weights.weights();
            let percent = 100.0 * f64::from(luma(rgb, kr, kb));
            assert!(
                (percent - pixel[key].as_f64().unwrap()).abs() < 1e-4,
                "{pixel}"
            );
        }
    }
}
