//! NetCDF variables to quantities: CF standard names first, then the names models give their variables.
//!
//! Names and aliases are those of the CF standard name table, version 93. A variable's own name goes first only where
//! a model is known to write a wrong standard name ([`variables`]).
//!
//! CF calls a period "mean" without a moment where it knows no more; the variable's name may know (`VTM01_WW`, `mwp`),
//! else it is taken as Tm01 and the reading's note says so.

use crate::forecast::names::reading::{CURRENT_UNUSED, Reading};
use crate::forecast::names::unit::{Conversion, from_unit};
use crate::forecast::names::variables;
use crate::forecast::quantity::{DirectionKind, Quantity, SystemLabel};
use crate::sea::PeriodKind;

/// What a file says of a variable.
#[derive(Debug, Clone, Copy)]
pub struct Described<'a> {
    pub name: &'a str,
    /// Its `standard_name`.
    pub standard_name: Option<&'a str>,
    pub unit: Option<&'a str>,
    /// The centre that cfgrib names for the whole file (`GRIB_centre`).
    pub grib_centre: Option<&'a str>,
}

/// The quantity a variable holds.
///
/// A known name in a unit of another kind (a height in seconds) is not used, and the note says so; without a unit, the
/// quantity's own is taken.
pub fn netcdf(variable: &Described) -> Option<Reading> {
    let by_name = match variable.grib_centre {
        Some("kwbc") => variables::noaa_period(variable.name),
        _ => None,
    };
    let by_name = by_name.or_else(|| variables::reading(variable.name));
    let by_standard = variable.standard_name.and_then(standard);
    let reading = match (by_standard, by_name) {
        (_, Some(named)) if variables::beats_standard_name(variable.name) => named,
        (Some(found), Some(named)) if found.note.as_deref() == Some(UNSTATED_MEAN) && is_period(&named) => {
            named
        }
        (Some(found), _) => found,
        (None, named) => named?,
    };
    let Some(quantity) = reading.quantity else { return Some(reading) };
    let Some(unit) = variable.unit else {
        let note = format!("no unit in the file, taken as {}", quantity.unit());
        return Some(match reading.note {
            Some(_) => reading,
            None => reading.noted(note),
        });
    };
    let conversion = from_unit(quantity, unit).and_then(|unit| reading.conversion.after_unit(unit));
    let Some(conversion) = conversion else {
        let expected = quantity.unit();
        return Some(Reading::unused(format!(
            "{quantity} in \"{unit}\" is not used: expected {expected} or its like"
        )));
    };
    // a frequency by name whose unit is seconds is a period after all
    let conversion = match (reading.conversion, from_unit(quantity, unit)) {
        (Conversion::Reciprocal, Some(Conversion::None)) => Conversion::None,
        _ => conversion,
    };
    let note = reading.note.or(conversion.note().map(Into::into));
    Some(Reading { quantity: Some(quantity), conversion, note })
}

fn is_period(reading: &Reading) -> bool {
    matches!(reading.quantity, Some(Quantity::Period(..)))
}

const UNSTATED_MEAN: &str = "a mean period of an unstated kind, taken as Tm01";

/// The quantity of a CF standard name.
fn standard(name: &str) -> Option<Reading> {
    let reading = match name {
        "wind_speed" => Reading::plain(Quantity::WindSpeed),
        "wind_from_direction" => Reading::plain(Quantity::WindFrom),
        "wind_to_direction" => Reading::converted(Quantity::WindFrom, Conversion::Reverse),
        "eastward_wind" => Reading::plain(Quantity::WindEastward),
        "northward_wind" => Reading::plain(Quantity::WindNorthward),
        "x_wind" | "grid_eastward_wind" => along_grid(Quantity::WindEastward),
        "y_wind" | "grid_northward_wind" => along_grid(Quantity::WindNorthward),
        "sea_floor_depth_below_sea_surface" | "sea_floor_depth_below_geoid" | "sea_floor_depth" | "depth" => {
            Reading::plain(Quantity::Depth)
        }
        "significant_height_of_wind_and_swell_waves" => Reading::plain(Quantity::Hs(SystemLabel::Total)),
        "significant_height_of_wind_waves" => Reading::plain(Quantity::Hs(SystemLabel::WindSea)),
        "significant_height_of_swell_waves" => Reading::plain(Quantity::Hs(SystemLabel::TotalSwell)),
        "wind_wave_period" => unstated_mean(SystemLabel::WindSea),
        "swell_wave_period" => unstated_mean(SystemLabel::TotalSwell),
        "direction_of_wind_wave_velocity" => towards(SystemLabel::WindSea),
        "direction_of_swell_wave_velocity" => towards(SystemLabel::TotalSwell),
        _ if name.contains("sea_water_velocity") => Reading::unused(CURRENT_UNUSED),
        _ => {
            let (system, what) = system(name.strip_prefix("sea_surface_")?)?;
            of_waves(system, what)?
        }
    };
    Some(reading)
}

fn along_grid(quantity: Quantity) -> Reading {
    Reading::plain(quantity).noted("wind along the grid, which runs north and east")
}

fn unstated_mean(system: SystemLabel) -> Reading {
    Reading::plain(Quantity::Period(system, PeriodKind::Tm01)).noted(UNSTATED_MEAN)
}

fn towards(system: SystemLabel) -> Reading {
    Reading::converted(Quantity::From(system, DirectionKind::Mean), Conversion::Reverse)
}

/// The wave system that a name begins with, and the rest.
fn system(name: &str) -> Option<(SystemLabel, &str)> {
    let systems = [
        ("primary_swell_wave_", SystemLabel::Swell(1)),
        ("secondary_swell_wave_", SystemLabel::Swell(2)),
        ("tertiary_swell_wave_", SystemLabel::Swell(3)),
        ("swell_wave_", SystemLabel::TotalSwell),
        ("wind_wave_", SystemLabel::WindSea),
        ("wave_", SystemLabel::Total),
    ];
    systems.into_iter().find_map(|(prefix, system)| Some((system, name.strip_prefix(prefix)?)))
}

fn of_waves(system: SystemLabel, what: &str) -> Option<Reading> {
    use DirectionKind::{Mean, Peak};
    use Quantity::{From, Hs, Period, Spread};
    let moment = what.strip_prefix("mean_period_from_variance_spectral_density_");
    Some(match what {
        "significant_height" => Reading::plain(Hs(system)),
        "period_at_variance_spectral_density_maximum" => Reading::plain(Period(system, PeriodKind::Peak)),
        "frequency_at_variance_spectral_density_maximum" => {
            Reading::converted(Period(system, PeriodKind::Peak), Conversion::Reciprocal)
        }
        "zero_upcrossing_period" => Reading::plain(Period(system, PeriodKind::Tm02)),
        "mean_period" | "period" => unstated_mean(system),
        _ if moment == Some("first_frequency_moment") => Reading::plain(Period(system, PeriodKind::Tm01)),
        _ if moment == Some("second_frequency_moment") => Reading::plain(Period(system, PeriodKind::Tm02)),
        _ if moment == Some("inverse_frequency_moment") => Reading::plain(Period(system, PeriodKind::Tm10)),
        "from_direction" | "mean_from_direction" => Reading::plain(From(system, Mean)),
        "to_direction" => towards(system),
        "from_direction_at_variance_spectral_density_maximum" | "principal_from_direction" => {
            Reading::plain(From(system, Peak))
        }
        "directional_spread" => Reading::plain(Spread(system)),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use PeriodKind::{Peak, Tm01, Tm02, Tm10};
    use Quantity::*;
    use SystemLabel::{Swell, Total, TotalSwell, WindSea};

    fn read(name: &str, standard_name: &str, unit: &str) -> (Option<Quantity>, Conversion) {
        let some = |text: &'static str| (!text.is_empty()).then_some(text);
        let leak = |text: &str| some(Box::leak(text.to_owned().into_boxed_str()));
        let (name, standard_name, unit) = (leak(name).unwrap(), leak(standard_name), leak(unit));
        netcdf(&Described { name, standard_name, unit, grib_centre: None })
            .map_or((None, Conversion::None), |r| (r.quantity, r.conversion))
    }

    #[test]
    fn standard_names_state_system_moment_and_sense() {
        let name = |standard: &str, unit: &str| read("x", standard, unit);
        let mean = DirectionKind::Mean;
        assert_eq!(name("sea_surface_secondary_swell_wave_significant_height", "m").0, Some(Hs(Swell(2))));
        assert_eq!(
            name("sea_surface_wave_to_direction", "degree"),
            (Some(From(Total, mean)), Conversion::Reverse)
        );
        assert_eq!(
            name("sea_surface_swell_wave_to_direction", "rad"),
            (Some(From(TotalSwell, mean)), Conversion::RadiansReverse)
        );
        assert_eq!(
            name("sea_surface_wave_mean_period_from_variance_spectral_density_inverse_frequency_moment", "s")
                .0,
            Some(Period(Total, Tm10))
        );
        assert_eq!(name("direction_of_wind_wave_velocity", "degree").1, Conversion::Reverse);
        assert_eq!(name("sea_surface_wave_significant_height", "s").0, None);
        assert_eq!(name("eastward_sea_water_velocity", "m s-1").0, None);
        assert_eq!(name("air_temperature", "K").0, None);
    }

    #[test]
    fn variable_names_of_the_models_are_known() {
        assert_eq!(read("mwp", "", "s").0, Some(Period(Total, Tm10)));
        assert_eq!(read("p140122", "", "degrees").0, Some(From(Swell(1), DirectionKind::Mean)));
        assert_eq!(read("VTM01_WW", "sea_surface_wind_wave_mean_period", "s").0, Some(Period(WindSea, Tm01)));
        assert_eq!(read("fp", "", "s-1"), (Some(Period(Total, Peak)), Conversion::Reciprocal));
        assert_eq!(read("ptp2", "", "s").0, Some(Period(Swell(2), Peak)));
        assert_eq!(read("phs0", "", "m").0, Some(Hs(WindSea)));
        let wrong =
            "sea_surface_wind_wave_mean_period_from_variance_spectral_density_second_frequency_moment";
        assert_eq!(read("t02", wrong, "s").0, Some(Period(Total, Tm02)));
    }
}
