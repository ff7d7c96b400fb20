//! Who makes the picture of the window.

use nightglass::gpu::device::GpuError;
use nightglass::pixel::settings::Engine;
use nightglass::window::engine::processor_takes_over;

#[test]
fn the_processor_takes_over_only_where_the_choice_was_left_open() {
    let too_large = GpuError::PictureTooLarge {
        adapter: "small".to_owned(),
        what: "slide".to_owned(),
        limit: "maxBufferSize",
        need: 2,
        allowed: 1,
    };
    let refused = GpuError::Refused {
        message: "no memory".to_owned(),
    };
    for error in [&too_large, &refused] {
        assert!(processor_takes_over(Engine::Auto, error));
        assert!(!processor_takes_over(Engine::Gpu, error));
    }
    // Then everything is opened anew, and on the processor.
    let lost = GpuError::DeviceLost {
        reason: "reset".to_owned(),
    };
    assert!(!processor_takes_over(Engine::Auto, &lost));
}
