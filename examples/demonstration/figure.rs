//! The lecturer: a figure of soft distance shapes, lit from both sides against the dark.
//!
//! Lengths are centimetres, the middle of the head is the origin, z points at the camera.

use crate::noise::{layered, mix, ramp, smooth};
use crate::vector::{Vector, along, ball, block, carve, egg, melt, rod, v};

/// Distance of the camera from the figure.
const CAMERA: f32 = 260.0;
/// Pixels for a centimetre at the figure's depth.
const SCALE: f32 = 10.4;
/// Pixel where the head's middle is seen.
const HEAD: (f32, f32) = (1492.0, 322.0);
/// Pixel the camera looks at squarely.
const AXIS: (f32, f32) = (1300.0, 450.0);
/// Where the marker's tip meets the glass: pixel and depth.
const TIP: (f32, f32, f32) = (1138.0, 352.0, 42.0);

/// A picture of the figure with its cover and depth, colours in linear light.
#[derive(Debug)]
pub(crate) struct Portrait {
    pub(crate) light: Vec<Vector>,
    pub(crate) cover: Vec<f32>,
    pub(crate) depth: Vec<f32>,
}

/// What a surface is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Matter {
    Face,
    Neck,
    Hand,
    Hair,
    Eye,
    Wool,
    Pen,
    Cap,
}

/// Three axes and a place: turns points of the room into points of a limb.
#[derive(Clone, Copy, Debug)]
struct Frame {
    origin: Vector,
    x: Vector,
    y: Vector,
    z: Vector,
}

impl Frame {
    /// A frame turned by yaw, pitch and roll (radians).
    fn turned(origin: Vector, yaw: f32, pitch: f32, roll: f32) -> Self {
        let turn = |p: Vector| {
            let p = v(
                p.x * roll.cos() - p.y * roll.sin(),
                p.x * roll.sin() + p.y * roll.cos(),
                p.z,
            );
            let p = v(
                p.x,
                p.y * pitch.cos() - p.z * pitch.sin(),
                p.y * pitch.sin() + p.z * pitch.cos(),
            );
            v(
                p.x * yaw.cos() + p.z * yaw.sin(),
                p.y,
                p.z * yaw.cos() - p.x * yaw.sin(),
            )
        };
        Self {
            origin,
            x: turn(v(1.0, 0.0, 0.0)),
            y: turn(v(0.0, 1.0, 0.0)),
            z: turn(v(0.0, 0.0, 1.0)),
        }
    }

    /// A point of the room in this frame.
    fn enter(&self, p: Vector) -> Vector {
        let q = p - self.origin;
        v(q.dot(self.x), q.dot(self.y), q.dot(self.z))
    }

    /// A direction of this frame in the room.
    fn direction(&self, d: Vector) -> Vector {
        self.x * d.x + self.y * d.y + self.z * d.z
    }
}

/// The posed figure.
#[derive(Debug)]
struct Figure {
    head: Frame,
    body: Frame,
    hand: Frame,
    gaze: Vector,
    shoulder: Vector,
    elbow: Vector,
    wrist: Vector,
}

/// Where the marker is pinched, in the hand's frame.
const PINCH: Vector = v(1.9, 12.5, 6.5);
/// Direction from the pinch to the marker's tip, in the hand's frame.
const POINT: Vector = v(-0.42, 0.22, 0.88);
/// How far the tip stands out of the pinch.
const REACH: f32 = 4.2;

impl Figure {
    /// Poses the figure so that the marker's tip meets the glass.
    fn posed() -> Self {
        let axis = centre();
        let near = SCALE * CAMERA / (CAMERA - TIP.2);
        let tip = v(
            axis.x + (TIP.0 - AXIS.0) / near,
            axis.y - (TIP.1 - AXIS.1) / near,
            TIP.2,
        );
        let up = v(0.16, 0.80, 0.58).unit();
        let side = v(0.95, -0.06, -0.18);
        let side = (side - up * side.dot(up)).unit();
        let mut hand = Frame {
            origin: Vector::default(),
            x: side,
            y: up,
            z: side.cross(up),
        };
        hand.origin = tip - hand.direction(PINCH + POINT.unit() * REACH);
        let head = Frame::turned(v(-0.8, -1.8, 1.0), -0.62, 0.03, -0.06);
        let wrist = hand.origin - up * 1.5;
        let shoulder = v(-17.0, -27.5, -2.0);
        Self {
            head,
            body: Frame::turned(Vector::default(), 0.10, 0.0, 0.0),
            hand,
            gaze: v(-0.24, 0.02, 1.0).unit(),
            shoulder,
            elbow: wrist.mix(shoulder, 0.5) + v(-8.1, -16.7, 3.0),
            wrist,
        }
    }

    /// Nearest surface and its matter; `fine` adds the small relief.
    fn distance(&self, p: Vector, fine: bool) -> (f32, Matter) {
        let mut best = (self.wool(p, fine), Matter::Wool);
        let mut take = |d: f32, matter: Matter| {
            if d < best.0 {
                best = (d, matter);
            }
        };
        let q = self.skull(p);
        let far = (q - v(0.0, 0.5, 0.0)).length() - 17.0;
        if far > 1.0 {
            take(far * SIZE, Matter::Face);
        } else {
            take(face(q, fine) * SIZE, Matter::Face);
            take(hair(q, fine) * SIZE, Matter::Hair);
            let s = v(q.x.abs(), q.y, q.z);
            take(ball(s, EYE, 1.22) * SIZE, Matter::Eye);
        }
        let neck = rod(p, v(-0.4, -5.0, -1.6), v(0.0, -18.0, -3.2), 5.5, 5.9);
        take(neck, Matter::Neck);
        let h = self.hand.enter(p);
        let far = (h - v(1.5, 7.0, 2.5)).length() - 14.0;
        if far > 1.0 {
            take(far, Matter::Hand);
        } else {
            take(fingers(h, fine), Matter::Hand);
            let tip = PINCH + POINT.unit() * REACH;
            let back = POINT.unit() * -1.0;
            let body = rod(h, tip + back * 2.6, tip + back * 13.0, 0.76, 0.70);
            take(body, Matter::Pen);
            let plug = rod(h, tip + back * 12.2, tip + back * 13.1, 0.78, 0.70);
            take(plug, Matter::Cap);
            let nib = rod(h, tip + back * 0.3, tip + back * 2.4, 0.25, 0.5);
            take(nib, Matter::Cap);
        }
        best
    }

    /// A point of the room in the head's own measure.
    fn skull(&self, p: Vector) -> Vector {
        self.head.enter(p) * (1.0 / SIZE)
    }

    /// The pullover: trunk, sleeves, collar and cuffs.
    fn wool(&self, p: Vector, fine: bool) -> f32 {
        let q = self.body.enter(p);
        let trunk = egg(q, v(0.0, -52.0, -4.0), v(16.4, 33.0, 11.5));
        let yoke = rod(q, v(-12.5, -27.5, -3.5), v(12.5, -27.5, -3.5), 7.6, 7.6);
        let s = v(q.x.abs(), q.y, q.z);
        let slope = rod(s, v(0.0, -19.0, -4.5), v(16.0, -26.5, -3.5), 5.5, 5.8);
        let mut d = melt(melt(trunk, yoke, 9.0), slope, 6.0);
        let (raised, t) = along(p, self.shoulder, self.elbow);
        let raised = raised - mix(7.0, 5.6, t);
        d = melt(d, raised, 5.0);
        let [joint, bend, end] = HANGING;
        let hanging = rod(q, joint, bend, 7.0, 5.8);
        let hanging = melt(hanging, rod(q, bend, end, 5.8, 4.6), 3.0);
        d = melt(d, hanging, mix(5.0, 0.7, ramp(-29.0, -38.0, q.y)));
        let (fore, t) = along(p, self.elbow, self.sleeve_end());
        let fore = fore - mix(5.7, 4.0, t) - 0.30 * ramp(0.86, 0.9, t);
        d = melt(d, fore, 2.5);
        if d < 4.0 {
            d -= self.folds(p, q);
        }
        d = melt(d, collar(p), 1.4);
        if fine && d < 1.0 {
            d -= self.knit(p, q);
        }
        d
    }

    /// Where the raised sleeve ends.
    fn sleeve_end(&self) -> Vector {
        self.wrist + (self.elbow - self.wrist).unit() * 4.5
    }

    /// Height of the cloth's folds.
    fn folds(&self, p: Vector, q: Vector) -> f32 {
        let ridge = |n: f32| {
            let off = (n - 0.5) / 0.13;
            (-off * off).exp()
        };
        let pull = layered(
            q.x * 0.055 + q.y * 0.045,
            q.y * 0.10 - q.x * 0.11,
            q.z * 0.05,
            2,
        );
        let [joint, bend, end] = HANGING;
        let beside = along(q, joint, bend).0.min(along(q, bend, end).0);
        let slack = mix(0.9, 1.25, ramp(6.5, 9.0, beside));
        let trunk = slack * ridge(pull) * ramp(-22.0, -36.0, q.y);
        let (_, up) = along(p, self.shoulder, self.elbow);
        let (near, down) = along(p, self.elbow, self.wrist);
        let sleeve = ramp(11.0, 6.0, near);
        let crook = (-((down - 0.08) * 6.0).powi(2)).exp() + 0.5 * ramp(0.45, 0.95, down);
        let crook = crook + 0.4 * ramp(0.6, 1.0, up);
        let rings = ridge(layered(
            p.x * 0.05 - p.y * 0.17,
            p.x * 0.13 + p.y * 0.05,
            p.z * 0.09,
            2,
        ));
        mix(trunk, 0.95 * rings * crook.min(1.0), sleeve) - 0.5
    }

    /// Height of the stitches.
    fn knit(&self, p: Vector, q: Vector) -> f32 {
        let (u, w, sure) = self.stitch(p, q);
        let column = u / 0.95;
        let f = column - column.floor() - 0.5;
        let round = (1.0 - 4.0 * f * f).max(0.0).sqrt();
        let chevron = 0.5 + 0.5 * (std::f32::consts::TAU * (w / 0.8 + 1.1 * f.abs())).cos();
        let panel = (u / 5.7).fract().abs();
        let rib = 0.22 * ramp(0.10, 0.20, panel) * ramp(0.96, 0.86, panel);
        sure * (0.14 * round * (0.45 + 0.55 * chevron) + rib - 0.18)
    }

    /// Position on the cloth, around and along the nearest limb, and how surely it is that limb's.
    fn stitch(&self, p: Vector, q: Vector) -> (f32, f32, f32) {
        let wrap = |p: Vector, a: Vector, b: Vector, r: f32| {
            let axis = (b - a).unit();
            let ahead = (v(0.0, 0.0, 1.0) - axis * axis.z).unit();
            let side = axis.cross(ahead);
            let o = p - a;
            let (x, y) = (o.dot(side), o.dot(ahead));
            (x.atan2(y) * r, o.dot(axis), ramp(1.5, 4.0, x.hypot(y)))
        };
        let limbs = [
            along(p, self.shoulder, self.elbow).0 - 6.3,
            along(p, self.elbow, self.wrist).0 - 5.0,
            along(q, HANGING[0], HANGING[1]).0 - 6.4,
            along(q, HANGING[1], HANGING[2]).0 - 5.2,
            collar(p),
            0.9,
            (p - self.elbow).length() - 7.6,
        ];
        let (mut best, mut least, mut next) = (0, f32::MAX, f32::MAX);
        for (limb, &d) in limbs.iter().enumerate() {
            if d < least {
                (best, next, least) = (limb, least, d);
            } else {
                next = next.min(d);
            }
        }
        let (u, w, sure) = match best {
            0 => wrap(p, self.shoulder, self.elbow, 6.0),
            1 => wrap(p, self.elbow, self.wrist, 5.0),
            2 => wrap(q, HANGING[0], HANGING[1], 6.2),
            3 => wrap(q, HANGING[1], HANGING[2], 5.2),
            4 => (p.x.atan2(p.z + 3.0) * 7.0, p.y, 1.0),
            6 => (p.x + 0.3 * p.y, p.y - 0.3 * p.x, 1.0),
            _ => (q.x.atan2(q.z + 16.0) * 24.0, q.y, 1.0),
        };
        (u, w, sure * ramp(0.0, 0.8, next - least))
    }

    /// Surface direction at a point.
    fn normal(&self, p: Vector) -> Vector {
        let e = 0.05;
        let d = |o: Vector| self.distance(p + o * e, true).0;
        let (a, b, c, k) = (
            v(1.0, -1.0, -1.0),
            v(-1.0, -1.0, 1.0),
            v(-1.0, 1.0, -1.0),
            v(1.0, 1.0, 1.0),
        );
        (a * d(a) + b * d(b) + c * d(c) + k * d(k)).unit()
    }

    /// First surface on a ray, as the way to it.
    fn strike(&self, from: Vector, ray: Vector) -> Option<(f32, Matter)> {
        let mut way = CAMERA - 58.0;
        for _ in 0..110 {
            let (d, matter) = self.distance(from + ray * way, false);
            if d < 0.02 {
                return Some((way, matter));
            }
            way += d * 0.8;
            if way > CAMERA + 26.0 {
                break;
            }
        }
        None
    }

    /// Share of a light that gets through, softened by its width.
    fn shade(&self, p: Vector, light: Vector, width: f32) -> f32 {
        let (mut open, mut way) = (1.0_f32, 0.6);
        for _ in 0..16 {
            let d = self.distance(p + light * way, false).0;
            open = open.min(0.5 + 0.5 * d / (width * way));
            if open <= 0.0 {
                return 0.0;
            }
            way += d.abs().clamp(0.5, 4.0);
            if way > 38.0 {
                break;
            }
        }
        open * open * (3.0 - 2.0 * open)
    }

    /// How open the surroundings of a surface are.
    fn openness(&self, p: Vector, n: Vector) -> f32 {
        let mut shut = 0.0;
        for (step, weight) in [(0.4, 0.55), (1.1, 0.30), (2.6, 0.16), (5.0, 0.07)] {
            shut += weight * (step - self.distance(p + n * step, false).0).max(0.0) / step.sqrt();
        }
        (1.0 - shut).clamp(0.12, 1.0)
    }

    /// Colour of the light that comes from a struck point.
    fn colour(&self, p: Vector, ray: Vector, matter: Matter) -> Vector {
        let n = self.normal(p);
        let eye = ray * -1.0;
        let q = self.skull(p);
        let skin = matches!(matter, Matter::Face | Matter::Neck | Matter::Hand);
        let base = self.base(p, q, matter);
        let open = self.openness(p, n);
        let edge = (1.0 - n.dot(eye).clamp(0.0, 1.0)).powi(3);
        let mut sum = Vector::default();
        for lamp in LAMPS {
            let dir = lamp.toward.unit();
            let reach = ramp(lamp.end, lamp.full, p.y);
            let facing = n.dot(dir);
            let start = p + n * 0.25;
            let open_way = if facing > -0.4 {
                self.shade(start, dir, lamp.width)
            } else {
                0.0
            };
            let light = lamp.colour * reach;
            let plain = facing.max(0.0) * open_way;
            let mut lit = v(plain, plain, plain);
            if skin {
                let soft = ramp(-0.35, 1.0, facing) * mix(0.25, 1.0, open_way);
                lit = lit.mix(v(soft * 1.15, soft * 0.95, soft * 0.85), 0.55);
                lit = lit
                    + v(0.10, 0.022, 0.012)
                        * ramp(-0.5, 0.25, facing)
                        * ramp(0.9, 0.1, facing)
                        * open_way;
            }
            sum = sum + base.tint(lit).tint(light);
            let half = (dir + eye).unit();
            sum = sum + light * (self.gloss(n, half, q, matter) * facing.max(0.0) * open_way);
            if lamp.rim {
                let graze = edge * ramp(-0.2, 0.7, facing) * open_way;
                let sheen = match matter {
                    Matter::Wool => 0.27,
                    Matter::Hair => 0.30,
                    _ => 0.34,
                };
                sum = sum + light * (graze * sheen);
            }
        }
        let ambient = v(0.020, 0.024, 0.030) + GLOW * (0.05 * (0.5 - 0.5 * n.x).max(0.0));
        let near = ramp(0.0, 40.0, p.z);
        let ink = GLOW * (near * 0.20 * n.dot(v(-0.3, 0.5, 0.8)).max(0.0));
        (sum + base.tint(ambient + ink)) * mix(0.35, 1.0, open)
    }

    /// Strength of the highlight.
    fn gloss(&self, n: Vector, half: Vector, q: Vector, matter: Matter) -> f32 {
        let shine = n.dot(half).max(0.0);
        match matter {
            Matter::Hair => {
                let comb = v(0.25, -0.35 * (q.z - 2.0) / 8.0, -0.9).unit();
                let across = self.head.direction(comb).dot(half);
                0.05 * (1.0 - across * across).max(0.0).powf(22.0)
            }
            Matter::Eye => 0.9 * shine.powf(140.0),
            Matter::Wool => 0.006 * shine.powf(6.0),
            Matter::Pen | Matter::Cap => 0.35 * shine.powf(60.0),
            Matter::Face => {
                let beard = beard(v(q.x.abs(), q.y, q.z));
                (0.035 * shine.powf(14.0) + 0.03 * shine.powf(50.0)) * (1.0 - beard)
            }
            Matter::Neck | Matter::Hand => 0.04 * shine.powf(16.0),
        }
    }

    /// Own colour of a surface.
    fn base(&self, p: Vector, q: Vector, matter: Matter) -> Vector {
        match matter {
            Matter::Face => complexion(q),
            Matter::Neck => SKIN * 0.85,
            Matter::Hand => {
                let h = self.hand.enter(p);
                let red = 0.5 * ramp(11.0, 14.0, h.y) + 0.35 * smooth(h.x, h.y, h.z);
                SKIN.mix(v(0.62, 0.25, 0.19), 0.5 * red)
            }
            Matter::Hair => hair_colour(q),
            Matter::Eye => self.iris(q),
            Matter::Wool => {
                let b = self.body.enter(p);
                let fleck = smooth(b.x * 3.1, b.y * 3.1, b.z * 3.1);
                let teal = v(0.012, 0.056, 0.064).mix(v(0.022, 0.088, 0.096), fleck);
                teal * (0.75 + 0.5 * layered(b.x * 0.2, b.y * 0.2, b.z * 0.2, 2))
            }
            Matter::Pen => v(0.045, 0.05, 0.05),
            Matter::Cap => v(0.50, 0.85, 0.06),
        }
    }

    /// Colour of the eye: white, iris and pupil.
    fn iris(&self, q: Vector) -> Vector {
        let s = v(q.x.abs(), q.y, q.z);
        let side = q.x.signum();
        let out = (s - EYE).unit();
        let off = (v(out.x * side, out.y, out.z) - self.gaze).length();
        let white = v(0.50, 0.45, 0.42);
        let brown = v(0.05, 0.035, 0.025);
        let dark = v(0.005, 0.005, 0.005);
        white
            .mix(brown, ramp(0.56, 0.46, off))
            .mix(dark, ramp(0.24, 0.18, off))
    }
}

/// A far lamp.
struct Lamp {
    toward: Vector,
    colour: Vector,
    /// Softness of its shadows.
    width: f32,
    /// Whether it grazes from behind.
    rim: bool,
    /// Height down to which it shines fully, and where it ends.
    full: f32,
    end: f32,
}

/// Two edge lamps behind, a warm soft key and a weak fill before.
const LAMPS: [Lamp; 4] = [
    Lamp {
        toward: v(-0.90, 0.22, -0.42),
        colour: v(1.75, 2.05, 2.30),
        width: 0.30,
        rim: true,
        full: -30.0,
        end: -120.0,
    },
    Lamp {
        toward: v(0.90, 0.32, -0.36),
        colour: v(2.15, 2.15, 2.15),
        width: 0.30,
        rim: true,
        full: -30.0,
        end: -110.0,
    },
    Lamp {
        toward: v(-0.70, 0.42, 0.58),
        colour: v(0.92, 0.74, 0.56),
        width: 0.55,
        rim: false,
        full: 0.0,
        end: -78.0,
    },
    Lamp {
        toward: v(0.55, 0.10, 0.80),
        colour: v(0.16, 0.145, 0.14),
        width: 0.7,
        rim: false,
        full: -10.0,
        end: -90.0,
    },
];

/// Light of the writing.
const GLOW: Vector = v(0.55, 0.95, 0.70);
/// Size of the head against its shapes' measure.
const SIZE: f32 = 1.07;
/// Skin's own colour.
const SKIN: Vector = v(0.56, 0.31, 0.205);
/// Middle of an eyeball; the other one is its mirror image.
const EYE: Vector = v(3.15, 0.55, 5.75);
/// Shoulder, elbow and wrist of the arm that hangs down.
const HANGING: [Vector; 3] = [
    v(18.0, -28.5, -3.5),
    v(24.0, -55.0, -7.0),
    v(19.0, -78.0, 5.0),
];

/// Point of the room the camera looks at squarely.
fn centre() -> Vector {
    v((AXIS.0 - HEAD.0) / SCALE, (HEAD.1 - AXIS.1) / SCALE, 0.0)
}

/// The rolled collar.
fn collar(p: Vector) -> f32 {
    let low = rod(p, v(0.0, -17.2, -3.0), v(0.2, -21.0, -3.8), 6.6, 8.0);
    let roll = rod(p, v(-0.1, -15.6, -2.5), v(0.0, -18.0, -3.1), 6.75, 7.1);
    let hollow = rod(p, v(-0.2, -6.0, -2.0), v(-0.1, -15.6, -2.5), 5.9, 6.0);
    carve(melt(low, roll, 0.8), hollow, 0.8)
}

/// The head without hair.
fn face(q: Vector, fine: bool) -> f32 {
    let s = v(q.x.abs(), q.y, q.z);
    let skull = egg(q, v(0.0, 3.4, -1.6), v(7.3, 8.5, 9.3));
    let jaw = egg(s, v(0.0, -3.2, 1.6), v(6.0, 8.3, 6.9));
    let mut d = melt(skull, jaw, 3.0);
    d = melt(
        d,
        rod(s, v(5.2, -5.6, 0.5), v(1.4, -9.6, 5.4), 1.2, 1.7),
        3.0,
    );
    d = melt(d, ball(s, v(0.0, -9.6, 6.1), 2.0), 2.4);
    d = melt(d, ball(s, v(4.1, -1.8, 4.9), 2.5), 2.6);
    d = melt(
        d,
        rod(s, v(0.9, 2.5, 7.3), v(4.4, 2.5, 5.9), 0.85, 0.75),
        1.8,
    );
    d = carve(d, ball(s, v(3.2, 0.45, 8.7), 1.95), 1.5);
    d = melt(d, ball(s, EYE, 1.42), 0.5);
    d = carve(
        d,
        egg(s, EYE + v(0.0, -0.12, 1.35), v(1.28, 0.40, 0.8)),
        0.22,
    );
    d = melt(
        d,
        rod(s, v(0.0, 2.1, 7.4), v(0.0, -2.1, 9.5), 0.72, 0.92),
        1.2,
    );
    d = melt(d, ball(s, v(0.0, -2.5, 9.7), 0.92), 0.7);
    d = melt(d, egg(s, v(1.25, -2.75, 8.6), v(0.75, 0.72, 0.95)), 0.5);
    d = carve(d, egg(s, v(0.62, -3.35, 9.0), v(0.32, 0.3, 0.5)), 0.3);
    d = melt(d, egg(s, v(0.0, -5.4, 6.2), v(3.1, 2.4, 2.2)), 1.8);
    d = melt(
        d,
        rod(s, v(0.0, -5.0, 8.25), v(2.3, -5.35, 7.1), 0.32, 0.12),
        0.35,
    );
    d = melt(
        d,
        rod(s, v(0.0, -5.95, 8.15), v(1.9, -5.6, 7.3), 0.42, 0.15),
        0.35,
    );
    d = carve(
        d,
        rod(s, v(0.0, -5.47, 8.75), v(2.6, -5.3, 7.3), 0.14, 0.1),
        0.2,
    );
    d = melt(d, ear(s), 0.6);
    let b = beard(s);
    if b > 0.0 {
        d -= b * 0.42;
        if fine {
            d -= b * 0.20 * (layered(q.x * 2.2, q.y * 0.9 + q.x * 0.3, q.z * 1.6, 2) - 0.5);
        }
    }
    d - 0.16 * brow(s)
}

/// An ear.
fn ear(s: Vector) -> f32 {
    let o = (s - v(7.1, -0.1, -1.1)) * 1.14;
    let o = v(
        o.x - 0.30 * (1.4 - o.z).max(0.0) * 0.9,
        o.y,
        o.z + 0.18 * o.y,
    );
    let leaf = egg(o, v(0.25, 0.3, 0.0), v(0.75, 3.0, 1.75));
    let bowl = egg(o, v(0.95, 0.45, 0.35), v(0.70, 1.75, 0.80));
    let lobe = ball(o, v(0.2, -2.2, 0.45), 0.75);
    melt(carve(leaf, bowl, 0.35), lobe, 0.5)
}

/// Where the beard grows, 0..1.
fn beard(s: Vector) -> f32 {
    let top = -3.75 - 1.1 * ramp(1.5, 2.9, s.x) + 2.9 * ramp(3.4, 6.4, s.x);
    let rag = 1.1 * (smooth(s.x * 2.6, s.y * 2.6, s.z * 2.6) - 0.5);
    let lips = (s.x / 2.15).powi(2) + ((s.y + 5.68) / 0.46).powi(2);
    let cheek = ramp(0.7, -0.9, s.y - top + rag)
        * ramp(0.7, 1.3, lips)
        * ramp(-1.6, 1.6, s.z + 0.2 * (s.y + 2.0).min(0.0));
    let burn = ramp(1.5, 0.2, (s.z - 2.0 - 0.10 * s.y).abs() + 0.5 * rag)
        * ramp(3.2, 1.8, s.y)
        * ramp(-4.5, -2.5, s.y)
        * ramp(4.6, 5.4, s.x)
        * ramp(7.3, 6.9, s.x);
    cheek.max(0.75 * burn)
}

/// Where the eyebrows grow, 0..1.
fn brow(s: Vector) -> f32 {
    let line = 2.55 + 0.35 * ramp(1.0, 3.4, s.x) - 0.55 * ramp(3.4, 5.2, s.x);
    let thick = mix(0.55, 0.22, ramp(1.5, 5.0, s.x));
    ramp(1.0, 0.3, (s.y - line).abs() / thick)
        * ramp(0.75, 1.3, s.x)
        * ramp(5.4, 4.6, s.x)
        * ramp(3.0, 4.5, s.z)
}

/// Colour of the face.
fn complexion(q: Vector) -> Vector {
    let s = v(q.x.abs(), q.y, q.z);
    let red = 0.45 * ramp(4.6, 0.4, (s - v(4.3, -2.0, 6.2)).length())
        + 0.7 * ramp(2.4, 0.6, (s - v(0.0, -2.6, 9.8)).length())
        + 0.8 * ramp(6.6, 7.6, s.x);
    let mottle = 0.25 * layered(q.x * 1.3, q.y * 1.3, q.z * 1.3, 3);
    let mut colour = SKIN.mix(v(0.62, 0.23, 0.16), 0.45 * (red + mottle).min(1.0));
    let lips = (s.x / 2.3).powi(2) + ((s.y + 5.68) / 0.55).powi(2);
    colour = colour.mix(
        v(0.22, 0.075, 0.06),
        0.85 * ramp(1.15, 0.6, lips) * ramp(6.5, 7.3, s.z),
    );
    let socket = ramp(1.9, 1.1, (s - EYE - v(0.0, 0.1, 0.6)).length());
    colour = colour.mix(v(0.34, 0.16, 0.11), 0.35 * socket);
    let strands = smooth(q.x * 3.5, q.y * 1.3, q.z * 2.5);
    let grey = 0.55 * ramp(3.0, 0.5, s.x) * ramp(-7.0, -9.0, s.y);
    let fur = v(0.050, 0.030, 0.019).mix(v(0.20, 0.18, 0.16), grey) * (0.55 + 0.9 * strands);
    colour = colour.mix(fur, 0.93 * beard(s));
    colour.mix(v(0.035, 0.022, 0.015), 0.9 * brow(s))
}

/// The hair on the head.
fn hair(q: Vector, fine: bool) -> f32 {
    let s = v(q.x.abs(), q.y, q.z);
    let cap = egg(q, v(0.0, 4.0, -2.0), v(8.1, 8.9, 10.1));
    let tuft = egg(q, v(1.0, 9.6, 2.6), v(6.4, 3.7, 6.0));
    let wave = egg(q, v(-1.6, 9.9, 5.0), v(4.6, 2.7, 3.6));
    let mut d = melt(melt(cap, tuft, 2.5), wave, 1.6);
    d = carve(d, egg(s, v(0.0, -1.6, 8.8), v(6.7, 9.0, 7.0)), 0.9);
    d = carve(d, egg(s, v(7.8, -1.4, -0.6), v(2.0, 2.9, 1.9)), 0.6);
    let flow = layered(
        q.x * 0.9 + q.z * 0.25,
        (q.y - 0.5 * q.z) * 0.28,
        q.z * 0.22 - q.x * 0.1,
        2,
    );
    d -= 0.9 * (flow - 0.5);
    if fine {
        d -= 0.34 * (strand(q) - 0.5) + 0.12 * (strand(q * 2.3) - 0.5);
    }
    d * 0.9
}

/// Fine streaks that run with the comb.
fn strand(q: Vector) -> f32 {
    let bend = 0.8 * smooth(q.x * 0.4, q.y * 0.4, q.z * 0.4);
    smooth(
        q.x * 3.4 + q.z * 0.7 + 2.0 * bend,
        (q.y - 0.4 * q.z) * 0.8,
        q.z * 0.4,
    )
}

/// Colour of the hair, greyer at the temples.
fn hair_colour(q: Vector) -> Vector {
    let grey = ramp(5.6, 7.6, q.x.abs()) * ramp(6.0, 1.0, q.y) * 0.8;
    let brown = v(0.060, 0.034, 0.020).mix(v(0.19, 0.17, 0.155), grey);
    brown * (0.30 + 0.8 * strand(q) + 0.7 * strand(q * 2.6))
}

/// The writing hand, in its own frame: x to the thumb, y to the knuckles, z out of the palm.
fn fingers(h: Vector, fine: bool) -> f32 {
    let palm = block(h, v(0.1, 5.2, 0.0), v(3.7, 4.4, 1.45), 1.3);
    let arm = rod(h, v(0.0, -7.0, 0.0), v(0.0, 1.5, 0.0), 2.9, 2.7);
    let mut d = melt(palm, arm, 2.5);
    d = melt(d, rod(h, v(2.0, 1.6, 0.7), v(3.6, 5.0, 1.8), 1.7, 1.5), 1.4);
    d = melt(
        d,
        rod(h, v(-2.4, 1.8, 0.6), v(-2.7, 6.0, 0.9), 1.5, 1.2),
        1.2,
    );
    for finger in FINGERS {
        let [a, b, c, e] = finger.joints;
        let w = finger.width;
        let one = rod(h, a, b, w * 1.08, w);
        let two = rod(h, b, c, w, w * 0.92);
        let three = rod(h, c, e, w * 0.92, w * 0.80);
        d = melt(d, melt(melt(one, two, 0.3), three, 0.25), 0.45);
    }
    if fine {
        d -= 0.05 * (layered(h.x * 2.0, h.y * 2.0, h.z * 2.0, 2) - 0.5);
    }
    d
}

/// A finger: knuckle, two joints, tip, and its width.
struct Finger {
    joints: [Vector; 4],
    width: f32,
}

/// Thumb first, little finger last.
const FINGERS: [Finger; 5] = [
    Finger {
        joints: [
            v(3.3, 4.2, 1.4),
            v(4.9, 7.8, 3.2),
            v(4.1, 10.6, 5.3),
            v(2.9, 12.0, 6.6),
        ],
        width: 1.05,
    },
    Finger {
        joints: [
            v(2.8, 9.2, -0.2),
            v(3.3, 12.8, 1.8),
            v(2.5, 14.1, 4.3),
            v(1.7, 13.6, 6.6),
        ],
        width: 0.92,
    },
    Finger {
        joints: [
            v(0.9, 9.6, -0.2),
            v(1.0, 13.0, 2.6),
            v(0.8, 13.0, 5.2),
            v(1.0, 11.9, 7.0),
        ],
        width: 0.95,
    },
    Finger {
        joints: [
            v(-1.0, 9.3, -0.1),
            v(-1.1, 12.0, 2.9),
            v(-0.9, 10.6, 5.2),
            v(-0.5, 8.7, 4.9),
        ],
        width: 0.9,
    },
    Finger {
        joints: [
            v(-2.8, 8.6, 0.0),
            v(-3.0, 10.8, 2.5),
            v(-2.7, 9.5, 4.4),
            v(-2.2, 7.8, 4.2),
        ],
        width: 0.78,
    },
];

/// Takes the figure's picture, `side` by `side` looks for each pixel.
pub(crate) fn portrait(width: usize, height: usize, side: usize) -> Portrait {
    let figure = Figure::posed();
    let pixels = width * height;
    let mut portrait = Portrait {
        light: vec![Vector::default(); pixels],
        cover: vec![0.0; pixels],
        depth: vec![0.0; pixels],
    };
    let rows = portrait
        .light
        .chunks_mut(width)
        .zip(portrait.cover.chunks_mut(width))
        .zip(portrait.depth.chunks_mut(width))
        .enumerate();
    let mut shares: [Vec<_>; 2] = [Vec::new(), Vec::new()];
    for (y, row) in rows {
        shares[y % 2].push((y, row));
    }
    std::thread::scope(|scope| {
        for share in shares {
            let figure = &figure;
            scope.spawn(move || {
                for (y, ((light, cover), depth)) in share {
                    for x in 1040..width {
                        let look = look(figure, x, y, side);
                        (light[x], cover[x], depth[x]) = look;
                    }
                }
            });
        }
    });
    portrait
}

/// Mean light, cover and depth of a pixel.
fn look(figure: &Figure, x: usize, y: usize, side: usize) -> (Vector, f32, f32) {
    let (mut light, mut cover, mut depth) = (Vector::default(), 0.0, 0.0);
    let axis = centre();
    let from = v(axis.x, axis.y, CAMERA);
    for k in 0..side * side {
        let dx = ((k % side) as f32 + 0.5) / side as f32;
        let dy = ((k / side) as f32 + 0.5) / side as f32;
        let target = v(
            axis.x + (x as f32 + dx - AXIS.0) / SCALE,
            axis.y - (y as f32 + dy - AXIS.1) / SCALE,
            0.0,
        );
        let ray = (target - from).unit();
        if let Some((way, matter)) = figure.strike(from, ray) {
            let p = from + ray * way;
            light = light + figure.colour(p, ray, matter);
            cover += 1.0;
            depth += p.z;
        }
    }
    let share = 1.0 / (side * side) as f32;
    (light * share, cover * share, depth * share)
}
