//! Section by section: what radiates, and how fast it moves against the water.

use crate::hydro::strip::motions::Motions;
use crate::hydro::strip::prepared::StripHull;
use num_complex::Complex64;

/// One section in one regular wave, per metre of wave amplitude.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Strip {
    /// Forward of the centre of gravity, m.
    pub(crate) x_m: f64,
    /// Its weight in an integral over the length, m.
    pub(crate) weight: f64,
    /// Sectional added mass a33, kg/m.
    pub(crate) added_mass: f64,
    /// Sectional damping b33, kg/(m s).
    pub(crate) damping: f64,
    /// Vertical velocity against the water, with the wave's mean over the section, m/s per m.
    pub(crate) relative_velocity: Complex64,
}

impl StripHull {
    /// The sections from aft to fore that have any breadth, in the state `motions`.
    pub(crate) fn strips(&self, motions: &Motions) -> impl Iterator<Item = Strip> {
        let table = self.table.at(motions.omega_e);
        let turn = Complex64::i();
        self.sections.iter().enumerate().map(move |(index, section)| {
            let c = table.coefficient(index) * self.rho_kg_m3;
            let own = turn * motions.omega_e * (motions.heave - section.x * motions.pitch);
            let wave = turn * motions.omega * motions.wave.effective(section) * motions.wave.phase(section.x);
            Strip {
                x_m: section.x,
                weight: section.weight,
                added_mass: c.re,
                damping: -c.im * motions.omega_e,
                relative_velocity: own + motions.speed_m_s * motions.pitch - wave,
            }
        })
    }
}
