//! A sea state as a polar feels it: wind speed, and each wave system by its angle off the wind.

use crate::flags::{Flag, Flags};
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
        Self { tws_m_s: sea.wind.tws_m_s, systems, flags }
    }

    /// Significant height of all systems together, m.
    pub fn hs_m(&self) -> f64 {
        self.systems.iter().map(|system| system.hs2_m2).sum::<f64>().sqrt()
    }
}
