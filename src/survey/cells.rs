//! Each forecast cell within a region on its own: what its sea takes from the polar at its own wind.
//!
//! Every cell is solved on every angle of the polar, on both tacks, at the wind it has; nothing is binned.

use crate::balance::{Added, STAGES, SeaCurve};
use crate::base::Result;
use crate::base::Window;
use crate::base::bearing::wrap360;
use crate::base::units::m_s_to_kn;
use crate::base::{Flag, Flags};
use crate::derate::{Performance, Tack, dominant, stage_factors};
use crate::forecast::{CellSea, Forecast, SeaGrid};
use crate::forecast::{Grid, Spans};
use crate::hydro::wind_frame::WindFrameSea;
use crate::polar::Lookup;
use crate::region::Region;
use crate::sea::SeaState;
use crate::survey::tallies::RegionCells;
use jiff::Timestamp;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Cells solved between two calls of the sink: bounds what is held, and keeps all threads at work.
const CHUNK: usize = 4096;

/// One forecast cell at one time.
#[derive(Debug, Clone, PartialEq)]
pub struct CellRow<'r> {
    /// The region's name.
    pub region: &'r str,
    /// When its sea is valid.
    pub valid: Timestamp,
    /// The ensemble member, where there are several.
    pub member: Option<u32>,
    /// Latitude of the grid point, degrees.
    pub lat_deg: f64,
    /// Longitude of the grid point, degrees within [-180, 180).
    pub lon_deg: f64,
    /// Area of the cell within the region, m².
    pub area_m2: f64,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// Where the wind comes from, degrees true.
    pub wind_from_deg: f64,
    /// The whole sea.
    pub whole: WholeSea,
    /// What it takes; none where the flat polar has no speed above zero at this wind.
    pub factors: Option<CellFactors>,
    /// Reservations that hold for some of the angles.
    pub flags: Flags,
}

/// All wave systems of a sea together, weighted by energy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WholeSea {
    /// Significant height, m.
    pub hs_m: f64,
    /// Mean peak period, s; none in a flat sea.
    pub peak_period_s: Option<f64>,
    /// Mean direction the waves come from, degrees true; none in a flat sea.
    pub from_deg: Option<f64>,
}

/// Factors over the polar's angles of both tacks, each counted alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellFactors {
    /// Mean of corrected over flat speed.
    pub mean: f64,
    /// The least.
    pub worst: f64,
    /// The tack of the least.
    pub worst_tack: Tack,
    /// The true wind angle of the least, 0 to 180 degrees.
    pub worst_twa_deg: f64,
    /// The stage that takes most on average over the angles, if any takes a noticeable part.
    pub dominant_stage: Option<&'static str>,
    /// Share of the angles at which the sea stops her.
    pub stopped_share: f64,
    /// Mean of flat less corrected speed, kn.
    pub mean_lost_kn: f64,
}

/// A region and when it is accounted for.
#[derive(Debug, Clone, PartialEq)]
pub struct AuditedRegion<'r> {
    pub region: &'r Region,
    /// The windows that its steps lie in.
    pub windows: Vec<Window>,
}

impl AuditedRegion<'_> {
    fn holds(&self, time: Timestamp) -> bool {
        self.windows.iter().any(|window| window.holds(time))
    }
}

/// Solves every usable cell of a forecast within regions and their windows, step by step, region by region, in the grid's
/// order; one step is in memory at a time, and of the regions those that hold it. The sink is told the steps done and
/// given rows as they come, in the same order and with the same values for any number of threads.
///
/// # Errors
/// Fields that cannot be read; a boat file that lacks what a balance needs; what the sink reports.
pub fn audit_cells<'r>(
    performance: &Performance,
    forecast: &Forecast,
    regions: &[AuditedRegion<'r>],
    sink: &mut dyn FnMut(usize, Vec<CellRow<'r>>) -> Result<()>,
) -> Result<()> {
    let boat_flags = performance.balances()?.boat_flags;
    let mut areas = Areas { grid: None, of_regions: BTreeMap::new() };
    for step in 0..forecast.steps().len() {
        let now = &forecast.steps()[step];
        let held = regions.iter().enumerate().filter(|(_, region)| region.holds(now.valid));
        let held = areas.of(held.map(|(index, region)| (index, region.region)), &now.grid);
        let points =
            Spans::of(held.values().flat_map(|(_, cells)| cells.cells.iter().map(|(index, _)| *index)));
        let sea = forecast.read_step_at(step, &points)?;
        for (region, cells) in held.values() {
            for chunk in cells.cells.chunks(CHUNK) {
                let mut rows = rows(performance, &region.name, &sea, chunk)?;
                rows.iter_mut().for_each(|row| row.flags -= boat_flags);
                sink(step, rows)?;
            }
        }
    }
    Ok(())
}

/// The cells of the regions that hold a step, kept while they do.
struct Areas<'r> {
    grid: Option<Arc<Grid>>,
    of_regions: BTreeMap<usize, (&'r Region, RegionCells)>,
}

impl<'r> Areas<'r> {
    /// Regions by index with their cells on a grid.
    fn of(
        &mut self,
        regions: impl Iterator<Item = (usize, &'r Region)>,
        grid: &Arc<Grid>,
    ) -> &BTreeMap<usize, (&'r Region, RegionCells)> {
        if self.grid.as_ref().is_none_or(|known| **known != **grid) {
            self.grid = Some(grid.clone());
            self.of_regions.clear();
        }
        let wanted: BTreeMap<usize, &Region> = regions.collect();
        self.of_regions.retain(|index, _| wanted.contains_key(index));
        let lacking = wanted.into_par_iter().filter(|(index, _)| !self.of_regions.contains_key(index));
        let found: Vec<_> =
            lacking.map(|(index, region)| (index, (region, RegionCells::new(region, grid)))).collect();
        self.of_regions.extend(found);
        &self.of_regions
    }
}

fn rows<'r>(
    performance: &Performance,
    region: &'r str,
    sea: &SeaGrid,
    cells: &[(usize, f64)],
) -> Result<Vec<CellRow<'r>>> {
    let solved = cells.par_iter().map_init(
        || SeaCurve::new(&performance.tables),
        |curve, &(index, area_m2)| {
            let (CellSea::Sea(state), Some((lat_deg, lon_deg))) = (sea.cell(index), sea.grid.centre(index))
            else {
                return Ok(None);
            };
            let in_wind_frame = WindFrameSea::of(&state);
            let whole = WholeSea::of(&state, &in_wind_frame);
            let (factors, flags) = factors(performance, &in_wind_frame.in_depth(sea.depth_m(index)), curve)?;
            Ok(Some(CellRow {
                region,
                valid: sea.valid,
                member: sea.member,
                lat_deg,
                lon_deg,
                area_m2,
                tws_kn: m_s_to_kn(state.wind.tws_m_s),
                wind_from_deg: state.wind.from.deg(),
                whole,
                factors,
                flags,
            }))
        },
    );
    solved.filter_map(Result::transpose).collect()
}

impl WholeSea {
    fn of(state: &SeaState, sea: &WindFrameSea) -> Self {
        let energy: f64 = sea.systems.iter().map(|system| system.hs2_m2).sum();
        if energy <= 0.0 {
            return Self { hs_m: 0.0, peak_period_s: None, from_deg: None };
        }
        let period: f64 = sea.systems.iter().map(|system| system.hs2_m2 * system.tp_s).sum();
        let (sin, cos) = sea.systems.iter().fold((0.0, 0.0), |(sin, cos), system| {
            let (s, c) = system.off_wind_deg.to_radians().sin_cos();
            (sin + system.hs2_m2 * s, cos + system.hs2_m2 * c)
        });
        Self {
            hs_m: energy.sqrt(),
            peak_period_s: Some(period / energy),
            from_deg: Some(wrap360(state.wind.from.deg() + sin.atan2(cos).to_degrees())),
        }
    }
}

/// The factors of one sea at its own wind, and the reservations that come with them.
///
/// # Errors
/// When the boat file lacks what a balance needs.
pub fn factors(
    performance: &Performance,
    sea: &WindFrameSea,
    curve: &mut SeaCurve,
) -> Result<(Option<CellFactors>, Flags)> {
    let tws_kn = m_s_to_kn(sea.tws_m_s);
    let mut flags = sea.flags;
    let mut sums = FactorSums::default();
    for (tack, twa_deg) in performance.headings() {
        let signed = tack.signed(twa_deg);
        let flat_kn = match performance.flat.speed_kn(tws_kn, signed) {
            Lookup::Inside(flat_kn) => flat_kn,
            Lookup::Outside(_) => {
                flags |= Flag::OutsidePolar;
                continue;
            }
        };
        if flat_kn > 0.0 {
            let cell = performance.cell(tws_kn, signed, flat_kn)?;
            curve.set(sea, signed);
            let outcome = cell.solve(curve, Added::Used(1.0));
            flags |= outcome.flags;
            sums.add(tack, twa_deg, &outcome.speeds);
        }
    }
    Ok((sums.finish(), flags))
}

#[derive(Default)]
struct FactorSums {
    angles: f64,
    factor: f64,
    stages: [f64; STAGES],
    worst: Option<(f64, Tack, f64)>,
    stopped: f64,
    lost_m_s: f64,
}

impl FactorSums {
    fn add(&mut self, tack: Tack, twa_deg: f64, speeds: &[f64; STAGES + 1]) {
        let factor = speeds[STAGES] / speeds[0];
        self.angles += 1.0;
        self.stopped += if factor > 0.0 { 0.0 } else { 1.0 };
        self.factor += factor;
        self.lost_m_s += speeds[0] - speeds[STAGES];
        for (sum, stage) in self.stages.iter_mut().zip(stage_factors(speeds)) {
            *sum += stage;
        }
        if self.worst.is_none_or(|(worst, ..)| factor < worst) {
            self.worst = Some((factor, tack, twa_deg));
        }
    }

    fn finish(self) -> Option<CellFactors> {
        let (worst, worst_tack, worst_twa_deg) = self.worst?;
        Some(CellFactors {
            mean: self.factor / self.angles,
            worst,
            worst_tack,
            worst_twa_deg,
            dominant_stage: dominant(&self.stages.map(|sum| sum / self.angles)),
            stopped_share: self.stopped / self.angles,
            mean_lost_kn: m_s_to_kn(self.lost_m_s / self.angles),
        })
    }
}
