//! A slide placed once: under every key it gives what it gives when it is placed anew.

use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::measure::check::placed_camera::PlacedCamera;
use nightglass::measure::check::placed_slide::{PlacedSlide, PlacedUnder};
use nightglass::measure::check::slide_check::{
    CheckedCamera, SlideToCheck, check_placed_slide, check_slide,
};
use nightglass::measure::limits::{Limit, Limits};
use nightglass::pixel::chain::Chain;
use nightglass::pixel::key::{Luma, Ramp};
use nightglass::pixel::settings::{Alpha, BlendSpace, Settings, Size, SlidePlace};
use nightglass::pixel::views::View;

/// What changes a setting.
type Change = fn(&mut Settings);

/// Changes of the key that a slide on the output does not depend on.
const OF_THE_KEY: [Change; 7] = [
    |settings| settings.key = settings.key.with_threshold(0.0).unwrap(),
    |settings| settings.key = settings.key.with_threshold(30.0).unwrap(),
    |settings| settings.key = settings.key.with_softness(0.0).unwrap(),
    |settings| settings.key = settings.key.with_softness(40.0).unwrap(),
    |settings| settings.key.ramp = Ramp::Smooth,
    |settings| settings.key.alpha = Alpha::Premultiplied,
    |settings| settings.key.blend_space = BlendSpace::Linear,
];

fn output() -> Size {
    Size::new(480, 270).unwrap()
}

fn settings() -> Settings {
    let mut settings = Settings {
        chain: Some(Chain::new(0.98, 1.0, 0.0).unwrap()),
        ..Settings::default()
    };
    settings.placement.size = Some(output());
    settings
}

#[test]
fn placed_once_it_has_the_findings_of_every_key() {
    let camera = CAMERA.frame().unwrap();
    let placed_camera = PlacedCamera::new(&camera, &settings(), output());
    let cameras = [CheckedCamera {
        name: "camera.jpg",
        frame: &camera,
        placed: &placed_camera,
    }];
    let limits = Limits::default();
    let mut different = 0;
    for slide in &SLIDES {
        let slide = slide.frame().unwrap();
        let under = PlacedUnder::new(&settings(), &limits, None);
        let placed = PlacedSlide::new(&slide, false, &under);
        let mut before = None;
        for change in OF_THE_KEY {
            let mut settings = settings();
            change(&mut settings);
            let check = SlideToCheck {
                slide: &slide,
                lossy: false,
                cameras: &cameras,
                settings: &settings,
                limits: &limits,
                reserved: &[],
                zones: &[],
            };
            let found = check_placed_slide(&check, &placed);
            assert_eq!(found, check_slide(&check));
            different += usize::from(before.replace(found.clone()).is_some_and(|b| b != found));
        }
    }
    assert!(different > 8, "the keys find the same: {different}");
}

#[test]
fn it_is_placed_anew_for_what_changes_it_and_for_nothing_else() {
    let limits = Limits::default();
    let under = |settings: &Settings| PlacedUnder::new(settings, &limits, None);
    for change in OF_THE_KEY {
        let mut other = settings();
        change(&mut other);
        other.view = View::Matte;
        assert!(under(&other) == under(&settings()));
    }
    let changes: [(&str, Change); 6] = [
        ("the chain", |settings| settings.chain = None),
        ("the luma weights", |settings| {
            settings.key.luma = Luma::Bt601;
        }),
        ("the flip", |settings| {
            settings.placement.mirror_slide = true;
        }),
        ("the place", |settings| {
            settings.placement.slide_place = SlidePlace::new([0.0, 0.0, 50.0, 50.0]).unwrap();
        }),
        ("the size", |settings| {
            settings.placement.size = Some(Size::new(481, 270).unwrap());
        }),
        ("no size", |settings| settings.placement.size = None),
    ];
    for (name, change) in changes {
        let mut other = settings();
        change(&mut other);
        assert!(under(&other) != under(&settings()), "{name}");
    }
    // The camera's size counts where the output takes it.
    let mut unsized_output = settings();
    unsized_output.placement.size = None;
    let with_camera = |size| PlacedUnder::new(&unsized_output, &limits, size);
    assert!(with_camera(Some(output())) == under(&settings()));
    assert!(with_camera(None) != with_camera(Some(output())));
    let mut other = limits.clone();
    other.set(Limit::HazeWarn, 2.5).unwrap();
    assert!(PlacedUnder::new(&settings(), &other, None) == under(&settings()));
    other.set(Limit::NotDark, 11.0).unwrap();
    assert!(PlacedUnder::new(&settings(), &other, None) != under(&settings()));
}
