//! Runs checks one after the other on one device and says what was compared. The built-in harness
//! hides what passing tests print, and here the adapter and the counts must be visible.

use std::panic::{AssertUnwindSafe, catch_unwind};

use nightglass::gpu::device::Gpu;

/// What a passed check has looked at.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tally {
    /// Pixels or results compared.
    pub(crate) compared: usize,
    /// Of these, off by 1 code.
    pub(crate) off_by_one: usize,
    /// Of these, off by more.
    pub(crate) off_by_more: usize,
    /// What else is to be said.
    pub(crate) note: String,
}

/// What a check does.
type Run = Box<dyn Fn(&Gpu) -> Result<Tally, String>>;

/// A named check.
pub(crate) struct Check {
    pub(crate) name: String,
    run: Run,
}

impl Check {
    pub(crate) fn new(
        name: impl Into<String>,
        run: impl Fn(&Gpu) -> Result<Tally, String> + 'static,
    ) -> Self {
        Self {
            name: name.into(),
            run: Box::new(run),
        }
    }

    /// Runs it; a panic is a failure like any other, and comparing nothing is one too.
    pub(crate) fn run(&self, gpu: &Gpu) -> Result<Tally, String> {
        let outcome = catch_unwind(AssertUnwindSafe(|| (self.run)(gpu)))
            .unwrap_or_else(|_| Err("panicked".to_owned()))?;
        gpu.check().map_err(|error| error.to_string())?;
        if outcome.compared == 0 {
            return Err("compared nothing".to_owned());
        }
        Ok(outcome)
    }
}
