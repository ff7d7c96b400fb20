//! Room for slides: between drawn frames, as a picture, as a drawing, as zones, and for moving a slide.

use std::path::Path;
use std::process::{Command, Output};

use nightglass::files::demonstration::CAMERA;
use nightglass::files::setup_file::Setup;
use nightglass::measure::inspect::camera_masks::CameraMasks;
use nightglass::measure::raster::pixel_box::PixelBox;
use nightglass::measure::raster::runs::Runs;
use nightglass::measure::space::room::{Room, RoomWanted, free_slide_place};
use nightglass::measure::space::zone::{Zone, ZoneKind};
use nightglass::pixel::frame::Pixels;
use nightglass::pixel::label_room::shared;
use nightglass::pixel::settings::Size;
use nightglass::report::template_picture::{template_picture, template_svg};
use serde_json::Value;

use crate::check::said;

fn size() -> Size {
    Size::new(640, 360).unwrap()
}

fn masks(writing: [u32; 4], presenter: [u32; 4]) -> CameraMasks {
    let mask = |[x, y, width, height]: [u32; 4]| {
        Runs::of_boxes(
            size(),
            [PixelBox {
                x,
                y,
                width,
                height,
            }],
        )
    };
    CameraMasks::new(mask(writing), mask(presenter))
}

fn wanted(clearance: f64, reach: [f64; 2], boxes: usize) -> RoomWanted {
    RoomWanted::new(clearance, reach, boxes).unwrap()
}

#[test]
fn free_boxes_keep_clear_of_all_frames_within_reach_and_graphics_safe() {
    // Graphics safe is 32..608 by 18..342; rows 36 to 324 are within reach.
    let first = masks([40, 60, 100, 50], [420, 100, 100, 260]);
    let second = masks([40, 200, 100, 50], [440, 100, 100, 260]);
    let room = Room::find(
        size(),
        &[&first, &second],
        &[],
        &wanted(0.0, [10.0, 90.0], 2),
    );
    let boxes: Vec<[u32; 4]> = room.boxes.iter().map(|&b| b.into()).collect();
    assert_eq!(<[u32; 4]>::from(room.within), [32, 36, 576, 288]);
    assert_eq!(boxes, [[140, 36, 280, 288], [540, 36, 68, 288]]);
    let taken = 2 * 100 * 50 + 120 * (324 - 100);
    let free = 100.0 * f64::from(576 * 288 - taken) / f64::from(640 * 360);
    assert!(
        (room.free_percent - free).abs() < 1e-9,
        "{}",
        room.free_percent
    );
    // 5 % of 360 rows are 18 px: pixels 18 px away are free.
    let with_room = Room::find(
        size(),
        &[&first, &second],
        &[],
        &wanted(5.0, [10.0, 90.0], 1),
    );
    assert_eq!(<[u32; 4]>::from(with_room.boxes[0]), [157, 36, 246, 288]);
}

#[test]
fn zones_close_room_without_clearance_and_keep_slides_in() {
    let zone = |kind, percent| Zone::new("z".to_owned(), kind, percent).unwrap();
    let clock = zone(ZoneKind::KeepOut, [75.0, 0.0, 25.0, 100.0]);
    let find = |zones: &[Zone]| {
        let room = Room::find(size(), &[], zones, &wanted(5.0, [0.0, 100.0], 1));
        <[u32; 4]>::from(room.boxes[0])
    };
    assert_eq!(find(&[]), [32, 18, 576, 324]);
    assert_eq!(find(std::slice::from_ref(&clock)), [32, 18, 448, 324]);
    let left = zone(ZoneKind::KeepIn, [0.0, 0.0, 50.0, 50.0]);
    assert_eq!(find(&[left.clone(), clock.clone()]), [32, 18, 288, 162]);
    let whole = PixelBox::of_size(size());
    let place = free_slide_place(size(), &[], &[left, clock], whole).unwrap();
    assert_eq!(place.unwrap().percent(), [5.0, 5.0, 45.0, 45.0]);
}

#[test]
fn room_that_cannot_be_is_refused_in_words() {
    let error = |clearance, reach| {
        RoomWanted::new(clearance, reach, 4)
            .unwrap_err()
            .to_string()
    };
    assert_eq!(
        error(60.0, [5.0, 85.0]),
        "`--clearance` must be between 0 and 50 percent of the height, got 60"
    );
    for reach in [
        [85.0, 5.0],
        [50.0, 50.0],
        [-1.0, 50.0],
        [50.0, 101.0],
        [f64::NAN, 5.0],
    ] {
        assert!(
            error(3.0, reach)
                .starts_with("`--reach` must be two percentages of the height, top before bottom")
        );
    }
}

#[test]
fn a_slide_is_moved_where_it_becomes_largest() {
    // With 10.8 px of clearance columns 32..290 are free left of the figure and 430..608 right of it.
    let camera = masks([300, 60, 4, 4], [300, 18, 120, 342]);
    let place = |[x, y, width, height]: [u32; 4]| {
        let content = PixelBox {
            x,
            y,
            width,
            height,
        };
        let place = free_slide_place(size(), &[&camera], &[], content);
        place.unwrap().unwrap().percent()
    };
    // A slide that is content all over becomes 258 px wide, and 145.1 px high.
    let [x, y, width, height] = place([0, 0, 640, 360]);
    assert!((width - 100.0 * 258.0 / 640.0).abs() < 0.3, "{width}");
    assert!((width - height).abs() < 1e-9);
    assert!((x - 5.0).abs() < 0.3 && y >= 4.9, "{x}, {y}");
    // Content that is free where it is stays there, whatever the black around it covers.
    assert_eq!(place([50, 100, 200, 100]), [0.0, 0.0, 100.0, 100.0]);
    // What covers the figure and fits beside it is moved as little as can be, and stays as large.
    assert_eq!(
        place([250, 100, 100, 100]),
        [-100.0 * 60.0 / 640.0, 0.0, 100.0, 100.0]
    );
    // 300 px fit nowhere: 258 of them do, wherever the slide around them then lies.
    let [x, _, width, _] = place([200, 100, 300, 60]);
    assert!((width - 86.0).abs() < 0.01, "{width}");
    let left = x / 100.0 * 640.0 + 0.86 * 200.0;
    assert!((left - 32.0).abs() < 0.5, "{left}");
    let everywhere = masks([0, 0, 640, 360], [0, 0, 1, 1]);
    let whole = PixelBox::of_size(size());
    assert!(free_slide_place(size(), &[&everywhere], &[], whole).is_none());
}

#[test]
fn the_picture_is_transparent_where_nothing_is_drawn_and_striped_where_nothing_may_lie() {
    let room = Room::find(
        size(),
        &[&masks([40, 60, 100, 50], [420, 100, 100, 260])],
        &[],
        &wanted(0.0, [10.0, 90.0], 3),
    );
    let picture = template_picture(&room);
    let Pixels::Rgba8(pixels) = picture.pixels() else {
        panic!("8 bits");
    };
    let at = |x: u32, y: u32| pixels[(y * 640 + x) as usize];
    let free = room.boxes[0];
    assert_eq!(at(free.x + free.width / 2, free.y + free.height / 2)[3], 0);
    // Outlines are opaque, bluish green of Okabe and Ito, and lie inside the box.
    assert_eq!(at(free.x, free.y + free.height / 2), [0, 158, 115, 255]);
    assert_eq!(
        at(free.right() - 1, free.y + free.height / 2),
        [0, 158, 115, 255]
    );
    let alphas: Vec<u8> = (440..500).map(|x| at(x, 200)[3]).collect();
    // 0.3 of an area, and stripes of 0.75 on it: 77 and 210 of 255, in a quarter of the pixels.
    assert!(
        alphas.iter().all(|a| [76, 77, 210, 211].contains(a)),
        "{alphas:?}"
    );
    let striped = alphas.iter().filter(|&&a| a > 200).count();
    assert_eq!(striped, 15, "{alphas:?}");
    assert!((440..500).all(|x| at(x, 200)[0].abs_diff(213) <= 2 && at(x, 200)[2] == 0));
}

#[test]
fn the_drawing_has_the_same_areas() {
    let room = Room::find(
        size(),
        &[&masks([40, 60, 100, 50], [420, 100, 100, 260])],
        &[],
        &wanted(0.0, [10.0, 90.0], 3),
    );
    let svg = template_svg(&room);
    // Each area is one box, however many rows it has.
    assert!(
        svg.contains("d=\"M40 60h100v50h-100zM420 100h100v260h-100z\""),
        "{svg}"
    );
    for PixelBox {
        x,
        y,
        width,
        height,
    } in room.boxes
    {
        let free = format!(
            "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" fill=\"none\""
        );
        assert!(svg.contains(&free), "{free}");
    }
    assert!(svg.contains(">keep clear</text>") && svg.contains(">free 1: "));
}

/// The words of the drawing with the places that they take, letters being about half as wide as they are high.
fn words_of(svg: &str) -> Vec<(String, [f64; 4])> {
    let number = |part: &str, name: &str| -> f64 {
        let value = part.split(&format!(" {name}=\"")).nth(1).unwrap();
        value.split('"').next().unwrap().parse().unwrap()
    };
    svg.split("<text")
        .skip(1)
        .map(|part| {
            let words = part.split('>').nth(1).unwrap().split('<').next().unwrap();
            let [x, y, size] = ["x", "y", "font-size"].map(|name| number(part, name));
            let width = 0.45 * size * words.len() as f64;
            (words.to_owned(), [x, y - 0.8 * size, x + width, y])
        })
        .collect()
}

#[test]
fn words_in_a_narrow_box_stay_in_it_in_a_wide_font_too() {
    let size = Size::HD;
    let mask = |boxes: &[PixelBox]| Runs::of_boxes(size, boxes.iter().copied());
    // A letter of DejaVu Sans takes 0.52 of the font's size in these words.
    let advance = 9.889 / "free 2: 14 % x 44 %".len() as f64;
    for width in (120..520).step_by(10) {
        let taken = PixelBox {
            x: 96 + width,
            y: 0,
            width: 1920 - 96 - width,
            height: 1080,
        };
        let masks = CameraMasks::new(mask(&[taken]), mask(&[]));
        let room = Room::find(size, &[&masks], &[], &wanted(0.0, [5.0, 85.0], 1));
        let bounds = room.boxes[0];
        assert_eq!(bounds.width, width);
        let svg = template_svg(&room);
        let (words, [left, top, ..]) = words_of(&svg)
            .into_iter()
            .find(|(words, _)| words.starts_with("free 1"))
            .unwrap();
        let right = left + advance * letters_of(&svg) * words.len() as f64;
        let is_beside = left >= f64::from(bounds.right()) || top < f64::from(bounds.y);
        assert!(
            is_beside || right <= f64::from(bounds.right()),
            "{words} from {left} to {right} in {bounds:?}"
        );
    }
}

/// The size of the drawing's letters.
fn letters_of(svg: &str) -> f64 {
    let value = svg.split(" font-size=\"").nth(1).unwrap();
    value.split('"').next().unwrap().parse().unwrap()
}

#[test]
fn names_of_guides_lie_off_writing_and_free_boxes_and_no_word_lies_on_another() {
    let size = Size::HD;
    let mask = |boxes: &[[u32; 4]]| {
        let boxes = boxes.iter().map(|&[x, y, width, height]| PixelBox {
            x,
            y,
            width,
            height,
        });
        Runs::of_boxes(size, boxes)
    };
    // Writing where guides have their names if nothing is there, and all along the upper edge.
    let writing = mask(&[[90, 130, 400, 120], [60, 10, 1500, 80]]);
    let masks = CameraMasks::new(writing.clone(), mask(&[[1000, 400, 400, 680]]));
    let room = Room::find(size, &[&masks], &[], &wanted(3.0, [5.0, 85.0], 4));
    let words = words_of(&template_svg(&room));
    for name in ["action safe, margin 3.5 %", "graphics safe, margin 5 %"] {
        let [left, top, right, bottom] = words.iter().find(|(text, _)| text == name).unwrap().1;
        let rows = top as u32..bottom as u32;
        let is_covered = rows
            .flat_map(|y| writing.row(y))
            .any(|run| f64::from(run.start) < right && f64::from(run.end) > left);
        assert!(!is_covered, "{name} at {left},{top}");
        for bounds in &room.boxes {
            let [x0, y0, x1, y1] =
                [bounds.x, bounds.y, bounds.right(), bounds.bottom()].map(f64::from);
            assert!(
                right <= x0 || left >= x1 || bottom <= y0 || top >= y1,
                "{name}"
            );
        }
    }
    for (index, (a, at)) in words.iter().enumerate() {
        for (b, there) in &words[index + 1..] {
            assert!(shared(at, there) <= 0.0, "{a} {at:?} lies on {b} {there:?}");
        }
    }
    assert!(words.len() >= 6, "{words:?}");
}

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nightglass"))
        .current_dir(folder)
        .env("XDG_RUNTIME_DIR", folder)
        .args(args)
        .output()
        .unwrap()
}

#[test]
fn template_writes_a_picture_with_alpha_and_zones_beside_what_the_setup_says() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("camera.jpg"), CAMERA.bytes).unwrap();
    let setup = folder.path().join("evening.toml");
    std::fs::write(&setup, "# for the autumn course\nslides = [\"deck\"]\n\n# stays\n[[zones]]\nname = \"clock\"\nkind = \"keep-out\"\nbox = [0, 0, 5, 5]\n").unwrap();
    let args = [
        "template",
        "--camera",
        "camera.jpg",
        "--size",
        "640x360",
        "--out",
        "room.png",
        "--write-zones",
        "evening.toml",
        "--json",
    ];
    let output = run(folder.path(), &args);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    let picture = image::open(folder.path().join("room.png")).unwrap();
    assert_eq!((picture.width(), picture.height()), (640, 360));
    assert!(picture.color().has_alpha());
    run(folder.path(), &args);
    let text = std::fs::read_to_string(&setup).unwrap();
    assert!(
        text.starts_with(
            "# for the autumn course\nslides = [\"deck\"]\n\n# stays\n[[zones]]\nname = \"clock\"\n"
        ),
        "{text}"
    );
    let zones = Setup::read(&setup).unwrap().zones;
    let boxes = document["boxes"].as_array().unwrap();
    assert_eq!(zones.len(), 1 + boxes.len(), "written twice, there once");
    let percents: Vec<Value> = zones[1..]
        .iter()
        .map(|zone| zone.box_percent().to_vec().into())
        .collect();
    let told: Vec<Value> = boxes.iter().map(|free| free["percent"].clone()).collect();
    assert_eq!(percents, told);
}

#[test]
fn template_tells_boxes_in_centimetres_on_the_glass() {
    let folder = tempfile::tempdir().unwrap();
    // Nothing but a lit edge of the glass, so that the frame is no dark one of a camera that is off.
    let edge = |_, y| image::Rgb([if y < 3 { 60 } else { 6 }; 3]);
    let nothing = image::RgbImage::from_fn(640, 360, edge);
    nothing.save(folder.path().join("nothing.png")).unwrap();
    let glass = ["--glass", "0,0,640,0,640,360,0,360", "160x90"];
    let args = [
        &[
            "template",
            "--camera",
            "nothing.png",
            "--boxes",
            "1",
            "--reach",
            "0,100",
            "--json",
        ],
        &glass[..],
    ]
    .concat();
    let document: Value = serde_json::from_slice(&run(folder.path(), &args).stdout).unwrap();
    // Graphics safe is 5 % off each edge: 8 of 160 cm and 4.5 of 90.
    let safe = serde_json::json!([[8.0, 4.5], [152.0, 4.5], [152.0, 85.5], [8.0, 85.5]]);
    assert_eq!(document["boxes"][0]["glass_cm"], safe);
    assert_eq!(
        document["slide_glass_cm"],
        serde_json::json!([[0.0, 0.0], [160.0, 0.0], [160.0, 90.0], [0.0, 90.0]])
    );
    let text = said(
        &run(
            folder.path(),
            &[&["template", "--camera", "nothing.png"], &glass[..]].concat(),
        )
        .stdout,
    );
    assert!(
        text.contains("  the slides\n          on the glass: 0,0  160,0  160,90  0,90 cm\n"),
        "{text}"
    );
    // A glass that does not fill the picture: no box leaves it.
    let small = ["--glass", "150,70,500,90,520,300,130,320", "160x90"];
    let args = [
        &["template", "--camera", "nothing.png", "--json"],
        &small[..],
    ]
    .concat();
    let document: Value = serde_json::from_slice(&run(folder.path(), &args).stdout).unwrap();
    let boxes = document["boxes"].as_array().unwrap();
    assert!(!boxes.is_empty());
    for corner in boxes
        .iter()
        .flat_map(|free| free["glass_cm"].as_array().unwrap())
    {
        let (x, y) = (corner[0].as_f64().unwrap(), corner[1].as_f64().unwrap());
        assert!(
            (0.0..=160.0).contains(&x) && (0.0..=90.0).contains(&y),
            "{corner}"
        );
    }
    let first = &boxes[0]["glass_cm"];
    assert!(
        first[0][0].as_f64().unwrap() < 16.0 && first[1][0].as_f64().unwrap() > 144.0,
        "the room on the glass is used: {first}"
    );
    for boxes in ["1", "3", "12"] {
        let boxes = ["template", "--camera", "nothing.png", "--boxes", boxes];
        for more in [&["--out", "room.png"][..], &glass] {
            let text = said(&run(folder.path(), &[&boxes[..], more].concat()).stdout);
            assert!(text.contains("\n  free 1"), "{text}");
            let is_wide = |line: &&str| line.chars().count() > 80;
            assert_eq!(text.lines().find(is_wide), None);
        }
    }
}

#[test]
fn a_reach_beside_graphics_safe_leaves_no_room_on_any_size() {
    for (width, height) in [(64, 36), (1, 1), (16, 9), (1920, 1080)] {
        let output = Size::new(width, height).unwrap();
        for reach in [[99.0, 100.0], [0.0, 1.0]] {
            let wanted = RoomWanted::new(3.0, reach, 4).unwrap();
            let room = Room::find(output, &[], &[], &wanted);
            assert!(room.within.bottom() <= height, "{output} {reach:?}");
            let fits = |b: &PixelBox| b.bottom() <= height && b.right() <= width;
            assert!(room.boxes.iter().all(fits), "{output} {reach:?}");
        }
    }
}

#[test]
fn template_says_what_it_needs() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("camera.jpg"), CAMERA.bytes).unwrap();
    let refused = |args: &[&str]| {
        let output = run(folder.path(), &[&["template"], args].concat());
        assert_eq!(output.status.code(), Some(2));
        said(&output.stderr)
    };
    assert_eq!(
        refused(&["--out", "a.png"]),
        "error: expected a camera frame, got none\n\nhint: add `--camera FILE`, or set `camera` in the setup file\n"
    );
    assert_eq!(
        refused(&["--camera", "camera.jpg", "--out", "a.jpg"]),
        "error: expected a name ending in .png or .svg, got `a.jpg`\n\nhint: name the picture template.png\n"
    );
    assert_eq!(
        refused(&["--camera", "camera.jpg", "--out", "a.png", "--reach", "5"]),
        "error: expected two percentages for `--reach`, got 1\n\nhint: such as --reach 5,85\n"
    );
    let hint = "\n\nhint: such as --glass 120,80,1790,40,1850,1020,60,990 180x100\n";
    assert_eq!(
        refused(&["--camera", "camera.jpg", "--glass", "1,2,3", "180x100"]),
        format!(
            "error: expected eight pixel numbers and a size in centimetres for `--glass`{hint}"
        )
    );
    assert_eq!(
        refused(&[
            "--camera",
            "camera.jpg",
            "--glass",
            "0,0,0,9,9,9,9,0",
            "180x100"
        ]),
        format!(
            "error: the corners of the glass must go round it: top left, top right, bottom right, bottom left{hint}"
        )
    );
}

#[test]
fn compose_moves_a_slide_where_it_is_free_and_says_where() {
    let folder = tempfile::tempdir().unwrap();
    // A bright figure in the middle of a dark frame, in JPEG's way: no pixel is quite black.
    let camera = image::RgbImage::from_fn(640, 360, |x, y| {
        let lit = (260..380).contains(&x) && y > 60;
        let grey = 4 + ((x * 7 + y * 13) % 5) as u8;
        image::Rgb(if lit { [190, 150, 130] } else { [grey; 3] })
    });
    camera.save(folder.path().join("camera.png")).unwrap();
    let slide = image::RgbImage::from_pixel(320, 180, image::Rgb([255; 3]));
    slide.save(folder.path().join("slide.png")).unwrap();
    let args = [
        "compose",
        "--engine",
        "cpu",
        "--camera",
        "camera.png",
        "--slide",
        "slide.png",
        "--out",
        "out.png",
        "--slide-place",
        "free",
    ];
    let output = run(folder.path(), &args);
    let told = said(&output.stderr);
    let place = told
        .lines()
        .last()
        .unwrap_or_default()
        .strip_prefix("the slide lies where it is free: --slide-place ")
        .unwrap_or_else(|| panic!("{told}"));
    // The same picture comes of the place that it says, to a pixel.
    let out = image::open(folder.path().join("out.png"))
        .unwrap()
        .to_rgb8();
    assert!(
        (260..380).all(|x| out.get_pixel(x, 200) == camera.get_pixel(x, 200)),
        "the figure is whole"
    );
    assert!(
        out.pixels().filter(|pixel| pixel.0 == [255; 3]).count() > 10_000,
        "the slide is there"
    );
    let again = [
        "compose",
        "--engine",
        "cpu",
        "--camera",
        "camera.png",
        "--slide",
        "slide.png",
        "--out",
        "again.png",
        "--slide-place",
        place,
    ];
    assert_eq!(run(folder.path(), &again).status.code(), Some(0));
    let again = image::open(folder.path().join("again.png"))
        .unwrap()
        .to_rgb8();
    let differs = out
        .pixels()
        .zip(again.pixels())
        .filter(|(a, b)| a != b)
        .count();
    assert!(differs < 2 * 640, "{differs} pixels");
    let refused = run(
        folder.path(),
        &["check", "slide.png", "--slide-place", "free"],
    );
    assert_eq!(
        said(&refused.stderr),
        "error: `--slide-place free` is for `compose` and `preview`\n\nhint: give this command the four percentages \
         that `compose` then says\n"
    );
}

#[test]
fn compose_leaves_a_slide_that_covers_nothing_where_it_lies() {
    let folder = tempfile::tempdir().unwrap();
    // A figure in the middle, and content on both sides of it: the box around the content covers the figure.
    let camera = image::RgbImage::from_fn(640, 360, |x, y| {
        let lit = (260..380).contains(&x) && y > 60;
        image::Rgb(if lit { [190, 150, 130] } else { [6; 3] })
    });
    camera.save(folder.path().join("camera.png")).unwrap();
    let slide = |name: &str, columns: [std::ops::Range<u32>; 2]| {
        let picture = image::RgbImage::from_fn(640, 360, |x, y| {
            let is_on = columns.iter().any(|part| part.contains(&x)) && (100..200).contains(&y);
            image::Rgb([if is_on { 255 } else { 0 }; 3])
        });
        picture.save(folder.path().join(name)).unwrap();
    };
    slide("beside.png", [40..200, 420..600]);
    slide("over.png", [40..200, 300..600]);
    let told = |name: &str, more: &[&str]| {
        let args = format!(
            "compose --engine cpu --camera camera.png --slide {name} --out out.png --slide-place free"
        );
        let args: Vec<&str> = args.split(' ').chain(more.iter().copied()).collect();
        let output = run(folder.path(), &args);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
        said(&output.stderr)
    };
    assert!(
        told("beside.png", &[])
            .ends_with("the slide stays where it lies: what is on it covers nothing there\n")
    );
    let out = image::open(folder.path().join("out.png"))
        .unwrap()
        .to_rgb8();
    for (x, color) in [(45, [255; 3]), (595, [255; 3]), (320, [190, 150, 130])] {
        assert_eq!(out.get_pixel(x, 150).0, color, "{x}");
    }
    assert!(told("over.png", &[]).contains("the slide lies where it is free: --slide-place "));
    // A zone is no less in the way than the presenter is.
    let zone = "[[zones]]\nname = \"clock\"\nkind = \"keep-out\"\nbox = [80, 30, 20, 20]\n";
    std::fs::write(folder.path().join("evening.toml"), zone).unwrap();
    let zoned = told("beside.png", &["--setup", "evening.toml"]);
    assert!(
        zoned.contains("the slide lies where it is free: --slide-place "),
        "{zoned}"
    );
}
