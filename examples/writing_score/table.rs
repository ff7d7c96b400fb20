//! The table of scores, and whether the goals are held.

use std::cmp::Reverse;
use std::fmt;

use crate::judge::{OnDecoy, Score};

/// Milliseconds for a frame of 1920x1080 on two cores. Source: chosen.
const MILLISECONDS: f64 = 150.0;
/// How much longer it may take before that counts as a failure. Source: chosen; a machine with other work beside it is slower.
const BUSY: f64 = 2.0;

/// How many of the worst frames are named. Source: chosen, for a line.
const WORST: usize = 6;

/// Scores of frames, by kind in order.
#[derive(Debug, Default)]
pub(crate) struct Table {
    rows: Vec<(&'static str, String, Score)>,
    /// Frames in which strokes were taken for copies of others.
    copies: Vec<String>,
}

/// A figure of a frame, where it has it.
type Figure = fn(&Score) -> Option<f64>;

/// Goals, mean over frames. Source: chosen for what overlap and room need from the masks.
const GOALS: [(&str, Figure, f64); 3] = [
    ("recall", |score| score.recall, 0.92),
    ("precision", |score| score.precision, 0.88),
    ("presenter", |score| score.presenter, 0.90),
];

/// What is never writing by itself, however it looks. Source: chosen; what most presenters wear or are, and what glass shows.
const NEVER: [&str; 7] = [
    "eyes",
    "teeth",
    "collar",
    "badge",
    "ribbons",
    "reflection",
    "smear",
];

/// Mean and worst of what there is.
fn spread(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let values: Vec<f64> = values.collect();
    let worst = values.iter().copied().reduce(f64::min)?;
    Some((values.iter().sum::<f64>() / values.len() as f64, worst))
}

impl Table {
    pub(crate) fn add(&mut self, kind: &'static str, name: String, score: Score) {
        self.rows.push((kind, name, score));
    }

    /// No frame is drawn with a double image, but this one was said to have one.
    pub(crate) fn add_copy(&mut self, name: String) {
        self.copies.push(name);
    }

    fn of(&self, kind: Option<&str>, value: impl Fn(&Score) -> Option<f64>) -> Option<(f64, f64)> {
        let rows = self
            .rows
            .iter()
            .filter(|row| kind.is_none_or(|kind| row.0 == kind));
        spread(rows.filter_map(|row| value(&row.2)))
    }

    /// Milliseconds, half the frames faster.
    fn typical_milliseconds(&self) -> f64 {
        let mut all: Vec<f64> = self.rows.iter().map(|row| row.2.milliseconds).collect();
        all.sort_by(f64::total_cmp);
        all.get(all.len() / 2).copied().unwrap_or(0.0)
    }

    /// The frames in which something that never is was found as writing by itself, and what it was.
    fn by_itself(&self) -> impl Iterator<Item = (&str, &'static str)> {
        self.rows.iter().flat_map(|row| {
            let on = row.2.decoys.iter();
            on.filter(|on| on.apart_px > 0 && NEVER.contains(&on.name))
                .map(|on| (&*row.1, on.name))
        })
    }

    /// Whether the means reach the goals, with nobody where nobody is, in no longer than a busy machine takes.
    pub(crate) fn is_held(&self) -> bool {
        let reaches =
            |value: Figure, goal: f64| self.of(None, value).is_none_or(|(mean, _)| mean >= goal);
        !self.rows.is_empty()
            && self.copies.is_empty()
            && self.by_itself().next().is_none()
            && self.false_presenters().is_empty()
            && GOALS.iter().all(|&(_, value, goal)| reaches(value, goal))
            && self.typical_milliseconds() <= BUSY * MILLISECONDS
    }
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pair = |spread: Option<(f64, f64)>| match spread {
            Some((mean, worst)) => format!("{mean:.3} {worst:.3}"),
            None => "    -     -".to_owned(),
        };
        writeln!(
            f,
            "{:16} {:>6}  {:11}  {:11}  {:11}  ghosts",
            "mean and worst", "frames", "recall", "precision", "presenter"
        )?;
        let mut kinds: Vec<&str> = Vec::new();
        for (kind, _, _) in &self.rows {
            if !kinds.contains(kind) {
                kinds.push(kind);
            }
        }
        for kind in kinds.iter().map(|&kind| Some(kind)).chain([None]) {
            let rows = self
                .rows
                .iter()
                .filter(|row| kind.is_none_or(|kind| row.0 == kind));
            let ghosts = rows.clone().fold([0, 0], |sum, row| {
                [sum[0] + row.2.ghost_px[0], sum[1] + row.2.ghost_px[1]]
            });
            writeln!(
                f,
                "{:16} {:6}  {}  {}  {}  {} {}",
                kind.unwrap_or("all"),
                rows.count(),
                pair(self.of(kind, |score| score.recall)),
                pair(self.of(kind, |score| score.precision)),
                pair(self.of(kind, |score| score.presenter)),
                ghosts[0],
                ghosts[1],
            )?;
        }
        self.write_worst(f)?;
        writeln!(
            f,
            "false writing, share of the pixels of each thing that could be taken for it"
        )?;
        self.write_decoys(f)?;
        let copies = match &*self.copies {
            [] => "none".to_owned(),
            copies => copies.join(", "),
        };
        writeln!(f, "false double images: {copies}")?;
        self.write_false_presenters(f)?;
        self.write_goals(f)?;
        writeln!(f, "{}", if self.is_held() { "held" } else { "missed" })
    }
}

impl Table {
    /// Each goal beside the mean and the worst frame.
    fn write_goals(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (name, value, goal) in GOALS {
            let mut all: Vec<(f64, &str)> = self.values(value).collect();
            all.sort_by(|a, b| a.0.total_cmp(&b.0));
            let Some((worst, frame)) = all.first() else {
                continue;
            };
            let mean = all.iter().map(|(value, _)| value).sum::<f64>() / all.len() as f64;
            let words = if mean >= goal { "held" } else { "missed" };
            writeln!(
                f,
                "{name:10} mean {mean:.3}, goal {goal:.2}: {words}; worst {frame} {worst:.3}"
            )?;
        }
        let worn: Vec<String> = self
            .by_itself()
            .map(|(frame, name)| format!("{name} in {frame}"))
            .collect();
        let never = NEVER.join(", ");
        let words = match &*worn {
            [] => "held".to_owned(),
            worn => format!("missed; {}", worn.join(", ")),
        };
        writeln!(f, "none of {never} by itself writing: {words}")?;
        let typical = self.typical_milliseconds();
        let words = if typical <= MILLISECONDS {
            "held"
        } else {
            "missed"
        };
        writeln!(
            f,
            "time       typical {typical:.0} ms, goal {MILLISECONDS} ms: {words}"
        )
    }

    /// A figure of each frame that has it, with the frame's name.
    fn values(&self, value: Figure) -> impl Iterator<Item = (f64, &str)> {
        self.rows
            .iter()
            .filter_map(move |row| Some((value(&row.2)?, &*row.1)))
    }

    /// Frames with nobody there in which somebody was found, and how large.
    fn false_presenters(&self) -> Vec<(u64, &str)> {
        let is_false = |row: &&(_, _, Score)| row.2.presenter.is_none() && row.2.ghost_px[1] > 0;
        let rows = self.rows.iter().filter(is_false);
        let mut found: Vec<(u64, &str)> = rows.map(|row| (row.2.ghost_px[1], &*row.1)).collect();
        found.sort_by_key(|&(area, _)| Reverse(area));
        found
    }

    fn write_false_presenters(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let empty = self.rows.iter().filter(|row| row.2.presenter.is_none());
        let found = self.false_presenters();
        let named: Vec<String> = found
            .iter()
            .take(WORST)
            .map(|(area, name)| format!("{name} {area} px"))
            .collect();
        writeln!(
            f,
            "false presenters: in {} of {} frames with nobody there{}{}",
            found.len(),
            empty.count(),
            if named.is_empty() { "" } else { ": " },
            named.join(", "),
        )
    }

    fn write_worst(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (name, value, _) in GOALS {
            let mut all: Vec<(f64, &str)> = self.values(value).collect();
            all.sort_by(|a, b| a.0.total_cmp(&b.0));
            let worst: Vec<String> = all
                .iter()
                .take(WORST)
                .map(|(value, name)| format!("{name} {value:.3}"))
                .collect();
            writeln!(f, "worst {name}: {}", worst.join(", "))?;
        }
        Ok(())
    }

    /// False writing on each thing that could be taken for it: by itself, and where a stroke runs into the thing.
    fn write_decoys(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut names: Vec<&str> = Vec::new();
        for decoy in self.rows.iter().flat_map(|row| &row.2.decoys) {
            if !names.contains(&decoy.name) {
                names.push(decoy.name);
            }
        }
        for name in names {
            let frames: Vec<(&str, OnDecoy)> = self
                .rows
                .iter()
                .flat_map(|row| row.2.decoys.iter().map(|decoy| (&*row.1, *decoy)))
                .filter(|(_, decoy)| decoy.name == name)
                .collect();
            let sum = |px: fn(&OnDecoy) -> u64| frames.iter().map(|(_, on)| px(on)).sum::<u64>();
            let percent = 100.0 * sum(|on| on.false_px) as f64 / sum(|on| on.area_px) as f64;
            let apart = worst_frames(&frames, |on| on.apart_px);
            let joined = worst_frames(&frames, |on| on.false_px - on.apart_px);
            let (all, whole) = (frames.len(), format!("{percent:.2} %"));
            writeln!(
                f,
                "on {name:10} {whole:>7}, {all} frames: by itself {apart}; run into by a stroke {joined}"
            )?;
        }
        Ok(())
    }
}

/// In how many frames there is any, and the names of those with the most.
fn worst_frames(frames: &[(&str, OnDecoy)], px: fn(&OnDecoy) -> u64) -> String {
    let mut on: Vec<(u64, &str)> = frames.iter().map(|(name, on)| (px(on), *name)).collect();
    on.retain(|(px, _)| *px > 0);
    on.sort_by_key(|(px, _)| Reverse(*px));
    let named: Vec<String> = on
        .iter()
        .take(WORST)
        .map(|(px, name)| format!("{name} {px} px"))
        .collect();
    match &*named {
        [] => "in none".to_owned(),
        named => format!("in {} ({})", on.len(), named.join(", ")),
    }
}
