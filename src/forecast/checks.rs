//! Sanity checks of a forecast: what a sea should not be, counted, with one example each.

use std::collections::BTreeSet;
use std::f64::consts::TAU;

use jiff::Timestamp;
use serde::Serialize;

use crate::base::units::G;
use crate::forecast::field::{Field, Fields};
use crate::forecast::message::Message;
use crate::forecast::quantity::{Quantity, period_symbol};
use crate::forecast::ranges::Range;
use crate::forecast::sea::{CellSea, SeaGrid};
use crate::forecast::step::Step;
use crate::sea::{Partition, PartitionKind, PeriodKind, SeaState};

/// Significant steepness Hs/(g Tp^2/2pi) that wind seas do not pass: 1/15 (DNV-RP-C205, 3.5.4, for
/// Tp <= 8 s, from memory).
pub const GREATEST_STEEPNESS: f64 = 1.0 / 15.0;
/// Between these, the height of all systems together over that of the total sea is believed (NOAA files: 0.96-1.01
/// at 90 % of the points, up to 2.1 at single ones).
pub const HEIGHT_RATIO: std::ops::RangeInclusive<f64> = 0.5..=1.5;

/// Below this wind speed, m/s, a direction says little.
pub const LEAST_WIND_M_S: f64 = 3.0;

/// One kind of oddity.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Check {
    /// What is odd.
    pub name: &'static str,
    /// At how many cells or values.
    pub count: usize,
    /// The first one.
    pub example: Example,
}

/// One odd cell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Example {
    /// When.
    pub valid: Timestamp,
    /// Where.
    pub lat_deg: f64,
    /// Where, within [-180, 180).
    pub lon_deg: f64,
    /// What was found there.
    pub found: String,
}

/// Gathers checks over fields and steps.
#[derive(Debug, Default)]
pub(super) struct Checks(Vec<Check>);

impl Checks {
    /// Checks one field: values out of range, directions and periods that must be in another unit.
    pub fn field(&mut self, message: &Message, field: &Field) {
        let Some(quantity) = message.quantity else { return };
        let of_all = whole_field(quantity, field);
        for (index, value) in field.iter().enumerate().filter_map(|(i, v)| Some((i, v?))) {
            if let Some(name) = of_all.or_else(|| Range::of(quantity).oddity(value)) {
                let centre = message.grid.as_ref().ok().and_then(|grid| grid.centre(index));
                self.add(name, message.valid, centre, || {
                    format!("{quantity} {value}{}", if quantity == Quantity::Depth { " m" } else { "" })
                });
            }
        }
    }

    /// Checks a step's cells: impossible steepness, systems that do not add up to the total sea, no depth.
    pub fn sea(&mut self, sea: &SeaGrid) {
        for (index, cell) in sea.cells().enumerate() {
            let CellSea::Sea(state) = cell else { continue };
            let centre = sea.grid.centre(index);
            for partition in &state.partitions {
                if let Some(steepness) = steepness(partition).filter(|s| *s > GREATEST_STEEPNESS) {
                    self.add("steeper than 1/15", sea.valid, centre, || {
                        let Partition { hs_m, period, .. } = partition;
                        format!("Hs {hs_m:.2} m with Tp {:.2} s, 1/{:.1}", period.seconds, 1.0 / steepness)
                    });
                }
            }
            self.wind_sea(&state, sea.valid, centre);
            if sea.depth_m(index) == Some(0.0) {
                self.add("water depth not above 0: taken as deep", sea.valid, centre, || "0 m".into());
            }
            let systems = state.partitions.iter().filter(|p| p.kind != PartitionKind::Total);
            let together = systems.map(|p| p.hs_m * p.hs_m).sum::<f64>().sqrt();
            if let Some(total) = sea.total_hs_m(index).filter(|total| *total > 0.0 && together > 0.0)
                && !HEIGHT_RATIO.contains(&(together / total))
            {
                self.add("wave systems and total sea disagree", sea.valid, centre, || {
                    format!("systems together {together:.2} m, total {total:.2} m")
                });
            }
        }
    }

    /// A wind sea that does not come from the wind's side: one of the two directions may be towards, not from.
    fn wind_sea(&mut self, state: &SeaState, valid: Timestamp, centre: Option<(f64, f64)>) {
        let wind = state.wind;
        let wind_sea = state.partitions.iter().find(|p| p.kind == PartitionKind::WindSea);
        let Some(wind_sea) = wind_sea.filter(|_| wind.tws_m_s >= LEAST_WIND_M_S) else { return };
        if wind_sea.from.off_deg(wind.from).abs() > 90.0 {
            self.add("wind sea more than 90 degrees off the wind", valid, centre, || {
                let (sea, wind_from) = (wind_sea.from.deg(), wind.from.deg());
                format!("wind sea from {sea:.0}, wind {:.1} m/s from {wind_from:.0}", wind.tws_m_s)
            });
        }
    }

    /// Of any spectrum, Tm02 <= Tm01 <= Tm-10 (Cauchy and Schwarz on the moments): else a period's kind is wrong.
    pub fn periods(&mut self, step: &Step, fields: &Fields) {
        use PeriodKind::{Tm01, Tm02, Tm10};
        let systems: BTreeSet<_> = fields.keys().filter_map(|q| q.system()).collect();
        for system in systems {
            for (shorter, longer) in [(Tm02, Tm01), (Tm01, Tm10), (Tm02, Tm10)] {
                let get = |kind| fields.get(&Quantity::Period(system, kind));
                let Some((a, b)) = get(shorter).zip(get(longer)) else { continue };
                let pairs = a.iter().zip(b.iter()).enumerate().filter_map(|(i, (a, b))| Some((i, a?, b?)));
                for (index, a, b) in pairs.filter(|(_, a, b)| *a > PERIOD_ROUNDING * b) {
                    self.add(
                        "mean periods in an impossible order",
                        step.valid,
                        step.grid.centre(index),
                        || {
                            format!(
                                "{system} {} {a:.2} s, {} {b:.2} s",
                                period_symbol(shorter),
                                period_symbol(longer)
                            )
                        },
                    );
                }
            }
        }
    }

    pub fn finish(self) -> Vec<Check> {
        self.0
    }

    fn add(
        &mut self,
        name: &'static str,
        valid: Timestamp,
        at: Option<(f64, f64)>,
        found: impl Fn() -> String,
    ) {
        if let Some(check) = self.0.iter_mut().find(|check| check.name == name) {
            check.count += 1;
        } else if let Some((lat_deg, lon_deg)) = at {
            self.0.push(Check {
                name,
                count: 1,
                example: Example { valid, lat_deg, lon_deg, found: found() },
            });
        }
    }
}

/// What is odd about a field as a whole, whatever its single values.
fn whole_field(quantity: Quantity, field: &Field) -> Option<&'static str> {
    match quantity {
        q if q.is_direction() && may_be_radians(field) => {
            Some("every direction within 0 to 6.29: radians, not degrees?")
        }
        Quantity::Period(..) => {
            let short = field.summary().range.is_some_and(|(_, greatest)| greatest < 1.0);
            short.then_some("every period below 1 s: is it a frequency in Hz?")
        }
        _ => None,
    }
}

/// What packing may add to the ratio of two periods.
const PERIOD_ROUNDING: f32 = 1.02;

/// Whether a field of directions, with values enough to tell, stays within one turn in radians.
fn may_be_radians(field: &Field) -> bool {
    let summary = field.summary();
    summary.points - summary.missing >= 20
        && summary.range.is_some_and(|(lo, hi)| lo >= 0.0 && hi > lo && hi <= 6.29)
}

/// Steepness over the deep-water length of the peak period; none for a mean period, whose length is not the peak's.
fn steepness(partition: &Partition) -> Option<f64> {
    let period = partition.period;
    (period.kind == PeriodKind::Peak).then(|| partition.hs_m * TAU / (G * period.seconds * period.seconds))
}
