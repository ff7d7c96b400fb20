//! Counts what was judged and prints it.

use crate::coding::Coding;
use crate::judge::{Judged, Outcome};
use nightglass::measure::finding::Kind;
use std::collections::BTreeMap;
use std::io::{self, Write};

/// Most misses (wrong severities included) in a hundred planted faults of a kind in a coding.
const MOST_MISSES_PERCENT: f64 = 5.0;
/// Most slides in a hundred, clean or with other faults, with a false alarm of a kind in a coding.
const MOST_FALSE_PERCENT: f64 = 2.0;
/// Examples that are named for each kind of mistake.
const EXAMPLES: usize = 4;

/// Counts of one kind in one coding.
#[derive(Clone, Copy, Debug, Default)]
struct Count {
    planted: usize,
    hits: usize,
    misses: usize,
    wrong_severity: usize,
    loose_place: usize,
    wrong_value: usize,
    false_on_clean: usize,
    false_on_others: usize,
    remarks: usize,
}

/// Everything that was counted.
#[derive(Debug, Default)]
pub(crate) struct Table {
    counts: BTreeMap<(Kind, usize), Count>,
    clean: usize,
    faulty: usize,
    examples: BTreeMap<(Kind, &'static str), Vec<String>>,
}

impl Table {
    /// Adds a slide in all its codings.
    pub(crate) fn add(&mut self, name: &str, slide: &[Judged]) {
        let clean = slide.iter().any(|judged| judged.clean);
        self.clean += usize::from(clean);
        self.faulty += usize::from(!clean);
        for judged in slide {
            self.add_one(name, judged);
        }
    }

    fn add_one(&mut self, name: &str, judged: &Judged) {
        let column = Coding::ALL
            .iter()
            .position(|c| *c == judged.coding)
            .unwrap_or(0);
        let named = |what| format!("{name} ({what})");
        for looked in &judged.looked {
            let count = self
                .counts
                .entry((looked.planted.kind, column))
                .or_default();
            count.planted += 1;
            let mut example = |word| {
                let list = self
                    .examples
                    .entry((looked.planted.kind, word))
                    .or_default();
                list.push(named(judged.coding.name()));
            };
            match looked.outcome {
                Outcome::Hit => {
                    count.hits += 1;
                    if !looked.exact_place {
                        count.loose_place += 1;
                        example("5 place");
                    }
                    if !looked.value_right {
                        count.wrong_value += 1;
                        example("6 value");
                    }
                }
                Outcome::WrongSeverity => {
                    count.wrong_severity += 1;
                    example("2 severity");
                }
                Outcome::Miss => {
                    count.misses += 1;
                    example("1 missed");
                }
            }
        }
        for &kind in &judged.false_alarms {
            let count = self.counts.entry((kind, column)).or_default();
            let word = if judged.clean {
                count.false_on_clean += 1;
                "3 false, clean slide"
            } else {
                count.false_on_others += 1;
                "4 false, other fault"
            };
            let list = self.examples.entry((kind, word)).or_default();
            list.push(named(judged.coding.name()));
        }
        for &kind in &judged.remarks {
            self.counts.entry((kind, column)).or_default().remarks += 1;
        }
    }

    /// Prints the table, the examples, and whether the bounds hold.
    pub(crate) fn print(&self, out: &mut impl Write, every: bool) -> io::Result<bool> {
        writeln!(
            out,
            "{} clean slides, {} with planted faults, each as {}",
            self.clean,
            self.faulty,
            Coding::ALL.map(Coding::name).join(", ")
        )?;
        let columns = Coding::ALL.map(Coding::name).join(" ");
        writeln!(out, "three numbers are those of {columns}\n")?;
        writeln!(
            out,
            "{:13}{:>8}{:>13}{:>13}{:>13}{:>13}{:>13}{:>13}{:>13}{:>13}",
            "kind",
            "faults",
            "hits",
            "misses",
            "wrong grade",
            "false, clean",
            "false, other",
            "rough place",
            "wrong value",
            "remarks"
        )?;
        let mut within = true;
        for kind in Kind::ALL {
            let row: Vec<Count> = (0..Coding::ALL.len())
                .map(|column| {
                    self.counts
                        .get(&(kind, column))
                        .copied()
                        .unwrap_or_default()
                })
                .collect();
            let cell = |f: fn(&Count) -> usize| {
                let numbers: Vec<String> = row.iter().map(|count| f(count).to_string()).collect();
                format!("{:>13}", numbers.join(" "))
            };
            let holds = row.iter().all(|count| self.within(count));
            within &= holds;
            writeln!(
                out,
                "{:13}{:>8}{}{}{}{}{}{}{}{}{}",
                kind.name(),
                row[0].planted,
                cell(|c| c.hits),
                cell(|c| c.misses),
                cell(|c| c.wrong_severity),
                cell(|c| c.false_on_clean),
                cell(|c| c.false_on_others),
                cell(|c| c.loose_place),
                cell(|c| c.wrong_value),
                cell(|c| c.remarks),
                if holds { "" } else { "  over" }
            )?;
        }
        self.print_examples(out, every)?;
        self.print_over(out)?;
        writeln!(
            out,
            "\nbounds, for each kind in each coding: misses and wrong grades {MOST_MISSES_PERCENT} % of \
             the faults, false alarms {MOST_FALSE_PERCENT} % of the clean and of the other slides: {}",
            if within { "held" } else { "not held" }
        )?;
        Ok(within)
    }

    fn print_examples(&self, out: &mut impl Write, every: bool) -> io::Result<()> {
        for kind in Kind::ALL {
            for ((_, word), names) in self.examples.iter().filter(|((k, _), _)| *k == kind) {
                let shown = if every { names.len() } else { EXAMPLES };
                writeln!(out, "\n{} {} ({})", kind.name(), &word[2..], names.len())?;
                for name in names.iter().take(shown) {
                    writeln!(out, "  {name}")?;
                }
            }
        }
        Ok(())
    }

    /// Which bounds are not held, by how much, and why where that is known.
    fn print_over(&self, out: &mut impl Write) -> io::Result<()> {
        for (&(kind, column), count) in &self.counts {
            let coding = Coding::ALL[column].name();
            for (what, number, of, most_percent) in self.bounded(count) {
                if is_over(number, of, most_percent) {
                    writeln!(
                        out,
                        "\n{}: {what} {number} of {of} as {coding}, over {most_percent} %{}",
                        kind.name(),
                        known_reason(kind)
                    )?;
                }
            }
        }
        Ok(())
    }

    /// What is bounded: what it is, how often it happened, of how many, and how often it may, percent.
    fn bounded(&self, count: &Count) -> [(&'static str, usize, usize, f64); 3] {
        let missed = count.misses + count.wrong_severity;
        let (clean, others) = (count.false_on_clean, count.false_on_others);
        [
            (
                "missed or wrong grade",
                missed,
                count.planted,
                MOST_MISSES_PERCENT,
            ),
            ("false on clean", clean, self.clean, MOST_FALSE_PERCENT),
            ("false on others", others, self.faulty, MOST_FALSE_PERCENT),
        ]
    }

    /// Whether a kind in a coding is within the bounds.
    fn within(&self, count: &Count) -> bool {
        let bounded = self.bounded(count);
        !(bounded.iter()).any(|&(_, number, of, most_percent)| is_over(number, of, most_percent))
    }
}

/// Whether something happened too often.
fn is_over(number: usize, of: usize, most_percent: f64) -> bool {
    number as f64 > most_percent / 100.0 * of as f64
}

/// Why a bound is not held, as far as it is known.
fn known_reason(kind: Kind) -> &'static str {
    match kind {
        Kind::Hairline => {
            "\n  known: on slides with fewer lines than the output, a line of one pixel that lies between two of the file's\n  \
             is in the file itself two pixels wide and less strong, and nothing tells it from one that is drawn so;\n  \
             three of them measure 1.9 px, and files compressed with loss are judged from 1.85 px on, for their noise"
        }
        _ => "",
    }
}
