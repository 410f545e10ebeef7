//! Directional spectra in GRIB: each message holds one direction and one frequency over the grid; all of a time together
//! are its spectra.
//!
//! The two editions write alike: base-10 logarithms of m2 s/rad, where a missing value is energy below a threshold and a
//! point without any value is land; directions are **towards** (ECMWF, "2D wave spectra", documentation of its wave
//! model; ECMWF, "About ERA wave spectra").

use std::sync::Arc;

use rayon::prelude::*;

use crate::base::{DirectionTo, Error, Result};
use crate::forecast::message::{Lazy, Message};
use crate::forecast::quantity::Quantity;
use crate::forecast::spectra::Spectra;

/// The most that the spectra of one time may take: 36 x 36 at every point of a global half-degree grid, 4 octets each.
const MOST_VALUES: usize = 1 << 29;

/// Components that are held decoded at once.
const AT_ONCE: usize = 16;

/// Which component of a spectrum a message holds, and of which spectrum.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SpectralPlace {
    /// From 0.
    direction: usize,
    /// From 0.
    frequency: usize,
    towards_deg: Vec<f64>,
    frequency_hz: Vec<f64>,
}

/// One component and its place.
pub(super) type Part = (SpectralPlace, Message);

impl SpectralPlace {
    /// From numbers as GRIB counts them, from 1, and the axes.
    ///
    /// # Errors
    /// Numbers beyond the axes; frequencies that do not ascend from above zero; fewer than two of either.
    pub fn new(
        direction: u16,
        frequency: u16,
        towards_deg: Vec<f64>,
        frequency_hz: Vec<f64>,
    ) -> Result<Self> {
        let within = |number: u16, axis: &[f64]| (1..=axis.len()).contains(&usize::from(number));
        if !within(direction, &towards_deg) || !within(frequency, &frequency_hz) {
            return Err(Error::new("a component of a spectrum lies outside its directions or frequencies")
                .found(format!("direction {direction}, frequency {frequency}"))
                .expected(format!("1 to {} and 1 to {}", towards_deg.len(), frequency_hz.len())));
        }
        let ascending = frequency_hz.windows(2).all(|pair| pair[0] < pair[1]);
        if frequency_hz.len() < 2 || !ascending || !(frequency_hz[0] > 0.0) {
            return Err(
                Error::new("a spectrum's frequencies do not ascend").found(format!("{frequency_hz:?}"))
            );
        }
        if towards_deg.len() < 2 || !towards_deg.iter().all(|deg| deg.is_finite() && deg.abs() <= 360.0) {
            return Err(
                Error::new("a spectrum's directions are no degrees").found(format!("{towards_deg:?}"))
            );
        }
        let (direction, frequency) = (usize::from(direction) - 1, usize::from(frequency) - 1);
        Ok(Self { direction, frequency, towards_deg, frequency_hz })
    }

    fn is_of_the_spectrum_of(&self, other: &Self) -> bool {
        self.towards_deg == other.towards_deg && self.frequency_hz == other.frequency_hz
    }

    fn size(&self) -> usize {
        self.towards_deg.len() * self.frequency_hz.len()
    }

    /// Where the component stands in a point's spectrum.
    fn slot(&self) -> usize {
        self.frequency * self.towards_deg.len() + self.direction
    }
}

/// Spectra from their components: one message for each time, member and pair of axes.
///
/// One that lacks a component, has one twice, or has components on different grids, is listed with that as its damage.
pub(super) fn together(parts: Vec<Part>) -> Vec<Message<Spectra>> {
    let mut groups: Vec<Vec<Part>> = Vec::new();
    for part in parts {
        match groups.iter_mut().rev().find(|group| belong_together(&group[0], &part)) {
            Some(group) => group.push(part),
            None => groups.push(vec![part]),
        }
    }
    groups.into_iter().map(message).collect()
}

fn belong_together((place, first): &Part, (other, message): &Part) -> bool {
    let when = |m: &Message| (m.reference, m.valid, m.member);
    when(first) == when(message) && place.is_of_the_spectrum_of(other)
}

fn message(parts: Vec<Part>) -> Message<Spectra> {
    let (place, first) = &parts[0];
    let damage = whole(&parts).err().map(|error| error.file(&first.path));
    let (directions, frequencies) = (place.towards_deg.len(), place.frequency_hz.len());
    let header = first.clone();
    Message {
        path: header.path,
        number: header.number,
        code: header.code,
        quantity: Some(Quantity::Spectrum),
        note: Some(
            format!("{directions} directions x {frequencies} frequencies, a message each; directions towards, turned into from").into(),
        ),
        unit: header.unit,
        reference: header.reference,
        valid: header.valid,
        member: header.member,
        grid: header.grid,
        packing: header.packing,
        damage: damage.clone(),
        values: Lazy::new(move || damage.clone().map_or_else(|| decode(&parts), Err)),
    }
}

/// Every component once, all on one grid.
fn whole(parts: &[Part]) -> Result<()> {
    let place = &parts[0].0;
    let mut seen = vec![None; place.size()];
    for (place, message) in parts {
        if let Some(before) = seen[place.slot()].replace(message.number) {
            return Err(Error::new("a component of a spectrum is there twice")
                .found(format!("{} in messages {before} and {}", named(place), message.number))
                .remedy("leave one of them out"));
        }
    }
    let absent = seen.iter().filter(|number| number.is_none()).count();
    if let Some(slot) = seen.iter().position(Option::is_none) {
        let directions = place.towards_deg.len();
        let first =
            SpectralPlace { direction: slot % directions, frequency: slot / directions, ..place.clone() };
        return Err(Error::new("a spectrum is not whole")
            .found(format!("{absent} of {} components missing, the first {}", seen.len(), named(&first)))
            .expected("a message for every direction and frequency")
            .remedy("get the file again with all directions and frequencies"));
    }
    let grid = parts[0].1.grid.clone()?;
    for (place, message) in parts {
        if message.grid.clone()? != grid {
            return Err(Error::new("the components of a spectrum lie on different grids").found(named(place)));
        }
    }
    let values = grid.points().saturating_mul(place.size());
    if values > MOST_VALUES {
        return Err(Error::new("the spectra of one time are too many to hold")
            .found(format!("{values} values"))
            .expected(format!("at most {MOST_VALUES}"))
            .remedy("get a smaller area or a coarser grid"));
    }
    Ok(())
}

fn named(place: &SpectralPlace) -> String {
    format!("direction {}, frequency {}", place.direction + 1, place.frequency + 1)
}

fn decode(parts: &[Part]) -> Result<Spectra> {
    let place = &parts[0].0;
    let points = parts[0].1.grid.clone()?.points();
    let size = place.size();
    let mut density = vec![0.0; points * size];
    let mut present = vec![false; points];
    for some in parts.chunks(AT_ONCE) {
        let fields: Vec<_> = some.par_iter().map(|(_, message)| message.decode()).collect();
        for ((place, message), field) in some.iter().zip(fields) {
            for (point, value) in field?.iter().enumerate() {
                let Some(logarithm) = value else { continue };
                let value = 10f32.powf(logarithm);
                if value.is_infinite() {
                    return Err(Error::new("a spectrum has a density beyond all bounds").found(format!(
                        "10^{logarithm} m2 s/rad at point {point} in message {}",
                        message.number
                    )));
                }
                present[point] = true;
                density[point * size + place.slot()] = value;
            }
        }
    }
    for (spectrum, _) in density.chunks_mut(size).zip(&present).filter(|(_, present)| !**present) {
        spectrum[0] = f32::NAN;
    }
    let from = place.towards_deg.iter().map(|deg| DirectionTo::from_deg(*deg).from());
    Ok(Spectra::new(Arc::from(place.frequency_hz.as_slice()), from.collect(), density))
}
