//! The arithmetic decoder (ISO/IEC 15444-1, annex C): decisions from bytes, each by the state of its context.

/// The contexts in use: zero coding 0 to 8, sign 9 to 13, magnitude 14 to 16 (table D.7 without run length and uniform).
pub(super) const CONTEXTS: usize = 17;

/// Table C.2: probability estimate, next state after the more and the less probable symbol, and whether the senses swap.
const STATES: [(u16, u8, u8, bool); 47] = [
    (0x5601, 1, 1, true),
    (0x3401, 2, 6, false),
    (0x1801, 3, 9, false),
    (0x0ac1, 4, 12, false),
    (0x0521, 5, 29, false),
    (0x0221, 38, 33, false),
    (0x5601, 7, 6, true),
    (0x5401, 8, 14, false),
    (0x4801, 9, 14, false),
    (0x3801, 10, 14, false),
    (0x3001, 11, 17, false),
    (0x2401, 12, 18, false),
    (0x1c01, 13, 20, false),
    (0x1601, 29, 21, false),
    (0x5601, 15, 14, true),
    (0x5401, 16, 14, false),
    (0x5101, 17, 15, false),
    (0x4801, 18, 16, false),
    (0x3801, 19, 17, false),
    (0x3401, 20, 18, false),
    (0x3001, 21, 19, false),
    (0x2801, 22, 19, false),
    (0x2401, 23, 20, false),
    (0x2201, 24, 21, false),
    (0x1c01, 25, 22, false),
    (0x1801, 26, 23, false),
    (0x1601, 27, 24, false),
    (0x1401, 28, 25, false),
    (0x1201, 29, 26, false),
    (0x1101, 30, 27, false),
    (0x0ac1, 31, 28, false),
    (0x09c1, 32, 29, false),
    (0x08a1, 33, 30, false),
    (0x0521, 34, 31, false),
    (0x0441, 35, 32, false),
    (0x02a1, 36, 33, false),
    (0x0221, 37, 34, false),
    (0x0141, 38, 35, false),
    (0x0111, 39, 36, false),
    (0x0085, 40, 37, false),
    (0x0049, 41, 38, false),
    (0x0025, 42, 39, false),
    (0x0015, 43, 40, false),
    (0x0009, 44, 41, false),
    (0x0005, 45, 42, false),
    (0x0001, 45, 43, false),
    (0x5601, 46, 46, false),
];

/// A state with its more probable symbol in the lowest bit.
#[derive(Debug, Clone, Copy)]
struct Step {
    estimate: u32,
    more: u8,
    less: u8,
}

const STEPS: [Step; 2 * STATES.len()] = {
    let mut steps = [Step { estimate: 0, more: 0, less: 0 }; 2 * STATES.len()];
    let mut k = 0;
    while k < steps.len() {
        let (estimate, more, less, swaps) = STATES[k / 2];
        let symbol = (k % 2) as u8;
        steps[k] = Step {
            estimate: estimate as u32,
            more: 2 * more + symbol,
            less: 2 * less + if swaps { 1 - symbol } else { symbol },
        };
        k += 1;
    }
    steps
};

/// The decoder of one code block's bytes (C.3).
#[derive(Debug, Clone)]
pub(super) struct Arithmetic<'a> {
    bytes: &'a [u8],
    at: usize,
    code: u32,
    interval: u32,
    left: u32,
    states: [u8; CONTEXTS],
}

impl<'a> Arithmetic<'a> {
    /// At the first decision, with the contexts as table D.7 has them.
    pub fn new(bytes: &'a [u8]) -> Self {
        let mut states = [0; CONTEXTS];
        states[0] = 2 * 4;
        let mut decoder = Self { bytes, at: 0, code: 0, interval: 0x8000, left: 0, states };
        decoder.code = decoder.byte(0) << 16;
        decoder.next_byte();
        decoder.code <<= 7;
        decoder.left -= 7;
        decoder
    }

    /// Behind the last byte stand 1s (C.3.4).
    fn byte(&self, at: usize) -> u32 {
        self.bytes.get(at).map_or(0xff, |byte| u32::from(*byte))
    }

    fn next_byte(&mut self) {
        let next = self.byte(self.at + 1);
        if self.byte(self.at) == 0xff {
            if next > 0x8f {
                self.code = self.code.wrapping_add(0xff00);
                self.left = 8;
            } else {
                self.at += 1;
                self.code = self.code.wrapping_add(next << 9);
                self.left = 7;
            }
        } else {
            self.at += 1;
            self.code = self.code.wrapping_add(next << 8);
            self.left = 8;
        }
    }

    fn renormalise(&mut self) {
        loop {
            if self.left == 0 {
                self.next_byte();
            }
            self.interval <<= 1;
            self.code <<= 1;
            self.left -= 1;
            if self.interval & 0x8000 != 0 {
                return;
            }
        }
    }

    /// The next decision in a context, 0 or 1.
    #[inline]
    pub fn decide(&mut self, context: usize) -> u32 {
        let state = self.states[context];
        let step = STEPS[usize::from(state)];
        let symbol = u32::from(state & 1);
        self.interval -= step.estimate;
        let is_below = (self.code >> 16) < step.estimate;
        if !is_below {
            self.code -= step.estimate << 16;
            if self.interval & 0x8000 != 0 {
                return symbol;
            }
        }
        // the smaller part of the interval is that of the less probable symbol, whichever it was meant for
        let is_more = (self.interval < step.estimate) == is_below;
        if is_below {
            self.interval = step.estimate;
        }
        self.states[context] = if is_more { step.more } else { step.less };
        self.renormalise();
        if is_more { symbol } else { 1 - symbol }
    }
}
