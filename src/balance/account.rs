//! What thrust and resistance are made of at the speed that a cell was solved for.

use crate::balance::carriage::Carriage;
use crate::balance::cell::{Added, Causes, CellBalance};
use crate::balance::drive::Drive;
use crate::balance::forces::Forces;
use crate::balance::sea_curve::SeaCurve;
use serde::Serialize;

/// More than a solved speed can be off, m/s.
const SPEED_STEP_M_S: f64 = 2e-4;

/// Why the search for a speed ended where it did.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Closing {
    /// Thrust equals resistance.
    Balanced,
    /// Thrust is left over, but she is not let go faster than before this cause of loss.
    Held,
    /// No speed balances.
    Stopped,
}

/// One way of sailing at its solved speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BalancePoint {
    /// Whether the foils carry what they can, or nothing.
    pub foils_in_use: bool,
    /// Part of the time that she sails so, 0 to 1.
    pub time_share: f64,
    /// The solved speed, m/s.
    pub speed_m_s: f64,
    /// The forces at that speed.
    pub forces: Forces,
    /// Why it is that speed.
    pub closing: Closing,
}

impl CellBalance<'_> {
    /// The balances that the speed after the last stage comes from: one, or two for a boat that flies part of the time.
    pub fn balances(&self, sea: &SeaCurve) -> Vec<BalancePoint> {
        let added = Added::Used(1.0);
        let outcome = self.solve(sea, added);
        let last = self.foil_stages(sea, added, outcome.speeds[3]);
        let causes = |carriage| Causes::all(added, carriage);
        let Some((on_hull, carriage)) = self.on_hull() else {
            return vec![self.point(&self.main, sea, causes(Carriage::Laden), last.speed, 1.0)];
        };
        let hull_point = |time_share: f64| {
            self.point(on_hull, sea, causes(carriage), last.hull_speed.unwrap_or(last.speed), time_share)
        };
        let Some(flying) = last.flying_speed else { return vec![hull_point(1.0)] };
        let up = last.flight.availability;
        let mut points = vec![self.point(&self.main, sea, causes(Carriage::Stalling), flying, up)];
        if up < 1.0 {
            points.push(hull_point(1.0 - up));
        }
        points
    }

    fn point(
        &self,
        drive: &Drive,
        sea: &SeaCurve,
        causes: Causes,
        speed: f64,
        time_share: f64,
    ) -> BalancePoint {
        let forces = self.forces(drive, sea, causes, speed);
        let above = self.forces(drive, sea, causes, speed + SPEED_STEP_M_S).surplus_n();
        let closing = if speed <= 0.0 {
            Closing::Stopped
        } else if forces.surplus_n() > 0.0 && above > 0.0 {
            Closing::Held
        } else {
            Closing::Balanced
        };
        let lifts = self.tables.model.foils.is_some() && !matches!(causes.carriage, Carriage::Hull { .. });
        BalancePoint { foils_in_use: lifts, time_share, speed_m_s: speed, forces, closing }
    }
}
