//! Which setup a command works with.

use std::path::{Path, PathBuf};

use super::args::{CameraArgs, CameraOutputArgs, PictureArgs, WantedPlace};
use super::failure::Failure;
use super::output::note;
use crate::files::setup_file::{SETUP_FILE_NAME, Setup};

/// A setup and the file it came from.
#[derive(Clone, Debug, Default)]
pub(super) struct LoadedSetup {
    pub setup: Setup,
    pub path: Option<PathBuf>,
}

/// The same for a command that has no use for `--slide-place free`.
pub(super) fn load(args: &PictureArgs) -> Result<LoadedSetup, Failure> {
    if args.slide_place == Some(WantedPlace::Free) {
        return Err(Failure::with_hint(
            anyhow::anyhow!("`--slide-place free` is for `compose` and `preview`"),
            Some("give this command the four percentages that `compose` then says".to_owned()),
        ));
    }
    load_for_placing(args)
}

/// The same for a command that looks at camera frames alone: nothing is said about key and chain, which change nothing.
pub(super) fn load_for_camera(
    output: &CameraOutputArgs,
    camera: &CameraArgs,
) -> Result<LoadedSetup, Failure> {
    let mut loaded = read(output.setup.as_deref())?;
    output.apply(&mut loaded.setup);
    camera.apply(&mut loaded.setup);
    Ok(loaded)
}

/// The setup file named by flag, else the one in the current folder, else defaults.
fn read(named: Option<&Path>) -> Result<LoadedSetup, Failure> {
    let found = Path::new(SETUP_FILE_NAME);
    let path = named.or_else(|| found.exists().then_some(found));
    let setup = match path {
        Some(path) => Setup::read(path)?,
        None => Setup::default(),
    };
    if named.is_none()
        && let Some(path) = path
    {
        note(&format!("using the setup in `{}`", path.display()));
    }
    let path = path.map(Path::to_owned);
    Ok(LoadedSetup { setup, path })
}

/// The setup, and then the flags.
pub(super) fn load_for_placing(args: &PictureArgs) -> Result<LoadedSetup, Failure> {
    let LoadedSetup { mut setup, path } = read(args.setup.as_deref())?;
    args.apply(&mut setup)?;
    if let Some(chain) = setup.settings.chain {
        note(&format!(
            "using the chain of the setup: gain {:.3}, offset {:.1} %",
            chain.gain(),
            chain.offset_percent()
        ));
    }
    let key = &setup.settings.key;
    if key.nothing_is_solid() {
        note(&format!(
            "warning: threshold {} and softness {} add up to over 100 percent, so nothing in the slide is solid",
            key.threshold_percent(),
            key.softness_percent()
        ));
    }
    Ok(LoadedSetup { setup, path })
}
