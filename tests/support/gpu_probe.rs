//! The argument table of `shaders/probe.wgsl`, shared by the contract and the twins.

use bytemuck::{Pod, Zeroable};

/// Binding of the rows.
pub(crate) const ROWS_BINDING: u32 = 5;
/// Binding of the results.
pub(crate) const RESULTS_BINDING: u32 = 6;

/// A function that the probe can run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u32)]
pub(crate) enum Function {
    /// `to_code`.
    ToCode = 0,
    /// `expand_video`.
    ExpandVideo = 1,
    /// `srgb_decode`.
    SrgbDecode = 2,
    /// `srgb_encode`.
    SrgbEncode = 3,
    /// `luma`.
    Luma = 4,
    /// `matte`.
    Matte = 5,
    /// `apply_chain`.
    ApplyChain = 6,
    /// `blend`.
    Blend = 7,
    /// `rgba_from_word`.
    RgbaFromWord = 8,
    /// `rgba_from_words`.
    RgbaFromWords = 9,
    /// `read_signal`.
    ReadSignal = 10,
    /// `is_content`.
    IsContent = 11,
    /// `kept`.
    Kept = 12,
    /// `exposure`.
    Exposure = 13,
}

impl Function {
    /// Every function with the name of its constant in the shader.
    pub(crate) const ALL: [(&'static str, Self); 14] = [
        ("PROBE_TO_CODE", Self::ToCode),
        ("PROBE_EXPAND_VIDEO", Self::ExpandVideo),
        ("PROBE_SRGB_DECODE", Self::SrgbDecode),
        ("PROBE_SRGB_ENCODE", Self::SrgbEncode),
        ("PROBE_LUMA", Self::Luma),
        ("PROBE_MATTE", Self::Matte),
        ("PROBE_APPLY_CHAIN", Self::ApplyChain),
        ("PROBE_BLEND", Self::Blend),
        ("PROBE_RGBA_FROM_WORD", Self::RgbaFromWord),
        ("PROBE_RGBA_FROM_WORDS", Self::RgbaFromWords),
        ("PROBE_READ_SIGNAL", Self::ReadSignal),
        ("PROBE_IS_CONTENT", Self::IsContent),
        ("PROBE_KEPT", Self::Kept),
        ("PROBE_EXPOSURE", Self::Exposure),
    ];
}

/// Arguments of one call.
#[derive(Clone, Copy, Debug, Default, Pod, Zeroable)]
#[repr(C)]
pub(crate) struct ProbeRow {
    pub(crate) function: u32,
    pub(crate) mode: u32,
    pub(crate) mode_2: u32,
    pub(crate) flag: u32,
    pub(crate) x: u32,
    pub(crate) y: u32,
    pub(crate) word: u32,
    pub(crate) word_2: u32,
    pub(crate) a: [f32; 4],
    pub(crate) b: [f32; 4],
    pub(crate) c: [f32; 4],
}
