//! The boat from step to step with all of her hull: the balance of flat water drives and holds her, the sea acts by
//! `hydro::body`.

use crate::balance::ADDED_SURGE_MASS;
use crate::balance::BalanceInTime;
use crate::base::Result;
use crate::base::units::{G, RHO_WATER, kn_to_m_s};
use crate::boat::{BoatModel, LONGEST_STEP_S, WholeBody};
use crate::hydro::body::{Afloat, BodyState, Outside, Passing, Scratch, SectionNow, Wave};
use crate::hydro::surge::recovered;
use crate::simulate::forefoot::{Forefoot, Reentry};

/// What all steps of one boat in one sea share.
pub(super) struct WholeHull<'w> {
    model: &'w BoatModel,
    balance: &'w BalanceInTime<'w>,
    whole: WholeBody,
    forefoot: Option<Forefoot>,
    wind_m_s: [f64; 2],
    rig_m: f64,
}

/// Her state.
pub(super) struct Sailing {
    pub(super) afloat: BodyState,
    pub(super) now: Afloat,
    scratch: Scratch,
    /// Time until she flies again, s.
    pub(super) fallen_s: f64,
    stalled: bool,
    broached: bool,
    under: bool,
    forefoot_out: bool,
}

/// What happened in a step.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Happened {
    pub(super) stalled: bool,
    pub(super) broached: bool,
    pub(super) dropped: bool,
    pub(super) bow_under: bool,
    pub(super) reentry: Option<Reentry>,
    pub(super) flying: bool,
    pub(super) impact_n: f64,
    /// Of that what acts before the centre of gravity: a flat stern's slap is none of the bow's.
    pub(super) bow_impact_n: f64,
    /// Apparent wind angle at the sails, rad.
    pub(super) apparent_rad: f64,
    /// Vertical acceleration at the stem, m/s².
    pub(super) bow_acceleration_m_s2: f64,
    /// The greatest by size within the step.
    pub(super) bow_acceleration_most_m_s2: f64,
    /// Thrust less resistance, the sea's forces, and what speeds up the water on deck, means over the step, N.
    pub(super) forces_n: [f64; 3],
}

impl<'w> WholeHull<'w> {
    /// A boat of known topsides in waves; `balance` is that of flat water, `mean_m_s` about the speed she will have.
    ///
    /// # Errors
    /// A boat whose hull is known up to the waterline alone.
    pub(super) fn new(
        model: &'w BoatModel,
        balance: &'w BalanceInTime<'w>,
        waves: &[Wave],
        mean_m_s: f64,
        [tws_kn, twa_deg]: [f64; 2],
    ) -> Result<Self> {
        let flying_m_s = balance.foils.map(|_| balance.balance_m_s);
        let mut whole = WholeBody::new(model, waves, mean_m_s, flying_m_s)?;
        whole.body.surge_mass_ratio = 1.0 + ADDED_SURGE_MASS;
        let twa = twa_deg.to_radians();
        let tws = kn_to_m_s(tws_kn);
        let rig_m = model.boat.sails.as_ref().map_or(0.0, |sails| sails.effort_above_gravity_m);
        let forefoot = model.hull.decked().map(|hull| Forefoot::new(hull, model.hydrostatics.lwl_m));
        Ok(Self { model, balance, whole, forefoot, wind_m_s: [tws * twa.cos(), tws * twa.sin()], rig_m })
    }

    /// Afloat as in flat water at the balance's speed, the foil set for the trim she has there.
    pub(super) fn start(&mut self) -> Sailing {
        let afloat =
            self.whole.settled(self.balance.balance_m_s, &|passing| self.outside(passing, 0.0, true));
        self.whole.body.set_foil_trim(afloat.trim_rad);
        Sailing {
            afloat,
            now: Afloat::default(),
            scratch: Scratch::default(),
            fallen_s: 0.0,
            stalled: false,
            broached: false,
            under: false,
            forefoot_out: false,
        }
    }

    /// Centre of gravity forward of the aft end of the waterline, m.
    pub(super) fn gravity_x_m(&self) -> f64 {
        self.whole.body.gravity_x_m()
    }

    /// Her mass with the water that surges with her, kg.
    pub(super) fn surge_mass_kg(&self) -> f64 {
        self.whole.body.surge_mass_kg()
    }

    /// Water on deck now, kg.
    pub(super) fn deck_kg(&self, sailing: &Sailing) -> f64 {
        RHO_WATER * sailing.afloat.deck.on_deck_m3(&sailing.scratch.met)
    }

    /// Steps on by a time.
    pub(super) fn step(&self, sailing: &mut Sailing, step_s: f64) -> Happened {
        let parts = (step_s / LONGEST_STEP_S).ceil().max(1.0);
        let mut happened = Happened::default();
        for _ in 0..parts as usize {
            self.part(sailing, step_s / parts, &mut happened);
            for (mean, part) in happened.forces_n.iter_mut().zip(sailing.now.surge_means_n) {
                *mean += part / parts;
            }
        }
        happened
    }

    fn part(&self, sailing: &mut Sailing, step_s: f64, happened: &mut Happened) {
        let flying = sailing.fallen_s <= 0.0;
        let deck_kg = sailing.now.deck_kg;
        let raised = self.whole.raised_m(sailing.afloat.speed_m_s);
        let mut state = sailing.afloat.clone();
        let outside = |passing: &Passing| self.outside(passing, deck_kg, flying);
        let (now, _) = self.whole.body.step(&mut state, step_s, &outside, &raised, &mut sailing.scratch);
        sailing.afloat = state;
        sailing.now = now;
        if let Some(forefoot) = &self.forefoot {
            let (out, reentry) = forefoot.meets(sailing.forefoot_out, &sailing.scratch.met);
            sailing.forefoot_out = out;
            happened.reentry = reentry.or(happened.reentry);
        }
        happened.impact_n = happened.impact_n.max(now.impact_n);
        happened.bow_impact_n = happened.bow_impact_n.max(bow_impact_n(&sailing.scratch.met));
        self.flight(sailing, step_s, happened);
        let under = now.stem_over_edge_m > 0.0;
        happened.bow_under |= under && !sailing.under;
        sailing.under = under;
        let state = &sailing.afloat;
        let along = self.wind_m_s[0] + state.speed_m_s + state.trim_rate_rad_s * self.rig_m;
        happened.apparent_rad = self.wind_m_s[1].atan2(along);
        let stem_x = self.model.hydrostatics.lwl_m - self.whole.body.gravity_x_m();
        happened.bow_acceleration_m_s2 = now.accelerations[1] - stem_x * now.accelerations[2];
        happened.bow_acceleration_most_m_s2 =
            happened.bow_acceleration_most_m_s2.max(happened.bow_acceleration_m_s2.abs());
    }

    /// Stall, air drawn down, a foil out of the water, too slow to fly: each costs the recovery.
    fn flight(&self, sailing: &mut Sailing, step_s: f64, happened: &mut Happened) {
        let Some(foils) = self.balance.foils else { return };
        let speed = sailing.afloat.speed_m_s;
        let slow = self.balance.curves.fall().is_some_and(|(drop_m_s, _)| speed < drop_m_s);
        if sailing.fallen_s > 0.0 {
            sailing.fallen_s = recovered(sailing.fallen_s, step_s, slow);
            return;
        }
        let carries = foils.share.at(speed) > 0.0;
        let beyond = carries && foils.is_past_limits(sailing.now.foil.angle_rad);
        let out = carries && sailing.now.foil.depth_m <= 0.0;
        happened.stalled |= beyond && !sailing.stalled;
        happened.broached |= out && !sailing.broached;
        happened.dropped |= slow;
        if (beyond && !sailing.stalled) || (out && !sailing.broached) || slow {
            sailing.fallen_s = foils.recovery_s;
        }
        (sailing.stalled, sailing.broached) = (beyond, out);
        happened.flying = carries;
    }

    fn outside(&self, passing: &Passing, deck_kg: f64, flying: bool) -> Outside {
        let speed = passing.speed_m_s.max(0.0);
        let surplus = self.balance.curves.surplus(passing.speed_m_s, passing.water_along_m_s, !flying).0;
        let held = deck_kg * self.balance.drag_per_water.at(speed).0;
        let share = match self.balance.foils {
            Some(foils) if flying => foils.share.at(speed),
            _ => 0.0,
        };
        Outside {
            surge_n: surplus - held,
            heave_n: 0.0,
            pitch_nm: self.whole.drive_nm(speed),
            foil_lift_n: share * (self.whole.body.mass_kg() + deck_kg) * G,
        }
    }
}

/// Force of impact on the sections before the centre of gravity, N, up; as the body has it.
fn bow_impact_n(met: &[SectionNow]) -> f64 {
    let entering = met.iter().filter(|section| section.x_m > 0.0 && section.entry_m_s > 0.0);
    entering.map(|section| section.weight_m * section.excess_slope_kg_m2 * section.entry_m_s.powi(2)).sum()
}
