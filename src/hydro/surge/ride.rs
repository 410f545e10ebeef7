//! The surge equation stepped through a random sea, and what her speed does in it.
//!
//! Steps are linearly implicit midpoint steps: the waves are met half a step on, at the place that she then has, their force
//! and flow averaged over the step at her mean speed; thrust and resistance are taken with their slopes. Second order, stable for
//! any stiffness.

use crate::hydro::surge::course_waves::CourseWaves;
use crate::hydro::surge::curves::SurgeCurves;
use multiversion::multiversion;

/// Steps after which phases are counted anew, so that single precision does not wear thin.
const FRESH_PHASES: usize = 256;
/// What a drive that rises faster than the drag may leave of the inertia in a step.
const LEAST_INERTIA: f64 = 0.5;

/// How long is simulated, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RideTime {
    /// One step.
    pub step_s: f64,
    /// Time that is not counted, in which the start is forgotten.
    pub settle_s: f64,
    /// Time that is counted.
    pub counted_s: f64,
}

/// Where a ride begins and what is counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RideStart {
    /// Speed at the start and about which the waves of a step are averaged, m/s.
    pub speed_m_s: f64,
    /// Speed of the crests along the course, m/s; none where they do not run with her.
    pub crest_m_s: Option<f64>,
}

/// What a ride was like.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Ride {
    /// Way made over time, m/s.
    pub mean_m_s: f64,
    /// Mean of the speed's square about the start's speed, m²/s²: sums of rides add.
    pub square_about_start: f64,
    /// Part of the time faster than the crests run along the course.
    pub riding_share: f64,
    /// Mean of the rate of events, per second.
    pub event_rate_hz: f64,
    /// Falls off the foils, per second.
    pub drop_rate_hz: f64,
    /// Standard error of the mean squared, from the means of its parts, m²/s².
    pub error_m2_s2: f64,
}

/// Parts of a ride whose means tell how far its own can be trusted: each long against what a wave group takes.
const PARTS: usize = 4;

/// Sails through a sea.
#[multiversion(targets("x86_64+avx2"))]
pub fn ride(curves: &SurgeCurves, waves: &CourseWaves, start: RideStart, time: RideTime) -> Ride {
    let mut waves = waves.averaged_over(time.step_s, start.speed_m_s);
    let mut boat = Boat { speed: start.speed_m_s, ..Boat::default() };
    boat.sail(curves, &mut waves, (time.settle_s / time.step_s).round() as usize, time.step_s, |_, _| {});
    let steps = (time.counted_s / time.step_s / PARTS as f64).ceil().max(1.0) as usize;
    let (mut square, mut riding, mut events, mut drops) = (0.0, 0usize, 0.0, 0usize);
    let crest = start.crest_m_s.unwrap_or(f64::INFINITY);
    let mut means = [0.0; PARTS];
    for mean in &mut means {
        boat.way = 0.0;
        boat.sail(curves, &mut waves, steps, time.step_s, |speed, dropped| {
            square += (speed - start.speed_m_s).powi(2);
            riding += usize::from(speed > crest);
            events += curves.rate(speed);
            drops += usize::from(dropped);
        });
        *mean = boat.way / (steps as f64 * time.step_s);
    }
    let of_steps = 1.0 / (PARTS * steps) as f64;
    let mean = means.iter().sum::<f64>() / PARTS as f64;
    let spread: f64 = means.iter().map(|part| (part - mean).powi(2)).sum();
    Ride {
        mean_m_s: mean,
        error_m2_s2: spread / (PARTS * (PARTS - 1)) as f64,
        square_about_start: square * of_steps,
        riding_share: riding as f64 * of_steps,
        event_rate_hz: events * of_steps,
        drop_rate_hz: drops as f64 * of_steps / time.step_s,
    }
}

/// What is left of a recovery after a step, s; it does not end while she is too slow to fly.
pub fn recovered(left_s: f64, step_s: f64, slow: bool) -> f64 {
    let left_s = left_s - step_s;
    if slow { left_s.max(f64::MIN_POSITIVE) } else { left_s.max(0.0) }
}

/// The boat under way.
#[derive(Debug, Clone, Copy, Default)]
struct Boat {
    speed: f64,
    /// Acceleration over the last step.
    acceleration: f64,
    /// Way made, m.
    way: f64,
    /// Time until she flies again, s; none left while she flies.
    fallen_s: f64,
}

impl Boat {
    /// Sails for a number of steps and tells the speed after each and whether she fell.
    #[inline(always)]
    fn sail(
        &mut self,
        curves: &SurgeCurves,
        waves: &mut CourseWaves,
        steps: usize,
        step_s: f64,
        mut tell: impl FnMut(f64, bool),
    ) {
        let half = 0.5 * step_s;
        let inertia = curves.inertia_kg();
        let fall = curves.fall();
        let (mut time, mut x) = (0.0, 0.0);
        let mut turned = waves.phases.room();
        for step in 1..=steps {
            let midway = x + half * (self.speed + 0.5 * half * self.acceleration);
            waves.phases.turn(time + half, midway, &mut turned);
            let push = waves.push(&turned);
            let (surplus, slope) = curves.surplus(self.speed, push.flow_m_s, self.fallen_s > 0.0);
            let acceleration =
                (surplus + push.force_n) / (inertia - half * slope).max(LEAST_INERTIA * inertia);
            let way = step_s * (self.speed + half * acceleration);
            x += way;
            self.way += way;
            self.speed += step_s * acceleration;
            self.acceleration = acceleration;
            time += step_s;
            let dropped = match fall {
                Some((drop_m_s, recovery_s)) => self.falls(drop_m_s, recovery_s, push.flow_m_s, step_s),
                None => false,
            };
            tell(self.speed, dropped);
            if step % FRESH_PHASES == 0 || step == steps {
                waves.phases.advance(time, x);
                (time, x) = (0.0, 0.0);
            }
        }
    }

    /// Whether she falls now; a fall lasts for the time of recovery, and until she is fast enough again.
    fn falls(&mut self, drop_m_s: f64, recovery_s: f64, flow_m_s: f64, step_s: f64) -> bool {
        let slow = self.speed - flow_m_s < drop_m_s;
        if self.fallen_s > 0.0 {
            self.fallen_s = recovered(self.fallen_s, step_s, slow);
            return false;
        }
        if slow {
            self.fallen_s = recovery_s;
        }
        slow
    }
}
