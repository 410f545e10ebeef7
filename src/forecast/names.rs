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

use super::quantity::{DirectionKind, Quantity, System};
use crate::sea::PeriodKind;

/// The originating centres whose habits are known (WMO common code table C-11).
const NOAA: u16 = 7;
const ECMWF: u16 = 98;

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
}

impl fmt::Display for Grib2Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { discipline, category, number, surface, .. } = self;
        write!(f, "{discipline}/{category}/{number} surface {surface}")?;
        if let Some(value) = self.surface_value {
            write!(f, "={value}")?;
        }
        if self.product != 0 {
            write!(f, " template 4.{}", self.product)?;
        }
        Ok(())
    }
}

/// How a code is understood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// What it is.
    pub quantity: Quantity,
    /// What a user should know about the reading, where the code alone would mislead.
    pub note: Option<&'static str>,
}

/// The quantity a code stands for; none where it is not needed here, or not known for certain.
///
/// Only instantaneous fields count (templates 4.0 and 4.1, a deterministic run or an ensemble member): a mean, a
/// maximum, a probability or a period band of the same parameter is another thing.
pub fn grib2(code: &Grib2Code) -> Option<Reading> {
    if code.product > 1 {
        return None;
    }
    match (code.discipline, code.category) {
        (0, 2) => wind(code).map(plain),
        (10, 0) => waves(code),
        _ => None,
    }
}

fn plain(quantity: Quantity) -> Reading {
    Reading { quantity, note: None }
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
    let reading = match code.number {
        3 => plain(Hs(System::Total)),
        10 => plain(From(System::Total, Peak)),
        11 => plain(Period(System::Total, PeriodKind::Peak)),
        14 => plain(From(System::Total, Mean)),
        15 if !noaa => mean_period(code, System::Total),
        25 if !noaa => plain(Period(System::Total, PeriodKind::Tm01)),
        28 if !noaa => plain(Period(System::Total, PeriodKind::Tm02)),
        34 if !noaa => plain(Period(System::Total, PeriodKind::Peak)),
        // NOAA writes degrees here (XP(5) of PTMEAN); ECMWF's 31 is in radians
        31 if noaa => plain(Spread(System::Total)),
        32 if noaa => plain(Spread(System::WindSea)),
        33 if noaa => plain(Spread(swell)),
        5 => plain(Hs(System::WindSea)),
        6 => mean_period(code, System::WindSea),
        4 | 75 => plain(From(System::WindSea, Mean)),
        35 => plain(Period(System::WindSea, PeriodKind::Peak)),
        8 => plain(Hs(swell)),
        9 => mean_period(code, swell),
        7 | 74 => plain(From(swell, Mean)),
        36 => plain(Period(swell, PeriodKind::Peak)),
        n @ 47..=49 => plain(Hs(System::Swell(n - 46))),
        n @ 50..=52 => mean_period(code, System::Swell(n - 49)),
        n @ 53..=55 => plain(From(System::Swell(n - 52), Mean)),
        n @ 65..=67 => plain(Period(System::Swell(n - 64), PeriodKind::Peak)),
        _ => return None,
    };
    Some(reading)
}

/// Which swell a message is about: surface type 241 counts them ("ordered sequence of data").
fn swell(code: &Grib2Code) -> Option<System> {
    match (code.surface, code.surface_value) {
        (241, Some(rank)) if (1.0..=5.0).contains(&rank) && rank.fract() == 0.0 => {
            Some(System::Swell(rank as u8))
        }
        (1 | 101, _) => Some(System::TotalSwell),
        _ => None,
    }
}

fn mean_period(code: &Grib2Code, system: System) -> Reading {
    let (kind, note) = match code.centre {
        NOAA => {
            (PeriodKind::Peak, Some("called a mean period; NOAA's wave model writes the peak period here"))
        }
        ECMWF => (PeriodKind::Tm10, None),
        _ => (PeriodKind::Tm01, Some("a mean period of an unstated kind, taken as Tm01")),
    };
    Reading { quantity: Quantity::Period(system, kind), note }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Quantity::*;

    fn quantity(centre: u16, numbers: (u8, u8, u8), surface: u8, value: Option<f64>) -> Option<Quantity> {
        let (discipline, category, number) = numbers;
        let code =
            Grib2Code { centre, discipline, category, number, product: 0, surface, surface_value: value };
        grib2(&code).map(|reading| reading.quantity)
    }

    #[test]
    fn one_number_is_a_peak_period_at_noaa_and_an_energy_period_at_ecmwf() {
        let at = |centre| quantity(centre, (10, 0, 6), 1, Some(1.0));
        assert_eq!(at(7), Some(Period(System::WindSea, PeriodKind::Peak)));
        assert_eq!(at(98), Some(Period(System::WindSea, PeriodKind::Tm10)));
        assert_eq!(at(85), Some(Period(System::WindSea, PeriodKind::Tm01)));
    }

    #[test]
    fn the_surface_counts_the_swells() {
        assert_eq!(quantity(7, (10, 0, 8), 241, Some(2.0)), Some(Hs(System::Swell(2))));
        assert_eq!(quantity(7, (10, 0, 8), 1, Some(1.0)), Some(Hs(System::TotalSwell)));
        assert_eq!(quantity(98, (10, 0, 55), 1, None), Some(From(System::Swell(3), DirectionKind::Mean)));
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
        let code = Grib2Code {
            centre: 98,
            discipline: 10,
            category: 0,
            number: 3,
            product: 103,
            surface: 1,
            surface_value: None,
        };
        assert_eq!(grib2(&code), None);
    }
}
