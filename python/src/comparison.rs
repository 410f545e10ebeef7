//! Two boats or configurations in the same seas.

use crate::arrow_table::Table;
use crate::error::raised;
use crate::names::{named, sides};
use crate::work;
use pyo3::prelude::*;
use roughwater::balance::STAGE_NAMES;
use roughwater::base::{Error, Result};
use roughwater::derate::Pair;
use roughwater::derate::compare::Side;
use roughwater::files::HeldColumn;
use roughwater::run::{ComparedBoat, ComparedSeas, ComparisonQuestion, InTimeQuestion};
use roughwater::sea::PartitionKind;
use roughwater::simulate::PairedFigure;
use std::path::PathBuf;

/// The cells that both polars have, with the columns of the command's CSV.
#[pyfunction]
#[expect(clippy::too_many_arguments, reason = "those of the command")]
pub(crate) fn compare(
    py: Python<'_>,
    a: PathBuf,
    b: PathBuf,
    polar: Option<PathBuf>,
    polar_b: Option<PathBuf>,
    without_foil_a: Vec<String>,
    without_foil_b: Vec<String>,
    job: Option<PathBuf>,
    region: Option<String>,
    hs_m: Option<f64>,
    tp_s: Option<f64>,
    off_wind_deg: f64,
    kind: &str,
    tws_kn: Option<f64>,
) -> PyResult<Table> {
    let asked = || {
        let kind = named("kind", kind, &PartitionKind::ALL, PartitionKind::name)?;
        let boat = |file, polar, name: &str, lost: &[String]| -> Result<ComparedBoat> {
            Ok(ComparedBoat { file, polar, without_foil: sides(name, lost)? })
        };
        Ok(ComparisonQuestion {
            a: boat(a, polar, "without_foil_a", &without_foil_a)?,
            b: boat(b, polar_b, "without_foil_b", &without_foil_b)?,
            seas: seas(job, region, hs_m.zip(tp_s), hs_m.or(tp_s).is_some(), kind, off_wind_deg)?,
            tws_kn,
        })
    };
    let question = asked().map_err(|error| raised(py, &error))?;
    let pairs = work::answering(py, move || question.made_ready()?.pairs())?;
    Table::new(columns(&pairs))
}

/// Both boats figure by figure, with the columns of the command's CSV.
#[pyfunction]
#[expect(clippy::too_many_arguments, reason = "those of the command")]
pub(crate) fn compare_in_time(
    py: Python<'_>,
    a: PathBuf,
    b: PathBuf,
    polar: PathBuf,
    polar_b: Option<PathBuf>,
    without_foil_a: Vec<String>,
    without_foil_b: Vec<String>,
    tws_kn: f64,
    twa_deg: f64,
    hs_m: f64,
    tp_s: f64,
    off_wind_deg: f64,
    kind: &str,
    duration_s: f64,
    dt_s: f64,
    seed: u64,
    seeds: u64,
) -> PyResult<Table> {
    let asked = || {
        let boat = |file, polar, name: &str, lost: &[String]| -> Result<ComparedBoat> {
            Ok(ComparedBoat { file, polar, without_foil: sides(name, lost)? })
        };
        Ok(InTimeQuestion {
            a: boat(a, Some(polar), "without_foil_a", &without_foil_a)?,
            b: boat(b, polar_b, "without_foil_b", &without_foil_b)?,
            kind: named("kind", kind, &PartitionKind::ALL, PartitionKind::name)?,
            hs_m,
            tp_s,
            off_wind_deg,
            tws_kn,
            twa_deg,
            duration_s,
            dt_s,
            seed,
            seeds,
        })
    };
    let question = asked().map_err(|error| raised(py, &error))?;
    let figures = work::answering(py, move || Ok(question.answer()?.both.figures))?;
    Table::new(figure_columns(&figures))
}

fn figure_columns(figures: &[PairedFigure]) -> Vec<(String, HeldColumn)> {
    let real = |of: fn(&PairedFigure) -> Option<f64>| HeldColumn::Real(figures.iter().map(of).collect());
    let names = figures.iter().map(|figure| Some(figure.quantity.to_owned())).collect();
    let stand_out = figures.iter().map(|figure| Some(figure.stands_out)).collect();
    [
        ("quantity", HeldColumn::Text(names)),
        ("a", real(|figure| figure.a)),
        ("b", real(|figure| figure.b)),
        ("difference", real(|figure| figure.difference)),
        ("difference_se", real(|figure| figure.difference_se)),
        ("chance", real(|figure| figure.chance)),
        ("stands_out", HeldColumn::Truth(stand_out)),
    ]
    .map(|(name, column)| (name.to_owned(), column))
    .into()
}

fn seas(
    job: Option<PathBuf>,
    region: Option<String>,
    sea: Option<(f64, f64)>,
    any: bool,
    kind: PartitionKind,
    off_wind_deg: f64,
) -> Result<ComparedSeas> {
    match (job, sea) {
        (Some(job), None) if !any => Ok(ComparedSeas::OfJob { job, region }),
        (None, Some((hs_m, tp_s))) if region.is_none() => {
            Ok(ComparedSeas::One { kind, hs_m, tp_s, off_wind_deg })
        }
        (None, None) if region.is_none() => {
            Err(Error::new("no sea is given").remedy("give hs_m and tp_s, or job"))
        }
        _ => Err(Error::new("the seas are not told in one way")
            .expected("hs_m and tp_s of one sea, or a job and, if wanted, its region")
            .remedy("give one of both")),
    }
}

fn columns(pairs: &[Pair]) -> Vec<(String, HeldColumn)> {
    let real = |of: &dyn Fn(&Pair) -> Option<f64>| HeldColumn::Real(pairs.iter().map(of).collect());
    let mut columns = vec![
        ("tack".to_owned(), text(pairs, |pair| pair.tack.name())),
        ("tws_kn".to_owned(), real(&|pair| Some(pair.tws_kn))),
        ("twa_deg".to_owned(), real(&|pair| Some(pair.twa_deg))),
    ];
    columns.extend(of_boat(pairs, "a", |pair| &pair.a));
    columns.extend(of_boat(pairs, "b", |pair| &pair.b));
    columns.push(("difference_kn".to_owned(), real(&|pair| Some(pair.difference_kn))));
    columns
}

fn text(pairs: &[Pair], of: impl Fn(&Pair) -> &str) -> HeldColumn {
    let field = |pair| Some(of(pair)).filter(|field| !field.is_empty()).map(str::to_owned);
    HeldColumn::Text(pairs.iter().map(field).collect())
}

fn of_boat(pairs: &[Pair], boat: &str, side: fn(&Pair) -> &Side) -> Vec<(String, HeldColumn)> {
    let name = |name: &str| format!("{boat}_{name}");
    let real = |column: &str, of: &dyn Fn(&Side) -> Option<f64>| {
        (name(column), HeldColumn::Real(pairs.iter().map(|pair| of(side(pair))).collect()))
    };
    let mut columns = vec![
        real("flat_kn", &|side| Some(side.flat_kn)),
        real("corrected_kn", &|side| Some(side.corrected_kn)),
        real("factor", &|side| side.factor),
    ];
    for (place, stage) in STAGE_NAMES.iter().enumerate() {
        columns.push(real(&format!("stage_{stage}"), &|side| side.stages.map(|stages| stages[place])));
    }
    columns.push((name("dominant_stage"), text(pairs, |pair| side(pair).dominant_stage.unwrap_or("none"))));
    columns.extend([
        real("deck_water_kg", &|side| Some(side.deck_water_kg)),
        real("availability", &|side| Some(side.availability)),
        real("slam_rate_per_h", &|side| Some(side.advisory.slam_rate_per_h)),
        real("wetness_rate_per_h", &|side| side.advisory.wetness_rate_per_h),
        real("bow_acceleration_rms_g", &|side| Some(side.advisory.bow_acceleration_rms_g)),
    ]);
    columns.push((name("flags"), text(pairs, |pair| &side(pair).flags)));
    columns
}
