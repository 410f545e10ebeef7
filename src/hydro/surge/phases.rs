//! Phases of many waves along a course at once: rows of numbers, so that a loop over them becomes vector instructions.

use crate::hydro::surge::sine::sine_cosine;
use std::f64::consts::TAU;

/// Sums that are kept apart, so that they come out the same on every machine.
const LANES: usize = 8;

/// One number a wave.
pub type Row = Vec<f32>;

/// The phases of waves along a course, in turns. Rows are filled up with waves that do nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Phases {
    /// Turns a second at a fixed place.
    frequency: Row,
    /// Turns a metre along the course.
    along: Row,
    /// Phase at the start.
    phase: Row,
}

/// Cosine and sine of all phases at a time and place.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Turned {
    /// Cosines.
    pub cosine: Row,
    /// Sines.
    pub sine: Row,
}

impl Phases {
    /// From frequency, rad/s, wave number along the course, rad/m, and phase at the start, rad, of each wave.
    pub fn new(waves: impl Iterator<Item = [f64; 3]>) -> Self {
        let mut phases = Self::default();
        for wave in waves {
            let [frequency, along, phase] = wave.map(|value| (value / TAU) as f32);
            phases.frequency.push(frequency);
            phases.along.push(along);
            phases.phase.push(phase);
        }
        let Self { frequency, along, phase } = &mut phases;
        [frequency, along, phase].into_iter().for_each(fill_up);
        phases
    }

    /// Number of waves, those that fill up among them.
    pub fn len(&self) -> usize {
        self.frequency.len()
    }

    /// Whether there are no waves.
    pub fn is_empty(&self) -> bool {
        self.frequency.is_empty()
    }

    /// What is left of each wave when it is averaged over a step of time as met at a speed.
    pub(super) fn averages(&self, step_s: f64, speed_m_s: f64) -> Row {
        let part = |(frequency, along): (&f32, &f32)| {
            let turns = f64::from(*frequency) - f64::from(*along) * speed_m_s;
            let half = std::f64::consts::PI * turns * step_s;
            if half.abs() < 1e-6 { 1.0 } else { (half.sin() / half) as f32 }
        };
        self.frequency.iter().zip(&self.along).map(part).collect()
    }

    /// Counts time and place from here on, the waves as they are: single precision does not wear thin.
    pub fn advance(&mut self, time_s: f64, x_m: f64) {
        for wave in 0..self.len() {
            let turns = f64::from(self.frequency[wave]) * time_s - f64::from(self.along[wave]) * x_m
                + f64::from(self.phase[wave]);
            self.phase[wave] = (turns - turns.round()) as f32;
        }
    }

    /// Room for [`Phases::turn`].
    pub fn room(&self) -> Turned {
        Turned { cosine: vec![0.0; self.len()], sine: vec![0.0; self.len()] }
    }

    /// Cosines and sines at a time and place.
    #[inline(always)]
    pub fn turn(&self, time_s: f64, x_m: f64, turned: &mut Turned) {
        let (time, x) = (time_s as f32, x_m as f32);
        let count = self.len();
        let (frequency, along, phase) =
            (&self.frequency[..count], &self.along[..count], &self.phase[..count]);
        let (cosines, sines) = (&mut turned.cosine[..count], &mut turned.sine[..count]);
        for wave in 0..count {
            let (sine, cosine) = sine_cosine(frequency[wave] * time - along[wave] * x + phase[wave]);
            sines[wave] = sine;
            cosines[wave] = cosine;
        }
    }
}

/// Fills a row up to a whole number of lanes.
pub fn fill_up(row: &mut Row) {
    row.resize(row.len().next_multiple_of(LANES), 0.0);
}

/// The sum of two rows' products, in an order that does not hang on the machine.
#[inline(always)]
pub fn dot(row: &[f32], of: &[f32]) -> f64 {
    let mut lanes = [0.0f32; LANES];
    for (row, of) in row.chunks_exact(LANES).zip(of.chunks_exact(LANES)) {
        for lane in 0..LANES {
            lanes[lane] += row[lane] * of[lane];
        }
    }
    let half: [f32; LANES / 2] = std::array::from_fn(|lane| lanes[lane] + lanes[lane + LANES / 2]);
    f64::from((half[0] + half[2]) + (half[1] + half[3]))
}
