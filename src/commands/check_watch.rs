//! `check --watch`: stays, and checks again whatever changes on disk.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::mpsc;

use super::check::{CheckArgs, Results, check_deck, document_of};
use super::check_job::{CheckJob, SlideResult};
use super::failure::{Exit, Failure, report};
use super::output::{columns, note, try_print_styled};
use crate::files::setup_file::SETUP_FILE_NAME;
use crate::files::slide_file::SlideSource;
use crate::files::watch::Watcher;
use crate::report::check_page::check_page;
use crate::report::check_table::{check_table, slide_lines, summary_line};

/// What was found so far, by slide.
type Known = BTreeMap<SlideSource, SlideResult>;

/// Runs the command until it is interrupted.
pub(super) fn run(args: &CheckArgs) -> Result<Exit, Failure> {
    let loaded = args.load()?;
    let cameras = args.camera_paths(&loaded.setup);
    let setup_path = loaded.path.unwrap_or_else(|| SETUP_FILE_NAME.into());
    let mut followed = args.deck.paths(&loaded.setup).to_vec();
    followed.extend(cameras.iter().cloned());
    followed.push(setup_path.clone());
    let (tell, told) = mpsc::channel();
    // Followed before the first look, so that nothing is missed.
    let _watcher = Watcher::start(followed, move |paths| {
        // Nobody listens any more once the command ends.
        tell.send(paths).ok();
    })?;
    let for_all = |path: &PathBuf| *path == setup_path || cameras.contains(path);
    let mut known = Known::new();
    round(args, &[], &mut known)?;
    note("watching for changes; Ctrl C ends it");
    for changed in told {
        if changed.iter().any(for_all) {
            known.clear();
        }
        match round(args, &changed, &mut known) {
            Err(failure) if failure.is_broken_pipe() => return Err(failure),
            Err(failure) => report(&failure),
            Ok(()) => {}
        }
    }
    Ok(Exit::Clean)
}

/// Checks what changed and what is new, and prints it; everything where nothing is known yet.
fn round(args: &CheckArgs, changed: &[PathBuf], known: &mut Known) -> Result<(), Failure> {
    let loaded = args.load()?;
    let mut deck = args.deck.open(&loaded.setup)?;
    let page = args.open_report(&loaded, &deck)?;
    let job: CheckJob = args.open_job(loaded)?;
    deck.set_camera(job.camera_size());
    let is_first = known.is_empty();
    if is_first {
        for words in job.cameras_in_words() {
            note(&words);
        }
    }
    let all = deck.slides.clone();
    known.retain(|source, _| all.contains(source) && !changed.contains(&source.path));
    deck.slides.retain(|source| !known.contains_key(source));
    let fresh = check_deck(&job, &deck);
    let fresh_sources: Vec<SlideSource> = deck.slides.clone();
    let mut failed: BTreeMap<SlideSource, String> = BTreeMap::new();
    for (source, result) in fresh {
        match result {
            Ok(result) => {
                known.insert(source, result);
            }
            Err(error) => {
                failed.insert(source, error);
            }
        }
    }
    let results: Results = all
        .into_iter()
        .filter_map(|source| {
            let result = match (known.get(&source), failed.remove(&source)) {
                (Some(result), _) => Ok(result.clone()),
                (None, Some(error)) => Err(error),
                (None, None) => return None,
            };
            Some((source, result))
        })
        .collect();
    let (document, pictures) = document_of(&job, &deck, results);
    if let Some(page) = page {
        page.write(&check_page(&document, &pictures))?;
    }
    if is_first {
        return Ok(try_print_styled(&check_table(&document, columns()))?);
    }
    let mut text = String::new();
    for result in fresh_sources.iter().filter_map(|source| known.get(source)) {
        text.push_str(&slide_lines(&result.slide, job.output(), &[], columns()));
    }
    text.push_str(&summary_line(&document, columns()));
    Ok(try_print_styled(&text)?)
}
