//! A deck on the command line: which slides, and working through them.

use std::path::PathBuf;

use clap::Args;
use rayon::prelude::*;

use super::failure::{Failure, report};
use super::output::note;
use super::progress::Progress;
use crate::files::deck::{Deck, DeckError, documents_left_out};
use crate::files::documents::Documents;
use crate::files::pages::Pages;
use crate::files::picture_file::Picture;
use crate::files::setup_file::Setup;
use crate::files::slide_file::{SlideReader, SlideSource};
use crate::pixel::settings::{Placement, Size};

/// The slides that a command works on.
#[derive(Clone, Debug, Default, Args)]
pub(super) struct DeckArgs {
    /// Pictures, folders of pictures, PDF, .pptx and .odp files, in order; else the setup's
    #[arg(value_name = "SLIDES")]
    pub slides: Vec<PathBuf>,
    /// Pages of files that have pages, such as 3-7,9 [default: all]
    #[arg(long, value_name = "LIST", display_order = 100)]
    pub pages: Option<Pages>,
}

/// A deck that was opened. What gave no slide has been reported.
#[derive(Debug)]
pub(super) struct OpenDeck {
    /// The slides in order, at least one.
    pub slides: Vec<SlideSource>,
    /// Whether something that was asked for gave no slide.
    pub incomplete: bool,
    /// Why it gave none, in words.
    pub problems: Vec<String>,
    reader: SlideReader,
    documents: Documents,
    placement: Placement,
}

impl DeckArgs {
    /// What was named: files and folders, the setup's where none are.
    pub(super) fn paths<'a>(&'a self, setup: &'a Setup) -> &'a [PathBuf] {
        if self.slides.is_empty() {
            &setup.slides
        } else {
            &self.slides
        }
    }

    /// Finds the slides, the setup's where none are named; a failure where there is none at all.
    pub(super) fn open(&self, setup: &Setup) -> Result<OpenDeck, Failure> {
        let paths = self.paths(setup);
        // The setup's pages are pages of the setup's slides.
        let pages_of_setup = setup.pages.as_ref().filter(|_| self.slides.is_empty());
        let pages = self.pages.as_ref().or(pages_of_setup);
        if paths.is_empty() {
            return Err(Failure::with_hint(
                anyhow::anyhow!("expected slides, got none"),
                Some(
                    "name files or folders of slides, or set `slides` in the setup file".to_owned(),
                ),
            ));
        }
        let of_setup = |problem| Failure::from(problem).of_setup("slides", self.slides.is_empty());
        let documents = Documents::default();
        let mut deck = Deck::open_with(paths, &documents);
        if let Some(pages) = pages {
            deck.pick(pages);
        }
        let nothing_picked =
            |problem: &DeckError| matches!(problem, DeckError::NothingHasPages { .. });
        let is_for_nothing = deck.slides.is_empty() || deck.problems.iter().any(nothing_picked);
        if is_for_nothing && let Some(last) = deck.problems.pop() {
            for problem in deck.problems {
                report(&of_setup(problem));
            }
            return Err(of_setup(last));
        }
        // Of a folder without pictures that is an error of its own.
        let is_told = |path: &&PathBuf| {
            !deck.problems.iter().any(|problem| {
                matches!(problem, DeckError::EmptyFolder { path: folder, .. } if path.starts_with(folder))
            })
        };
        for document in documents_left_out(paths).iter().filter(is_told) {
            note(&format!(
                "`{}` is left out: a folder stands for its pictures; name the file too to have its pages",
                document.display()
            ));
        }
        let mut problems = Vec::new();
        for problem in deck.problems {
            let failure = of_setup(problem);
            report(&failure);
            problems.push(failure.words());
        }
        Ok(OpenDeck {
            slides: deck.slides,
            incomplete: !problems.is_empty(),
            problems,
            reader: SlideReader::new(&setup.settings.placement, None)
                .with_documents(documents.clone()),
            documents,
            placement: setup.settings.placement,
        })
    }
}

impl OpenDeck {
    /// Draws pages for the output that a camera of this size makes; without this, for the setup's own.
    pub(super) fn set_camera(&mut self, camera: Option<Size>) {
        self.reader =
            SlideReader::new(&self.placement, camera).with_documents(self.documents.clone());
    }

    /// Reads every slide and hands it to `work`, on all cores, one slide a core in memory.
    ///
    /// The results are in the order of the slides; none where a slide could not be read or worked on,
    /// which has been reported then.
    pub(super) fn work_through<T: Send>(
        &self,
        work: impl Fn(&SlideSource, Picture) -> Result<T, Failure> + Sync,
    ) -> Vec<Option<T>> {
        let results = self.results_of(work).into_iter();
        results.map(Result::ok).collect()
    }

    /// The same, with words for what went wrong, which has been reported then.
    pub(super) fn results_of<T: Send>(
        &self,
        work: impl Fn(&SlideSource, Picture) -> Result<T, Failure> + Sync,
    ) -> Vec<Result<T, String>> {
        let progress = Progress::new(self.slides.len(), "slides");
        let done: Vec<Result<T, (&SlideSource, Failure)>> = self
            .slides
            .par_iter()
            .map(|slide| {
                let read = self.reader.read(slide).map_err(Failure::from);
                let worked = read.and_then(|picture| work(slide, picture));
                progress.step();
                worked.map_err(|failure| (slide, failure))
            })
            .collect();
        drop(progress);
        done.into_iter()
            .map(|result| {
                result.map_err(|(slide, failure)| {
                    let words = failure.words();
                    report(&failure.context(format!("cannot use the slide `{slide}`")));
                    words
                })
            })
            .collect()
    }
}
