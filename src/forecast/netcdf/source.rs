//! The variables of a file to messages, by the rules of the front door.

use std::borrow::Cow;
use std::path::Path;
use std::sync::Arc;

use crate::base::{Error, Result};
use crate::forecast::field::Field;
use crate::forecast::grid::Grid;
use crate::forecast::message::{FileIndex, Lazy, Message};
use crate::forecast::names::{Conversion, Reading};
use crate::forecast::names::{Described, cf};
use crate::forecast::netcdf::axes::{Axes, FieldPlace};
use crate::forecast::netcdf::cell_methods;
use crate::forecast::netcdf::file::{File, Pick, Variable};
use crate::forecast::netcdf::layout::FieldLayout;
use crate::forecast::netcdf::level;
use crate::forecast::netcdf::level::WindLevel;
use crate::forecast::netcdf::spectra;
use crate::forecast::quantity::Quantity;
use crate::forecast::sniff::FileKind;
use crate::forecast::spectra::Spectra;

/// Lists the fields of a file: one message a variable, time and member.
///
/// # Errors
/// A file that cannot be read, is damaged, or has times that make no dates.
pub fn index(path: &Path, kind: FileKind) -> Result<FileIndex> {
    let file = Arc::new(File::open(path).map_err(|e| e.file(path))?);
    let variables = file.variables().map_err(|e| e.file(path))?;
    let axes = Axes::read(&file, &variables).map_err(|e| e.file(path))?;
    let mut index = FileIndex { kind, messages: Vec::new(), spectra: Vec::new(), stray_bytes: 0 };
    for variable in variables.iter().filter(|v| !axes.is_coordinate(v)) {
        let source = VariableSource { path: path.into(), file: file.clone(), variable: variable.clone() };
        if spectra::is_spectrum(variable, &axes) {
            source.spectra(&axes, &mut index.spectra)?;
        } else {
            source.fields(&axes, &variables, &mut index.messages)?;
        }
    }
    for (group, count) in file.groups().map_err(|e| e.file(path))? {
        index.messages.push(group_message(path, index.messages.len() + 1, &axes, &group, count));
    }
    Ok(index)
}

/// A group stands as a message that is not used, so that whoever misses its variables is told why.
fn group_message(path: &Path, number: usize, axes: &Axes, group: &str, count: usize) -> Message {
    let why = "variables in a group are not read: copy them to the root of a file of their own, for example with \
               `ncks -G : -g GROUP`";
    let FieldPlace { reference, valid, member, .. } = axes.start();
    Message {
        path: path.into(),
        number,
        code: format!("group {group} ({count} variables)"),
        quantity: None,
        note: Some(why.into()),
        unit: None,
        reference,
        valid,
        member,
        grid: Err(Error::new("a group is not read").file(path)),
        packing: "group".into(),
        damage: None,
        values: no_values(),
    }
}

/// One variable of one file.
pub(super) struct VariableSource {
    path: Arc<Path>,
    file: Arc<File>,
    variable: Variable,
}

impl VariableSource {
    fn fields(self, axes: &Axes, variables: &[Variable], messages: &mut Vec<Message>) -> Result<()> {
        let variable = &self.variable;
        let reading = cf::netcdf(&Described {
            name: &variable.name,
            standard_name: variable.standard_name.as_deref(),
            unit: variable.unit.as_deref(),
            grib_centre: self.file.text("GRIB_centre").as_deref(),
        });
        let mut level = WindLevel::Whole;
        let reading = match reading {
            Some(reading) if reading.quantity.is_some_and(Quantity::is_of_wind) => {
                level = level::of_wind(&self.file, variables, variable).map_err(|e| e.file(&self.path))?;
                match &level {
                    WindLevel::Other(reason) => Some(unused(Some(reason.clone().into()))),
                    _ => Some(reading),
                }
            }
            other => other,
        };
        let reading = reading.map(|reading| on_curves(axes, variable, reading));
        let wanted = |reading: &Reading| reading.quantity.is_some();
        let reading = match cell_methods::other_than_mean(variable.text("cell_methods")) {
            Some(why) if reading.as_ref().is_some_and(wanted) => Some(unused(Some(why.into()))),
            _ => reading,
        };
        let Some(reading) = reading else {
            messages.push(self.message(
                messages.len(),
                axes.start(),
                unused(None),
                axes.grid_of(variable),
                no_values(),
            ));
            return Ok(());
        };
        let laid_out = axes.layout(variable).and_then(|layout| Ok((axes.places(variable, &level)?, layout)));
        let (places, layout) = match laid_out {
            Ok(found) => found,
            Err(error) if reading.quantity.is_some() => {
                let error = error.file(&self.path).at(format!("variable {}", variable.name));
                messages.push(self.message(messages.len(), axes.start(), reading, Err(error), no_values()));
                return Ok(());
            }
            Err(_) => {
                messages.push(self.message(
                    messages.len(),
                    axes.start(),
                    unused(reading.note),
                    axes.grid_of(variable),
                    no_values(),
                ));
                return Ok(());
            }
        };
        for place in places {
            let reading = ranked(&reading, place.rank);
            let (file, name, conversion) = (self.file.clone(), variable.name.clone(), reading.conversion);
            let picks = place.picks.clone();
            let values = Lazy::new(move || read_field(&file, &name, &picks, layout, conversion));
            messages.push(self.message(messages.len(), place, reading, axes.grid_of(variable), values));
        }
        Ok(())
    }

    fn spectra(self, axes: &Axes, messages: &mut Vec<Message<Spectra>>) -> Result<()> {
        let variable = &self.variable;
        let reading =
            |note| Reading { quantity: Some(Quantity::Spectrum), conversion: Conversion::None, note };
        let prepared = spectra::prepare(&self.file, variable, axes);
        let (places, layout, how) = match prepared {
            Ok(prepared) => prepared,
            Err(error) => {
                let error = error.file(&self.path).at(format!("variable {}", variable.name));
                messages.push(self.message(
                    messages.len(),
                    axes.start(),
                    reading(None),
                    Err(error),
                    no_values(),
                ));
                return Ok(());
            }
        };
        let how = Arc::new(how);
        for place in places {
            let (file, name, how) = (self.file.clone(), variable.name.clone(), how.clone());
            let (picks, note) = (place.picks.clone(), how.note.map(Cow::Borrowed));
            let values = Lazy::new(move || spectra::read(&file, &name, &picks, layout, &how));
            messages.push(self.message(messages.len(), place, reading(note), axes.grid_of(variable), values));
        }
        Ok(())
    }

    fn message<T>(
        &self,
        before: usize,
        place: FieldPlace,
        reading: Reading,
        grid: Result<Arc<Grid>>,
        values: Lazy<T>,
    ) -> Message<T> {
        Message {
            path: self.path.clone(),
            number: before + 1,
            code: self.variable.to_string(),
            quantity: reading.quantity,
            note: reading.note,
            unit: self.variable.unit.clone(),
            reference: place.reference,
            valid: place.valid,
            member: place.member,
            grid: grid.map_err(|e| e.file(&self.path).at(format!("variable {}", self.variable.name))),
            packing: self.variable.packing.clone(),
            damage: None,
            values,
        }
    }
}

/// Components of the wind on curves count where their standard name says that they run east and north: others may run
/// along the curves.
fn on_curves(axes: &Axes, variable: &Variable, reading: Reading) -> Reading {
    let is_component = matches!(reading.quantity, Some(Quantity::WindEastward | Quantity::WindNorthward));
    let says_so = matches!(variable.standard_name.as_deref(), Some("eastward_wind" | "northward_wind"));
    if is_component && !says_so && axes.is_curved(variable) {
        let why = "a component of the wind on a curved grid or a mesh that may run along the grid: not used without the \
                   standard name eastward_wind or northward_wind";
        return unused(Some(why.into()));
    }
    reading
}

/// The reading of a field that cfgrib gives a swell's rank to.
fn ranked(reading: &Reading, rank: Option<u8>) -> Reading {
    let (Some(quantity), Some(rank)) = (reading.quantity, rank) else { return reading.clone() };
    match quantity.of_swell(rank) {
        Some(swell) => Reading { quantity: Some(swell), ..reading.clone() },
        None => unused(Some(format!("{quantity} by rank is not used").into())),
    }
}

pub(super) fn unused(note: Option<Cow<'static, str>>) -> Reading {
    Reading { quantity: None, conversion: Conversion::None, note }
}

pub(super) fn no_values<T: 'static>() -> Lazy<T> {
    Lazy::new(|| Err(Error::new("the variable is not used")))
}

pub(super) fn read_field(
    file: &File,
    name: &str,
    picks: &[Pick],
    layout: FieldLayout,
    conversion: Conversion,
) -> Result<Field> {
    let values = file.values(name, picks)?;
    if values.len() != layout.rows * layout.columns {
        return Err(Error::new("a variable is not of the size of its dimensions").found(values.len()));
    }
    // what 32 bits cannot hold is out of every range, and is told there
    let narrow = |value: f64| (value as f32).clamp(f32::MIN, f32::MAX);
    Ok(Field::from_decoded(layout.order().map(|k| narrow(conversion.apply(values[k]))).collect()))
}
