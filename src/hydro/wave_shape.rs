//! What spectrum and spreading a wave system is given, since forecasts state only height, period and direction.
//!
//! Wind sea and total sea: JONSWAP with the peak enhancement that DNV-RP-C205 selects from height and period, spread by
//! cos^2s(theta/2) that widens away from the peak (Mitsuyasu et al. 1975; Goda & Suzuki 1975). Swell: one system of Ochi &
//! Hubble (1976), which has none of a wind sea's short waves, spread by cos^150 (s = 75, ISO 15016:2015, from memory).

use crate::hydro::spectrum::{SpectrumShape, gamma_dnv, peak_period_s, swell_exponent};
use crate::hydro::spreading::{Spreading, SpreadingByFrequency};
use crate::sea::{PartitionKind, Period, PeriodKind};

/// Greatest spreading exponent of wind sea and of the total sea, at the peak (Goda & Suzuki 1975, wind waves).
pub const WIND_SEA_S_MAX: f64 = 10.0;
/// Spreading exponent of swell (ISO 15016:2015, from memory).
pub const SWELL_S: f64 = 75.0;

/// Spectrum and spreading of one wave system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaveShape {
    /// Form of the frequency spectrum.
    pub spectrum: SpectrumShape,
    /// Form of the spreading.
    pub spreading: SpreadingByFrequency,
}

impl WaveShape {
    /// The shape of a system of this kind, height and peak period.
    pub fn of(kind: PartitionKind, hs_m: f64, tp_s: f64) -> Self {
        match kind {
            PartitionKind::WindSea | PartitionKind::Total => Self {
                spectrum: SpectrumShape::Jonswap { gamma: gamma_dnv(hs_m, tp_s) },
                spreading: SpreadingByFrequency::Mitsuyasu { s_max: WIND_SEA_S_MAX },
            },
            PartitionKind::Swell => Self {
                spectrum: SpectrumShape::OchiHubble { l: swell_exponent(hs_m, tp_s) },
                spreading: SpreadingByFrequency::Same(Spreading::HalfCosine { s: SWELL_S }),
            },
        }
    }
}

/// The peak period of a system whose period is stated in any kind.
///
/// Where the shape itself hangs on the peak period, the two are found together by iteration; the ratio of the
/// periods varies by a tenth over all gammas and by less over all L, so three rounds settle it below 0.1 %.
pub fn peak_period(kind: PartitionKind, hs_m: f64, period: Period) -> f64 {
    if period.kind == PeriodKind::Peak {
        return period.seconds;
    }
    (0..3).fold(period.seconds, |tp_s, _| peak_period_s(period, WaveShape::of(kind, hs_m, tp_s).spectrum))
}
