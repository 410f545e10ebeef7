//! What a hull radiates, summed over her strips, without the speed: the numbers from which every speed's follow.

use crate::hydro::strip::prepared::StripHull;
use num_complex::Complex64;

/// Sums over the length of the sections' c = a33 - i b33/w with the arm x forward of the centre of gravity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RadiationSums {
    /// Of c, kg; its real part is the added mass in heave at rest.
    pub force: Complex64,
    /// Of x c, kg m.
    pub moment: Complex64,
    /// Of x² c, kg m².
    pub inertia: Complex64,
}

impl StripHull {
    /// The sums at an encounter frequency, rad/s, above 0.
    pub fn radiation_sums(&self, omega_e: f64) -> RadiationSums {
        let table = self.table.at(omega_e);
        let zero = Complex64::new(0.0, 0.0);
        let mut sums = RadiationSums { force: zero, moment: zero, inertia: zero };
        for (index, section) in self.sections.iter().enumerate() {
            let c = table.coefficient(index) * self.rho_kg_m3;
            let (weight, x) = (section.weight, section.x);
            sums.force += c * weight;
            sums.moment += c * (weight * x);
            sums.inertia += c * (weight * x * x);
        }
        sums
    }

    /// The encounter frequencies between which sections have a solution of their own, rad/s.
    pub fn solved_rad_s(&self) -> [f64; 2] {
        self.table.ends_rad_s()
    }
}
