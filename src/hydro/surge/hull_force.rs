//! Force of a wave along the course on a hull (Froude-Krylov), and the water's velocity that she meets.
//!
//! F = Re{i zeta rho g k_a (Fc - i Fs) exp(i theta)}, theta = w t - k_a x + eps at the centre of gravity, k_a = k cos mu,
//! (Fc, Fs) = integral of A(x) exp(-k d(x)/2) (cos, sin)(k_a x) dx, the pressure of the undisturbed wave with Smith's factor at
//! half the section's draught: the form of the surf-riding check in IMO MSC.1/Circ.1627 (2020), appendix.
//!
//! Diffraction is left out: the circular's factor 1.46 CB - 0.05 (from memory) is fitted to ships and would halve the force on a
//! light yacht, for which waves longer than twice the hull, those that she rides, hardly diffract. Long waves give
//! m g k_a zeta, which is m du/dt of the water.
//!
//! The weight that foils carry is pushed like the rest: a boat that follows the surface turns her foils' lift with it.

use crate::base::units::{G, RHO_WATER};
use crate::hull::Hull;
use crate::hydro::dispersion::deep_wave_number;
use crate::maths::axis::Axis;
use crate::maths::cubic::cubic;
use num_complex::Complex64;

/// The force along the course on one hull, tabulated.
#[derive(Debug, Clone, PartialEq)]
pub struct HullForce {
    log_k: Axis,
    cosines: Axis,
    /// Fc - i Fs by wave number and cosine of the angle from 0 to 1, m³; that at -1 is its conjugate.
    volumes_m3: Vec<Complex64>,
    /// Half the draught amidships, m: where the water's velocity is taken.
    half_draught_m: f64,
}

/// A piece of the length.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Slice {
    /// Position forward of the centre of gravity, m.
    x_m: f64,
    /// Volume, m³.
    volume_m3: f64,
    /// Half the draught, m.
    half_draught_m: f64,
}

/// What a wave of unit amplitude does at a place, as factors of exp(i theta).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WavePush {
    /// Force along the course, N/m.
    pub force: Complex64,
    /// Orbital velocity along the course at half draught, 1/s.
    pub flow: f64,
}

/// Slices of the length: they resolve waves down to a tenth of it.
const SLICES: usize = 60;
/// Wave numbers that are tabulated, 1/m: waves of 2 km to 0.5 m.
const WAVE_NUMBERS: (f64, f64) = (0.003, 13.0);
const LOG_STEP: f64 = 0.05;
/// Steps of the cosine: short waves change their phase along the hull by a radian in some three of them.
const COSINE_STEP: f64 = 1.0 / 48.0;

impl HullForce {
    /// The force on a hull with its centre of gravity at a place forward of the aft end of the waterline.
    pub fn new(hull: &Hull, gravity_x_m: f64) -> Self {
        let (slices, half_draught_m) = slices(hull, gravity_x_m);
        let log_k = Axis::covering(WAVE_NUMBERS.0.ln(), WAVE_NUMBERS.1.ln(), LOG_STEP);
        let cosines = Axis::covering(0.0, 1.0, COSINE_STEP);
        let volume = |k: f64, cos_mu: f64| -> Complex64 {
            let part =
                |s: &Slice| s.volume_m3 * (-k * s.half_draught_m).exp() * Complex64::cis(-k * cos_mu * s.x_m);
            slices.iter().map(part).sum()
        };
        let volumes_m3 = log_k
            .nodes()
            .flat_map(|log_k| cosines.nodes().map(move |cos_mu| (log_k.exp(), cos_mu)))
            .map(|(k, cos_mu)| volume(k, cos_mu))
            .collect();
        Self { log_k, cosines, volumes_m3, half_draught_m }
    }

    /// A wave of frequency `omega` (rad/s, > 0) that runs at `cos_mu` along the course: 1 following, -1 head.
    pub fn push(&self, omega: f64, cos_mu: f64) -> WavePush {
        let k = deep_wave_number(omega);
        let volume = self.volume_m3(k, cos_mu.abs());
        let volume = if cos_mu < 0.0 { volume.conj() } else { volume };
        WavePush {
            force: Complex64::I * RHO_WATER * G * k * cos_mu * volume,
            flow: omega * cos_mu * (-k * self.half_draught_m).exp(),
        }
    }

    fn volume_m3(&self, k: f64, cos_mu: f64) -> Complex64 {
        let cosines = cubic(self.cosines.place(cos_mu), self.cosines.len());
        let mut sum = Complex64::ZERO;
        for (row, weight) in cubic(self.log_k.place(k.ln()), self.log_k.len()) {
            for (column, part) in cosines {
                sum += weight * part * self.volumes_m3[row * self.cosines.len() + column];
            }
        }
        sum
    }
}

/// A hull in slices, and half its greatest draught.
fn slices(hull: &Hull, gravity_x_m: f64) -> (Vec<Slice>, f64) {
    let stations: Vec<[f64; 3]> =
        hull.stations().iter().map(|s| [s.x_m, s.area_m2(), s.draught_m()]).collect();
    let step = hull.lwl_m() / SLICES as f64;
    let at = |x: f64| {
        let next = stations.partition_point(|s| s[0] < x).clamp(1, stations.len() - 1);
        let (low, high) = (stations[next - 1], stations[next]);
        let upper = (x - low[0]) / (high[0] - low[0]);
        [1, 2].map(|q| low[q] + upper * (high[q] - low[q]))
    };
    let slice = |index: usize| {
        let x = stations[0][0] + (index as f64 + 0.5) * step;
        let [area_m2, draught_m] = at(x);
        Slice { x_m: x - gravity_x_m, volume_m3: area_m2 * step, half_draught_m: draught_m / 2.0 }
    };
    let half_draught_m = stations.iter().map(|s| s[2]).fold(0.0, f64::max) / 2.0;
    ((0..SLICES).map(slice).collect(), half_draught_m)
}
