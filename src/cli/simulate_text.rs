//! The answer of `simulate` for reading.

use crate::cli::print::PLANNING_AID;
use roughwater::simulate::{Setting, Simulated};

/// What a crew would say of it.
pub(super) fn text(setting: &Setting, answer: &Simulated) -> String {
    let mut lines = vec![
        format!(
            "TWS {} kn, TWA {} degrees, {:.0} min of sea in {} drawing{}",
            setting.tws_kn,
            setting.twa_deg,
            answer.simulated_s / 60.0,
            setting.seeds,
            if setting.seeds == 1 { "" } else { "s" }
        ),
        String::new(),
        line("Speed in flat water", format!("{:.2} kn", answer.flat_kn)),
        line(
            "Speed in the sea, mean",
            format!("{:.2} kn, give or take {:.2}", answer.mean_kn, answer.mean_se_kn),
        ),
        line("As in the polars", format!("{:.2} kn", answer.derate_kn)),
        line(
            "Swing",
            format!(
                "{:.2} kn (standard deviation); 90 % of the time from {:.1} to {:.1} kn",
                answer.sd_kn, answer.p5_kn, answer.p95_kn
            ),
        ),
        line("Faster than the crests", percent(answer.riding_share)),
    ];
    lines.extend(
        answer
            .recovery_mean_s
            .map(|s| line("To regain speed", format!("{s:.1} s from the slowest, after a loss of over 5 %"))),
    );
    if let Some(share) = answer.flying_share {
        lines.push(line("On her foils", percent(share)));
        lines.push(line("Stalls or air drawn", per_hour(answer.stall_rate_per_h)));
        lines.push(line("Foil out of the water", per_hour(answer.broach_rate_per_h)));
        lines.push(line("Too slow to fly", per_hour(answer.drop_rate_per_h)));
    }
    lines.push(line(
        "Water on deck",
        format!(
            "{:.0} kg in the mean, {:.0} kg at the most",
            answer.deck_water_kg, answer.deck_water_most_kg
        ),
    ));
    lines.push(line("Nose-dives", per_hour(answer.nose_dive_rate_per_h)));
    if !answer.flags.is_empty() {
        lines.push(line("Reservations", answer.flags.join("; ")));
    }
    lines.join("\n") + "\n\n" + PLANNING_AID + "\n"
}

fn line(label: &str, value: String) -> String {
    format!("{label:<24}{value}")
}

fn per_hour(rate: f64) -> String {
    format!("{rate:.1} an hour")
}

fn percent(share: f64) -> String {
    format!("{:.0} % of the time", 100.0 * share)
}
