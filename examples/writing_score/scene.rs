//! Whole frames: backdrop, person, glass and faults, developed and compressed, with the truth.

use nightglass::pixel::frame::Frame;

use crate::album::Album;
use crate::camera::{Camera, Take, develop};
use crate::clothes::Clothes;
use crate::figure::person;
use crate::random::Random;
use crate::room::{backdrop, reflection, smear};
use crate::sheet::Picture;
use crate::words::write;
use crate::writing::Glass;

/// What a frame is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Plain,
    Dim,
    Bright,
    Noisy,
    Compressed,
    Streaky,
    Smeared,
    Reflections,
    OverFace,
    OverHand,
    OverWhite,
    OverColoured,
    OverStriped,
    Touching,
    DarkClothes,
    RaisedBlack,
    PaleInk,
    ThinPen,
    ThickPen,
    Everything,
    Nobody,
    NothingWritten,
    Empty,
}

impl Kind {
    pub(crate) const ALL: [(Self, &'static str); 23] = [
        (Self::Plain, "plain"),
        (Self::Dim, "dim"),
        (Self::Bright, "bright"),
        (Self::Noisy, "noisy"),
        (Self::Compressed, "compressed"),
        (Self::Streaky, "streaky"),
        (Self::Smeared, "smeared"),
        (Self::Reflections, "reflections"),
        (Self::OverFace, "over face"),
        (Self::OverHand, "over hand"),
        (Self::OverWhite, "over white"),
        (Self::OverColoured, "over coloured"),
        (Self::OverStriped, "over striped"),
        (Self::Touching, "touching inks"),
        (Self::DarkClothes, "dark clothes"),
        (Self::RaisedBlack, "raised black"),
        (Self::PaleInk, "pale ink"),
        (Self::ThinPen, "thin pen"),
        (Self::ThickPen, "thick pen"),
        (Self::Everything, "everything"),
        (Self::Nobody, "nobody there"),
        (Self::NothingWritten, "nothing written"),
        (Self::Empty, "empty"),
    ];
}

/// A frame and what is known about it.
#[derive(Debug)]
pub(crate) struct Scene {
    pub(crate) frame: Frame,
    /// The same rig with nobody there and nothing written, noise of its own, where it is wanted.
    pub(crate) empty: Option<Frame>,
    /// The same with the person, before anything was written, where it is wanted.
    pub(crate) before: Option<Frame>,
    pub(crate) writing: Vec<bool>,
    pub(crate) presenter: Vec<bool>,
    /// A [`Decoy`] a pixel, 0 for none.
    pub(crate) decoys: Vec<u8>,
}

/// Makes the frame of a kind and number, and of the other stills of its rig, `empty` and `before`, those that are wanted.
pub(crate) fn scene(kind: Kind, seed: u64, album: &Album, wanted: &str) -> Option<Scene> {
    let mut random = Random::new(seed);
    let random = &mut random;
    let (width, height) = match random.below(8) {
        0 => (1280, 720),
        1 => (1600, 900),
        _ => (1920, 1080),
    };
    let wild = kind == Kind::Everything;
    let camera = camera_for(kind, random);
    let mut room = backdrop(width, height, random);
    let mut decoys = vec![0; width * height];
    if matches!(kind, Kind::Reflections | Kind::Everything | Kind::Empty) || random.chance(0.3) {
        for _ in 0..=random.below(4) {
            reflection(&mut room, &mut decoys, random);
        }
    }
    if matches!(kind, Kind::Smeared) || (wild && random.chance(0.7)) || random.chance(0.15) {
        smear(&mut room, &mut decoys, random);
    }
    let clothes = match kind {
        Kind::DarkClothes => random.pick(&[Clothes::Dark, Clothes::Suit]),
        Kind::OverWhite => Clothes::White,
        Kind::OverColoured => Clothes::Coloured,
        Kind::OverStriped => Clothes::Striped,
        _ => random.pick(&[
            Clothes::Dark,
            Clothes::Suit,
            Clothes::White,
            Clothes::Coloured,
            Clothes::Striped,
        ]),
    };
    let somebody = !matches!(kind, Kind::Nobody | Kind::Empty);
    let person = if somebody {
        let photographed = if random.chance(0.5) {
            album.person((width, height), random)
        } else {
            None
        };
        Some(match photographed {
            Some(somebody) => somebody,
            None => person((width, height), clothes, 8.0, album, random)?,
        })
    } else {
        None
    };
    let take = Take::new(random);
    let empty = wanted
        .contains("empty")
        .then(|| develop(&room, camera, take));
    let mut presenter = vec![false; width * height];
    if let Some(person) = &person {
        for at in 0..width * height {
            let kept = 1.0 - person.cover.values[at];
            for (to, from) in room.0.iter_mut().zip(&person.light.0) {
                to.values[at] = to.values[at] * kept + from.values[at];
            }
            presenter[at] = kept < 0.5;
            if person.decoys[at] > 0 && presenter[at] {
                decoys[at] = person.decoys[at];
            }
        }
    }
    let take = Take::new(random);
    let before = wanted
        .contains("before")
        .then(|| develop(&room, camera, take));
    let mut glass = Glass::new(width, height);
    if !matches!(kind, Kind::NothingWritten | Kind::Empty) {
        write(kind, &mut glass, &room, person.as_ref(), random);
    }
    let behind = room.clone();
    lay(&glass, &mut room, random);
    leave_out_unseen(&mut glass.written, &behind, &room, camera);
    let frame = develop(&room, camera, Take::new(random));
    for (decoy, &written) in decoys.iter_mut().zip(&glass.written) {
        if written {
            *decoy = 0;
        }
    }
    Some(Scene {
        frame,
        empty,
        before,
        writing: glass.written,
        presenter,
        decoys,
    })
}

/// The camera that a kind of frame is taken with.
fn camera_for(kind: Kind, random: &mut Random) -> Camera {
    Camera {
        exposure: match kind {
            Kind::Dim => random.between(0.4, 0.55),
            Kind::Bright => random.between(1.25, 1.5),
            Kind::Everything => random.between(0.4, 1.5),
            _ => random.between(0.75, 1.15),
        },
        black: if kind == Kind::RaisedBlack {
            random.between(12.0, 32.0)
        } else {
            random.between(1.0, 8.0)
        },
        sigma: match kind {
            Kind::Noisy => random.between(3.0, 4.0),
            Kind::Everything => random.between(0.5, 4.0),
            _ => random.between(0.5, 2.2),
        },
        quality: match kind {
            Kind::Compressed => Some(60),
            _ if random.chance(0.35) => Some(random.pick(&[60, 75, 90])),
            _ => None,
        },
    }
}

/// Lays the glass over the room, with the glow of its ink, pale where it lies thick, and the softness of the lens.
fn lay(glass: &Glass, room: &mut Picture, random: &mut Random) {
    let soft = random.between(0.4, 1.3);
    let (cover, mut light) = (glass.cover.blurred(soft), glass.light.blurred(soft));
    let (core, white) = (
        cover.blurred(random.between(2.0, 5.0)),
        random.between(0.0, 70.0),
    );
    for sheet in &mut light.0 {
        for (at, value) in sheet.values.iter_mut().enumerate() {
            *value += white * core.values[at].powi(2) * cover.values[at];
        }
    }
    for (to, from) in room.0.iter_mut().zip(&light.0) {
        for at in 0..to.values.len() {
            to.values[at] = to.values[at] * (1.0 - cover.values[at]) + from.values[at];
        }
    }
    let glow = light.map(to_linear);
    let (near, wide) = (random.between(3.0, 9.0), random.between(18.0, 60.0));
    let mut lit = room.map(to_linear);
    lit.add(&glow.blurred(near), random.between(0.002, 0.1));
    lit.add(&glow.blurred(wide), random.between(0.0, 0.03));
    *room = lit.map(to_code);
}

/// Least difference that ink makes to be seen, codes. Source: chosen; a tenth of mid-grey.
const SEEN_CODES: f32 = 12.0;

/// Ink that the camera shows as it shows what is behind is nobody's to find: white clipped on clipped white, a gap that
/// a dry marker left.
fn leave_out_unseen(written: &mut [bool], behind: &Picture, room: &Picture, camera: Camera) {
    for (at, written) in written.iter_mut().enumerate() {
        *written &= behind.0.iter().zip(&room.0).any(|(behind, room)| {
            let [a, b] =
                [behind, room].map(|sheet| camera.code(sheet.values[at]).clamp(0.0, 255.0));
            (a - b).abs() >= SEEN_CODES
        });
    }
}

/// Light of a code, 1 at white, and the code of a light: what spreads in glass and lens is light. Source: chosen, a plain power
/// near the curves of cameras.
fn to_linear(code: f32) -> f32 {
    (code / 255.0).max(0.0).powf(2.2)
}

fn to_code(light: f32) -> f32 {
    255.0 * light.powf(1.0 / 2.2)
}
