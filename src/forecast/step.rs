//! One valid time: the message that holds each quantity, and what they decode to.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::Timestamp;
use rayon::prelude::*;

use crate::base::Result;
use crate::forecast::field::{Field, Fields};
use crate::forecast::gather;
use crate::forecast::grid::Grid;
use crate::forecast::message::Message;
use crate::forecast::quantity::Quantity;
use crate::forecast::ranges;
use crate::forecast::ranges::OutOfRange;
use crate::forecast::spectra::Spectra;
use crate::forecast::wind::{WindFields, WindSource};

/// One valid time, of one ensemble member where there are several.
#[derive(Debug, Clone)]
pub struct Step {
    /// When its fields are valid.
    pub valid: Timestamp,
    /// The ensemble member, where the files say so.
    pub member: Option<u32>,
    /// The grid of its waves.
    pub grid: Arc<Grid>,
    /// The message that holds each quantity, on the grid of the waves and at their time.
    pub messages: BTreeMap<Quantity, Message>,
    /// The wind, which may be of another grid or time.
    pub wind: Option<WindSource>,
    /// The directional spectra.
    pub spectra: Option<Message<Spectra>>,
    /// The depth, which may be stated for another time.
    pub depth: Option<Message>,
    /// Quantities that other steps have and this one lacks.
    pub missing: Vec<Quantity>,
}

/// All that a step's messages hold, on the grid of the waves.
pub(super) struct Decoded {
    pub fields: Fields,
    pub wind: WindFields,
    pub spectra: Option<Spectra>,
    pub depth: Option<Field>,
    pub outside: Vec<OutOfRange>,
    pub unreadable: Vec<String>,
}

impl Step {
    /// Decodes the step's fields on the grid of the waves, several at a time.
    ///
    /// # Errors
    /// A field that cannot be decoded; the first in order of quantity.
    pub fn decode(&self) -> Result<Fields> {
        let decoded: Vec<_> = self.messages.par_iter().map(|(q, message)| (*q, message.decode())).collect();
        decoded.into_iter().map(|(quantity, field)| Ok((quantity, field?))).collect()
    }

    /// Whether the wind is of another time, another grid or another member than the waves.
    pub fn has_foreign_wind(&self) -> bool {
        let is_own = |(quantity, _): &(Quantity, Message)| self.messages.contains_key(quantity);
        self.wind.as_ref().is_some_and(|wind| !wind.messages.iter().all(is_own))
    }

    /// Decodes all that the step's messages hold, without the values outside their ranges and the messages that cannot be
    /// read.
    ///
    /// # Errors
    /// A file that cannot be read any more.
    pub(super) fn decode_all(&self) -> Result<Decoded> {
        let decode = |(q, message): (&Quantity, &Message)| (*q, ranges::decode(message));
        let decoded: Vec<_> = self.messages.par_iter().map(decode).collect();
        let mut told = Told::default();
        let mut fields = Fields::new();
        for (quantity, read) in decoded {
            match told.take(&self.messages[&quantity], read)? {
                Some(field) => drop(fields.insert(quantity, field)),
                // a height that is not known is a gap and no land
                None if matches!(quantity, Quantity::Hs(_)) => {
                    fields.insert(quantity, Field::refused(self.grid.points()));
                }
                None => {}
            }
        }
        let wind = match &self.wind {
            Some(wind) if self.has_foreign_wind() => {
                let read = wind.read(&self.grid).map(|(wind, odd)| ((wind, odd), None));
                told.take(&wind.messages[0].1, read)?.map(|(wind, odd)| {
                    told.outside.extend(odd);
                    wind
                })
            }
            _ => Some(WindFields::take(&mut fields)),
        };
        let spectra = match &self.spectra {
            Some(message) => {
                let read = told.take(message, ranges::decode_spectra(message))?;
                Some(read.unwrap_or_else(|| Spectra::refused(self.grid.points())))
            }
            None => None,
        };
        let depth = match &self.depth {
            Some(message) => told.take(message, ranges::decode(message))?,
            None => None,
        };
        let wind = wind.unwrap_or(WindFields::None);
        let Told { outside, unreadable } = told;
        Ok(Decoded { fields, wind, spectra, depth, outside, unreadable })
    }
}

/// What is to be told of decoding.
#[derive(Default)]
struct Told {
    outside: Vec<OutOfRange>,
    unreadable: Vec<String>,
}

impl Told {
    /// The field, if it can be read; one that cannot is a gap by name and spoils no other.
    fn take<T, U>(
        &mut self,
        message: &Message<T>,
        read: Result<(U, Option<OutOfRange>)>,
    ) -> Result<Option<U>> {
        match read {
            Ok((field, odd)) => {
                self.outside.extend(odd);
                Ok(Some(field))
            }
            Err(error) if error.is_io() => Err(error),
            Err(error) => {
                self.unreadable.push(gather::unreadable(message, &error));
                Ok(None)
            }
        }
    }
}
