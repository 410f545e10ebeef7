//! Making the table: at each node of period, angle and speed she is held in seas drawn from several seeds, small and large.
//!
//! A period's part of the table is kept on disk as soon as it is made, so that a job that was ended goes on where it was.

use crate::base::{Error, Result};
use crate::boat::cache;
use crate::boat::large_waves::held::{Taken, taken};
use crate::boat::large_waves::table::{Beyond, LargeWaves, LargeWavesGrid, Nodes, SMALL, WIDTH, highest_m};
use crate::boat::model::BoatModel;
use crate::boat::whole_body::shortest_felt_rad_s;
use crate::hydro::body::Wave;
use crate::hydro::response::{ResponseTable, SeaResponses};
use crate::hydro::surge::RandomWaves;
use crate::hydro::wave_shape::WaveShape;
use crate::hydro::wind_frame::WaveSystem;
use crate::sea::PartitionKind;
use rayon::prelude::*;
use sha2::{Digest, Sha256};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Raised whenever the same boat comes to have another table.
const METHOD_VERSION: u32 = 4;
/// Waves of a drawing.
const WAVES: usize = 40;
/// The part of the highest sea whose spectrum's shape all heights of a node have.
const SHAPED_AT: f64 = 0.7;

/// Told of nodes done, of all; an error ends the work.
pub type Told<'a> = &'a (dyn Fn(usize, usize) -> Result<()> + Sync);

/// Refuses a boat whose hull cannot be simulated up to the deck.
///
/// # Errors
/// A hull that ends at the waterline; no `[deck]`.
pub fn reaches_the_deck(model: &BoatModel) -> Result<()> {
    if model.hull.decked().is_some() && model.boat.deck.is_some() {
        return Ok(());
    }
    Err(Error::new("her hull cannot be simulated up to the deck")
        .at(format!("boat `{}`", model.boat.name))
        .found("body = \"exact\" and a boat file without [deck] or without her hull above the waterline")
        .expected("[deck], and [topsides] or offsets up to the deck")
        .remedy("add them to the boat file, or take body = \"linear\""))
}

/// What large waves change for a boat up to a speed: from the cache, else made and kept.
///
/// # Errors
/// As [`reaches_the_deck`]; work that was ended.
pub fn large_waves(
    model: &BoatModel,
    responses: &ResponseTable,
    top_m_s: f64,
    told: Told,
) -> Result<LargeWaves> {
    let table = Table::new(LargeWavesGrid::WHOLE, model, responses, top_m_s)?;
    let nodes = table.nodes.grid.nodes() / table.nodes.grid.periods;
    table.whole(told, |period, make| {
        let name = format!("{}-{period}.large-waves", table.name(top_m_s));
        if let Some(part) = cache::kept(&name).and_then(|bytes| decoded(&bytes, nodes)) {
            return Ok(part);
        }
        let part = make()?;
        cache::keep(&name, &encoded(&part));
        Ok(part)
    })
}

/// What large waves change for a boat up to a speed on a grid of one's own: made anew, and not kept.
///
/// # Errors
/// As [`large_waves`].
pub fn large_waves_on(
    grid: LargeWavesGrid,
    model: &BoatModel,
    responses: &ResponseTable,
    top_m_s: f64,
    told: Told,
) -> Result<LargeWaves> {
    Table::new(grid, model, responses, top_m_s)?.whole(told, |_, make| make())
}

/// A period's part of a table.
type Part = Vec<[f64; WIDTH]>;

/// A table in the making.
struct Table<'b> {
    model: &'b BoatModel,
    responses: &'b ResponseTable,
    nodes: Nodes,
}

impl<'b> Table<'b> {
    fn new(
        grid: LargeWavesGrid,
        model: &'b BoatModel,
        responses: &'b ResponseTable,
        top_m_s: f64,
    ) -> Result<Self> {
        reaches_the_deck(model)?;
        Ok(Self { model, responses, nodes: Nodes::new(grid, top_m_s) })
    }

    /// All of it, each period's part by `of_period`, which may have it from elsewhere than from what makes it.
    fn whole(
        &self,
        told: Told,
        of_period: impl Fn(usize, &dyn Fn() -> Result<Part>) -> Result<Part>,
    ) -> Result<LargeWaves> {
        let LargeWavesGrid { periods, angles, speeds, .. } = self.nodes.grid;
        let done = AtomicUsize::new(0);
        let mut values = Vec::with_capacity(self.nodes.grid.nodes());
        for period in 0..periods {
            let tell = || told(done.fetch_add(1, Ordering::Relaxed) + 1, periods * angles * speeds);
            values.extend(of_period(period, &|| self.of_period(period, &tell))?);
            done.store((period + 1) * angles * speeds, Ordering::Relaxed);
        }
        let digest = hexadecimal(&Sha256::digest(encoded(&values)));
        Ok(LargeWaves { nodes: self.nodes.clone(), values, digest })
    }

    fn of_period(&self, period: usize, told: &(dyn Fn() -> Result<()> + Sync)) -> Result<Part> {
        let LargeWavesGrid { angles, speeds, .. } = self.nodes.grid;
        let made: Vec<Vec<[f64; WIDTH]>> = (0..angles * speeds)
            .into_par_iter()
            .map(|index| {
                let node = self.node([period, index / speeds, index % speeds])?;
                told()?;
                Ok(node.iter().map(|beyond| beyond.to_array()).collect())
            })
            .collect::<Result<_>>()?;
        Ok(made.into_iter().flatten().collect())
    }

    /// What is beyond small waves at a node, by height.
    fn node(&self, [period, angle, speed]: [usize; 3]) -> Result<Vec<Beyond>> {
        let Self { model, responses, nodes } = self;
        let (tp_s, mu_rad, speed_m_s) =
            (nodes.period_s(period), nodes.angle_rad(angle), nodes.speed_m_s(speed));
        let highest_m = highest_m(tp_s);
        let parts: Vec<f64> = nodes.parts().collect();
        let factors: Vec<f64> =
            [SMALL].into_iter().chain(nodes.parts()).map(|part| part / SHAPED_AT).collect();
        let shortest_rad_s = shortest_felt_rad_s(model.hydrostatics.lwl_m);
        let seeds: Vec<Vec<Taken>> = (0..nodes.grid.seeds)
            .map(|seed| {
                let drawn = drawn(SHAPED_AT * highest_m, tp_s, mu_rad, shortest_rad_s, seed);
                taken(model, &drawn, speed_m_s, &factors)
            })
            .collect::<Result<_>>()?;
        let freeboard_m = model.effective_freeboard_m(speed_m_s, model.foils.is_some());
        let mut beyond = Vec::with_capacity(parts.len());
        let mut below = Beyond::default();
        for (height, part) in parts.iter().enumerate() {
            let hs_m = part * highest_m;
            let at = |taken: &[Taken]| taken[height + 1];
            if seeds.iter().any(|taken| taken[0].lost || at(taken).lost) {
                below.lost_share = 1.0;
                beyond.push(below);
                continue;
            }
            let small = |taken: &[Taken]| taken[0].hull_n / (SMALL * highest_m).powi(2);
            let hull = |taken: &Vec<Taken>| at(taken).hull_n / (hs_m * hs_m) - small(taken);
            let mut sea = SeaResponses::new(responses);
            sea.add_system(PartitionKind::WindSea, hs_m * hs_m, tp_s, mu_rad);
            let weir = model.shipped_water(&sea.at(speed_m_s), speed_m_s, freeboard_m);
            let [hull_n, hull_error_n] = mean_and_error(seeds.iter().map(hull));
            let [deck_n, deck_error_n] =
                mean_and_error(seeds.iter().map(|taken| at(taken).deck_n - weir.force_n));
            let [deck_kg, deck_error_kg] =
                mean_and_error(seeds.iter().map(|taken| at(taken).deck_kg - weir.carried_kg));
            below = Beyond {
                hull_n,
                hull_error_n,
                deck_n,
                deck_error_n,
                deck_kg,
                deck_error_kg,
                lost_share: 0.0,
            };
            beyond.push(below);
        }
        Ok(beyond)
    }

    /// Digest of all that the table depends on.
    fn name(&self, top_m_s: f64) -> String {
        let mut digest = Sha256::new();
        digest.update(format!("{METHOD_VERSION} {WAVES} {:?}", self.nodes));
        digest.update(cache::name(self.model, top_m_s));
        hexadecimal(&digest.finalize())
    }
}

/// Waves of a wind sea whose mean angle to the course is given, up to the shortest that she feels.
fn drawn(hs_m: f64, tp_s: f64, mu_rad: f64, shortest_rad_s: f64, seed: u64) -> Vec<Wave> {
    let system = WaveSystem { kind: PartitionKind::WindSea, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg: 0.0 };
    let shape = WaveShape::of(system.kind, hs_m, tp_s);
    // waves from where the wind is, so that the wind's angle is that of the waves: pi less where they travel
    let twa_deg = 180.0 - mu_rad.to_degrees();
    let drawn = RandomWaves::draw_shape_up_to(&system, shape, WAVES, shortest_rad_s, seed);
    drawn
        .met_at(twa_deg)
        .map(|(wave, mu_rad)| Wave {
            amplitude_m: wave.amplitude_m,
            omega_rad_s: wave.omega,
            mu_rad,
            phase_rad: wave.phase,
        })
        .collect()
}

fn mean_and_error(values: impl Iterator<Item = f64> + Clone) -> [f64; 2] {
    let count = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / count;
    let square: f64 = values.map(|value| (value - mean).powi(2)).sum();
    [mean, (square / (count - 1.0) / count).sqrt()]
}

fn hexadecimal(digest: &[u8]) -> String {
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn encoded(values: &[[f64; WIDTH]]) -> Vec<u8> {
    values.as_flattened().iter().flat_map(|value| value.to_le_bytes()).collect()
}

fn decoded(bytes: &[u8], nodes: usize) -> Option<Vec<[f64; WIDTH]>> {
    let (numbers, rest) = bytes.as_chunks::<8>();
    let numbers: Vec<f64> = numbers.iter().map(|bytes| f64::from_le_bytes(*bytes)).collect();
    let (values, over) = numbers.as_chunks::<WIDTH>();
    (rest.is_empty() && over.is_empty() && values.len() == nodes).then(|| values.to_vec())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// By hand: of 1, 2 and 6 the mean is 3, the error sqrt((4 + 1 + 9)/2/3) = 1.52753.
    #[test]
    fn errors_by_hand() {
        let [mean, error] = mean_and_error([1.0, 2.0, 6.0].into_iter());
        assert_relative_eq!(mean, 3.0);
        assert_relative_eq!(error, 1.52753, max_relative = 1e-5);
    }

    /// Waves of a head sea run against her, those of a following sea with her; the height is that asked for.
    #[test]
    fn waves_come_from_where_they_should() {
        for (mu_rad, sign) in [(std::f64::consts::PI, -1.0), (0.0, 1.0)] {
            let waves = drawn(2.0, 7.0, mu_rad, 0.0, 1);
            let mean = waves.iter().map(|wave| wave.amplitude_m.powi(2) * wave.mu_rad.cos()).sum::<f64>();
            assert!(sign * mean > 0.0);
            let energy: f64 = waves.iter().map(|wave| wave.amplitude_m.powi(2) / 2.0).sum();
            assert_relative_eq!(4.0 * energy.sqrt(), 2.0, max_relative = 1e-6);
        }
    }

    #[test]
    fn what_is_kept_is_read() {
        let values = vec![[1.5; WIDTH], [-2.25; WIDTH]];
        assert_eq!(decoded(&encoded(&values), 2), Some(values.clone()));
        assert_eq!(decoded(&encoded(&values), 3), None);
    }
}
