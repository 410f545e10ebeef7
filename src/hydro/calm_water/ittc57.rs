//! Skin friction by the ITTC 1957 model-ship correlation line.

use crate::base::units::{NU_WATER, RHO_WATER};

/// Below this Reynolds number no flow over a hull is turbulent and the line, which has a pole at Re = 100,
/// means nothing (transition begins near 1e5 on a flat plate).
pub const REYNOLDS_MIN: f64 = 1e4;

/// Share of the waterline length that enters the Reynolds number of a yacht's canoe body
/// (practice of the Delft series, Gerritsma, Onnink & Versluis 1981).
pub const YACHT_LENGTH_SHARE: f64 = 0.7;

/// Friction coefficient C_F = 0.075/(log10 Re - 2)², on half rho S V² (ITTC 1957).
///
/// Meant for Re > 1e5. Below [`REYNOLDS_MIN`] its value there is held: hulls pass that range below 2 mm/s,
/// where only a finite number is wanted.
pub fn friction_coefficient(reynolds: f64) -> f64 {
    let excess = reynolds.max(REYNOLDS_MIN).log10() - 2.0;
    0.075 / (excess * excess)
}

/// Frictional resistance in N of a wetted surface in sea water at 15 °C.
///
/// `length_m` is the length of the Reynolds number.
pub fn friction_n(wetted_surface_m2: f64, length_m: f64, speed_m_s: f64) -> f64 {
    let c_f = friction_coefficient(speed_m_s * length_m / NU_WATER);
    0.5 * RHO_WATER * wetted_surface_m2 * speed_m_s * speed_m_s * c_f
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Round Reynolds numbers by hand (0.075/16, 0.075/25, ...); the last two are printed in
    /// Molland, Turnock & Hudson (2011), chapter 10 examples.
    #[test]
    fn line_matches_hand_and_printed_values() {
        assert_relative_eq!(friction_coefficient(1e6), 0.004_687_5, max_relative = 1e-12);
        assert_relative_eq!(friction_coefficient(1e7), 0.003, max_relative = 1e-12);
        assert_relative_eq!(friction_coefficient(1e8), 0.002_083_333, max_relative = 1e-6);
        assert_relative_eq!(friction_coefficient(1.944e8), 0.001_896, max_relative = 3e-4);
        assert_relative_eq!(friction_coefficient(2.991e8), 0.001_788_4, max_relative = 3e-4);
    }

    #[test]
    fn friction_vanishes_at_rest() {
        assert_eq!(friction_n(20.0, 7.0, 0.0), 0.0);
    }
}
