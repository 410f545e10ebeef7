//! Packets (ISO/IEC 15444-1, B.9 and B.10): which bytes are those of which code block.

use crate::forecast::grib2::one_row::code_stream::CodeStream;
use crate::forecast::grib2::one_row::tag_tree::TagTree;

/// Samples of a resolution in a precinct, as wide as can be (B.6).
const PRECINCT: usize = 1 << 15;
/// The decoder's numbers are of 32 bits, with a sign and half a bit beside.
const MOST_PLANES: u32 = 30;

/// A sub-band: the samples that are left after so many levels, or the details of one level.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Band<'a> {
    /// Coefficients.
    pub width: usize,
    /// Code blocks, from the first coefficient on.
    pub blocks: Vec<Block<'a>>,
}

/// A code block's bytes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Block<'a> {
    pub bytes: &'a [u8],
    /// Bit planes that are not all zero.
    pub planes: u32,
    /// Passes over them; none where all is zero.
    pub passes: u32,
}

/// The sub-bands: LL, then HL from the coarsest level on. The other two of each level are empty in one row.
pub(super) fn read<'a>(stream: &CodeStream<'a>) -> Option<Vec<Band<'a>>> {
    let mut rest = stream.packets;
    let mut bands = Vec::new();
    for resolution in 0..=stream.levels {
        let samples = samples(stream, resolution);
        let (width, band_precinct, exponent) = match resolution {
            0 => (samples, PRECINCT, 0),
            _ => (samples / 2, PRECINCT / 2, 3 * usize::from(resolution) - 2),
        };
        let planes = u32::from(*stream.exponents.get(exponent)?) + u32::from(stream.guard_bits);
        let planes = planes.checked_sub(1)?;
        let mut blocks = Vec::with_capacity(width.div_ceil(1 << stream.block_log2));
        for precinct in 0..samples.div_ceil(PRECINCT) {
            let first = precinct * band_precinct;
            let held = width.saturating_sub(first).min(band_precinct);
            let count = held.div_ceil(1 << stream.block_log2);
            rest = packet(rest, count, planes, &mut blocks)?;
        }
        bands.push(Band { width, blocks });
    }
    Some(bands)
}

/// Samples of the row at a resolution.
fn samples(stream: &CodeStream, resolution: u8) -> usize {
    let halvings = u32::from(stream.levels - resolution);
    match 1usize.checked_shl(halvings) {
        Some(step) => stream.width.div_ceil(step),
        None => 1,
    }
}

/// Adds the code blocks of a packet, and returns what stands behind it.
fn packet<'a>(bytes: &'a [u8], count: usize, planes: u32, blocks: &mut Vec<Block<'a>>) -> Option<&'a [u8]> {
    let mut header = Header { bytes, at: 0, byte: 0, left: 0 };
    let first = blocks.len();
    blocks.resize(first + count, Block::default());
    if header.bit()? == 0 {
        return bytes.get(header.end()..);
    }
    let (mut inclusion, mut zero_planes) = (TagTree::new(count), TagTree::new(count));
    let mut lengths = Vec::with_capacity(count);
    for (leaf, block) in blocks[first..].iter_mut().enumerate() {
        let mut bit = || header.bit().map(|bit| bit == 1);
        if !inclusion.is_below(leaf, 1, &mut bit)? {
            lengths.push(0);
            continue;
        }
        let mut zeros = 0;
        while !zero_planes.is_below(leaf, zeros + 1, &mut bit)? {
            zeros += 1;
        }
        block.planes = planes.checked_sub(zeros).filter(|planes| (1..=MOST_PLANES).contains(planes))?;
        block.passes = header.passes()?;
        lengths.push(header.length(block.passes)?);
    }
    let mut rest = bytes.get(header.end()..)?;
    for (block, length) in blocks[first..].iter_mut().zip(lengths) {
        (block.bytes, rest) = rest.split_at_checked(length)?;
    }
    Some(rest)
}

/// A packet's header: bits, of which a 0 is stuffed behind each byte of 1s (B.10.1).
struct Header<'a> {
    bytes: &'a [u8],
    at: usize,
    byte: u8,
    left: u32,
}

impl Header<'_> {
    fn bit(&mut self) -> Option<u32> {
        if self.left == 0 {
            self.left = if self.byte == 0xff { 7 } else { 8 };
            self.byte = *self.bytes.get(self.at)?;
            self.at += 1;
        }
        self.left -= 1;
        Some(u32::from(self.byte >> self.left & 1))
    }

    fn bits(&mut self, count: u32) -> Option<u32> {
        (0..count).try_fold(0, |number, _| Some(number << 1 | self.bit()?))
    }

    /// Where the header ends: behind its last byte, and the one stuffed behind a byte of 1s.
    fn end(&self) -> usize {
        self.at + usize::from(self.byte == 0xff)
    }

    /// Table B.4.
    fn passes(&mut self) -> Option<u32> {
        if self.bit()? == 0 {
            return Some(1);
        }
        if self.bit()? == 0 {
            return Some(2);
        }
        match self.bits(2)? {
            3 => {}
            few => return Some(3 + few),
        }
        match self.bits(5)? {
            31 => Some(37 + self.bits(7)?),
            some => Some(6 + some),
        }
    }

    /// The length of a code block's bytes (B.10.7.1).
    fn length(&mut self, passes: u32) -> Option<usize> {
        let mut bits = 3 + passes.ilog2();
        while self.bit()? == 1 {
            bits += 1;
        }
        (bits <= 32).then(|| self.bits(bits)).flatten().map(|length| length as usize)
    }
}
