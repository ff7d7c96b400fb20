//! What parity and the negative controls are run on: every way in which a source can lie on the
//! output and be read, and every way of keying and blending.

use nightglass::pixel::chain::Chain;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::key::{Luma, Ramp};
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{
    Alpha, BlendSpace, CodeRange, Fit, Key, Placement, Settings, SlidePlace, Turn,
};
use nightglass::pixel::views::{Background, View};

use crate::gpu_frames::{camera, size, slide, slide_16, slide_with_alpha};

/// Frames and settings under a name.
pub(crate) struct NamedScene {
    pub(crate) name: &'static str,
    camera: Option<Frame>,
    slide: Option<Frame>,
    background: Background,
    settings: Settings,
}

impl NamedScene {
    /// The scene as a plan for one view.
    pub(crate) fn with_plan<T>(&self, view: View, work: impl FnOnce(&Plan<'_>) -> T) -> T {
        let settings = Settings {
            view,
            ..self.settings
        };
        work(&Plan::new(&Scene {
            camera: self.camera.as_ref(),
            slide: self.slide.as_ref(),
            background: self.background,
            settings: &settings,
        }))
    }
}

/// Odd in both directions, so that pairs of pixels span rows and one is left over.
const ODD: (u32, u32) = (161, 91);
/// Even across, so that workgroups are tiles, and no multiple of a tile.
const EVEN: (u32, u32) = (162, 91);

fn scene(
    name: &'static str,
    camera: Option<Frame>,
    slide: Option<Frame>,
    change: impl FnOnce(&mut Settings),
) -> NamedScene {
    let mut settings = Settings::default();
    change(&mut settings);
    NamedScene {
        name,
        camera,
        slide,
        background: Background::BLACK,
        settings,
    }
}

/// A scene whose frames have the output's size.
fn plain(
    name: &'static str,
    (width, height): (u32, u32),
    change: impl FnOnce(&mut Settings),
) -> NamedScene {
    let size = size(width, height);
    scene(name, Some(camera(size)), Some(slide(size)), change)
}

fn place(settings: &mut Settings) -> &mut Placement {
    &mut settings.placement
}

/// Every scene.
pub(crate) fn scenes() -> Vec<NamedScene> {
    [
        sizes(),
        placements(),
        scalings(),
        turns(),
        readings(),
        keys(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn sizes() -> Vec<NamedScene> {
    vec![
        plain("1x1", (1, 1), |_| {}),
        plain("2x1", (2, 1), |_| {}),
        plain("1x7", (1, 7), |_| {}),
        plain("3x3", (3, 3), |_| {}),
        plain("odd", ODD, |_| {}),
        plain("even", EVEN, |_| {}),
        plain("641x359", (641, 359), |_| {}),
        plain("1x1 mirrored", (1, 1), |s| place(s).mirror_camera = true),
        scene("nothing at all", None, None, |s| {
            place(s).size = Some(size(33, 17));
        }),
        scene("no camera", None, Some(slide(size(ODD.0, ODD.1))), |s| {
            place(s).size = Some(size(ODD.0, ODD.1));
        }),
        scene("no slide", Some(camera(size(ODD.0, ODD.1))), None, |_| {}),
    ]
}

fn placements() -> Vec<NamedScene> {
    vec![
        plain("mirrored camera, odd", ODD, |s| {
            place(s).mirror_camera = true;
        }),
        plain("mirrored camera, even", EVEN, |s| {
            place(s).mirror_camera = true;
        }),
        plain("mirrored slide", EVEN, |s| place(s).mirror_slide = true),
        scene(
            "letterboxed slide",
            Some(camera(size(200, 101))),
            Some(slide(size(120, 101))),
            |_| {},
        ),
        scene(
            "cropped camera",
            Some(camera(size(200, 91))),
            Some(slide(size(162, 91))),
            |s| place(s).size = Some(size(162, 91)),
        ),
        plain("slide partly outside", EVEN, |s| {
            place(s).slide_place = SlidePlace::new([-30.0, 40.0, 90.0, 100.0]).unwrap();
        }),
        plain("slide wholly outside", EVEN, |s| {
            place(s).slide_place = SlidePlace::new([100.0, 0.0, 50.0, 50.0]).unwrap();
        }),
        plain("slide larger than the output", ODD, |s| {
            place(s).slide_place = SlidePlace::new([-50.0, -50.0, 200.0, 200.0]).unwrap();
        }),
    ]
}

fn scalings() -> Vec<NamedScene> {
    vec![
        scene(
            "enlarged slide, odd",
            Some(camera(size(ODD.0, ODD.1))),
            Some(slide(size(64, 48))),
            |_| {},
        ),
        scene(
            "enlarged both, stretched",
            Some(camera(size(40, 30))),
            Some(slide(size(7, 5))),
            |s| {
                place(s).size = Some(size(122, 77));
                place(s).camera_fit = Fit::Stretch;
                place(s).slide_fit = Fit::Stretch;
            },
        ),
        scene(
            "reduced camera",
            Some(camera(size(512, 288))),
            Some(slide(size(160, 90))),
            |s| place(s).size = Some(size(160, 90)),
        ),
        scene(
            "reduced a little, both",
            Some(camera(size(200, 113))),
            Some(slide(size(199, 120))),
            |s| place(s).size = Some(size(161, 91)),
        ),
        scene(
            "one axis reduced, the other enlarged",
            Some(camera(size(300, 20))),
            Some(slide(size(20, 300))),
            |s| {
                place(s).size = Some(size(100, 100));
                place(s).camera_fit = Fit::Stretch;
                place(s).slide_fit = Fit::Stretch;
            },
        ),
        scene(
            "reduced to one pixel",
            Some(camera(size(97, 53))),
            Some(slide(size(31, 64))),
            |s| place(s).size = Some(size(1, 1)),
        ),
    ]
}

fn turns() -> Vec<NamedScene> {
    let mut scenes = Vec::new();
    for (name, turn, mirrored) in [
        ("turned by 90", Turn::Quarter, false),
        ("turned by 180", Turn::Half, false),
        ("turned by 270", Turn::ThreeQuarters, false),
        ("turned by 90 and mirrored", Turn::Quarter, true),
        ("turned by 180 and mirrored", Turn::Half, true),
        ("turned by 270 and mirrored", Turn::ThreeQuarters, true),
    ] {
        scenes.push(scene(
            name,
            Some(camera(size(91, 162))),
            Some(slide(size(80, 45))),
            |s| {
                place(s).turn_camera = turn;
                place(s).mirror_camera = mirrored;
            },
        ));
    }
    scenes.push(scene(
        "turned and reduced",
        Some(camera(size(201, 303))),
        Some(slide(size(160, 90))),
        |s| {
            place(s).size = Some(size(160, 90));
            place(s).turn_camera = Turn::Quarter;
        },
    ));
    scenes
}

fn readings() -> Vec<NamedScene> {
    let odd = size(ODD.0, ODD.1);
    let mut scenes = vec![
        plain("video range, both", ODD, |s| {
            place(s).camera_range = CodeRange::Video;
            place(s).slide_range = CodeRange::Video;
        }),
        scene(
            "alpha",
            Some(camera(odd)),
            Some(slide_with_alpha(odd)),
            |_| {},
        ),
        scene(
            "alpha and video range, enlarged",
            Some(camera(size(162, 91))),
            Some(slide_with_alpha(size(77, 43))),
            |s| place(s).slide_range = CodeRange::Video,
        ),
        scene(
            "alpha in the camera",
            Some(slide_with_alpha(odd)),
            Some(slide(odd)),
            |_| {},
        ),
        scene(
            "16 bit",
            Some(camera(odd)),
            Some(slide_16(odd, true)),
            |_| {},
        ),
        scene(
            "16 bit with alpha",
            Some(camera(odd)),
            Some(slide_16(odd, false)),
            |_| {},
        ),
        scene(
            "16 bit camera, mirrored, and slide, reduced",
            Some(slide_16(size(162, 91), true)),
            Some(slide_16(size(400, 230), false)),
            |s| place(s).mirror_camera = true,
        ),
        scene(
            "16 bit, enlarged, video range",
            Some(camera(size(162, 91))),
            Some(slide_16(size(50, 40), true)),
            |s| place(s).slide_range = CodeRange::Video,
        ),
    ];
    let mut grey_background = plain("a background of its own", EVEN, |s| {
        s.chain = Some(Chain::new(0.9, 4.0, 0.0).unwrap());
        place(s).slide_place = SlidePlace::new([20.0, 10.0, 60.0, 120.0]).unwrap();
    });
    grey_background.background = Background {
        color: [40.0 / 255.0; 3],
        tolerance: Background::TOLERANCE,
    };
    scenes.push(grey_background);
    scenes
}

fn key(settings: &mut Settings, threshold: f64, softness: f64) -> &mut Key {
    settings.key = settings.key.with_threshold(threshold).unwrap();
    settings.key = settings.key.with_softness(softness).unwrap();
    &mut settings.key
}

fn keys() -> Vec<NamedScene> {
    vec![
        // 20 % is the grey 51 to the bit, and the slide has every grey.
        plain("hard step at a grey", ODD, |s| {
            key(s, 20.0, 0.0);
        }),
        plain("hard step at 0", ODD, |s| {
            key(s, 0.0, 0.0);
        }),
        plain("threshold 100", ODD, |s| {
            key(s, 100.0, 0.0);
        }),
        plain("softness 100", ODD, |s| {
            key(s, 0.0, 100.0);
        }),
        plain("softness 0.01", ODD, |s| {
            key(s, 20.0, 0.01);
        }),
        plain("smooth", ODD, |s| key(s, 10.0, 60.0).ramp = Ramp::Smooth),
        plain("BT.601", ODD, |s| key(s, 10.0, 60.0).luma = Luma::Bt601),
        plain("BT.2020", ODD, |s| key(s, 10.0, 60.0).luma = Luma::Bt2020),
        plain("premultiplied", ODD, |s| {
            key(s, 10.0, 60.0).alpha = Alpha::Premultiplied;
        }),
        plain("linear light", ODD, |s| {
            key(s, 10.0, 60.0).blend_space = BlendSpace::Linear;
        }),
        plain("linear light, premultiplied, mirrored", EVEN, |s| {
            place(s).mirror_camera = true;
            let key = key(s, 10.0, 60.0);
            key.blend_space = BlendSpace::Linear;
            key.alpha = Alpha::Premultiplied;
        }),
        plain("chain", ODD, |s| {
            s.chain = Some(Chain::new(0.92, 3.5, 1.0).unwrap());
        }),
        plain("chain beside a slide", EVEN, |s| {
            s.chain = Some(Chain::new(1.2, 10.0, 0.0).unwrap());
            place(s).slide_place = SlidePlace::new([60.0, 10.0, 35.0, 35.0]).unwrap();
        }),
    ]
}
