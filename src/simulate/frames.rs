//! How she lay as the wave that shipped most passed: moments enough for a strip of pictures.

use crate::base::units::m_s_to_kn;
use crate::hydro::body::{BodyState, Wave};

/// Time of the strip before and after the deck is deepest under, s.
const AROUND_S: [f64; 2] = [1.5, 3.0];

/// One moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Time from the end of the start-up, s.
    pub time_s: f64,
    /// Speed, kn.
    pub speed_kn: f64,
    /// Rise of the centre of gravity, m.
    pub heave_m: f64,
    /// Trim, rad, bow down.
    pub trim_rad: f64,
    /// Water on deck, kg.
    pub deck_kg: f64,
    /// The sea's level over the stem's deck, m.
    pub over_stem_m: f64,
    run_m: f64,
    at_s: f64,
}

/// A whole drawing moment by moment, from which strips are cut.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Course {
    pub(super) moments: Vec<Frame>,
    pub(super) waves: Vec<Wave>,
    /// Centre of gravity forward of the aft end of the waterline, m.
    pub(super) gravity_x_m: f64,
}

impl Course {
    /// The moment between two times at which the deck at her stem is deepest under, or nearest to it.
    pub fn deepest(&self, [from_s, to_s]: [f64; 2]) -> Option<&Frame> {
        let within = self.moments.iter().filter(|moment| (from_s..=to_s).contains(&moment.time_s));
        within.max_by(|a, b| a.over_stem_m.total_cmp(&b.over_stem_m))
    }

    /// Moments around a time, evenly `count`.
    pub fn around(&self, time_s: f64, count: usize) -> Frames {
        let [before, after] = AROUND_S;
        let frames = (0..count).filter_map(|i| {
            let time = time_s - before + (before + after) * i as f64 / (count - 1).max(1) as f64;
            let index = self.moments.partition_point(|moment| moment.time_s < time);
            self.moments.get(index.min(self.moments.len().saturating_sub(1))).copied()
        });
        Frames { frames: frames.collect(), gravity_x_m: self.gravity_x_m, waves: self.waves.clone() }
    }
}

/// The frames of a wave with the sea around her.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Frames {
    /// In order of time.
    pub frames: Vec<Frame>,
    /// Centre of gravity forward of the aft end of the waterline, m.
    pub gravity_x_m: f64,
    waves: Vec<Wave>,
}

impl Frame {
    pub(super) fn new(time_s: f64, state: &BodyState, deck_kg: f64, over_stem_m: f64) -> Self {
        Self {
            time_s,
            speed_kn: m_s_to_kn(state.speed_m_s),
            heave_m: state.heave_m,
            trim_rad: state.trim_rad,
            deck_kg,
            over_stem_m,
            run_m: state.run_m,
            at_s: state.time_s,
        }
    }
}

impl Frames {
    /// Height of the sea at a distance forward of the centre of gravity, m.
    pub fn surface_m(&self, frame: &Frame, x_m: f64) -> f64 {
        let at = |wave: &Wave| wave.amplitude_m * wave.phase_at(frame.at_s, frame.run_m + x_m).cos();
        self.waves.iter().map(at).sum()
    }
}
