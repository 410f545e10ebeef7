//! What one sea makes of a polar cell, solved or known from elsewhere.

use crate::balance::{Outcome, Swing};
use crate::boat::Advisory;

/// What one sea makes of a polar cell.
#[derive(Debug, Clone, Copy)]
pub struct SolvedSea {
    /// Speeds by stage, surge among them, and reservations.
    pub outcome: Outcome,
    /// What surge does; none where it is not counted or she makes no way.
    pub swing: Option<Swing>,
    /// The speed with the second method of added resistance, m/s.
    pub second_m_s: f64,
    /// Speeds at the slow and the fast end of the model band, m/s.
    pub band_m_s: [f64; 2],
    /// Slams, wet decks and acceleration at the bow.
    pub advisory: Advisory,
}
