//! Physical constants and the unit conversions of the edges: inside, all is SI and radians.

/// Standard acceleration of gravity, m/s² (ISO 80000-3, exact).
pub const G: f64 = 9.806_65;
/// Density of sea water, kg/m³ (common practice for ocean routes; ITTC 7.5-02-01-03 gives 1026 at 15 °C).
pub const RHO_WATER: f64 = 1025.0;
/// Density of air at sea level, kg/m³ (ISO 2533 standard atmosphere at 15 °C).
pub const RHO_AIR: f64 = 1.225;
/// Kinematic viscosity of sea water, m²/s (ITTC 7.5-02-01-03, 15 °C).
pub const NU_WATER: f64 = 1.1892e-6;
/// One nautical mile in m (exact).
pub const NAUTICAL_MILE_M: f64 = 1852.0;
/// One knot in m/s (exact: a nautical mile an hour).
pub const KN: f64 = NAUTICAL_MILE_M / 3600.0;
/// Mean radius of the earth, m (IUGG R1).
pub const EARTH_RADIUS_M: f64 = 6_371_008.8;

/// Knots to m/s.
pub fn kn_to_m_s(kn: f64) -> f64 {
    kn * KN
}

/// m/s to knots.
pub fn m_s_to_kn(m_s: f64) -> f64 {
    m_s / KN
}
