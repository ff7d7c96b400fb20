//! Makes the views that are shown and keeps them in buffers; a view is made again only when something
//! that it depends on changed. On the graphics adapter, or on the processor where that is the faster one.

use std::sync::Arc;

use super::picture::{PictureLayout, WindowRect};
use super::reduced_picture::reduced;
use super::sight::MadeView;
use crate::gpu::compositor::{Compositor, OutputBuffer};
use crate::gpu::device::{Gpu, GpuError};
use crate::pixel::cpu_engine;
use crate::pixel::frame::Frame;
use crate::pixel::placement::output_size;
use crate::pixel::plan::{Plan, Scene};
use crate::pixel::settings::{Engine, Settings, Size};
use crate::pixel::views::{Background, View};

/// What all views are made of.
#[derive(Clone, Debug)]
pub struct Ingredients {
    /// The camera frame.
    pub camera: Option<Arc<Frame>>,
    /// The slide.
    pub slide: Option<Arc<Frame>>,
    /// The slide's background.
    pub background: Background,
    /// Key, placement and chain; the view is left to each picture.
    pub settings: Settings,
}

impl Ingredients {
    /// What an engine computes a view from.
    pub fn plan<'a>(&'a self, settings: &'a Settings) -> Plan<'a> {
        Plan::new(&Scene {
            camera: self.camera.as_deref(),
            slide: self.slide.as_deref(),
            background: self.background,
            settings,
        })
    }
}

/// A view that was made.
#[derive(Debug)]
struct Made {
    view: View,
    revision: u64,
    output: OutputBuffer,
    /// What the processor made, and how much of it is in the buffer.
    by_processor: Option<(Frame, Held)>,
}

/// What a buffer holds of a frame.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Held {
    /// Nothing yet.
    Nothing,
    /// All of it.
    Whole,
    /// What is seen of it where it is laid out so in an area of the window, and where that lies.
    Reduced {
        layout: PictureLayout,
        area: WindowRect,
        reduced: PictureLayout,
    },
}

impl Made {
    /// Has the buffer hold the whole picture.
    fn hold_whole(&mut self, queue: &wgpu::Queue) {
        if let Some((frame, held)) = &mut self.by_processor
            && *held != Held::Whole
        {
            self.output.write(queue, frame);
            *held = Held::Whole;
        }
    }

    /// Has the buffer hold what is drawn of the picture in an area of the window; where that lies.
    fn hold_shown(
        &mut self,
        queue: &wgpu::Queue,
        layout: &PictureLayout,
        area: WindowRect,
    ) -> PictureLayout {
        let Some((frame, held)) = &mut self.by_processor else {
            return *layout;
        };
        if let Held::Reduced {
            layout: laid,
            area: seen,
            reduced,
        } = *held
            && laid == *layout
            && seen == area
        {
            return reduced;
        }
        let Some((small, reduced)) = reduced(frame, layout, area) else {
            self.hold_whole(queue);
            return *layout;
        };
        self.output.write(queue, &small);
        *held = Held::Reduced {
            layout: *layout,
            area,
            reduced,
        };
        reduced
    }
}

/// Who computes.
#[derive(Debug)]
enum Worker {
    Gpu(Box<Compositor>),
    Cpu,
}

/// The views of one set of ingredients.
#[derive(Debug)]
pub struct WindowEngine {
    gpu: Gpu,
    worker: Worker,
    ingredients: Ingredients,
    revision: u64,
    made: Vec<Made>,
}

impl WindowEngine {
    /// An engine on an open adapter; it has nothing to show yet.
    ///
    /// With `on_processor` the adapter only shows what the processor makes.
    pub fn new(gpu: Gpu, on_processor: bool) -> Result<Self, GpuError> {
        let worker = if on_processor {
            Worker::Cpu
        } else {
            Worker::Gpu(Box::new(Compositor::new(&gpu)?))
        };
        Ok(Self {
            gpu,
            worker,
            ingredients: Ingredients {
                camera: None,
                slide: None,
                background: Background::BLACK,
                settings: Settings::default(),
            },
            revision: 0,
            made: Vec::new(),
        })
    }

    /// Takes over what the views are made of; uploads what is new.
    pub fn set_ingredients(&mut self, new: Ingredients) -> Result<(), GpuError> {
        let old = &self.ingredients;
        let new_camera = !is_same(old.camera.as_ref(), new.camera.as_ref());
        let new_slide = !is_same(old.slide.as_ref(), new.slide.as_ref());
        let old_settings = Settings {
            view: new.settings.view,
            ..old.settings
        };
        let changed = new_camera
            || new_slide
            || old.background != new.background
            || old_settings != new.settings;
        if !changed {
            return Ok(());
        }
        if let Worker::Gpu(compositor) = &mut self.worker {
            // What could not be uploaded counts as not there, so that the next call tries again.
            if new_camera {
                self.ingredients.camera = None;
                compositor.upload_camera(new.camera.as_deref())?;
            }
            if new_slide {
                self.ingredients.slide = None;
                compositor.upload_slide(new.slide.as_deref())?;
            }
        }
        self.revision += 1;
        self.ingredients = new;
        Ok(())
    }

    /// Takes over what the views are made of and brings these up to date.
    pub fn show(&mut self, ingredients: Ingredients, views: &[View]) -> Result<(), GpuError> {
        self.set_ingredients(ingredients)?;
        self.keep_only(views);
        views.iter().try_for_each(|view| self.make(*view))
    }

    /// Whether the adapter computes.
    pub fn is_on_adapter(&self) -> bool {
        matches!(self.worker, Worker::Gpu(_))
    }

    /// Has the processor compute from now on; the adapter only shows what it makes.
    pub fn move_to_processor(&mut self) {
        self.worker = Worker::Cpu;
        // What the adapter made is not reduced: it would be laid out otherwise than what lies beside it.
        self.made.clear();
    }

    /// What the views are made of.
    pub fn ingredients(&self) -> &Ingredients {
        &self.ingredients
    }

    /// Changes with everything that changes a view.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Brings a view up to date.
    pub fn make(&mut self, view: View) -> Result<(), GpuError> {
        let revision = self.revision;
        if self.is_fresh(view) {
            return Ok(());
        }
        let settings = Settings {
            view,
            ..self.ingredients.settings
        };
        let plan = self.ingredients.plan(&settings);
        let kept = self
            .made
            .iter()
            .position(|made| made.view == view && made.output.size() == plan.output);
        let output = match kept {
            Some(index) => self.made.swap_remove(index).output,
            None => OutputBuffer::new(&self.gpu, plan.output)?,
        };
        let by_processor = match &mut self.worker {
            Worker::Gpu(compositor) => {
                let mut encoder = self
                    .gpu
                    .device
                    .create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
                compositor.encode(&mut encoder, &plan, &output)?;
                self.gpu.queue.submit([encoder.finish()]);
                None
            }
            Worker::Cpu => Some((cpu_engine::compose(&plan), Held::Nothing)),
        };
        // A refused submission is this view's failure, not that of whoever asks next.
        self.gpu.check()?;
        self.made.retain(|made| made.view != view);
        self.made.push(Made {
            view,
            revision,
            output,
            by_processor,
        });
        Ok(())
    }

    /// Forgets the views that are not shown any more.
    pub fn keep_only(&mut self, shown: &[View]) {
        self.made.retain(|made| shown.contains(&made.view));
    }

    /// The whole picture of a view as made last.
    pub fn whole(&mut self, view: View) -> Option<&OutputBuffer> {
        let made = self.made.iter_mut().find(|made| made.view == view)?;
        made.hold_whole(&self.gpu.queue);
        Some(&made.output)
    }

    /// Brings what is shown of a view into its buffer, and says how that is laid out.
    ///
    /// Where the processor makes the picture it reduces it too.
    pub fn lay_out(
        &mut self,
        view: View,
        layout: &PictureLayout,
        area: WindowRect,
    ) -> Option<PictureLayout> {
        let made = self.made.iter_mut().find(|made| made.view == view)?;
        Some(made.hold_shown(&self.gpu.queue, layout, area))
    }

    /// The buffer of a view, with what was brought into it last.
    pub fn output(&self, view: View) -> Option<&OutputBuffer> {
        let made = self.made.iter().find(|made| made.view == view)?;
        Some(&made.output)
    }

    /// Which making of a view is there.
    pub fn made_view(&self, view: View) -> Option<MadeView> {
        let made = self.made.iter().find(|made| made.view == view)?;
        let revision = made.revision;
        Some(MadeView { view, revision })
    }

    /// Size of the pictures that the ingredients make.
    pub fn output_size(&self) -> Size {
        let camera = self.ingredients.camera.as_deref().map(Frame::size);
        output_size(&self.ingredients.settings.placement, camera)
    }

    fn is_fresh(&self, view: View) -> bool {
        let fresh = |made: &Made| made.view == view && made.revision == self.revision;
        self.made.iter().any(fresh)
    }
}

/// Whether the processor takes over where the adapter failed so: only where the choice was left open,
/// and only after failures in which the adapter can still show what the processor makes.
pub fn processor_takes_over(asked: Engine, error: &GpuError) -> bool {
    asked == Engine::Auto && !matches!(error, GpuError::DeviceLost { .. })
}

/// Whether both are the very same frame, or both are none.
fn is_same(a: Option<&Arc<Frame>>, b: Option<&Arc<Frame>>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => Arc::ptr_eq(a, b),
        (None, None) => true,
        _ => false,
    }
}
