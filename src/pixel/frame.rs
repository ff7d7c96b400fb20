//! A picture in memory, in the pixel format it came in. Refuses sizes that its pixels do not have.

use thiserror::Error;

use super::settings::Size;

/// How many pixels there are does not fit the size.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
#[error("a frame of {expected} pixels was given {got}")]
pub struct FrameError {
    expected: usize,
    got: usize,
}

/// The pixels of a frame, row by row from the top left, R'G'B' and alpha.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pixels {
    /// Codes 0 to 255.
    Rgba8(Vec<[u8; 4]>),
    /// Codes 0 to 65,535.
    Rgba16(Vec<[u16; 4]>),
}

/// The pixel format alone. Twin: `PIXEL_FORMAT_*` in `shaders/constants.wgsl`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u32)]
pub enum PixelFormat {
    /// Four bytes a pixel.
    Rgba8 = 0,
    /// Four 16-bit words a pixel.
    Rgba16 = 1,
}

/// A picture: size and pixels.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Frame {
    size: Size,
    pixels: Pixels,
    opaque: bool,
}

impl Frame {
    /// A frame of exactly `size.area()` pixels.
    pub fn new(size: Size, pixels: Pixels) -> Result<Self, FrameError> {
        let (got, opaque) = match &pixels {
            Pixels::Rgba8(p) => (p.len(), p.iter().all(|c| c[3] == u8::MAX)),
            Pixels::Rgba16(p) => (p.len(), p.iter().all(|c| c[3] == u16::MAX)),
        };
        if got == size.area() {
            Ok(Self {
                size,
                pixels,
                opaque,
            })
        } else {
            Err(FrameError {
                expected: size.area(),
                got,
            })
        }
    }

    /// An 8-bit opaque frame whose pixels come from `paint(x, y)`.
    pub fn from_fn(size: Size, mut paint: impl FnMut(u32, u32) -> [u8; 3]) -> Self {
        let mut pixels = Vec::with_capacity(size.area());
        for y in 0..size.height() {
            for x in 0..size.width() {
                let [r, g, b] = paint(x, y);
                pixels.push([r, g, b, u8::MAX]);
            }
        }
        Self {
            size,
            pixels: Pixels::Rgba8(pixels),
            opaque: true,
        }
    }

    /// An 8-bit frame of an engine, which makes exactly `size.area()` opaque pixels.
    pub(super) fn from_opaque(size: Size, pixels: Vec<[u8; 4]>) -> Self {
        debug_assert_eq!(pixels.len(), size.area(), "pixels of the frame");
        Self {
            size,
            pixels: Pixels::Rgba8(pixels),
            opaque: true,
        }
    }

    /// Width and height.
    pub fn size(&self) -> Size {
        self.size
    }

    /// The pixels as they came.
    pub fn pixels(&self) -> &Pixels {
        &self.pixels
    }

    /// The pixels of an 8-bit frame, to be drawn on; alpha is to be left alone.
    pub fn rgba8_mut(&mut self) -> Option<&mut [[u8; 4]]> {
        match &mut self.pixels {
            Pixels::Rgba8(pixels) => Some(pixels),
            Pixels::Rgba16(_) => None,
        }
    }

    /// How the pixels are stored.
    pub fn format(&self) -> PixelFormat {
        match self.pixels {
            Pixels::Rgba8(_) => PixelFormat::Rgba8,
            Pixels::Rgba16(_) => PixelFormat::Rgba16,
        }
    }

    /// Whether every pixel's alpha is full.
    pub fn is_opaque(&self) -> bool {
        self.opaque
    }

    /// R'G'B' and alpha of the pixel with this index, each 0 to 1: `v / 255` or `v / 65535`.
    pub fn rgba_frac(&self, index: usize) -> [f32; 4] {
        match &self.pixels {
            Pixels::Rgba8(p) => p[index].map(|v| f32::from(v) / 255.0),
            Pixels::Rgba16(p) => p[index].map(|v| f32::from(v) / 65_535.0),
        }
    }

    /// The pixels as bytes, for uploading.
    pub fn bytes(&self) -> &[u8] {
        match &self.pixels {
            Pixels::Rgba8(p) => bytemuck::cast_slice(p),
            Pixels::Rgba16(p) => bytemuck::cast_slice(p),
        }
    }
}
