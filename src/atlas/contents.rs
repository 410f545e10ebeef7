//! An atlas in memory: what is asked of it, and what it answers.

use crate::atlas::blend::{Curve, Part, together};
use crate::atlas::error_table::ErrorRow;
use crate::atlas::quantity::{
    AVAILABILITY, BAND, BOW_ACCELERATION_G, BOW_CYCLES_PER_H, DECK_WATER_KG, FLAGS, MEAN, NO_DECK,
    RIDING_SHARE, SECOND, SLAM_RATE_PER_H, SPEED_SD_KN, STAGE, STANDARD_ERROR, SURGE, WETNESS_RATE_PER_H,
    flags,
};
use crate::atlas::table::{Beyond, Corners, SystemPlace, SystemTable};
use crate::balance::STAGES;
use crate::base::{Error, Flag, Flags, Result};
use crate::derate::Tack;
use crate::hydro::wind_frame::WaveSystem;
use crate::polar::{Lookup, Polar};
use crate::sea::{MAX_PARTITIONS, PartitionKind};
use arrayvec::ArrayVec;

/// Stages before surge.
const MEAN_STAGES: usize = STAGES - 1;

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
    /// Whether both tacks had to be computed, as she differs by tack.
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
    /// Cycles an hour of the bow's motion over the water.
    pub bow_cycles_per_h: f64,
    /// Reservations of the seas around it.
    pub flags: Flags,
}

/// A sea among the nodes, whatever the heading.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedSea(Vec<(usize, SystemPlace)>);

/// A sea among the nodes on one heading.
#[derive(Debug, Clone, PartialEq)]
pub struct MetSea(Vec<(usize, Corners)>);

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
    /// Cells that are kept: a number for each heading that was computed and wind, headings first.
    pub fn cells(&self) -> usize {
        self.computed() * self.flat.tws_kn().len()
    }

    /// Numbers that it holds.
    pub fn numbers(&self) -> usize {
        self.tables.iter().map(|table| table.numbers().len()).sum()
    }

    /// Headings that were computed: those of one tack where a mirrored sea does on the other what the sea does on this one.
    pub fn computed(&self) -> usize {
        computed(&self.headings, self.both_sides)
    }

    /// The number of the kept cell that serves a heading and wind.
    pub fn cell_number(&self, heading: usize, column: usize) -> usize {
        let heading = if self.both_sides { heading } else { heading % self.computed() };
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

    fn table(&self, kind: PartitionKind) -> usize {
        usize::from(kind == PartitionKind::Swell)
    }

    /// Places a sea among the nodes, and says in what it lies outside them.
    pub fn place(&self, systems: &[WaveSystem]) -> (PlacedSea, Option<Beyond>) {
        let placed = systems.iter().filter(|system| system.hs2_m2 > 0.0).map(|system| {
            let table = self.table(system.kind);
            (table, self.tables[table].place(system))
        });
        let placed: Vec<(usize, SystemPlace)> = placed.collect();
        let beyond = placed.iter().find_map(|(_, place)| place.beyond);
        (PlacedSea(placed), beyond)
    }

    /// As [`Atlas::place`], for a sea that must lie within the atlas.
    ///
    /// # Errors
    /// A system outside the axes.
    pub fn within(&self, systems: &[WaveSystem]) -> Result<PlacedSea> {
        for system in systems {
            let axes = &self.tables[self.table(system.kind)].axes;
            let (_, beyond) = self.place(std::slice::from_ref(system));
            let (what, found, expected) = match beyond {
                None => continue,
                Some(Beyond::Height) => (
                    "height",
                    format!("{:.2} m at {:.1} s", system.hs2_m2.sqrt(), system.tp_s),
                    format!("up to {:.2} m at this period", axes.greatest_at_m(system.tp_s)),
                ),
                Some(Beyond::Period) => (
                    "peak period",
                    format!("{:.2} s", system.tp_s),
                    format!("{:.1} to {:.1} s", axes.tp_s[0], axes.tp_s[axes.tp_s.len() - 1]),
                ),
            };
            return Err(Error::new(format!("the {what} of a {} lies outside the atlas", system.kind.name()))
                .found(found)
                .expected(expected)
                .remedy("`compare` and `derate` take any sea"));
        }
        Ok(self.place(systems).0)
    }

    /// A placed sea as it is met on a heading.
    pub fn met(&self, sea: &PlacedSea, heading: usize) -> MetSea {
        let (tack, twa_deg) = self.headings[heading];
        let met = |(table, place): &(usize, SystemPlace)| {
            (*table, self.tables[*table].corners(place, tack.signed(twa_deg)))
        };
        MetSea(sea.0.iter().map(met).collect())
    }

    /// What a cell of the polar becomes in a sea.
    pub fn cell(&self, sea: &MetSea, heading: usize, column: usize) -> AtlasCell {
        let cell = self.cell_number(heading, column);
        let alone = |quantity: usize| {
            sea.0.iter().map(move |(table, corners)| self.tables[*table].at(corners, cell, quantity))
        };
        let sum = |quantity: usize| alone(quantity).sum::<f64>();
        let root = |quantity: usize| alone(quantity).map(|value| value * value).sum::<f64>().sqrt();
        let product = |quantity: usize| alone(quantity).product::<f64>();
        let [mean, surge] = [MEAN, SURGE].map(|quantity| self.together(sea, cell, quantity));
        let mean_stages = std::array::from_fn::<f64, MEAN_STAGES, _>(|stage| product(STAGE + stage));
        let mut stages = [surge; STAGES];
        stages[..MEAN_STAGES].copy_from_slice(&scaled(mean_stages, mean));
        let has_deck =
            self.tables[0].of_quantity(WETNESS_RATE_PER_H).first().is_some_and(|rate| *rate != NO_DECK);
        let around =
            sea.0.iter().flat_map(|(table, corners)| self.tables[*table].around(corners, cell, FLAGS));
        let reserved = around.map(flags).fold(Flags::empty(), |a, b| a | b);
        let factor = mean * surge;
        AtlasCell {
            factor,
            stages,
            second: surge * self.together(sea, cell, SECOND),
            band: BAND.map(|quantity| surge * self.together(sea, cell, quantity)),
            speed_sd_kn: root(SPEED_SD_KN),
            riding_share: alone(RIDING_SHARE).fold(0.0, f64::max),
            standard_error: root(STANDARD_ERROR),
            deck_water_kg: sum(DECK_WATER_KG),
            availability: product(AVAILABILITY),
            slam_rate_per_h: sum(SLAM_RATE_PER_H),
            wetness_rate_per_h: has_deck.then(|| sum(WETNESS_RATE_PER_H)),
            bow_acceleration_rms_g: root(BOW_ACCELERATION_G),
            bow_cycles_per_h: cycles_together(alone(BOW_ACCELERATION_G).zip(alone(BOW_CYCLES_PER_H))),
            flags: if factor > 0.0 { reserved - Flag::NoWay } else { reserved | Flag::NoWay },
        }
    }

    /// Only the factor of [`Atlas::cell`].
    pub fn factor(&self, sea: &MetSea, heading: usize, column: usize) -> f64 {
        let cell = self.cell_number(heading, column);
        self.together(sea, cell, MEAN) * self.together(sea, cell, SURGE)
    }

    /// What all systems make of a factor.
    fn together(&self, sea: &MetSea, cell: usize, quantity: usize) -> f64 {
        if let [(table, corners)] = &sea.0[..] {
            return self.tables[*table].at(corners, cell, quantity);
        }
        let mut curves: ArrayVec<Vec<f64>, MAX_PARTITIONS> = ArrayVec::new();
        for (table, corners) in sea.0.iter().take(MAX_PARTITIONS) {
            let mut curve = Vec::new();
            self.tables[*table].curve_at(corners, cell, quantity, &mut curve);
            curves.push(curve);
        }
        let parts: ArrayVec<Part, MAX_PARTITIONS> = sea
            .0
            .iter()
            .zip(&curves)
            .map(|((table, corners), factor)| Part {
                curve: Curve { squares: self.tables[*table].squares(), factor },
                square: corners.square,
            })
            .collect();
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
            let sea = self.met(&sea, heading);
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
                let factor = self.factor(&self.met(sea, heading), heading, column);
                speeds.push(factor * self.flat_kn(heading, column));
            }
        }
        Ok(speeds)
    }
}

/// How many of an atlas's headings, those of starboard tack first, are computed.
pub(super) fn computed(headings: &[(Tack, f64)], both_sides: bool) -> usize {
    if both_sides { headings.len() } else { headings.len() / 2 }
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
fn scaled<const N: usize>(stages: [f64; N], factor: f64) -> [f64; N] {
    let worst = (0..N).min_by(|a, b| stages[*a].total_cmp(&stages[*b])).unwrap_or(0);
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

/// Cycles of several motions together, from the acceleration and the cycles of each: variances of motion and of velocity add, and
/// those of a narrow motion are its acceleration's over the fourth and the second power of its frequency.
fn cycles_together(motions: impl Iterator<Item = (f64, f64)>) -> f64 {
    let moments = |(acceleration, cycles): (f64, f64)| {
        let velocity = (acceleration / cycles).powi(2);
        [velocity, velocity / (cycles * cycles)]
    };
    let moving = motions.filter(|(_, cycles)| *cycles > 0.0).map(moments);
    let [velocity, motion] = moving.fold([0.0; 2], |sum, own| [sum[0] + own[0], sum[1] + own[1]]);
    if motion > 0.0 { (velocity / motion).sqrt() } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: 1/100² + 1/200² over 1/100⁴ + 1/200⁴ is 108.47 squared; one motion keeps its own.
    #[test]
    fn cycles_of_two_motions_lie_near_the_slower() {
        let together = cycles_together([(1.0, 100.0), (1.0, 200.0), (0.0, 0.0)].into_iter());
        assert!((together - 108.47).abs() < 0.01, "{together}");
        assert!((cycles_together([(0.3, 700.0)].into_iter()) - 700.0).abs() < 1e-9);
        assert_eq!(cycles_together(std::iter::empty()), 0.0);
    }

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
