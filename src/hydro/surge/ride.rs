//! The surge equation stepped through a random sea, and what her speed does in it.
//!
//! Steps are linearly implicit midpoint steps: the waves are met half a step on, at the place that she then has, their force
//! and flow averaged over the step at her mean speed; thrust and resistance are taken with their slopes. Second order, stable for
//! any stiffness.

use crate::hydro::surge::course_waves::CourseWaves;
use crate::hydro::surge::curves::SurgeCurves;
use crate::hydro::surge::phases::Turned;
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

/// One of several rides at once.
#[derive(Debug, Clone, Copy)]
pub struct Sailed<'r> {
    /// What drives and holds her.
    pub curves: &'r SurgeCurves,
    /// The sea.
    pub waves: &'r CourseWaves,
    /// Where she begins.
    pub start: RideStart,
    /// For how long.
    pub time: RideTime,
}

/// Sails through a sea.
pub fn ride(curves: &SurgeCurves, waves: &CourseWaves, start: RideStart, time: RideTime) -> Ride {
    let mut alone = [UnderWay::new(&Sailed { curves, waves, start, time })];
    sail(&mut alone);
    let [ride] = alone;
    ride.told()
}

/// Rides that are sailed side by side.
const ABREAST: usize = 4;

/// Sails rides step by step side by side, each as if alone: while one waits for what its last step comes to, the processor works
/// on the next.
pub fn rides(sailed: &[Sailed]) -> Vec<Ride> {
    let mut under_way: Vec<UnderWay> = sailed.iter().map(UnderWay::new).collect();
    under_way.chunks_mut(ABREAST).for_each(sail);
    under_way.into_iter().map(UnderWay::told).collect()
}

#[multiversion(targets("x86_64+avx2"))]
fn sail(rides: &mut [UnderWay<'_>]) {
    let longest = rides.iter().map(|ride| ride.steps).max().unwrap_or(0);
    for step in 1..=longest {
        for ride in &mut *rides {
            if step <= ride.steps {
                ride.sail(step);
            }
        }
    }
}

/// What is left of a recovery after a step, s; it does not end while she is too slow to fly.
pub fn recovered(left_s: f64, step_s: f64, slow: bool) -> f64 {
    let left_s = left_s - step_s;
    if slow { left_s.max(f64::MIN_POSITIVE) } else { left_s.max(0.0) }
}

/// A ride under way.
#[derive(Debug)]
struct UnderWay<'r> {
    curves: &'r SurgeCurves,
    waves: CourseWaves,
    /// Room for their phases at one moment.
    turned: Turned,
    start: RideStart,
    step_s: f64,
    inertia_kg: f64,
    fall: Option<(f64, f64)>,
    /// Steps in all, and those of them that are not counted.
    steps: usize,
    settling: usize,
    boat: Boat,
    /// Time and place since phases were counted anew.
    time: f64,
    x: f64,
    sums: Sums,
}

/// What is counted of a ride.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    square: f64,
    riding: usize,
    events: f64,
    drops: usize,
    /// Mean speeds of the parts.
    means: [f64; PARTS],
}

/// The boat.
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

impl<'r> UnderWay<'r> {
    fn new(sailed: &Sailed<'r>) -> Self {
        let Sailed { curves, waves, start, time } = *sailed;
        let settling = (time.settle_s / time.step_s).round() as usize;
        // rounding must not add a step
        let of_part = (time.counted_s / time.step_s / PARTS as f64 - 1e-9).ceil().max(1.0) as usize;
        Self {
            curves,
            waves: waves.averaged_over(time.step_s, start.speed_m_s),
            turned: waves.phases.room(),
            start,
            step_s: time.step_s,
            inertia_kg: curves.inertia_kg(),
            fall: curves.fall(),
            steps: settling + PARTS * of_part,
            settling,
            boat: Boat { speed: start.speed_m_s, ..Boat::default() },
            time: 0.0,
            x: 0.0,
            sums: Sums::default(),
        }
    }

    /// One step, counted from 1.
    #[inline(always)]
    fn sail(&mut self, step: usize) {
        let Self { boat, curves, step_s, .. } = self;
        let (step_s, half) = (*step_s, 0.5 * *step_s);
        let midway = self.x + half * (boat.speed + 0.5 * half * boat.acceleration);
        self.waves.phases.turn(self.time + half, midway, &mut self.turned);
        let push = self.waves.push(&self.turned);
        let (surplus, slope) = curves.surplus(boat.speed, push.flow_m_s, boat.fallen_s > 0.0);
        let inertia = (self.inertia_kg - half * slope).max(LEAST_INERTIA * self.inertia_kg);
        let acceleration = (surplus + push.force_n) / inertia;
        let way = step_s * (boat.speed + half * acceleration);
        self.x += way;
        boat.way += way;
        boat.speed += step_s * acceleration;
        boat.acceleration = acceleration;
        self.time += step_s;
        let dropped = match self.fall {
            Some((drop_m_s, recovery_s)) => boat.falls(drop_m_s, recovery_s, push.flow_m_s, step_s),
            None => false,
        };
        if step > self.settling {
            self.count(step - self.settling, dropped);
        } else if step == self.settling {
            self.boat.way = 0.0;
        }
        if step % FRESH_PHASES == 0 {
            self.waves.phases.advance(self.time, self.x);
            (self.time, self.x) = (0.0, 0.0);
        }
    }

    /// Counts one of the counted steps.
    #[inline(always)]
    fn count(&mut self, counted: usize, dropped: bool) {
        let speed = self.boat.speed;
        self.sums.square += (speed - self.start.speed_m_s).powi(2);
        self.sums.riding += usize::from(speed > self.start.crest_m_s.unwrap_or(f64::INFINITY));
        self.sums.events += self.curves.rate(speed);
        self.sums.drops += usize::from(dropped);
        let of_part = self.of_part();
        if counted % of_part == 0 {
            self.sums.means[counted / of_part - 1] = self.boat.way / (of_part as f64 * self.step_s);
            self.boat.way = 0.0;
        }
    }

    fn of_part(&self) -> usize {
        (self.steps - self.settling) / PARTS
    }

    /// What the ride was like.
    fn told(self) -> Ride {
        let Sums { square, riding, events, drops, means } = self.sums;
        let of_steps = 1.0 / (self.steps - self.settling) as f64;
        let mean = means.iter().sum::<f64>() / PARTS as f64;
        let spread: f64 = means.iter().map(|part| (part - mean).powi(2)).sum();
        Ride {
            mean_m_s: mean,
            error_m2_s2: spread / (PARTS * (PARTS - 1)) as f64,
            square_about_start: square * of_steps,
            riding_share: riding as f64 * of_steps,
            event_rate_hz: events * of_steps,
            drop_rate_hz: drops as f64 * of_steps / self.step_s,
        }
    }
}

impl Boat {
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
