//! Forces of the waves that go with their height: diffraction, and what the memory in time lacks of strip theory's radiation at
//! speed.
//!
//! Radiation at speed holds terms of U² a33 in pitch (Salvesen, Tuck & Faltinsen 1970), the Munk moment of a slender body: against
//! trim they are a negative stiffness, which towards low frequency outweighs the waterplane's from about Fn 0.5. Strip theory in
//! the frequency domain never sees what follows, as it asks only for the answer at the frequencies of the waves, which lie
//! above; in time any memory that is exact there at all frequencies falls over. So in time radiation H(w) is split: the memory's
//! own, which is stable, for the motion as it is, and the difference for the motion that linear theory gives in the same waves,
//!
//!   H x = H_memory x + (H - H_memory) x_linear + (H - H_memory)(x - x_linear),
//!
//! of which the last is left out: a small difference times what is not linear in her motion. In small waves it is nothing, so that
//! her motion there is strip theory's in any sea. The middle term is a force of each wave, here added to diffraction.

use crate::hydro::body::foil_in_time::BodyFoil;
use crate::hydro::body::memory::Memory;
use crate::hydro::body::wave_rows::Summed;
use crate::hydro::body::waves::Wave;
use crate::hydro::strip::{Motions, StripHull};
use num_complex::Complex64;

/// Heave force, N, and pitch moment, N m, of waves as met at a mean speed, with a foil that takes part in the linear motion.
pub(super) fn exciting(
    strip: &StripHull,
    memory: &Memory,
    waves: &[Wave],
    speed_m_s: f64,
    foil: Option<&BodyFoil>,
) -> [Summed; 2] {
    let forces: Vec<[Complex64; 2]> = waves
        .iter()
        .map(|wave| {
            let lift = foil.map(|foil| foil.linear(speed_m_s, wave.encounter_rad_s(speed_m_s), strip.cg_m()));
            let motions = strip.motions_with(lift.as_ref(), speed_m_s, wave.omega_rad_s, wave.mu_rad);
            let lacks = lacking(&motions, memory);
            let moved = [motions.heave, motions.pitch];
            let diffraction = strip.diffraction(speed_m_s, wave.omega_rad_s, wave.mu_rad);
            std::array::from_fn(|i| diffraction[i] - lacks[i][0] * moved[0] - lacks[i][1] * moved[1])
        })
        .collect();
    [0, 1].map(|i| Summed::new(forces.iter().map(move |force| force[i])))
}

/// Radiation of strip theory less that of the memory, force over displacement.
fn lacking(motions: &Motions, memory: &Memory) -> [[Complex64; 2]; 2] {
    let omega_e = motions.omega_e;
    let has = memory.force_over_motion(omega_e);
    let Some(all) = motions.coefficients() else { return has.map(|row| row.map(|h| -h)) };
    let (mass, damping) =
        ([[all.a33, all.a35], [all.a53, all.a55]], [[all.b33, all.b35], [all.b53, all.b55]]);
    let whole = |i: usize, j: usize| Complex64::new(-omega_e * omega_e * mass[i][j], omega_e * damping[i][j]);
    std::array::from_fn(|i| std::array::from_fn(|j| whole(i, j) - has[i][j]))
}
