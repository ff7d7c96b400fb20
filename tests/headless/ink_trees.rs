//! The trees that tell ink from what is none.

use nightglass::measure::parts::ink_company::{COMPANY, COMPANY_NAMES};
use nightglass::measure::parts::ink_figures::{FIGURES, NAMES};
use nightglass::measure::parts::ink_trees::Node::{Ask, Say};
use nightglass::measure::parts::ink_trees::{answer, company_log_odds, own_log_odds};

/// Figures of four things in the frames of `shared/data`, as measured: a letter in blue ink over a coat, skin beside an
/// ear, a bar of a row of ribbons, the emblem of a cap.
const LETTER: [f64; FIGURES] = [
    1.0, 0.89, 0.0, 0.01, 0.37, 0.0, 0.0, 1.78, 0.0, 0.73, 0.33, 0.55, 1.37, 0.51, 0.07, -2.03,
    -3.49, 1.48, 0.01, 1.0, 0.0, 1.0, 0.45, 0.81,
];
const SKIN: [f64; FIGURES] = [
    0.83, 0.45, 0.31, 0.94, 0.8, 0.78, 0.56, 1.4, 1.0, 0.42, 0.66, 0.12, 1.16, 0.0, 1.0, -3.46,
    -4.71, 0.78, 0.04, 1.0, 1.0, 1.0, -9.0, 0.77,
];
const RIBBON: [f64; FIGURES] = [
    0.79, 0.67, 0.19, 0.25, 0.94, 0.0, 0.0, 1.34, 0.0, 0.91, 0.71, 0.24, 1.08, 0.61, 0.36, -2.89,
    -4.15, 1.22, 0.04, 1.0, 0.0, 1.0, 0.47, 0.86,
];
const EMBLEM: [f64; FIGURES] = [
    0.89, 0.84, 0.05, 0.11, 0.58, 0.81, 0.04, 2.75, 1.0, 0.11, 0.34, 0.59, 2.05, 0.41, 0.13, -1.14,
    -3.17, 0.47, 0.0, 1.0, 1.0, 1.0, 0.46, 0.53,
];

/// Company of a letter in the middle of a word, by itself uncertain.
const WORD: [f64; COMPANY] = [0.5, 6.0, 6.0, 6.0, 6.0, 6.0, 4.0, 1.0, 0.1, 0.1];

fn with(figures: [f64; FIGURES], name: &str, value: f64) -> [f64; FIGURES] {
    let mut figures = figures;
    figures[NAMES.iter().position(|known| *known == name).unwrap()] = value;
    figures
}

#[test]
fn a_yes_passes_over_what_follows_a_no() {
    let tree = [
        Ask(0, 0.5, 3),
        Ask(1, 0.5, 1),
        Say(1.0),
        Say(2.0),
        Ask(1, 0.5, 1),
        Say(3.0),
        Say(4.0),
    ];
    let ask = |a, b| {
        let mut figures = [0.0; FIGURES];
        (figures[0], figures[1]) = (a, b);
        answer(&tree, &figures)
    };
    assert_eq!(
        [ask(0.0, 0.0), ask(0.5, 1.0), ask(1.0, 0.5), ask(1.0, 1.0)],
        [1.0, 2.0, 3.0, 4.0]
    );
}

#[test]
fn a_letter_of_a_photograph_is_ink_and_skin_ribbons_and_emblems_are_none() {
    assert!(own_log_odds(&LETTER) > 2.0, "{}", own_log_odds(&LETTER));
    for (figures, what) in [(SKIN, "skin"), (RIBBON, "a ribbon"), (EMBLEM, "an emblem")] {
        let odds = own_log_odds(&figures);
        assert!(odds < 0.0, "{what}: {odds}");
    }
}

#[test]
fn what_is_known_to_speak_for_or_against_ink_never_speaks_otherwise() {
    let rising = [
        "brightness",
        "strength",
        "slenderness",
        "saturation",
        "sharpness",
        "glow",
        "backing",
    ];
    let falling = [
        "darker",
        "open",
        "mirrored",
        "worn",
        "beside_other",
        "fill",
        "evenness",
        "convexity",
    ];
    for over in [0.0, 1.0] {
        for pale in [0.0, 1.0] {
            let piece = with(with(LETTER, "over", over), "pale", pale);
            for (names, sign) in [(&rising[..], 1.0), (&falling[..], -1.0)] {
                for name in names {
                    let steps =
                        (0..=40).map(|k| own_log_odds(&with(piece, name, 0.1 * f64::from(k))));
                    let steps: Vec<f64> = steps.collect();
                    let is_right = steps.windows(2).all(|w| sign * (w[1] - w[0]) >= -1e-9);
                    assert!(is_right, "{name} over {over} pale {pale}: {steps:?}");
                }
            }
        }
    }
}

/// A letter, and its company with one of its figures changed.
fn beside(name: &str, value: f64) -> f64 {
    let mut both = [0.0; FIGURES + COMPANY];
    both[..FIGURES].copy_from_slice(&LETTER);
    both[FIGURES..].copy_from_slice(&WORD);
    let nth = COMPANY_NAMES.iter().position(|known| *known == name);
    both[FIGURES + nth.unwrap()] = value;
    company_log_odds(&both)
}

#[test]
fn better_company_never_speaks_against_ink() {
    for name in [
        "alone",
        "near_alike",
        "near_pen",
        "far",
        "far_class",
        "far_pen",
    ] {
        let steps: Vec<f64> = (0..=160)
            .map(|k| beside(name, 0.1 * f64::from(k) - 8.0))
            .collect();
        assert!(
            steps.windows(2).all(|w| w[1] >= w[0] - 1e-9),
            "{name}: {steps:?}"
        );
        assert!(steps[160] > steps[0], "{name} says nothing");
    }
}

#[test]
fn a_word_makes_its_uncertain_letter_ink_and_what_is_around_skin_does_not() {
    assert!(beside("alone", 0.5) > 2.0, "{}", beside("alone", 0.5));
    let mut skin = [-8.0; FIGURES + COMPANY];
    skin[..FIGURES].copy_from_slice(&SKIN);
    skin[FIGURES..].copy_from_slice(&[-2.0, -1.0, -1.0, -1.0, -1.0, -1.0, 0.0, 9.0, 0.6, 0.4]);
    assert!(company_log_odds(&skin) < 0.0, "{}", company_log_odds(&skin));
}

#[test]
fn the_fit_has_the_figures_in_the_same_order() {
    let fit = include_str!("../../examples/writing_score/fit_ink.py");
    let listed = |name: &str, quotes: &str| -> Vec<&str> {
        let start = format!("\n{name} = {quotes}");
        let list = fit
            .split(&start)
            .nth(1)
            .and_then(|rest| rest.split(quotes).next());
        list.unwrap_or_default().split_whitespace().collect()
    };
    assert_eq!(listed("NAMES", "\"\"\""), NAMES);
    assert_eq!(listed("COMPANY", "\""), COMPANY_NAMES);
}
