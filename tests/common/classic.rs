//! NetCDF classic files written octet by octet (NetCDF Classic Format Specification, CDF-1), for variants that are told in
//! a line.

use std::fs;
use std::path::PathBuf;

/// What an attribute or a variable holds.
#[derive(Clone)]
pub enum Values {
    Text(String),
    Shorts(Vec<i16>),
    Floats(Vec<f32>),
    Doubles(Vec<f64>),
}

/// A file to be.
#[derive(Clone, Default)]
pub struct Classic {
    dims: Vec<(String, usize)>,
    attributes: Vec<(String, Values)>,
    variables: Vec<Variable>,
}

#[derive(Clone)]
struct Variable {
    name: String,
    dims: Vec<usize>,
    attributes: Vec<(String, Values)>,
    values: Values,
}

impl From<&str> for Values {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<f64> for Values {
    fn from(number: f64) -> Self {
        Self::Doubles(vec![number])
    }
}

impl From<i16> for Values {
    fn from(number: i16) -> Self {
        Self::Shorts(vec![number])
    }
}

impl<const N: usize> From<[i16; N]> for Values {
    fn from(numbers: [i16; N]) -> Self {
        Self::Shorts(numbers.to_vec())
    }
}

impl<const N: usize> From<[f64; N]> for Values {
    fn from(numbers: [f64; N]) -> Self {
        Self::Doubles(numbers.to_vec())
    }
}

impl From<Vec<f32>> for Values {
    fn from(numbers: Vec<f32>) -> Self {
        Self::Floats(numbers)
    }
}

impl Values {
    fn kind(&self) -> u32 {
        match self {
            Self::Text(_) => 2,
            Self::Shorts(_) => 3,
            Self::Floats(_) => 5,
            Self::Doubles(_) => 6,
        }
    }

    fn count(&self) -> usize {
        match self {
            Self::Text(text) => text.len(),
            Self::Shorts(numbers) => numbers.len(),
            Self::Floats(numbers) => numbers.len(),
            Self::Doubles(numbers) => numbers.len(),
        }
    }

    fn bytes(&self) -> Vec<u8> {
        let mut bytes = match self {
            Self::Text(text) => text.as_bytes().to_vec(),
            Self::Shorts(numbers) => numbers.iter().flat_map(|v| v.to_be_bytes()).collect(),
            Self::Floats(numbers) => numbers.iter().flat_map(|v| v.to_be_bytes()).collect(),
            Self::Doubles(numbers) => numbers.iter().flat_map(|v| v.to_be_bytes()).collect(),
        };
        bytes.resize(bytes.len().next_multiple_of(4), 0);
        bytes
    }
}

impl Classic {
    /// Waves of 2 m from the west, 8 s, over two rows and two columns from 50 N 10 W by one degree, on the dimensions
    /// named before them; the wind and the time are up to the caller.
    pub fn waves(before: &[&str], count: usize) -> Self {
        let p = "sea_surface_wave_";
        Self::default()
            .dim("lat", 2)
            .dim("lon", 2)
            .coordinate("lat", "degrees_north", [50.0, 51.0])
            .coordinate("lon", "degrees_east", [-10.0, -9.0])
            .dims(before)
            .field("hs", before, &format!("{p}significant_height"), "m", 2.0, count)
            .field("tp", before, &format!("{p}period_at_variance_spectral_density_maximum"), "s", 8.0, count)
            .field("dir", before, &format!("{p}from_direction"), "degree", 270.0, count)
    }

    /// The same with 10 m/s from the west.
    pub fn sea(before: &[&str], count: usize) -> Self {
        Self::waves(before, count).field("ws", before, "wind_speed", "m s-1", 10.0, count).field(
            "wd",
            before,
            "wind_from_direction",
            "degree",
            270.0,
            count,
        )
    }

    /// The same at one time, 2024-01-15 00:00.
    pub fn sea_now() -> Self {
        Self::sea(&["time"], 1).time_now()
    }

    /// The time 2024-01-15 00:00.
    pub fn time_now(self) -> Self {
        let attributes = [("units", "hours since 2024-01-15".into()), ("standard_name", "time".into())];
        self.variable("time", &["time"], &attributes, [0.0])
    }

    pub fn dim(mut self, name: &str, size: usize) -> Self {
        match self.dims.iter_mut().find(|(known, _)| known == name) {
            Some((_, own)) => *own = size,
            None => self.dims.push((name.to_owned(), size)),
        }
        self
    }

    /// Dimensions of one, where they are not there yet.
    fn dims(mut self, names: &[&str]) -> Self {
        for name in names {
            if !self.dims.iter().any(|(known, _)| known == name) {
                self.dims.push(((*name).to_owned(), 1));
            }
        }
        self
    }

    pub fn coordinate<const N: usize>(self, name: &str, unit: &str, values: [f64; N]) -> Self {
        self.variable(name, &[name], &[("units", unit.into())], values)
    }

    /// One value over latitude and longitude and the dimensions before them, which have `count` places together.
    pub fn field(
        self,
        name: &str,
        before: &[&str],
        standard_name: &str,
        unit: &str,
        value: f32,
        count: usize,
    ) -> Self {
        let dims = [before, &["lat", "lon"]].concat();
        let attributes = [("standard_name", standard_name.into()), ("units", unit.into())];
        self.variable(name, &dims, &attributes, vec![value; 4 * count])
    }

    pub fn variable(
        mut self,
        name: &str,
        dims: &[&str],
        attributes: &[(&str, Values)],
        values: impl Into<Values>,
    ) -> Self {
        self = self.dims(dims);
        let place = |name: &&str| self.dims.iter().position(|(known, _)| known == name).unwrap();
        self.variables.retain(|known| known.name != name);
        self.variables.push(Variable {
            name: name.to_owned(),
            dims: dims.iter().map(place).collect(),
            attributes: attributes.iter().map(|(name, value)| ((*name).to_owned(), value.clone())).collect(),
            values: values.into(),
        });
        self
    }

    /// Gives a variable one more attribute.
    pub fn with(mut self, variable: &str, attribute: &str, value: impl Into<Values>) -> Self {
        let variable = self.variables.iter_mut().find(|known| known.name == variable).unwrap();
        variable.attributes.retain(|(known, _)| known != attribute);
        variable.attributes.push((attribute.to_owned(), value.into()));
        self
    }

    /// Gives the file an attribute.
    pub fn global(mut self, attribute: &str, value: impl Into<Values>) -> Self {
        self.attributes.push((attribute.to_owned(), value.into()));
        self
    }

    /// Without a variable.
    pub fn without(mut self, variable: &str) -> Self {
        self.variables.retain(|known| known.name != variable);
        self
    }

    /// The file in a folder of its own.
    pub fn write(&self) -> (tempfile::TempDir, PathBuf) {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("made.nc");
        fs::write(&path, self.bytes()).unwrap();
        (dir, path)
    }

    pub fn bytes(&self) -> Vec<u8> {
        let mut begins = vec![0; self.variables.len()];
        // the header is as long whatever the offsets are
        let mut at = self.header(&begins).len();
        for (variable, begin) in self.variables.iter().zip(&mut begins) {
            *begin = at;
            at += variable.values.bytes().len();
        }
        let data = self.variables.iter().flat_map(|variable| variable.values.bytes());
        self.header(&begins).into_iter().chain(data).collect()
    }

    fn header(&self, begins: &[usize]) -> Vec<u8> {
        let mut out = b"CDF\x01\0\0\0\0".to_vec();
        list(&mut out, 10, self.dims.len());
        for (dim, size) in &self.dims {
            name(&mut out, dim);
            number(&mut out, *size);
        }
        attributes(&mut out, &self.attributes);
        list(&mut out, 11, self.variables.len());
        for (variable, begin) in self.variables.iter().zip(begins) {
            name(&mut out, &variable.name);
            number(&mut out, variable.dims.len());
            variable.dims.iter().for_each(|dim| number(&mut out, *dim));
            attributes(&mut out, &variable.attributes);
            number(&mut out, variable.values.kind() as usize);
            number(&mut out, variable.values.bytes().len());
            number(&mut out, *begin);
        }
        out
    }
}

fn number(out: &mut Vec<u8>, value: usize) {
    out.extend((value as u32).to_be_bytes());
}

fn name(out: &mut Vec<u8>, text: &str) {
    number(out, text.len());
    out.extend(Values::from(text).bytes());
}

fn list(out: &mut Vec<u8>, tag: usize, count: usize) {
    number(out, if count == 0 { 0 } else { tag });
    number(out, count);
}

fn attributes(out: &mut Vec<u8>, attributes: &[(String, Values)]) {
    list(out, 12, attributes.len());
    for (key, value) in attributes {
        name(out, key);
        number(out, value.kind() as usize);
        number(out, value.count());
        out.extend(value.bytes());
    }
}
