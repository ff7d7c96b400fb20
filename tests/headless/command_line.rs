//! The program as a person runs it: what it prints, how it ends, and that bad input harms nothing.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use nightglass::files::demonstration::{CAMERA, SLIDES};
use nightglass::files::picture_file::read_picture;
use tempfile::TempDir;

/// A folder of its own with the demonstration's camera and first slide in it.
struct Desk {
    folder: TempDir,
}

impl Desk {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("camera.jpg"), CAMERA.bytes).unwrap();
        std::fs::write(folder.path().join("slide.png"), SLIDES[0].bytes).unwrap();
        Self { folder }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn write(&self, name: &str, bytes: &[u8]) {
        std::fs::write(self.path(name), bytes).unwrap();
    }

    fn run(&self, args: &[&str]) -> Output {
        command(self.folder.path()).args(args).output().unwrap()
    }

    /// `compose` of these inputs on the processor.
    fn compose(&self, camera: &str, slide: &str, out: &str, more: &[&str]) -> Output {
        let mut args = vec![
            "compose", "--engine", "cpu", "--camera", camera, "--slide", slide,
        ];
        args.extend(["--out", out]);
        args.extend(more);
        self.run(&args)
    }

    /// Names in the folder, sorted.
    fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(self.folder.path()).unwrap();
        let mut names: Vec<String> = entries
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// Runs `compose`, which must fail with exactly this on stderr, and leave no new file.
    fn refuses(&self, output: &Output, stderr: &str) {
        assert_eq!(String::from_utf8_lossy(&output.stderr), stderr);
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty());
        assert!(
            !self
                .names()
                .iter()
                .any(|name| name.contains("out") || name.contains("part"))
        );
    }
}

/// The program in a folder, without a display and without colours.
fn command(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_nightglass"));
    // Graphics drivers complain on stderr where the last is not set.
    command
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .env("XDG_RUNTIME_DIR", folder);
    for variable in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(variable);
    }
    command
}

fn stdout(output: &Output) -> String {
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8_lossy(&output.stdout).into_owned()
}

#[test]
fn compose_writes_the_picture_and_says_what_the_key_left() {
    let desk = Desk::new();
    let output = desk.compose("camera.jpg", "slide.png", "out.png", &[]);
    let said = stdout(&output);
    assert!(
        said.starts_with("wrote out.png (1920x1080, cpu)\nat threshold 6 and softness 4 percent, ")
    );
    let frame = read_picture(&desk.path("out.png")).unwrap().frame;
    assert_eq!((frame.size().width(), frame.size().height()), (1920, 1080));
    assert_eq!(desk.names(), ["camera.jpg", "out.png", "slide.png"]);
}

#[test]
fn compose_json_is_one_document_with_the_key() {
    let desk = Desk::new();
    let more = [
        "--json",
        "--threshold",
        "7.5",
        "--guides",
        "thirds,centre",
        "--size",
        "640x360",
    ];
    let said = stdout(&desk.compose("camera.jpg", "slide.png", "out.webp", &more));
    let document: serde_json::Value = serde_json::from_str(&said).unwrap();
    assert_eq!(document["schema"], 1);
    assert_eq!(document["output"], serde_json::json!([640, 360]));
    assert_eq!(document["key"]["threshold"], 7.5);
    assert_eq!(document["key"]["blend_space"], "encoded");
    assert_eq!(document["guides"], serde_json::json!(["thirds", "centre"]));
    assert_eq!(document["engine"], "cpu");
    assert_eq!(document["adapter"], serde_json::Value::Null);
    let matte = &document["matte"];
    let sum: f64 = ["dropped", "in_the_ramp", "solid"]
        .iter()
        .map(|key| matte[key].as_f64().unwrap())
        .sum();
    assert!((sum - 100.0).abs() < 1e-9, "{matte}");
}

#[test]
fn every_view_and_format_is_written() {
    let desk = Desk::new();
    for view in ["composite", "matte", "camera", "slide", "kept", "exposure"] {
        for ending in ["png", "jpg", "webp", "tiff"] {
            let out = format!("view_{view}.{ending}");
            stdout(&desk.compose(
                "camera.jpg",
                "slide.png",
                &out,
                &["--view", view, "--size", "64x36"],
            ));
            assert_eq!(
                read_picture(&desk.path(&out)).unwrap().frame.size().area(),
                64 * 36
            );
        }
    }
}

#[test]
fn a_setup_in_the_folder_is_used_and_named_and_flags_override_it() {
    let desk = Desk::new();
    desk.write(
        "nightglass.toml",
        b"camera = \"camera.jpg\"\nslides = [\"slide.png\"]\n[key]\nthreshold = 11\nsoftness = 2\n",
    );
    let output = desk.run(&[
        "compose",
        "--engine",
        "cpu",
        "--out",
        "out.png",
        "--softness",
        "3",
    ]);
    assert!(stdout(&output).contains("at threshold 11 and softness 3 percent"));
    assert_eq!(
        String::from_utf8_lossy(&output.stderr),
        "using the setup in `nightglass.toml`\n"
    );
}

#[test]
fn a_key_under_which_nothing_is_solid_is_warned_about() {
    let desk = Desk::new();
    let output = desk.compose(
        "camera.jpg",
        "slide.png",
        "out.png",
        &["--threshold", "60", "--softness", "50"],
    );
    stdout(&output);
    assert_eq!(
        String::from_utf8_lossy(&output.stderr),
        "warning: threshold 60 and softness 50 add up to over 100 percent, so nothing in the slide is solid\n"
    );
}

#[test]
fn a_missing_file_is_named() {
    let desk = Desk::new();
    desk.refuses(
        &desk.compose("nowhere.png", "slide.png", "out.png", &[]),
        "error: cannot read the camera\n  no such file: `nowhere.png`\n\n\
         hint: check the name and the folder you are in\n",
    );
}

#[test]
fn a_folder_in_place_of_a_file_is_refused() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("deck")).unwrap();
    desk.refuses(
        &desk.compose("camera.jpg", "deck", "out.png", &[]),
        "error: cannot read the slide\n  expected a picture, got a folder: `deck`\n\n\
         hint: name one picture in that folder\n",
    );
}

#[test]
fn an_empty_file_is_refused() {
    let desk = Desk::new();
    desk.write("empty.png", b"");
    desk.refuses(
        &desk.compose("camera.jpg", "empty.png", "out.png", &[]),
        "error: cannot read the slide\n  the file is empty: `empty.png`\n\n\
         hint: export or copy the picture again\n",
    );
}

#[test]
fn a_text_renamed_to_png_is_refused() {
    let desk = Desk::new();
    desk.write("notes.png", b"ask about the almanac");
    desk.refuses(
        &desk.compose("camera.jpg", "notes.png", "out.png", &[]),
        "error: cannot read the slide\n  not a PNG, JPEG, WebP, TIFF or BMP file: `notes.png`\n\n\
         hint: export the picture as an 8 or 16 bit PNG\n",
    );
}

#[test]
fn pictures_that_break_off_are_refused() {
    let desk = Desk::new();
    desk.write("half.png", &SLIDES[1].bytes[..SLIDES[1].bytes.len() / 2]);
    desk.write("half.jpg", &CAMERA.bytes[..CAMERA.bytes.len() / 2]);
    for (camera, slide, role, name) in [
        ("camera.jpg", "half.png", "slide", "half.png"),
        ("half.jpg", "slide.png", "camera", "half.jpg"),
    ] {
        desk.refuses(
            &desk.compose(camera, slide, "out.png", &[]),
            &format!(
                "error: cannot read the {role}\n  the file is cut off before its end: `{name}`\n\n\
                 hint: export or copy the picture again\n"
            ),
        );
    }
}

/// A PNG of one chunk that promises `side` x `side` pixels and holds none.
fn promising_png(side: u32) -> Vec<u8> {
    let mut header = b"IHDR".to_vec();
    header.extend(side.to_be_bytes());
    header.extend(side.to_be_bytes());
    header.extend([8, 2, 0, 0, 0]);
    let mut png = b"\x89PNG\r\n\x1a\n".to_vec();
    png.extend(13_u32.to_be_bytes());
    png.extend(&header);
    png.extend(crc32(&header).to_be_bytes());
    png.extend([0, 0, 0, 0]);
    png.extend(b"IDAT");
    png.extend(crc32(b"IDAT").to_be_bytes());
    png
}

/// Source: W3C PNG specification, annex D.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte), |c, _| {
            if c & 1 == 1 {
                0xEDB8_8320 ^ (c >> 1)
            } else {
                c >> 1
            }
        })
    })
}

#[test]
fn a_picture_of_40000_pixels_a_side_is_refused() {
    let desk = Desk::new();
    desk.write("huge.png", &promising_png(40_000));
    desk.refuses(
        &desk.compose("camera.jpg", "huge.png", "out.png", &[]),
        "error: cannot read the slide\n  \
         a picture may be 16384 pixels wide and high, got 40000x40000: `huge.png`\n\n\
         hint: export it smaller; a recording is rarely over 7680x4320\n",
    );
}

#[test]
fn extreme_pictures_are_composed() {
    let desk = Desk::new();
    for (name, width, height) in [
        ("dot.png", 1, 1),
        ("line.png", 4000, 1),
        ("odd.png", 641, 359),
    ] {
        let picture = image::RgbImage::from_pixel(width, height, image::Rgb([90, 140, 200]));
        picture.save(desk.path(name)).unwrap();
        for fit in ["fill", "fit", "stretch"] {
            let more = ["--camera-fit", fit, "--slide-fit", fit, "--size", "33x17"];
            stdout(&desk.compose(name, "slide.png", "out.png", &more));
            stdout(&desk.compose("camera.jpg", name, "out.png", &more));
            stdout(&desk.compose(name, name, "out.png", &[]));
        }
    }
}

#[test]
fn values_out_of_range_are_refused() {
    let desk = Desk::new();
    let cases: [(&[&str], &str); 4] = [
        (
            &["--threshold", "101"],
            "error: `threshold` must be between 0 and 100 percent, got 101\n",
        ),
        (
            &["--threshold", "NaN"],
            "error: `threshold` must be between 0 and 100 percent, got NaN\n",
        ),
        (
            &["--threshold", "-1"],
            "error: `threshold` must be between 0 and 100 percent, got -1\n",
        ),
        (
            &["--softness", "130"],
            "error: `softness` must be 0 or between 0.01 and 100 percent, got 130\n",
        ),
    ];
    for (more, stderr) in cases {
        desk.refuses(
            &desk.compose("camera.jpg", "slide.png", "out.png", more),
            stderr,
        );
    }
    let output = desk.compose("camera.jpg", "slide.png", "out.png", &["--size", "0x10"]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        said.starts_with(
            "error: invalid value '0x10' for '--size <WxH>': \
             a picture must be 1 to 16384 pixels wide and high, got 0x10\n"
        ),
        "{said}"
    );
    let output = desk.compose(
        "camera.jpg",
        "slide.png",
        "out.png",
        &["--slide-place", "0,0,0,50"],
    );
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        said.contains("`slide-place` must be x and y from -100 to 100"),
        "{said}"
    );
}

#[test]
fn a_missing_input_says_how_to_give_one() {
    let desk = Desk::new();
    desk.refuses(
        &desk.run(&["compose", "--slide", "slide.png", "--out", "out.png"]),
        "error: expected a camera, got none\n\n\
         hint: add `--camera FILE`, or set it in the setup file\n",
    );
}

#[test]
fn an_unknown_ending_is_refused() {
    let desk = Desk::new();
    desk.refuses(
        &desk.compose("camera.jpg", "slide.png", "out.gif", &[]),
        "error: expected a name ending in .png, .jpg, .webp or .tiff, got `out.gif`\n\n\
         hint: PNG keeps every pixel as it is: name the output something.png\n",
    );
}

#[test]
fn an_input_is_never_replaced() {
    let desk = Desk::new();
    let before = std::fs::read(desk.path("slide.png")).unwrap();
    desk.refuses(
        &desk.compose("camera.jpg", "slide.png", "./slide.png", &[]),
        "error: the output is also an input: `./slide.png`\n\n\
         hint: give the output a name of its own\n",
    );
    assert_eq!(std::fs::read(desk.path("slide.png")).unwrap(), before);
}

#[test]
fn an_older_output_is_replaced_and_kept_when_the_work_fails() {
    let desk = Desk::new();
    desk.write("result.png", b"older");
    let output = desk.compose("camera.jpg", "nowhere.png", "result.png", &[]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(std::fs::read(desk.path("result.png")).unwrap(), b"older");
    stdout(&desk.compose("camera.jpg", "slide.png", "result.png", &[]));
    assert_ne!(std::fs::read(desk.path("result.png")).unwrap(), b"older");
}

#[test]
fn an_output_in_no_folder_is_refused() {
    let desk = Desk::new();
    desk.refuses(
        &desk.compose("camera.jpg", "slide.png", "nowhere/out.png", &[]),
        "error: no such folder for the output: `nowhere/out.png`\n\n\
         hint: make the folder first, or name another one\n",
    );
    desk.refuses(
        &desk.compose("camera.jpg", "slide.png", "/proc/out.png", &[]),
        if cfg!(target_os = "linux") {
            "error: cannot write `/proc/out.png`\n  this folder takes no new files\n\n\
             hint: name another folder; nothing was changed\n"
        } else {
            ""
        },
    );
}

#[test]
fn a_damaged_setup_is_refused_with_its_place() {
    let desk = Desk::new();
    desk.write("bad.toml", b"[key]\nthreshhold = 5\n");
    desk.refuses(
        &desk.compose("camera.jpg", "slide.png", "out.png", &["--setup", "bad.toml"]),
        "error: unknown key `threshhold`; the nearest is `threshold`, line 2, column 1: `bad.toml`\n\n\
         hint: correct the key, or put a # before the line\n",
    );
    desk.refuses(
        &desk.compose(
            "camera.jpg",
            "slide.png",
            "out.png",
            &["--setup", "none.toml"],
        ),
        "error: no such setup file: `none.toml`\n\n\
         hint: check the name and the folder you are in\n",
    );
}

/// Runs the program with every file it writes limited to 64 KiB, as a full disk limits it.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_older_output() {
    let desk = Desk::new();
    desk.write("result.png", b"older");
    let program = env!("CARGO_BIN_EXE_nightglass");
    let script = format!(
        "trap '' XFSZ; ulimit -f 64; exec {program} compose --engine cpu --camera camera.jpg \
         --slide slide.png --out result.png"
    );
    let output = Command::new("bash")
        .args(["-c", &script])
        .current_dir(desk.folder.path())
        .output()
        .unwrap();
    assert_eq!(
        String::from_utf8_lossy(&output.stderr),
        "error: cannot write `result.png`\n  File too large (os error 27)\n\n\
         hint: the disk or a limit does not take a file of this size; nothing was changed\n"
    );
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(std::fs::read(desk.path("result.png")).unwrap(), b"older");
    assert_eq!(desk.names(), ["camera.jpg", "result.png", "slide.png"]);
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let desk = Desk::new();
    for args in [vec!["completions", "bash"], vec!["demo", "files"]] {
        let mut child = command(desk.folder.path())
            .args(args)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(String::from_utf8_lossy(&output.stderr), "");
        assert_eq!(output.status.code(), Some(0));
    }
}

#[test]
fn demo_writes_camera_slides_composites_and_a_setup_that_works() {
    let desk = Desk::new();
    let said = stdout(&desk.run(&["demo", "night"]));
    assert!(said.ends_with("\nwritten into night\n"), "{said}");
    let folder = desk.path("night");
    for slide in &SLIDES {
        let composite = slide.name.replace("slide_", "composite_");
        assert!(folder.join(slide.name).exists() && folder.join(&composite).exists());
    }
    let output = command(&folder)
        .args(["compose", "--engine", "cpu", "--out", "again.png"])
        .output()
        .unwrap();
    stdout(&output);
    let again = read_picture(&folder.join("again.png")).unwrap().frame;
    let composite = read_picture(&folder.join("composite_1_keys_cleanly.png"))
        .unwrap()
        .frame;
    assert!(again == composite, "compose and demo differ");
}

#[cfg(target_os = "linux")]
#[test]
fn preview_without_a_display_says_so() {
    let desk = Desk::new();
    desk.refuses(
        &desk.run(&["preview", "slide.png", "--camera", "camera.jpg"]),
        "error: cannot open a window: neither WAYLAND_DISPLAY nor WAYLAND_SOCKET nor DISPLAY is set\n\n\
         hint: without a display, `nightglass compose` makes the same pictures as files\n",
    );
}

#[cfg(target_os = "linux")]
#[test]
fn without_a_display_the_demonstration_becomes_files() {
    let desk = Desk::new();
    let output = desk.run(&[]);
    assert!(stdout(&output).ends_with("\nwritten into nightglass-demo\n"));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        said.starts_with("cannot open a window: neither WAYLAND_DISPLAY"),
        "{said}"
    );
    let summary = std::fs::read_to_string(desk.path("nightglass-demo/summary.txt")).unwrap();
    assert!(summary.contains("composite_4_lands_on_writing.png"));
    assert!(
        desk.path("nightglass-demo/composite_4_lands_on_writing.png")
            .exists()
    );
}

#[cfg(target_os = "linux")]
#[test]
fn the_gpu_engine_without_an_adapter_names_the_way_out() {
    let desk = Desk::new();
    let output = command(desk.folder.path())
        .args([
            "compose",
            "--engine",
            "gpu",
            "--camera",
            "camera.jpg",
            "--slide",
            "slide.png",
        ])
        .args(["--out", "out.png"])
        .env("WGPU_BACKEND", "vulkan")
        .env("VK_DRIVER_FILES", "/nonexistent")
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        said.starts_with("error: no usable graphics adapter, "),
        "{said}"
    );
    assert!(
        said.ends_with(
            "\n\nhint: `--engine cpu` makes the same pictures on the processor; \
             for the graphics adapter, install its Vulkan driver\n"
        ),
        "{said}"
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(!desk.path("out.png").exists());
}

#[test]
fn demo_never_replaces_files_of_the_users() {
    let desk = Desk::new();
    desk.write("camera.jpg", b"mine");
    let output = desk.run(&["demo", "."]);
    assert_eq!(
        String::from_utf8_lossy(&output.stderr),
        "error: expected a folder without pictures of yours, found `./camera.jpg`\n\n\
         hint: name a new or an empty folder; nothing was written\n"
    );
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(desk.names(), ["camera.jpg", "slide.png"]);
    let desk = Desk::new();
    desk.write("summary.txt", b"mine");
    assert_eq!(desk.run(&["demo", "."]).status.code(), Some(2));
    // Its own folder is written again.
    stdout(&desk.run(&["demo", "night"]));
    stdout(&desk.run(&["demo", "night"]));
    let setup = std::fs::read_to_string(desk.path("night/nightglass.toml")).unwrap();
    assert!(setup.contains("camera = \"camera.jpg\""), "{setup}");
}

#[test]
fn compose_takes_the_first_slide_of_a_folder_in_the_setup() {
    let desk = Desk::new();
    std::fs::create_dir(desk.path("slides")).unwrap();
    std::fs::rename(desk.path("slide.png"), desk.path("slides/2.png")).unwrap();
    std::fs::copy(desk.path("slides/2.png"), desk.path("slides/10.png")).unwrap();
    desk.write(
        "nightglass.toml",
        b"camera = \"camera.jpg\"\nslides = [\"slides\"]\n",
    );
    let output = desk.run(&["compose", "--engine", "cpu", "--out", "out.png", "--json"]);
    let document: serde_json::Value = serde_json::from_str(&stdout(&output)).unwrap();
    assert_eq!(document["slide"]["file"], "slides/2.png");
}

#[test]
fn a_jpeg_with_something_behind_its_end_is_read() {
    let desk = Desk::new();
    let mut bytes = CAMERA.bytes.to_vec();
    bytes.extend(b"ftypmp42\xFF\xDA\x00\x08moving picture");
    desk.write("phone.jpg", &bytes);
    stdout(&desk.compose("phone.jpg", "slide.png", "out.png", &["--size", "64x36"]));
}

#[test]
fn a_profile_that_is_not_srgb_is_warned_about() {
    use image::ImageEncoder;
    let desk = Desk::new();
    let mut bytes = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut bytes);
    encoder
        .set_icc_profile(b"a profile of some other space".to_vec())
        .unwrap();
    encoder
        .write_image(&[9; 12], 2, 2, image::ExtendedColorType::Rgb8)
        .unwrap();
    desk.write("wide.png", &bytes);
    let output = desk.compose("wide.png", "slide.png", "out.png", &[]);
    stdout(&output);
    assert_eq!(
        String::from_utf8_lossy(&output.stderr),
        "warning: the colour profile of `wide.png` is ignored; export it as sRGB to be sure of its colours\n"
    );
}

#[cfg(target_os = "linux")]
#[test]
fn a_device_in_place_of_a_file_is_refused() {
    let desk = Desk::new();
    desk.refuses(
        &desk.compose("/dev/zero", "slide.png", "out.png", &[]),
        "error: cannot read the camera\n  expected a picture file, got a device or a pipe: `/dev/zero`\n\n\
         hint: save the picture into a file first\n",
    );
    let output = desk.compose(
        "camera.jpg",
        "slide.png",
        "out.png",
        &["--setup", "/dev/zero"],
    );
    assert_eq!(
        String::from_utf8_lossy(&output.stderr),
        "error: cannot open the setup file `/dev/zero`\n  expected a file of at most 1024 KiB\n"
    );
}

#[test]
fn a_picture_that_would_fill_the_memory_is_refused() {
    let desk = Desk::new();
    let mut png = promising_png(16_384);
    // 16 bits a channel, and the sum that goes with it.
    png[24] = 16;
    let sum = crc32(&png[12..29]).to_be_bytes();
    png[29..33].copy_from_slice(&sum);
    desk.write("heavy.png", &png);
    desk.refuses(
        &desk.compose("camera.jpg", "heavy.png", "out.png", &[]),
        "error: cannot read the slide\n  a picture may take 1024 MiB, got 2048 MiB: `heavy.png`\n\n\
         hint: export it smaller; a recording is rarely over 7680x4320\n",
    );
}

#[test]
fn completions_and_manual_pages_know_every_flag() {
    let desk = Desk::new();
    let script = stdout(&desk.run(&["completions", "bash"]));
    stdout(&desk.run(&["manual", "pages"]));
    let page = std::fs::read_to_string(desk.path("pages/nightglass-compose.1")).unwrap();
    for flag in [
        "threshold",
        "softness",
        "slide-place",
        "mirror-camera",
        "guides",
        "blend-space",
    ] {
        assert!(
            script.contains(&format!("--{flag}")),
            "completions lack --{flag}"
        );
        assert!(
            page.contains(&flag.replace('-', "\\-")),
            "the manual lacks --{flag}"
        );
    }
}
