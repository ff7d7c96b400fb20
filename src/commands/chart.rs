//! `chart`: the test chart as a picture or a page.

use std::path::PathBuf;

use clap::Args;

use super::failure::{Exit, Failure};
use super::output::print_lines;
use crate::files::picture_output::{PictureOutput, WriteError};
use crate::files::picture_pdf::write_picture_pdf;
use crate::measure::test_chart::chart::Chart;
use crate::measure::test_chart::chart_drawing::draw_chart;
use crate::pixel::settings::Size;

/// Write the test chart, to be shown as a slide and measured with `calibrate`
#[derive(Debug, Args)]
pub(super) struct ChartArgs {
    /// File to write: .png, or .pdf to put into a deck
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Size of the chart in pixels: the one that the computer sends to the mixer
    #[arg(long, value_name = "WxH", default_value = "1920x1080")]
    size: Size,
}

/// Runs the command.
pub(super) fn run(args: &ChartArgs) -> Result<Exit, Failure> {
    let chart = Chart::new(args.size)?;
    let extension = args.out.extension().and_then(|ending| ending.to_str());
    match extension.map(str::to_ascii_lowercase).as_deref() {
        Some("pdf") => write_picture_pdf(&args.out, &draw_chart(chart))?,
        Some("png") => PictureOutput::create(&args.out, &[])?.write(&draw_chart(chart))?,
        _ if args.out.is_dir() => {
            return Err(WriteError::Folder {
                path: args.out.clone(),
            }
            .into());
        }
        _ => {
            return Err(Failure::with_hint(
                anyhow::anyhow!(
                    "expected a name ending in .png or .pdf, got `{}`",
                    args.out.display()
                ),
                Some("both keep every pixel; .pdf goes into a deck of pages".to_owned()),
            ));
        }
    }
    print_lines(&format!(
        "wrote {} ({})\n\
         show it full screen as a slide, record it as the key gets it,\n\
         then run `nightglass calibrate` on the picture\n",
        args.out.display(),
        args.size
    ))?;
    Ok(Exit::Clean)
}
