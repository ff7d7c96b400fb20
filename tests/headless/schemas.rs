//! The JSON Schemas that `tune`, `inspect` and `calibrate` print: their documents follow them, and what is wrong does not.

use std::path::Path;
use std::process::{Command, Output};

use jsonschema::Validator;
use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::measure::test_chart::key_fit::Dimming;
use nightglass::pixel::key::Ramp;
use nightglass::pixel::settings::{Alpha, Size};
use serde_json::{Value, json};

use crate::calibrate::save_png;
use crate::mixer::{Mixer, keyed};
use crate::simulation::{Levels, Random, Way, capture};

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder)
        .args(args)
        .output()
        .unwrap()
}

fn document(folder: &Path, args: &[&str]) -> Value {
    let output = run(folder, args);
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(!output.stdout.is_empty(), "{args:?}: {errors}");
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The schema that a command prints, itself valid.
fn schema_of(folder: &Path, args: &[&str], title: &str) -> (Value, Validator) {
    let output = run(folder, args);
    assert_eq!(output.status.code(), Some(0));
    let schema: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(jsonschema::meta::is_valid(&schema));
    assert_eq!(schema["title"], title);
    let validator = jsonschema::validator_for(&schema).unwrap();
    (schema, validator)
}

fn follows((_, validator): &(Value, Validator), document: &Value) {
    let errors: Vec<String> = validator
        .iter_errors(document)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{errors:?}");
}

/// Every key at the top is typed, what cannot be null is needed, and none may be added.
fn refuses_what_is_wrong((schema, validator): &(Value, Validator), document: &Value) {
    let needed = schema["required"].as_array().unwrap();
    assert!(needed.len() >= 3);
    let keys: Vec<String> = document.as_object().unwrap().keys().cloned().collect();
    assert!(keys.len() >= 5);
    for key in &keys {
        let mut wrong = document.clone();
        wrong[key] = json!({"wrong": true});
        assert!(!validator.is_valid(&wrong), "a wrong `{key}` is accepted");
        if needed.iter().any(|name| name == key) {
            let mut without = document.clone();
            without.as_object_mut().unwrap().remove(key);
            assert!(!validator.is_valid(&without), "no `{key}` is accepted");
        }
    }
    let mut more = document.clone();
    more["more"] = json!(1);
    assert!(!validator.is_valid(&more), "an unknown key is accepted");
    let mut newer = document.clone();
    newer["schema"] = json!(2);
    assert!(!validator.is_valid(&newer), "another version is accepted");
}

#[test]
fn tune_with_a_gap_and_without_one_follows_its_schema() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    for slide in SLIDES {
        std::fs::write(folder.join(slide.name), slide.bytes).unwrap();
    }
    let validator = schema_of(folder, &["tune", "--schema"], "nightglass tune");
    let clean = document(folder, &["tune", SLIDES[0].name, "--json"]);
    follows(&validator, &clean);
    assert_eq!(clean["conflict"], Value::Null);
    std::fs::write(
        folder.join("nightglass.toml"),
        "[knobs]\nthreshold_step = 0.5\n",
    )
    .unwrap();
    let conflict = document(folder, &["tune", ".", "--json"]);
    follows(&validator, &conflict);
    assert!(
        !conflict["conflict"]["contents"]
            .as_array()
            .unwrap()
            .is_empty()
    );
    assert!(conflict["knobs"].is_object());
    refuses_what_is_wrong(&validator, &conflict);
    let mut wrong = conflict.clone();
    wrong["conflict"]["contents"][0]["box"] = json!([1, 2, 3]);
    assert!(!validator.1.is_valid(&wrong));
}

#[test]
fn calibrate_of_a_chain_and_of_a_key_follow_their_schemas() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let way = Way {
        levels: Levels::compressed(1),
        crop_px: [10.0, 0.0, 0.0, 5.0],
        ..Way::clean(Size::new(960, 540).unwrap())
    };
    save_png(&folder.join("chain.png"), &capture(&way, &mut Random(1)).0);
    let validator = schema_of(folder, &["calibrate", "--schema"], "nightglass calibrate");
    let chain = document(
        folder,
        &["calibrate", "chain.png", "--json", "--report-only"],
    );
    follows(&validator, &chain);
    assert!(!chain["findings"].as_array().unwrap().is_empty());
    refuses_what_is_wrong(&validator, &chain);

    let mixer = Mixer {
        threshold: 10.0,
        softness: 15.0,
        ramp: Ramp::Linear,
        alpha: Alpha::Straight,
        dimming: Dimming::Colour,
        left: 0.9,
        over: 50.0,
    };
    let way = Way::clean(Size::new(960, 540).unwrap());
    for (name, threshold) in [("a.png", 10.0), ("b.png", 20.0)] {
        let mixer = Mixer { threshold, ..mixer };
        save_png(&folder.join(name), &keyed(&way, &mixer, &mut Random(3)).0);
    }
    let keyed_schema = ["calibrate", "--keyed", "--schema"];
    let validator = schema_of(folder, &keyed_schema, "nightglass calibrate --keyed");
    let key = document(
        folder,
        &[
            "calibrate",
            "--keyed",
            "a.png",
            "b.png",
            "--over",
            "50",
            "--knobs",
            "10/30,20/30",
            "--json",
            "--report-only",
        ],
    );
    follows(&validator, &key);
    assert!(key["knobs"].is_object() && key["captures"][0]["dimming"].is_object());
    refuses_what_is_wrong(&validator, &key);
}

#[test]
fn inspect_follows_its_schema_with_findings_and_without() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    std::fs::write(folder.join("camera.jpg"), CAMERA.bytes).unwrap();
    let validator = schema_of(folder, &["inspect", "--schema"], "nightglass inspect");
    let found = document(folder, &["inspect", "camera.jpg", "--json"]);
    follows(&validator, &found);
    assert!(!found["findings"].as_array().unwrap().is_empty());
    refuses_what_is_wrong(&validator, &found);
    let mut wrong = found.clone();
    wrong["findings"][0]["box"] = json!([1, 2, 3]);
    assert!(!validator.1.is_valid(&wrong));
    wrong = found.clone();
    wrong["findings"][0]["kind"] = json!("ghost");
    assert!(!validator.1.is_valid(&wrong));
    image::RgbImage::from_pixel(400, 300, image::Rgb([4; 3]))
        .save(folder.join("dark.png"))
        .unwrap();
    let empty = document(folder, &["inspect", "dark.png", "--json"]);
    follows(&validator, &empty);
    assert_eq!(empty["findings"], json!([]));
}
