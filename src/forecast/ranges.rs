//! What values a forecast can hold: a value outside is named with its place and taken as missing, whatever its file says.
//!
//! The limits are meant to catch numbers that stand for "missing", other units and damage, never a storm:
//!
//! | quantity | range | source |
//! |---|---|---|
//! | heights | 0 to 30 m | the greatest significant height observed is 19 m (WMO 2016, North Atlantic buoy, from memory) |
//! | periods | 0.5 to 40 s | gravity waves have 1 to 30 s (Munk 1950, from memory), short seas' mean periods a little less |
//! | wind | up to 100 m/s | the strongest one-minute wind of a cyclone is 96 m/s (Patricia 2015, from memory) |
//! | directions | -180 to 360 deg | both customs of writing a turn |
//! | spread | 0 to 180 deg | a circular deviation in degrees; common practice, no source |
//! | depth | 0 to 11 100 m | the Challenger Deep has 10 935 m (GEBCO, from memory) |
//!
//! Packing may lift a value off the end of its range by rounding: [`ROUNDING`] is allowed for. A period of exactly zero
//! is how models write "no waves": missing, and nothing to name. A field of which more than [`MOST_SHARE`] lies outside
//! is refused: what is left of it is not to be believed either.

use std::fmt::Write;
use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;
use rayon::prelude::*;

use crate::base::{Error, Result};
use crate::forecast::field::Field;
use crate::forecast::message::Message;
use crate::forecast::quantity::Quantity;
use crate::forecast::spans::Spans;
use crate::forecast::spectra::Spectra;

/// A larger share of a field's values outside its range refuses the file. Common practice, no source.
pub const MOST_SHARE: f64 = 0.5;
/// What packing may add to the end of a range, in the quantity's own unit.
const ROUNDING: f32 = 0.01;

/// The values that a quantity can have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    least: f32,
    greatest: f32,
    /// What it is to be below, and above.
    names: [&'static str; 2],
}

/// What of a field lies outside its range.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRange {
    /// The file.
    pub path: Arc<Path>,
    /// The message.
    pub place: String,
    /// The quantity.
    pub quantity: Quantity,
    /// What is odd.
    pub name: &'static str,
    /// When it is valid.
    pub valid: Timestamp,
    /// Values outside.
    pub count: usize,
    /// Values that are not missing.
    pub present: usize,
    /// The first of them.
    pub first: f32,
    /// Its latitude and longitude, degrees.
    pub at: Option<(f64, f64)>,
}

/// What lies outside its range over the steps of a forecast.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct AllOutOfRange(Vec<(OutOfRange, usize)>);

impl Range {
    /// The range of a quantity; a spectrum's is that of the height it integrates to.
    pub fn of(quantity: Quantity) -> Self {
        let (least, greatest, names) = match quantity {
            Quantity::Hs(_) | Quantity::BandHs { .. } | Quantity::Spectrum => {
                (0.0, 30.0, ["negative wave height", "wave height beyond 30 m: another unit?"])
            }
            Quantity::Period(..) => {
                (0.5, 40.0, ["period below 0.5 s: is it a frequency in Hz?", "period beyond 40 s"])
            }
            Quantity::WindSpeed => {
                (0.0, 100.0, ["negative wind speed", "wind beyond 100 m/s: another unit?"])
            }
            Quantity::WindEastward | Quantity::WindNorthward => {
                (-100.0, 100.0, ["wind beyond 100 m/s: another unit?"; 2])
            }
            Quantity::WindFrom | Quantity::From(..) => (-180.0, 360.0, ["direction outside -180 to 360"; 2]),
            Quantity::Spread(_) => (0.0, 180.0, ["directional spread outside 0 to 180"; 2]),
            Quantity::Depth => {
                (0.0, 11_100.0, ["water depth not above 0: taken as deep", "water depth beyond 11 100 m"])
            }
        };
        Self { least, greatest, names }
    }

    /// What is odd about a value, if anything.
    pub fn oddity(self, value: f32) -> Option<&'static str> {
        let [below, above] = self.names;
        if value < self.least - ROUNDING {
            // no waves, no period
            let is_none = value == 0.0 && self.least > 0.0;
            return (!is_none).then_some(below);
        }
        (value > self.greatest + ROUNDING).then_some(above)
    }
}

/// Decodes a field at the points looked at and refuses the values outside its range, which are missing from then on.
///
/// # Errors
/// A field that cannot be decoded.
pub(super) fn decode(message: &Message, points: &Spans) -> Result<(Field, Option<OutOfRange>)> {
    let mut field = message.decode_at(points)?;
    let outside = message.quantity.and_then(|quantity| {
        let range = Range::of(quantity);
        let present = || points.places().filter_map(|index| Some((index, field.get(index)?)));
        let odd: Vec<usize> =
            present().filter(|(_, v)| range.oddity(*v).is_some()).map(|(index, _)| index).collect();
        let first = (*odd.first()?, field.get(*odd.first()?)?);
        let all = present().count();
        odd.iter().for_each(|index| field.refuse(*index));
        OutOfRange::new(message, quantity, first, odd.len(), all)
    });
    Ok((field, outside))
}

/// Decodes spectra and refuses those that integrate to a height outside its range.
///
/// # Errors
/// Spectra that cannot be decoded.
pub(super) fn decode_spectra(message: &Message<Spectra>) -> Result<(Spectra, Option<OutOfRange>)> {
    let mut spectra = message.decode()?;
    let range = Range::of(Quantity::Spectrum);
    let hs = |point: usize| Some((point, spectra.at(point)?.hs_m() as f32));
    let heights: Vec<(usize, f32)> = (0..spectra.points()).into_par_iter().filter_map(hs).collect();
    let is_odd = |hs: f32| !hs.is_finite() || range.oddity(hs).is_some();
    let odd: Vec<_> = heights.iter().copied().filter(|(_, hs)| is_odd(*hs)).collect();
    odd.iter().for_each(|(point, _)| spectra.refuse(*point));
    let first = odd.first();
    let outside = first.and_then(|&(point, hs)| {
        let first = (point, hs.min(f32::MAX));
        OutOfRange::new(message, Quantity::Spectrum, first, odd.len(), heights.len())
    });
    Ok((spectra, outside))
}

impl OutOfRange {
    fn new<T>(
        message: &Message<T>,
        quantity: Quantity,
        (index, first): (usize, f32),
        count: usize,
        present: usize,
    ) -> Option<Self> {
        Some(Self {
            path: message.path.clone(),
            place: message.place(),
            quantity,
            name: Range::of(quantity).oddity(first)?,
            valid: message.valid,
            count,
            present,
            first,
            at: message.grid.as_ref().ok().and_then(|grid| grid.centre(index)),
        })
    }

    /// # Errors
    /// A field of which more than [`MOST_SHARE`] lies outside its range.
    pub fn check_share(&self) -> Result<()> {
        if self.count as f64 <= MOST_SHARE * self.present as f64 {
            return Ok(());
        }
        Err(Error::new(format!("a field cannot be believed: {}", self.name))
            .file(&self.path)
            .at(&self.place)
            .found(format!("{} of {} values, {}", self.count, self.present, self.example()))
            .expected(format!("at most {:.0} % of a field outside its range", 100.0 * MOST_SHARE))
            .remedy("the unit in the file may be wrong, the value that stands for missing not declared, or the data damaged: mend the file or get it again"))
    }

    fn example(&self) -> String {
        let mut text = format!("for example {} {}", self.first, self.quantity.unit_of_values());
        if let Some((lat, lon)) = self.at {
            let _ = write!(text, " at latitude {lat:.3} longitude {lon:.3}");
        }
        text
    }
}

impl AllOutOfRange {
    /// Adds what of a step lies outside.
    pub fn add(&mut self, outside: &[OutOfRange]) {
        for one in outside {
            let same = |(known, _): &&mut (OutOfRange, usize)| {
                (known.quantity, known.name, &known.path) == (one.quantity, one.name, &one.path)
            };
            match self.0.iter_mut().find(same) {
                Some((known, steps)) => {
                    known.count += one.count;
                    *steps += 1;
                }
                None => self.0.push((one.clone(), 1)),
            }
        }
    }

    /// A sentence for each quantity and file.
    pub fn words(&self) -> impl Iterator<Item = String> + '_ {
        self.0.iter().map(|(outside, steps)| {
            let OutOfRange { path, quantity, name, count, valid, .. } = outside;
            format!(
                "{}: {count} values of {quantity} in {steps} steps are out of range and taken as missing ({name}), {} at {valid}",
                path.display(),
                outside.example()
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::forecast::quantity::{DirectionKind, SystemLabel};
    use crate::sea::PeriodKind;

    #[test]
    fn what_stands_for_missing_is_out_of_every_range_and_storms_are_in() {
        let total = SystemLabel::Total;
        let quantities = [
            Quantity::Hs(total),
            Quantity::Period(total, PeriodKind::Peak),
            Quantity::From(total, DirectionKind::Mean),
            Quantity::WindSpeed,
            Quantity::WindEastward,
            Quantity::WindFrom,
        ];
        for quantity in quantities {
            for value in [-999.0, -9999.0, -32_768.0, 9999.0, 1e20, 9.969_21e36] {
                assert!(Range::of(quantity).oddity(value).is_some(), "{quantity} {value}");
            }
        }
        for (quantity, values) in [
            (quantities[0], [0.0, 19.0, 29.9]),
            (quantities[1], [0.0, 0.9, 29.0]),
            (quantities[2], [-180.0, 0.0, 360.0]),
            (quantities[3], [0.0, 40.0, 96.0]),
        ] {
            for value in values {
                assert_eq!(Range::of(quantity).oddity(value), None, "{quantity} {value}");
            }
        }
        assert!(Range::of(quantities[1]).oddity(0.001).is_some());
    }
}
