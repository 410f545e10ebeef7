//! Two boats through the same drawings of a sea, figure by figure: for reading and as rows of a CSV.

use crate::cli::print::{PLANNING_AID, plain_table};
use roughwater::simulate::PairedFigure;

/// Each figure as a sailor calls it, with its unit and decimals.
const WORDS: [(&str, &str, usize); 28] = [
    ("mean_kn", "mean speed, kn", 2),
    ("sd_kn", "swing of speed (sd), kn", 2),
    ("recovery_mean_s", "to regain mean speed, s", 1),
    ("sea_takes_n", "the sea takes, N", 0),
    ("trim_mean_deg", "mean trim, bow down, deg", 2),
    ("pitch_sd_deg", "pitch (sd), deg", 2),
    ("foil_angle_sd_deg", "foil's angle (sd), deg", 2),
    ("apparent_wind_sd_deg", "apparent wind (sd), deg", 2),
    ("waves_per_h", "waves met, 1/h", 0),
    ("bow_relative_mean_m", "water at the stem, mean, m", 2),
    ("bow_relative_sd_m", "water at the stem (sd), m", 2),
    ("shipped_kg_per_wave", "water shipped a wave, kg", 2),
    ("shipped_most_kg", "most shipped in a wave, kg", 0),
    ("deck_water_kg", "carried on deck, mean, kg", 2),
    ("deck_water_most_kg", "most on deck at once, kg", 0),
    ("bow_under_rate_per_h", "stem under, 1/h", 1),
    ("nose_dive_rate_per_h", "nose-dives, 1/h", 1),
    ("slam_rate_per_h", "fast re-entries, 1/h", 1),
    ("hard_slam_rate_per_h", "hard slams, 1/h", 1),
    ("slam_pressure_mean_kpa", "slam pressure, mean, kPa", 1),
    ("slam_pressure_most_kpa", "slam pressure, most, kPa", 1),
    ("bow_impact_tenth_kn", "impact at the bow, greatest tenth, kN", 1),
    ("impact_most_kn", "impact anywhere, most, kN", 1),
    ("bow_acceleration_rms_g", "stem's acceleration, rms, g", 3),
    ("bow_acceleration_most_g", "stem's acceleration, most, g", 2),
    ("flying_share", "time on her foils, part", 3),
    ("stall_rate_per_h", "foil stalls, 1/h", 1),
    ("broach_rate_per_h", "foil out of the water, 1/h", 1),
];

/// For reading; figures that neither boat has are left out.
pub(super) fn text(names: [&str; 2], what: &str, figures: &[PairedFigure]) -> String {
    let mut table = plain_table(["", "A", "B", "B-A", "+-", "stands out"]);
    for figure in figures.iter().filter(|figure| figure.a.is_some() || figure.b.is_some()) {
        let (words, decimals) = words(figure.quantity);
        let plain = |value: Option<f64>| value.map_or("-".into(), |value| format!("{value:.decimals$}"));
        let signed = |value: Option<f64>| value.map_or("-".into(), |value| format!("{value:+.decimals$}"));
        table.add_row([
            words.to_owned(),
            plain(figure.a),
            plain(figure.b),
            signed(figure.difference),
            plain(figure.difference_se),
            said(figure),
        ]);
    }
    format!(
        "A: {}\nB: {}\n{what}\n\n{table}\n\n\
         +-: standard error of the difference, drawing by drawing; it stands out where chance alone makes it in under\n\
         5 % (1 % where stated): of twenty figures that do not differ one does. `most` is each drawing's, and their mean.\n\
         {PLANNING_AID}\n",
        names[0], names[1]
    )
}

fn words(quantity: &'static str) -> (&'static str, usize) {
    let known = WORDS.iter().find(|(name, ..)| *name == quantity);
    known.map_or((quantity, 3), |(_, words, decimals)| (*words, *decimals))
}

fn said(figure: &PairedFigure) -> String {
    match figure.chance {
        None => "-",
        Some(chance) if chance < 0.01 => "yes, 1 %",
        Some(_) if figure.stands_out => "yes",
        Some(_) => "no",
    }
    .into()
}

/// The columns, as [`record`] fills them.
pub(super) const COLUMNS: [&str; 7] =
    ["quantity", "a", "b", "difference", "difference_se", "chance", "stands_out"];

/// One figure as fields of a CSV.
pub(super) fn record(figure: &PairedFigure) -> [String; COLUMNS.len()] {
    let field = |value: Option<f64>| value.map(|value| format!("{value:.6}")).unwrap_or_default();
    [
        figure.quantity.to_owned(),
        field(figure.a),
        field(figure.b),
        field(figure.difference),
        field(figure.difference_se),
        field(figure.chance),
        figure.stands_out.to_string(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use roughwater::simulate::QUANTITIES;

    #[test]
    fn every_figure_has_words() {
        let (named, known) = (QUANTITIES.map(|(name, _)| name), WORDS.map(|(name, ..)| name));
        assert_eq!(named, known);
    }
}
