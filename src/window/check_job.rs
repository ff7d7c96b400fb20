//! One slide to check, and what came of it.

use std::sync::Arc;
use std::time::Instant;

use super::check_conditions::CheckConditions;
use super::deck_check::{SlideId, Ticket};
use super::load_error::{LoadError, guarded};
use super::picture_source::PictureSource;
use super::slide_in_sight::SlideInSight;
use crate::files::picture_file::{Picture, ReadError};
use crate::measure::check::slide_check::{check_placed_slide, check_slide};
use crate::measure::finding::Finding;
use crate::measure::space::zone::zones_for;
use crate::pixel::settings::Size;

/// A slide to check.
#[derive(Clone, Debug)]
pub struct CheckJob {
    /// What the result is brought with.
    pub ticket: Ticket,
    /// The slide.
    pub source: PictureSource,
    /// The same in memory; it is read where it is not there.
    pub in_sight: Option<Arc<SlideInSight>>,
    /// Under what it is checked.
    pub conditions: Arc<CheckConditions>,
    /// When it may start; none where at once.
    pub not_before: Option<Instant>,
}

/// What came of checking a slide.
#[derive(Debug)]
pub struct Checked {
    /// Which check it was.
    pub ticket: Ticket,
    /// What the slide is called in the setup.
    pub id: SlideId,
    /// Size of the output that boxes are in.
    pub output: Size,
    /// What was found, or why the slide could not be read.
    pub findings: Result<Vec<Finding>, LoadError>,
}

/// Checks a slide; reads it first where its pixels are not there. Only what was found is kept.
pub(super) fn check(
    job: CheckJob,
    read: &impl Fn(&PictureSource) -> Result<Picture, ReadError>,
) -> Checked {
    let CheckJob {
        ticket,
        source,
        in_sight,
        conditions,
        not_before: _,
    } = job;
    let cameras = conditions.cameras();
    let id = source.slide_id();
    let findings = guarded(source.paths(), || {
        let zones = zones_for(&conditions.zones, &id.file_name, id.page);
        let to_check =
            |slide, lossy| conditions.slide_to_check(slide, lossy, cameras.as_slice(), &zones);
        let check = if let Some(slide) = &in_sight {
            let check = to_check(&slide.frame, slide.lossy);
            check_placed_slide(&check, slide.placed())
        } else {
            let picture = read(&source)?;
            check_slide(&to_check(&picture.frame, picture.lossy))
        };
        Ok(check.findings)
    });
    Checked {
        ticket,
        id,
        output: conditions.output(),
        findings,
    }
}
