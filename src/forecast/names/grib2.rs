//! GRIB2 codes to quantities: WMO code tables 4.2-0-2 and 4.2-10-0, and what the two large centres mean by them.
//!
//! # Periods whose name misleads
//! The tables call 10/0/6 and 10/0/9 the *mean* period of wind waves and of swell, and do not say which mean.
//! - **NOAA** (centre 7) fills them with **peak** periods. Its writer puts the partitions' `PTP`, "partitioned peak
//!   period", there (WAVEWATCH III, NOAA-EMC/WW3 at 04b3e7bc, `model/src/ww3_grib.F90`, `W3EXGB`, output group 4
//!   field 2: numbers 6 and 9, or 50-52), which `w3partmd.F90`, `PTMEAN`, computes as `XP(2) = TPI / SIGP`, with SIGP
//!   from a parabola through the spectrum's peak. 10/0/11 (`PERPW`) is the peak period of the total sea (group 2
//!   field 6, 1/FP0). Partition directions are energy-weighted means (`XP(4)`); 10/0/10 (`DIRPW`) is the peak's.
//! - **ECMWF** (centre 98) fills them with the energy period Tm-10 (from memory of the IFS documentation, part
//!   VII: the mean periods of 140232, 140236 and 140239 are of the moment -1; the parameter database names the
//!   other moments, 140220 and 140221, outright).
//! - Of another centre, the mean is taken as Tm01, and the reading's note says so.
//!
//! NOAA's 10/0/15, 25 and 34 are not read: the same writer uses 15 for Tm-10 or for Tm01, 25 for Tm02 and 34 for
//! Tm01, by the number of the generating process.

use std::fmt;

use crate::forecast::names::reading::{CURRENT_UNUSED, ECMWF, NOAA, OTHER_LEVEL, Reading, mean_period};
use crate::forecast::quantity::{DirectionKind, Quantity, SystemLabel};
use crate::sea::PeriodKind;

/// What a GRIB2 message says it holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grib2Code {
    /// Originating centre (section 1).
    pub centre: u16,
    /// Discipline (section 0): 0 meteorological, 10 oceanographic.
    pub discipline: u8,
    /// Parameter category (section 4).
    pub category: u8,
    /// Parameter number (section 4).
    pub number: u8,
    /// Product definition template (section 4).
    pub product: u16,
    /// Type of the first fixed surface (code table 4.5).
    pub surface: u8,
    /// Value of the first fixed surface, where stated.
    pub surface_value: Option<f64>,
    /// Limits of a closed band of wave periods in whole seconds (templates 4.103 and 4.104).
    pub band_s: Option<(u16, u16)>,
}

impl fmt::Display for Grib2Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { discipline, category, number, surface, .. } = self;
        write!(f, "{discipline}/{category}/{number} surface {surface}")?;
        if let Some(value) = self.surface_value {
            write!(f, "={value}")?;
        }
        if let Some((low, high)) = self.band_s {
            write!(f, " periods {low}-{high} s")?;
        }
        if self.product != 0 {
            write!(f, " template 4.{}", self.product)?;
        }
        Ok(())
    }
}

/// The quantity a code stands for; none where it is not needed here, or not known for certain.
///
/// Only instantaneous fields count (templates 4.0 and 4.1, a deterministic run or an ensemble member; 4.103 and 4.104,
/// their like for a band of periods, 4.99 and 4.100 for a component of a spectrum): a mean, a maximum or a probability of the same parameter is another thing.
pub fn grib2(code: &Grib2Code) -> Option<Reading> {
    match (code.product, code.discipline, code.category) {
        (0 | 1, 0, 2) if code.number <= 3 => {
            Some(wind(code).map_or_else(|| Reading::unused(OTHER_LEVEL), Reading::plain))
        }
        (0 | 1, 10, 0) => waves(code),
        (0 | 1, 10, 1) if code.number <= 3 => Some(Reading::unused(CURRENT_UNUSED)),
        (0 | 1, 10, 4) if code.number == 7 => Some(Reading::plain(Quantity::Depth)),
        (103 | 104, 10, 0) if code.number == 3 => {
            let (low_s, high_s) = code.band_s?;
            Some(Reading::plain(Quantity::BandHs { low_s, high_s }))
        }
        (99 | 100, 10, 0) if code.number == 86 => Some(spectrum(code.centre)),
        _ => None,
    }
}

/// A component of a spectrum; the table does not say that ECMWF writes logarithms, so that others may not.
fn spectrum(centre: u16) -> Reading {
    match centre {
        ECMWF => Reading::plain(Quantity::Spectrum),
        _ => Reading::unused(
            "a two-dimensional spectrum of a centre other than ECMWF, logarithms or not: not read",
        ),
    }
}

/// Wind at the surface (as the NOAA wave model writes it) or at 10 m above ground (103) or sea (102).
fn wind(code: &Grib2Code) -> Option<Quantity> {
    match (code.surface, code.surface_value) {
        (1, _) => {}
        (102 | 103, Some(10.0)) => {}
        _ => return None,
    }
    match code.number {
        0 => Some(Quantity::WindFrom),
        1 => Some(Quantity::WindSpeed),
        2 => Some(Quantity::WindEastward),
        3 => Some(Quantity::WindNorthward),
        _ => None,
    }
}

fn waves(code: &Grib2Code) -> Option<Reading> {
    use DirectionKind::{Mean, Peak};
    use Quantity::{From, Hs, Period, Spread};
    let swell = swell(code)?;
    let noaa = code.centre == NOAA;
    let ecmwf = code.centre == ECMWF;
    let reading = match code.number {
        3 => Reading::plain(Hs(SystemLabel::Total)),
        10 => Reading::plain(From(SystemLabel::Total, Peak)),
        11 => Reading::plain(Period(SystemLabel::Total, PeriodKind::Peak)),
        14 => Reading::plain(From(SystemLabel::Total, Mean)),
        15 if !noaa => mean_period(code.centre, SystemLabel::Total),
        25 if !noaa => Reading::plain(Period(SystemLabel::Total, PeriodKind::Tm01)),
        28 if !noaa => Reading::plain(Period(SystemLabel::Total, PeriodKind::Tm02)),
        34 if !noaa => Reading::plain(Period(SystemLabel::Total, PeriodKind::Peak)),
        26 if ecmwf => Reading::plain(Period(SystemLabel::WindSea, PeriodKind::Tm01)),
        29 if ecmwf => Reading::plain(Period(SystemLabel::WindSea, PeriodKind::Tm02)),
        27 if ecmwf => Reading::plain(Period(SystemLabel::TotalSwell, PeriodKind::Tm01)),
        30 if ecmwf => Reading::plain(Period(SystemLabel::TotalSwell, PeriodKind::Tm02)),
        40 if ecmwf => Reading::plain(Quantity::WindSpeed),
        41 if ecmwf => Reading::plain(Quantity::WindFrom),
        86 => Reading::unused("a two-dimensional spectrum without its directions and frequencies: not read"),
        // NOAA writes degrees here (XP(5) of PTMEAN); ECMWF's 31 is in radians
        31 if noaa => Reading::plain(Spread(SystemLabel::Total)),
        32 if noaa => Reading::plain(Spread(SystemLabel::WindSea)),
        33 if noaa => Reading::plain(Spread(swell)),
        5 => Reading::plain(Hs(SystemLabel::WindSea)),
        6 => mean_period(code.centre, SystemLabel::WindSea),
        4 | 75 => Reading::plain(From(SystemLabel::WindSea, Mean)),
        35 => Reading::plain(Period(SystemLabel::WindSea, PeriodKind::Peak)),
        8 => Reading::plain(Hs(swell)),
        9 => mean_period(code.centre, swell),
        7 | 74 => Reading::plain(From(swell, Mean)),
        36 => Reading::plain(Period(swell, PeriodKind::Peak)),
        n @ 47..=49 => Reading::plain(Hs(SystemLabel::Swell(n - 46))),
        n @ 50..=52 => mean_period(code.centre, SystemLabel::Swell(n - 49)),
        n @ 53..=55 => Reading::plain(From(SystemLabel::Swell(n - 52), Mean)),
        n @ 65..=67 => Reading::plain(Period(SystemLabel::Swell(n - 64), PeriodKind::Peak)),
        _ => return None,
    };
    Some(reading)
}

/// Which swell a message is about: surface type 241 counts them ("ordered sequence of data").
fn swell(code: &Grib2Code) -> Option<SystemLabel> {
    match (code.surface, code.surface_value) {
        (241, Some(rank)) if (1.0..=5.0).contains(&rank) && rank.fract() == 0.0 => {
            Some(SystemLabel::Swell(rank as u8))
        }
        (1 | 101 | 102, _) => Some(SystemLabel::TotalSwell),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Quantity::*;

    fn quantity(centre: u16, numbers: (u8, u8, u8), surface: u8, value: Option<f64>) -> Option<Quantity> {
        let (discipline, category, number) = numbers;
        let code = Grib2Code {
            centre,
            discipline,
            category,
            number,
            product: 0,
            surface,
            surface_value: value,
            band_s: None,
        };
        grib2(&code).and_then(|reading| reading.quantity)
    }

    #[test]
    fn one_number_is_a_peak_period_at_noaa_and_an_energy_period_at_ecmwf() {
        let at = |centre| quantity(centre, (10, 0, 6), 1, Some(1.0));
        assert_eq!(at(7), Some(Period(SystemLabel::WindSea, PeriodKind::Peak)));
        assert_eq!(at(98), Some(Period(SystemLabel::WindSea, PeriodKind::Tm10)));
        assert_eq!(at(85), Some(Period(SystemLabel::WindSea, PeriodKind::Tm01)));
    }

    #[test]
    fn the_surface_counts_the_swells() {
        assert_eq!(quantity(7, (10, 0, 8), 241, Some(2.0)), Some(Hs(SystemLabel::Swell(2))));
        assert_eq!(quantity(7, (10, 0, 8), 1, Some(1.0)), Some(Hs(SystemLabel::TotalSwell)));
        assert_eq!(
            quantity(98, (10, 0, 55), 1, None),
            Some(From(SystemLabel::Swell(3), DirectionKind::Mean))
        );
        assert_eq!(quantity(7, (10, 0, 8), 241, Some(9.0)), None);
    }

    #[test]
    fn wind_counts_at_the_surface_and_at_ten_metres_only() {
        assert_eq!(quantity(7, (0, 2, 1), 1, Some(1.0)), Some(WindSpeed));
        assert_eq!(quantity(98, (0, 2, 2), 103, Some(10.0)), Some(WindEastward));
        assert_eq!(quantity(98, (0, 2, 2), 103, Some(100.0)), None);
        assert_eq!(quantity(7, (0, 2, 2), 100, Some(85000.0)), None);
    }

    #[test]
    fn a_period_band_of_the_height_is_not_the_height() {
        let mut code = Grib2Code {
            centre: 98,
            discipline: 10,
            category: 0,
            number: 3,
            product: 103,
            surface: 1,
            surface_value: None,
            band_s: Some((10, 12)),
        };
        let quantity = |code: &Grib2Code| grib2(code).and_then(|reading| reading.quantity);
        assert_eq!(quantity(&code), Some(BandHs { low_s: 10, high_s: 12 }));
        code.band_s = None;
        assert_eq!(quantity(&code), None);
    }
}
