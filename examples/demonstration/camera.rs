//! The camera's frame: figure, glass, writing, reflection and grain.

use crate::figure::{Portrait, portrait};
use crate::noise::{grain, layered, mix, ramp, smooth};
use crate::sky::{PLOUGH, PLOUGH_LINES, View};
use crate::stroke::{CORAL, CYAN, Glass, Ink, LIME, Manner};
use crate::vector::{Vector, v};
use image::{Rgb, RgbImage};

/// Width of every picture.
pub(crate) const WIDTH: usize = 1920;
/// Height of every picture.
pub(crate) const HEIGHT: usize = 1080;
/// Where Polaris is drawn on the glass.
const POLARIS: (f32, f32) = (886.0, 150.0);
/// Height of the sketch's horizon.
const HORIZON: f32 = 486.0;

/// Takes the frame, `side` by `side` looks for each pixel of the figure.
pub(crate) fn frame(side: usize) -> RgbImage {
    let mut glass = Glass::new(WIDTH, HEIGHT);
    writing(&mut glass);
    let light = room(&portrait(WIDTH, HEIGHT, side));
    let halo = halo(&glass);
    RgbImage::from_fn(WIDTH as u32, HEIGHT as u32, |x, y| {
        let at = y as usize * WIDTH + x as usize;
        let (fx, fy) = (x as f32 + 0.5, y as f32 + 0.5);
        let seen = light[at] * (1.0 - 0.80 * glass.cover[at]) + glass.light[at] * 0.92 + halo[at];
        let seen = seen + reflection(fx, fy) + rims(fx, fy);
        develop(seen, x as i32, y as i32)
    })
}

/// Everything written and drawn on the glass.
fn writing(glass: &mut Glass) {
    let title = Manner {
        size: 84.0,
        pen: 5.6,
        climb: 0.022,
        ink: LIME,
    };
    let formula = Manner {
        size: 62.0,
        pen: 4.6,
        climb: 0.03,
        ink: CORAL,
    };
    let label = Manner {
        size: 44.0,
        pen: 3.8,
        climb: 0.03,
        ink: CYAN,
    };
    glass.write("Finding north", 96.0, 168.0, title);
    let under = [
        (92.0, 214.0),
        (240.0, 207.0),
        (420.0, 204.0),
        (612.0, 192.0),
    ];
    glass.line(&under, 5.2, LIME);
    glass.write("latitude =", 104.0, 332.0, formula);
    glass.write("height of", 128.0, 424.0, formula);
    glass.write("Polaris", 160.0, 518.0, formula);
    glass.write("Polaris", 800.0, 92.0, label);
    sketch(glass);
}

/// The sketch: horizon, boat, angle, Polaris and the Plough.
fn sketch(glass: &mut Glass) {
    let angle = 53.0_f32.to_radians();
    let eye = (POLARIS.0 - (HORIZON - POLARIS.1) / angle.tan(), HORIZON);
    let sea = [
        (eye.0 - 78.0, HORIZON + 3.0),
        (eye.0 + 60.0, HORIZON - 1.0),
        (eye.0 + 210.0, HORIZON + 3.0),
        (eye.0 + 396.0, HORIZON - 4.0),
    ];
    glass.line(&sea, 4.2, CYAN);
    boat(glass, eye.0 - 14.0);
    dashes(
        glass,
        (eye.0 + 16.0, eye.1 - 21.0),
        POLARIS,
        26.0,
        16.0,
        CORAL,
    );
    let arc: Vec<(f32, f32)> = (0..=8)
        .map(|k| {
            let a = angle * k as f32 / 8.0;
            (eye.0 + 118.0 * a.cos(), eye.1 - 4.0 - 118.0 * a.sin())
        })
        .collect();
    glass.line(&arc, 3.6, CORAL);
    let degrees = Manner {
        size: 46.0,
        pen: 4.0,
        climb: 0.0,
        ink: CORAL,
    };
    glass.write("53°", eye.0 + 128.0, HORIZON - 36.0, degrees);
    plough(glass);
    asterisk(glass, POLARIS, 21.0, CYAN);
}

/// A little sailing boat with its middle at `x`.
fn boat(glass: &mut Glass, x: f32) {
    let y = HORIZON;
    let hull = [
        (x - 44.0, y - 14.0),
        (x - 30.0, y + 12.0),
        (x + 2.0, y + 16.0),
        (x + 32.0, y + 11.0),
        (x + 46.0, y - 16.0),
        (x + 46.0, y - 16.0),
        (x, y - 12.0),
        (x - 46.0, y - 14.0),
    ];
    let mast = [
        (x - 2.0, y - 14.0),
        (x - 3.0, y - 60.0),
        (x - 2.0, y - 104.0),
    ];
    let sail = [
        (x - 2.0, y - 104.0),
        (x - 22.0, y - 66.0),
        (x - 44.0, y - 30.0),
        (x - 44.0, y - 30.0),
        (x - 22.0, y - 26.0),
        (x - 3.0, y - 28.0),
    ];
    glass.line(&hull, 3.8, CYAN);
    glass.line(&mast, 3.4, CYAN);
    glass.line(&sail, 3.4, CYAN);
}

/// The Plough with its pointers' line to Polaris.
fn plough(glass: &mut Glass) {
    let view = View {
        pole: POLARIS,
        degree: 7.6,
        hour: 5.3,
    };
    let spots = PLOUGH.map(|star| view.place(star));
    dashes(
        glass,
        between(spots[0], POLARIS, 0.08),
        between(POLARIS, spots[0], 0.13),
        20.0,
        13.0,
        LIME,
    );
    for (a, b) in PLOUGH_LINES {
        let from = between(spots[a], spots[b], 0.06);
        let to = between(spots[b], spots[a], 0.06);
        let middle = between(from, to, 0.5);
        glass.line(&[from, (middle.0 + 1.5, middle.1 - 1.0), to], 2.9, LIME);
    }
    for spot in spots {
        let dot = [(spot.0 - 2.0, spot.1 - 1.0), (spot.0 + 3.0, spot.1 + 1.5)];
        glass.line(&dot, 9.0, LIME);
    }
}

/// A point on the way from `a` to `b`.
fn between(a: (f32, f32), b: (f32, f32), t: f32) -> (f32, f32) {
    (mix(a.0, b.0, t), mix(a.1, b.1, t))
}

/// A dashed line by hand.
fn dashes(glass: &mut Glass, a: (f32, f32), b: (f32, f32), dash: f32, gap: f32, ink: Ink) {
    let length = (b.0 - a.0).hypot(b.1 - a.1);
    let mut way = gap * 0.5;
    while way + dash < length {
        let from = between(a, b, way / length);
        let to = between(a, b, (way + dash) / length);
        glass.line(&[from, between(from, to, 0.5), to], 3.0, ink);
        way += dash + gap;
    }
}

/// A star of four crossing strokes.
fn asterisk(glass: &mut Glass, at: (f32, f32), radius: f32, ink: Ink) {
    for k in 0..4 {
        let turn = (k as f32 * 45.0 + 8.0).to_radians();
        let r = if k % 2 == 0 { radius } else { radius * 0.72 };
        let (dx, dy) = (r * turn.cos(), r * turn.sin());
        let line = [(at.0 - dx, at.1 - dy), at, (at.0 + dx, at.1 + dy)];
        glass.line(&line, 3.9, ink);
    }
}

/// Backdrop with the figure before it, a little out of focus away from the glass.
fn room(portrait: &Portrait) -> Vec<Vector> {
    let near = blur(&portrait.light, 0.55);
    let far = blur(&portrait.light, 1.25);
    let bloom = blur(&portrait.light, 14.0);
    let cover = blur(&spread(&portrait.cover), 1.25);
    let depth = blur(&spread(&portrait.depth), 3.0);
    let weight = blur(&spread(&portrait.cover), 3.0);
    (0..WIDTH * HEIGHT)
        .map(|at| {
            let (x, y) = ((at % WIDTH) as f32, (at / WIDTH) as f32);
            let z = depth[at].x / weight[at].x.max(0.02);
            let figure = far[at].mix(near[at], ramp(8.0, 32.0, z));
            let fold = layered(x * 0.004, y * 0.0012, 3.0, 2);
            let cloth = v(0.00092, 0.00097, 0.00108) * (0.6 + 0.8 * fold);
            figure + cloth * (1.0 - cover[at].x).max(0.0) + bloom[at] * 0.035
        })
        .collect()
}

/// A plain channel as a grey picture.
fn spread(channel: &[f32]) -> Vec<Vector> {
    channel.iter().map(|&c| v(c, c, c)).collect()
}

/// Light of the ink spread in glass and lens.
fn halo(glass: &Glass) -> Vec<Vector> {
    let tight = blur(&glass.light, 4.0);
    let middle = blur(&glass.light, 13.0);
    let wide = blur(&glass.light, 60.0);
    (0..glass.light.len())
        .map(|at| tight[at] * 0.20 + middle[at] * 0.085 + wide[at] * 0.035)
        .collect()
}

/// An unwanted lamp's reflection, low at the left: a soft slanted rectangle and a streak.
fn reflection(x: f32, y: f32) -> Vector {
    let (dx, dy) = (x - 172.0, y - 986.0);
    let (u, w) = (dx * 0.985 + dy * 0.174, dy * 0.985 - dx * 0.174);
    let soft = |d: f32, half: f32, edge: f32| ramp(half + edge, half - edge, d.abs());
    let pane = soft(u, 88.0, 16.0) * soft(w, 44.0, 12.0);
    let pane = pane * (0.78 + 0.22 * ramp(-90.0, 90.0, u)) * (1.0 - 0.25 * soft(u, 2.0, 3.0));
    let streak = 0.35 * soft(w + 4.0, 1.0, 9.0) * (-(u / 150.0).powi(2)).exp();
    let smear = 0.85 + 0.3 * (smooth(u * 0.03, w * 0.12, 5.0) - 0.5);
    v(0.0260, 0.0240, 0.0205) * ((0.82 * pane + streak) * smear)
}

/// The sheet's lit edges at the left and the lower border.
fn rims(x: f32, y: f32) -> Vector {
    let left = 0.055 * (-x / 3.2).exp() + 0.006 * (-x / 26.0).exp();
    let below = HEIGHT as f32 - y;
    let low = 0.045 * (-below / 3.0).exp() + 0.005 * (-below / 22.0).exp();
    let uneven = 0.7 + 0.6 * smooth(x * 0.006, y * 0.006, 1.0);
    v(0.55, 1.0, 0.85) * ((left + low) * uneven)
}

/// Linear light to a grainy pixel.
fn develop(light: Vector, x: i32, y: i32) -> Rgb<u8> {
    let shared = grain(x, y, 1);
    let code = |c: f32, seed: i32| {
        let c = if c > 0.6 {
            0.6 + 0.4 * (1.0 - (-(c - 0.6) / 0.4).exp())
        } else {
            c
        };
        let level = 255.0 * encode(c);
        let own = grain(x, y, seed);
        let sigma = mix(1.1, 1.5, ramp(4.0, 24.0, level));
        (level + sigma * (0.8 * shared + 0.6 * own))
            .round()
            .clamp(0.0, 255.0) as u8
    };
    Rgb([code(light.x, 2), code(light.y, 3), code(light.z, 4)])
}

/// The sRGB curve.
fn encode(c: f32) -> f32 {
    if c <= 0.003_130_8 {
        12.92 * c.max(0.0)
    } else {
        1.055 * c.powf(1.0 / 2.4) - 0.055
    }
}

/// Near-normal blur: three running means, along rows and then along columns.
fn blur(picture: &[Vector], sigma: f32) -> Vec<Vector> {
    let mut out = picture.to_vec();
    if sigma < 2.0 {
        return small_blur(&out, sigma);
    }
    let radius = ((sigma * sigma * 4.0 + 1.0).sqrt() * 0.5).round() as usize;
    for _ in 0..3 {
        out = means(&out, WIDTH, radius);
    }
    out = flipped(&out, WIDTH);
    for _ in 0..3 {
        out = means(&out, HEIGHT, radius);
    }
    flipped(&out, HEIGHT)
}

/// Weighted sums for blurs too narrow for running means.
fn small_blur(picture: &[Vector], sigma: f32) -> Vec<Vector> {
    let weights: Vec<f32> = (0..5)
        .map(|k| (-((k * k) as f32) / (2.0 * sigma * sigma)).exp())
        .collect();
    let total = weights[0] + 2.0 * weights[1..].iter().sum::<f32>();
    let pass = |rows: &[Vector], length: usize| -> Vec<Vector> {
        rows.chunks(length)
            .flat_map(|row| {
                (0..length).map(|at| {
                    let mut sum = row[at] * weights[0];
                    for (k, &weight) in weights.iter().enumerate().skip(1) {
                        let after = row[(at + k).min(length - 1)];
                        sum = sum + (after + row[at.saturating_sub(k)]) * weight;
                    }
                    sum * (1.0 / total)
                })
            })
            .collect()
    };
    let once = flipped(&pass(picture, WIDTH), WIDTH);
    flipped(&pass(&once, HEIGHT), HEIGHT)
}

/// Running mean over `2 * radius + 1` along each row.
fn means(rows: &[Vector], length: usize, radius: usize) -> Vec<Vector> {
    let share = 1.0 / (2 * radius + 1) as f32;
    let mut out = Vec::with_capacity(rows.len());
    for row in rows.chunks(length) {
        let held = |at: usize| row[at.min(length - 1)];
        let mut sum = row[0] * radius as f32;
        for k in 0..=radius {
            sum = sum + held(k);
        }
        for at in 0..length {
            out.push(v(sum.x.max(0.0), sum.y.max(0.0), sum.z.max(0.0)) * share);
            sum = sum + held(at + radius + 1) - row[at.saturating_sub(radius)];
        }
    }
    out
}

/// Rows and columns exchanged.
fn flipped(picture: &[Vector], length: usize) -> Vec<Vector> {
    let rows = picture.len() / length;
    (0..picture.len())
        .map(|at| picture[(at % rows) * length + at / rows])
        .collect()
}
