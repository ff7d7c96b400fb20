//! `darken`: a light deck as one that keys, a PNG a slide.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;

use super::args::PictureArgs;
use super::deck::{DeckArgs, OpenDeck};
use super::failure::{Exit, Failure};
use super::folder::make_folder;
use super::output::{KeyJson, print_json, print_lines};
use super::setup;
use crate::files::picture_file::Picture;
use crate::files::picture_output::{PictureOutput, is_same_file};
use crate::files::setup_file::Setup;
use crate::files::slide_file::SlideSource;
use crate::measure::check::slide_check::{SlideCheck, SlideToCheck, check_slide};
use crate::measure::dark_slide::darken::{Change, DarkSlide, SlideToDarken, darken};
use crate::measure::dark_slide::palette::palette;
use crate::measure::finding::{Finding, Kind, Severity, Verdict};
use crate::pixel::frame::Frame;
use crate::pixel::placement::output_size;
use crate::pixel::settings::Size;
use crate::report::before_after::{BeforeAfter, before_after_sheet, small};
use crate::report::palette_sheet::palette_sheet;
use crate::report::words::{box_words, count_words, place_words};

/// Turn a light deck into a dark one that keys
#[derive(Debug, Args)]
pub(super) struct DarkenArgs {
    #[command(flatten)]
    deck: DeckArgs,
    /// Folder for the dark slides, a PNG each under the slide's name; it is made if it is not there
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Put a plate of the darkest solid grey behind photographs
    #[arg(long)]
    plate: bool,
    /// Also write a sheet with every slide before and after: .png, .jpg, .webp or .tiff
    #[arg(long, value_name = "FILE")]
    sheet: Option<PathBuf>,
    /// Also write a sheet of colours that stay solid under the key: .png, .jpg, .webp or .tiff
    #[arg(long, value_name = "FILE")]
    palette: Option<PathBuf>,
    /// Say what was done as one JSON document
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    picture: PictureArgs,
}

/// What `--json` prints.
#[derive(Debug, Serialize)]
struct DarkenJson<'a> {
    schema: u32,
    output: [u32; 2],
    key: KeyJson,
    slides: Vec<SlideJson<'a>>,
}

#[derive(Debug, Serialize)]
struct SlideJson<'a> {
    slide: String,
    page: Option<u32>,
    change: Change,
    photographs: usize,
    verdict: Verdict,
    findings: &'a [Finding],
    out: std::borrow::Cow<'a, str>,
    replaced: bool,
}

/// A slide that was written.
struct Written<'a> {
    slide: SlideSource,
    path: &'a Path,
    change: Change,
    photographs: usize,
    left: SlideCheck,
    replaced: bool,
    thumbnails: Option<BeforeAfter>,
}

/// Runs the command.
pub(super) fn run(args: &DarkenArgs) -> Result<Exit, Failure> {
    let setup = setup::load(&args.picture)?.setup;
    let deck = args.deck.open(&setup)?;
    make_folder(&args.out)?;
    let paths = output_paths(&deck, &args.out)?;
    refuse_same_name(
        paths.values(),
        [args.sheet.as_deref(), args.palette.as_deref()],
    )?;
    let inputs: Vec<&Path> = deck.slides.iter().map(|s| s.path.as_path()).collect();
    let sheet = match &args.sheet {
        Some(path) => Some(PictureOutput::create(path, &inputs)?),
        None => None,
    };
    if let Some(path) = &args.palette {
        let output = PictureOutput::create(path, &inputs)?;
        if let Some(frame) = palette_sheet(&palette(&setup.settings)) {
            output.write(&frame)?;
        }
    }
    let done = deck.work_through(|slide, picture| {
        let replaced = paths[slide].exists();
        let output = PictureOutput::create(&paths[slide], &inputs)?;
        let dark = turned(&setup, &picture, args.plate)?;
        output.write(&dark.frame)?;
        Ok(Written {
            slide: slide.clone(),
            path: &paths[slide],
            change: dark.change,
            photographs: dark.photographs.len(),
            left: checked(&setup, &dark.frame),
            replaced,
            thumbnails: sheet.as_ref().map(|_| BeforeAfter {
                name: slide.to_string().trim_start_matches("./").to_owned(),
                before: small(&picture.frame),
                after: small(&dark.frame),
            }),
        })
    });
    let incomplete = deck.incomplete || done.iter().any(Option::is_none);
    let mut written: Vec<Written<'_>> = done.into_iter().flatten().collect();
    if let Some(sheet) = sheet {
        let rows: Vec<BeforeAfter> = written
            .iter_mut()
            .filter_map(|slide| slide.thumbnails.take())
            .collect();
        if let Some(frame) = before_after_sheet(&rows) {
            sheet.write(&frame)?;
        }
    }
    let output = output_size(&setup.settings.placement, None);
    if args.json {
        print_json(&DarkenJson {
            schema: 1,
            output: [output.width(), output.height()],
            key: setup.settings.key.into(),
            slides: written.iter().map(slide_json).collect(),
        })?;
    } else {
        print_lines(&summary(&written, args, output))?;
    }
    Ok(if incomplete {
        Exit::Incomplete
    } else {
        Exit::Clean
    })
}

/// Sheet and palette are pictures of their own: neither is one of the dark slides, nor the other.
fn refuse_same_name<'a>(
    slides: impl Iterator<Item = &'a PathBuf>,
    others: [Option<&Path>; 2],
) -> Result<(), Failure> {
    let whole = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let mut taken: Vec<PathBuf> = slides.map(|path| whole(path)).collect();
    for path in others.into_iter().flatten() {
        if taken.contains(&whole(path)) {
            return Err(Failure::with_hint(
                anyhow::anyhow!(
                    "expected a file of its own, got one that is written already: `{}`",
                    path.display()
                ),
                Some("give `--sheet` and `--palette` names that no slide has".to_owned()),
            ));
        }
        taken.push(whole(path));
    }
    Ok(())
}

/// Where each slide goes: its own name with .png, and the page where its file has several.
fn output_paths(deck: &OpenDeck, folder: &Path) -> Result<HashMap<SlideSource, PathBuf>, Failure> {
    let mut taken: HashMap<PathBuf, &SlideSource> = HashMap::new();
    let mut paths = HashMap::new();
    for slide in &deck.slides {
        let stem = slide.path.file_stem().unwrap_or(slide.path.as_os_str());
        let mut name = stem.to_os_string();
        if let Some(page) = slide.page {
            name.push(format!("_{page:03}"));
        }
        name.push(".png");
        let path = folder.join(name);
        if let Some(input) = deck.slides.iter().find(|s| is_same_file(&path, &s.path)) {
            return Err(Failure::with_hint(
                anyhow::anyhow!(
                    "expected a folder other than the slides' own, got `{}`, where `{input}` would be replaced",
                    folder.display()
                ),
                Some("name another folder, such as `--out dark`; nothing was written".to_owned()),
            ));
        }
        if let Some(other) = taken.insert(path.clone(), slide) {
            if is_same_file(&other.path, &slide.path) {
                return Err(Failure::with_hint(
                    anyhow::anyhow!("expected each slide once, got `{other}` twice"),
                    Some("name it once; nothing was written".to_owned()),
                ));
            }
            return Err(Failure::with_hint(
                anyhow::anyhow!(
                    "expected slides of different names, got `{other}` and `{slide}`, \
                     which would both become `{}`",
                    path.display()
                ),
                Some("rename one, or turn them in two goes; nothing was written".to_owned()),
            ));
        }
        paths.insert(slide.clone(), path);
    }
    Ok(paths)
}

fn turned(setup: &Setup, picture: &Picture, plate: bool) -> Result<DarkSlide, Failure> {
    darken(&SlideToDarken {
        slide: &picture.frame,
        lossy: picture.lossy,
        settings: &setup.settings,
        limits: &setup.limits,
        plate,
    })
    .map_err(Failure::plain)
}

/// What a check still finds on the dark slide, without a camera.
fn checked(setup: &Setup, dark: &Frame) -> SlideCheck {
    check_slide(&SlideToCheck {
        slide: dark,
        lossy: false,
        cameras: &[],
        settings: &setup.settings,
        limits: &setup.limits,
        reserved: &setup.reserved,
        zones: &[],
    })
}

fn slide_json<'a>(written: &'a Written<'_>) -> SlideJson<'a> {
    SlideJson {
        slide: written.slide.path.to_string_lossy().into_owned(),
        page: written.slide.page,
        change: written.change,
        photographs: written.photographs,
        verdict: Verdict::of(&written.left.findings),
        findings: &written.left.findings,
        out: written.path.to_string_lossy(),
        replaced: written.replaced,
    }
}

/// What was done, a line or two a slide, then all together.
fn summary(written: &[Written<'_>], args: &DarkenArgs, output: Size) -> String {
    let mut text = String::new();
    for slide in written {
        let photographs = match (slide.change, slide.photographs) {
            (Change::Photograph | Change::LeftAlone | Change::LeftWithPicture, _) | (_, 0) => {
                String::new()
            }
            (_, count) => format!(", {} on it kept", count_words(count, "photograph")),
        };
        text.push_str(&format!(
            "{} -> {}\n  {}{photographs}\n",
            slide.slide,
            slide.path.display(),
            slide.change.words(),
        ));
        for (kind, findings) in by_kind(&slide.left.findings) {
            text.push_str(&format!("  still to look at: {}", kind.name()));
            if let Some(first) = findings.first() {
                text.push_str(&format!(", {}", place_words(first.bounds, output)));
                if let Some(numbers) = box_words(first.bounds) {
                    text.push_str(&format!(", {numbers}"));
                }
            }
            if let more @ 1.. = findings.len() - 1 {
                text.push_str(&format!(", and {}", count_words(more, "more place")));
            }
            text.push('\n');
        }
    }
    let count = |change| written.iter().filter(|s| s.change == change).count();
    let done = [
        (count(Change::Reversed), "turned dark"),
        (count(Change::Blackened), "made black behind"),
        (count(Change::Photograph), "kept, a photograph all over"),
        (
            count(Change::LeftAlone) + count(Change::LeftWithPicture),
            "left as before",
        ),
    ];
    let done: Vec<String> = done
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, what)| format!("{count} {what}"))
        .collect();
    let folder = args.out.display();
    text.push_str(&match written.len() {
        0 => {
            format!("\nno slide written into {folder}: what was in the way of each is said above\n")
        }
        count => {
            let (slides, done) = (count_words(count, "slide"), done.join(", "));
            format!("\n{slides} written into {folder}: {done}\n")
        }
    });
    let replaced = written.iter().filter(|slide| slide.replaced).count();
    if replaced > 0 {
        text.push_str(&format!(
            "replaced {} that had the same name\n",
            count_words(replaced, "picture")
        ));
    }
    if written
        .iter()
        .any(|slide| Verdict::of(&slide.left.findings) != Verdict::Pass)
    {
        text.push_str(&format!(
            "what to do about what is still to look at: nightglass check {}\n",
            args.out.display()
        ));
    }
    if let Some(sheet) = &args.sheet {
        text.push_str(&format!("before and after: {}\n", sheet.display()));
    }
    if let Some(palette) = &args.palette {
        text.push_str(&format!("colours: {}\n", palette.display()));
    }
    text
}

/// Findings worth a warning, by kind.
fn by_kind(findings: &[Finding]) -> Vec<(Kind, Vec<&Finding>)> {
    let worth: Vec<&Finding> = findings
        .iter()
        .filter(|finding| finding.severity > Severity::Info)
        .collect();
    let groups = worth.chunk_by(|a, b| a.kind == b.kind);
    groups
        .filter_map(|group| Some((group.first()?.kind, group.to_vec())))
        .collect()
}
