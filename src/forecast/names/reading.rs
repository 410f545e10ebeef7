//! Codes and names in files to quantities, units and senses.

use crate::forecast::names::unit::Conversion;
use std::borrow::Cow;

use crate::forecast::quantity::{Quantity, SystemLabel};
use crate::sea::PeriodKind;

/// The originating centres whose habits are known (WMO common code table C-11).
pub(super) const NOAA: u16 = 7;
pub(super) const ECMWF: u16 = 98;

/// How a code or a name is understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// What it is; none where it is not needed here, or not known for certain.
    pub quantity: Option<Quantity>,
    /// From the file's unit and sense to those of the quantity.
    pub conversion: Conversion,
    /// What a user should know about the reading, where the code alone would mislead.
    pub note: Option<Cow<'static, str>>,
}

impl Reading {
    pub(super) fn plain(quantity: Quantity) -> Self {
        Self { quantity: Some(quantity), conversion: Conversion::None, note: None }
    }

    pub(super) fn converted(quantity: Quantity, conversion: Conversion) -> Self {
        Self { conversion, ..Self::plain(quantity) }
    }

    /// Not used, and why.
    pub(super) fn unused(note: impl Into<Cow<'static, str>>) -> Self {
        Self { quantity: None, conversion: Conversion::None, note: Some(note.into()) }
    }

    pub(super) fn noted(mut self, note: impl Into<Cow<'static, str>>) -> Self {
        self.note = Some(note.into());
        self
    }
}

pub(super) const CURRENT_UNUSED: &str = "ocean current: not used";

pub(super) const OTHER_LEVEL: &str = "wind of another level than 10 m: not used";

/// A period that GRIB calls a mean one without saying which mean.
pub(super) fn mean_period(centre: u16, system: SystemLabel) -> Reading {
    let (kind, note) = match centre {
        NOAA => {
            (PeriodKind::Peak, Some("called a mean period; NOAA's wave model writes the peak period here"))
        }
        ECMWF => (PeriodKind::Tm10, None),
        _ => (PeriodKind::Tm01, Some("a mean period of an unstated kind, taken as Tm01")),
    };
    Reading { note: note.map(Cow::Borrowed), ..Reading::plain(Quantity::Period(system, kind)) }
}
