//! Messages of one or several files, sorted by valid time and ensemble member.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::Path;

use jiff::Timestamp;

use crate::base::{Error, Result};
use crate::forecast::field::Field;
use crate::forecast::index::index;
use crate::forecast::message::{FileIndex, Message};
use crate::forecast::quantity::Quantity;
use crate::forecast::spectra::Spectra;
use crate::forecast::wind::WindSource;

/// How many reasons why messages are not used an error lists.
const MOST_REASONS: usize = 6;

/// Valid time and member.
pub(super) type StepKey = (Timestamp, Option<u32>);

/// What there is for one time and member.
#[derive(Debug, Default)]
pub(super) struct Slot {
    pub fields: BTreeMap<Quantity, Message>,
    pub spectra: Option<Message<Spectra>>,
}

/// All messages that are of use.
#[derive(Debug, Default)]
pub(super) struct Messages {
    pub slots: BTreeMap<StepKey, Slot>,
    pub unused: usize,
    pub replaced: usize,
    pub stray_bytes: u64,
    /// Messages that cannot be read, in words.
    pub unreadable: Vec<String>,
    /// Why messages are not used, where there is a reason worth telling: reason, then codes.
    pub reasons: BTreeMap<String, BTreeSet<String>>,
    codes: BTreeSet<String>,
}

impl Slot {
    /// Whether it has wave heights or spectra.
    pub fn has_waves(&self) -> bool {
        self.spectra.is_some() || self.fields.keys().any(|q| matches!(q, Quantity::Hs(_)))
    }

    /// The whole wind of this time.
    pub fn wind(&self, valid: Timestamp) -> Option<WindSource> {
        WindSource::among(|quantity| self.fields.get(&quantity), valid)
    }
}

impl Messages {
    /// Indexes the files. Where two messages hold one quantity at one time, the one of the later forecast wins; of one
    /// and the same forecast, equal ones count once.
    ///
    /// # Errors
    /// Files that cannot be indexed; no wind or no waves in any of them; different fields of one quantity, time and
    /// forecast.
    pub fn new(paths: &[impl AsRef<Path>]) -> Result<Self> {
        let mut all = Self::default();
        for path in paths {
            let FileIndex { messages, spectra, stray_bytes, .. } = index(path.as_ref())?;
            all.stray_bytes += stray_bytes;
            for message in messages {
                all.field(message)?;
            }
            for message in spectra {
                all.spectra(message)?;
            }
        }
        all.check_present(paths)?;
        Ok(all)
    }

    fn field(&mut self, message: Message) -> Result<()> {
        self.codes.insert(message.code.clone());
        let Some(quantity) = message.quantity else {
            self.unused += 1;
            if let Some(note) = &message.note {
                self.reasons.entry(note.to_string()).or_default().insert(message.code.clone());
            }
            return Ok(());
        };
        if self.is_damaged(&message) {
            return Ok(());
        }
        let slot = self.slots.entry((message.valid, message.member)).or_default();
        let Some(held) = slot.fields.get(&quantity) else {
            slot.fields.insert(quantity, message);
            return Ok(());
        };
        self.replaced += 1;
        if wins(&message, held, |a, b| Ok(Message::<Field>::decode(a)? == Message::<Field>::decode(b)?))? {
            slot.fields.insert(quantity, message);
        }
        Ok(())
    }

    fn spectra(&mut self, message: Message<Spectra>) -> Result<()> {
        self.codes.insert(message.code.clone());
        if self.is_damaged(&message) {
            return Ok(());
        }
        let slot = self.slots.entry((message.valid, message.member)).or_default();
        let Some(held) = &slot.spectra else {
            slot.spectra = Some(message);
            return Ok(());
        };
        self.replaced += 1;
        if wins(&message, held, |_, _| Ok(false))? {
            slot.spectra = Some(message);
        }
        Ok(())
    }

    /// Tells of a message that alone cannot be read.
    fn is_damaged<T>(&mut self, message: &Message<T>) -> bool {
        let Some(error) = &message.damage else { return false };
        self.unreadable.push(unreadable(message, error));
        self.reasons.entry(error.in_a_line()).or_default().insert(message.place());
        true
    }

    fn check_present(&self, paths: &[impl AsRef<Path>]) -> Result<()> {
        let names: Vec<_> = paths.iter().map(|p| p.as_ref().display().to_string()).collect();
        let error = |problem: &str, expected: &str, remedy: &str| {
            let listed: Vec<_> = self.codes.iter().take(12).map(String::as_str).collect();
            let mut found =
                if listed.is_empty() { "no message at all".to_owned() } else { listed.join(", ") };
            for (reason, codes) in self.reasons.iter().take(MOST_REASONS) {
                let codes: Vec<_> = codes.iter().take(4).map(String::as_str).collect();
                let _ = write!(found, "; {}: {reason}", codes.join(", "));
            }
            Err(Error::new(problem).input(names.join(", ")).found(found).expected(expected).remedy(remedy))
        };
        if !self.slots.values().any(Slot::has_waves) {
            return error(
                "there are no waves in the forecast",
                "significant wave height of the total sea or of its wave systems, or directional spectra",
                "add the wave model's files for the same times",
            );
        }
        if !self.slots.iter().any(|((valid, _), slot)| slot.wind(*valid).is_some()) {
            // a wind whose grid cannot be used is there, and that is the reason
            let fields = self.slots.values().flat_map(|slot| &slot.fields);
            let mut winds = fields.filter(|(quantity, _)| quantity.is_of_wind());
            if let Some(error) = winds.find_map(|(_, message)| message.grid.as_ref().err()) {
                return Err(error.clone());
            }
            return error(
                "there is no wind in the forecast",
                "wind speed and direction, or its eastward and northward components, at 10 m",
                "add a file with the 10 m wind for the same times and place, on any grid of latitude and longitude",
            );
        }
        Ok(())
    }
}

/// A message that cannot be read, in words.
pub(super) fn unreadable<T>(message: &Message<T>, error: &Error) -> String {
    format!("{} of {} at {}: {}", message.place(), message.path.display(), message.valid, error.in_a_line())
}

/// Whether a message takes the place of another of the same quantity and time.
fn wins<T>(
    new: &Message<T>,
    held: &Message<T>,
    equal: impl Fn(&Message<T>, &Message<T>) -> Result<bool>,
) -> Result<bool> {
    if held.reference != new.reference {
        return Ok(new.reference > held.reference);
    }
    if equal(held, new)? {
        return Ok(true);
    }
    Err(Error::new("two messages of one forecast disagree")
        .file(&new.path)
        .at(new.place())
        .found(format!("other values than {} of {}", held.place(), held.path.display()))
        .expected(format!("one field of its kind for {}", new.valid))
        .remedy("leave out one of the files"))
}
