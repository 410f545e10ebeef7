//! The waves of a random sea as a boat meets them on one course: what each does along it.

use crate::hydro::dispersion::deep_wave_number;
use crate::hydro::surge::hull_force::HullForce;
use crate::hydro::surge::phases::{Phases, Row, Turned, dot, fill_up};
use crate::hydro::surge::random_waves::RandomWave;

/// The waves of one sea on one course.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CourseWaves {
    /// Their phases.
    pub phases: Phases,
    /// Force per cosine and per sine of the phase, N.
    force: [Row; 2],
    /// Orbital velocity per cosine, m/s.
    flow: Row,
}

/// One wave by what it does along a course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurgeWave {
    /// Frequency, rad/s.
    pub omega: f64,
    /// Wave number along the course, rad/m, positive for a wave that runs with her.
    pub along: f64,
    /// Phase at the start, rad.
    pub phase: f64,
    /// Force per cosine and per sine of the phase w t - k_a x + eps, N.
    pub force: [f64; 2],
    /// Orbital velocity along the course per cosine, m/s.
    pub flow: f64,
}

/// Force along the course, N, and the water's velocity along it, m/s.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Push {
    /// Force, positive forward.
    pub force_n: f64,
    /// Orbital velocity, positive forward.
    pub flow_m_s: f64,
}

impl CourseWaves {
    /// Waves that travel towards an angle off the course each, rad: what they do to a hull.
    pub fn new(hull: &HullForce, waves: impl Iterator<Item = (RandomWave, f64)>) -> Self {
        Self::of(waves.map(|(wave, mu)| {
            let cos_mu = mu.cos();
            let push = hull.push(wave.omega, cos_mu);
            let force = wave.amplitude_m * push.force;
            SurgeWave {
                omega: wave.omega,
                along: deep_wave_number(wave.omega) * cos_mu,
                phase: wave.phase,
                force: [force.re, -force.im],
                flow: wave.amplitude_m * push.flow,
            }
        }))
    }

    /// Waves whose effects are given.
    pub fn of(waves: impl Iterator<Item = SurgeWave>) -> Self {
        let waves: Vec<SurgeWave> = waves.collect();
        let row = |of: &dyn Fn(&SurgeWave) -> f64| -> Row {
            let mut row: Row = waves.iter().map(|wave| of(wave) as f32).collect();
            fill_up(&mut row);
            row
        };
        Self {
            phases: Phases::new(waves.iter().map(|wave| [wave.omega, wave.along, wave.phase])),
            force: [row(&|wave| wave.force[0]), row(&|wave| wave.force[1])],
            flow: row(&|wave| wave.flow),
        }
    }

    /// The same waves with their force and flow averaged over a step of time at a mean speed: a step then feels what it
    /// would feel by adding up its parts, also of waves that pass within it.
    pub fn averaged_over(&self, step_s: f64, speed_m_s: f64) -> Self {
        let averages = self.phases.averages(step_s, speed_m_s);
        let weaker = |row: &Row| row.iter().zip(&averages).map(|(value, part)| value * part).collect();
        let [cosine, sine] = &self.force;
        Self { phases: self.phases.clone(), force: [weaker(cosine), weaker(sine)], flow: weaker(&self.flow) }
    }

    /// What all of them do at turned phases.
    #[inline(always)]
    pub fn push(&self, turned: &Turned) -> Push {
        let [cosine, sine] = &self.force;
        Push {
            force_n: dot(cosine, &turned.cosine) + dot(sine, &turned.sine),
            flow_m_s: dot(&self.flow, &turned.cosine),
        }
    }
}
