//! What the boat does per metre of sea: in a regular wave, in a spectrum, and tabulated.

/// Number of quantities in a [`Response`].
pub const QUANTITIES: usize = 12;

/// What the boat does in a sea at one speed and wave angle.
///
/// Regular wave: per amplitude squared. Spectrum: for the sea given. Table: per significant height squared.
/// Mean forces and variances alike go with height squared and add over wave systems.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Response {
    /// Mean added resistance by the method in use, N; for the whole weight hull-borne.
    pub added_resistance: f64,
    /// Mean added resistance by the second method, N.
    pub second_added_resistance: f64,
    /// Variance of the relative motion at the bow, m².
    pub bow_motion: f64,
    /// Variance of the relative velocity at the bow, m²/s².
    pub bow_velocity: f64,
    /// Variance of the vertical acceleration at the bow, m²/s⁴.
    pub bow_acceleration: f64,
    /// Variance of the velocity across the foil that its lift answers to, m²/s².
    pub foil_velocity: f64,
    /// Variance of the rate of that velocity, m²/s⁴.
    pub foil_velocity_rate: f64,
    /// Variance of the foil's immersion, m².
    pub foil_immersion: f64,
    /// Variance of the rate of the immersion, m²/s².
    pub foil_immersion_rate: f64,
    /// Variance of the pitch rate, rad²/s².
    pub pitch_rate: f64,
    /// Covariance of the water's orbital velocity along the course, positive forward, and its relative motion at the
    /// bow, positive where it rises up the bow, at the still surface, m²/s: negative in head seas.
    pub bow_water_covariance: f64,
    /// Variance of the relative motion at the forefoot, a tenth of the length abaft the bow, m².
    pub forefoot_motion: f64,
}

impl Response {
    /// The quantities in their fixed order.
    pub fn to_array(self) -> [f64; QUANTITIES] {
        [
            self.added_resistance,
            self.second_added_resistance,
            self.bow_motion,
            self.bow_velocity,
            self.bow_acceleration,
            self.foil_velocity,
            self.foil_velocity_rate,
            self.foil_immersion,
            self.foil_immersion_rate,
            self.pitch_rate,
            self.bow_water_covariance,
            self.forefoot_motion,
        ]
    }

    /// The inverse of [`Response::to_array`].
    pub fn from_array(a: [f64; QUANTITIES]) -> Self {
        Self {
            added_resistance: a[0],
            second_added_resistance: a[1],
            bow_motion: a[2],
            bow_velocity: a[3],
            bow_acceleration: a[4],
            foil_velocity: a[5],
            foil_velocity_rate: a[6],
            foil_immersion: a[7],
            foil_immersion_rate: a[8],
            pitch_rate: a[9],
            bow_water_covariance: a[10],
            forefoot_motion: a[11],
        }
    }
}
