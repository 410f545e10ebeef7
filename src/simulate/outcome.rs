//! What a simulation comes to: means, swing and events over all its seeds.

use crate::base::Flag;
use crate::base::units::m_s_to_kn;
use crate::derate::PolarCell;
use crate::simulate::boat::{State, Step};
use serde::Serialize;

/// Parts of one seed's time whose means tell how far a single seed can be trusted.
const PARTS: usize = 10;
/// A slowing below this part of the balance's speed is one that a crew notices and that takes time to make good (judged).
const NOTICED: f64 = 0.95;
const SECONDS_AN_HOUR: f64 = 3600.0;

/// A boat in a sea in time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Simulated {
    /// Speed in flat water, kn.
    pub flat_kn: f64,
    /// Mean speed, kn.
    pub mean_kn: f64,
    /// Its standard error, kn.
    pub mean_se_kn: f64,
    /// Standard deviation of the speed, kn.
    pub sd_kn: f64,
    /// Speed that she is slower than in 5 % of the time, kn.
    pub p5_kn: f64,
    /// Speed that she is faster than in 5 % of the time, kn.
    pub p95_kn: f64,
    /// What `derate` gives for this sea, kn.
    pub derate_kn: f64,
    /// Its standard deviation of the speed, kn; absent where surge is left out.
    pub derate_sd_kn: Option<f64>,
    /// Standard error of `derate_kn`, by simulating only so long, kn; absent where surge is left out.
    pub derate_se_kn: Option<f64>,
    /// Part of the time faster than the crests of the largest waves run along the course.
    pub riding_share: f64,
    /// Stalls of the foil, and air drawn down to it, an hour.
    pub stall_rate_per_h: f64,
    /// Times an hour that the foil leaves the water.
    pub broach_rate_per_h: f64,
    /// Times an hour that she becomes too slow to fly.
    pub drop_rate_per_h: f64,
    /// Part of the time on her foils; absent for a boat that does not fly here.
    pub flying_share: Option<f64>,
    /// Times an hour that the bow goes under as she outruns the waves.
    pub nose_dive_rate_per_h: f64,
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// The most water on deck at once, kg.
    pub deck_water_most_kg: f64,
    /// Water that came over an hour, kg.
    pub shipped_kg_per_h: f64,
    /// Mean time from the least speed of a slowing by over 5 % until the speed of mean forces is regained, with all of her hull her
    /// mean speed, s; absent without any.
    pub recovery_mean_s: Option<f64>,
    /// Simulated time, s, without start-up, over all seeds.
    pub simulated_s: f64,
    /// How well the books close, as parts of what flows through them.
    pub books: Books,
    /// Reservations.
    pub flags: Vec<&'static str>,
}

/// What should be zero, and is but for the steps of time.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Books {
    /// Work of all forces less the change of kinetic energy, over the work of the waves and the drag, each taken positive.
    pub energy: f64,
    /// Water that came over less what ran off and what is left, over what came over.
    pub water: f64,
}

/// Sums over one seed.
#[derive(Debug, Clone, Default)]
pub(super) struct Sums {
    steps: usize,
    steps_a_part: usize,
    parts: [f64; PARTS],
    speeds: Vec<f32>,
    riding: usize,
    stalls: usize,
    broaches: usize,
    drops: usize,
    flying: usize,
    dives: usize,
    water_kg: f64,
    most_kg: f64,
    shipped_kg: f64,
    drained_kg: f64,
    work_j: f64,
    turnover_j: f64,
    kinetic_j: [f64; 2],
    left_kg: [f64; 2],
    recovery: Recovery,
}

/// Times from the least speed of a slowing until it is made good.
#[derive(Debug, Clone, Copy, Default)]
struct Recovery {
    /// Least speed of the slowing that lasts, and the time since.
    slowing: Option<(f64, f64)>,
    count: usize,
    sum_s: f64,
}

impl Recovery {
    fn add(&mut self, speed: f64, balance: f64, step_s: f64) {
        if speed >= balance {
            if let Some((least, since)) = self.slowing.take()
                && least < NOTICED * balance
            {
                self.count += 1;
                self.sum_s += since;
            }
            return;
        }
        self.slowing = Some(match self.slowing {
            Some((least, since)) if least <= speed => (least, since + step_s),
            _ => (speed, 0.0),
        });
    }
}

impl Sums {
    /// Nothing yet, with room for a number of steps.
    pub(super) fn new(steps: usize, start: &State, inertia_kg: f64) -> Self {
        Self {
            steps_a_part: steps.div_ceil(PARTS),
            speeds: Vec::with_capacity(steps),
            kinetic_j: [0.5 * inertia_kg * start.speed.powi(2); 2],
            left_kg: [start.water_kg; 2],
            ..Self::default()
        }
    }

    /// Adds a step with the state after it and the speed before.
    pub(super) fn add(
        &mut self,
        before_m_s: f64,
        state: &State,
        step: &Step,
        crest_m_s: Option<f64>,
        balance_m_s: f64,
        inertia_kg: f64,
        step_s: f64,
    ) {
        let midway = 0.5 * (before_m_s + state.speed);
        self.parts[(self.steps / self.steps_a_part).min(PARTS - 1)] += midway;
        self.steps += 1;
        self.speeds.push(midway as f32);
        self.riding += usize::from(crest_m_s.is_some_and(|crest| midway > crest));
        self.stalls += usize::from(step.stalled);
        self.broaches += usize::from(step.broached);
        self.drops += usize::from(step.dropped);
        self.flying += usize::from(step.foil_angle_rad.is_some());
        self.dives += usize::from(step.nose_dived);
        self.water_kg += state.water_kg;
        self.most_kg = self.most_kg.max(state.water_kg);
        self.shipped_kg += step.shipped_kg;
        self.drained_kg += step.drained_kg;
        self.work_j += step.forces_n.iter().sum::<f64>() * midway * step_s;
        self.turnover_j += step.forces_n.iter().map(|force| (force * midway).abs()).sum::<f64>() * step_s;
        self.kinetic_j[1] = 0.5 * inertia_kg * state.speed.powi(2);
        self.left_kg[1] = state.water_kg;
        self.recovery.add(midway, balance_m_s, step_s);
    }

    /// Counts slowings from a speed in place of the balance's.
    pub(super) fn recover_to(&mut self, speed_m_s: f64, step_s: f64) {
        self.recovery = Recovery::default();
        for speed in &self.speeds {
            self.recovery.add(f64::from(*speed), speed_m_s, step_s);
        }
    }

    /// Mean speed, m/s.
    pub(super) fn mean_m_s(&self) -> f64 {
        self.parts.iter().sum::<f64>() / self.steps.max(1) as f64
    }

    /// Squared standard error of the mean, from the parts.
    fn error(&self) -> f64 {
        let means = self.parts.map(|sum| sum / self.steps_a_part.max(1) as f64);
        let mean = means.iter().sum::<f64>() / PARTS as f64;
        means.iter().map(|part| (part - mean).powi(2)).sum::<f64>() / (PARTS * (PARTS - 1)) as f64
    }
}

impl Simulated {
    /// `derated` is what derating gives for the same sea.
    pub(super) fn of(seeds: &[Sums], derated: &PolarCell, flies: bool, step_s: f64) -> Self {
        let steps: usize = seeds.iter().map(|sums| sums.steps).sum();
        let simulated_s = steps as f64 * step_s;
        let count = |of: fn(&Sums) -> usize| seeds.iter().map(of).sum::<usize>() as f64;
        let sum = |of: fn(&Sums) -> f64| seeds.iter().map(of).sum::<f64>();
        let per_h = |of: fn(&Sums) -> usize| count(of) / simulated_s * SECONDS_AN_HOUR;
        let mean = sum(Sums::mean_m_s) / seeds.len() as f64;
        let mut speeds: Vec<f32> = seeds.iter().flat_map(|sums| sums.speeds.iter().copied()).collect();
        let square =
            speeds.iter().map(|speed| (f64::from(*speed) - mean).powi(2)).sum::<f64>() / steps as f64;
        let mut percentile = |part: f64| {
            let place = ((steps as f64 * part) as usize).min(steps - 1);
            m_s_to_kn(f64::from(*speeds.select_nth_unstable_by(place, f32::total_cmp).1))
        };
        let (p5_kn, p95_kn) = (percentile(0.05), percentile(0.95));
        let recoveries = count(|sums| sums.recovery.count);
        let kinetic = sum(|sums| sums.kinetic_j[1] - sums.kinetic_j[0]);
        let water = sum(|sums| sums.shipped_kg - sums.drained_kg - (sums.left_kg[1] - sums.left_kg[0]));
        let over = |part: f64, whole: f64| if whole > 0.0 { part / whole } else { 0.0 };
        Self {
            flat_kn: derated.flat_kn,
            mean_kn: m_s_to_kn(mean),
            mean_se_kn: m_s_to_kn(standard_error(seeds, mean)),
            sd_kn: m_s_to_kn(square.sqrt()),
            p5_kn,
            p95_kn,
            derate_kn: derated.corrected_kn,
            derate_sd_kn: derated.swing.map(|swing| swing.speed_sd_kn),
            derate_se_kn: derated.swing.map(|swing| swing.standard_error * derated.corrected_kn),
            riding_share: count(|sums| sums.riding) / steps as f64,
            stall_rate_per_h: per_h(|sums| sums.stalls),
            broach_rate_per_h: per_h(|sums| sums.broaches),
            drop_rate_per_h: per_h(|sums| sums.drops),
            flying_share: flies.then(|| count(|sums| sums.flying) / steps as f64),
            nose_dive_rate_per_h: per_h(|sums| sums.dives),
            deck_water_kg: sum(|sums| sums.water_kg) / steps as f64,
            deck_water_most_kg: seeds.iter().map(|sums| sums.most_kg).fold(0.0, f64::max),
            shipped_kg_per_h: sum(|sums| sums.shipped_kg) / simulated_s * SECONDS_AN_HOUR,
            recovery_mean_s: (recoveries > 0.0).then(|| sum(|sums| sums.recovery.sum_s) / recoveries),
            simulated_s,
            books: Books {
                energy: over(sum(|sums| sums.work_j) - kinetic, sum(|sums| sums.turnover_j)),
                water: over(water, sum(|sums| sums.shipped_kg)),
            },
            flags: derated.flags.iter().map(Flag::name).collect(),
        }
    }
}

/// Standard error of the mean speed: from the seeds, or from the parts of one.
fn standard_error(seeds: &[Sums], mean: f64) -> f64 {
    let count = seeds.len() as f64;
    match seeds {
        [alone] => alone.error().sqrt(),
        _ => {
            let spread: f64 = seeds.iter().map(|sums| (sums.mean_m_s() - mean).powi(2)).sum();
            (spread / (count - 1.0) / count).sqrt()
        }
    }
}
