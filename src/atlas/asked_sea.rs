//! A sea as an atlas is asked for it, several systems at once, and the answer.

use crate::atlas::contents::{Atlas, AtlasSpeed};
use crate::atlas::folder::signed_polar;
use crate::atlas::seas::Raised;
use crate::balance::{STAGE_NAMES, STAGES};
use crate::base::units::kn_to_m_s;
use crate::base::{Error, Result};
use crate::hydro::wave_growth::Growing;
use crate::hydro::wind_frame::WaveSystem;
use crate::polar::Polar;
use crate::sea::{MAX_PARTITIONS, PartitionKind};
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

/// Wave systems that are met together; each as significant height, m, peak period, s, and degrees that it comes from off the wind,
/// positive clockwise.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AskedSea {
    /// Swells.
    pub swells: Vec<[f64; 3]>,
    /// Wind seas.
    pub wind_seas: Vec<[f64; 3]>,
    /// The wind sea that the wind raises.
    pub raised: Option<Raised>,
}

/// What an atlas answers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AtlasAnswer {
    /// The atlas's error over random seas, root mean square, kn.
    pub error_rms_kn: Option<f64>,
    /// What 95 per cent of them are within, kn.
    pub error_95_kn: Option<f64>,
    /// In the wind that was asked for, if any was.
    #[serde(flatten)]
    pub in_wind: Option<AnswerInWind>,
}

/// What she does in one wind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AnswerInWind {
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, degrees, positive on starboard tack.
    pub twa_deg: f64,
    /// Speeds and factors.
    #[serde(flatten, serialize_with = "as_fields")]
    pub speed: AtlasSpeed,
    /// The systems that she meets.
    pub sea: Vec<AnsweredSystem>,
    /// What should be known of the sea that the wind raises.
    pub note: Option<&'static str>,
}

/// A system of the answer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AnsweredSystem {
    /// What it is.
    pub kind: PartitionKind,
    /// Significant height, m.
    pub hs_m: f64,
    /// Peak period, s.
    pub tp_s: f64,
    /// Degrees that it comes from off the wind, positive clockwise.
    pub off_wind_deg: f64,
}

/// Names as in the audit.
fn as_fields<S: Serializer>(speed: &AtlasSpeed, serializer: S) -> std::result::Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(None)?;
    map.serialize_entry("flat_kn", &speed.flat_kn)?;
    map.serialize_entry("corrected_kn", &speed.corrected_kn)?;
    map.serialize_entry("factor_band_slow", &speed.band[0])?;
    map.serialize_entry("factor_band_fast", &speed.band[1])?;
    map.serialize_entry("speed_sd_kn", &speed.speed_sd_kn)?;
    for stage in 0..STAGES {
        map.serialize_entry(&format!("stage_{}", STAGE_NAMES[stage]), &speed.stages[stage])?;
    }
    map.end()
}

impl AskedSea {
    /// Whether it is a sea that an atlas may be asked for.
    ///
    /// # Errors
    /// None at all; too many systems; heights, periods or angles that no waves have.
    pub fn check(&self) -> Result<()> {
        let count = self.swells.len() + self.wind_seas.len() + usize::from(self.raised.is_some());
        if count == 0 {
            return Err(
                Error::new("no sea is given").remedy("give a swell, a wind sea, a fetch or a duration")
            );
        }
        if count > MAX_PARTITIONS {
            return Err(Error::new("too many wave systems")
                .found(count)
                .expected(format!("up to {MAX_PARTITIONS}"))
                .remedy("leave out the lowest"));
        }
        let is_one = |[hs_m, tp_s, off]: &[f64; 3]| {
            [hs_m, tp_s].into_iter().all(|value| *value > 0.0 && value.is_finite()) && off.abs() <= 360.0
        };
        if let Some(wrong) = self.swells.iter().chain(&self.wind_seas).find(|system| !is_one(system)) {
            return Err(Error::new("these are no waves")
                .found(format!("{wrong:?}"))
                .expected(
                    "height in m and peak period in s above 0, angle off the wind within -360 to 360 degrees",
                )
                .remedy("correct them"));
        }
        match self.raised {
            Some(Raised::FetchNm(value) | Raised::DurationH(value))
                if !(value > 0.0 && value.is_finite()) =>
            {
                Err(Error::new("the wind raises no sea so")
                    .found(value)
                    .expected("a fetch in nautical miles or a duration in hours above 0")
                    .remedy("correct it"))
            }
            _ => Ok(()),
        }
    }

    /// The systems in a wind.
    pub fn systems(&self, tws_kn: f64) -> Vec<WaveSystem> {
        let of = |kind: PartitionKind| {
            move |[hs_m, tp_s, off_wind_deg]: &[f64; 3]| WaveSystem {
                kind,
                hs2_m2: hs_m * hs_m,
                tp_s: *tp_s,
                off_wind_deg: *off_wind_deg,
            }
        };
        let grown = self.raised.and_then(|raised| raised.system(tws_kn));
        let wind_seas = self.wind_seas.iter().map(of(PartitionKind::WindSea));
        let swells = self.swells.iter().map(of(PartitionKind::Swell));
        wind_seas.chain(grown).chain(swells).collect()
    }

    /// What a reader should know of the sea that a wind raises.
    fn note(&self, tws_kn: f64) -> Option<&'static str> {
        match self.raised?.growth().growing(kn_to_m_s(tws_kn)) {
            Growing::Measured => None,
            Growing::Short => Some("the fetch is shorter than those that the growth curve was measured over"),
            Growing::Long => Some(
                "the fetch is longer than those that the growth curve was measured over: near the fully developed sea",
            ),
        }
    }
}

impl From<&WaveSystem> for AnsweredSystem {
    fn from(system: &WaveSystem) -> Self {
        let &WaveSystem { kind, hs2_m2, tp_s, off_wind_deg } = system;
        Self { kind, hs_m: hs2_m2.sqrt(), tp_s, off_wind_deg }
    }
}

impl Atlas {
    /// What she does in a sea, in a wind (TWS, kn, and TWA, degrees) if one is asked for.
    ///
    /// # Errors
    /// No sea; a system outside the atlas; a wind outside the polar.
    pub fn answer(&self, sea: &AskedSea, wind: Option<(f64, f64)>) -> Result<AtlasAnswer> {
        sea.check()?;
        let in_wind = |(tws_kn, twa_deg): (f64, f64)| -> Result<AnswerInWind> {
            let systems = sea.systems(tws_kn);
            let speed = self.speed(&systems, tws_kn, twa_deg)?;
            let sea_of = systems.iter().map(AnsweredSystem::from).collect();
            Ok(AnswerInWind { tws_kn, twa_deg, speed, sea: sea_of, note: sea.note(tws_kn) })
        };
        let error = self.errors.last();
        Ok(AtlasAnswer {
            error_rms_kn: error.map(|row| row.rms_kn),
            error_95_kn: error.map(|row| row.within_95_kn),
            in_wind: wind.map(in_wind).transpose()?,
        })
    }

    /// Her polar in a sea, starboard tack positive.
    ///
    /// # Errors
    /// No sea; a system outside the atlas.
    pub fn polar(&self, sea: &AskedSea) -> Result<Polar> {
        sea.check()?;
        signed_polar(self, &self.speeds_kn(|tws_kn| sea.systems(tws_kn))?)
    }
}
