//! Opening an adapter, what is asked of it, and how its failures come back as errors instead of panics.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use thiserror::Error;
use wgpu::{
    Adapter, Backends, Device, DeviceDescriptor, DeviceType, Features, Instance,
    InstanceDescriptor, Limits, MemoryHints, PollType, PowerPreference, Queue, RequestAdapterError,
    RequestAdapterOptions, RequestDeviceError,
};

use crate::pixel::frame::FrameError;

/// Parts of adapter names that mean "computed by the processor".
const SOFTWARE_NAMES: [&str; 6] = [
    "llvmpipe",
    "lavapipe",
    "softpipe",
    "swiftshader",
    "warp",
    "basic render driver",
];

/// Why the graphics adapter could not do the work.
#[derive(Debug, Error)]
pub enum GpuError {
    /// Nothing that can compute was found.
    #[error("no usable graphics adapter, {}", seen_words(.seen))]
    NoAdapter {
        /// Names of the adapters that were found, usable or not.
        seen: Vec<String>,
        /// What wgpu says.
        source: RequestAdapterError,
    },
    /// The adapter has no room for what the compositor needs.
    #[error("`{adapter}` refused to be opened")]
    DeviceRefused {
        /// Name of the adapter.
        adapter: String,
        /// What wgpu says.
        source: RequestDeviceError,
    },
    /// A picture exceeds a limit of the adapter.
    #[error("the {what} needs {need} bytes, `{adapter}` allows {allowed} (`{limit}`)")]
    PictureTooLarge {
        /// Name of the adapter.
        adapter: String,
        /// Camera, slide or output, with its size.
        what: String,
        /// Name of the limit, as WebGPU spells it.
        limit: &'static str,
        /// Bytes needed.
        need: u64,
        /// Bytes allowed.
        allowed: u64,
    },
    /// Camera or slide of the plan is not what was uploaded last.
    #[error("the {what} was not uploaded before it was to be shown")]
    NotUploaded {
        /// Camera or slide.
        what: &'static str,
    },
    /// The adapter went away: driver reset, unplugged, asleep.
    #[error("the graphics adapter was lost: {reason}")]
    DeviceLost {
        /// What the driver says.
        reason: String,
    },
    /// A command failed, most often for want of memory.
    #[error("the graphics adapter refused a command: {message}")]
    Refused {
        /// What wgpu says.
        message: String,
    },
    /// What came back is no frame.
    #[error("cannot use what the graphics adapter returned")]
    ReadBack(#[from] FrameError),
}

impl GpuError {
    /// What the user can do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::NoAdapter { .. } | Self::DeviceRefused { .. } => Some(
                "`--engine cpu` makes the same pictures on the processor; for the graphics adapter, \
                 install its Vulkan driver"
                    .to_owned(),
            ),
            Self::PictureTooLarge { .. } => {
                Some("`--engine cpu` has no such limit, and `--size` makes a smaller output".to_owned())
            }
            Self::DeviceLost { .. } | Self::Refused { .. } => {
                Some("`--engine cpu` makes the same pictures on the processor".to_owned())
            }
            Self::NotUploaded { .. } | Self::ReadBack(_) => None,
        }
    }
}

/// The adapters that were found, for an error.
fn seen_words(seen: &[String]) -> String {
    if seen.is_empty() {
        "none was found at all".to_owned()
    } else {
        format!("found only {}", seen.join(", "))
    }
}

/// What went wrong on the device since somebody last asked.
#[derive(Debug, Default)]
struct Faults {
    lost: OnceLock<String>,
    refused: Mutex<Option<String>>,
}

/// An open adapter. Clones share the same device.
#[derive(Clone, Debug)]
pub struct Gpu {
    /// The adapter that was chosen.
    pub adapter: Adapter,
    /// The open device.
    pub device: Device,
    /// Its queue.
    pub queue: Queue,
    faults: Arc<Faults>,
}

impl Gpu {
    /// Opens the fastest adapter without a window. `WGPU_BACKEND` narrows the choice.
    pub fn open() -> Result<Self, GpuError> {
        let instance = Instance::new(InstanceDescriptor::new_without_display_handle_from_env());
        let wanted = RequestAdapterOptions {
            power_preference: PowerPreference::HighPerformance,
            ..RequestAdapterOptions::default()
        };
        let adapter = pollster::block_on(instance.request_adapter(&wanted)).map_err(|source| {
            GpuError::NoAdapter {
                seen: every_adapter(),
                source,
            }
        })?;
        let (required_features, required_limits) = Self::required(&adapter);
        let descriptor = DeviceDescriptor {
            label: Some("nightglass"),
            required_features,
            required_limits,
            memory_hints: MemoryHints::Performance,
            ..DeviceDescriptor::default()
        };
        let (device, queue) =
            pollster::block_on(adapter.request_device(&descriptor)).map_err(|source| {
                GpuError::DeviceRefused {
                    adapter: named(&adapter),
                    source,
                }
            })?;
        Ok(Self::from_parts(adapter, device, queue))
    }

    /// Takes over a device that was opened elsewhere, with a surface, say.
    ///
    /// From here on its failures are kept for [`Gpu::check`] and do not panic.
    pub fn from_parts(adapter: Adapter, device: Device, queue: Queue) -> Self {
        let faults = Arc::new(Faults::default());
        let refused = Arc::clone(&faults);
        device.on_uncaptured_error(Arc::new(move |error: wgpu::Error| {
            let mut slot = refused
                .refused
                .lock()
                .unwrap_or_else(PoisonError::into_inner);
            // The first failure is the cause; the rest follow from it.
            slot.get_or_insert_with(|| error.to_string());
        }));
        let lost = Arc::clone(&faults);
        device.set_device_lost_callback(move |_, message| {
            lost.lost.get_or_init(|| message);
        });
        Self {
            adapter,
            device,
            queue,
            faults,
        }
    }

    /// What a device must be opened with: as large buffers as the adapter has, so that 8K and 16K
    /// frames work where they can, and timestamps where it has them.
    pub fn required(adapter: &Adapter) -> (Features, Limits) {
        let has = adapter.limits();
        let usual = Limits::default().or_worse_values_from(&has);
        let limits = Limits {
            max_storage_buffer_binding_size: has.max_storage_buffer_binding_size,
            max_buffer_size: has.max_buffer_size,
            max_texture_dimension_2d: has.max_texture_dimension_2d,
            max_compute_invocations_per_workgroup: has.max_compute_invocations_per_workgroup,
            max_compute_workgroup_size_x: has.max_compute_workgroup_size_x,
            max_compute_workgroups_per_dimension: has.max_compute_workgroups_per_dimension,
            ..usual
        };
        (adapter.features() & Features::TIMESTAMP_QUERY, limits)
    }

    /// Name and programming interface, `NVIDIA H100 (Vulkan)`.
    pub fn adapter_name(&self) -> String {
        named(&self.adapter)
    }

    /// Whether the adapter is the processor in disguise, slower than the processor's own engine.
    pub fn is_software(&self) -> bool {
        let info = self.adapter.get_info();
        let name = info.name.to_lowercase();
        info.device_type == DeviceType::Cpu || SOFTWARE_NAMES.iter().any(|part| name.contains(part))
    }

    /// Whether the device is lost by now; every other failure is left for [`Gpu::check`].
    pub fn is_lost(&self) -> bool {
        // What polling says is what was told already.
        let _ = self.device.poll(PollType::Poll);
        self.faults.lost.get().is_some()
    }

    /// What failed since the last call, each failure once; a lost device stays lost.
    pub fn check(&self) -> Result<(), GpuError> {
        let refused = self.faults.refused.lock();
        let refused = refused.unwrap_or_else(PoisonError::into_inner).take();
        if refused.is_some() {
            // That the device was lost is told only when it is polled, and commands fail before.
            // What polling says is the same failure again.
            let _ = self.device.poll(PollType::Poll);
        }
        if let Some(reason) = self.faults.lost.get() {
            return Err(GpuError::DeviceLost {
                reason: reason.clone(),
            });
        }
        match refused {
            Some(message) => Err(GpuError::Refused { message }),
            None => Ok(()),
        }
    }
}

/// Names of all adapters, also of those that `WGPU_BACKEND` leaves out.
fn every_adapter() -> Vec<String> {
    let instance = Instance::new(InstanceDescriptor::new_without_display_handle());
    let adapters = pollster::block_on(instance.enumerate_adapters(Backends::all()));
    adapters.iter().map(named).collect()
}

/// Name and programming interface of an adapter.
fn named(adapter: &Adapter) -> String {
    let info = adapter.get_info();
    let backend = match info.backend {
        wgpu::Backend::Vulkan => "Vulkan",
        wgpu::Backend::Metal => "Metal",
        wgpu::Backend::Dx12 => "DirectX 12",
        wgpu::Backend::Gl => "OpenGL",
        wgpu::Backend::BrowserWebGpu => "WebGPU",
        wgpu::Backend::Noop => "no-op",
    };
    format!("{} ({backend})", info.name)
}
