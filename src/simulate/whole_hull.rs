//! The boat from step to step with all of her hull: the balance of flat water drives and holds her, the sea acts by
//! `hydro::body`.

use crate::balance::ADDED_SURGE_MASS;
use crate::balance::BalanceInTime;
use crate::base::units::{G, RHO_WATER, kn_to_m_s};
use crate::base::{Error, Result};
use crate::boat::BoatModel;
use crate::hull::Decked;
use crate::hydro::body::{
    Afloat, Body, BodyFoil, BodyState, Outside, Passing, Scratch, SectionNow, Slam, Wave,
};
use crate::hydro::foil::Foil;
use crate::hydro::surge::recovered;

/// Longest step of the equations of motion, s: halved, means change by less than 0.2 % (`tests/physics/body.rs`).
const LONGEST_STEP_S: f64 = 0.04;
/// Time in flat water that finds how she floats, s.
const FLAT_S: f64 = 60.0;

/// What all steps of one boat in one sea share.
pub(super) struct WholeHull<'w> {
    model: &'w BoatModel,
    balance: &'w BalanceInTime<'w>,
    body: Body,
    bow: BowWave,
    drive_nm: Vec<f64>,
    wind_m_s: [f64; 2],
    rig_m: f64,
}

/// What the steady bow wave adds to the sea at the edge.
struct BowWave {
    /// Sections before this, m forward of the centre of gravity, have it.
    from_x_m: f64,
    /// Over speed in steps of a knot, m.
    raised_m: Vec<f64>,
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
}

/// What happened in a step.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Happened {
    pub(super) stalled: bool,
    pub(super) broached: bool,
    pub(super) dropped: bool,
    pub(super) bow_under: bool,
    pub(super) slam: Option<Slam>,
    pub(super) flying: bool,
    pub(super) impact_n: f64,
    /// Apparent wind angle at the sails, rad.
    pub(super) apparent_rad: f64,
    /// Vertical acceleration at the stem, m/s².
    pub(super) bow_acceleration_m_s2: f64,
    /// The greatest by size within the step.
    pub(super) bow_acceleration_most_m_s2: f64,
    /// Thrust less resistance, and the sea's forces, N.
    pub(super) forces_n: [f64; 2],
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
        let decked = hull_to_the_deck(model)?;
        let spec = &model.boat.hull;
        let mut body = Body::new(
            decked,
            &model.waves.strip,
            waves,
            mean_m_s,
            spec.pitch_radius_m,
            spec.vcg_m,
            RHO_WATER,
        );
        body.surge_mass_ratio = 1.0 + ADDED_SURGE_MASS;
        body.drain_s = model.boat.deck.as_ref().map(|deck| deck.drain_time_s);
        body.momentum_share = model.boat.deck.as_ref().map_or(0.0, |deck| deck.momentum_share);
        body.foil = balance.foils.and(model.boat.foils.as_ref()).map(|foils| {
            let running = model.running(balance.balance_m_s, true, 1.0);
            let foil = Foil {
                span_m: foils.span_m,
                chord_m: foils.chord_m,
                profile_drag_coefficient: foils.profile_drag_coefficient,
            };
            BodyFoil {
                x_m: foils.x_m - body.gravity_x_m(),
                depth_m: foils.depth_m + running.rise_m,
                area_m2: foil.area_m2(),
                chord_m: foils.chord_m,
                lift_slope_per_rad: foil.lift_slope_per_rad(foils.depth_m),
                stall_rad: foils.stall_angle_deg.to_radians(),
                lift_after_stall: foils.lift_after_stall,
                trim_rad: 0.0,
                rho_kg_m3: RHO_WATER,
            }
        });
        let flies = balance.foils.is_some();
        let edge_m = model.boat.deck.as_ref().map_or(0.0, |deck| deck.wetted_edge_m / 2.0);
        let running = |knots: usize| model.running(kn_to_m_s(knots as f64), flies, edge_m.max(0.1));
        let bow = BowWave {
            from_x_m: model.hydrostatics.lwl_m - body.gravity_x_m() - edge_m,
            raised_m: (0..=80).map(|knots| running(knots).bow_wave_m).collect(),
        };
        let drive_nm = (0..=80).map(|knots| model.drive_moment_nm(kn_to_m_s(knots as f64), flies)).collect();
        let twa = twa_deg.to_radians();
        let tws = kn_to_m_s(tws_kn);
        let rig_m = model.boat.sails.as_ref().map_or(0.0, |sails| sails.effort_above_gravity_m);
        Ok(Self { model, balance, body, bow, drive_nm, wind_m_s: [tws * twa.cos(), tws * twa.sin()], rig_m })
    }

    /// Afloat as in flat water at the balance's speed, the foil set for the trim she has there.
    pub(super) fn start(&mut self) -> Sailing {
        let mut rest = self.body.without_waves();
        rest.held = true;
        let mut state = rest.at_rest(self.balance.balance_m_s);
        let mut scratch = Scratch::default();
        let steps = (FLAT_S / LONGEST_STEP_S) as usize;
        for step in 0..steps {
            rest.step(&mut state, LONGEST_STEP_S, &|p| self.outside(p, 0.0, true), &|_| 0.0, &mut scratch);
            // the crew sets the foil to the trim she comes to
            if step % 25 == 0
                && let Some(foil) = &mut rest.foil
            {
                foil.trim_rad = state.trim_rad;
            }
        }
        if let (Some(foil), Some(set)) = (&mut self.body.foil, rest.foil) {
            foil.trim_rad = set.trim_rad;
        }
        let mut afloat = self.body.at_rest(state.speed_m_s);
        (afloat.heave_m, afloat.trim_rad) = (state.heave_m, state.trim_rad);
        afloat.memory.settled = [state.heave_m, state.trim_rad];
        Sailing {
            afloat,
            now: Afloat::default(),
            scratch: Scratch::default(),
            fallen_s: 0.0,
            stalled: false,
            broached: false,
            under: false,
        }
    }

    /// Centre of gravity forward of the aft end of the waterline, m.
    pub(super) fn gravity_x_m(&self) -> f64 {
        self.body.gravity_x_m()
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
        }
        happened
    }

    fn part(&self, sailing: &mut Sailing, step_s: f64, happened: &mut Happened) {
        let flying = sailing.fallen_s <= 0.0;
        let deck_kg = sailing.now.deck_kg;
        let bow_wave_m = by_knot(&self.bow.raised_m, sailing.afloat.speed_m_s);
        let raised = |section: &SectionNow| if section.x_m < self.bow.from_x_m { 0.0 } else { bow_wave_m };
        let mut state = sailing.afloat.clone();
        let outside = |passing: &Passing| self.outside(passing, deck_kg, flying);
        let (now, slam) = self.body.step(&mut state, step_s, &outside, &raised, &mut sailing.scratch);
        sailing.afloat = state;
        sailing.now = now;
        if let Some(slam) = slam {
            happened.slam = Some(slam);
        }
        happened.impact_n = happened.impact_n.max(now.impact_n);
        self.flight(sailing, step_s, happened);
        let under = now.stem_over_edge_m > 0.0;
        happened.bow_under |= under && !sailing.under;
        sailing.under = under;
        let state = &sailing.afloat;
        let along = self.wind_m_s[0] + state.speed_m_s + state.trim_rate_rad_s * self.rig_m;
        happened.apparent_rad = self.wind_m_s[1].atan2(along);
        let stem_x = self.model.hydrostatics.lwl_m - self.body.gravity_x_m();
        happened.bow_acceleration_m_s2 = now.accelerations[1] - stem_x * now.accelerations[2];
        happened.bow_acceleration_most_m_s2 =
            happened.bow_acceleration_most_m_s2.max(happened.bow_acceleration_m_s2.abs());
        let speed = state.speed_m_s;
        let surplus = self.balance.curves.surplus(speed, 0.0, !flying).0;
        happened.forces_n = [surplus, now.surge_n];
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
            pitch_nm: by_knot(&self.drive_nm, speed),
            foil_lift_n: share * (self.body.mass_kg() + deck_kg) * G,
        }
    }
}

/// A boat's hull up to her deck.
///
/// # Errors
/// A boat whose hull is known up to the waterline alone.
pub(super) fn hull_to_the_deck(model: &BoatModel) -> Result<&Decked> {
    model.hull.decked().ok_or_else(|| {
        Error::new("the boat's bow ends at the waterline")
            .at(format!("boat `{}`", model.boat.name))
            .expected("her hull up to the deck")
            .remedy(
                "add [topsides] to the boat file or offsets up to the deck, or simulate with --body linear",
            )
    })
}

/// A value kept at whole knots, at a speed; the last beyond.
fn by_knot(values: &[f64], speed_m_s: f64) -> f64 {
    let knots = (speed_m_s / kn_to_m_s(1.0)).clamp(0.0, (values.len() - 1) as f64);
    let low = (knots as usize).min(values.len() - 2);
    values[low] + (knots - low as f64) * (values[low + 1] - values[low])
}
