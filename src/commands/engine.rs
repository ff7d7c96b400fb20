//! Which engine makes a picture, and making it.

use super::failure::Failure;
use super::output::note;
use crate::gpu::compositor::Compositor;
use crate::gpu::device::{Gpu, GpuError};
use crate::pixel::cpu_engine;
use crate::pixel::frame::Frame;
use crate::pixel::plan::Plan;
use crate::pixel::settings::Engine;
use crate::window::error_words::error_words;

/// An engine that is ready to work.
#[derive(Debug)]
pub(super) enum ReadyEngine {
    /// A graphics adapter and its name; whether the processor takes over if it fails.
    Gpu {
        compositor: Box<Compositor>,
        adapter: String,
        may_give_up: bool,
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
            Engine::Gpu => {
                let gpu = Gpu::open()?;
                let ready = Self::on_adapter(&gpu, plan, false)?;
                if gpu.is_software() {
                    let adapter = gpu.adapter_name();
                    note(&format!(
                        "note: `{adapter}` is no graphics card but the processor in its place; `--engine cpu` makes \
                         the same picture faster"
                    ));
                }
                Ok(ready)
            }
            Engine::Auto => {
                let opened = match Gpu::open() {
                    Err(GpuError::NoAdapter { .. }) => return Ok(Self::Cpu),
                    Ok(gpu) if gpu.is_software() => return Ok(Self::Cpu),
                    opened => opened,
                };
                let ready = opened.and_then(|gpu| Self::on_adapter(&gpu, plan, true));
                Ok(ready.unwrap_or_else(|error| Self::instead_of_adapter(&error)))
            }
        }
    }

    fn on_adapter(gpu: &Gpu, plan: &Plan<'_>, may_give_up: bool) -> Result<Self, GpuError> {
        let adapter = gpu.adapter_name();
        let compositor = Compositor::new(gpu)?;
        compositor.fits(plan)?;
        Ok(Self::Gpu {
            compositor: Box::new(compositor),
            adapter,
            may_give_up,
        })
    }

    /// The processor, with a word on why.
    fn instead_of_adapter(error: &GpuError) -> Self {
        let why = error_words(error, None);
        note(&format!("note: the processor makes the picture: {why}"));
        Self::Cpu
    }

    /// Makes the picture.
    pub(super) fn compose(&mut self, plan: &Plan<'_>) -> Result<Frame, Failure> {
        let error = match self {
            Self::Cpu => return Ok(cpu_engine::compose(plan)),
            Self::Gpu {
                compositor,
                may_give_up,
                ..
            } => match compositor.compose(plan) {
                Err(error) if *may_give_up => error,
                made => return Ok(made?),
            },
        };
        *self = Self::instead_of_adapter(&error);
        Ok(cpu_engine::compose(plan))
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
