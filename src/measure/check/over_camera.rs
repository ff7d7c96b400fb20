//! The checks that need a camera: what stands out, and what gets a dark rim.

use super::camera_contrast::find_low_contrast;
use super::dark_edge::find_dark_edges;
use super::placed_camera::KeyedOver;
use super::slide_geometry::Drawn;
use crate::measure::finding::Finding;
use crate::measure::limits::Limits;
use crate::measure::slide::fates::Fates;
use crate::measure::slide::pieces::Content;
use crate::measure::slide::slide_raster::SlideRaster;
use crate::pixel::settings::Key;

/// What is checked over which camera.
#[derive(Clone, Copy, Debug)]
pub struct OverCamera<'a> {
    /// How findings name the camera.
    pub name: &'a str,
    /// The slide signal.
    pub raster: &'a SlideRaster,
    /// What the key makes of it.
    pub fates: &'a Fates,
    /// Its content.
    pub content: &'a Content,
    /// What is drawn on it.
    pub drawn: &'a Drawn,
    /// Camera and composite.
    pub keyed: &'a KeyedOver<'a>,
    /// Whether the slide's file was compressed with loss.
    pub lossy: bool,
    /// The key.
    pub key: &'a Key,
}

/// `contrast` and `dark-edge`.
pub fn find_over_camera(over: &OverCamera<'_>, limits: &Limits) -> Vec<Finding> {
    let mut findings = find_low_contrast(over, limits);
    findings.extend(find_dark_edges(over, limits));
    findings
}
