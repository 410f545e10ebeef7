//! The checksum of a tally's rows: a byte that changed on a disk or a line would else be another sea.

use crate::tally::rows::TallyRow;
use sha2::{Digest, Sha256};

/// SHA-256 of every key and sum, row by row, hexadecimal: texts with their length before them, numbers in little-endian order.
pub(super) fn of(rows: &[TallyRow]) -> String {
    let mut digest = Sha256::new();
    for row in rows {
        for text in [&row.region, &row.kind, &row.bin] {
            digest.update((text.len() as u64).to_le_bytes());
            digest.update(text);
        }
        for time in [row.window.start, row.window.end] {
            digest.update(time.as_microsecond().to_le_bytes());
        }
        digest.update(row.count.to_le_bytes());
        let systems = row.systems.iter().flat_map(|sums| [sums.hs2, sums.hs2_tp, sums.hs2_cos, sums.hs2_sin]);
        for sum in [row.weight, row.tws].into_iter().chain(systems) {
            digest.update(sum.to_le_bytes());
        }
    }
    digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}
