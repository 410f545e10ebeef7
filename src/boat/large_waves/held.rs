//! A boat held at a speed in a drawn sea of several heights: what the sea takes in the mean.
//!
//! Each sea is met twice, the second time with crests for troughs. Forces that go with the height itself, which where she keeps pace
//! with the waves do not average out over any time, are then the same with the other sign; what is left of the mean of both goes
//! with even powers of the height. What the odd ones do as her speed swings is the stage of surge.

use crate::base::Result;
use crate::base::units::G;
use crate::boat::model::BoatModel;
use crate::boat::whole_body::{LONGEST_STEP_S, WholeBody};
use crate::hydro::body::{Afloat, Body, BodyState, Outside, Passing, Scratch, Wave};
use std::cell::Cell;

/// Time until a start is forgotten, and time that is counted, s.
const SETTLE_S: f64 = 30.0;
const COUNTED_S: f64 = 100.0;

/// Means of what a sea takes.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Taken {
    /// Force along the course on hull and foil, N, positive astern, without that of still water.
    pub hull_n: f64,
    /// Force of the water that comes aboard, N.
    pub deck_n: f64,
    /// Water on deck, kg.
    pub deck_kg: f64,
    /// Whether she pitch-poled, which ended the run.
    pub lost: bool,
}

/// A trim that she does not come back from, rad: 34 degrees (judged); the equations end before.
const LOST_RAD: f64 = 0.6;

/// What waves of given heights take of her at a speed: by each height's factor on the waves.
///
/// # Errors
/// A boat without decks.
pub(super) fn taken(
    model: &BoatModel,
    waves: &[Wave],
    speed_m_s: f64,
    factors: &[f64],
) -> Result<Vec<Taken>> {
    let flies = model.foil_share(speed_m_s) > 0.0;
    let mut whole = WholeBody::new(model, waves, speed_m_s, flies.then_some(speed_m_s))?;
    whole.body.held = true;
    let run =
        Held { whole: &whole, lift_share: model.foil_share(speed_m_s), speed_m_s, deck_kg: Cell::new(0.0) };
    let start = whole.settled(speed_m_s, &|passing| run.outside(passing));
    let mut body = whole.body.clone();
    body.set_foil_trim(start.trim_rad);
    let still = run.means(&body.without_waves(), &start, SETTLE_S);
    let at = |factor: &f64| {
        let [crests, troughs] =
            [*factor, -factor].map(|factor| run.means(&body.higher(factor), &start, COUNTED_S));
        let mean = |of: fn(&Taken) -> f64| 0.5 * (of(&crests) + of(&troughs));
        Taken {
            hull_n: mean(|taken| taken.hull_n) - still.hull_n,
            deck_n: mean(|taken| taken.deck_n),
            deck_kg: mean(|taken| taken.deck_kg),
            lost: crests.lost || troughs.lost,
        }
    };
    Ok(factors.iter().map(at).collect())
}

struct Held<'b> {
    whole: &'b WholeBody,
    /// Share of her weight that the foil carries.
    lift_share: f64,
    speed_m_s: f64,
    deck_kg: Cell<f64>,
}

impl Held<'_> {
    fn outside(&self, passing: &Passing) -> Outside {
        Outside {
            pitch_nm: self.whole.drive_nm(passing.speed_m_s),
            foil_lift_n: self.lift_share * (self.whole.body.mass_kg() + self.deck_kg.get()) * G,
            ..Outside::default()
        }
    }

    fn means(&self, body: &Body, start: &BodyState, counted_s: f64) -> Taken {
        let mut state = start.clone();
        let mut scratch = Scratch::default();
        let raised = self.whole.raised_m(self.speed_m_s);
        self.deck_kg.set(0.0);
        let mut step = |state: &mut BodyState| -> (Afloat, f64) {
            let aboard_n = state.deck_force_n;
            let outside = |passing: &Passing| self.outside(passing);
            let (now, _) = body.step(state, LONGEST_STEP_S, &outside, &raised, &mut scratch);
            self.deck_kg.set(now.deck_kg);
            (now, aboard_n)
        };
        let lost = |state: &BodyState| !state.trim_rad.is_finite() || state.trim_rad.abs() >= LOST_RAD;
        for _ in 0..(SETTLE_S / LONGEST_STEP_S) as usize {
            step(&mut state);
            if lost(&state) {
                return Taken { lost: true, ..Taken::default() };
            }
        }
        let steps = (counted_s / LONGEST_STEP_S) as usize;
        let mut sum = Taken::default();
        for _ in 0..steps {
            let (now, aboard_n) = step(&mut state);
            sum.hull_n -= now.surge_means_n[1] - aboard_n;
            sum.deck_n -= aboard_n;
            sum.deck_kg += now.deck_kg;
            if lost(&state) {
                return Taken { lost: true, ..Taken::default() };
            }
        }
        let mean = |sum: f64| sum / steps as f64;
        Taken { hull_n: mean(sum.hull_n), deck_n: mean(sum.deck_n), deck_kg: mean(sum.deck_kg), lost: false }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::spec::Boat;
    use crate::hydro::response::Method;
    use std::f64::consts::PI;
    use std::path::Path;

    /// Small seas of the same waves: half the height, a quarter of the force, so that nothing is beyond; a dry deck.
    #[test]
    fn small_seas_go_with_the_square() {
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/boats/sleet-heron-15.toml");
        let model = BoatModel::new(Boat::read(&file).unwrap(), Method::default(), None).unwrap();
        let wave = |i: u32| Wave {
            amplitude_m: 0.1,
            omega_rad_s: 0.8 + 0.1 * f64::from(i),
            mu_rad: PI,
            phase_rad: 2.4 * f64::from(i),
        };
        let waves: Vec<Wave> = (0..8).map(wave).collect();
        let [high, low] = taken(&model, &waves, 5.0, &[0.5, 0.25]).unwrap()[..] else { unreachable!() };
        assert!((high.hull_n / low.hull_n - 4.0).abs() < 0.2, "{high:?} {low:?}");
        assert_eq!((high.deck_n, high.deck_kg), (0.0, 0.0));
    }
}
