//! The only file that touches the `netcdf-reader` crate: variables, their attributes, slices of their values.

use std::collections::BTreeMap;
use std::fmt;
use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;
use netcdf_reader::{
    FileStorage, NcAttrValue, NcFile, NcFormat, NcGroup, NcOpenOptions, NcSliceInfo, NcSliceInfoElem, NcType,
    NcVariable,
};

use crate::base::{Error, Result};
use crate::forecast::netcdf::cf_time::{TimeUnit, text_time};
use crate::forecast::netcdf::compression;

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
        let options = NcOpenOptions {
            max_read_bytes: MOST_BYTES,
            filter_registry: Some(compression::filters()),
            ..NcOpenOptions::default()
        };
        // read at places, never mapped into memory: a mapped file that others cut short kills the program
        let storage = guarded(|| Ok(FileStorage::open(path)?))?;
        let nc = guarded(|| NcFile::from_storage_with_options(Arc::new(storage), options))?;
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

    /// A text attribute of the whole file.
    pub fn text(&self, name: &str) -> Option<String> {
        let attributes = guarded(|| self.nc.global_attributes()).ok()?;
        attributes.iter().find(|a| a.name == name)?.value.as_string()
    }

    /// A numeric attribute of a variable.
    pub fn number(&self, variable: &Variable, name: &str) -> Option<f64> {
        let variable = guarded(|| self.nc.variable(&variable.name)).ok()?;
        variable.attribute(name)?.value.as_f64()
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
        let valid = unpacked_range(variable);
        let read = guarded(|| match (picks.is_empty(), valid.is_some()) {
            (true, false) => self.nc.read_variable_unpacked_masked(name),
            (true, true) => self.nc.read_variable_unpacked(name),
            (false, false) => self.nc.read_variable_slice_unpacked_masked(name, &selection),
            (false, true) => self.nc.read_variable_slice_unpacked(name, &selection),
        });
        let mut values: Vec<f64> = read?.into_iter().collect();
        if let Some((least, greatest)) = valid {
            let missing = unpacked_missing(variable);
            let is_valid = |v: &f64| (least..=greatest).contains(v) && !missing.contains(v);
            values.iter_mut().filter(|v| !is_valid(v)).for_each(|v| *v = f64::NAN);
        }
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

/// The valid range of a packed variable that states it in unpacked units: its type is then that of the scale, a float
/// (CF 1.11, 2.5.1, and NUG, appendix A: of the packed type otherwise, which the crate knows).
fn unpacked_range(variable: &NcVariable) -> Option<(f64, f64)> {
    let is_whole = |value: &NcAttrValue| !matches!(value, NcAttrValue::Floats(_) | NcAttrValue::Doubles(_));
    let stored_whole = !matches!(variable.dtype(), NcType::Float | NcType::Double);
    if !stored_whole || scaling(variable) == (1.0, 0.0) {
        return None;
    }
    let limits = |name: &str| {
        let value = &variable.attribute(name)?.value;
        (!is_whole(value)).then(|| value.as_f64_vec()).flatten()
    };
    if let Some([least, greatest]) = limits("valid_range").as_deref() {
        return Some((*least, *greatest));
    }
    let one = |name: &str| limits(name).and_then(|values| values.first().copied());
    let (least, greatest) = (one("valid_min"), one("valid_max"));
    least.or(greatest)?;
    Some((least.unwrap_or(f64::NEG_INFINITY), greatest.unwrap_or(f64::INFINITY)))
}

/// The values that stand for missing, unpacked.
fn unpacked_missing(variable: &NcVariable) -> Vec<f64> {
    let (scale, offset) = scaling(variable);
    let stated = ["_FillValue", "missing_value"].into_iter().filter_map(|name| variable.attribute(name));
    stated.filter_map(|a| a.value.as_f64_vec()).flatten().map(|v| v * scale + offset).collect()
}

fn scaling(variable: &NcVariable) -> (f64, f64) {
    let number = |name: &str| variable.attribute(name).and_then(|a| NcAttrValue::as_f64(&a.value));
    (number("scale_factor").unwrap_or(1.0), number("add_offset").unwrap_or(0.0))
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
    let (scale, offset) = scaling(variable);
    Some(fill * scale + offset)
}

fn no_date(place: &str, found: String) -> Error {
    Error::new("a time is no date").at(place).found(found).remedy(DAMAGED)
}

/// Calls the crate; its errors, and a panic on damaged data, become ours.
fn guarded<T>(call: impl FnOnce() -> netcdf_reader::Result<T>) -> Result<T> {
    match crate::base::guarded(call) {
        Some(done) => done.map_err(|error| ours(&error)),
        None => Err(Error::new("the NetCDF file cannot be read").found("data without sense").remedy(DAMAGED)),
    }
}

fn ours(error: &netcdf_reader::Error) -> Error {
    let text = error.to_string();
    if let Some(id) = text.split("filter id ").nth(1).and_then(|rest| rest.trim().parse().ok()) {
        return Error::new("the data are compressed in a way that is not read")
            .found(format!("{} (HDF5 filter {id})", filter_name(id)))
            .expected("deflate, Zstandard, bzip2, szip, LZ4, shuffle or no compression")
            .remedy("rewrite the file with deflate: `nccopy -d 1 FILE NEW` where its NetCDF library has the filter");
    }
    if text.contains("float size 2") {
        return Error::new("a variable is of 16-bit floats, which NetCDF does not have")
            .found(text)
            .expected("floats of 32 or 64 bits, or packed integers")
            .remedy("write it as 32-bit floats; NetCDF's own library does not read the file either");
    }
    let found = Error::new("the NetCDF file cannot be read").found(text);
    let mut cause: Option<&(dyn std::error::Error + 'static)> = Some(error);
    while let Some(one) = cause {
        if one.is::<std::io::Error>() {
            return found
                .remedy("check that the file and its disk can be used, and that nothing writes to it")
                .of_the_system();
        }
        cause = one.source();
    }
    found.remedy(DAMAGED)
}

/// Registered HDF5 filters (The HDF Group's list of registered filter plugins).
fn filter_name(id: u32) -> &'static str {
    match id {
        32_000 => "LZF",
        32_001 => "Blosc",
        32_008 => "Bitshuffle",
        32_013 => "ZFP",
        32_017 | 32_024 => "SZ",
        32_026 => "Blosc2",
        _ => "an unknown one",
    }
}
