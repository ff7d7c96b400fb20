//! Which engine makes a picture, and making it.

use super::failure::Failure;
use crate::gpu::compositor::Compositor;
use crate::gpu::device::{Gpu, GpuError};
use crate::pixel::cpu_engine;
use crate::pixel::frame::Frame;
use crate::pixel::plan::Plan;
use crate::pixel::settings::Engine;

/// An engine that is ready to work.
#[derive(Debug)]
pub(super) enum ReadyEngine {
    /// A graphics adapter and its name.
    Gpu {
        compositor: Box<Compositor>,
        adapter: String,
    },
    /// The processor.
    Cpu,
}

impl From<GpuError> for Failure {
    fn from(error: GpuError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

impl ReadyEngine {
    /// The engine that was asked for. `auto` takes a real adapter that can hold the picture, else the processor.
    pub(super) fn open(wanted: Engine, plan: &Plan<'_>) -> Result<Self, Failure> {
        match wanted {
            Engine::Cpu => Ok(Self::Cpu),
            Engine::Gpu => Ok(Self::on_adapter(&Gpu::open()?, plan)?),
            Engine::Auto => {
                let on_real_adapter = Gpu::open().ok().filter(|gpu| !gpu.is_software());
                let ready = on_real_adapter.map(|gpu| Self::on_adapter(&gpu, plan));
                Ok(ready.and_then(Result::ok).unwrap_or(Self::Cpu))
            }
        }
    }

    fn on_adapter(gpu: &Gpu, plan: &Plan<'_>) -> Result<Self, GpuError> {
        let adapter = gpu.adapter_name();
        let compositor = Compositor::new(gpu)?;
        compositor.fits(plan)?;
        Ok(Self::Gpu {
            compositor: Box::new(compositor),
            adapter,
        })
    }

    /// Makes the picture.
    pub(super) fn compose(&mut self, plan: &Plan<'_>) -> Result<Frame, Failure> {
        match self {
            Self::Gpu { compositor, .. } => Ok(compositor.compose(plan)?),
            Self::Cpu => Ok(cpu_engine::compose(plan)),
        }
    }

    /// `gpu` or `cpu`.
    pub(super) fn name(&self) -> &'static str {
        match self {
            Self::Gpu { .. } => "gpu",
            Self::Cpu => "cpu",
        }
    }

    /// The adapter's name, if one is used.
    pub(super) fn adapter(&self) -> Option<&str> {
        match self {
            Self::Gpu { adapter, .. } => Some(adapter),
            Self::Cpu => None,
        }
    }
}
