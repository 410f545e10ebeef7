//! What a tally holds, as a table and as JSON.

use crate::cli::print::plain_table;
use jiff::Timestamp;
use roughwater::base::units::m_s_to_kn;
use roughwater::hydro::wind_frame::WindFrameSea;
use roughwater::run::gaps;
use roughwater::tally::{TallySet, WindowTally};
use serde_json::{Value, json};

/// A row for every region and window.
pub(super) fn text(set: &TallySet) -> String {
    let mut table = plain_table([
        "region",
        "from (UTC)",
        "to",
        "steps",
        "sea states",
        "bins",
        "covered",
        "TWS kn",
        "Hs m",
    ]);
    for (region, window, part) in set.parts() {
        let time = |time: Timestamp| time.strftime("%Y-%m-%d %H:%M").to_string();
        let number = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |value| format!("{value:.2}"));
        table.add_row([
            region.name.clone(),
            time(window.start),
            time(window.end),
            part.steps.to_string(),
            part.tally.count().to_string(),
            part.tally.bin_count().to_string(),
            number(part.tally.coverage.fraction()),
            number(mean_tws_kn(part)),
            number(rms_hs_m(part)),
        ]);
    }
    format!("{table}\n")
}

/// For programs.
pub(super) fn as_json(set: &TallySet) -> Value {
    let parts = set.parts().map(|(region, window, part)| {
        json!({
            "region": region.name,
            "window_start": window.start.to_string(),
            "window_end": window.end.to_string(),
            "steps": part.steps,
            "sea_states": part.tally.count(),
            "bins": part.tally.bin_count(),
            "coverage_m2_s": part.tally.coverage,
            "covered": part.tally.coverage.fraction(),
            "mean_tws_kn": mean_tws_kn(part),
            "rms_hs_m": rms_hs_m(part),
        })
    });
    let origin = set.origin();
    json!({
        "parts": parts.collect::<Vec<_>>(),
        "tallied_forecasts": origin.sources,
        "warnings": origin.warnings,
        "gaps": gaps(set),
    })
}

fn mean_tws_kn(part: &WindowTally) -> Option<f64> {
    mean(part, |sea| m_s_to_kn(sea.tws_m_s))
}

fn rms_hs_m(part: &WindowTally) -> Option<f64> {
    mean(part, |sea| sea.hs_m().powi(2)).map(f64::sqrt)
}

fn mean(part: &WindowTally, of: impl Fn(&WindFrameSea) -> f64) -> Option<f64> {
    let (sum, weight) = part
        .tally
        .seas()
        .fold((0.0, 0.0), |(sum, all), (sea, weight)| (sum + weight * of(&sea), all + weight));
    (weight > 0.0).then(|| sum / weight)
}
