//! `calibrate`: what a capture of the test chart tells of the chain, and of the key.

use std::path::{Path, PathBuf};

use clap::Args;

use super::calibrate_keyed::{self, KnobPair, knob_pair};
use super::calibrate_report::{ChainReport, chain_text};
use super::failure::{Exit, Failure};
use super::keyed_report::KeyedReport;
use super::output::{note, print, print_json, print_schema};
use crate::files::jpeg_grid::read_jpeg_grid;
use crate::files::picture_file::read_picture;
use crate::files::setup_file::{SETUP_FILE_NAME, Setup};
use crate::measure::finding::Severity;
use crate::measure::test_chart::calibration::Calibration;
use crate::measure::test_chart::chain_finding::chain_findings;
use crate::measure::test_chart::chart_reading_error::ChartReadingError;
use crate::measure::test_chart::jpeg_noise::JpegGrid;
use crate::pixel::frame::Frame;

/// Measure the video chain from a capture of the test chart
#[derive(Debug, Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own")]
pub(super) struct CalibrateArgs {
    /// The chart as mixer or recorder captured it; with `--keyed` one or more
    #[arg(value_name = "CAPTURE", required_unless_present = "schema")]
    captures: Vec<PathBuf>,
    /// Measure the mixer's key instead: the captures are the chart, keyed over flat grey
    #[arg(long)]
    keyed: bool,
    /// Level of the grey behind the key, percent of white
    #[arg(long, value_name = "PERCENT", requires = "keyed", value_parser = super::args::percent_value)]
    over: Option<f64>,
    /// What the mixer's threshold and softness knobs said, one pair a capture
    #[arg(
        long,
        value_name = "T/S,T/S",
        requires = "keyed",
        value_delimiter = ',',
        value_parser = knob_pair
    )]
    knobs: Vec<KnobPair>,
    /// Setup file to write the result into; else the nightglass.toml in the current folder
    #[arg(long, value_name = "SETUP")]
    write: Option<PathBuf>,
    /// Only report; write no setup
    #[arg(long, conflicts_with = "write")]
    report_only: bool,
    /// Print the result as one JSON document
    #[arg(long)]
    json: bool,
    /// Print the JSON Schema of that document, with `--keyed` of the key's, and measure nothing
    #[arg(long)]
    schema: bool,
}

impl From<ChartReadingError> for Failure {
    fn from(error: ChartReadingError) -> Self {
        let hint = error.hint();
        Self::with_hint(error, hint)
    }
}

/// A capture that was read.
pub(super) struct ReadCapture {
    pub(super) frame: Frame,
    pub(super) jpeg: Option<JpegGrid>,
}

/// Reads a capture and passes its warnings on.
pub(super) fn read_capture(path: &Path) -> Result<ReadCapture, Failure> {
    let picture = read_picture(path)
        .map_err(|error| Failure::from(error).context("cannot read the capture"))?;
    for warning in picture.warnings {
        note(&format!("warning: {warning}"));
    }
    Ok(ReadCapture {
        jpeg: read_jpeg_grid(path, picture.frame.size()),
        frame: picture.frame,
    })
}

/// Runs the command.
pub(super) fn run(args: &CalibrateArgs) -> Result<Exit, Failure> {
    if args.schema {
        if args.keyed {
            print_schema::<KeyedReport>("nightglass calibrate --keyed")?;
        } else {
            print_schema::<ChainReport<'_>>("nightglass calibrate")?;
        }
        return Ok(Exit::Clean);
    }
    match args.over {
        Some(over_percent) => run_keyed(args, over_percent),
        None if args.keyed => Err(Failure::with_hint(
            anyhow::anyhow!("expected `--over PERCENT` with `--keyed`, got none"),
            Some("say how bright the grey behind the key was, such as `--over 50`".to_owned()),
        )),
        None => run_chain(args),
    }
}

/// Measures the key and, with knob positions, the scale of the knobs.
fn run_keyed(args: &CalibrateArgs, over_percent: f64) -> Result<Exit, Failure> {
    args.try_setup_path()?;
    let path = args.setup_path();
    let chain = if path.exists() {
        Setup::read(&path)?.settings.chain
    } else {
        None
    };
    let mut found = calibrate_keyed::measure(&args.captures, over_percent, &args.knobs, chain)?;
    if let Some(knobs) = found.knobs
        && !found.is_uncertain
    {
        let written = args
            .save(|setup| setup.knobs = Some(calibrate_keyed::knobs_beside(knobs, setup.knobs)))?;
        found.report.written = written.map(|path| path.to_string_lossy().into_owned());
    }
    if args.json {
        print_json(&found.report)?;
    } else {
        print(&found.report.text())?;
    }
    Ok(if found.is_uncertain {
        Exit::Found
    } else {
        Exit::Clean
    })
}

/// Measures the chain.
fn run_chain(args: &CalibrateArgs) -> Result<Exit, Failure> {
    let [capture] = args.captures.as_slice() else {
        return Err(Failure::with_hint(
            anyhow::anyhow!("expected one capture, got {}", args.captures.len()),
            Some("measure one after the other".to_owned()),
        ));
    };
    args.try_setup_path()?;
    let read = read_capture(capture)?;
    let found = Calibration::measure(&read.frame, read.jpeg.as_ref()).map_err(|error| {
        Failure::from(error).context(format!("cannot use `{}`", capture.display()))
    })?;
    let findings = chain_findings(&found);
    let chain = found.chain()?;
    let written = args.save(|setup| setup.settings.chain = Some(chain))?;
    let report = ChainReport::new(capture, &read.frame, &found, &findings, written.as_deref());
    if args.json {
        print_json(&report)?;
    } else {
        print(&chain_text(&report, &found))?;
    }
    let is_fine = findings
        .iter()
        .all(|finding| finding.severity == Severity::Info);
    Ok(if is_fine { Exit::Clean } else { Exit::Found })
}

impl CalibrateArgs {
    /// The setup that the result belongs to.
    fn setup_path(&self) -> PathBuf {
        let named = self.write.clone();
        named.unwrap_or_else(|| PathBuf::from(SETUP_FILE_NAME))
    }

    /// Whether the result can be written where it is wanted, asked before the slow work.
    fn try_setup_path(&self) -> Result<(), Failure> {
        if self.report_only {
            return Ok(());
        }
        let path = self.setup_path();
        Setup::read_or_default(&path)?;
        Ok(Setup::try_path(&path)?)
    }

    /// Changes the setup file, unless only a report is wanted; says which it was.
    fn save(&self, change: impl FnOnce(&mut Setup)) -> Result<Option<PathBuf>, Failure> {
        if self.report_only {
            return Ok(None);
        }
        let path = self.setup_path();
        let mut setup = Setup::read_or_default(&path)?;
        change(&mut setup);
        setup.save(&path)?;
        Ok(Some(path))
    }
}
