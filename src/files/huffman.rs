//! Huffman codes of a JPEG and the bits they are read from. Source: ITU-T T.81, annexes C and F.

/// Bits of the longest code.
const MOST_BITS: u32 = 16;

/// What each sequence of 16 bits begins with: the length of a code, 0 where there is none, and its value.
#[derive(Debug)]
pub(super) struct HuffmanTable {
    codes: Vec<(u8, u8)>,
}

impl HuffmanTable {
    /// Codes of 1 to 16 bits, so many of each length, with their values; none where there are more than fit.
    pub(super) fn new(counts: &[u8; 16], values: &[u8]) -> Option<Self> {
        let mut codes = Vec::with_capacity(1 << MOST_BITS);
        let mut values = values.iter();
        for (bits, count) in (1_u8..).zip(counts) {
            for _ in 0..*count {
                let value = *values.next()?;
                let alike = 1_usize << (MOST_BITS - u32::from(bits));
                codes.resize(codes.len() + alike, (bits, value));
            }
        }
        let fits = codes.len() <= 1 << MOST_BITS;
        codes.resize(1 << MOST_BITS, (0, 0));
        fits.then_some(Self { codes })
    }
}

/// The bits of a scan, without the zeros that are stuffed behind FF.
#[derive(Debug)]
pub(super) struct BitReader<'a> {
    scan: &'a [u8],
    at: usize,
    bits: u64,
    count: u32,
}

impl<'a> BitReader<'a> {
    /// From the first byte on.
    pub(super) fn new(scan: &'a [u8]) -> Self {
        Self {
            scan,
            at: 0,
            bits: 0,
            count: 0,
        }
    }

    /// Has at least 32 bits ready, as far as there are so many before the next marker.
    fn fill(&mut self) {
        while self.count <= 32 {
            let Some(&byte) = self.scan.get(self.at) else {
                return;
            };
            if byte == 0xFF {
                if self.scan.get(self.at + 1) != Some(&0x00) {
                    return;
                }
                self.at += 1;
            }
            self.at += 1;
            self.bits = self.bits << 8 | u64::from(byte);
            self.count += 8;
        }
    }

    /// The value of the next code; none where there is none.
    pub(super) fn value(&mut self, table: &HuffmanTable) -> Option<u8> {
        self.fill();
        // Missing bits are ones, which no code has alone.
        let ahead = if self.count >= MOST_BITS {
            self.bits >> (self.count - MOST_BITS)
        } else {
            let missing = MOST_BITS - self.count;
            self.bits << missing | ((1 << missing) - 1)
        };
        let place = usize::try_from(ahead & 0xFFFF).ok()?;
        let (bits, value) = *table.codes.get(place)?;
        (bits > 0 && self.skip(bits.into())).then_some(value)
    }

    /// Whether there were so many bits to leave out, up to 16.
    pub(super) fn skip(&mut self, bits: u32) -> bool {
        self.fill();
        let has_them = self.count >= bits;
        self.count = self.count.saturating_sub(bits);
        has_them
    }

    /// Whether a restart marker follows; the bits before it are only there to fill a byte.
    pub(super) fn skip_restart_marker(&mut self) -> bool {
        self.fill();
        if self.count >= 8 {
            return false;
        }
        self.count = 0;
        while self.scan.get(self.at..self.at + 2) == Some(&[0xFF, 0xFF]) {
            self.at += 1;
        }
        let is_there = matches!(
            self.scan.get(self.at..self.at + 2),
            Some([0xFF, 0xD0..=0xD7])
        );
        self.at += 2;
        is_there
    }

    /// Whole bytes that were not read.
    pub(super) fn left_bytes(&self) -> usize {
        self.scan.len().saturating_sub(self.at) + self.count as usize / 8
    }
}
