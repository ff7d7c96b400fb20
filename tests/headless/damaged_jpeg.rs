//! A JPEG with damaged values is refused: a decoder would go on, and show the rest of it in wrong colours.

use std::path::Path;

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageEncoder as _};
use nightglass::files::demonstration::CAMERA;
use nightglass::files::picture_file::{ReadError, decode_picture};

fn read(bytes: &[u8]) -> Result<(), ReadError> {
    decode_picture(bytes, Path::new("board.jpg")).map(|_| ())
}

/// Where the values of the only scan begin and end.
fn scan(bytes: &[u8]) -> std::ops::Range<usize> {
    let header = bytes
        .windows(2)
        .rposition(|pair| pair == [0xFF, 0xDA])
        .unwrap();
    let length = u16::from_be_bytes([bytes[header + 2], bytes[header + 3]]);
    header + 2 + usize::from(length)..bytes.len() - 2
}

/// The bytes with so many of them turned into others from a place of the scan on, in thousandths; none becomes a marker.
fn spoiled(bytes: &[u8], thousandths: usize, count: usize) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    let scan = scan(&bytes);
    let start = scan.start + scan.len() * thousandths / 1000;
    for byte in &mut bytes[start..start + count] {
        if *byte != 0xFF && *byte != 0 && *byte ^ 0x5A != 0xFF {
            *byte ^= 0x5A;
        }
    }
    bytes
}

#[test]
fn pictures_that_are_whole_are_read() {
    read(CAMERA.bytes).unwrap();
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data");
    for name in ["board_1.jpg", "board_3.jpg", "hubble_deep_field.jpg"] {
        read(&std::fs::read(data.join(name)).unwrap()).unwrap();
    }
    for [width, height] in [[1, 1], [8, 8], [17, 9], [64, 33], [250, 3]] {
        for (color, channels) in [(ExtendedColorType::L8, 1), (ExtendedColorType::Rgb8, 3)] {
            let values: Vec<u8> = (0..width * height * channels)
                .map(|n| u32::to_le_bytes(n * 7919 % 251)[0])
                .collect();
            for quality in [5, 80, 100] {
                let mut bytes = Vec::new();
                let encoder = JpegEncoder::new_with_quality(&mut bytes, quality);
                encoder.write_image(&values, width, height, color).unwrap();
                read(&bytes).unwrap_or_else(|error| panic!("{width}x{height}: {error}"));
            }
        }
    }
}

#[test]
fn fill_bytes_before_a_marker_are_no_damage() {
    // ITU-T T.81, B.1.1.2: any marker may be preceded by any number of fill bytes.
    let mut bytes = CAMERA.bytes.to_vec();
    let end = scan(&bytes).end;
    bytes.splice(end..end, [0xFF; 16]);
    read(&bytes).unwrap();
}

#[test]
fn pictures_with_damaged_values_are_refused_wherever_they_are_damaged() {
    let places = 50;
    let refused = (0..places).filter(|place| {
        let bytes = spoiled(CAMERA.bytes, 20 * place, 64);
        match read(&bytes) {
            Ok(()) => false,
            Err(ReadError::Scrambled { path }) => path == Path::new("board.jpg"),
            Err(other) => panic!("{other}"),
        }
    });
    let refused = refused.count();
    // Some come in step again with as many blocks as there were: nobody can tell those.
    assert!(refused >= 45, "{refused} of {places}");
}

#[test]
fn values_that_are_missing_or_too_many_are_refused() {
    let scan = scan(CAMERA.bytes);
    let [before, behind] = [&CAMERA.bytes[..scan.start], &CAMERA.bytes[scan.end..]];
    let values = &CAMERA.bytes[scan.clone()];
    let joined = |values: &[u8]| [before, values, behind].concat();
    read(&joined(values)).unwrap();
    // A copy that broke off, ended as if it were whole.
    let error = read(&joined(&values[..values.len() / 2])).unwrap_err();
    assert!(matches!(error, ReadError::Scrambled { .. }), "{error}");
    let words = "the picture is damaged, and part of it would come in wrong colours: `board.jpg`";
    assert_eq!(error.to_string(), words);
    assert!(
        error
            .hint()
            .is_some_and(|hint| hint.contains("copy the picture again"))
    );
    let twice = joined(&[values, values].concat());
    assert!(matches!(read(&twice), Err(ReadError::Scrambled { .. })));
    // A few bytes that fill up to a word mean nothing.
    read(&joined(&[values, &[0; 3]].concat())).unwrap();
}
