//! Radiation in time: what the water remembers of her heaving and pitching.
//!
//! Cummins (1962), "The impulse response function and ship motions", Schiffstechnik 9; Ogilvie (1964): the fluid's momentum
//! c = a - i b/w of the strips follows her velocity as c_inf v + the convolution of v with a kernel whose transform is c - c_inf.
//! The kernels of all sums over the length are written as sums of decaying exponentials with common poles,
//!
//!   c(w) = c_inf + sum over m of r_m p_m/(i w + p_m),
//!
//! so that the convolution is one linear equation a pole and never grows. The r_m are fitted by least squares to strip theory at
//! rest between the frequencies for which its sections are solved; poles are spaced evenly in ln w. That c satisfies the
//! Kramers-Kronig relations there is what makes the fit close.
//!
//! What speed adds (Salvesen, Tuck & Faltinsen 1970) stands in constants that make the whole exact at one encounter frequency:
//! dampings; masses where heave or pitch gains some by its own acceleration; the rest, which as masses could outweigh her own, as
//! w² times them on the displacement. With memory it would not be stable: U² a33 in pitch, which at the frequency of waves is a
//! mass, grows at low frequency to a negative stiffness beyond that of the waterplane from about Fn 0.5, where strip theory no
//! longer holds. Displacements count from their slow means, so that a steady trim meets no such force. What the constants lack at
//! other frequencies acts by the linear motion (`exciting`).

use crate::base::units::G;
use crate::hydro::strip::{RadiationSums, StripHull};
use crate::maths::least_squares::least_squares;
use num_complex::Complex64;
use std::f64::consts::FRAC_PI_2;

/// Poles, and thus states for each motion.
pub const POLES: usize = 10;
/// First and last pole over sqrt(g/L): about the frequencies that a hull answers to, with room on both sides.
const POLE_RANGE: (f64, f64) = (0.3, 30.0);
/// Frequencies that are fitted, over the lowest that sections are solved for.
const FITTED: (f64, f64) = (1.0, 29.0);
const FIT_POINTS: usize = 80;
/// Ridge, of values of order one: keeps the r_m from growing against each other.
const RIDGE: f64 = 1e-5;

/// The lowest encounter frequency at which speed terms are taken, over the lowest that sections are solved for: below it they
/// fade, and a constant that is exact there would say nothing of other frequencies.
const LEAST_CHIEF: f64 = 0.3;
/// How fast slow means follow, over the chief encounter frequency: what they take of the wave's motion is a hundredth.
const SETTLING: f64 = 0.01;

/// Momentum of the water over motion, one for each sum over the length, with common poles, and what speed adds.
#[derive(Debug, Clone)]
pub struct Memory {
    poles: [f64; POLES],
    force: Kernel,
    moment: Kernel,
    inertia: Kernel,
    speed: SpeedTerms,
    worst: f64,
}

/// Masses and dampings, in heave and pitch by heave and pitch, beyond those of the memory.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct SpeedTerms {
    mass: [[f64; 2]; 2],
    damping: [[f64; 2]; 2],
    stiffness: [[f64; 2]; 2],
    /// How fast the slow means follow, 1/s.
    settling_hz: f64,
}

/// c_inf and the r_m.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Kernel {
    instant: f64,
    residues: [f64; POLES],
}

/// States of the memory: one a pole for the heave-like velocity and for the pitch rate.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct MemoryState {
    /// Of the heave rate, m/s.
    pub heaving: [f64; POLES],
    /// Of the pitch rate, rad/s.
    pub pitching: [f64; POLES],
    /// Slow means of heave, m, and trim, rad.
    pub settled: [f64; 2],
}

/// What a state of memory and motion makes of the water's reaction, accelerations left out: those stand in the masses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reaction {
    /// Heave force on her, N, up.
    pub heave_n: f64,
    /// Pitch moment on her, N m, bow down.
    pub pitch_nm: f64,
    /// Rates of the states.
    pub rates: MemoryState,
}

impl Memory {
    /// Fits a hull prepared for strip theory; what speed adds is exact at `chief_rad_s`, the encounter frequency of the waves that
    /// matter most.
    pub fn new(strip: &StripHull, speed_m_s: f64, chief_rad_s: f64) -> Self {
        let scale = (G / strip.length_m()).sqrt();
        let ratio = (POLE_RANGE.1 / POLE_RANGE.0).powf(1.0 / (POLES - 1) as f64);
        let poles = std::array::from_fn(|m| scale * POLE_RANGE.0 * ratio.powi(m as i32));
        let low = strip.solved_rad_s()[0];
        let omegas: Vec<f64> = (0..FIT_POINTS)
            .map(|i| low * FITTED.0 * (FITTED.1 / FITTED.0).powf(i as f64 / (FIT_POINTS - 1) as f64))
            .collect();
        let sums: Vec<RadiationSums> = omegas.iter().map(|&omega| strip.radiation_sums(omega)).collect();
        let fit = |size: &dyn Fn(&RadiationSums) -> f64, value: &dyn Fn(&RadiationSums) -> Complex64| {
            Kernel::fit(&poles, &omegas, &sums, size, value)
        };
        let force = fit(&|s| s.force.norm(), &|s| s.force);
        let inertia = fit(&|s| s.inertia.norm(), &|s| s.inertia);
        let moment = fit(&|s| (s.force.norm() * s.inertia.norm()).sqrt(), &|s| s.moment);
        let miss = |kernel: &Kernel, value: &dyn Fn(&RadiationSums) -> Complex64| {
            let off = omegas
                .iter()
                .zip(&sums)
                .map(|(&w, s)| (kernel.at(&poles, w) - value(s)).norm() / value(s).norm());
            off.fold(0.0, f64::max)
        };
        let worst = miss(&force, &|s| s.force).max(miss(&inertia, &|s| s.inertia));
        let memory = Self { poles, force, moment, inertia, speed: SpeedTerms::default(), worst };
        let chief = chief_rad_s.abs().max(LEAST_CHIEF * low);
        Self { speed: memory.speed_terms(strip, speed_m_s, chief), ..memory }
    }

    /// What the strips' coefficients at a speed and frequency have beyond the memory's.
    fn speed_terms(&self, strip: &StripHull, speed_m_s: f64, omega_e: f64) -> SpeedTerms {
        // in waves from abeam the encounter frequency is the waves' own
        let Some(all) = strip.motions(speed_m_s, omega_e, FRAC_PI_2).coefficients() else {
            return SpeedTerms::default();
        };
        let [heave, pitch, coupled] = self.at(omega_e);
        let own = [[heave, -coupled], [-coupled, pitch]];
        let (mass, damping) =
            ([[all.a33, all.a35], [all.a53, all.a55]], [[all.b33, all.b35], [all.b53, all.b55]]);
        let beyond = |i: usize, j: usize| mass[i][j] - own[i][j].re;
        let as_mass = |i: usize, j: usize| i == j && beyond(i, j) > 0.0;
        let square = omega_e * omega_e;
        SpeedTerms {
            mass: std::array::from_fn(|i| {
                std::array::from_fn(|j| if as_mass(i, j) { beyond(i, j) } else { 0.0 })
            }),
            stiffness: std::array::from_fn(|i| {
                std::array::from_fn(|j| if as_mass(i, j) { 0.0 } else { -square * beyond(i, j) })
            }),
            settling_hz: SETTLING * omega_e,
            damping: std::array::from_fn(|i| std::array::from_fn(|j| damping[i][j] + own[i][j].im * omega_e)),
        }
    }

    /// The worst miss of the fit in the sums of heave and pitch over the fitted frequencies, over their size.
    pub fn worst_miss(&self) -> f64 {
        self.worst
    }

    /// Momentum over velocity at rest in heave, kg, in pitch, kg m², and of heave in pitch, kg m, at an encounter frequency.
    pub fn at(&self, omega_e: f64) -> [Complex64; 3] {
        [&self.force, &self.inertia, &self.moment].map(|kernel| kernel.at(&self.poles, omega_e))
    }

    /// Force of the water on motions of an encounter frequency over displacement, with its sign as a resistance, in heave and
    /// pitch by heave and pitch: what [`Memory::reaction`] and [`Memory::instant_masses`] together do.
    pub(super) fn force_over_motion(&self, omega_e: f64) -> [[Complex64; 2]; 2] {
        let [heave, pitch, coupled] = self.at(omega_e);
        let own = [[heave, -coupled], [-coupled, pitch]];
        let i_w = Complex64::i() * omega_e;
        let swung = if omega_e == 0.0 { Complex64::ZERO } else { i_w / (i_w + self.speed.settling_hz) };
        let speed = &self.speed;
        std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                i_w * i_w * (own[i][j] + speed.mass[i][j])
                    + i_w * speed.damping[i][j]
                    + swung * speed.stiffness[i][j]
            })
        })
    }

    /// Added masses that act at once, in heave and pitch by the accelerations of heave and pitch: kg, kg m, kg m².
    pub fn instant_masses(&self) -> [[f64; 2]; 2] {
        let own = [[self.force.instant, -self.moment.instant], [-self.moment.instant, self.inertia.instant]];
        std::array::from_fn(|i| std::array::from_fn(|j| own[i][j] + self.speed.mass[i][j]))
    }

    /// The water's reaction to heave and pitch, displacements and rates, without the accelerations' part.
    pub fn reaction(&self, moved: [f64; 2], rate: [f64; 2], state: &MemoryState) -> Reaction {
        let decay = |values: &[f64; POLES], driven: f64| -> [f64; POLES] {
            std::array::from_fn(|m| self.poles[m] * (driven - values[m]))
        };
        let swung: [f64; 2] = std::array::from_fn(|i| moved[i] - state.settled[i]);
        let rates = MemoryState {
            heaving: decay(&state.heaving, rate[0]),
            pitching: decay(&state.pitching, rate[1]),
            settled: swung.map(|swung| self.speed.settling_hz * swung),
        };
        let held = |i: usize| {
            let (damping, stiffness) = (self.speed.damping[i], self.speed.stiffness[i]);
            damping[0] * rate[0] + damping[1] * rate[1] + stiffness[0] * swung[0] + stiffness[1] * swung[1]
        };
        let heave = self.force.remembered(&rates.heaving) - self.moment.remembered(&rates.pitching);
        let pitch = self.inertia.remembered(&rates.pitching) - self.moment.remembered(&rates.heaving);
        Reaction { heave_n: -heave - held(0), pitch_nm: -pitch - held(1), rates }
    }
}

impl Kernel {
    fn fit(
        poles: &[f64; POLES],
        omegas: &[f64],
        sums: &[RadiationSums],
        size: &dyn Fn(&RadiationSums) -> f64,
        value: &dyn Fn(&RadiationSums) -> Complex64,
    ) -> Self {
        let typical = sums.iter().map(size).fold(0.0, f64::max);
        if typical == 0.0 {
            return Self::default();
        }
        let mut rows = Vec::with_capacity(2 * omegas.len());
        for (&omega, sum) in omegas.iter().zip(sums) {
            let weight = typical / size(sum);
            let terms: Vec<Complex64> = std::iter::once(Complex64::ONE)
                .chain(poles.iter().map(|&p| p / Complex64::new(p, omega)))
                .chain([value(sum) / typical])
                .map(|term| term * weight)
                .collect();
            rows.push(terms.iter().map(|term| term.re).collect());
            rows.push(terms.iter().map(|term| term.im).collect());
        }
        let x = least_squares(&rows, RIDGE);
        Self { instant: x[0] * typical, residues: std::array::from_fn(|m| x[m + 1] * typical) }
    }

    fn at(&self, poles: &[f64; POLES], omega: f64) -> Complex64 {
        let terms = poles.iter().zip(&self.residues).map(|(&p, r)| r * p / Complex64::new(p, omega));
        terms.fold(Complex64::new(self.instant, 0.0), |sum, term| sum + term)
    }

    fn remembered(&self, states: &[f64; POLES]) -> f64 {
        self.residues.iter().zip(states).map(|(r, s)| r * s).sum()
    }
}
