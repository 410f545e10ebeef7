//! One valid time: the message that holds each quantity, and what they decode to.

use std::collections::BTreeMap;
use std::path::Path;
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
use crate::forecast::spans::Spans;
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

    /// What its seas follow from, line by line: its time, what it is known to lack, and each of its messages by the digest of
    /// its file and its number there. None where a file has no digest.
    pub fn identity(&self, digest: &dyn Fn(&Path) -> Option<String>) -> Option<Vec<String>> {
        fn line<T>(
            what: impl std::fmt::Debug,
            message: &Message<T>,
            digest: &dyn Fn(&Path) -> Option<String>,
        ) -> Option<String> {
            Some(format!("{what:?} {} {} {}", digest(&message.path)?, message.number, message.valid))
        }
        let mut lines = vec![format!("{} {:?} {:?}", self.valid, self.member, self.missing)];
        for (quantity, message) in &self.messages {
            lines.push(line(quantity, message, digest)?);
        }
        for (quantity, message) in self.wind.iter().flat_map(|wind| &wind.messages) {
            lines.push(line(("wind", quantity), message, digest)?);
        }
        if let Some(spectra) = &self.spectra {
            lines.push(line("spectra", spectra, digest)?);
        }
        if let Some(depth) = &self.depth {
            lines.push(line("depth", depth, digest)?);
        }
        Some(lines)
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
        let points = Spans::whole(self.grid.points());
        let (mut told, mut fields) = (Told::default(), Fields::new());
        self.decode_fields(self.messages.keys().copied(), &points, &mut fields, &mut told)?;
        self.finish(&points, fields, told)
    }

    /// Decodes the fields of some quantities, as far as the step has them, several at a time.
    pub(super) fn decode_fields(
        &self,
        quantities: impl IntoIterator<Item = Quantity>,
        points: &Spans,
        fields: &mut Fields,
        told: &mut Told,
    ) -> Result<()> {
        let messages: Vec<(Quantity, &Message)> =
            quantities.into_iter().filter_map(|q| Some((q, self.messages.get(&q)?))).collect();
        let decode = |(q, message): (Quantity, &Message)| (q, ranges::decode(message, points));
        let decoded: Vec<_> = messages.into_par_iter().with_max_len(1).map(decode).collect();
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
        Ok(())
    }

    /// What stands beside the fields on the waves' own grid and time: wind from elsewhere, spectra, depth.
    pub(super) fn finish(&self, points: &Spans, mut fields: Fields, mut told: Told) -> Result<Decoded> {
        let wind = match &self.wind {
            Some(wind) if self.has_foreign_wind() => {
                let read = wind.read(&self.grid, points).map(|(wind, odd)| ((wind, odd), None));
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
            Some(message) => told.take(message, ranges::decode(message, points))?,
            None => None,
        };
        let wind = wind.unwrap_or(WindFields::None);
        let Told { outside, unreadable } = told;
        Ok(Decoded { fields, wind, spectra, depth, outside, unreadable })
    }
}

/// What is to be told of decoding.
#[derive(Default)]
pub(super) struct Told {
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
