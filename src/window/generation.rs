//! Which of several requests for the same thing a result answers.

/// Which request a result answers; what was asked for since then makes it stale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Generation(u64);

impl Generation {
    /// Makes all results so far stale.
    pub fn advance(&mut self) {
        self.0 += 1;
    }
}
