//! Stars of the north: right ascension in hours, declination in degrees (epoch 2000).

/// Right ascension and declination.
pub(crate) type Star = (f32, f32);

/// The Plough: Dubhe, Merak, Phecda, Megrez, Alioth, Mizar, Alkaid.
pub(crate) const PLOUGH: [Star; 7] = [
    (11.06, 61.75),
    (11.03, 56.38),
    (11.90, 53.69),
    (12.26, 57.03),
    (12.90, 55.96),
    (13.40, 54.93),
    (13.79, 49.31),
];

/// Which of the Plough's stars are joined by lines.
pub(crate) const PLOUGH_LINES: [(usize, usize); 7] =
    [(0, 1), (1, 2), (2, 3), (3, 0), (3, 4), (4, 5), (5, 6)];

/// Cassiopeia: Caph, Schedar, the middle star, Ruchbah, Segin.
pub(crate) const CASSIOPEIA: [Star; 5] = [
    (0.15, 59.15),
    (0.675, 56.54),
    (0.945, 60.72),
    (1.43, 60.24),
    (1.907, 63.67),
];

/// How one looks north: where the pole is drawn, how large, and at what sidereal time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct View {
    /// Pixel of the pole.
    pub(crate) pole: (f32, f32),
    /// Pixels for a degree away from the pole.
    pub(crate) degree: f32,
    /// Sidereal time in hours.
    pub(crate) hour: f32,
}

impl View {
    /// Where a star is drawn.
    pub(crate) fn place(&self, (ascension, declination): Star) -> (f32, f32) {
        let turn = (90.0 + 15.0 * (self.hour - ascension)).to_radians();
        let off = (90.0 - declination) * self.degree;
        (
            self.pole.0 + off * turn.cos(),
            self.pole.1 - off * turn.sin(),
        )
    }
}
