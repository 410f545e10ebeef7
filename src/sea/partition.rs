//! Wave systems (partitions) with their periods, and the wind.

use crate::base::DirectionFrom;
use arrayvec::ArrayVec;

/// The most wave systems one sea state holds: wind sea and up to five swells.
pub const MAX_PARTITIONS: usize = 6;

/// The wave systems of one sea state, held in place: a grid of sea states allocates nothing.
pub type Partitions = ArrayVec<Partition, MAX_PARTITIONS>;

/// What a stated period is the period of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PeriodKind {
    /// Period of the spectrum's peak, Tp.
    Peak,
    /// Mean period from the first moment, Tm01 = m0/m1.
    Tm01,
    /// Mean zero-crossing period, Tm02 = sqrt(m0/m2).
    Tm02,
    /// Energy period, Tm-10 = m-1/m0.
    Tm10,
}

/// A period with its kind; kinds are never mixed without a conversion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Period {
    /// Seconds, > 0.
    pub seconds: f64,
    /// What it is the period of.
    pub kind: PeriodKind,
}

/// What a wave system is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartitionKind {
    /// Waves that the local wind raises.
    WindSea,
    /// Waves that have left the wind that raised them.
    Swell,
    /// Wind sea and swell together, where a forecast does not split them.
    Total,
}

impl PartitionKind {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::WindSea, Self::Swell, Self::Total];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::WindSea => "wind-sea",
            Self::Swell => "swell",
            Self::Total => "total",
        }
    }
}

/// One wave system.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Partition {
    /// Wind sea, swell, or both together.
    pub kind: PartitionKind,
    /// Significant wave height, m, > 0.
    pub hs_m: f64,
    /// Period and its kind.
    pub period: Period,
    /// Where the waves come from.
    pub from: DirectionFrom,
    /// Directional spread (circular standard deviation), deg, where the forecast states one.
    pub spread_deg: Option<f64>,
}

/// The true wind at 10 m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wind {
    /// True wind speed, m/s.
    pub tws_m_s: f64,
    /// Where it comes from.
    pub from: DirectionFrom,
}
