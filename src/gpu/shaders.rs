//! The text of `shaders/`, joined in a fixed order. No imports, no preprocessor: each file may use
//! what stands before it.

/// Every file of the compositor with its name, in the order in which they are joined.
pub const FILES: [(&str, &str); 6] = [
    (
        "constants.wgsl",
        include_str!("../../shaders/constants.wgsl"),
    ),
    ("color.wgsl", include_str!("../../shaders/color.wgsl")),
    ("key.wgsl", include_str!("../../shaders/key.wgsl")),
    ("sample.wgsl", include_str!("../../shaders/sample.wgsl")),
    ("views.wgsl", include_str!("../../shaders/views.wgsl")),
    (
        "composite.wgsl",
        include_str!("../../shaders/composite.wgsl"),
    ),
];

/// The compositor's shader.
pub fn composite_source() -> String {
    FILES.map(|(_, text)| text).join("\n")
}
