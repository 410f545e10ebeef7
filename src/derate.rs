//! Tally x boat x flat polar: the corrected polar of one region and window, and an account of every cell.

use crate::advisory::Advisory;
use crate::balance::{Added, Cell, Outcome, STAGE_NAMES, STAGES, SeaCurve, Tables};
use crate::error::Result;
use crate::flags::{Flag, Flags};
use crate::polar::{Lookup, Polar, Tacks};
use crate::tally::{BinSea, Tally};
use crate::units::{kn_to_m_s, m_s_to_kn};
use crate::wind_frame::WindFrameSea;
use crate::wind_match::{ColumnSeas, SeaChoice, SeaWind, column_seas};
use rayon::prelude::*;

/// Half-width of the model band: added resistance is uncertain by about this, as a logarithm.
///
/// Radiated energy and SNNM against measured peaks of slender hulls differ by 0.4 to 0.65 rms in the logarithm.
pub const BAND_LN: f64 = 0.5;
/// A stage that takes less than this is not a dominant one.
const NO_LOSS: f64 = 0.0005;

/// The tack sailed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tack {
    /// Wind over the starboard side.
    Starboard,
    /// Wind over the port side.
    Port,
}

impl Tack {
    /// Both, in the order of all outputs.
    pub const BOTH: [Tack; 2] = [Tack::Starboard, Tack::Port];

    /// The signed true wind angle of an unsigned one.
    pub fn signed(self, twa_deg: f64) -> f64 {
        match self {
            Tack::Starboard => twa_deg,
            Tack::Port => -twa_deg,
        }
    }

    /// The tack's name in files.
    pub fn name(self) -> &'static str {
        match self {
            Tack::Starboard => "starboard",
            Tack::Port => "port",
        }
    }
}

/// A boat, her tables and her polars.
#[derive(Debug, Clone)]
pub struct Performance {
    /// Boat and tables.
    pub tables: Tables,
    /// Speeds in flat water.
    pub flat: Polar,
    /// Speeds in flat water with the foils raised, if known.
    pub foils_up: Option<Polar>,
}

/// One cell of a corrected polar on one tack, averaged over the seas of its region and window.
#[derive(Debug, Clone, PartialEq)]
pub struct PolarCell {
    /// Tack sailed.
    pub tack: Tack,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, 0 to 180 degrees.
    pub twa_deg: f64,
    /// Speed in flat water, kn.
    pub flat_kn: f64,
    /// Speed in the sea: total distance over total time, kn.
    pub corrected_kn: f64,
    /// Speed exceeded in 90, 50 and 10 per cent of area and time, kn.
    pub percentiles_kn: [f64; 3],
    /// Factor of each stage; they multiply to `corrected_kn / flat_kn`. None where flat speed is zero.
    pub stages: Option<[f64; STAGES]>,
    /// Corrected over flat with the second method of added resistance.
    pub factor_second_method: Option<f64>,
    /// Corrected over flat at the slow and the fast end of the model band.
    pub factor_band: Option<[f64; 2]>,
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// Mean part of the time in flight.
    pub availability: f64,
    /// Means of the advisories.
    pub advisory: Advisory,
    /// Number of sea states that the cell was averaged over.
    pub sea_states: u64,
    /// All reservations that hold in some of the seas.
    pub flags: Flags,
}

impl Performance {
    /// The tacks and true wind angles of the flat polar, 0 to 180 degrees, in the order of all outputs.
    pub fn headings(&self) -> impl Iterator<Item = (Tack, f64)> {
        Tack::BOTH
            .into_iter()
            .flat_map(|tack| unsigned_twa_deg(&self.flat, tack).into_iter().map(move |twa| (tack, twa)))
    }

    /// The balance at one wind, for a flat speed that the polar has there.
    ///
    /// # Errors
    /// When the boat file lacks what a balance needs.
    pub fn cell(&self, tws_kn: f64, signed_twa_deg: f64, flat_kn: f64) -> Result<Cell<'_>> {
        let up =
            self.foils_up.as_ref().and_then(|polar| inside(polar, tws_kn, signed_twa_deg)).map(kn_to_m_s);
        Cell::new(&self.tables, kn_to_m_s(tws_kn), signed_twa_deg, kn_to_m_s(flat_kn), up)
    }
}

fn inside(polar: &Polar, tws_kn: f64, signed_twa_deg: f64) -> Option<f64> {
    match polar.speed_kn(tws_kn, signed_twa_deg) {
        Lookup::Inside(speed_kn) => Some(speed_kn),
        Lookup::Outside(_) => None,
    }
}

impl PolarCell {
    /// Corrected over flat speed; none where flat speed is zero.
    pub fn factor(&self) -> Option<f64> {
        (self.flat_kn > 0.0).then(|| self.corrected_kn / self.flat_kn)
    }

    /// The stage that takes most, if any takes something.
    pub fn dominant_stage(&self) -> Option<&'static str> {
        dominant(&self.stages?)
    }
}

/// The stage that takes most, if any takes a noticeable part.
pub fn dominant(stages: &[f64; STAGES]) -> Option<&'static str> {
    let worst = (0..STAGES).min_by(|a, b| stages[*a].total_cmp(&stages[*b]))?;
    (stages[worst] < 1.0 - NO_LOSS).then_some(STAGE_NAMES[worst])
}

/// Computes all cells of both tacks in the seas of a tally, tack by tack, angle by angle, wind by wind.
///
/// # Errors
/// When the boat file lacks what a balance needs.
pub fn derate(performance: &Performance, tally: &Tally, choice: SeaChoice) -> Result<Vec<PolarCell>> {
    let seas: Vec<BinSea> = tally.bin_seas().collect();
    cells(performance, &seas, choice, tally.flags | partly_covered(tally))
}

/// As [`derate`], for any list of seas with weights; every column sees all of them.
///
/// # Errors
/// As [`derate`].
pub fn derate_seas(
    performance: &Performance,
    seas: &[(WindFrameSea, f64)],
    flags: Flags,
) -> Result<Vec<PolarCell>> {
    let alone = |(sea, weight): &(WindFrameSea, f64)| BinSea {
        sea: sea.clone(),
        weight: *weight,
        count: 1,
        tws_bin: 0,
    };
    cells(performance, &seas.iter().map(alone).collect::<Vec<_>>(), SeaChoice::All, flags)
}

/// As [`derate`], for one heading alone: the cells of all wind speeds.
///
/// # Errors
/// As [`derate`].
pub fn heading(
    performance: &Performance,
    tally: &Tally,
    choice: SeaChoice,
    tack: Tack,
    twa_deg: f64,
) -> Result<Vec<PolarCell>> {
    let seas: Vec<BinSea> = tally.bin_seas().collect();
    let flags = tally.flags | partly_covered(tally);
    heading_cells(performance, &seas, &seen(performance, &seas, choice), tack, twa_deg, flags)
}

/// The seas that each column of the polar sees.
pub fn seen(performance: &Performance, seas: &[BinSea], choice: SeaChoice) -> Vec<ColumnSeas> {
    let winds: Vec<SeaWind> = seas
        .iter()
        .map(|bin| SeaWind {
            tws_kn: m_s_to_kn(bin.sea.tws_m_s),
            weight: bin.weight,
            count: bin.count,
            tws_bin: bin.tws_bin,
        })
        .collect();
    column_seas(choice, performance.flat.tws_kn(), &winds)
}

fn cells(
    performance: &Performance,
    seas: &[BinSea],
    choice: SeaChoice,
    flags: Flags,
) -> Result<Vec<PolarCell>> {
    let seen = seen(performance, seas, choice);
    let headings: Vec<(Tack, f64)> = performance.headings().collect();
    let cells: Vec<Vec<PolarCell>> = headings
        .into_par_iter()
        .map(|(tack, twa_deg)| heading_cells(performance, seas, &seen, tack, twa_deg, flags))
        .collect::<Result<_>>()?;
    Ok(cells.into_iter().flatten().collect())
}

/// The true wind angles a polar has on a tack, 0 to 180, ascending.
fn unsigned_twa_deg(polar: &Polar, tack: Tack) -> Vec<f64> {
    match (polar.tacks(), tack) {
        (Tacks::Symmetric, _) => polar.twa_deg().to_vec(),
        (Tacks::Signed, Tack::Starboard) => {
            polar.twa_deg().iter().copied().filter(|twa| *twa >= 0.0).collect()
        }
        (Tacks::Signed, Tack::Port) => {
            polar.twa_deg().iter().rev().map(|twa| -twa).filter(|twa| *twa >= 0.0).collect()
        }
    }
}

fn partly_covered(tally: &Tally) -> Flags {
    match tally.coverage.fraction() {
        Some(fraction) if fraction > 1.0 - 1e-9 => Flags::empty(),
        _ => Flag::PartlyCovered.into(),
    }
}

/// All wind speeds on one heading: each sea's responses are looked up once and serve every wind speed.
fn heading_cells(
    performance: &Performance,
    seas: &[BinSea],
    seen: &[ColumnSeas],
    tack: Tack,
    twa_deg: f64,
    flags: Flags,
) -> Result<Vec<PolarCell>> {
    let signed = tack.signed(twa_deg);
    let mut columns = performance
        .flat
        .tws_kn()
        .iter()
        .map(|&tws_kn| Column::new(performance, tws_kn, signed))
        .collect::<Result<Vec<_>>>()?;
    let mut curve = SeaCurve::new(&performance.tables);
    for (index, bin) in seas.iter().enumerate() {
        if seen.iter().all(|column| column.shares[index] == 0.0) {
            continue;
        }
        curve.set(&bin.sea, signed);
        for (column, seen) in columns.iter_mut().zip(seen).filter(|(_, seen)| seen.shares[index] > 0.0) {
            column.add(&performance.tables, &curve, bin.weight * seen.shares[index]);
            column.sea_states += bin.count;
        }
    }
    let fallback = |seen: &ColumnSeas| {
        if seen.fallback { Flags::only(Flag::WindMatchedFallback) } else { Flags::empty() }
    };
    Ok(columns
        .into_iter()
        .zip(seen)
        .map(|(column, seen)| column.finish(tack, twa_deg, flags | fallback(seen)))
        .collect())
}

/// One polar cell while the seas are added up.
struct Column<'t> {
    tws_kn: f64,
    flat_kn: f64,
    cell: Cell<'t>,
    weight: f64,
    slowness: [f64; STAGES + 1],
    second: f64,
    band: [f64; 2],
    speeds: Vec<(f64, f64)>,
    deck_water: f64,
    availability: f64,
    advisory: Advisory,
    sea_states: u64,
    flags: Flags,
}

impl<'t> Column<'t> {
    fn new(performance: &'t Performance, tws_kn: f64, signed_twa_deg: f64) -> Result<Self> {
        let flat_kn = inside(&performance.flat, tws_kn, signed_twa_deg).unwrap_or(0.0);
        let cell = performance.cell(tws_kn, signed_twa_deg, flat_kn)?;
        Ok(Self {
            tws_kn,
            flat_kn,
            cell,
            weight: 0.0,
            slowness: [0.0; STAGES + 1],
            second: 0.0,
            band: [0.0; 2],
            speeds: Vec::new(),
            deck_water: 0.0,
            availability: 0.0,
            advisory: Advisory::default(),
            sea_states: 0,
            flags: Flags::empty(),
        })
    }

    fn add(&mut self, tables: &Tables, sea: &SeaCurve, weight: f64) {
        let outcome = self.cell.solve(sea, Added::Used(1.0));
        let last = |added: Added| self.cell.solve(sea, added).speeds[STAGES];
        self.second += weight / last(Added::Second);
        self.band[0] += weight / last(Added::Used(BAND_LN.exp()));
        self.band[1] += weight / last(Added::Used((-BAND_LN).exp()));
        self.add_outcome(tables, sea, &outcome, weight);
    }

    fn add_outcome(&mut self, tables: &Tables, sea: &SeaCurve, outcome: &Outcome, weight: f64) {
        let speed = outcome.speeds[STAGES];
        self.weight += weight;
        for (sum, speed) in self.slowness.iter_mut().zip(outcome.speeds) {
            *sum += weight / speed;
        }
        self.speeds.push((speed, weight));
        self.deck_water += weight * outcome.deck_water_kg;
        self.availability += weight * outcome.availability;
        let advisory = Advisory::of(tables, &sea.at(speed), speed);
        self.advisory.slam_rate_per_h += weight * advisory.slam_rate_per_h;
        self.advisory.bow_acceleration_rms_g += weight * advisory.bow_acceleration_rms_g;
        if let Some(rate) = advisory.wetness_rate_per_h {
            *self.advisory.wetness_rate_per_h.get_or_insert(0.0) += weight * rate;
        }
        self.flags |= outcome.flags;
    }

    fn finish(mut self, tack: Tack, twa_deg: f64, flags: Flags) -> PolarCell {
        let mean_speeds = self.slowness.map(|sum| self.weight / sum);
        let sails = self.flat_kn > 0.0;
        let of_flat = |sum: f64| self.weight / sum / mean_speeds[0];
        PolarCell {
            tack,
            tws_kn: self.tws_kn,
            twa_deg,
            flat_kn: self.flat_kn,
            corrected_kn: if sails { m_s_to_kn(mean_speeds[STAGES]) } else { 0.0 },
            percentiles_kn: percentiles(&mut self.speeds, self.weight).map(m_s_to_kn),
            stages: sails.then(|| stage_factors(&mean_speeds)),
            factor_second_method: sails.then(|| of_flat(self.second)),
            factor_band: sails.then(|| self.band.map(of_flat)),
            deck_water_kg: self.deck_water / self.weight,
            availability: self.availability / self.weight,
            advisory: Advisory {
                slam_rate_per_h: self.advisory.slam_rate_per_h / self.weight,
                wetness_rate_per_h: self.advisory.wetness_rate_per_h.map(|sum| sum / self.weight),
                bow_acceleration_rms_g: self.advisory.bow_acceleration_rms_g / self.weight,
            },
            sea_states: self.sea_states,
            flags: if sails { flags | self.flags } else { flags },
        }
    }
}

/// Ratios of the mean speeds of neighbouring stages. Once she makes no way, later stages have nothing left to take.
pub(crate) fn stage_factors(mean_speeds: &[f64; STAGES + 1]) -> [f64; STAGES] {
    std::array::from_fn(|stage| match (mean_speeds[stage], mean_speeds[stage + 1]) {
        (before, after) if before > 0.0 => after / before,
        _ => 1.0,
    })
}

/// The speeds below which 10, 50 and 90 per cent of the weight lie.
fn percentiles(speeds: &mut [(f64, f64)], weight: f64) -> [f64; 3] {
    speeds.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    [0.1, 0.5, 0.9].map(|part| {
        let mut below = 0.0;
        for (speed, w) in speeds.iter() {
            below += w;
            if below >= part * weight * (1.0 - 1e-12) {
                return *speed;
            }
        }
        speeds.last().map_or(0.0, |(speed, _)| *speed)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: of weights 1, 2, 1 on 5, 6, 7 the tenth lies in the 5, the half and not the nine tenths in the 6.
    #[test]
    fn percentiles_follow_the_weights() {
        let mut speeds = [(7.0, 1.0), (5.0, 1.0), (6.0, 2.0)];
        assert_eq!(percentiles(&mut speeds, 4.0), [5.0, 6.0, 7.0]);
    }

    #[test]
    fn stages_multiply_to_the_factor_even_where_the_boat_stops() {
        let product = |speeds: [f64; 6]| stage_factors(&speeds).iter().product::<f64>();
        assert!((product([10.0, 9.0, 8.5, 8.4, 8.0, 7.0]) - 0.7).abs() < 1e-12);
        assert_eq!(product([10.0, 9.0, 0.0, 0.0, 0.0, 0.0]), 0.0);
    }
}
