//! What spectrum and spreading a wave system is given, since forecasts state only height, period and direction.
//!
//! Wind sea and total sea: JONSWAP with the peak enhancement that DNV-RP-C205 selects from height and period,
//! spread by cos²; swell: JONSWAP with gamma 3.3, spread by cos^150 (s = 75). The spreads and the swell's gamma
//! follow ISO 15016:2015 (from memory). Spreading does not depend on frequency.

use crate::hydro::spectrum::{SpectrumShape, gamma_dnv, peak_period_s};
use crate::hydro::spreading::Spreading;
use crate::sea::{PartitionKind, Period, PeriodKind};

/// Peak enhancement of swell (ISO 15016:2015, from memory).
pub const SWELL_GAMMA: f64 = 3.3;
/// Spreading exponent of wind sea and of the total sea (ISO 15016:2015, from memory).
pub const WIND_SEA_S: f64 = 1.0;
/// Spreading exponent of swell (ISO 15016:2015, from memory).
pub const SWELL_S: f64 = 75.0;

/// Spectrum and spreading of one wave system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaveShape {
    /// Form of the frequency spectrum.
    pub spectrum: SpectrumShape,
    /// Form of the spreading.
    pub spreading: Spreading,
}

impl WaveShape {
    /// The shape of a system of this kind, height and peak period.
    pub fn of(kind: PartitionKind, hs_m: f64, tp_s: f64) -> Self {
        match kind {
            PartitionKind::WindSea | PartitionKind::Total => Self {
                spectrum: SpectrumShape::Jonswap { gamma: gamma_dnv(hs_m, tp_s) },
                spreading: Spreading::HalfCosine { s: WIND_SEA_S },
            },
            PartitionKind::Swell => Self {
                spectrum: SpectrumShape::Jonswap { gamma: SWELL_GAMMA },
                spreading: Spreading::HalfCosine { s: SWELL_S },
            },
        }
    }
}

/// The peak period of a system whose period is stated in any kind.
///
/// Where the shape itself hangs on the peak period, the two are found together by iteration; the ratio of the
/// periods varies by a tenth over all gammas, so three rounds settle it below 0.1 %.
pub fn peak_period(kind: PartitionKind, hs_m: f64, period: Period) -> f64 {
    if period.kind == PeriodKind::Peak {
        return period.seconds;
    }
    (0..3).fold(period.seconds, |tp_s, _| peak_period_s(period, WaveShape::of(kind, hs_m, tp_s).spectrum))
}
