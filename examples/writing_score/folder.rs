//! Frames of a folder with truth masks beside them: `NAME.writing.png` and `NAME.presenter.png`, white
//! where each is; a frame `NAME_empty` has neither.

use std::path::{Path, PathBuf};
use std::time::Instant;

use image::{ImageReader, ImageResult};
use nightglass::measure::camera::camera_raster::CameraRaster;
use nightglass::measure::inspect::camera_parts::{CameraStills, find_camera_parts};
use nightglass::measure::raster::runs::Runs;
use nightglass::pixel::frame::{Frame, Pixels};
use nightglass::pixel::settings::Size;

use crate::figures::append_figures;
use crate::judge::judge;
use crate::overlay::write_overlay;
use crate::table::Table;

fn read(path: &Path) -> ImageResult<Frame> {
    let picture = ImageReader::open(path)?.decode()?.to_rgba8();
    let size = Size::new(picture.width(), picture.height()).unwrap_or(Size::HD);
    let pixels = picture.pixels().map(|pixel| pixel.0).collect();
    Ok(Frame::new(size, Pixels::Rgba8(pixels))
        .unwrap_or_else(|_| Frame::from_fn(Size::HD, |_, _| [0; 3])))
}

fn mask(path: &Path, size: Size) -> ImageResult<Runs> {
    if !path.exists() {
        return Ok(Runs::none(size));
    }
    let picture = ImageReader::open(path)?.decode()?.to_luma8();
    Ok(Runs::of_bytes(size, picture.as_raw(), |code| code > 127))
}

/// Judges every frame of a folder that has truth, or is an empty one.
pub(crate) fn judge_folder(
    folder: &Path,
    write: Option<&Path>,
    figures: Option<&Path>,
) -> ImageResult<Table> {
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect();
    paths.sort();
    let mut table = Table::default();
    for path in paths {
        let is_picture = path
            .extension()
            .is_some_and(|ending| ending == "png" || ending == "jpg");
        let stem = path
            .file_stem()
            .map(|stem| stem.to_string_lossy().into_owned())
            .unwrap_or_default();
        let truth = |part: &str| folder.join(format!("{stem}.{part}.png"));
        let is_known =
            truth("writing").exists() || truth("presenter").exists() || stem.ends_with("_empty");
        if !is_picture || !is_known {
            continue;
        }
        let frame = read(&path)?;
        let (writing, presenter) = (
            mask(&truth("writing"), frame.size())?,
            mask(&truth("presenter"), frame.size())?,
        );
        let raster = CameraRaster::new(&frame);
        let started = Instant::now();
        let parts = find_camera_parts(&CameraStills {
            camera: &raster,
            empty: None,
            before: None,
        });
        let milliseconds = started.elapsed().as_secs_f64() * 1000.0;
        let mut score = judge(&parts, &writing, &presenter, &[]);
        score.milliseconds = milliseconds;
        if let Some(figures) = figures {
            append_figures(figures, &parts, &writing, &[])?;
        }
        if let Some(write) = write {
            write_overlay(
                &write.join(format!("{stem}.jpg")),
                &frame,
                &parts,
                &writing,
                &presenter,
            )?;
        }
        let kind = if stem.ends_with("_empty") {
            "empty frames"
        } else {
            "frames"
        };
        table.add(kind, stem, score);
    }
    Ok(table)
}
