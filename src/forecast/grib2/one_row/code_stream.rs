//! The markers of a code stream (ISO/IEC 15444-1, annex A), as far as an image of one row needs them.

/// Code blocks are at most so wide, as binary logarithm: a bit each for their columns in a word.
const WIDEST_BLOCK_LOG2: u8 = 6;
/// More wavelet levels than a row of any length can use.
const MOST_LEVELS: u8 = 32;

/// A lossless image of one row, one tile, one layer and one component of unsigned samples.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct CodeStream<'a> {
    /// Samples.
    pub width: usize,
    /// Bits a sample.
    pub depth: u8,
    /// Wavelet levels.
    pub levels: u8,
    /// Binary logarithm of the width of a code block.
    pub block_log2: u8,
    /// Guard bits, and the exponent of each sub-band in the order of the standard: LL, then HL, LH and HH level by level.
    pub guard_bits: u8,
    pub exponents: Vec<u8>,
    /// The packets.
    pub packets: &'a [u8],
}

/// What was met of the markers so far.
#[derive(Debug, Default)]
struct Seen {
    size: Option<(usize, u8)>,
    coding: Option<(u8, u8)>,
    quantisation: Option<(u8, Vec<u8>)>,
}

/// The stream, where it is of the kind that is read here.
pub(super) fn read(bytes: &[u8]) -> Option<CodeStream<'_>> {
    let mut seen = Seen::default();
    let mut at = 2;
    if bytes.get(..2)? != [0xff, 0x4f] {
        return None;
    }
    loop {
        let marker = u16_at(bytes, at)?;
        let length = usize::from(u16_at(bytes, at + 2)?);
        let segment = bytes.get(at + 4..at + 2 + length)?;
        match marker {
            0xff51 => seen.size = Some(size(segment)?),
            0xff52 => seen.coding = Some(coding(segment)?),
            0xff5c => seen.quantisation = Some(quantisation(segment)?),
            // comments
            0xff64 => {}
            0xff90 => {
                let packets = tile(bytes, at, segment)?;
                let ((width, depth), (levels, block_log2)) = (seen.size?, seen.coding?);
                let (guard_bits, exponents) = seen.quantisation?;
                let whole = exponents.len() == 1 + 3 * usize::from(levels);
                return whole.then_some(CodeStream {
                    width,
                    depth,
                    levels,
                    block_log2,
                    guard_bits,
                    exponents,
                    packets,
                });
            }
            _ => return None,
        }
        at += 2 + length;
    }
}

/// SIZ (A.5.1): width and depth.
fn size(segment: &[u8]) -> Option<(usize, u8)> {
    let numbers: Vec<u32> = (0..8).map(|k| u32_at(segment, 2 + 4 * k)).collect::<Option<_>>()?;
    let [width, height, 0, 0, tile_width, tile_height, 0, 0] = numbers[..] else { return None };
    let [0, 1, depth, 1, 1] = segment.get(34..)? else { return None };
    let one_tile = width > 0 && height == 1 && tile_width >= width && tile_height >= 1;
    (one_tile && *depth < 24).then_some((width as usize, depth + 1))
}

/// COD (A.6.1): levels and width of code blocks. Precincts are as large as can be; progression by layer, by resolution or
/// by resolution and position is one and the same here.
fn coding(segment: &[u8]) -> Option<(u8, u8)> {
    let [0, 0..=2, 0, 1, _, levels, width, _, 0, 1] = segment else { return None };
    (*levels <= MOST_LEVELS && *width <= WIDEST_BLOCK_LOG2 - 2).then(|| (*levels, width + 2))
}

/// QCD (A.6.4) without quantisation: guard bits and exponents.
fn quantisation(segment: &[u8]) -> Option<(u8, Vec<u8>)> {
    let (style, exponents) = segment.split_first()?;
    (style & 0x1f == 0).then(|| (style >> 5, exponents.iter().map(|exponent| exponent >> 3).collect()))
}

/// SOT (A.4.2), SOD and EOC: the packets of the one part of the one tile.
fn tile<'a>(bytes: &'a [u8], start: usize, segment: &[u8]) -> Option<&'a [u8]> {
    let [0, 0, _, _, _, _, 0, 0 | 1] = segment else { return None };
    let length = u32_at(segment, 2)? as usize;
    let data = start + 12;
    let end = if length == 0 { bytes.len().checked_sub(2)? } else { start.checked_add(length)? };
    let is_whole = u16_at(bytes, data)? == 0xff93 && u16_at(bytes, end)? == 0xffd9;
    is_whole.then(|| bytes.get(data + 2..end)).flatten()
}

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_be_bytes(*bytes.get(at..)?.first_chunk()?))
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_be_bytes(*bytes.get(at..)?.first_chunk()?))
}
