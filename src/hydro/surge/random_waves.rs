//! A sea drawn at random: regular waves whose spectrum is the sea's.
//!
//! Each system's frequencies are cut into equal steps with one wave at a random place of each, its direction at a random place
//! of the spreading there, its phase random. The height of each system is exact in every drawing.

use crate::hydro::response::DirectionalSpectrum;
use crate::hydro::spectrum::Spectrum;
use crate::hydro::spreading::Spreading;
use crate::hydro::wave_shape::WaveShape;
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::sea::PartitionKind;
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};
use std::cmp::Ordering;
use std::f64::consts::{PI, TAU};

/// Fewest waves that stand for a system, however small its part.
const FEWEST: usize = 4;
/// Frequencies over the peak's within which waves are drawn.
const BAND: (f64, f64) = (0.5, 3.0);
/// Parts of the variance of the surface's velocity that may be left out below and above the band.
const LEFT_OUT: (f64, f64) = (0.002, 0.005);
/// Steps in which a band and a spreading are summed up.
const STEPS: usize = 64;
/// One wave of a drawn sea.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RandomWave {
    /// Frequency, rad/s.
    pub omega: f64,
    /// Amplitude, m.
    pub amplitude_m: f64,
    /// Direction it comes from less the wind's, rad, on starboard tack and on port tack: drawn from either end of the
    /// spreading, so that a mirrored sea on the other tack is met as the mirror image.
    pub off_wind_rad: [f64; 2],
    /// Phase, rad.
    pub phase: f64,
}

/// A sea drawn once.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RandomWaves {
    /// Its waves.
    pub waves: Vec<RandomWave>,
}

impl RandomWaves {
    /// Draws a sea of about `count` waves; equal seeds draw equal seas.
    pub fn draw(sea: &WindFrameSea, count: usize, seed: u64) -> Self {
        Self::draw_up_to(sea, count, 0.0, seed)
    }

    /// As [`RandomWaves::draw`], with the waves of wind seas up to at least a frequency, rad/s, that of the shortest waves which a
    /// boat answers: far above a long sea's peak they hold little of its height, and most of what moves her.
    pub fn draw_up_to(sea: &WindFrameSea, count: usize, least_rad_s: f64, seed: u64) -> Self {
        let mut random = Random(Pcg64Mcg::seed_from_u64(seed));
        let waves = match &sea.spectrum {
            Some(spectrum) => of_spectrum(spectrum, count, &mut random),
            None => of_systems(sea, count, least_rad_s, &mut random),
        };
        Self { waves }
    }

    /// Draws one wave system of a given shape; its kind is not looked at.
    pub fn draw_shape(system: &WaveSystem, shape: WaveShape, count: usize, seed: u64) -> Self {
        Self::draw_shape_up_to(system, shape, count, 0.0, seed)
    }

    /// As [`RandomWaves::draw_shape`], up to at least a frequency, rad/s.
    pub fn draw_shape_up_to(
        system: &WaveSystem,
        shape: WaveShape,
        count: usize,
        least_rad_s: f64,
        seed: u64,
    ) -> Self {
        let mut random = Random(Pcg64Mcg::seed_from_u64(seed));
        Self { waves: of_shape(system, shape, count, least_rad_s, &mut random) }
    }

    /// The waves as met at a signed true wind angle, each with the angle between the course and where it travels, rad, 0 to pi.
    pub fn met_at(&self, twa_deg: f64) -> impl Iterator<Item = (RandomWave, f64)> + '_ {
        let tack = usize::from(twa_deg < 0.0);
        // as `base::bearing::wave_angle_rad`, by an even function: a mirror image gets the same bits
        let off_course = move |wave: &RandomWave| wave.off_wind_rad[tack] + twa_deg.to_radians();
        let angle = move |wave: &RandomWave| PI - off_course(wave).cos().acos();
        self.waves.iter().map(move |wave| (*wave, angle(wave)))
    }
}

struct Random(Pcg64Mcg);

impl Random {
    /// A number from 0 to below 1.
    fn unit(&mut self) -> f64 {
        (self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64
    }
}

fn of_systems(sea: &WindFrameSea, count: usize, least_rad_s: f64, random: &mut Random) -> Vec<RandomWave> {
    let mut systems: Vec<&WaveSystem> = sea.systems.iter().filter(|system| system.hs2_m2 > 0.0).collect();
    // an order that a mirror image shares
    let size = |system: &WaveSystem| [system.hs2_m2, system.tp_s, system.off_wind_deg.abs()];
    systems.sort_by(|a, b| size(b).partial_cmp(&size(a)).unwrap_or(Ordering::Equal));
    let mut waves = Vec::with_capacity(count);
    for (system, share) in systems.iter().zip(shares(&systems, count)) {
        // a swell has no short waves to draw
        let least_rad_s = if system.kind == PartitionKind::Swell { 0.0 } else { least_rad_s };
        let shape = WaveShape::of(system.kind, system.hs2_m2.sqrt(), system.tp_s);
        waves.extend(of_shape(system, shape, share, least_rad_s, random));
    }
    waves
}

/// How many waves stand for each system: by what it adds to the surface's velocity.
fn shares(systems: &[&WaveSystem], count: usize) -> Vec<usize> {
    let velocity = |system: &WaveSystem| system.hs2_m2 / (system.tp_s * system.tp_s);
    let whole: f64 = systems.iter().map(|system| velocity(system)).sum();
    let share = |system: &&WaveSystem| (count as f64 * velocity(system) / whole).round() as usize;
    let mut shares: Vec<usize> = systems.iter().map(|system| share(system).max(FEWEST)).collect();
    let sum: usize = shares.iter().sum();
    if let Some(largest) = shares.iter_mut().max() {
        *largest = (*largest + count).saturating_sub(sum).max(FEWEST);
    }
    shares
}

fn of_shape(
    system: &WaveSystem,
    shape: WaveShape,
    count: usize,
    least_rad_s: f64,
    random: &mut Random,
) -> Vec<RandomWave> {
    let spectrum = Spectrum::new(shape.spectrum, system.hs2_m2.sqrt(), system.tp_s);
    let peak = TAU / system.tp_s;
    let cut = Cut::new(band(&spectrum, peak), least_rad_s, count);
    let off_wind_rad = system.off_wind_deg.to_radians();
    let mut waves: Vec<RandomWave> = (0..count)
        .map(|index| {
            let (omega, step) = cut.at(index as f64 + random.unit());
            let off_rad = quantile(shape.spreading.at(omega / peak), random.unit());
            RandomWave {
                omega,
                amplitude_m: (2.0 * spectrum.density(omega) * step).sqrt(),
                off_wind_rad: [off_wind_rad + off_rad, off_wind_rad - off_rad],
                phase: TAU * random.unit(),
            }
        })
        .collect();
    to_height(&mut waves, system.hs2_m2);
    waves
}

/// A band cut into as many parts as there are waves.
enum Cut {
    /// From a frequency on in equal steps, rad/s.
    Steps(f64, f64),
    /// From a frequency on in equal ratios, by their logarithm: the peak keeps its waves however far the band reaches.
    Ratios(f64, f64),
}

impl Cut {
    fn new([lowest, highest]: [f64; 2], least_rad_s: f64, count: usize) -> Self {
        if least_rad_s > highest {
            return Self::Ratios(lowest, (least_rad_s / lowest).ln() / count as f64);
        }
        Self::Steps(lowest, (highest - lowest) / count as f64)
    }

    /// Frequency at a place in parts, and how wide the part is there, rad/s.
    fn at(&self, place: f64) -> (f64, f64) {
        match self {
            Self::Steps(lowest, step) => (lowest + place * step, *step),
            Self::Ratios(lowest, log_step) => {
                let omega = lowest * (place * log_step).exp();
                (omega, omega * log_step)
            }
        }
    }
}

/// Scales waves to a significant height squared, m².
fn to_height(waves: &mut [RandomWave], hs2_m2: f64) {
    let hs2: f64 = waves.iter().map(|wave| 8.0 * wave.amplitude_m * wave.amplitude_m).sum();
    let scale = if hs2 > 0.0 { (hs2_m2 / hs2).sqrt() } else { 0.0 };
    waves.iter_mut().for_each(|wave| wave.amplitude_m *= scale);
}

/// The frequencies that hold the velocity of the surface.
fn band(spectrum: &Spectrum, peak: f64) -> [f64; 2] {
    let step = (BAND.1 - BAND.0) / STEPS as f64;
    let edge = |index: usize| peak * (BAND.0 + step * index as f64);
    let velocity = |index: usize| {
        let omega = edge(index) + 0.5 * peak * step;
        omega * omega * spectrum.density(omega)
    };
    let parts: Vec<f64> = (0..STEPS).map(velocity).collect();
    let [below, above] = [LEFT_OUT.0, 1.0 - LEFT_OUT.1].map(|part| inverse(&parts, part));
    [edge(below as usize), edge(above.ceil() as usize)]
}

/// The angle off the mean direction below which a part of a spreading's energy lies, rad.
fn quantile(spreading: Spreading, part: f64) -> f64 {
    let half_width = spreading.half_width_rad();
    if half_width == 0.0 {
        return 0.0;
    }
    let step = 2.0 * half_width / STEPS as f64;
    let density = |index: usize| spreading.density((index as f64 + 0.5) * step - half_width).unwrap_or(0.0);
    let parts: [f64; STEPS] = std::array::from_fn(density);
    inverse(&parts, part) * step - half_width
}

/// The place, in steps, below which a part of a sum lies; straight within a step.
fn inverse(parts: &[f64], part: f64) -> f64 {
    let mut left = part * parts.iter().sum::<f64>();
    for (index, energy) in parts.iter().enumerate() {
        if left < *energy {
            return index as f64 + left / energy;
        }
        left -= energy;
    }
    parts.len() as f64
}

/// Waves of a spectrum about the wind: frequencies in equal steps of what they add to the surface's velocity times what
/// they add to its height, directions as it has them.
fn of_spectrum(spectrum: &DirectionalSpectrum, count: usize, random: &mut Random) -> Vec<RandomWave> {
    let bands = spectrum.bands();
    let weights: Vec<f64> =
        bands.iter().map(|band| (band.variance_m2.max(0.0)).sqrt() * band.omega).collect();
    let mut waves: Vec<RandomWave> = (0..count)
        .map(|index| {
            let part = (index as f64 + random.unit()) / count as f64;
            let place = inverse(&weights, part).min(bands.len() as f64 - 1e-9);
            let band = &bands[place as usize];
            let angle = |part: f64| inverse(&band.by_direction, part) * TAU / band.by_direction.len() as f64;
            let from = random.unit();
            let share = weights[place as usize] / weights.iter().sum::<f64>() * count as f64;
            RandomWave {
                omega: band.omega * (band.log_width * (place.fract() - 0.5)).exp(),
                amplitude_m: (2.0 * band.variance_m2.max(0.0) / share).sqrt(),
                off_wind_rad: [angle(from), angle(1.0 - from)],
                phase: TAU * random.unit(),
            }
        })
        .collect();
    to_height(&mut waves, spectrum.hs_m().powi(2));
    waves
}
