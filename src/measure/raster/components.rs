//! Connected components of a mask: which of its runs belong together.

use super::links::Links;
use super::pixel_box::PixelBox;
use super::runs::{Run, Runs};

/// Which pixels belong together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Neighbours {
    /// Those that share a side.
    Four,
    /// Those at most this many columns and rows apart: 1 is a side or a corner, the usual 8 neighbours.
    Within(u32),
}

impl Neighbours {
    /// Those that share a side or a corner.
    pub const EIGHT: Self = Self::Within(1);
}

/// One component.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Component {
    /// The smallest box around it.
    pub bounds: PixelBox,
    /// Its pixels.
    pub area: u64,
}

/// The components of a mask, in the order of their first pixels, row by row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Components {
    list: Vec<Component>,
    /// Of each run, its component.
    labels: Vec<u32>,
    /// Runs by component, then by row.
    ordered: Vec<Run>,
    /// Where each component's runs begin among them, and after the last their number.
    starts: Vec<usize>,
}

impl Components {
    /// Takes a mask apart.
    pub fn of(mask: &Runs, neighbours: Neighbours) -> Self {
        let mut links = Links::new(mask.as_slice().len());
        let (reach, rows) = match neighbours {
            Neighbours::Four => (0, 1),
            Neighbours::Within(reach) => (reach, reach),
        };
        let spans = spans_by_row(mask, reach);
        for (y, row) in (0..mask.size().height()).zip(&spans) {
            for above in (y.saturating_sub(rows)..y).map(|y| &spans[y as usize]) {
                link_rows(&mut links, above, row, reach);
            }
        }
        for span in spans.iter().flatten() {
            for run in span.first..span.last {
                links.join(run, run + 1);
            }
        }
        Self::collect(mask, &mut links)
    }

    /// Every component.
    pub fn list(&self) -> &[Component] {
        &self.list
    }

    /// Which component a run of the mask belongs to, by the run's place among all runs.
    pub fn label_of_run(&self, run: usize) -> usize {
        self.labels[run] as usize
    }

    /// The runs of a component, by row.
    pub fn runs_of(&self, component: usize) -> &[Run] {
        &self.ordered[self.starts[component]..self.starts[component + 1]]
    }

    fn collect(mask: &Runs, links: &mut Links) -> Self {
        let runs = mask.as_slice();
        let mut label_of_root = vec![u32::MAX; runs.len()];
        let mut labels = Vec::with_capacity(runs.len());
        let mut list: Vec<Component> = Vec::new();
        let mut counts: Vec<usize> = Vec::new();
        for (i, run) in runs.iter().enumerate() {
            let root = links.root(i);
            let (bounds, area) = (run.bounds(), u64::from(run.length()));
            if let Some(component) = list.get_mut(label_of_root[root] as usize) {
                component.bounds = component.bounds.union(bounds);
                component.area += area;
            } else {
                label_of_root[root] = u32::try_from(list.len()).unwrap_or(u32::MAX);
                list.push(Component { bounds, area });
                counts.push(0);
            }
            let label = label_of_root[root];
            counts[label as usize] += 1;
            labels.push(label);
        }
        let mut starts = vec![0];
        starts.extend(counts.iter().scan(0, |sum, count| {
            *sum += count;
            Some(*sum)
        }));
        let mut next = starts.clone();
        let mut ordered = runs.to_vec();
        for (run, &label) in runs.iter().zip(&labels) {
            ordered[next[label as usize]] = *run;
            next[label as usize] += 1;
        }
        Self {
            list,
            labels,
            ordered,
            starts,
        }
    }
}

/// Neighbouring runs of a row with less than the reach between them: as good as one when rows are linked.
#[derive(Clone, Copy, Debug)]
struct Span {
    start: u32,
    end: u32,
    first: usize,
    last: usize,
}

/// The spans of each row.
fn spans_by_row(mask: &Runs, reach: u32) -> Vec<Vec<Span>> {
    let mut index = 0;
    let mut rows = Vec::with_capacity(mask.size().height() as usize);
    for y in 0..mask.size().height() {
        let mut spans: Vec<Span> = Vec::new();
        for run in mask.row(y) {
            match spans.last_mut() {
                Some(span) if run.start < span.end + reach => {
                    span.end = run.end;
                    span.last = index;
                }
                _ => spans.push(Span {
                    start: run.start,
                    end: run.end,
                    first: index,
                    last: index,
                }),
            }
            index += 1;
        }
        rows.push(spans);
    }
    rows
}

/// Links the spans of two rows that are at most `reach` columns apart.
fn link_rows(links: &mut Links, above: &[Span], row: &[Span], reach: u32) {
    let mut first = 0;
    for span in row {
        while above
            .get(first)
            .is_some_and(|a| a.end + reach <= span.start)
        {
            first += 1;
        }
        let near = above[first..]
            .iter()
            .take_while(|a| a.start < span.end + reach);
        for a in near {
            links.join(a.first, span.first);
        }
    }
}
