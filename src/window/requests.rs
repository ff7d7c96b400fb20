//! What the state asks for that is about pictures and setups.

use super::action::Request;
use super::error_words::{error_words, tell_error};
use super::picture_source::PictureSource;
use super::pictures::Pictures;
use super::state::State;
use crate::files::setup_file::Setup;

/// Does it; what is about the window itself is not done here.
pub(super) fn do_request(request: Request, pictures: &mut Pictures, state: &mut State) {
    match request {
        Request::Dialog(_) | Request::Quit => {}
        Request::LoadCamera(path) => pictures.request_camera(PictureSource::File(path)),
        Request::LoadLike(path) => pictures.request_like(path),
        Request::ClearLike => pictures.clear_like(),
        Request::LoadSlides(paths) => pictures.request_deck(paths),
        Request::ClearCamera => pictures.clear_camera(),
        Request::ClearSlides => pictures.clear_deck(state),
        Request::LoadDemonstration => pictures.take_demonstration(state),
        Request::LoadSetup(path) => match Setup::read(&path) {
            Ok(setup) => state.setup_loaded(path, setup),
            Err(error) => {
                let hint = error.hint();
                tell_error(state, &error, hint);
            }
        },
        Request::SaveSetup(path, setup) => match setup.save(&path) {
            Ok(()) => state.setup_saved(path, *setup),
            Err(error) => {
                let words = error_words(&error, error.hint());
                state.save_failed(words);
            }
        },
    }
}
