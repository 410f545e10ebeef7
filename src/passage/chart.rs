//! Corrected polars by region and window, held ready for looking up.

use crate::base::Window;
use crate::base::{Error, Result};
use crate::polar::{Polar, TackChoice};
use crate::result::IndexEntry;
use crate::result::names;
use crate::result::{AuditFilter, audit};
use crate::result::{Index, IndexedRegion};
use geo::Point;
use jiff::Timestamp;
use std::collections::BTreeMap;
use std::path::Path;

/// The regions of a result with a polar for each window.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    regions: Vec<(IndexedRegion, Vec<Polar>)>,
}

/// What serves a place and a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PolarServing {
    /// A window of a region, by their places in the chart.
    Corrected {
        region: usize,
        /// The window among its windows.
        window: usize,
    },
    /// The place lies in no region.
    OutsideRegions,
    /// No window of this region, the first that holds the place, holds the time.
    OutsideWindows { region: usize },
}

impl Chart {
    /// From regions and, for each of their entries, a polar.
    pub fn new(regions: Vec<(IndexedRegion, Vec<Polar>)>) -> Self {
        Self { regions }
    }

    /// Reads the polar files that a result's index names.
    ///
    /// # Errors
    /// No index, a polar that cannot be read, polars that hold one tack alone.
    pub fn of_polars(result: &Path) -> Result<Self> {
        let index = Index::read(result)?;
        let read = |entry: &IndexEntry| {
            let path = index.path(entry);
            if matches!(entry.tacks, TackChoice::Starboard | TackChoice::Port) {
                return Err(Error::new(
                    "the result's polars hold one tack alone, and a passage may need both",
                )
                .file(&path)
                .found("polars of one tack")
                .expected("polars of the tacks \"mean\", \"slower\" or \"signed\"")
                .remedy("add --by-tack, which takes both tacks from the audit"));
            }
            Polar::read(&path)
        };
        let region = |region: &IndexedRegion| {
            let polars = region.polars.iter().map(read).collect::<Result<Vec<_>>>()?;
            Ok((region.clone(), polars))
        };
        index.regions().iter().map(region).collect::<Result<_>>().map(Self::new)
    }

    /// Takes the cells of both tacks from a result's audit, whatever its polar files hold; to four decimals of a knot.
    ///
    /// # Errors
    /// No index or audit; an audit that lacks cells.
    pub fn of_audit(result: &Path) -> Result<Self> {
        let index = Index::read(result)?;
        let audit = audit::read(result, &AuditFilter::default())?;
        let mut parts: BTreeMap<(String, Window), Vec<AuditCell>> = BTreeMap::new();
        for row in &audit.rows {
            let sign = if row.tack() == "port" { -1.0 } else { 1.0 };
            // head to wind stands once
            if row.twa_deg > 0.0 || sign > 0.0 {
                let cell =
                    AuditCell { twa_deg: sign * row.twa_deg, tws_kn: row.tws_kn, speed_kn: row.corrected_kn };
                parts.entry((row.region().to_owned(), row.window)).or_default().push(cell);
            }
        }
        let region = |region: &IndexedRegion| {
            let polars = region.polars.iter().map(|entry| {
                let cells = parts.remove(&(region.name.clone(), entry.window)).unwrap_or_default();
                signed(cells).map_err(|error| {
                    error
                        .file(&result.join(names::AUDIT))
                        .at(format!("region \"{}\", window from {}", region.name, entry.window.start))
                })
            });
            Ok((region.clone(), polars.collect::<Result<Vec<_>>>()?))
        };
        index.regions().iter().map(region).collect::<Result<_>>().map(Self::new)
    }

    /// What serves a place and a time: where regions overlap or meet, the first in the index that has a window then.
    pub fn serving(&self, place: Point, time: Timestamp) -> PolarServing {
        let mut held = None;
        for (number, (region, _)) in self.regions.iter().enumerate() {
            if !region.holds(place.y(), place.x()) {
                continue;
            }
            let now = |entry: &IndexEntry| entry.window.holds(time);
            if let Some(window) = region.polars.iter().position(now) {
                return PolarServing::Corrected { region: number, window };
            }
            held = held.or(Some(number));
        }
        held.map_or(PolarServing::OutsideRegions, |region| PolarServing::OutsideWindows { region })
    }

    /// The polar that serves; none where nothing does.
    pub fn polar(&self, serving: PolarServing) -> Option<&Polar> {
        let PolarServing::Corrected { region, window } = serving else { return None };
        self.regions.get(region)?.1.get(window)
    }

    /// The name of the region that serves or would, if its windows reached so far.
    pub fn region_name(&self, serving: PolarServing) -> Option<&str> {
        match serving {
            PolarServing::Corrected { region, .. } | PolarServing::OutsideWindows { region } => {
                self.regions.get(region).map(|(region, _)| region.name.as_str())
            }
            PolarServing::OutsideRegions => None,
        }
    }
}

#[derive(Debug, Clone, Copy)]
struct AuditCell {
    twa_deg: f64,
    tws_kn: f64,
    speed_kn: f64,
}

/// The table of both tacks: the cells in order fill it exactly, or its shape is refused.
fn signed(mut cells: Vec<AuditCell>) -> Result<Polar> {
    cells.sort_by(|a, b| a.twa_deg.total_cmp(&b.twa_deg).then(a.tws_kn.total_cmp(&b.tws_kn)));
    let axis = |value: fn(&AuditCell) -> f64| {
        let mut values: Vec<f64> = cells.iter().map(value).collect();
        values.sort_by(f64::total_cmp);
        values.dedup();
        values
    };
    let (twa_deg, tws_kn) = (axis(|cell| cell.twa_deg), axis(|cell| cell.tws_kn));
    Polar::new(tws_kn, twa_deg, cells.iter().map(|cell| cell.speed_kn).collect())
        .map_err(|error| error.remedy("make the result again with derate"))
}
