//! A passage as tables, CSV and JSON.

use super::plain_table;
use jiff::Timestamp;
use roughwater::base::units::{NAUTICAL_MILE_M, m_s_to_kn};
use roughwater::base::{Error, Result};
use roughwater::passage::{Leg, Manner, Passage, PolarServing, Setting, Voyage, after, place_words};
use serde_json::{Value, json};

/// One leg on one set of polars.
struct Sailed {
    hours: f64,
    nm: f64,
    speed_kn: Option<f64>,
    tws_kn: Option<f64>,
    beating_hours: f64,
    gybing_hours: f64,
    arrival: Option<Timestamp>,
}

/// One leg on both.
struct Row {
    leg: Leg,
    flat: Sailed,
    corrected: Sailed,
    sea_hours: Option<f64>,
    regions: Vec<String>,
    gaps: Vec<String>,
}

impl Sailed {
    fn of(passage: &Passage, voyage: &Voyage, leg: usize) -> Result<Self> {
        let stretches = || voyage.leg(leg);
        // an empty sum is minus zero
        let seconds = stretches().map(|stretch| stretch.duration_s).sum::<f64>() + 0.0;
        let metres = stretches().map(|stretch| stretch.length_m).sum::<f64>() + 0.0;
        let of = |manner| {
            stretches()
                .filter(|stretch| stretch.manner == manner)
                .map(|stretch| stretch.duration_s)
                .fold(0.0, |sum, s| sum + s)
        };
        let tws = stretches().map(|stretch| stretch.tws_kn * stretch.duration_s).sum::<f64>();
        let end = stretches().last().map(|stretch| stretch.start_s + stretch.duration_s);
        let arrival =
            end.filter(|_| voyage.finished(leg)).map(|end| after(passage.start, end)).transpose()?;
        Ok(Self {
            hours: seconds / 3600.0,
            nm: metres / NAUTICAL_MILE_M,
            speed_kn: (seconds > 0.0).then(|| m_s_to_kn(metres / seconds)),
            tws_kn: (seconds > 0.0).then(|| tws / seconds),
            beating_hours: of(Manner::Beating) / 3600.0,
            gybing_hours: of(Manner::Gybing) / 3600.0,
            arrival,
        })
    }
}

impl Row {
    /// Hours that the sea costs; none where either boat does not finish the leg.
    fn cost_hours(&self) -> Option<f64> {
        let both = self.flat.arrival.is_some() && self.corrected.arrival.is_some();
        both.then(|| self.corrected.hours - self.flat.hours)
    }
}

fn rows(setting: &Setting, passage: &Passage) -> Result<Vec<Row>> {
    let row = |(number, leg): (usize, &Leg)| {
        let mut regions: Vec<String> = Vec::new();
        for stretch in passage.corrected.leg(number) {
            let serving = stretch.serving.filter(|serving| matches!(serving, PolarServing::Corrected { .. }));
            if let Some(name) = serving.and_then(|serving| setting.chart.region_name(serving))
                && !regions.iter().any(|known| known == name)
            {
                regions.push(name.to_owned());
            }
        }
        Ok(Row {
            leg: *leg,
            flat: Sailed::of(passage, &passage.flat, number)?,
            corrected: Sailed::of(passage, &passage.corrected, number)?,
            sea_hours: passage.sea_s(number).map(|s| s / 3600.0),
            regions,
            gaps: passage.gaps(setting, number)?,
        })
    };
    setting.legs.iter().enumerate().map(row).collect()
}

fn fixed(value: Option<f64>, decimals: usize) -> String {
    value.map(|value| format!("{value:.decimals$}")).unwrap_or_default()
}

fn minute(time: Option<Timestamp>) -> String {
    time.map(|time| time.strftime("%Y-%m-%d %H:%M").to_string()).unwrap_or_else(|| "not reached".to_owned())
}

fn total_nm(setting: &Setting) -> f64 {
    setting.legs.iter().map(Leg::length_m).sum::<f64>() / NAUTICAL_MILE_M
}

fn arrival(passage: &Passage, voyage: &Voyage) -> Result<Option<Timestamp>> {
    let arrives = voyage.stopped.is_none();
    arrives.then(|| after(passage.start, voyage.duration_s())).transpose()
}

/// Hours on the whole track; none where she does not arrive.
fn hours(voyage: &Voyage) -> Option<f64> {
    voyage.stopped.is_none().then(|| voyage.duration_s() / 3600.0)
}

/// What the sea takes on the whole track in the winds that are met, h.
fn sea_hours(setting: &Setting, passage: &Passage) -> Option<f64> {
    (0..setting.legs.len()).map(|leg| passage.sea_s(leg)).sum::<Option<f64>>().map(|s| s / 3600.0)
}

/// One departure, leg by leg.
pub(super) fn text(setting: &Setting, passage: &Passage) -> Result<String> {
    let mut table = plain_table([
        "leg",
        "to",
        "nm",
        "TWS kn",
        "flat kn",
        "in waves",
        "flat h",
        "in waves h",
        "later by h",
        "same wind h",
        "arrival (UTC)",
        "notes",
    ]);
    let rows = rows(setting, passage)?;
    for (number, row) in rows.iter().enumerate() {
        let mut notes = row.regions.clone();
        let turns = [("beating", row.corrected.beating_hours), ("gybing", row.corrected.gybing_hours)];
        notes.extend(turns.iter().filter(|turn| turn.1 > 0.05).map(|(what, h)| format!("{what} {h:.1} h")));
        table.add_row([
            (number + 1).to_string(),
            place_words(row.leg.to()),
            format!("{:.1}", row.leg.length_m() / NAUTICAL_MILE_M),
            fixed(row.corrected.tws_kn, 1),
            fixed(row.flat.speed_kn, 2),
            fixed(row.corrected.speed_kn, 2),
            format!("{:.2}", row.flat.hours),
            format!("{:.2}", row.corrected.hours),
            fixed(row.cost_hours(), 2),
            fixed(row.sea_hours, 2),
            minute(row.corrected.arrival),
            notes.join(", "),
        ]);
    }
    let mut text = format!("{table}\n\n");
    text += &format!("{:.1} nm from {}\n", total_nm(setting), minute(Some(passage.start)));
    for (what, voyage) in
        [("on the flat polar", &passage.flat), ("on the corrected polars", &passage.corrected)]
    {
        let end = match hours(voyage) {
            Some(hours) => format!("{hours:.2} h, arrival {}", minute(arrival(passage, voyage)?)),
            None => format!(
                "{:.1} nm in {:.2} h, then she stops",
                voyage.length_m() / NAUTICAL_MILE_M,
                voyage.duration_s() / 3600.0
            ),
        };
        text += &format!("{what}: {end}\n");
    }
    if let Some(cost_s) = passage.cost_s() {
        let share = 100.0 * cost_s / passage.flat.duration_s();
        text += &format!("she arrives {:.2} h later ({share:.1} %)", cost_s / 3600.0);
        if let Some(sea) = sea_hours(setting, passage) {
            text += &format!("; in the winds she meets the sea takes {sea:.2} h");
        }
        text += "\n";
    }
    for (number, row) in rows.iter().enumerate() {
        for gap in &row.gaps {
            text += &format!("gap: leg {}: {gap}\n", number + 1);
        }
    }
    Ok(text + "A planning aid: the skipper, official forecasts and the rules decide.\n")
}

/// A line a departure.
pub(super) fn departures_text(setting: &Setting, passages: &[Passage]) -> Result<String> {
    let mut table = plain_table([
        "start (UTC)",
        "flat h",
        "in waves h",
        "later by h",
        "same wind h",
        "arrival flat",
        "arrival in waves",
        "gaps",
    ]);
    for passage in passages {
        let gaps: usize = rows(setting, passage)?.iter().map(|row| row.gaps.len()).sum();
        table.add_row([
            minute(Some(passage.start)),
            fixed(hours(&passage.flat), 2),
            fixed(hours(&passage.corrected), 2),
            fixed(passage.cost_s().map(|s| s / 3600.0), 2),
            fixed(sea_hours(setting, passage), 2),
            minute(arrival(passage, &passage.flat)?),
            minute(arrival(passage, &passage.corrected)?),
            if gaps == 0 { String::new() } else { format!("{gaps}, see --start {}", passage.start) },
        ]);
    }
    Ok(format!(
        "{table}\n\n{:.1} nm. A planning aid: the skipper, official forecasts and the rules decide.\n",
        total_nm(setting)
    ))
}

const COLUMNS: [&str; 24] = [
    "start",
    "leg",
    "from_lat_deg",
    "from_lon_deg",
    "to_lat_deg",
    "to_lon_deg",
    "course_deg",
    "distance_nm",
    "flat_nm",
    "flat_h",
    "flat_kn",
    "flat_arrival",
    "corrected_nm",
    "corrected_h",
    "corrected_kn",
    "corrected_arrival",
    "cost_h",
    "flat_tws_kn",
    "corrected_tws_kn",
    "beating_h",
    "gybing_h",
    "regions",
    "gaps",
    "same_wind_cost_h",
];

/// A row for each departure and leg; `flat_nm` and `corrected_nm` tell what was sailed where a leg was not finished.
pub(super) fn csv(setting: &Setting, passages: &[Passage]) -> Result<String> {
    let failed = |error: String| Error::new("the passage cannot be written as CSV").found(error);
    let mut writer = ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(COLUMNS).map_err(|error| failed(error.to_string()))?;
    for passage in passages {
        for (number, row) in rows(setting, passage)?.iter().enumerate() {
            let time = |time: Option<Timestamp>| time.map(|time| seconds(time)).unwrap_or_default();
            writer
                .write_record([
                    passage.start.to_string(),
                    (number + 1).to_string(),
                    format!("{:.6}", row.leg.from().y()),
                    format!("{:.6}", row.leg.from().x()),
                    format!("{:.6}", row.leg.to().y()),
                    format!("{:.6}", row.leg.to().x()),
                    format!("{:.2}", row.leg.first_course().deg()),
                    format!("{:.4}", row.leg.length_m() / NAUTICAL_MILE_M),
                    format!("{:.4}", row.flat.nm),
                    format!("{:.5}", row.flat.hours),
                    fixed(row.flat.speed_kn, 4),
                    time(row.flat.arrival),
                    format!("{:.4}", row.corrected.nm),
                    format!("{:.5}", row.corrected.hours),
                    fixed(row.corrected.speed_kn, 4),
                    time(row.corrected.arrival),
                    fixed(row.cost_hours(), 5),
                    fixed(row.flat.tws_kn, 2),
                    fixed(row.corrected.tws_kn, 2),
                    format!("{:.4}", row.corrected.beating_hours),
                    format!("{:.4}", row.corrected.gybing_hours),
                    row.regions.join(";"),
                    row.gaps.join("; "),
                    fixed(row.sea_hours, 5),
                ])
                .map_err(|error| failed(error.to_string()))?;
        }
    }
    let bytes = writer.into_inner().map_err(|error| failed(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| failed(error.to_string()))
}

/// RFC 3339 UTC to the second.
fn seconds(time: Timestamp) -> String {
    time.round(jiff::Unit::Second).unwrap_or(time).to_string()
}

/// All departures for programs.
pub(super) fn json(setting: &Setting, passages: &[Passage]) -> Result<Value> {
    let departures =
        passages.iter().map(|passage| departure(setting, passage)).collect::<Result<Vec<_>>>()?;
    Ok(json!({ "distance_nm": total_nm(setting), "departures": departures }))
}

fn departure(setting: &Setting, passage: &Passage) -> Result<Value> {
    let whole = |voyage: &Voyage| -> Result<Value> {
        Ok(json!({
            "sailed_nm": voyage.length_m() / NAUTICAL_MILE_M,
            "sailed_h": voyage.duration_s() / 3600.0,
            "arrival": arrival(passage, voyage)?.map(seconds),
        }))
    };
    let of_leg = |sailed: &Sailed| {
        json!({
            "sailed_nm": sailed.nm,
            "sailed_h": sailed.hours,
            "speed_kn": sailed.speed_kn,
            "tws_kn": sailed.tws_kn,
            "beating_h": sailed.beating_hours,
            "gybing_h": sailed.gybing_hours,
            "arrival": sailed.arrival.map(seconds),
        })
    };
    let legs: Vec<Value> = rows(setting, passage)?
        .iter()
        .map(|row| {
            json!({
                "from_deg": [row.leg.from().y(), row.leg.from().x()],
                "to_deg": [row.leg.to().y(), row.leg.to().x()],
                "course_deg": row.leg.first_course().deg(),
                "distance_nm": row.leg.length_m() / NAUTICAL_MILE_M,
                "flat": of_leg(&row.flat),
                "corrected": of_leg(&row.corrected),
                "cost_h": row.cost_hours(),
                "same_wind_cost_h": row.sea_hours,
                "regions": row.regions,
                "gaps": row.gaps,
            })
        })
        .collect();
    Ok(json!({
        "start": passage.start.to_string(),
        "flat": whole(&passage.flat)?,
        "corrected": whole(&passage.corrected)?,
        "cost_h": passage.cost_s().map(|s| s / 3600.0),
        "same_wind_cost_h": sea_hours(setting, passage),
        "legs": legs,
    }))
}
