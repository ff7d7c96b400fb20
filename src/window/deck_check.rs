//! What is known about each slide of the deck: its findings, how old they are, which one is selected.
//! Does no checking; `checks` has it done.

use crate::measure::accepted::Accepted;
use crate::measure::finding::{Finding, Severity};
use crate::pixel::settings::Size;
use crate::report::check_document::SlideVerdict;

/// Most findings that are kept of a slide. Source: chosen; nobody reads more, and memory stays
/// bounded in a deck of any length.
const MAX_FINDINGS: usize = 200;

/// What a slide is called in the setup, so that accepted findings find it again.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SlideId {
    /// The file's name without folders.
    pub file_name: String,
    /// The page, from 1, of a slide that is one of many in its file.
    pub page: Option<u32>,
}

/// What came of checking a slide.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// What was found.
    Checked(Vec<Finding>),
    /// Why it could not be read.
    Unreadable(String),
}

/// What is known about a slide at a glance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SlideMark {
    /// Nothing, or only what is worth knowing.
    Pass,
    /// Nothing beside what was accepted, which stays in the list.
    Accepted,
    /// Something that viewers will notice.
    Warn,
    /// Something that spoils the take.
    Fail,
    /// Not checked yet.
    Unchecked,
    /// It cannot be read.
    Unreadable,
}

impl SlideMark {
    /// All, in the order of the summary.
    pub const ALL: [Self; 6] = [
        Self::Pass,
        Self::Accepted,
        Self::Warn,
        Self::Fail,
        Self::Unchecked,
        Self::Unreadable,
    ];

    /// The word for it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pass => SlideVerdict::Pass.name(),
            Self::Accepted => SlideVerdict::Accepted.name(),
            Self::Warn => SlideVerdict::Warn.name(),
            Self::Fail => SlideVerdict::Fail.name(),
            Self::Unchecked => "not checked yet",
            Self::Unreadable => "unreadable",
        }
    }
}

/// Which check a result belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ticket {
    /// The slide.
    pub index: usize,
    deck: u64,
    conditions: u64,
    revision: u64,
}

/// A finding of the slide shown, as the list has it.
#[derive(Clone, Copy, Debug)]
pub struct Listed<'a> {
    /// Its number in the list and in the picture, from 1.
    pub number: usize,
    /// What was found.
    pub finding: &'a Finding,
    /// Whether it was accepted, so that it counts no more.
    pub accepted: bool,
}

/// A slide with what is known about it.
#[derive(Clone, Debug, Default)]
struct CheckedSlide {
    id: SlideId,
    output: Option<Size>,
    outcome: Option<Outcome>,
    checked_for: Option<[u64; 2]>,
    revision: u64,
}

/// The deck with what is known about its slides.
#[derive(Clone, Debug, Default)]
pub struct DeckCheck {
    deck: u64,
    conditions: u64,
    slides: Vec<CheckedSlide>,
    selected: Option<usize>,
}

impl DeckCheck {
    /// Another deck, of which nothing is known yet.
    pub fn start(&mut self, slides: usize) {
        self.deck += 1;
        self.selected = None;
        self.slides = vec![CheckedSlide::default(); slides];
    }

    /// Keeps what another deck knew about slides; `before` is where each slide was in it.
    pub fn keep(&mut self, other: &Self, before: &[Option<usize>]) {
        for (slide, place) in self.slides.iter_mut().zip(before) {
            if let Some(known) = place.and_then(|place| other.slides.get(place)) {
                slide.clone_from(known);
            }
        }
    }

    /// Key, camera or limits changed: what is known is old from now on.
    pub fn outdate(&mut self) {
        self.conditions += 1;
    }

    /// The file of a slide changed: what is known about it is old from now on.
    pub fn outdate_slide(&mut self, index: usize) {
        if let Some(slide) = self.slides.get_mut(index) {
            slide.revision += 1;
        }
    }

    /// What a check of this slide that starts now brings its result with.
    pub fn ticket(&self, index: usize) -> Option<Ticket> {
        let slide = self.slides.get(index)?;
        Some(Ticket {
            index,
            deck: self.deck,
            conditions: self.conditions,
            revision: slide.revision,
        })
    }

    /// Whether what is known about a slide is missing or old.
    pub fn needs_check(&self, index: usize) -> bool {
        self.slides
            .get(index)
            .is_some_and(|slide| slide.checked_for != Some([self.conditions, slide.revision]))
    }

    /// Takes a result, unless there is a newer one or the deck is another by now.
    pub fn put(
        &mut self,
        ticket: Ticket,
        id: SlideId,
        output: Size,
        outcome: Outcome,
        shown: usize,
    ) {
        if ticket.deck != self.deck {
            return;
        }
        let selected = self.selected_finding(shown).cloned();
        let Some(slide) = self.slides.get_mut(ticket.index) else {
            return;
        };
        let checked_for = [ticket.conditions, ticket.revision];
        if slide.checked_for.is_some_and(|known| known > checked_for) {
            return;
        }
        *slide = CheckedSlide {
            id,
            output: Some(output),
            outcome: Some(listed(outcome)),
            checked_for: Some(checked_for),
            revision: slide.revision,
        };
        if ticket.index == shown {
            // The same finding stays selected while the key is dragged and its box changes a little.
            self.selected = selected.and_then(|finding| self.find_again(shown, &finding));
        }
    }

    fn find_again(&self, index: usize, finding: &Finding) -> Option<usize> {
        let slide = self.slides.get(index)?;
        let same = Accepted::new("", None, finding, slide.output?);
        let is_same =
            |other: &Finding| same.covers("", None, other, slide.output.unwrap_or(Size::HD));
        self.findings(index).iter().position(is_same)
    }

    /// What was found on a slide, in the order of the list.
    fn findings(&self, index: usize) -> &[Finding] {
        match self.slides.get(index).map(|slide| &slide.outcome) {
            Some(Some(Outcome::Checked(findings))) => findings,
            _ => &[],
        }
    }

    /// The list of a slide: the worst first, then from top to bottom; what was accepted stays in it.
    pub fn list<'a>(
        &'a self,
        index: usize,
        accepted: &'a [Accepted],
    ) -> impl Iterator<Item = Listed<'a>> {
        let findings = self.findings(index).iter().enumerate();
        findings.map(move |(place, finding)| Listed {
            number: place + 1,
            finding,
            accepted: self.is_accepted(index, finding, accepted),
        })
    }

    fn is_accepted(&self, index: usize, finding: &Finding, accepted: &[Accepted]) -> bool {
        let Some(CheckedSlide {
            id,
            output: Some(output),
            ..
        }) = self.slides.get(index)
        else {
            return false;
        };
        accepted
            .iter()
            .any(|one| one.covers(&id.file_name, id.page, finding, *output))
    }

    /// What is known about a slide at a glance.
    pub fn mark(&self, index: usize, accepted: &[Accepted]) -> SlideMark {
        match self.slides.get(index).map(|slide| &slide.outcome) {
            None | Some(None) => SlideMark::Unchecked,
            Some(Some(Outcome::Unreadable(_))) => SlideMark::Unreadable,
            Some(Some(Outcome::Checked(_))) => {
                let (mut worst, mut quiet) = (None, false);
                for listed in self.list(index, accepted) {
                    quiet |= listed.accepted;
                    if !listed.accepted {
                        worst = worst.max(Some(listed.finding.severity));
                    }
                }
                match worst {
                    None | Some(Severity::Info) if quiet => SlideMark::Accepted,
                    None | Some(Severity::Info) => SlideMark::Pass,
                    Some(Severity::Warn) => SlideMark::Warn,
                    Some(Severity::Fail) => SlideMark::Fail,
                }
            }
        }
    }

    /// Why a slide could not be read.
    pub fn unreadable(&self, index: usize) -> Option<&str> {
        match &self.slides.get(index)?.outcome {
            Some(Outcome::Unreadable(why)) => Some(why),
            _ => None,
        }
    }

    /// Whether what is shown about a slide is from before the last change.
    pub fn is_old(&self, index: usize) -> bool {
        let is_known = |slide: &CheckedSlide| slide.outcome.is_some();
        self.slides.get(index).is_some_and(is_known) && self.needs_check(index)
    }

    /// How many slides have each mark, in the order of [`SlideMark::ALL`].
    pub fn summary(&self, accepted: &[Accepted]) -> [usize; 6] {
        let mut counts = [0; 6];
        for index in 0..self.slides.len() {
            counts[self.mark(index, accepted) as usize] += 1;
        }
        counts
    }

    /// The next slide after `from`, round the end, with a finding that was not accepted.
    pub fn next_slide_with_finding(&self, from: usize, accepted: &[Accepted]) -> Option<usize> {
        let count = self.slides.len();
        let has_open = |index: &usize| self.list(*index, accepted).any(|listed| !listed.accepted);
        (1..=count).map(|step| (from + step) % count).find(has_open)
    }

    /// Place in the list of the selected finding of the slide shown.
    pub fn selected(&self) -> Option<usize> {
        self.selected
    }

    /// Selects a finding of the slide shown by its place in the list, or none.
    pub fn select(&mut self, place: Option<usize>) {
        self.selected = place;
    }

    /// The selected finding of the slide shown.
    pub fn selected_finding(&self, shown: usize) -> Option<&Finding> {
        self.findings(shown).get(self.selected?)
    }

    /// What accepting a finding of a slide puts into the setup.
    pub fn to_accept(&self, index: usize, finding: &Finding) -> Option<Accepted> {
        let CheckedSlide { id, output, .. } = self.slides.get(index)?;
        Some(Accepted::new(&id.file_name, id.page, finding, (*output)?))
    }

    /// What a slide is called in the setup, once that is known.
    pub fn id(&self, index: usize) -> Option<&SlideId> {
        self.slides.get(index).map(|slide| &slide.id)
    }

    /// What the slides are called in the setup, in order.
    pub fn name_slides(&mut self, ids: impl IntoIterator<Item = SlideId>) {
        for (slide, id) in self.slides.iter_mut().zip(ids) {
            slide.id = id;
        }
    }

    /// Whether something accepted is about this finding of a slide.
    pub fn covers(&self, index: usize, finding: &Finding, one: &Accepted) -> bool {
        self.is_accepted(index, finding, std::slice::from_ref(one))
    }
}

/// Findings in the order of the list, not too many.
fn listed(outcome: Outcome) -> Outcome {
    let Outcome::Checked(mut findings) = outcome else {
        return outcome;
    };
    let place = |finding: &Finding| finding.bounds.map(|bounds| (bounds.y, bounds.x));
    findings.sort_by(|a, b| {
        let worst_first = b.severity.cmp(&a.severity);
        worst_first.then_with(|| place(a).cmp(&place(b)))
    });
    findings.truncate(MAX_FINDINGS);
    Outcome::Checked(findings)
}
