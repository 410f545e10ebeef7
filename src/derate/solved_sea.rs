//! What one sea makes of a polar cell, solved or known from elsewhere.

use crate::balance::{Outcome, Swing};
use crate::base::Flag;
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

impl SolvedSea {
    /// A sea solved by mean forces with what surge makes of it: what it does to the speed it does to the second method's and the
    /// band's as well. No swing where she makes no way.
    pub(super) fn sailed(mut self, swing: Option<Swing>) -> Self {
        // what waves from aft do is what surge is
        self.outcome.flags -= Flag::FollowingSeaNotModelled;
        let Some(swing) = swing else { return self };
        let factor = swing.speed_m_s / self.outcome.balance_m_s();
        self.second_m_s *= factor;
        self.band_m_s = self.band_m_s.map(|speed| factor * speed);
        self.outcome = self.outcome.surged(swing.speed_m_s);
        if swing.two_balances.is_some() {
            self.outcome.flags |= Flag::TwoBalances;
        }
        self.swing = Some(swing);
        self
    }
}
