//! What could be taken for writing.

/// What is not writing, though it is bright, thin or colourful.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub(crate) enum Decoy {
    Eye = 1,
    Teeth = 2,
    Glasses = 3,
    Collar = 4,
    Tie = 5,
    Badge = 6,
    Ribbon = 7,
    Lanyard = 8,
    Stripes = 9,
    Pen = 10,
    Reflection = 11,
    Smear = 12,
    Watch = 13,
    Cap = 14,
    Print = 15,
    Photograph = 16,
}

impl Decoy {
    pub(crate) const ALL: [(Self, &'static str); 16] = [
        (Self::Eye, "eyes"),
        (Self::Teeth, "teeth"),
        (Self::Glasses, "glasses"),
        (Self::Collar, "collar"),
        (Self::Tie, "tie"),
        (Self::Badge, "badge"),
        (Self::Ribbon, "ribbons"),
        (Self::Lanyard, "lanyard"),
        (Self::Stripes, "stripes"),
        (Self::Pen, "pen"),
        (Self::Reflection, "reflection"),
        (Self::Smear, "smear"),
        (Self::Watch, "watch"),
        (Self::Cap, "cap"),
        (Self::Print, "print"),
        (Self::Photograph, "photograph"),
    ];
}
