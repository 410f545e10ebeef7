//! A passage for programs.

use crate::cli::passage_words::seconds;
use roughwater::base::Result;
use roughwater::base::units::NAUTICAL_MILE_M;
use roughwater::passage::sailed_leg::{arrival, legs, sea_hours, total_nm};
use roughwater::passage::{Passage, Sailed, Setting, Voyage};
use serde_json::{Value, json};

/// All departures for programs.
pub(super) fn departures(setting: &Setting, passages: &[Passage]) -> Result<Value> {
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
    let legs: Vec<Value> = legs(setting, passage)?
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
