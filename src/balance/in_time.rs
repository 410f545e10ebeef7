//! A cell's balance for a simulation in time: what drives and holds her with the sea's mean forces, and how water on deck and
//! lost lift change it, which the simulation finds moment by moment.

use crate::balance::carriage::Carriage;
use crate::balance::cell::{Added, Causes, CellBalance, Outcome};
use crate::balance::rungs::{RUNG_M_S, STEP_M_S};
use crate::balance::sea_curve::SeaCurve;
use crate::balance::surge::{driven_n, taken_n};
use crate::boat::Foils;
use crate::hydro::surge::{SpeedCurve, SurgeCurves};

/// A water on deck and a part of the lift by whose effect that of others is reckoned.
const PROBE_KG: f64 = 500.0;
const PROBE_LIFT: f64 = 0.1;

/// A cell's balance over her speed, for a simulation.
#[derive(Debug, Clone)]
pub struct BalanceInTime<'c> {
    /// The speed at which mean forces balance, m/s.
    pub balance_m_s: f64,
    /// Thrust less the sea's mean forces, and drag; without water on deck and without stall.
    pub curves: SurgeCurves,
    /// Drag by the weight of water on deck over speed, N/kg.
    pub drag_per_water: SpeedCurve,
    /// Drag by lift that the foils lose, as a part of what they carry, N.
    pub drag_per_lost_lift: SpeedCurve,
    /// Effective freeboard at the bow over speed, m; none without `[deck]`.
    pub freeboard_m: Option<SpeedCurve>,
    /// Her foils, where she flies on them.
    pub foils: Option<&'c Foils>,
}

impl CellBalance<'_> {
    /// The balance of a cell in a sea for a simulation; none where she makes no way.
    pub fn in_time(&self, sea: &SeaCurve, outcome: &Outcome) -> Option<BalanceInTime<'_>> {
        let way = self.sailed(outcome)?;
        let rungs = self.rungs_followed(way.speed);
        let drive = way.drive.swinging();
        let dry = if way.carriage == Carriage::Stalling { Carriage::Flat } else { way.carriage };
        // what a mean force leaves over at the balance's speed it leaves over in time
        let causes = Causes::all(Added::Used(1.0), way.carriage);
        let left_n = self.forces(way.drive, sea, causes, way.speed).surplus_n();
        let taken: Vec<f64> =
            (0..rungs).map(|rung| taken_n(sea, rung, drive.pitching[rung], dry, 0.0)).collect();
        let still = self.tables.still_drag_n(dry);
        let drive_n = driven_n(drive, &taken, still, way.speed);
        let still = &still[..drive_n.len()];
        let curves = SurgeCurves::new(STEP_M_S, self.surge_mass_kg(), &drive_n, still).less(left_n);
        let fallen = Carriage::Hull { foil_in_water: true };
        let curves = match way.airborne() {
            Some(foils) => curves.with_falls(
                foils.share.takeoff_m_s,
                foils.recovery_s,
                &self.tables.still_drag_n(fallen)[..still.len()],
            ),
            None => curves,
        };
        Some(BalanceInTime {
            balance_m_s: way.speed,
            curves,
            drag_per_water: self.over_speed(rungs, |speed| self.tables.drag_per_water(dry, speed, PROBE_KG)),
            drag_per_lost_lift: self
                .over_speed(rungs, |speed| self.tables.drag_per_lost_lift(speed, PROBE_LIFT)),
            freeboard_m: sea.effective_freeboard_m(0.0).map(|_| {
                let top = self.tables.responses_top_m_s();
                self.over_speed(rungs, |speed| sea.effective_freeboard_m(speed.min(top)).unwrap_or(0.0))
            }),
            foils: way.flying,
        })
    }

    fn over_speed(&self, rungs: usize, value: impl Fn(f64) -> f64) -> SpeedCurve {
        let values: Vec<f64> = (0..rungs).map(|rung| value(RUNG_M_S * rung as f64)).collect();
        SpeedCurve::new(RUNG_M_S, &values)
    }
}
