//! The time along a track.

use crate::arrow_table::Table;
use crate::error::raised;
use crate::names::named;
use crate::times::{length, moment};
use crate::work;
use jiff::{Timestamp, Unit};
use pyo3::prelude::*;
use roughwater::base::Result;
use roughwater::base::units::NAUTICAL_MILE_M;
use roughwater::files::HeldColumn;
use roughwater::passage::sailed_leg::{arrival, legs, sea_hours, total_nm};
use roughwater::passage::{
    FileOverrides, LegKind, Passage, PassageQuestion, Sailed, SailedLeg, Setting, SpeedSource, Voyage,
};
use std::path::PathBuf;

/// A leg of a departure, with its number from 1.
type Row = (Timestamp, usize, SailedLeg);

/// The legs of all departures, and the departures, as tables; gaps.
#[pyfunction]
#[expect(clippy::too_many_arguments, reason = "those of the command")]
pub(crate) fn passage(
    py: Python<'_>,
    job_or_result: PathBuf,
    track: PathBuf,
    start: &str,
    start_every_s: Option<f64>,
    starts: Option<usize>,
    legs: &str,
    by_tack: bool,
    member: Option<u32>,
    polar: Option<PathBuf>,
    forecast: Vec<PathBuf>,
) -> PyResult<(Table, Table, Vec<String>)> {
    let asked = || {
        Ok(PassageQuestion {
            job_or_result,
            track,
            start: moment("start", start)?,
            every: start_every_s.map(|seconds| length("start_every", seconds)).transpose()?,
            starts,
            legs: named("legs", legs, &LegKind::ALL, LegKind::name)?,
            speeds: if by_tack { SpeedSource::Audit } else { SpeedSource::Polars },
            member,
            over: FileOverrides { polar, forecast },
        })
    };
    let question = asked().map_err(|error| raised(py, &error))?;
    let (rows, departures) = work::answering(py, move || {
        let (setting, passages) = question.answer()?;
        Ok((rows(&setting, &passages)?, departures(&setting, &passages)?))
    })?;
    let gaps = rows.iter().flat_map(|(start, number, leg)| {
        leg.gaps.iter().map(move |gap| format!("departure {start}, leg {number}: {gap}"))
    });
    let gaps = gaps.collect();
    Ok((Table::new(columns(&rows))?, Table::new(departures)?, gaps))
}

fn rows(setting: &Setting, passages: &[Passage]) -> Result<Vec<Row>> {
    let mut rows = Vec::new();
    for passage in passages {
        let own = legs(setting, passage)?.into_iter().enumerate();
        rows.extend(own.map(|(number, leg)| (passage.start, number + 1, leg)));
    }
    Ok(rows)
}

/// The columns of the command's CSV.
fn columns(rows: &[Row]) -> Vec<(String, HeldColumn)> {
    let real = |name: &str, of: &dyn Fn(&SailedLeg) -> Option<f64>| {
        (name.to_owned(), HeldColumn::Real(rows.iter().map(|(.., leg)| of(leg)).collect()))
    };
    let text = |name: &str, of: &dyn Fn(&SailedLeg) -> String| {
        let field = |(.., leg): &Row| Some(of(leg)).filter(|field| !field.is_empty());
        (name.to_owned(), HeldColumn::Text(rows.iter().map(field).collect()))
    };
    let time = |name: &str, of: &dyn Fn(&Row) -> Option<Timestamp>| {
        (name.to_owned(), HeldColumn::Time(rows.iter().map(of).collect()))
    };
    let number = rows.iter().map(|(_, number, _)| i64::try_from(*number).ok()).collect();
    let on = |name: &str, side: fn(&SailedLeg) -> &Sailed| {
        [
            real(&format!("{name}_nm"), &|leg| Some(side(leg).nm)),
            real(&format!("{name}_h"), &|leg| Some(side(leg).hours)),
            real(&format!("{name}_kn"), &|leg| side(leg).speed_kn),
            time(&format!("{name}_arrival"), &|(.., leg)| second(side(leg).arrival)),
        ]
    };
    let mut columns = vec![
        time("start", &|(start, ..)| Some(*start)),
        ("leg".to_owned(), HeldColumn::Count(number)),
        real("from_lat_deg", &|leg| Some(leg.leg.from().y())),
        real("from_lon_deg", &|leg| Some(leg.leg.from().x())),
        real("to_lat_deg", &|leg| Some(leg.leg.to().y())),
        real("to_lon_deg", &|leg| Some(leg.leg.to().x())),
        real("course_deg", &|leg| Some(leg.leg.first_course().deg())),
        real("distance_nm", &|leg| Some(leg.leg.length_m() / NAUTICAL_MILE_M)),
    ];
    columns.extend(on("flat", |leg| &leg.flat));
    columns.extend(on("corrected", |leg| &leg.corrected));
    columns.extend([
        real("cost_h", &|leg| leg.cost_hours()),
        real("flat_tws_kn", &|leg| leg.flat.tws_kn),
        real("corrected_tws_kn", &|leg| leg.corrected.tws_kn),
        real("beating_h", &|leg| Some(leg.corrected.beating_hours)),
        real("gybing_h", &|leg| Some(leg.corrected.gybing_hours)),
        text("regions", &|leg| leg.regions.join(";")),
        text("gaps", &|leg| leg.gaps.join("; ")),
        real("same_wind_cost_h", &|leg| leg.sea_hours),
    ]);
    columns
}

/// A row a departure, with the names of the command's JSON.
fn departures(setting: &Setting, passages: &[Passage]) -> Result<Vec<(String, HeldColumn)>> {
    let real = |name: &str, of: &dyn Fn(&Passage) -> Option<f64>| {
        (name.to_owned(), HeldColumn::Real(passages.iter().map(of).collect()))
    };
    let starts = passages.iter().map(|passage| Some(passage.start)).collect();
    let mut columns = vec![
        ("start".to_owned(), HeldColumn::Time(starts)),
        real("distance_nm", &|_| Some(total_nm(setting))),
    ];
    let sides: [(&str, fn(&Passage) -> &Voyage); 2] =
        [("flat", |passage| &passage.flat), ("corrected", |passage| &passage.corrected)];
    for (name, side) in sides {
        let arrivals = passages.iter().map(|passage| arrival(passage, side(passage)).map(second));
        columns.extend([
            real(&format!("{name}_nm"), &|passage| Some(side(passage).length_m() / NAUTICAL_MILE_M)),
            real(&format!("{name}_h"), &|passage| Some(side(passage).duration_s() / 3600.0)),
            (format!("{name}_arrival"), HeldColumn::Time(arrivals.collect::<Result<_>>()?)),
        ]);
    }
    columns.extend([
        real("cost_h", &|passage| passage.cost_s().map(|s| s / 3600.0)),
        real("same_wind_cost_h", &|passage| sea_hours(setting, passage)),
    ]);
    Ok(columns)
}

/// To the second, as the command tells times.
fn second(time: Option<Timestamp>) -> Option<Timestamp> {
    time.map(|time| time.round(Unit::Second).unwrap_or(time))
}
