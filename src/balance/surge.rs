//! What the waves' push and hold along the course make of a cell's speed, after all that mean forces take.
//!
//! She is sailed through the sea with the thrust and resistance of her balance, offset so that the balance's speed is one that
//! she holds in still water: what is left is what the swing of her speed does. Mean forces of the sea (added resistance, water
//! on deck) are those at the speed she has at the moment; beyond the fastest speed of the response tables they are those there.

use crate::balance::carriage::Carriage;
use crate::balance::cell::{CellBalance, Outcome};
use crate::balance::drive::{Drive, SwingingDrive};
use crate::balance::rungs::{RUNG_M_S, STEP_M_S, rungs_below, to_steps};
use crate::balance::sea_curve::SeaCurve;
use crate::boat::{Foils, Surge};
use crate::hydro::foil::{availability, shared_time_speed_m_s};
use crate::hydro::surge::{CourseWaves, Ride, RideStart, RideTime, Sailed, SurgeCurves};

/// Water that moves with the hull as she surges, over her mass: slender hulls in surge (from memory).
pub const ADDED_SURGE_MASS: f64 = 0.07;
/// How much faster than her balance she is followed on the face of a wave, as a part of that speed and m/s; beyond, forces go on in
/// straight lines.
const FOLLOWED: (f64, f64) = (1.5, 4.0);

/// Times in which she loses all but 1/e of a small change of speed until a start is forgotten: 2 % are left.
const SETTLED_DECAYS: f64 = 4.0;
/// The least time for that, s: some waves.
const LEAST_SETTLING_S: f64 = 20.0;

/// A cell's speed as it swings in one sea.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Swing {
    /// Mean speed after surge, m/s.
    pub speed_m_s: f64,
    /// Standard error of that mean, by simulating only so long, squared, m²/s².
    pub error_m2_s2: f64,
    /// Variance of the speed, m²/s².
    pub variance_m2_s2: f64,
    /// Part of the time faster than the crests run along the course.
    pub riding_share: f64,
    /// Part of the time in flight, events counted over the swinging speed.
    pub availability: f64,
    /// Two speeds, m/s, that she can hold under mean forces: the balance's, and one above it that waves may carry her to.
    pub two_balances: Option<[f64; 2]>,
}

impl Swing {
    /// The same with nothing gained where only losses count.
    pub fn counted(self, surge: Surge, outcome: &Outcome) -> Self {
        match surge {
            Surge::LossesOnly => Self { speed_m_s: self.speed_m_s.min(outcome.balance_m_s()), ..self },
            Surge::Counted | Surge::Off => self,
        }
    }
}

/// A cell ready to be sailed through a sea.
#[derive(Debug, Clone)]
pub struct Embarked {
    curves: SurgeCurves,
    start: RideStart,
    /// The longest time in which the start is forgotten, s.
    forgotten_s: f64,
    /// Time of recovery of her foils, s, where she flies on them.
    recovery_s: Option<f64>,
    /// The speed without the foils' lift, where she may sail so.
    hull_m_s: Option<f64>,
    two_balances: Option<[f64; 2]>,
}

impl Embarked {
    /// Her ride through a drawing of the sea.
    pub fn through<'r>(&'r self, waves: &'r CourseWaves, time: RideTime) -> Sailed<'r> {
        let time = RideTime { settle_s: time.settle_s.min(self.forgotten_s), ..time };
        Sailed { curves: &self.curves, waves, start: self.start, time }
    }

    /// What her rides through drawings of the sea, of equal time, make of her speed.
    pub fn swing(&self, rides: &[Ride]) -> Swing {
        let mean = |of: fn(&Ride) -> f64| rides.iter().map(of).sum::<f64>() / rides.len() as f64;
        let sailed = mean(|ride| ride.mean_m_s);
        let variance = mean(|ride| ride.square_about_start) - (sailed - self.start.speed_m_s).powi(2);
        let up = self
            .recovery_s
            .map_or(1.0, |recovery_s| availability(mean(|ride| ride.event_rate_hz), recovery_s));
        let on_hull = self.hull_m_s.unwrap_or(sailed);
        Swing {
            speed_m_s: shared_time_speed_m_s(up, sailed, on_hull.min(sailed)).max(0.0),
            error_m2_s2: mean(|ride| ride.error_m2_s2) / rides.len() as f64,
            variance_m2_s2: variance.max(0.0),
            riding_share: mean(|ride| ride.riding_share),
            availability: up,
            two_balances: self.two_balances,
        }
    }
}

impl CellBalance<'_> {
    /// A cell ready to be sailed through a sea; she starts at the speed that `solve` found. None where she makes no way.
    pub fn embark(&self, sea: &SeaCurve, outcome: &Outcome) -> Option<Embarked> {
        let way = self.sailed(outcome)?;
        let curves = self.surge_curves(sea, &way);
        let recovery_s = way.flying.map(|foils| foils.recovery_s);
        let two_balances = curves.faster_from_m_s(way.speed).map(|faster| [way.speed, faster]);
        let forgotten_s = match two_balances {
            // which of the two she is at is not forgotten by decay
            Some(_) => f64::INFINITY,
            None => SETTLED_DECAYS * curves.decay_s(way.speed) + recovery_s.unwrap_or(0.0),
        };
        Some(Embarked {
            start: RideStart { speed_m_s: way.speed, crest_m_s: sea.crest_speed_m_s() },
            forgotten_s: forgotten_s.max(LEAST_SETTLING_S),
            recovery_s,
            hull_m_s: outcome.hull_m_s.or_else(|| way.flying.map(|_| self.hull_speed(sea, way.speed))),
            two_balances,
            curves,
        })
    }

    /// How she sails most of the time at the solved speed.
    pub(super) fn sailed(&self, outcome: &Outcome) -> Option<Way<'_>> {
        let on_hull = self.on_hull();
        let way = match (outcome.flying_m_s, on_hull) {
            (Some(speed), _) => Way {
                speed,
                drive: &self.main,
                carriage: Carriage::Stalling,
                flying: self.tables.model.foils.as_ref(),
            },
            (None, Some((drive, carriage))) => {
                Way { speed: outcome.hull_m_s.unwrap_or(0.0), drive, carriage, flying: None }
            }
            (None, None) => Way {
                speed: outcome.balance_m_s(),
                drive: &self.main,
                carriage: Carriage::Laden,
                flying: None,
            },
        };
        (way.speed > 0.0).then_some(way)
    }

    fn surge_curves(&self, sea: &SeaCurve, way: &Way) -> SurgeCurves {
        let rungs = self.rungs_followed(way.speed);
        let drive = way.drive.swinging();
        let taken: Vec<f64> = (0..rungs)
            .map(|rung| {
                let deck_water_n = sea.rung(rung).deck_water_on_n(way.carriage);
                taken_n(sea, rung, drive.pitching[rung], way.carriage, deck_water_n)
            })
            .collect();
        let drag_n = self.drag_n(sea, way.carriage, rungs);
        let drive_n = driven_n(drive, &taken, &drag_n, way.speed);
        let curves =
            SurgeCurves::new(STEP_M_S, self.surge_mass_kg(), &drive_n, &drag_n).balanced_at(way.speed);
        let Some(foils) = way.airborne() else {
            return curves;
        };
        let fallen_n = self.drag_n(sea, Carriage::Hull { foil_in_water: true }, rungs);
        let event_rates_hz: Vec<f64> = (0..rungs).map(|rung| sea.event_rate_hz(rung, foils)).collect();
        curves
            .with_falls(foils.share.takeoff_m_s, foils.recovery_s, &fallen_n)
            .with_rate(RUNG_M_S, &event_rates_hz)
    }

    /// Her mass with the water that surges with her, kg.
    pub(super) fn surge_mass_kg(&self) -> f64 {
        (1.0 + ADDED_SURGE_MASS) * self.tables.model.displacement_kg
    }

    /// Rungs up to the speed that she is followed to as waves carry her.
    pub(super) fn rungs_followed(&self, speed_m_s: f64) -> usize {
        rungs_below((FOLLOWED.0 * speed_m_s + FOLLOWED.1).min(self.tables.top_m_s())) + 1
    }

    /// Drag of hull and foil in a sea in fine steps of the speed, N: still water's, and what the sea changes of it.
    fn drag_n(&self, sea: &SeaCurve, carriage: Carriage, rungs: usize) -> Vec<f64> {
        let change: Vec<f64> = (0..rungs)
            .map(|rung| {
                sea.carried(rung, carriage).held_back_n() - sea.still_carried(rung, carriage).held_back_n()
            })
            .collect();
        let still = self.tables.still_drag_n(carriage);
        still.iter().zip(to_steps(&change)).map(|(still, change)| still + change).collect()
    }
}

/// How she sails: at which speed, driven and carried by what.
pub(super) struct Way<'c> {
    pub(super) speed: f64,
    pub(super) drive: &'c Drive,
    pub(super) carriage: Carriage,
    /// Her foils, where she flies on them.
    pub(super) flying: Option<&'c Foils>,
}

impl<'c> Way<'c> {
    /// Her foils, where she is fast enough to have taken off and so may fall.
    pub(super) fn airborne(&self) -> Option<&'c Foils> {
        self.flying.filter(|foils| self.speed > foils.share.takeoff_m_s)
    }
}

/// What drives her in fine steps of the speed, N, where the sea takes so much at the rungs.
///
/// Below the least speed that she holds, where a wave that stops her would leave her without way, she bears away until she
/// has gathered way: no crew keeps a course that drives her astern. The way made meanwhile counts in full.
pub(super) fn driven_n(drive: &SwingingDrive, taken_n: &[f64], drag_n: &[f64], speed_m_s: f64) -> Vec<f64> {
    let mut driven: Vec<f64> =
        drive.thrust_n.iter().zip(to_steps(taken_n)).map(|(thrust, taken)| thrust - taken).collect();
    let slower = (speed_m_s / STEP_M_S) as usize;
    for (step, away) in drive.away_n.iter().enumerate().take(slower) {
        if driven[step] >= drag_n[step] {
            break;
        }
        driven[step] += away - drive.thrust_n[step];
    }
    driven
}

/// What the sea takes of her thrust at a rung by her own speed, N, with so much of it by water on deck.
pub(super) fn taken_n(
    sea: &SeaCurve,
    rung: usize,
    pitching: f64,
    carriage: Carriage,
    deck_water_n: f64,
) -> f64 {
    let borne = sea.carried(rung, carriage).borne;
    let sea = sea.rung(rung);
    borne * sea.added_n[0] + sea.beyond_n + deck_water_n - pitching * sea.pitch_rate
}
