//! Variable names of ERA5, WAVEWATCH III, Copernicus Marine and the usual wind files.
//!
//! ERA5 and ECMWF: the parameter database's short names, and `p140nnn` of older files. WAVEWATCH III: `ww3_ounf`
//! (NOAA-EMC/WW3 at f66b6d46, `w3ounfmetamd.F90`). Copernicus Marine: the product manuals' names.

use crate::forecast::names::reading::{CURRENT_UNUSED, NOAA, Reading, mean_period};
use crate::forecast::names::unit::Conversion;
use crate::forecast::quantity::{DirectionKind, Quantity, SystemLabel};
use crate::sea::PeriodKind;

use DirectionKind::{Mean, Peak as AtPeak};
use PeriodKind::{Peak, Tm01, Tm02, Tm10};
use Quantity::{From, Hs, Period, Spread};
use SystemLabel::{Swell, Total, TotalSwell, WindSea};

/// Whether a variable's name is to be believed before its standard name: WAVEWATCH III states the means of the total
/// sea as those of the wind sea, a peak direction by a name that is none, and nothing for `fp`.
pub(super) fn beats_standard_name(name: &str) -> bool {
    matches!(name, "t02" | "t01" | "t0m1" | "fp" | "dp") || partition(name).is_some()
}

/// The quantity of a variable's name.
pub(super) fn reading(name: &str) -> Option<Reading> {
    match name {
        "fp" => return Some(Reading::converted(Period(Total, Peak), Conversion::Reciprocal)),
        "uo" | "vo" | "ucur" | "vcur" | "water_u" | "water_v" => {
            return Some(Reading::unused(CURRENT_UNUSED));
        }
        _ => {}
    }
    let quantity = of_ecmwf(name)
        .or_else(|| of_noaa(name))
        .or_else(|| of_wavewatch(name))
        .or_else(|| of_copernicus(name))
        .or_else(|| of_wind(name))
        .or_else(|| partition(name))?;
    Some(Reading::plain(quantity))
}

fn of_ecmwf(name: &str) -> Option<Quantity> {
    let swell = |text: &str| text.parse::<u8>().ok().filter(|n| (1..=3).contains(n)).map(Swell);
    Some(match name {
        "swh" => Hs(Total),
        "mwd" => From(Total, Mean),
        "mwp" => Period(Total, Tm10),
        "mp1" => Period(Total, Tm01),
        "mp2" => Period(Total, Tm02),
        "pp1d" => Period(Total, Peak),
        "shww" => Hs(WindSea),
        "mdww" => From(WindSea, Mean),
        "mpww" => Period(WindSea, Tm10),
        "p1ww" => Period(WindSea, Tm01),
        "p2ww" => Period(WindSea, Tm02),
        "shts" => Hs(TotalSwell),
        "mdts" => From(TotalSwell, Mean),
        "mpts" => Period(TotalSwell, Tm10),
        "p1ps" => Period(TotalSwell, Tm01),
        "p2ps" => Period(TotalSwell, Tm02),
        "wmb" => Quantity::Depth,
        "h1012" => Quantity::BandHs { low_s: 10, high_s: 12 },
        "h1214" => Quantity::BandHs { low_s: 12, high_s: 14 },
        "h1417" => Quantity::BandHs { low_s: 14, high_s: 17 },
        "h1721" => Quantity::BandHs { low_s: 17, high_s: 21 },
        "h2125" => Quantity::BandHs { low_s: 21, high_s: 25 },
        "h2530" => Quantity::BandHs { low_s: 25, high_s: 30 },
        _ => {
            if let Some(number) = name.strip_prefix("p140").and_then(|n| n.parse::<u8>().ok()) {
                let system = Swell(number.checked_sub(121)? / 3 + 1);
                return match number {
                    121 | 124 | 127 => Some(Hs(system)),
                    122 | 125 | 128 => Some(From(system, Mean)),
                    123 | 126 | 129 => Some(Period(system, Tm10)),
                    _ => None,
                };
            }
            let (what, rank) = name.split_at_checked(3)?;
            match what {
                "swh" => Hs(swell(rank)?),
                "mwd" => From(swell(rank)?, Mean),
                "mwp" => Period(swell(rank)?, Tm10),
                _ => return None,
            }
        }
    })
}

/// Periods that ecCodes names as means and NOAA's wave model fills with peak periods, as
/// [`crate::forecast::names::grib2`] tells.
pub(super) fn noaa_period(name: &str) -> Option<Reading> {
    match name {
        "mpww" => Some(mean_period(NOAA, WindSea)),
        "mpts" => Some(mean_period(NOAA, TotalSwell)),
        _ => None,
    }
}

/// Short names that ecCodes has for NOAA's parameters, as cfgrib writes them.
fn of_noaa(name: &str) -> Option<Quantity> {
    Some(match name {
        "ws" => Quantity::WindSpeed,
        "wvdir" => From(WindSea, Mean),
        "swdir" => From(TotalSwell, Mean),
        "dirpw" => From(Total, AtPeak),
        "perpw" => Period(Total, Peak),
        _ => return None,
    })
}

fn of_wavewatch(name: &str) -> Option<Quantity> {
    Some(match name {
        "hs" => Hs(Total),
        "t02" => Period(Total, Tm02),
        "t01" => Period(Total, Tm01),
        "t0m1" => Period(Total, Tm10),
        "tp" => Period(Total, Peak),
        "dir" => From(Total, Mean),
        "dp" => From(Total, AtPeak),
        "spr" => Spread(Total),
        "dpt" => Quantity::Depth,
        _ => return None,
    })
}

/// WAVEWATCH III's partitions: 0 is the wind sea, 1 to 5 the swells.
fn partition(name: &str) -> Option<Quantity> {
    let at = name.find(|c: char| c.is_ascii_digit())?;
    let (what, rank) = name.split_at(at);
    let system = |rank: &str| match rank.parse::<u8>().ok()? {
        0 => Some(WindSea),
        n @ 1..=5 => Some(Swell(n)),
        _ => None,
    };
    Some(match what {
        "phs" => Hs(system(rank)?),
        "ptp" => Period(system(rank)?, Peak),
        "pdir" => From(system(rank)?, Mean),
        "pdp" => From(system(rank)?, AtPeak),
        "pspr" => Spread(system(rank)?),
        // ptm10c0: the digits of the moment come before the partition's
        "ptm" => Period(system(rank.strip_prefix("10c")?)?, Tm10),
        "pt" => match (rank.strip_prefix("01c"), rank.strip_prefix("02c")) {
            (Some(rank), _) => Period(system(rank)?, Tm01),
            (_, Some(rank)) => Period(system(rank)?, Tm02),
            _ => return None,
        },
        _ => return None,
    })
}

fn of_copernicus(name: &str) -> Option<Quantity> {
    let (what, system) = match name.split_once('_') {
        None => (name, Total),
        Some((what, "WW")) => (what, WindSea),
        Some((what, "SW1")) => (what, Swell(1)),
        Some((what, "SW2")) => (what, Swell(2)),
        Some(_) => return None,
    };
    Some(match what {
        "VHM0" => Hs(system),
        "VMDR" => From(system, Mean),
        "VTPK" => Period(system, Peak),
        "VPED" => From(system, AtPeak),
        "VTM10" => Period(system, Tm10),
        "VTM01" => Period(system, Tm01),
        "VTM02" => Period(system, Tm02),
        _ => return None,
    })
}

fn of_wind(name: &str) -> Option<Quantity> {
    Some(match name {
        "u10" | "10u" | "uwnd" | "ugrd10m" | "UGRD_10maboveground" => Quantity::WindEastward,
        "v10" | "10v" | "vwnd" | "vgrd10m" | "VGRD_10maboveground" => Quantity::WindNorthward,
        "wind" | "wspd" | "WSPD" => Quantity::WindSpeed,
        "dwi" | "wdir" | "WDIR" => Quantity::WindFrom,
        _ => return None,
    })
}
