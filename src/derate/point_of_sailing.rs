//! Upwind, reaching, running.

/// True wind angles up to which she sails upwind, and reaching; beyond she runs (common practice, no source).
pub const POINTS_OF_SAILING_DEG: [f64; 2] = [60.0, 130.0];

/// 0 upwind, 1 reaching, 2 running, by the true wind angle from 0 to 180 degrees.
pub fn point_of_sailing(twa_deg: f64) -> usize {
    POINTS_OF_SAILING_DEG.iter().filter(|limit| twa_deg > **limit).count()
}
