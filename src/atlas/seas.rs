//! The seas that an atlas's folder holds polars of: what the wind raises over a fetch or in a time, and swells.

use crate::atlas::contents::Atlas;
use crate::base::units::{NAUTICAL_MILE_M, kn_to_m_s};
use crate::hydro::wave_growth::Growth;
use crate::hydro::wind_frame::WaveSystem;
use crate::sea::PartitionKind;

/// Fetches, nautical miles.
const FETCHES_NM: [f64; 6] = [10.0, 25.0, 50.0, 100.0, 200.0, 400.0];
/// Times that a wind has blown, h.
const DURATIONS_H: [f64; 4] = [3.0, 6.0, 12.0, 24.0];
/// Heights, m, and peak periods, s, of swells.
const SWELLS: ([f64; 6], [f64; 6]) = ([1.0, 2.0, 3.0, 4.0, 6.0, 8.0], [6.0, 8.0, 10.0, 12.0, 15.0, 18.0]);
/// Waves lower than this are no sea, m: below a hand's breadth, common practice, no source.
const LEAST_HS_M: f64 = 0.1;
/// Step of their angle off the wind, degrees.
const STEP_DEG: usize = 30;

/// What a sea that the wind raises is told by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Raised {
    /// Over a fetch, nautical miles.
    FetchNm(f64),
    /// In a time, h.
    DurationH(f64),
}

impl Raised {
    /// The growth of the sea.
    pub fn growth(self) -> Growth {
        match self {
            Self::FetchNm(nm) => Growth::Fetch(nm * NAUTICAL_MILE_M),
            Self::DurationH(hours) => Growth::Duration(3600.0 * hours),
        }
    }

    /// The wind sea in a wind, straight down it; none in airs that raise ripples only.
    pub fn system(self, tws_kn: f64) -> Option<WaveSystem> {
        let grown = (tws_kn > 0.0).then(|| self.growth().sea(kn_to_m_s(tws_kn)));
        grown.filter(|sea| sea.hs_m >= LEAST_HS_M).map(|sea| WaveSystem {
            kind: PartitionKind::WindSea,
            hs2_m2: sea.hs_m * sea.hs_m,
            tp_s: sea.tp_s,
            off_wind_deg: 0.0,
        })
    }
}

/// A sea with a polar of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TabledSea {
    /// The sea that each column's wind raises.
    Raised(Raised),
    /// A swell alone.
    Swell(WaveSystem),
}

impl TabledSea {
    /// The wave systems in a wind.
    pub fn systems(&self, tws_kn: f64) -> Vec<WaveSystem> {
        match self {
            Self::Raised(raised) => raised.system(tws_kn).into_iter().collect(),
            Self::Swell(system) => vec![*system],
        }
    }

    /// `fetch-200nm`, `duration-12h`, or `swell-2m-10s-60r`: from so many degrees to the right of the wind's direction, as one looks
    /// into it, or to the left.
    pub fn name(&self) -> String {
        match self {
            Self::Raised(Raised::FetchNm(nm)) => format!("fetch-{nm}nm"),
            Self::Raised(Raised::DurationH(hours)) => format!("duration-{hours}h"),
            Self::Swell(WaveSystem { hs2_m2, tp_s, off_wind_deg: deg, .. }) => {
                let side = match *deg {
                    deg if deg == 0.0 || deg.abs() == 180.0 => "",
                    deg if deg > 0.0 => "r",
                    _ => "l",
                };
                format!("swell-{}m-{tp_s}s-{}{side}", hs2_m2.sqrt(), deg.abs())
            }
        }
    }
}

/// All seas that an atlas holds in every wind of its polar.
pub fn seas(atlas: &Atlas) -> Vec<TabledSea> {
    let fetches = FETCHES_NM.into_iter().map(Raised::FetchNm);
    let durations = DURATIONS_H.into_iter().map(Raised::DurationH);
    let raised = fetches.chain(durations).map(TabledSea::Raised);
    let (heights_m, periods_s) = SWELLS;
    let swells = periods_s.into_iter().flat_map(|tp_s| {
        heights_m.into_iter().flat_map(move |hs_m| {
            (0..360).step_by(STEP_DEG).map(move |deg| {
                let off_wind_deg = if deg > 180 { deg as f64 - 360.0 } else { deg as f64 };
                let kind = PartitionKind::Swell;
                TabledSea::Swell(WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg })
            })
        })
    });
    let holds = |sea: &TabledSea| {
        atlas.flat.tws_kn().iter().all(|tws_kn| atlas.within(&sea.systems(*tws_kn)).is_ok())
    };
    raised.chain(swells).filter(holds).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_tell_the_sea() {
        let swell = |hs_m: f64, off_wind_deg: f64| {
            let kind = PartitionKind::Swell;
            TabledSea::Swell(WaveSystem { kind, hs2_m2: hs_m * hs_m, tp_s: 10.0, off_wind_deg }).name()
        };
        assert_eq!(swell(2.0, 60.0), "swell-2m-10s-60r");
        assert_eq!(swell(3.0, -150.0), "swell-3m-10s-150l");
        assert_eq!(swell(3.0, 180.0), "swell-3m-10s-180");
        assert_eq!(TabledSea::Raised(Raised::FetchNm(200.0)).name(), "fetch-200nm");
        assert_eq!(TabledSea::Raised(Raised::DurationH(12.0)).name(), "duration-12h");
    }
}
