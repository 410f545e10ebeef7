//! Joining regions and windows whose polars are alike.

use super::{Watch, derated};
use crate::derate::Performance;
use crate::error::Result;
use crate::split::{Columns, Derated, ErrorLeft, Group, errors_left, groups};
use crate::tally::TallySet;
use crate::wind_match::SeaChoice;

/// Regions and windows derated by themselves, and how they are joined.
pub(super) struct Joining<'a> {
    parts: Vec<Derated<'a>>,
    /// What is joined.
    pub groups: Vec<Group>,
}

impl<'a> Joining<'a> {
    /// Derates every region and window by itself and groups those that are alike within an error.
    pub(super) fn new(
        performance: &Performance,
        set: &'a TallySet,
        choice: SeaChoice,
        error_kn: f64,
        watch: Watch,
    ) -> Result<Self> {
        let parts = derated(performance, set, choice, watch)?;
        let groups = groups(Columns { tws_kn: performance.flat.tws_kn(), choice }, &parts, error_kn);
        Ok(Self { parts, groups })
    }

    /// How far the parts lie from the polars of their groups.
    pub(super) fn errors_left(&self, performance: &Performance, joint: &[Derated]) -> Vec<ErrorLeft> {
        errors_left(performance.flat.tws_kn(), &self.parts, &self.groups, joint)
    }
}
