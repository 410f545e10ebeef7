//! An atlas in memory: what is asked of it, and what it answers.

use crate::atlas::blend::{Curve, Part, together};
use crate::atlas::error_table::ErrorRow;
use crate::atlas::quantity::{
    AVAILABILITY, BAND, BOW_ACCELERATION_G, COUNT, DECK_WATER_KG, FACTOR, NO_DECK, RIDING_SHARE, SECOND,
    SLAM_RATE_PER_H, SPEED_SD_KN, STAGE, STANDARD_ERROR, WETNESS_RATE_PER_H, flags,
};
use crate::atlas::table::{Beyond, Place, SystemTable};
use crate::balance::STAGES;
use crate::base::{Error, Flag, Flags, Result};
use crate::derate::Tack;
use crate::hydro::wind_frame::WaveSystem;
use crate::polar::{Lookup, Polar};
use crate::sea::PartitionKind;

/// What a boat's polar becomes in any sea.
#[derive(Debug, Clone, PartialEq)]
pub struct Atlas {
    /// The boat's name.
    pub boat: String,
    /// SHA-256 of all that it was made from, hexadecimal.
    pub digest: String,
    /// How fine it is, by name.
    pub fineness: String,
    /// How long each cell was sailed through each sea, s.
    pub sailed_s: f64,
    /// Speeds in flat water.
    pub flat: Polar,
    /// Tacks and angles of the cells, in their order.
    pub headings: Vec<(Tack, f64)>,
    /// Whether a sea and its mirror image had to be computed both, as she differs by tack.
    pub both_sides: bool,
    /// Wind seas and swells.
    pub tables: [SystemTable; 2],
    /// How far it is from the direct way.
    pub errors: Vec<ErrorRow>,
}

/// What an atlas says of a cell in a sea.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtlasCell {
    /// Corrected over flat speed; 1 where flat speed is zero.
    pub factor: f64,
    /// Factors of the stages; they multiply to the factor.
    pub stages: [f64; STAGES],
    /// Factor with the second method of added resistance.
    pub second: f64,
    /// Factors at the slow and the fast end of the model band.
    pub band: [f64; 2],
    /// Swing of the speed, kn.
    pub speed_sd_kn: f64,
    /// Part of the time faster than the crests.
    pub riding_share: f64,
    /// Standard error of the factor by chance.
    pub standard_error: f64,
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// Part of the time in flight.
    pub availability: f64,
    /// Slams an hour.
    pub slam_rate_per_h: f64,
    /// Wet decks an hour.
    pub wetness_rate_per_h: Option<f64>,
    /// Acceleration at the bow, g rms.
    pub bow_acceleration_rms_g: f64,
    /// Reservations of the seas around it.
    pub flags: Flags,
}

/// A sea among the nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedSea(Vec<(usize, Place)>);

/// Speeds in one wind and sea.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtlasSpeed {
    /// In flat water, kn.
    pub flat_kn: f64,
    /// In the sea, kn.
    pub corrected_kn: f64,
    /// Factors of the stages, as they are where the polar's nearest cells are.
    pub stages: [f64; STAGES],
    /// Swing of the speed, kn.
    pub speed_sd_kn: f64,
    /// Factors at the slow and the fast end of the model band.
    pub band: [f64; 2],
}

impl Atlas {
    /// Cells of the polar: a number for each heading and wind, headings first.
    pub fn cells(&self) -> usize {
        self.headings.len() * self.flat.tws_kn().len()
    }

    /// The place of a cell.
    pub fn cell_number(&self, heading: usize, column: usize) -> usize {
        heading * self.flat.tws_kn().len() + column
    }

    /// Speed in flat water of a cell, kn.
    pub fn flat_kn(&self, heading: usize, column: usize) -> f64 {
        let (tack, twa_deg) = self.headings[heading];
        match self.flat.speed_kn(self.flat.tws_kn()[column], tack.signed(twa_deg)) {
            Lookup::Inside(speed_kn) => speed_kn,
            Lookup::Outside(_) => 0.0,
        }
    }

    /// The heading of the same angle on the other tack; its own where there is none.
    fn other_tack(&self, heading: usize) -> usize {
        let (tack, twa_deg) = self.headings[heading];
        let other =
            |(number, (t, twa)): (usize, &(Tack, f64))| (*t != tack && *twa == twa_deg).then_some(number);
        self.headings.iter().enumerate().find_map(other).unwrap_or(heading)
    }

    /// Places a sea among the nodes, and says in what it lies outside them.
    pub fn place(&self, systems: &[WaveSystem]) -> (PlacedSea, Option<Beyond>) {
        let mut beyond = None;
        let mut placed = Vec::with_capacity(systems.len());
        for system in systems.iter().filter(|system| system.hs2_m2 > 0.0) {
            let table = usize::from(system.kind == PartitionKind::Swell);
            let place = self.tables[table].place(system);
            beyond = match (beyond, place.beyond) {
                (Some(Beyond::Height), _) | (_, Some(Beyond::Height)) => Some(Beyond::Height),
                (before, own) => own.or(before),
            };
            placed.push((table, place));
        }
        (PlacedSea(placed), beyond)
    }

    /// As [`Atlas::place`], for a sea that must lie within the atlas.
    ///
    /// # Errors
    /// A system outside the axes.
    pub fn within(&self, systems: &[WaveSystem]) -> Result<PlacedSea> {
        for system in systems {
            let axes = &self.tables[usize::from(system.kind == PartitionKind::Swell)].axes;
            let (_, beyond) = self.place(std::slice::from_ref(system));
            let (what, found, axis) = match beyond {
                None => continue,
                Some(Beyond::Height) => ("height", format!("{:.2} m", system.hs2_m2.sqrt()), &axes.hs_m),
                Some(Beyond::Period) => ("peak period", format!("{:.2} s", system.tp_s), &axes.tp_s),
            };
            let from = if beyond == Some(Beyond::Height) { 0.0 } else { axis[0] };
            return Err(Error::new(format!("the {what} of a {} lies outside the atlas", system.kind.name()))
                .found(found)
                .expected(format!("{from} to {}", axis[axis.len() - 1]))
                .remedy("`compare` and `derate` take any sea"));
        }
        Ok(self.place(systems).0)
    }

    /// What a cell of the polar becomes in a sea.
    pub fn cell(&self, sea: &PlacedSea, heading: usize, column: usize) -> AtlasCell {
        let cells = [heading, self.other_tack(heading)].map(|heading| self.cell_number(heading, column));
        let mut curves = vec![Vec::new(); sea.0.len()];
        let mut of = |quantity: usize| {
            for ((table, place), curve) in sea.0.iter().zip(&mut curves) {
                self.tables[*table].curve_at(place, cells, quantity, curve);
            }
            let parts: Vec<Part> = sea
                .0
                .iter()
                .zip(&curves)
                .map(|((table, place), factor)| Part {
                    curve: Curve { hs2_m2: self.tables[*table].heights_squared(), factor },
                    hs2_m2: place.hs2_m2,
                })
                .collect();
            let alone: Vec<f64> = parts.iter().map(|part| part.curve.at(part.hs2_m2)).collect();
            (together(&parts), alone)
        };
        let factor = of(FACTOR).0;
        let [second, slow, fast] = [SECOND, BAND[0], BAND[1]].map(|quantity| of(quantity).0);
        let stages = std::array::from_fn(|stage| of(STAGE + stage).1.iter().product());
        let sum = |values: Vec<f64>| values.iter().sum::<f64>();
        let root = |values: Vec<f64>| values.iter().map(|value| value * value).sum::<f64>().sqrt();
        let most = |values: Vec<f64>| values.into_iter().fold(0.0, f64::max);
        let wet = of(WETNESS_RATE_PER_H).1;
        let has_deck = self.tables[0].numbers().get(WETNESS_RATE_PER_H).is_some_and(|rate| *rate != NO_DECK);
        let around = sea.0.iter().flat_map(|(table, place)| self.tables[*table].around(place, cells));
        let reserved = around.map(flags).fold(Flags::empty(), |a, b| a | b);
        AtlasCell {
            factor,
            stages: scaled(stages, factor),
            second,
            band: [slow, fast],
            speed_sd_kn: root(of(SPEED_SD_KN).1),
            riding_share: most(of(RIDING_SHARE).1),
            standard_error: root(of(STANDARD_ERROR).1),
            deck_water_kg: sum(of(DECK_WATER_KG).1),
            availability: of(AVAILABILITY).1.iter().product(),
            slam_rate_per_h: sum(of(SLAM_RATE_PER_H).1),
            wetness_rate_per_h: has_deck.then(|| sum(wet)),
            bow_acceleration_rms_g: root(of(BOW_ACCELERATION_G).1),
            flags: if factor > 0.0 { reserved - Flag::NoWay } else { reserved | Flag::NoWay },
        }
    }

    /// Only the factor of [`Atlas::cell`].
    pub fn factor(&self, sea: &PlacedSea, heading: usize, column: usize) -> f64 {
        let cells = [heading, self.other_tack(heading)].map(|heading| self.cell_number(heading, column));
        let curve = |(table, place): &(usize, Place)| {
            let mut curve = Vec::with_capacity(COUNT);
            self.tables[*table].curve_at(place, cells, FACTOR, &mut curve);
            curve
        };
        let curves: Vec<Vec<f64>> = sea.0.iter().map(curve).collect();
        let part = |((table, place), factor)| {
            let (table, place): (&usize, &Place) = (table, place);
            let factor: &Vec<f64> = factor;
            Part {
                curve: Curve { hs2_m2: self.tables[*table].heights_squared(), factor },
                hs2_m2: place.hs2_m2,
            }
        };
        let parts: Vec<Part> =
            sea.0.iter().map(|(table, place)| (table, place)).zip(&curves).map(part).collect();
        together(&parts)
    }

    /// Speeds at any wind and signed angle within the polar, straight between its cells.
    ///
    /// # Errors
    /// A wind outside the polar; a system outside the atlas.
    pub fn speed(&self, systems: &[WaveSystem], tws_kn: f64, twa_deg: f64) -> Result<AtlasSpeed> {
        let Lookup::Inside(flat_kn) = self.flat.speed_kn(tws_kn, twa_deg) else {
            let axis = |axis: &[f64]| format!("{} to {}", axis[0], axis[axis.len() - 1]);
            return Err(Error::new("the wind lies outside the polar")
                .found(format!("TWS {tws_kn} kn, TWA {twa_deg}"))
                .expected(format!(
                    "TWS {} kn, TWA {}",
                    axis(self.flat.tws_kn()),
                    axis(self.flat.twa_deg())
                )));
        };
        let sea = self.within(systems)?;
        let mut speed = AtlasSpeed {
            flat_kn,
            corrected_kn: 0.0,
            stages: [0.0; STAGES],
            speed_sd_kn: 0.0,
            band: [0.0; 2],
        };
        let mut band_kn = [0.0; 2];
        let mut log_stages = [0.0; STAGES];
        for (heading, of_heading) in self.headings_at(twa_deg) {
            for (column, of_column) in between(self.flat.tws_kn(), tws_kn) {
                let weight = of_heading * of_column;
                let cell = self.cell(&sea, heading, column);
                let flat_kn = self.flat_kn(heading, column);
                speed.corrected_kn += weight * cell.factor * flat_kn;
                speed.speed_sd_kn += weight * cell.speed_sd_kn;
                band_kn.iter_mut().zip(cell.band).for_each(|(sum, factor)| *sum += weight * factor * flat_kn);
                for (sum, stage) in log_stages.iter_mut().zip(cell.stages) {
                    *sum += weight * stage.max(f64::MIN_POSITIVE).ln();
                }
            }
        }
        if flat_kn > 0.0 {
            speed.band = band_kn.map(|kn| kn / flat_kn);
            speed.stages = scaled(log_stages.map(f64::exp), speed.corrected_kn / flat_kn);
        } else {
            speed.band = [1.0; 2];
            speed.stages = [1.0; STAGES];
        }
        Ok(speed)
    }

    /// Headings around a signed angle that the polar holds, with weights.
    fn headings_at(&self, twa_deg: f64) -> Vec<(usize, f64)> {
        let tack = Tack::of(twa_deg);
        let on_tack: Vec<(usize, f64)> = self
            .headings
            .iter()
            .enumerate()
            .filter(|(_, (t, _))| *t == tack)
            .map(|(number, (_, twa))| (number, *twa))
            .collect();
        let angles: Vec<f64> = on_tack.iter().map(|(_, twa)| *twa).collect();
        between(&angles, twa_deg.abs()).into_iter().map(|(at, weight)| (on_tack[at].0, weight)).collect()
    }

    /// The corrected polar, one number a heading and wind, kn; each column in its own sea.
    ///
    /// # Errors
    /// A system outside the atlas.
    pub fn speeds_kn(&self, seas: impl Fn(f64) -> Vec<WaveSystem>) -> Result<Vec<f64>> {
        let placed: Vec<PlacedSea> =
            self.flat.tws_kn().iter().map(|tws_kn| self.within(&seas(*tws_kn))).collect::<Result<_>>()?;
        let mut speeds = Vec::with_capacity(self.cells());
        for heading in 0..self.headings.len() {
            for (column, sea) in placed.iter().enumerate() {
                speeds.push(self.factor(sea, heading, column) * self.flat_kn(heading, column));
            }
        }
        Ok(speeds)
    }
}

/// Nodes of a rising axis around a value within it, with weights.
fn between(axis: &[f64], value: f64) -> Vec<(usize, f64)> {
    if axis.len() < 2 {
        return vec![(0, 1.0)];
    }
    let low = axis.partition_point(|node| *node <= value).clamp(1, axis.len() - 1) - 1;
    let upper = ((value - axis[low]) / (axis[low + 1] - axis[low])).clamp(0.0, 1.0);
    [(low, 1.0 - upper), (low + 1, upper)].into_iter().filter(|(_, weight)| *weight > 0.0).collect()
}

/// Stages that multiply to a factor: each takes in the proportion in which it takes alone.
fn scaled(stages: [f64; STAGES], factor: f64) -> [f64; STAGES] {
    let worst = (0..STAGES).min_by(|a, b| stages[*a].total_cmp(&stages[*b])).unwrap_or(0);
    let mut scaled = stages;
    if factor <= 0.0 {
        scaled[worst] = 0.0;
        return scaled;
    }
    let logs = stages.map(|stage| stage.max(f64::MIN_POSITIVE).ln());
    let (sum, target) = (logs.iter().sum::<f64>(), factor.ln());
    // where gains and losses nearly cancel, proportions mean nothing: what is left over goes to the stage that takes most
    if sum.abs() > 0.5 * logs.iter().map(|log| log.abs()).sum::<f64>() && sum * target > 0.0 {
        return logs.map(|log| (log * target / sum).exp());
    }
    scaled[worst] *= factor / sum.exp();
    scaled
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn stages_multiply_to_the_factor() {
        for (stages, factor) in [
            ([0.9, 0.95, 1.0, 1.0, 1.0, 1.02], 0.8),
            ([0.9, 1.0, 1.0, 1.0, 1.0, 1.12], 1.0),
            ([0.9, 1.0, 1.0, 0.0, 1.0, 1.0], 0.4),
            ([1.0; STAGES], 0.97),
        ] {
            assert_relative_eq!(scaled(stages, factor).iter().product::<f64>(), factor, max_relative = 1e-9);
        }
        assert_eq!(scaled([0.9, 0.5, 1.0, 1.0, 1.0, 1.0], 0.0), [0.9, 0.0, 1.0, 1.0, 1.0, 1.0]);
    }

    /// By hand.
    #[test]
    fn weights_between_nodes() {
        assert_eq!(between(&[6.0, 10.0, 20.0], 12.5), [(1, 0.75), (2, 0.25)]);
        assert_eq!(between(&[6.0, 10.0, 20.0], 20.0), [(2, 1.0)]);
        assert_eq!(between(&[6.0, 10.0], 6.0), [(0, 1.0)]);
    }
}
