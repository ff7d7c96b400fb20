//! The compositor on the graphics adapter: one compute pass over packed pixels.

pub mod compositor;
pub mod device;
pub mod layout;
pub mod pipeline;
pub mod shaders;
