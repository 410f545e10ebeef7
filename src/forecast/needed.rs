//! Which of a step's fields the seas at some points need, and their decoding in that order.
//!
//! Heights, periods, directions and spreads of the wave systems and the wind come first. Another kind of period or
//! direction is decoded where the preferred one lacks a value, and the total sea where it stands in for the systems: where
//! there is none of them, or for all where one is incomplete ([`crate::forecast::sea`] has the rules). What is not decoded
//! is not told of either, be it damaged or out of range.

use std::collections::BTreeSet;

use crate::base::Result;
use crate::forecast::field::{Field, Fields};
use crate::forecast::quantity::{DirectionKind, Quantity, SystemLabel};
use crate::forecast::spans::Spans;
use crate::forecast::step::{Decoded, Step, Told};
use crate::sea::PeriodKind;

/// Kinds of periods and directions in order of preference.
pub(super) const PERIODS: [PeriodKind; 4] =
    [PeriodKind::Peak, PeriodKind::Tm10, PeriodKind::Tm01, PeriodKind::Tm02];
pub(super) const DIRECTIONS: [DirectionKind; 2] = [DirectionKind::Mean, DirectionKind::Peak];

/// Decodes what the seas at some points need.
///
/// # Errors
/// A file that cannot be read any more.
pub(super) fn decode(step: &Step, points: &Spans) -> Result<Decoded> {
    let mut needed = Needed { step, fields: Fields::new(), told: Told::default() };
    let systems = counted_systems(step);
    needed.first(&systems, points)?;
    for system in &systems {
        needed.others(*system, points)?;
    }
    needed.total(&systems, points)?;
    let Needed { fields, told, .. } = needed;
    step.finish(points, fields, told)
}

/// The wave systems that a sea is made of, the total sea aside: the swells together do not count beside single ones.
pub(super) fn counted_systems(step: &Step) -> BTreeSet<SystemLabel> {
    let named: BTreeSet<SystemLabel> =
        step.messages.keys().chain(&step.missing).filter_map(|quantity| quantity.system()).collect();
    let swells = named.iter().any(|system| matches!(system, SystemLabel::Swell(_)));
    let counts = |system: &SystemLabel| match system {
        SystemLabel::Total => false,
        SystemLabel::TotalSwell => !swells,
        SystemLabel::WindSea | SystemLabel::Swell(_) => true,
    };
    named.into_iter().filter(counts).collect()
}

/// Whether a system has a height that can be believed, a period and a direction.
fn is_whole(fields: &Fields, system: SystemLabel) -> bool {
    let has_period = PERIODS.iter().any(|kind| fields.contains_key(&Quantity::Period(system, *kind)));
    let has_direction = DIRECTIONS.iter().any(|kind| fields.contains_key(&Quantity::From(system, *kind)));
    let hs = fields.get(&Quantity::Hs(system));
    has_period && has_direction && hs.is_some_and(|hs| !hs.is_wholly_refused())
}

struct Needed<'s> {
    step: &'s Step,
    fields: Fields,
    told: Told,
}

impl Needed<'_> {
    /// Heights, preferred periods and directions, and spreads of systems; the wind that lies on their grid.
    fn first(&mut self, systems: &BTreeSet<SystemLabel>, points: &Spans) -> Result<()> {
        let mut quantities: Vec<Quantity> =
            systems.iter().flat_map(|system| self.preferred(*system)).collect();
        if let Some(wind) = self.step.wind.as_ref().filter(|_| !self.step.has_foreign_wind()) {
            quantities.extend(wind.messages.iter().map(|(quantity, _)| *quantity));
            self.decode(quantities, points)?;
            // another pair stands in where one of these cannot be read
            let is_there = |(quantity, _): &(Quantity, _)| self.fields.contains_key(quantity);
            if !wind.messages.iter().all(is_there) {
                self.decode([Quantity::WindEastward, Quantity::WindNorthward], points)?;
            }
            return Ok(());
        }
        self.decode(quantities, points)
    }

    /// The height of a system, the period and the direction that are preferred of those there are, and the spread.
    fn preferred(&self, system: SystemLabel) -> Vec<Quantity> {
        let is_there = |quantity: &Quantity| self.step.messages.contains_key(quantity);
        let first = |kinds: Vec<Quantity>| kinds.into_iter().find(is_there);
        let kinds = [first(periods(system)), first(directions(system))];
        [Quantity::Hs(system), Quantity::Spread(system)]
            .into_iter()
            .chain(kinds.into_iter().flatten())
            .collect()
    }

    /// Less preferred periods and directions of a system, where the others lack a value that its height asks for.
    fn others(&mut self, system: SystemLabel, points: &Spans) -> Result<()> {
        for kinds in [periods(system), directions(system)] {
            for quantity in &kinds {
                let has_any = kinds.iter().any(|kind| self.fields.contains_key(kind));
                let lacking = if has_any { self.lacking(system, &kinds, points) } else { points.clone() };
                if lacking.is_empty() {
                    break;
                }
                self.decode([*quantity], &lacking)?;
            }
        }
        Ok(())
    }

    /// Points with a height of a system and none of some quantities.
    fn lacking(&self, system: SystemLabel, kinds: &[Quantity], points: &Spans) -> Spans {
        let kinds: Vec<&Field> = kinds.iter().filter_map(|kind| self.fields.get(kind)).collect();
        // a period of zero is none
        let lacks =
            |index: &usize| kinds.iter().all(|field| field.get(*index).is_none_or(|value| value == 0.0));
        Spans::of(self.heights(&[system], points).filter(lacks))
    }

    /// Points with a height of one of some systems.
    fn heights(&self, systems: &[SystemLabel], points: &Spans) -> impl Iterator<Item = usize> {
        let heights: Vec<&Field> =
            systems.iter().filter_map(|system| self.fields.get(&Quantity::Hs(*system))).collect();
        points
            .places()
            .filter(move |index| heights.iter().any(|hs| hs.get(*index).is_some_and(|hs| hs > 0.0)))
    }

    /// The total sea where it stands in for the systems.
    fn total(&mut self, systems: &BTreeSet<SystemLabel>, points: &Spans) -> Result<()> {
        let is_whole = |system: &SystemLabel| is_whole(&self.fields, *system);
        let stands_for_all = !systems.iter().all(is_whole);
        let with_systems: Vec<SystemLabel> = systems.iter().copied().collect();
        let at = if stands_for_all {
            points.clone()
        } else {
            let have: BTreeSet<usize> = self.heights(&with_systems, points).collect();
            Spans::of(points.places().filter(|index| !have.contains(index)))
        };
        self.decode([Quantity::Hs(SystemLabel::Total)], &at)?;
        let at = if stands_for_all { at } else { Spans::of(self.heights(&[SystemLabel::Total], &at)) };
        if at.is_empty() {
            return Ok(());
        }
        self.decode(self.preferred(SystemLabel::Total), &at)?;
        self.others(SystemLabel::Total, &at)?;
        if !periods(SystemLabel::Total).iter().any(|kind| self.fields.contains_key(kind)) {
            let is_band = |quantity: &Quantity| matches!(quantity, Quantity::BandHs { .. });
            let bands: Vec<Quantity> = self.step.messages.keys().copied().filter(is_band).collect();
            self.decode(bands, &at)?;
        }
        Ok(())
    }

    /// Decodes quantities that the step has and that are not decoded yet.
    fn decode(&mut self, quantities: impl IntoIterator<Item = Quantity>, points: &Spans) -> Result<()> {
        let new: Vec<Quantity> =
            quantities.into_iter().filter(|quantity| !self.fields.contains_key(quantity)).collect();
        self.step.decode_fields(new, points, &mut self.fields, &mut self.told)
    }
}

fn periods(system: SystemLabel) -> Vec<Quantity> {
    PERIODS.map(|kind| Quantity::Period(system, kind)).into()
}

fn directions(system: SystemLabel) -> Vec<Quantity> {
    DIRECTIONS.map(|kind| Quantity::From(system, kind)).into()
}
