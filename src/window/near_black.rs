//! The dark values of the slide shown: what they were measured for, and what they are.

use std::sync::Arc;

use super::job::Measurement;
use super::kept_slides::Slide;
use super::loaded::Measured;
use crate::measure::key::histogram::NearBlackHistogram;
use crate::pixel::chain::Chain;
use crate::pixel::frame::Frame;
use crate::pixel::key::Luma;
use crate::pixel::settings::{Placement, Settings, Size};

/// What a measurement depends on.
#[derive(Clone, Debug)]
struct MeasuredFor {
    slide: Arc<Frame>,
    camera_size: Option<Size>,
    placement: Placement,
    chain: Option<Chain>,
    luma: Luma,
}

impl MeasuredFor {
    fn is_same(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.slide, &other.slide)
            && self.camera_size == other.camera_size
            && self.placement == other.placement
            && self.chain == other.chain
            && self.luma == other.luma
    }
}

/// The dark values of the slide shown.
#[derive(Debug, Default)]
pub(super) struct NearBlack {
    measured_for: Option<MeasuredFor>,
    histogram: Option<NearBlackHistogram>,
}

impl NearBlack {
    /// Them, once they are measured.
    pub(super) fn histogram(&self) -> Option<&NearBlackHistogram> {
        self.histogram.as_ref()
    }

    /// There is no slide to measure.
    pub(super) fn clear(&mut self) {
        *self = Self::default();
    }

    /// What is to be measured, if anything that this depends on changed.
    pub(super) fn wanted(
        &mut self,
        slide: &Slide,
        camera: Option<&Arc<Frame>>,
        settings: &Settings,
    ) -> Option<Measurement> {
        let wanted = MeasuredFor {
            slide: Arc::clone(&slide.frame),
            camera_size: camera.map(|frame| frame.size()),
            placement: settings.placement,
            chain: settings.chain,
            luma: settings.key.luma,
        };
        let last = self.measured_for.as_ref();
        if last.is_some_and(|last| last.is_same(&wanted)) {
            return None;
        }
        self.measured_for = Some(wanted);
        Some(Measurement {
            slide: Arc::clone(&slide.frame),
            camera: camera.map(Arc::clone),
            settings: *settings,
        })
    }

    /// Takes what was measured on the slide shown.
    pub(super) fn put(&mut self, measured: Measured) {
        self.histogram = Some(measured.histogram);
    }
}
