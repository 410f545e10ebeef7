//! The part of a wave's force that her presence in it makes: exciting forces without those of the undisturbed pressure.

use crate::base::units::G;
use crate::hydro::strip::loads::IncidentWave;
use crate::hydro::strip::prepared::StripHull;
use num_complex::Complex64;

impl StripHull {
    /// Diffraction force in heave, N/m, and moment in pitch, N, bow down, in the waves of [`StripHull::motions`]; h3 of
    /// Salvesen, Tuck & Faltinsen (1970), with the terms of speed and transom.
    pub fn diffraction(&self, speed_m_s: f64, omega: f64, mu_rad: f64) -> [Complex64; 2] {
        let wave = IncidentWave::new(omega * omega / G, mu_rad);
        let omega_e = omega - wave.along * speed_m_s;
        let table = self.table.at(omega_e);
        let u = speed_m_s * table.fade;
        let met = omega_e + wave.along * u;
        let zero = Complex64::new(0.0, 0.0);
        let (mut force, mut moment, mut transom) = (zero, zero, zero);
        for (index, section) in self.sections.iter().enumerate() {
            let load = wave.load(section, &table.section(index));
            let scattered = wave.phase(section.x) * load.diffraction;
            force += scattered * section.weight;
            moment += scattered * (section.weight * section.x);
            if index == 0 {
                transom = Complex64::i() * u * met * scattered;
            }
        }
        let convected = Complex64::i() * u * met * force;
        let square = met * omega_e;
        [
            self.rho_kg_m3 * (transom - square * force),
            self.rho_kg_m3 * (square * moment - convected - transom * self.sections[0].x),
        ]
    }
}
