//! GRIB1 codes to quantities: parameter table 2 as NOAA uses it, and ECMWF's tables 140 (waves) and 128.
//!
//! Table 2 numbers are those of WMO code table 2 (100-110 sea state); which period NOAA writes there is told in
//! [`crate::forecast::names::grib2`]. Table 140 is ECMWF's parameter database, paramId 140001 to 140255.

use std::fmt;

use crate::forecast::names::reading::{CURRENT_UNUSED, OTHER_LEVEL, Reading, mean_period};
use crate::forecast::quantity::{DirectionKind, Quantity, SystemLabel};
use crate::sea::PeriodKind;

/// What a GRIB1 message says it holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grib1Code {
    /// Originating centre.
    pub centre: u16,
    /// Parameter table version.
    pub table: u8,
    /// Parameter number.
    pub number: u8,
    /// Type of level (code table 3).
    pub level: u8,
    /// The level's value.
    pub level_value: u16,
}

/// The level type "ordered sequence of data", by which swells are numbered.
pub const SEQUENCE: u8 = 241;

impl fmt::Display for Grib1Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { table, number, level, level_value, .. } = self;
        write!(f, "table {table} parameter {number} level {level}={level_value}")
    }
}

impl Grib1Code {
    /// Whether only the order of messages tells which swell it is: NOAA writes level 241 with value 0 for all.
    pub fn is_numbered_by_order(&self) -> bool {
        self.level == SEQUENCE && self.level_value == 0 && matches!((self.table, self.number), (2, 104..=106))
    }
}

/// The quantity a code stands for. `rank` is the swell's number by message order, for codes that need it.
pub fn grib1(code: &Grib1Code, rank: u8) -> Option<Reading> {
    match code.table {
        1..=3 => table_2(code, rank),
        128 => table_128(code),
        140 => table_140(code),
        _ => None,
    }
}

fn table_2(code: &Grib1Code, rank: u8) -> Option<Reading> {
    use DirectionKind::{Mean, Peak};
    let near_surface = matches!((code.level, code.level_value), (1 | 102, _) | (105, 10) | (SEQUENCE, _));
    if !near_surface {
        return matches!(code.number, 31..=34).then(|| Reading::unused(OTHER_LEVEL));
    }
    let swell = match (code.level, code.level_value) {
        (SEQUENCE, 0) => SystemLabel::Swell(rank),
        (SEQUENCE, value) => SystemLabel::Swell(u8::try_from(value).ok()?),
        _ => SystemLabel::TotalSwell,
    };
    if let SystemLabel::Swell(rank) = swell
        && !(1..=5).contains(&rank)
    {
        return None;
    }
    Some(match code.number {
        31 => Reading::plain(Quantity::WindFrom),
        32 => Reading::plain(Quantity::WindSpeed),
        33 => Reading::plain(Quantity::WindEastward),
        34 => Reading::plain(Quantity::WindNorthward),
        47..=50 => Reading::unused(CURRENT_UNUSED),
        100 => Reading::plain(Quantity::Hs(SystemLabel::Total)),
        101 => Reading::plain(Quantity::From(SystemLabel::WindSea, Mean)),
        102 => Reading::plain(Quantity::Hs(SystemLabel::WindSea)),
        103 => mean_period(code.centre, SystemLabel::WindSea),
        104 => Reading::plain(Quantity::From(swell, Mean)),
        105 => Reading::plain(Quantity::Hs(swell)),
        106 => mean_period(code.centre, swell),
        // "primary wave": the peak of the whole sea, as NOAA writes it
        107 => Reading::plain(Quantity::From(SystemLabel::Total, Peak)),
        108 => Reading::plain(Quantity::Period(SystemLabel::Total, PeriodKind::Peak)),
        _ => return None,
    })
}

fn table_128(code: &Grib1Code) -> Option<Reading> {
    match code.number {
        165 => Some(Reading::plain(Quantity::WindEastward)),
        166 => Some(Reading::plain(Quantity::WindNorthward)),
        _ => None,
    }
}

fn table_140(code: &Grib1Code) -> Option<Reading> {
    use DirectionKind::Mean;
    use PeriodKind::{Peak, Tm01, Tm02, Tm10};
    use Quantity::{From, Hs, Period};
    use SystemLabel::{Swell, Total, TotalSwell, WindSea};
    let band = |low_s: u16, high_s| Quantity::BandHs { low_s, high_s };
    let quantity = match code.number {
        114 => band(10, 12),
        115 => band(12, 14),
        116 => band(14, 17),
        117 => band(17, 21),
        118 => band(21, 25),
        119 => band(25, 30),
        n @ 121..=129 => {
            let system = Swell((n - 121) / 3 + 1);
            match (n - 121) % 3 {
                0 => Hs(system),
                1 => From(system, Mean),
                _ => Period(system, Tm10),
            }
        }
        219 => Quantity::Depth,
        220 => Period(Total, Tm01),
        221 => Period(Total, Tm02),
        223 => Period(WindSea, Tm01),
        224 => Period(WindSea, Tm02),
        226 => Period(TotalSwell, Tm01),
        227 => Period(TotalSwell, Tm02),
        229 => Hs(Total),
        230 => From(Total, Mean),
        231 => Period(Total, Peak),
        232 => Period(Total, Tm10),
        234 => Hs(WindSea),
        235 => From(WindSea, Mean),
        236 => Period(WindSea, Tm10),
        237 => Hs(TotalSwell),
        238 => From(TotalSwell, Mean),
        239 => Period(TotalSwell, Tm10),
        245 => Quantity::WindSpeed,
        249 => Quantity::WindFrom,
        250 => {
            return Some(Reading::unused(
                "two-dimensional spectra in one message: not read, get parameter 251",
            ));
        }
        251 => Quantity::Spectrum,
        _ => return None,
    };
    Some(Reading::plain(quantity))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn quantity(table: u8, number: u8, level: u8, rank: u8) -> Option<Quantity> {
        let centre = if table == 140 { 98 } else { 7 };
        let code = Grib1Code { centre, table, number, level, level_value: 0 };
        grib1(&code, rank).and_then(|reading| reading.quantity)
    }

    /// Names of the parameters as ecCodes 2.50.0 prints them.
    #[test]
    fn tables_2_and_140_are_read() {
        use DirectionKind::Mean;
        use PeriodKind::{Peak, Tm10};
        assert_eq!(quantity(2, 105, SEQUENCE, 2), Some(Quantity::Hs(SystemLabel::Swell(2))));
        assert_eq!(quantity(2, 105, 1, 0), Some(Quantity::Hs(SystemLabel::TotalSwell)));
        assert_eq!(quantity(2, 106, SEQUENCE, 3), Some(Quantity::Period(SystemLabel::Swell(3), Peak)));
        assert_eq!(quantity(2, 105, SEQUENCE, 6), None);
        assert_eq!(quantity(2, 33, 100, 0), None);
        assert_eq!(quantity(140, 125, 102, 0), Some(Quantity::From(SystemLabel::Swell(2), Mean)));
        assert_eq!(quantity(140, 129, 102, 0), Some(Quantity::Period(SystemLabel::Swell(3), Tm10)));
        assert_eq!(quantity(140, 116, 102, 0), Some(Quantity::BandHs { low_s: 14, high_s: 17 }));
    }
}
