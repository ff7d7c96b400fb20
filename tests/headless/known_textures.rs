//! What egui uploads: whether it may change what was drawn before.

use egui::epaint::{ImageDelta, TextureId};
use egui::{Color32, ColorImage, TextureOptions};
use nightglass::window::known_textures::KnownTextures;

const LETTERS: TextureId = TextureId::Managed(0);
const SIDE: usize = 8;

fn image(side: usize, color: Color32) -> ColorImage {
    ColorImage::filled([side, side], color)
}

/// Empty but for a letter in the first two columns and rows.
fn letters() -> KnownTextures {
    let mut known = KnownTextures::default();
    let empty = ImageDelta::full(image(SIDE, Color32::TRANSPARENT), TextureOptions::LINEAR);
    known.apply(LETTERS, &empty);
    known.apply(LETTERS, &letter([0, 0], Color32::WHITE));
    known
}

fn letter(corner: [usize; 2], color: Color32) -> ImageDelta {
    ImageDelta::partial(corner, image(2, color), TextureOptions::LINEAR)
}

#[test]
fn letters_that_come_where_nothing_was_change_nothing() {
    let mut known = letters();
    assert!(!known.apply(LETTERS, &letter([4, 4], Color32::GRAY)));
    // Uploaded once more with what is beside it.
    assert!(!known.apply(LETTERS, &letter([0, 0], Color32::WHITE)));
    assert!(!known.apply(TextureId::User(3), &letter([0, 0], Color32::RED)));
}

#[test]
fn what_was_drawn_and_looks_otherwise_now_is_told_of() {
    assert!(letters().apply(LETTERS, &letter([1, 1], Color32::GRAY)));
    assert!(letters().apply(LETTERS, &letter([0, 0], Color32::TRANSPARENT)));
    let nearest = ImageDelta {
        options: TextureOptions::NEAREST,
        ..letter([4, 4], Color32::WHITE)
    };
    assert!(letters().apply(LETTERS, &nearest));
    let whole = ImageDelta::full(image(SIDE, Color32::WHITE), TextureOptions::LINEAR);
    assert!(letters().apply(LETTERS, &whole));
}

#[test]
fn a_device_that_comes_later_is_given_all_that_was_uploaded() {
    let mut known = letters();
    known.apply(LETTERS, &letter([4, 4], Color32::GRAY));
    let (id, whole) = known.iter().next().unwrap();
    let egui::ImageData::Color(whole) = &whole.image;
    let expected = |x: usize, y: usize| match (x, y) {
        (0..2, 0..2) => Color32::WHITE,
        (4..6, 4..6) => Color32::GRAY,
        _ => Color32::TRANSPARENT,
    };
    assert_eq!(id, LETTERS);
    for (index, color) in whole.pixels.iter().enumerate() {
        assert_eq!(*color, expected(index % SIDE, index / SIDE), "{index}");
    }
}
