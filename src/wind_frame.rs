//! A sea state as a polar feels it: wind speed, and each wave system by its angle off the wind.

use crate::flags::{Flag, Flags};
use crate::hydro::response::DirectionalSpectrum;
use crate::hydro::wave_shape::peak_period;
use crate::sea::{MAX_PARTITIONS, PartitionKind, PeriodKind, SeaState};
use arrayvec::ArrayVec;

/// One wave system in the wind's frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct System {
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
    pub systems: ArrayVec<System, MAX_PARTITIONS>,
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
                System {
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

    /// Significant height of the whole sea, m.
    pub fn hs_m(&self) -> f64 {
        let systems = || self.systems.iter().map(|system| system.hs2_m2).sum::<f64>().sqrt();
        self.spectrum.as_ref().map_or_else(systems, DirectionalSpectrum::hs_m)
    }
}
