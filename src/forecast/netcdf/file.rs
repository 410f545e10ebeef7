//! The only file that touches the `netcdf-reader` crate: variables, their attributes, slices of their values.

use std::collections::BTreeMap;
use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use jiff::Timestamp;
use netcdf_reader::{
    NcAttrValue, NcFile, NcFormat, NcGroup, NcOpenOptions, NcSliceInfo, NcSliceInfoElem, NcType, NcVariable,
};

use crate::base::{Error, Result};
use crate::forecast::netcdf::cf_time::{TimeUnit, text_time};

/// The most that one read may take: a spectrum of 36 x 36 at every point of a global half-degree grid.
const MOST_BYTES: usize = 2 << 30;
/// Coordinates longer than this are a damaged header.
const LONGEST_AXIS: u64 = 1 << 20;

const DAMAGED: &str = "the file is damaged or uses something that is not supported: get it again, or convert it with `nccopy -k nc4`";

/// An open file.
pub(super) struct File {
    nc: NcFile,
    bytes: u64,
}

/// A variable and what its attributes say.
#[derive(Debug, Clone)]
pub(super) struct Variable {
    pub name: String,
    pub dims: Vec<Dim>,
    pub standard_name: Option<String>,
    pub unit: Option<String>,
    pub calendar: Option<String>,
    pub axis: Option<String>,
    pub packing: String,
    /// Texts; the length of texts of characters is none of its dimensions.
    pub is_text: bool,
    /// All attributes that are text.
    attributes: BTreeMap<String, String>,
}

/// A dimension.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Dim {
    pub name: String,
    pub size: u64,
}

/// What to take of a dimension.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pick {
    One(u64),
    All,
}

impl Variable {
    /// An attribute that is text.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.attributes.get(name).map(String::as_str)
    }
}

impl fmt::Display for Variable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)?;
        match &self.standard_name {
            Some(name) => write!(f, " ({name})"),
            None => Ok(()),
        }
    }
}

impl File {
    /// # Errors
    /// A file that cannot be opened, is damaged or no NetCDF.
    pub fn open(path: &Path) -> Result<Self> {
        let bytes = std::fs::metadata(path).map_err(|e| Error::io("open", path, &e))?.len();
        let options = NcOpenOptions { max_read_bytes: MOST_BYTES, ..NcOpenOptions::default() };
        let nc = guarded(|| NcFile::open_with_options(path, options))?;
        Ok(Self { nc, bytes })
    }

    /// # Errors
    /// A damaged file.
    pub fn variables(&self) -> Result<Vec<Variable>> {
        Ok(guarded(|| self.nc.variables())?.iter().map(describe).collect())
    }

    /// The groups below the root that hold variables, which are not read: name and number of variables.
    ///
    /// # Errors
    /// A damaged file.
    pub fn groups(&self) -> Result<Vec<(String, usize)>> {
        let root = guarded(|| self.nc.root_group())?;
        let of = |group: &NcGroup| (group.name.trim_matches('/').to_owned(), group.variables.len());
        Ok(root.groups.iter().map(of).filter(|(_, variables)| *variables > 0).collect())
    }

    /// A whole one-dimensional or scalar variable.
    ///
    /// # Errors
    /// An axis that is too long to be one; as [`File::values`].
    pub fn coordinate(&self, variable: &Variable) -> Result<Vec<f64>> {
        if let Some(dim) = variable.dims.iter().find(|dim| dim.size > LONGEST_AXIS) {
            return Err(too_long(&dim.name, dim.size));
        }
        self.values(&variable.name, &vec![Pick::All; variable.dims.len()])
    }

    /// Values of a slice, unpacked, in the order of the file; not-a-number where missing.
    ///
    /// # Errors
    /// A slice that does not fit the variable or is too large; a damaged file.
    pub fn values(&self, name: &str, picks: &[Pick]) -> Result<Vec<f64>> {
        let variable = guarded(|| self.nc.variable(name))?;
        let shape = variable.shape();
        if shape.len() != picks.len() {
            return Err(Error::new("a variable has not the dimensions it was indexed with").at(name));
        }
        self.check_size(variable, &shape, picks)?;
        let selections = picks
            .iter()
            .zip(&shape)
            .map(|(pick, &size)| match *pick {
                Pick::One(index) => NcSliceInfoElem::Index(index),
                Pick::All => NcSliceInfoElem::Slice { start: 0, end: size, step: 1 },
            })
            .collect();
        let selection = NcSliceInfo { selections };
        let read = guarded(|| {
            if picks.is_empty() {
                return self.nc.read_variable_unpacked_masked(name);
            }
            self.nc.read_variable_slice_unpacked_masked(name, &selection)
        });
        let mut values: Vec<f64> = read?.into_iter().collect();
        if let Some(fill) = default_fill(variable) {
            values.iter_mut().filter(|v| **v == fill).for_each(|v| *v = f64::NAN);
        }
        Ok(values)
    }

    /// Times of a coordinate in `unit since date`, or written out.
    ///
    /// # Errors
    /// A unit or value that makes no date; as [`File::coordinate`].
    pub fn times(&self, variable: &Variable) -> Result<Vec<Timestamp>> {
        let place = format!("variable {}", variable.name);
        if variable.is_text {
            let texts =
                guarded(|| self.nc.read_variable_as_strings(&variable.name)).map_err(|e| e.at(&place))?;
            let time = |text: &String| text_time(text).ok_or_else(|| no_date(&place, format!("\"{text}\"")));
            return texts.iter().map(time).collect();
        }
        let unit =
            TimeUnit::parse(variable.unit.as_deref().unwrap_or_default(), variable.calendar.as_deref());
        let unit = unit.map_err(|e| e.at(&place))?;
        let time = |&value: &f64| match unit.time(value) {
            Some(time) if value.is_finite() => Ok(time),
            Some(_) | None if value.is_nan() => Err(no_date(&place, "a missing value".into())),
            _ => Err(no_date(&place, format!("{value} {}", variable.unit.as_deref().unwrap_or_default()))),
        };
        self.coordinate(variable)?.iter().map(time).collect()
    }

    /// A header must not claim more than the file or a forecast can hold.
    fn check_size(&self, variable: &NcVariable, shape: &[u64], picks: &[Pick]) -> Result<()> {
        let wanted = shape.iter().zip(picks).filter(|(_, pick)| **pick == Pick::All);
        let count = wanted.fold(1u64, |n, (size, _)| n.saturating_mul(*size));
        let classic = matches!(self.nc.format(), NcFormat::Classic | NcFormat::Offset64 | NcFormat::Cdf5);
        let stored = count.saturating_mul(variable.dtype().size().unwrap_or(1) as u64);
        if count.saturating_mul(8) > MOST_BYTES as u64 || (classic && stored > self.bytes) {
            return Err(Error::new("a variable is larger than the file or any forecast")
                .found(format!(
                    "{count} values in one field of {}, in a file of {} bytes",
                    variable.name(),
                    self.bytes
                ))
                .remedy(DAMAGED));
        }
        Ok(())
    }
}

fn too_long(name: &str, size: u64) -> Error {
    Error::new("a coordinate is longer than that of any forecast")
        .found(format!("dimension {name} of {size}"))
        .expected(format!("at most {LONGEST_AXIS}"))
        .remedy(DAMAGED)
}

fn describe(variable: &NcVariable) -> Variable {
    let tidy = |value: String| {
        let value = value.trim_matches(|c: char| c.is_whitespace() || c == '\0');
        (!value.is_empty()).then(|| value.to_owned())
    };
    let texts =
        variable.attributes().iter().filter_map(|a| Some((a.name.clone(), tidy(a.value.as_string()?)?)));
    let attributes: BTreeMap<String, String> = texts.collect();
    let text = |name: &str| attributes.get(name).cloned();
    let bracketed = || {
        let long = text("long_name")?;
        let unit = long.rsplit_once('[')?.1.split(']').next()?.trim();
        (!unit.is_empty()).then(|| unit.to_owned())
    };
    let packed = variable.attribute("scale_factor").or_else(|| variable.attribute("add_offset")).is_some();
    let dtype = format!("{:?}", variable.dtype()).to_lowercase();
    let is_chars = *variable.dtype() == NcType::Char;
    let mut dims: Vec<Dim> =
        variable.dimensions().iter().map(|d| Dim { name: d.name.clone(), size: d.size }).collect();
    if is_chars {
        dims.pop();
    }
    Variable {
        name: variable.name().to_owned(),
        dims,
        is_text: is_chars || *variable.dtype() == NcType::String,
        standard_name: text("standard_name"),
        unit: text("units").or_else(bracketed),
        calendar: text("calendar"),
        axis: text("axis"),
        packing: if packed { format!("{dtype}, scaled") } else { dtype },
        attributes,
    }
}

/// The format's own fill value, unpacked, for a variable that states none (NetCDF-C, `netcdf.h`, NC_FILL_*).
fn default_fill(variable: &NcVariable) -> Option<f64> {
    if variable.attribute("_FillValue").is_some() || variable.attribute("missing_value").is_some() {
        return None;
    }
    let fill = match variable.dtype() {
        NcType::Short => -32_767.0,
        NcType::Int => -2_147_483_647.0,
        NcType::Float => f64::from(9.969_21e36_f32),
        NcType::Double => 9.969_209_968_386_869e36,
        _ => return None,
    };
    let number = |name: &str| variable.attribute(name).and_then(|a| NcAttrValue::as_f64(&a.value));
    Some(fill * number("scale_factor").unwrap_or(1.0) + number("add_offset").unwrap_or(0.0))
}

fn no_date(place: &str, found: String) -> Error {
    Error::new("a time is no date").at(place).found(found).remedy(DAMAGED)
}

/// Calls the crate; its errors, and a panic on damaged data, become ours.
fn guarded<T>(call: impl FnOnce() -> netcdf_reader::Result<T>) -> Result<T> {
    match catch_unwind(AssertUnwindSafe(call)) {
        Ok(Ok(value)) => Ok(value),
        Ok(Err(error)) => Err(Error::new("the NetCDF file cannot be read").found(error).remedy(DAMAGED)),
        Err(_) => {
            Err(Error::new("the NetCDF file cannot be read").found("data without sense").remedy(DAMAGED))
        }
    }
}
