//! What a plan comes to for the compositor: which pipeline, how many workgroups, which taps.

use nightglass::gpu::layout::{
    Job, PIXELS_PER_THREAD, Reading, TILE_PAIRS, WORKGROUP_THREADS, pixel_bytes,
};
use nightglass::pixel::frame::{Frame, PixelFormat, Pixels};
use nightglass::pixel::placement::{Placed, place_camera};
use nightglass::pixel::plan::{Plan, Scene};
use nightglass::pixel::settings::{Fit, MAX_SIDE_PX, Placement, Settings, Size, Turn};
use nightglass::pixel::views::{Background, View};

/// The workgroups a dimension that WebGPU promises.
const PROMISED: u32 = 65_535;

fn size(width: u32, height: u32) -> Size {
    Size::new(width, height).unwrap()
}

fn grey(width: u32, height: u32) -> Frame {
    Frame::from_fn(size(width, height), |_, _| [9; 3])
}

fn job(camera: Option<&Frame>, slide: Option<&Frame>, settings: &Settings) -> Job {
    let scene = Scene {
        camera,
        slide,
        background: Background::BLACK,
        settings,
    };
    Job::new(&Plan::new(&scene), PROMISED)
}

fn changed(change: impl FnOnce(&mut Settings)) -> Settings {
    let mut settings = Settings::default();
    change(&mut settings);
    settings
}

#[test]
fn workgroups_cover_every_pixel_and_stay_within_the_limit() {
    for (width, height) in [
        (1, 1),
        (1, 2),
        (513, 1),
        (1920, 1080),
        (8191, 4101),
        (7680, 4320),
        (MAX_SIDE_PX, MAX_SIDE_PX),
    ] {
        for view in [View::Composite, View::Kept] {
            let settings = changed(|s| {
                s.placement.size = Some(size(width, height));
                s.view = view;
            });
            let Job {
                variant,
                params,
                grid,
                ..
            } = job(None, None, &settings);
            assert!(grid.x <= PROMISED && grid.y <= PROMISED, "{grid:?}");
            if variant.tiled {
                assert!(grid.x * TILE_PAIRS * PIXELS_PER_THREAD >= width);
                assert!(grid.y * (WORKGROUP_THREADS / TILE_PAIRS) >= height);
            } else {
                assert_eq!(params.row_threads, grid.x * WORKGROUP_THREADS);
                let threads = u64::from(params.row_threads) * u64::from(grid.y);
                let pixels = u64::from(width) * u64::from(height);
                assert!(threads * u64::from(PIXELS_PER_THREAD) >= pixels);
            }
        }
    }
}

#[test]
fn rows_of_odd_width_are_never_tiled() {
    for (width, tiled) in [(640, true), (641, false)] {
        let camera = grey(width, 3);
        let mirrored = changed(|s| s.placement.mirror_camera = true);
        assert_eq!(job(Some(&camera), None, &mirrored).variant.tiled, tiled);
    }
}

#[test]
fn each_placement_is_read_in_its_cheapest_way() {
    let frame = grey(40, 30);
    let reading = |change: &dyn Fn(&mut Placement)| {
        let settings = changed(|s| {
            s.placement.size = Some(size(40, 30));
            change(&mut s.placement);
        });
        job(Some(&frame), None, &settings).variant.camera.reading
    };
    assert_eq!(reading(&|_| {}), Reading::Untouched);
    assert_eq!(reading(&|p| p.mirror_camera = true), Reading::One);
    assert_eq!(reading(&|p| p.turn_camera = Turn::Half), Reading::One);
    assert_eq!(reading(&|p| p.size = Some(size(40, 20))), Reading::One);
    assert_eq!(reading(&|p| p.size = Some(size(80, 60))), Reading::Two);
    assert_eq!(reading(&|p| p.size = Some(size(20, 15))), Reading::Two);
    assert_eq!(reading(&|p| p.size = Some(size(21, 15))), Reading::Many);
    let stretch = |p: &mut Placement| {
        p.size = Some(size(80, 7));
        p.camera_fit = Fit::Stretch;
    };
    assert_eq!(reading(&stretch), Reading::Many);
}

#[test]
fn a_source_that_the_view_does_not_show_is_not_read() {
    let frame = grey(4, 3);
    for view in View::ALL {
        let settings = changed(|s| s.view = view);
        let variant = job(Some(&frame), Some(&frame), &settings).variant;
        let (camera, slide) = match view {
            View::Composite => (true, true),
            View::Camera | View::Exposure => (true, false),
            View::Matte | View::Slide | View::Kept => (false, true),
        };
        assert_eq!(variant.camera.reading != Reading::None, camera, "{view:?}");
        assert_eq!(variant.slide.reading != Reading::None, slide, "{view:?}");
    }
}

#[test]
fn alpha_is_flattened_in_the_slide_and_ignored_in_the_camera() {
    let frame = Frame::new(size(1, 1), Pixels::Rgba8(vec![[9, 9, 9, 7]])).unwrap();
    let variant = job(Some(&frame), Some(&frame), &Settings::default()).variant;
    assert!(!variant.camera.flattened && variant.slide.flattened);
}

#[test]
fn middle_weights_are_the_same_all_along_an_axis() {
    let placement = Placement {
        camera_fit: Fit::Stretch,
        ..Placement::default()
    };
    for source in [3, 64, 101, 1000, 6144] {
        for output in [1, 2, 37, 63, 640] {
            let Placed { columns, .. } = place_camera(&placement, size(source, 1), size(output, 1));
            let mut weights: Vec<u32> = columns
                .iter()
                .filter(|tap| tap.count > 2)
                .map(|tap| tap.middle_weight.to_bits())
                .collect();
            weights.dedup();
            assert!(weights.len() <= 1, "{source} to {output}: {weights:?}");
        }
    }
}

#[test]
fn taps_of_both_sources_lie_behind_each_other() {
    let (camera, slide) = (grey(40, 30), grey(20, 10));
    let settings = changed(|s| {
        s.placement.size = Some(size(8, 6));
        s.placement.mirror_camera = true;
    });
    let Job { params, taps, .. } = job(Some(&camera), Some(&slide), &settings);
    assert_eq!(taps.len(), 2 * (8 + 6));
    assert_eq!(
        (params.camera.columns_start, params.camera.rows_start),
        (0, 8)
    );
    assert_eq!(
        (params.slide.columns_start, params.slide.rows_start),
        (14, 22)
    );
}

#[test]
fn buffers_hold_whole_pairs_of_pixels() {
    assert_eq!(pixel_bytes(size(1, 1), PixelFormat::Rgba8), 8);
    assert_eq!(pixel_bytes(size(3, 3), PixelFormat::Rgba8), 40);
    assert_eq!(pixel_bytes(size(3, 3), PixelFormat::Rgba16), 72);
    let largest = size(MAX_SIDE_PX, MAX_SIDE_PX);
    assert_eq!(pixel_bytes(largest, PixelFormat::Rgba16), 1 << 31);
}
