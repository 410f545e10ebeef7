//! A comparison of two boats as a table for reading and as rows of a CSV.

use crate::cli::print::{PLANNING_AID, plain_table};
use comfy_table::Table;
use roughwater::balance::{STAGE_NAMES, STAGES};
use roughwater::derate::compare::{Pair, Side};
use roughwater::derate::{Performance, Tack};

/// For reading.
pub(super) fn text(pairs: &[Pair], a: &Performance, b: &Performance) -> String {
    let mut table = plain_table([
        "tack",
        "TWS",
        "TWA",
        "flat A",
        "A kn",
        "A loses mostly by",
        "B kn",
        "B loses mostly by",
        "B-A kn",
        "deck kg A|B",
        "flying A|B",
        "slams/h A|B",
        "wet/h A|B",
        "bow rms g A|B",
    ]);
    let rows: Vec<(Tack, [String; 13])> = pairs.iter().map(|pair| (pair.tack, fields(pair))).collect();
    for (tack, own) in &rows {
        // equal rows of both tacks stand once
        let twin = rows.iter().position(|(other, fields)| other != tack && fields == own);
        let first = rows.iter().position(|(_, fields)| fields == own);
        let place = rows.iter().position(|row| std::ptr::eq(&row.1, own));
        match twin {
            Some(_) if first != place => {}
            Some(_) => add(&mut table, "both", own),
            None => add(&mut table, tack.name(), own),
        }
    }
    format!("A: {}\nB: {}\n\n{table}\n\n{PLANNING_AID}\n", a.tables.model.boat.name, b.tables.model.boat.name)
}

fn add(table: &mut Table, tack: &str, fields: &[String; 13]) {
    table.add_row(std::iter::once(tack.to_owned()).chain(fields.iter().cloned()));
}

/// A row without its tack.
fn fields(pair: &Pair) -> [String; 13] {
    let both = |value: fn(&Side) -> String| format!("{}|{}", value(&pair.a), value(&pair.b));
    let cause = |side: &Side| side.dominant_stage.unwrap_or("-").replace('_', " ");
    [
        pair.tws_kn.to_string(),
        pair.twa_deg.to_string(),
        format!("{:.2}", pair.a.flat_kn),
        format!("{:.2}", pair.a.corrected_kn),
        cause(&pair.a),
        format!("{:.2}", pair.b.corrected_kn),
        cause(&pair.b),
        format!("{:+.2}", pair.difference_kn),
        both(|side| format!("{:.0}", side.deck_water_kg)),
        both(|side| format!("{:.2}", side.availability)),
        both(|side| format!("{:.0}", side.advisory.slam_rate_per_h)),
        both(|side| side.advisory.wetness_rate_per_h.map_or("-".into(), |rate| format!("{rate:.0}"))),
        both(|side| format!("{:.2}", side.advisory.bow_acceleration_rms_g)),
    ]
}

/// The columns of a comparison, as [`record`] fills them.
pub(super) fn columns() -> Vec<String> {
    let mut columns: Vec<String> = ["tack", "tws_kn", "twa_deg"].map(str::to_owned).into();
    for boat in ["a", "b"] {
        columns.extend(["flat_kn", "corrected_kn", "factor"].map(|name| format!("{boat}_{name}")));
        columns.extend(STAGE_NAMES.map(|stage| format!("{boat}_stage_{stage}")));
        columns.extend(
            [
                "dominant_stage",
                "deck_water_kg",
                "availability",
                "slam_rate_per_h",
                "wetness_rate_per_h",
                "bow_acceleration_rms_g",
                "flags",
            ]
            .map(|name| format!("{boat}_{name}")),
        );
    }
    columns.push("difference_kn".into());
    columns
}

/// One pair as fields of a CSV.
pub(super) fn record(pair: &Pair) -> Vec<String> {
    let tack = pair.tack.name().to_owned();
    let mut fields = vec![tack, pair.tws_kn.to_string(), pair.twa_deg.to_string()];
    for side in [&pair.a, &pair.b] {
        let factor = |value: Option<f64>| value.map(|value| format!("{value:.6}")).unwrap_or_default();
        fields.push(format!("{:.4}", side.flat_kn));
        fields.push(format!("{:.4}", side.corrected_kn));
        fields.push(factor(side.factor));
        fields.extend((0..STAGES).map(|stage| factor(side.stages.map(|stages| stages[stage]))));
        fields.push(side.dominant_stage.unwrap_or("none").to_owned());
        fields.push(format!("{:.2}", side.deck_water_kg));
        fields.push(format!("{:.6}", side.availability));
        fields.push(format!("{:.3}", side.advisory.slam_rate_per_h));
        fields.push(side.advisory.wetness_rate_per_h.map(|rate| format!("{rate:.3}")).unwrap_or_default());
        fields.push(format!("{:.4}", side.advisory.bow_acceleration_rms_g));
        fields.push(side.flags.clone());
    }
    fields.push(format!("{:.4}", pair.difference_kn));
    fields
}
