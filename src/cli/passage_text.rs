//! A passage as tables for reading.

use crate::cli::passage_words::fixed;
use crate::cli::print::{PLANNING_AID, plain_table};
use jiff::Timestamp;
use roughwater::base::Result;
use roughwater::base::units::NAUTICAL_MILE_M;
use roughwater::passage::gap_words::place;
use roughwater::passage::sailed_leg::{arrival, hours, legs, sea_hours, total_nm};
use roughwater::passage::{Passage, Setting};

/// One departure, leg by leg.
pub(super) fn one(setting: &Setting, passage: &Passage) -> Result<String> {
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
    let rows = legs(setting, passage)?;
    for (number, row) in rows.iter().enumerate() {
        let mut notes = row.regions.clone();
        let turns = [("beating", row.corrected.beating_hours), ("gybing", row.corrected.gybing_hours)];
        notes.extend(turns.iter().filter(|turn| turn.1 > 0.05).map(|(what, h)| format!("{what} {h:.1} h")));
        table.add_row([
            (number + 1).to_string(),
            place(row.leg.to()),
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
    Ok(text + PLANNING_AID + "\n")
}

/// A line a departure.
pub(super) fn several(setting: &Setting, passages: &[Passage]) -> Result<String> {
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
        let gaps: usize = legs(setting, passage)?.iter().map(|row| row.gaps.len()).sum();
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
    Ok(format!("{table}\n\n{:.1} nm. {PLANNING_AID}\n", total_nm(setting)))
}

fn minute(time: Option<Timestamp>) -> String {
    time.map(|time| time.strftime("%Y-%m-%d %H:%M").to_string()).unwrap_or_else(|| "not reached".to_owned())
}
