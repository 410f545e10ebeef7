//! The sea that a boat is simulated in.

use crate::base::Flags;
use crate::hydro::surge::{RandomWave, RandomWaves};
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::sea::PartitionKind;
use arrayvec::ArrayVec;
use std::f64::consts::TAU;

/// Waves that stand for a sea in a simulation.
const WAVES: usize = 160;

/// The sea of a simulation.
#[derive(Debug, Clone, PartialEq)]
pub enum SimulatedSea {
    /// Drawn at random, anew for every seed.
    Random(WindFrameSea),
    /// One regular wave.
    Regular {
        /// From trough to crest, m.
        height_m: f64,
        /// Period, s.
        period_s: f64,
        /// Direction it comes from less the wind's, degrees.
        off_wind_deg: f64,
    },
}

impl SimulatedSea {
    /// The sea whose mean forces act: of a regular wave a swell of its energy, period and direction.
    pub fn mean_sea(&self, tws_m_s: f64) -> WindFrameSea {
        match self {
            Self::Random(sea) => WindFrameSea { tws_m_s, ..sea.clone() },
            Self::Regular { height_m, period_s, off_wind_deg } => {
                let swell = WaveSystem {
                    kind: PartitionKind::Swell,
                    hs2_m2: 2.0 * height_m * height_m,
                    tp_s: *period_s,
                    off_wind_deg: *off_wind_deg,
                };
                let systems: ArrayVec<_, _> = [swell].into_iter().filter(|s| s.hs2_m2 > 0.0).collect();
                WindFrameSea { tws_m_s, systems, spectrum: None, flags: Flags::empty() }
            }
        }
    }

    /// Its waves, of one seed.
    pub(super) fn waves(&self, seed: u64) -> RandomWaves {
        match self {
            Self::Random(sea) => RandomWaves::draw(sea, WAVES, seed),
            Self::Regular { height_m, period_s, off_wind_deg } => RandomWaves {
                waves: vec![RandomWave {
                    omega: TAU / period_s,
                    amplitude_m: height_m / 2.0,
                    off_wind_rad: [off_wind_deg.to_radians(); 2],
                    phase: 0.0,
                }],
            },
        }
    }
}
