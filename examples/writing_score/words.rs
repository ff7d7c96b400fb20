//! What is written in a frame of a kind: where, in which ink, over whom.

use crate::figure::Person;
use crate::random::Random;
use crate::scene::Kind;
use crate::sheet::Picture;
use crate::writing::{Glass, INKS, Manner, figure};

/// Writes what the kind asks for, and something else besides.
pub(crate) fn write(
    kind: Kind,
    glass: &mut Glass,
    room: &Picture,
    person: Option<&Person>,
    random: &mut Random,
) {
    let (width, height) = (room.0[0].width as f32, room.0[0].height as f32);
    let unit = height / 1080.0;
    let mut places: Vec<(f32, f32)> = Vec::new();
    if let Some(person) = person {
        let (x, y, a) = person.face;
        match kind {
            Kind::OverFace => places.push((
                x - random.between(0.2, 1.2) * a,
                y + random.between(-0.5, 1.0) * a,
            )),
            Kind::OverHand => places.extend(
                person
                    .hand
                    .map(|(x, y)| (x - 0.4 * a, y + random.between(0.0, 0.5) * a)),
            ),
            Kind::OverWhite | Kind::OverColoured | Kind::OverStriped | Kind::DarkClothes => {
                let (x, y) = person.chest;
                places.push((
                    x - random.between(0.3, 1.6) * a,
                    y + random.between(-0.4, 0.8) * a,
                ));
            }
            _ if random.chance(0.3) => places.push((
                person.chest.0 + random.between(-1.5, 0.5) * a,
                person.chest.1,
            )),
            _ => {}
        }
    }
    if let Some(person) = person
        && let Some((x, y)) = person.hand
        && random.chance(0.25)
    {
        let a = person.face.2;
        places.push((
            x - random.between(0.0, 2.0) * a,
            y - random.between(0.6, 1.1) * a,
        ));
    }
    for _ in 0..2 + random.below(4) {
        places.push((
            width * random.between(0.03, 0.8),
            height * random.between(0.12, 0.95),
        ));
    }
    let mut last: Option<(f32, f32)> = None;
    for (index, place) in places.into_iter().enumerate() {
        let size = unit * random.between(55.0, 150.0);
        let width_px = unit
            * match kind {
                Kind::ThinPen => random.between(2.5, 4.5),
                Kind::ThickPen => random.between(20.0, 32.0),
                _ => random.between(4.0, 17.0),
            };
        let place = match (kind, last) {
            (Kind::Touching, Some(last)) if index % 2 == 1 => (
                last.0 + 0.5 * size,
                last.1 + random.between(-0.3, 0.3) * size,
            ),
            _ => place,
        };
        last = Some(place);
        let strokes = figure(random.below(10), place, size, random);
        let manner = Manner {
            ink: ink_for(kind, &strokes, room, random),
            width_px: width_px.min(size * 0.3),
            streaks: match kind {
                Kind::Streaky => random.between(0.45, 0.8),
                Kind::Everything => random.between(0.0, 0.7),
                _ => random.between(0.0, 0.35),
            },
            sheer: random.between(0.0, 0.22),
        };
        glass.draw(&strokes, manner, random);
    }
}

/// An ink that can be told from what is behind the strokes: over 110 codes away in colour.
fn ink_for(
    kind: Kind,
    strokes: &[Vec<(f32, f32)>],
    room: &Picture,
    random: &mut Random,
) -> [f32; 3] {
    let points: Vec<(f32, f32)> = strokes.iter().flatten().copied().collect();
    let mut ink = random.pick(&INKS);
    for _ in 0..30 {
        let pale = [INKS[4], INKS[7]];
        ink = if kind == Kind::PaleInk {
            random.pick(&pale)
        } else {
            random.pick(&INKS)
        };
        ink = random.near(ink, 25.0);
        let near = |&&(x, y): &&(f32, f32)| {
            let square: f32 = room
                .0
                .iter()
                .zip(ink)
                .map(|(sheet, ink)| (sheet.at(x, y) - ink).powi(2))
                .sum();
            square < 110.0 * 110.0
        };
        if points.iter().filter(near).count() * 5 < points.len().max(1) {
            break;
        }
    }
    ink
}
