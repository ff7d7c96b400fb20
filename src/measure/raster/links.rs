//! Disjoint sets of numbered things.

/// Which things belong together. Source: Tarjan, Efficiency of a good but not linear set union algorithm, 1975.
#[derive(Clone, Debug)]
pub(crate) struct Links(Vec<usize>);

impl Links {
    /// `len` things, each by itself.
    pub(crate) fn new(len: usize) -> Self {
        Self((0..len).collect())
    }

    /// The lowest of the things that belong with `i`.
    pub(crate) fn root(&mut self, mut i: usize) -> usize {
        while self.0[i] != i {
            self.0[i] = self.0[self.0[i]];
            i = self.0[i];
        }
        i
    }

    /// Lets two things, and what belongs with them, belong together.
    pub(crate) fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b)] = a.min(b);
    }
}
