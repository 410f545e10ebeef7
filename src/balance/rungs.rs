//! The ladder of speeds on which a balance is looked for before it is solved: the same for all cells and seas of a boat.
//!
//! What a sea does is put on the rungs once and serves every cell on its heading; what a wind does, once for every sea.
//! A cell in a sea then costs a few numbers a rung, and the balance itself is worked out only between two of them.

/// Distance of the rungs, m/s. A hump of resistance narrower than this may be overlooked.
pub(super) const RUNG_M_S: f64 = 0.25;

/// Steps from one rung to the next in which thrust is tabulated: where the sails change its slope jumps, and so does what a
/// small sea costs.
pub(super) const FINER: usize = 8;
/// One of those steps, m/s.
pub(super) const STEP_M_S: f64 = RUNG_M_S / FINER as f64;

/// Values at rungs brought to the finer steps between them, in straight lines.
pub(super) fn to_steps(rungs: &[f64]) -> impl Iterator<Item = f64> + '_ {
    let between = |pair: &[f64]| {
        let (low, change) = (pair[0], pair[1] - pair[0]);
        (0..FINER).map(move |step| low + change * (step as f64 / FINER as f64))
    };
    rungs.windows(2).flat_map(between).chain(rungs.last().copied())
}

/// Number of rungs from rest that lie below a speed.
pub(super) fn rungs_below(speed_m_s: f64) -> usize {
    (speed_m_s / RUNG_M_S).ceil().max(0.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rung_at_the_speed_itself_is_not_below_it() {
        assert_eq!([0.0, 0.1, 0.25, 0.26, 0.5].map(rungs_below), [0, 1, 1, 2, 2]);
    }
}
