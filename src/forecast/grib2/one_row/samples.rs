//! The samples of an image of one row at the places looked at.

use crate::forecast::grib2::one_row::bit_planes::{Detail, decode};
use crate::forecast::grib2::one_row::packets::Band;
use crate::forecast::grib2::one_row::{code_stream, packets, wavelet};
use crate::forecast::spans::Spans;

/// The samples at some places, zero or anything at others; none where the stream is of another kind, damaged or of
/// another length than `count`.
pub(in crate::forecast::grib2) fn samples(bytes: &[u8], count: usize, at: &Spans) -> Option<Vec<i32>> {
    let stream = code_stream::read(bytes).filter(|stream| stream.width == count)?;
    let bands = packets::read(&stream)?;
    let wanted = wanted(&bands, at);
    let mut details = bands.iter().zip(&wanted);
    let (smooth, (at_smooth, _)) = details.next()?;
    let mut samples = coefficients(smooth, Detail::Low, stream.block_log2, at_smooth);
    for (band, (at_details, at_both)) in details {
        let high = coefficients(band, Detail::High, stream.block_log2, at_details);
        samples = wavelet::joined(&samples, &high, at_both);
    }
    let (shift, most) = (1i32 << (stream.depth - 1), (1i32 << stream.depth) - 1);
    for span in at.ranges() {
        samples
            .get_mut(span)?
            .iter_mut()
            .for_each(|sample| *sample = sample.wrapping_add(shift).clamp(0, most));
    }
    Some(samples)
}

/// For each band the coefficients that are needed of it, and the samples that it makes with those before.
fn wanted(bands: &[Band], at: &Spans) -> Vec<(Spans, Spans)> {
    let mut wanted = Vec::with_capacity(bands.len());
    let mut both = at.clone();
    let mut length: usize = bands.iter().map(|band| band.width).sum();
    for band in bands.iter().skip(1).rev() {
        let [low, high] = wavelet::needed(length, &both);
        wanted.push((high, std::mem::replace(&mut both, low)));
        length -= band.width;
    }
    wanted.push((both.clone(), both));
    wanted.reverse();
    wanted
}

/// The coefficients of the code blocks that hold any that is needed; zero elsewhere.
fn coefficients(band: &Band, detail: Detail, block_log2: u8, at: &Spans) -> Vec<i32> {
    let mut coefficients = vec![0; band.width];
    let width = 1 << block_log2;
    let mut decoded = 0;
    for span in at.ranges() {
        for index in (span.start / width).max(decoded)..span.end.div_ceil(width).min(band.blocks.len()) {
            let end = ((index + 1) * width).min(band.width);
            decode(&band.blocks[index], detail, &mut coefficients[index * width..end]);
            decoded = index + 1;
        }
    }
    coefficients
}
