//! The boat from step to step: speed, water on deck, and whether she is on her foils.

use crate::balance::BalanceInTime;
use crate::base::units::{G, RHO_WATER};
use crate::boat::{DeckSpec, Foils};
use crate::hydro::deck_water::overtopping_m2_s;
use crate::hydro::surge::{Push, recovered};
use crate::simulate::linear_motions::Moment;

/// What of a boat a simulation needs beside her balance.
pub(super) struct Craft<'c> {
    pub balance: &'c BalanceInTime<'c>,
    pub displacement_kg: f64,
    pub deck: Option<&'c DeckSpec>,
}

/// Her state.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct State {
    /// Speed through still water, m/s.
    pub speed: f64,
    /// Acceleration over the last step, m/s².
    pub acceleration: f64,
    /// Water on deck, kg.
    pub water_kg: f64,
    /// Time until she flies again, s; zero while she can.
    pub fallen_s: f64,
    /// Whether the foil's angle was beyond a limit, and the foil out of the water: what ends is only the crossing.
    stalled: bool,
    broached: bool,
    diving: bool,
}

/// What happened in a step.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Step {
    /// The foil stalled or drew air.
    pub stalled: bool,
    /// The foil left the water.
    pub broached: bool,
    /// She became too slow to fly.
    pub dropped: bool,
    /// The bow went under as she outran the waves.
    pub nose_dived: bool,
    /// Angle of attack of the foil from zero lift, rad; none where she does not fly.
    pub foil_angle_rad: Option<f64>,
    /// Water that came aboard, kg.
    pub shipped_kg: f64,
    /// Water that ran off, kg.
    pub drained_kg: f64,
    /// Thrust less the sea's mean forces and drag, force of the waves, and what water on deck takes, N.
    pub forces_n: [f64; 3],
}

impl State {
    /// Sailing at a speed, dry and on her foils.
    pub(super) fn at(speed: f64) -> Self {
        Self { speed, ..Self::default() }
    }

    /// One step of time in waves that push, felt at the middle of it.
    pub(super) fn step(
        &mut self,
        craft: &Craft,
        push: Push,
        moment: &Moment,
        crest_m_s: Option<f64>,
        step_s: f64,
    ) -> Step {
        let balance = craft.balance;
        let mut step = Step::default();
        let (lost_n, lost_slope) = self.foil_step(craft, push, moment, step_s, &mut step);
        let (deck_n, deck_slope) = self.deck_step(craft, moment, step_s, &mut step);
        self.dive_step(balance, moment, crest_m_s, &mut step);
        let half = 0.5 * step_s;
        let (surplus, slope) = balance.curves.surplus(self.speed, push.flow_m_s, self.fallen_s > 0.0);
        let inertia = balance.curves.inertia_kg();
        let force = surplus - lost_n - deck_n + push.force_n;
        let slope = slope - lost_slope - deck_slope;
        self.acceleration = force / (inertia - half * slope).max(0.5 * inertia);
        step.forces_n = [surplus - lost_n, push.force_n, -deck_n];
        self.speed += step_s * self.acceleration;
        step
    }

    /// Angle, stall, falls and flight; the drag that lift lost by stall adds, N, with its slope.
    fn foil_step(
        &mut self,
        craft: &Craft,
        push: Push,
        moment: &Moment,
        step_s: f64,
        step: &mut Step,
    ) -> (f64, f64) {
        let Some(foils) = craft.balance.foils else { return (0.0, 0.0) };
        if self.fallen_s > 0.0 {
            let slow = craft
                .balance
                .curves
                .fall()
                .is_some_and(|(drop_m_s, _)| self.speed - push.flow_m_s < drop_m_s);
            self.fallen_s = recovered(self.fallen_s, step_s, slow);
            return (0.0, 0.0);
        }
        let share = foils.share.at(self.speed);
        if share <= 0.0 || self.speed <= 0.0 {
            // too slow to carry anything: a fall where she could fly at her balance's speed
            step.dropped = self.drops(craft, push);
            return (0.0, 0.0);
        }
        let lift_n = share * (craft.displacement_kg + self.water_kg) * G;
        let mean_rad = foils.foil.angle_rad(lift_n, self.speed);
        let angle_rad = mean_rad + moment.foil_velocity_m_s / self.speed;
        step.foil_angle_rad = Some(angle_rad);
        let beyond = foils.is_past_limits(angle_rad);
        step.stalled = beyond && !self.stalled;
        self.stalled = beyond;
        let out = moment.foil_rise_m > foils.foil.depth_m();
        step.broached = out && !self.broached;
        self.broached = out;
        step.dropped = self.drops(craft, push);
        if step.stalled || step.broached {
            self.fallen_s = foils.recovery_s;
        }
        let lost = lost_lift(foils, angle_rad, mean_rad);
        let (per_lost, slope) = craft.balance.drag_per_lost_lift.at(self.speed);
        (lost * per_lost, lost * slope)
    }

    /// Whether she becomes too slow to fly, which costs a recovery.
    fn drops(&mut self, craft: &Craft, push: Push) -> bool {
        let Some((drop_m_s, recovery_s)) = craft.balance.curves.fall() else { return false };
        let drops = self.speed - push.flow_m_s < drop_m_s;
        if drops {
            self.fallen_s = recovery_s;
        }
        drops
    }

    /// Water that comes over and runs off; the force that it takes, N, with its slope.
    fn deck_step(&mut self, craft: &Craft, moment: &Moment, step_s: f64, step: &mut Step) -> (f64, f64) {
        let (Some(deck), Some(freeboard_m)) = (craft.deck, &craft.balance.freeboard_m) else {
            return (0.0, 0.0);
        };
        let head_m = moment.bow_m - freeboard_m.at(self.speed.max(0.0)).0;
        let kg_s = RHO_WATER * deck.wetted_edge_m * overtopping_m2_s(head_m);
        let before = self.water_kg;
        self.water_kg = (before + step_s * kg_s) / (1.0 + step_s / deck.drain_time_s);
        step.shipped_kg = step_s * kg_s;
        step.drained_kg = before + step.shipped_kg - self.water_kg;
        let (per_kg, slope) = craft.balance.drag_per_water.at(self.speed.max(0.0));
        let carried = deck.momentum_share * kg_s;
        (
            carried * (self.speed - moment.bow_flow_m_s) + self.water_kg * per_kg,
            carried + self.water_kg * slope,
        )
    }

    fn dive_step(
        &mut self,
        balance: &BalanceInTime,
        moment: &Moment,
        crest_m_s: Option<f64>,
        step: &mut Step,
    ) {
        let Some(freeboard_m) = &balance.freeboard_m else { return };
        let under = moment.bow_m > freeboard_m.at(self.speed.max(0.0)).0;
        let outruns = crest_m_s.is_some_and(|crest| self.speed > crest);
        step.nose_dived = under && outruns && !self.diving;
        self.diving = under;
    }
}

/// The part of the lift that stall takes, over the mean lift; the section lifts on beyond stall as its file says.
fn lost_lift(foils: &Foils, angle_rad: f64, mean_rad: f64) -> f64 {
    let stall = &foils.stall;
    let held = if angle_rad > stall.positive_rad {
        stall.lift_left * stall.positive_rad
    } else if angle_rad < -stall.negative_rad {
        -stall.lift_left * stall.negative_rad
    } else {
        return 0.0;
    };
    (angle_rad - held) / mean_rad
}
