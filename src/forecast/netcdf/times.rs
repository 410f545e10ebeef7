//! When a field is valid, from whatever time coordinates a file has.
//!
//! - **Valid times**: a variable `valid_time`; else the standard name `time`.
//! - **Reference times** (when the forecast starts): the standard name `forecast_reference_time`, and cfgrib's `time` beside
//!   a `valid_time`.
//! - **Periods** (`forecast_period`; `step`, `leadtime`) are added to a reference time.
//! - A time that is called neither is a reference time where a period has a dimension of its own, or where nothing has a
//!   standard name and a period stands beside it; else it is the valid time.
//! - Each may be a scalar or run along one or two dimensions. Where a valid time, a reference time and a period are all
//!   stated they must agree; nothing is guessed.

use std::collections::{BTreeMap, BTreeSet};

use jiff::{SignedDuration, Timestamp};

use crate::base::{Error, Result};
use crate::forecast::netcdf::file::{Dim, File, Variable};
use crate::forecast::netcdf::role::{Role, periods, role};

/// More places in time than this are a damaged header.
const MOST_PLACES: u64 = 1 << 20;

/// A place along each of some dimensions.
pub(super) type Places = BTreeMap<String, u64>;

/// When a forecast starts and when its field is valid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct When {
    pub valid: Timestamp,
    /// None where no file of one time says so.
    pub reference: Option<Timestamp>,
}

/// All time coordinates of a file.
#[derive(Debug, Default)]
pub(super) struct Times {
    valid: Vec<Coordinate<Timestamp>>,
    plain: Vec<Coordinate<Timestamp>>,
    reference: Vec<Coordinate<Timestamp>>,
    period: Vec<Coordinate<SignedDuration>>,
}

/// One of them.
#[derive(Debug)]
struct Coordinate<T> {
    name: String,
    has_standard_name: bool,
    dims: Vec<Dim>,
    values: Vec<T>,
}

impl Times {
    /// # Errors
    /// Coordinates that make no times or periods.
    pub fn read(file: &File, variables: &[Variable]) -> Result<Self> {
        let bounds: BTreeSet<&str> = variables.iter().filter_map(|v| v.text("bounds")).collect();
        // a time over latitude and longitude is a field, not a coordinate
        let is_other = |dim: &Dim| {
            let own = variables.iter().find(|v| v.name == dim.name).and_then(role);
            own.is_some_and(|role| !matches!(role, Role::Time | Role::Period))
        };
        let may_be = |v: &&Variable| !bounds.contains(v.name.as_str()) && !v.dims.iter().any(is_other);
        let mut times = Self::default();
        for variable in variables.iter().filter(may_be) {
            let size = variable.dims.iter().fold(1u64, |n, dim| n.saturating_mul(dim.size));
            if variable.dims.len() > 2 || size > MOST_PLACES {
                continue;
            }
            match role(variable) {
                Some(Role::Time) => {
                    let coordinate = Coordinate::new(variable, file.times(variable)?);
                    match variable.standard_name.as_deref() {
                        Some("forecast_reference_time") => times.reference.push(coordinate),
                        _ if variable.name == "valid_time" => times.valid.push(coordinate),
                        _ if is_reference_name(&variable.name) => times.reference.push(coordinate),
                        _ => times.plain.push(coordinate),
                    }
                }
                Some(Role::Period) => {
                    let values = periods(variable, &file.coordinate(variable)?)?;
                    times.period.push(Coordinate::new(variable, values));
                }
                _ => {}
            }
        }
        Ok(times)
    }

    /// The names of the coordinates.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        let times = self.valid.iter().chain(&self.plain).chain(&self.reference);
        times.map(|c| c.name.as_str()).chain(self.period.iter().map(|c| c.name.as_str()))
    }

    /// The dimensions that they run along.
    pub fn dims(&self) -> impl Iterator<Item = &Dim> {
        let times = self.valid.iter().chain(&self.plain).chain(&self.reference).flat_map(|c| &c.dims);
        times.chain(self.period.iter().flat_map(|c| &c.dims))
    }

    /// When a field is valid that lies at some places; none where that does not settle it.
    ///
    /// # Errors
    /// Coordinates that contradict each other.
    pub fn when(&self, places: &Places) -> Result<Option<When>> {
        let (valid, plain) = (at(&self.valid, places), at(&self.plain, places));
        let (reference, period) = (at(&self.reference, places), at(&self.period, places));
        let when = match (valid, plain, reference, period) {
            (Some(valid), plain, reference, period) => {
                let start = reference.or(plain.filter(|_| period.is_some()));
                agree(start, period, valid)?;
                When { valid: valid.1, reference: start.or(plain).map(|(_, time)| time) }
            }
            (None, Some(time), Some(start), Some(period)) if time.1 == start.1 => later(start, period)?,
            (None, Some(valid), Some(start), period) => {
                agree(Some(start), period, valid)?;
                When { valid: valid.1, reference: Some(start.1) }
            }
            (None, Some(time), None, Some(period)) if is_start(time.0, period.0) => later(time, period)?,
            (None, Some((_, valid)), None, period) => {
                let before = |(_, period): (_, SignedDuration)| valid.checked_sub(period).ok();
                When { valid, reference: period.and_then(before) }
            }
            (None, None, Some(start), Some(period)) => later(start, period)?,
            (None, None, Some((_, start)), None) => When { valid: start, reference: Some(start) },
            (None, None, None, _) => return Ok(None),
        };
        Ok(Some(when))
    }

    /// Every time of the file.
    ///
    /// # Errors
    /// As [`Times::when`].
    pub fn all(&self) -> Result<BTreeSet<When>> {
        let mut found = BTreeSet::new();
        let mut places = vec![Places::new()];
        let dims: BTreeMap<&str, u64> = self.dims().map(|dim| (dim.name.as_str(), dim.size)).collect();
        let count = dims.values().fold(1u64, |n, size| n.saturating_mul(*size));
        if count > MOST_PLACES {
            return Err(Error::new("a file has more times than any forecast").found(count));
        }
        for (name, size) in dims {
            let along = |place: Places| {
                (0..size).map(move |index| {
                    let mut longer = place.clone();
                    longer.insert(name.to_owned(), index);
                    longer
                })
            };
            places = places.into_iter().flat_map(along).collect();
        }
        for place in places {
            found.extend(self.when(&place)?);
        }
        Ok(found)
    }
}

impl<T: Copy> Coordinate<T> {
    fn new(variable: &Variable, values: Vec<T>) -> Self {
        Self {
            name: variable.name.clone(),
            has_standard_name: variable.standard_name.is_some(),
            dims: variable.dims.clone(),
            values,
        }
    }

    /// A dimension of one needs no place.
    fn at(&self, places: &Places) -> Option<T> {
        let mut index = 0;
        for dim in &self.dims {
            let place = places.get(&dim.name).copied().or_else(|| (dim.size == 1).then_some(0))?;
            index = index * dim.size + place;
        }
        self.values.get(usize::try_from(index).ok()?).copied()
    }
}

type Found<'c, T> = (&'c Coordinate<T>, T);

fn at<'c, T: Copy>(coordinates: &'c [Coordinate<T>], places: &Places) -> Option<Found<'c, T>> {
    coordinates.iter().find_map(|coordinate| Some((coordinate, coordinate.at(places)?)))
}

fn is_reference_name(name: &str) -> bool {
    let names = [
        "forecast_reference_time",
        "reference_time",
        "reftime",
        "analysis_time",
        "initial_time",
        "init_time",
    ];
    names.contains(&name.to_lowercase().as_str())
}

/// Whether a time that is called neither is when the forecast starts, of which a period is told.
fn is_start(time: &Coordinate<Timestamp>, period: &Coordinate<SignedDuration>) -> bool {
    let apart = period.dims.iter().any(|dim| dim.size > 1 && !time.dims.contains(dim));
    apart || !time.has_standard_name
}

fn later(start: Found<Timestamp>, period: Found<SignedDuration>) -> Result<When> {
    let valid = start.1.checked_add(period.1);
    let valid =
        valid.map_err(|_| Error::new("the forecast time lies outside the calendar").found(period.1))?;
    Ok(When { valid, reference: Some(start.1) })
}

fn agree(
    start: Option<Found<Timestamp>>,
    period: Option<Found<SignedDuration>>,
    valid: Found<Timestamp>,
) -> Result<()> {
    let Some((start, period)) = start.zip(period) else { return Ok(()) };
    let expected = later(start, period)?.valid;
    if expected.duration_since(valid.1).abs() <= SignedDuration::from_secs(1) {
        return Ok(());
    }
    Err(Error::new("the times of the file contradict each other")
        .at(format!("variables {}, {} and {}", valid.0.name, start.0.name, period.0.name))
        .found(format!("valid at {}, but {} and {:#} after it", valid.1, start.1, period.1))
        .expected(expected)
        .remedy("mend the one that is wrong, or leave it out"))
}
