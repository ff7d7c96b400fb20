//! What the window keeps between frames: drawn in parts it is pixel for pixel what it is drawn whole.

use egui::{Color32, Context, RawInput, Rect, Slider, Stroke, Ui, pos2, vec2};
use nightglass::gpu::compositor::OutputBuffer;
use nightglass::gpu::device::Gpu;
use nightglass::pixel::frame::Frame;
use nightglass::pixel::settings::Size;
use nightglass::pixel::views::View;
use nightglass::window::canvas::Canvas;
use nightglass::window::damage::Damage;
use nightglass::window::known_textures::KnownTextures;
use nightglass::window::picture::{WindowRect, layout};
use nightglass::window::present::Presentation;
use nightglass::window::sight::{MadeView, Sight};
use nightglass::window::zooming::Zoom;

use crate::harness::{Check, Tally};
use crate::read_back::{bytes, surface};

/// Pixels of the surface; a multiple of 256 bytes a row, as a copy to a buffer wants.
const SURFACE_PX: [u32; 2] = [320, 200];
const FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Bgra8Unorm;

/// What the window shows at a time.
#[derive(Clone, Copy, Debug)]
struct Shown {
    threshold: f32,
    words: &'static str,
    has_mark: bool,
    picture: usize,
    divider_px: f64,
}

const FIRST: Shown = Shown {
    threshold: 6.0,
    words: "2 findings",
    has_mark: false,
    picture: 0,
    divider_px: 60.0,
};

/// One thing after the other that changes; the last is the first again.
const TURNS: [(&str, Shown); 6] = [
    (
        "a step of a slider",
        Shown {
            threshold: 5.0,
            ..FIRST
        },
    ),
    (
        "longer words",
        Shown {
            words: "3 findings, checking",
            ..FIRST
        },
    ),
    (
        "a mark over the picture",
        Shown {
            has_mark: true,
            ..FIRST
        },
    ),
    (
        "another picture below it",
        Shown {
            has_mark: true,
            picture: 1,
            ..FIRST
        },
    ),
    (
        "the dividing line moved",
        Shown {
            divider_px: 90.0,
            ..FIRST
        },
    ),
    ("all as it was", FIRST),
];

pub(crate) fn checks() -> Vec<Check> {
    let at = |scale: f32| {
        let name = format!("canvas: drawn in parts, {scale} pixels a point");
        Check::new(name, move |gpu| compare(gpu, scale))
    };
    [1.0, 1.25, 2.0].map(at).into()
}

fn compare(gpu: &Gpu, scale: f32) -> Result<Tally, String> {
    let mut window = Window::new(gpu, scale)?;
    // All letters are in the textures before anything is compared.
    for (_, shown) in TURNS {
        window.sight(shown);
    }
    let mut before = window.sight(FIRST);
    let mut seen_before = window.draw(&before, &Damage::Whole, FIRST)?;
    let mut tally = Tally::default();
    for (name, shown) in TURNS {
        let sight = window.sight(shown);
        let damage = sight.damage_since(&before);
        let parts = damage.parts(SURFACE_PX);
        let drawn_px: f64 = parts.iter().map(|part| part.area()).sum();
        let share = drawn_px / f64::from(SURFACE_PX[0] * SURFACE_PX[1]);
        if !(0.0..0.8).contains(&share) {
            return Err(format!("{name}: {share} of the window is drawn anew"));
        }
        let in_parts = window.draw(&sight, &damage, shown)?;
        let whole = window.draw(&sight, &Damage::Whole, shown)?;
        if whole == seen_before {
            return Err(format!("{name}: nothing is seen of it"));
        }
        let differing = in_parts.iter().zip(&whole).filter(|(a, b)| a != b).count();
        if differing > 0 || in_parts.len() != whole.len() {
            return Err(format!(
                "{name}: {differing} bytes are not what they should be"
            ));
        }
        tally.compared += whole.len();
        (before, seen_before) = (sight, whole);
    }
    Ok(tally)
}

/// A canvas with the panels and pictures that are drawn on it.
struct Window<'a> {
    gpu: &'a Gpu,
    egui: Context,
    scale: f32,
    canvas: Canvas,
    pictures: [OutputBuffer; 2],
    surface: wgpu::Texture,
}

impl<'a> Window<'a> {
    fn new(gpu: &'a Gpu, scale: f32) -> Result<Self, String> {
        let picture = |seed: u32| {
            let frame = Frame::from_fn(Size::new(121, 97).unwrap(), |x, y| {
                [0, 1, 2].map(|c| (x * 7 + y * 13 + c * 29 + seed) as u8)
            });
            let buffer = OutputBuffer::new(gpu, frame.size()).map_err(|error| error.to_string())?;
            buffer.write(&gpu.queue, &frame);
            Ok::<_, String>(buffer)
        };
        Ok(Self {
            gpu,
            egui: Context::default(),
            scale,
            canvas: Canvas::new(&gpu.device, &gpu.queue, FORMAT, &KnownTextures::default()),
            pictures: [picture(0)?, picture(90)?],
            surface: surface(gpu, SURFACE_PX, FORMAT),
        })
    }

    /// What is on the surface after this was drawn.
    fn draw(&mut self, sight: &Sight, damage: &Damage, shown: Shown) -> Result<Vec<u8>, String> {
        let (device, queue) = (&self.gpu.device, &self.gpu.queue);
        let views = [shown.picture, 1 - shown.picture].map(|index| self.pictures[index].buffer());
        let picture = sight.picture.map(|(_, presentation)| (views, presentation));
        self.canvas
            .draw(device, queue, sight, picture, damage, &self.surface);
        bytes(self.gpu, &self.surface)
    }

    /// The frame that panels beside and over a picture make.
    #[expect(
        clippy::iter_over_hash_type,
        reason = "textures do not depend on each other"
    )]
    fn sight(&mut self, shown: Shown) -> Sight {
        let size = vec2(SURFACE_PX[0] as f32, SURFACE_PX[1] as f32) / self.scale;
        self.egui.set_pixels_per_point(self.scale);
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), size)),
            ..RawInput::default()
        };
        let mut output = self.egui.run_ui(input, |ui| panels(ui, shown));
        for (id, deltas) in output.textures_delta.set.drain() {
            for delta in deltas {
                let painter = self.canvas.painter_mut();
                painter.upload(&self.gpu.device, &self.gpu.queue, id, &delta);
            }
        }
        Sight {
            primitives: self.egui.tessellate(output.shapes, output.pixels_per_point),
            pixels_per_point: output.pixels_per_point,
            surround: wgpu::Color {
                r: 0.1,
                g: 0.2,
                b: 0.3,
                a: 1.0,
            },
            picture: Some(picture(shown)),
        }
    }
}

/// A slider beside the picture, words below it, and a mark over it.
fn panels(ui: &mut Ui, shown: Shown) {
    let width = ui.available_width() / 2.0;
    egui::Panel::right("settings")
        .exact_size(width)
        .show(ui, |ui| {
            ui.label("Threshold");
            let mut threshold = shown.threshold;
            ui.add(Slider::new(&mut threshold, 0.0..=20.0));
            ui.label("Softness");
        });
    egui::Panel::bottom("findings").show(ui, |ui| ui.label(shown.words));
    if shown.has_mark {
        let mark = Rect::from_min_max(pos2(10.3, 12.0), pos2(44.0, 40.7));
        let stroke = Stroke::new(2.0, Color32::YELLOW);
        let kind = egui::StrokeKind::Middle;
        ui.painter().rect_stroke(mark, 3.0, stroke, kind);
    }
}

/// The views left and right of a dividing line.
fn picture(shown: Shown) -> ([MadeView; 2], Presentation) {
    let area = WindowRect {
        left_px: 0.0,
        top_px: 0.0,
        width_px: f64::from(SURFACE_PX[0]) / 2.0,
        height_px: 150.0,
    };
    let made = |view| MadeView {
        view,
        revision: shown.picture as u64,
    };
    let presentation = Presentation {
        layout: layout(Zoom::Fit, [0.5; 2], Size::new(121, 97).unwrap(), area),
        area,
        divider_px: shown.divider_px,
        mirrored: false,
        brightness_frac: 1.0,
    };
    ([made(View::Composite), made(View::Matte)], presentation)
}
