//! Heave, pitch and what follows from them by the boat's linear responses, each wave with its true phase.
//!
//! Responses go with speed: they are worked out at speeds a step apart as she comes to them, and those at the two speeds around
//! hers are mixed.

use crate::hydro::response::{BoatInWaves, Felt};
use crate::hydro::surge::{RandomWave, Row, Turned, dot, fill_up};
use num_complex::Complex64;

/// Distance of the speeds at which responses are worked out, m/s.
const STEP_M_S: f64 = 0.5;
/// Quantities felt.
const QUANTITIES: usize = 7;

/// What she feels at a moment.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Moment {
    /// Rise of the water up the bow, m.
    pub bow_m: f64,
    /// Orbital velocity along the course at the bow, m/s.
    pub bow_flow_m_s: f64,
    /// Height of the wave at the bow, m.
    pub bow_wave_m: f64,
    /// Velocity across the foil that its lift answers to, positive up, m/s.
    pub foil_velocity_m_s: f64,
    /// Rise of the foil against the water, m.
    pub foil_rise_m: f64,
    /// Pitch, rad, positive bow down.
    pub pitch_rad: f64,
    /// Vertical acceleration at the bow, m/s².
    pub bow_acceleration_m_s2: f64,
}

/// The linear motions of a boat in the waves of one sea.
pub(super) struct LinearMotions<'b> {
    boat: &'b BoatInWaves,
    waves: Vec<(RandomWave, f64)>,
    /// By speed, made when first asked for.
    columns: Vec<Option<Column>>,
}

/// At one speed: for each quantity a number a wave per cosine and per sine of the phase.
type Column = [[Row; 2]; QUANTITIES];

impl<'b> LinearMotions<'b> {
    /// Waves with the angle from the course to where each travels, rad.
    pub(super) fn new(boat: &'b BoatInWaves, waves: Vec<(RandomWave, f64)>) -> Self {
        Self { boat, waves, columns: Vec::new() }
    }

    /// What she feels at a speed, with the waves' phases at the centre of gravity; at rest and astern as at rest.
    pub(super) fn at(&mut self, speed_m_s: f64, turned: &Turned) -> Moment {
        let position = (speed_m_s / STEP_M_S).max(0.0);
        let lower = position as usize;
        let upper_weight = position - lower as f64;
        let low = sums(self.column(lower), turned);
        let high = sums(self.column(lower + 1), turned);
        let at = |quantity: usize| low[quantity] + upper_weight * (high[quantity] - low[quantity]);
        Moment {
            bow_m: at(0),
            bow_flow_m_s: at(1),
            bow_wave_m: at(2),
            foil_velocity_m_s: at(3),
            foil_rise_m: at(4),
            pitch_rad: at(5),
            bow_acceleration_m_s2: at(6),
        }
    }

    fn column(&mut self, index: usize) -> &Column {
        if self.columns.len() <= index {
            self.columns.resize(index + 1, None);
        }
        let (boat, waves) = (self.boat, &self.waves);
        self.columns[index].get_or_insert_with(|| column(boat, waves, STEP_M_S * index as f64))
    }
}

fn column(boat: &BoatInWaves, waves: &[(RandomWave, f64)], speed_m_s: f64) -> Column {
    let mut column: Column = Default::default();
    for (wave, mu) in waves {
        let felt = boat.felt(speed_m_s, wave.omega, *mu);
        for (rows, amplitude) in column.iter_mut().zip(amplitudes(&felt)) {
            let amplitude = wave.amplitude_m * amplitude;
            rows[0].push(amplitude.re as f32);
            rows[1].push(-amplitude.im as f32);
        }
    }
    column.as_flattened_mut().iter_mut().for_each(fill_up);
    column
}

fn amplitudes(felt: &Felt) -> [Complex64; QUANTITIES] {
    [
        felt.bow,
        felt.bow_flow,
        felt.bow_wave,
        felt.foil_velocity,
        felt.foil_rise,
        felt.pitch,
        felt.bow_acceleration,
    ]
}

fn sums(column: &Column, turned: &Turned) -> [f64; QUANTITIES] {
    std::array::from_fn(|quantity| {
        let [cosine, sine] = &column[quantity];
        dot(cosine, &turned.cosine) + dot(sine, &turned.sine)
    })
}
