//! A sea state as a polar feels it: wind speed, and each wave system by its angle off the wind.

use crate::base::{Flag, Flags};
use crate::hydro::dispersion::{deep_period_of_same_length_s, wave_length_m};
use crate::hydro::response::DirectionalSpectrum;
use crate::hydro::wave_shape::peak_period;
use crate::sea::{MAX_PARTITIONS, PartitionKind, PeriodKind, SeaState};
use arrayvec::ArrayVec;

/// A wave system with less than this part of the sea's energy raises no flag of its own.
pub(crate) const MINOR_ENERGY: f64 = 0.02;

/// One wave system in the wind's frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaveSystem {
    /// Wind sea, swell, or both together.
    pub kind: PartitionKind,
    /// Significant height squared, m²: energies add, heights don't.
    pub hs2_m2: f64,
    /// Peak period, s.
    pub tp_s: f64,
    /// Direction the waves come from less the direction the wind comes from, degrees.
    pub off_wind_deg: f64,
}

/// A sea state in the wind's frame.
#[derive(Debug, Clone, PartialEq)]
pub struct WindFrameSea {
    /// True wind speed, m/s.
    pub tws_m_s: f64,
    /// Wave systems.
    pub systems: ArrayVec<WaveSystem, MAX_PARTITIONS>,
    /// The spectrum of the whole sea about the wind, where it is known: what responses are integrated over. The systems
    /// are then but a summary.
    pub spectrum: Option<DirectionalSpectrum>,
    /// Reservations about the conversion.
    pub flags: Flags,
}

impl WindFrameSea {
    /// Turns a sea state into the wind's frame; mean periods become peak periods of the system's assumed spectrum.
    pub fn of(sea: &SeaState) -> Self {
        let mut flags = Flags::empty();
        let systems = sea
            .partitions
            .iter()
            .take(MAX_PARTITIONS)
            .map(|partition| {
                if partition.period.kind != PeriodKind::Peak {
                    flags |= Flag::PeriodConverted;
                }
                if partition.kind == PartitionKind::Total {
                    flags |= Flag::TotalSeaUsed;
                }
                WaveSystem {
                    kind: partition.kind,
                    hs2_m2: partition.hs_m * partition.hs_m,
                    tp_s: peak_period(partition.kind, partition.hs_m, partition.period),
                    off_wind_deg: partition.from.off_deg(sea.wind.from),
                }
            })
            .collect();
        let spectrum = sea.spectrum.as_ref().map(|spectrum| {
            // assumed spectra play no part where there is a real one
            flags = Flags::empty();
            let (spectrum, beyond) = DirectionalSpectrum::about(spectrum, sea.wind.from);
            if beyond {
                flags |= Flag::PeriodOutOfRange;
            }
            spectrum
        });
        Self { tws_m_s: sea.wind.tws_m_s, systems, spectrum, flags }
    }

    /// The same sea in water of a depth, m, where one is stated that is above 0.
    ///
    /// Each system whose deep-water length at the peak is more than twice the depth gets the period of the deep-water
    /// waves that are as long as its own: what waves do to a hull hangs on their length over hers, and the tables are for
    /// deep water. So the encounter frequency omega + k U comes out too high by sqrt(g k) - omega; with the period left
    /// as it is, the length itself would be wrong, by a factor of two and more. A directional spectrum stays as it is:
    /// the flag says so.
    pub fn in_depth(mut self, depth_m: Option<f64>) -> Self {
        let Some(depth_m) = depth_m.filter(|depth_m| *depth_m > 0.0) else { return self };
        let energy: f64 = self.systems.iter().map(|system| system.hs2_m2).sum();
        for system in self.systems.iter_mut().filter(|system| depth_m < 0.5 * wave_length_m(system.tp_s)) {
            system.tp_s = deep_period_of_same_length_s(system.tp_s, depth_m);
            if system.hs2_m2 >= MINOR_ENERGY * energy {
                self.flags |= Flag::ShallowWater;
            }
        }
        self
    }

    /// Significant height of the whole sea, m.
    pub fn hs_m(&self) -> f64 {
        let systems = || self.systems.iter().map(|system| system.hs2_m2).sum::<f64>().sqrt();
        self.spectrum.as_ref().map_or_else(systems, DirectionalSpectrum::hs_m)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn sea(systems: &[(f64, f64)]) -> WindFrameSea {
        let system = |&(hs2_m2, tp_s): &(f64, f64)| WaveSystem {
            kind: PartitionKind::Swell,
            hs2_m2,
            tp_s,
            off_wind_deg: 30.0,
        };
        let systems = systems.iter().map(system).collect();
        WindFrameSea { tws_m_s: 8.0, systems, spectrum: None, flags: Flags::empty() }
    }

    /// By hand: in deep water 10 s are 156.1 m long and 4 s 25.0 m, so 20 m are shallow for the first alone; its length
    /// there is 121.2 m (k = 0.05183725 rad/m by mhkit 1.1.2), that of 8.81249 s in deep water.
    #[test]
    fn systems_that_feel_the_bottom_get_the_period_of_their_length() {
        let shoal = sea(&[(4.0, 10.0), (1.0, 4.0)]).in_depth(Some(20.0));
        assert_relative_eq!(shoal.systems[0].tp_s, 8.81249, epsilon = 1e-5);
        assert_eq!((shoal.systems[0].hs2_m2, shoal.systems[1].tp_s), (4.0, 4.0));
        assert_eq!(shoal.flags, Flag::ShallowWater);
    }

    #[test]
    fn deep_water_and_water_of_unstated_depth_change_nothing() {
        for depth_m in [None, Some(0.0), Some(-3.0), Some(78.1), Some(4000.0)] {
            let same = sea(&[(4.0, 10.0), (1.0, 4.0)]);
            assert_eq!(same.clone().in_depth(depth_m), same, "{depth_m:?}");
        }
        assert_eq!(sea(&[(4.0, 10.0)]).in_depth(Some(78.0)).flags, Flag::ShallowWater);
    }

    #[test]
    fn a_minor_system_raises_no_flag() {
        let shoal = sea(&[(4.0, 4.0), (0.05, 12.0)]).in_depth(Some(20.0));
        assert!(shoal.flags.is_empty() && shoal.systems[1].tp_s < 12.0);
    }
}
