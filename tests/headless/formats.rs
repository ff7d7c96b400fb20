//! Decoding compared with Pillow and `OpenCV`: `tests/outside/make_formats.py` and `make_expected.py`.

use std::path::{Path, PathBuf};

use nightglass::files::picture_file::read_picture;
use nightglass::pixel::frame::{Frame, Pixels};
use serde_json::Value;

/// A file or folder under `tests/data`.
pub(crate) fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(name)
}

/// A JSON document under `tests/data`.
pub(crate) fn json(name: &str) -> Value {
    let path = data(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    serde_json::from_str(&text).unwrap()
}

/// Channel values of a pixel as the file has them.
fn codes(frame: &Frame, index: usize) -> [i64; 4] {
    match frame.pixels() {
        Pixels::Rgba8(p) => p[index].map(i64::from),
        Pixels::Rgba16(p) => p[index].map(i64::from),
    }
}

#[test]
fn every_format_decodes_as_pillow_does() {
    let expected = json("formats/expected.json");
    let pictures = expected["pictures"].as_object().unwrap();
    assert!(pictures.len() >= 27, "only {} pictures", pictures.len());
    for (name, picture) in pictures {
        let frame = match read_picture(&data(&format!("formats/{name}"))) {
            Ok(picture) => picture.frame,
            Err(error) => panic!("{name}: {error}"),
        };
        let size = [frame.size().width().into(), frame.size().height().into()];
        assert_eq!(
            picture["size"],
            serde_json::json!(size as [u64; 2]),
            "{name}"
        );
        let sixteen = matches!(frame.pixels(), Pixels::Rgba16(_));
        assert_eq!(picture["bits"], if sixteen { 16 } else { 8 }, "{name}");
        let channels = picture["channels"].as_str().unwrap().len();
        let tolerance = picture["tolerance_codes"].as_i64().unwrap();
        let values: Vec<i64> = picture["pixels"]
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_i64().unwrap())
            .collect();
        assert_eq!(values.len(), frame.size().area() * channels, "{name}");
        for (index, pixel) in values.chunks(channels).enumerate() {
            let got = codes(&frame, index);
            for (channel, &value) in pixel.iter().enumerate() {
                let off = (got[channel] - value).abs();
                assert!(
                    off <= tolerance,
                    "{name}, pixel {index}: {got:?}, Pillow has {pixel:?}"
                );
            }
        }
    }
}

#[test]
fn photographs_decode_as_pillow_does() {
    let expected = json("outside/expected.json");
    let photographs = expected["decoding"].as_object().unwrap();
    assert!(
        photographs.len() >= 4,
        "only {} photographs",
        photographs.len()
    );
    for (name, picture) in photographs {
        let frame = read_picture(&data(name)).unwrap().frame;
        let tolerance = picture["tolerance_codes"].as_i64().unwrap();
        let pixels = picture["pixels"].as_array().unwrap();
        assert!(pixels.len() >= 24);
        for pixel in pixels {
            let at: Vec<i64> = pixel
                .as_array()
                .unwrap()
                .iter()
                .map(|v| v.as_i64().unwrap())
                .collect();
            let index = usize::try_from(at[1] * i64::from(frame.size().width()) + at[0]).unwrap();
            let got = codes(&frame, index);
            for channel in 0..3 {
                let off = (got[channel] - at[2 + channel]).abs();
                assert!(off <= tolerance, "{name}: {got:?}, Pillow has {at:?}");
            }
        }
    }
}

#[test]
fn srgb_profiles_are_not_warned_about() {
    for name in ["astronaut.png", "hubble_deep_field.jpg"] {
        assert_eq!(
            read_picture(&data(name)).unwrap().warnings,
            Vec::<String>::new(),
            "{name}"
        );
    }
}
