//! The reversible 5-3 wavelet of one row (ISO/IEC 15444-1, F.3.8.2.1.1), undone around the places looked at.

use crate::forecast::spans::Spans;

/// The places of both halves that those of the whole need.
pub(super) fn needed(length: usize, at: &Spans) -> [Spans; 2] {
    let (low, high) = (length.div_ceil(2), length / 2);
    let halves = |before: usize, most: usize| {
        let range = |span: std::ops::Range<usize>| {
            (span.start / 2).saturating_sub(before).min(most)..(span.end / 2 + 1).min(most)
        };
        Spans::merged(at.ranges().map(range).collect())
    };
    [halves(0, low), halves(1, high)]
}

/// Samples at the places looked at, zero elsewhere, from the smooth half (even places) and the details (odd ones).
pub(super) fn joined(low: &[i32], high: &[i32], at: &Spans) -> Vec<i32> {
    let length = low.len() + high.len();
    let mut samples = vec![0; length];
    let Some(last) = high.len().checked_sub(1) else {
        samples.copy_from_slice(low);
        return samples;
    };
    for span in at.ranges() {
        let (first, end) = (span.start / 2, (span.end / 2 + 1).min(low.len()));
        for n in first..end {
            let around = high[n.saturating_sub(1).min(last)].wrapping_add(high[n.min(last)]);
            samples[2 * n] = low[n].wrapping_sub(around.wrapping_add(2) >> 2);
        }
        for n in first..(span.end / 2).min(high.len()) {
            let before = samples[2 * n];
            let behind = samples.get(2 * n + 2).copied().unwrap_or(before);
            samples[2 * n + 1] = high[n].wrapping_add(before.wrapping_add(behind) >> 1);
        }
    }
    samples
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The forward transform by its two lifting steps (F.4.8.2.1.1), edges mirrored.
    fn forward(samples: &[i32]) -> (Vec<i32>, Vec<i32>) {
        let n = samples.len() as i64;
        let mirrored = |k: i64| {
            let k = if k < 0 { -k } else { k };
            samples[(if k >= n { 2 * (n - 1) - k } else { k }) as usize]
        };
        let detail = |k: i64| mirrored(2 * k + 1) - ((mirrored(2 * k) + mirrored(2 * k + 2)) >> 1);
        let details: Vec<i32> = (0..n / 2).map(detail).collect();
        let at = |k: i64| details[k.clamp(0, n / 2 - 1) as usize];
        let smooth =
            (0..(n + 1) / 2).map(|k| mirrored(2 * k) + if n > 1 { (at(k - 1) + at(k) + 2) >> 2 } else { 0 });
        (smooth.collect(), details)
    }

    #[test]
    fn what_was_taken_apart_comes_back_around_any_place() {
        for length in 1..20usize {
            let samples: Vec<i32> = (0..length as i32).map(|k| (k * k * 37 - 91 * k) % 251).collect();
            let (low, high) = forward(&samples);
            for start in 0..length {
                for end in start + 1..=length {
                    let at = Spans::merged(vec![start..end]);
                    let [needs_low, needs_high] = needed(length, &at);
                    // what is not needed may be anything
                    let only = |values: &[i32], needs: &Spans| -> Vec<i32> {
                        let at = |k: usize| if needs.touch(&(k..k + 1)) { values[k] } else { 9999 };
                        (0..values.len()).map(at).collect()
                    };
                    let found = joined(&only(&low, &needs_low), &only(&high, &needs_high), &at);
                    assert_eq!(found[start..end], samples[start..end], "{length} {start}..{end}");
                }
            }
        }
    }
}
