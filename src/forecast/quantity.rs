//! What a forecast can say about wind and sea, whatever the format and the names in the file.

use std::fmt;

use serde::{Serialize, Serializer};

use crate::sea::PeriodKind;

/// Which waves a number is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SystemLabel {
    /// All waves together.
    Total,
    /// The waves that the local wind raises.
    WindSea,
    /// All swell together.
    TotalSwell,
    /// One swell of several, from 1. Ranks may swap between neighbouring cells.
    Swell(u8),
}

/// How a direction is taken from a spectrum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum DirectionKind {
    /// The energy-weighted mean.
    Mean,
    /// At the spectrum's peak.
    Peak,
}

/// One quantity in the units and the sense used here; a field of it is in SI, directions in degrees true FROM.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Quantity {
    /// True wind speed at 10 m, m/s.
    WindSpeed,
    /// Where the wind comes from, deg.
    WindFrom,
    /// Eastward wind component (towards), m/s.
    WindEastward,
    /// Northward wind component (towards), m/s.
    WindNorthward,
    /// Significant wave height, m.
    Hs(SystemLabel),
    /// A period of the waves, s.
    Period(SystemLabel, PeriodKind),
    /// Where the waves come from, deg.
    From(SystemLabel, DirectionKind),
    /// Directional spread (circular standard deviation), deg.
    Spread(SystemLabel),
    /// Significant height of the waves in a band of periods, m; limits in whole seconds.
    BandHs {
        /// Shortest period.
        low_s: u16,
        /// Longest period.
        high_s: u16,
    },
    /// Water depth in the wave model, m.
    Depth,
    /// The directional spectrum, m2/(Hz rad).
    Spectrum,
}

impl Quantity {
    /// The unit a field of it is in.
    pub fn unit(self) -> &'static str {
        match self {
            Self::WindSpeed | Self::WindEastward | Self::WindNorthward => "m/s",
            Self::Hs(_) | Self::BandHs { .. } | Self::Depth => "m",
            Self::Period(..) => "s",
            Self::WindFrom | Self::From(..) | Self::Spread(_) => "deg",
            Self::Spectrum => "m2/(Hz rad)",
        }
    }

    /// The unit in which its values are judged: of spectra, that of the height they integrate to.
    pub(super) fn unit_of_values(self) -> &'static str {
        match self {
            Self::Spectrum => "m",
            other => other.unit(),
        }
    }

    /// Whether it is about the wind.
    pub fn is_of_wind(self) -> bool {
        matches!(self, Self::WindSpeed | Self::WindFrom | Self::WindEastward | Self::WindNorthward)
    }

    /// Whether it is a compass direction.
    pub fn is_direction(self) -> bool {
        matches!(self, Self::WindFrom | Self::From(..))
    }

    /// The same of one swell by its rank, where it is about swell.
    pub(super) fn of_swell(self, rank: u8) -> Option<Self> {
        let swell = SystemLabel::Swell(rank);
        match self {
            Self::Hs(SystemLabel::TotalSwell) => Some(Self::Hs(swell)),
            Self::Period(SystemLabel::TotalSwell, kind) => Some(Self::Period(swell, kind)),
            Self::From(SystemLabel::TotalSwell, kind) => Some(Self::From(swell, kind)),
            Self::Spread(SystemLabel::TotalSwell) => Some(Self::Spread(swell)),
            _ => None,
        }
    }

    /// The waves it is about; none for wind.
    pub fn system(self) -> Option<SystemLabel> {
        match self {
            Self::Hs(s) | Self::Period(s, _) | Self::From(s, _) | Self::Spread(s) => Some(s),
            _ => None,
        }
    }
}

impl fmt::Display for SystemLabel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Total => f.write_str("total sea"),
            Self::WindSea => f.write_str("wind sea"),
            Self::TotalSwell => f.write_str("total swell"),
            Self::Swell(rank) => write!(f, "swell {rank}"),
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WindSpeed => f.write_str("wind speed"),
            Self::WindFrom => f.write_str("wind direction (from)"),
            Self::WindEastward => f.write_str("wind, eastward"),
            Self::WindNorthward => f.write_str("wind, northward"),
            Self::Hs(system) => write!(f, "{system} Hs"),
            Self::Period(system, kind) => write!(f, "{system} {}", period_symbol(*kind)),
            Self::From(system, DirectionKind::Mean) => write!(f, "{system} mean direction (from)"),
            Self::From(system, DirectionKind::Peak) => write!(f, "{system} peak direction (from)"),
            Self::Spread(system) => write!(f, "{system} directional spread"),
            Self::BandHs { low_s, high_s } => write!(f, "Hs of periods {low_s} to {high_s} s"),
            Self::Depth => f.write_str("water depth"),
            Self::Spectrum => f.write_str("directional spectrum"),
        }
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Serialize for SystemLabel {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// The usual symbol of a period.
pub fn period_symbol(kind: PeriodKind) -> &'static str {
    match kind {
        PeriodKind::Peak => "peak period Tp",
        PeriodKind::Tm01 => "mean period Tm01",
        PeriodKind::Tm02 => "mean period Tm02",
        PeriodKind::Tm10 => "energy period Tm-10",
    }
}
