//! Backgrounds that are wrong: not dark at all, or hazy.

use crate::case::{Case, Planted, Slide, luma_percent};
use crate::look::{Colors, Ground, INK, Look, WARM};
use crate::pages::Page;
use crate::sheet::{Fault, OUTPUT_HEIGHT, Sheet, box_of};
use nightglass::measure::finding::{Kind, Severity};

/// All of them.
pub(crate) fn faulty() -> Vec<Case> {
    let mut cases = not_dark();
    cases.extend(haze());
    cases
}

/// White decks and lighter ones than a key can drop.
fn not_dark() -> Vec<Case> {
    let mut cases = Vec::new();
    let light = WARM;
    let grounds: [(&str, Ground, Colors); 8] = [
        ("white", Ground::Flat([255, 255, 255]), INK),
        ("cream", Ground::Flat([250, 246, 232]), INK),
        ("silver", Ground::Flat([196, 200, 206]), INK),
        ("slate", Ground::Flat([110, 120, 130]), light),
        ("just-over", Ground::Flat([70, 76, 84]), light),
        ("sea", Ground::Flat([20, 110, 120]), light),
        ("paper", Ground::Dither(236), INK),
        ("fall", Ground::Fall([255, 255, 255], [216, 222, 230]), INK),
    ];
    for (g, (name, ground, colors)) in grounds.into_iter().enumerate() {
        for k in 0..2 {
            let page = Page::ALL[(g + 3 * k) % 6];
            let look = Look {
                colors,
                ..Look::numbered(g * 5 + k * 3).on(ground)
            };
            let name = format!("not-dark-{name}-{}-{}", page.name(), look.label());
            cases.push(Case::new(name, move || {
                let planted = Planted {
                    kind: Kind::NotDark,
                    or_kinds: Vec::new(),
                    or_compressed: Vec::new(),
                    severities: vec![Severity::Fail],
                    place: None,
                    value: match ground {
                        Ground::Flat(code) => Some((luma_percent(code), 0.5)),
                        _ => None,
                    },
                };
                // What a white slide loses of its dark writing is true as well.
                let sides = [Kind::Hole, Kind::KeyedOut, Kind::HalfKeyed];
                Ok(Slide::clean(page.draw(&look)?)
                    .with(planted)
                    .allowing(&sides))
            }));
        }
    }
    cases
}

/// Backgrounds that add light.
fn haze() -> Vec<Case> {
    let mut cases = Vec::new();
    let grounds: [(&str, Ground); 14] = [
        ("grey-30", Ground::Flat([30, 30, 30])),
        ("grey-20", Ground::Flat([20, 20, 20])),
        ("grey-17", Ground::Flat([17, 17, 18])),
        ("grey-18", Ground::Flat([18, 18, 18])),
        ("navy", Ground::Flat([18, 26, 58])),
        ("charcoal", Ground::Flat([44, 46, 52])),
        ("dither", Ground::Dither(20)),
        ("slate", Ground::Fall([15, 19, 27], [24, 28, 38])),
        ("fall", Ground::Fall([46, 46, 50], [0, 0, 0])),
        ("rise", Ground::Fall([0, 0, 0], [36, 44, 60])),
        ("vignette", Ground::Vignette([40, 42, 48], [2, 2, 4])),
        ("cloud", Ground::Cloud(24.0, 12.0)),
        ("corner", Ground::Corner([60, 64, 72], 900.0)),
        ("side", Ground::Side([30, 32, 36], 1500.0)),
    ];
    for (g, (name, ground)) in grounds.into_iter().enumerate() {
        for k in 0..3 {
            let page = Page::ALL[(g + 2 * k) % Page::ALL.len()];
            let look = Look::numbered(g * 7 + k * 5).on(ground);
            if ground == grounds[13].1 && look.raster.left() > 0.0 {
                continue;
            }
            let name = format!("haze-{name}-{}-{}", page.name(), look.label());
            cases.push(Case::new(name, move || {
                let mut slide = Slide::clean(page.draw(&look)?);
                let planted = added(&look)?;
                slide.planted.push(planted);
                Ok(slide)
            }));
        }
    }
    cases
}

/// The haze of a look's background alone, by the definition of the key.
///
/// Both readings of "mean added luma", over the output and over the part that adds any, are right;
/// they are one for a flat background.
fn added(look: &Look) -> Result<Planted, Fault> {
    let raster = look.raster;
    let mut bare = Sheet::black(raster)?;
    let (mut sum, mut hazy, mut hazy_sum, mut all) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64);
    let mut around: Option<[f32; 4]> = None;
    bare.repaint(|_, (x, y), pixel| {
        let code = look.ground.code((x, y), pixel);
        let luma = luma_percent(code);
        let adds = luma * ((luma - 6.0) / 4.0).clamp(0.0, 1.0);
        all += 1.0;
        sum += adds;
        if adds > 0.5 {
            hazy += 1.0;
            hazy_sum += adds;
            let old = around.unwrap_or([x, y, x, y]);
            around = Some([old[0].min(x), old[1].min(y), old[2].max(x), old[3].max(y)]);
        }
        code
    });
    let reach = around.ok_or("a hazy background adds nothing")?;
    let means = [sum / all, hazy_sum / hazy];
    let grade = |mean: f64| match mean {
        mean if mean >= 3.0 => Severity::Fail,
        mean if mean >= 1.0 => Severity::Warn,
        _ => Severity::Info,
    };
    let severities = if grade(means[0]) == Severity::Info {
        vec![Severity::Warn, grade(means[1])]
    } else {
        means.map(grade).to_vec()
    };
    let flat = matches!(look.ground, Ground::Flat(_));
    let whole = reach[2] - reach[0] > 0.98 * 1920.0 && reach[3] - reach[1] > 0.98 * OUTPUT_HEIGHT;
    Ok(Planted {
        kind: Kind::Haze,
        or_kinds: Vec::new(),
        or_compressed: Vec::new(),
        severities,
        place: (!whole).then(|| box_of(reach)),
        value: flat.then_some((means[1], 0.3)),
    })
}
