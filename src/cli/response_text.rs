//! One boat in one sea, a line for every number: its name in JSON, its value to four figures, and its unit.

use crate::cli::print::PLANNING_AID;
use roughwater::explain::{Irregular, Regular};
use std::collections::BTreeMap;

/// An irregular sea.
pub(super) fn irregular(answer: &Irregular) -> String {
    let mut lines = Lines::default();
    lines.number("wave_length_m", answer.wave_length_m);
    lines.number("phase_speed_m_s", answer.phase_speed_m_s);
    lines.number("encounter_period_s", answer.encounter_period_s);
    lines.number("significant_steepness", answer.significant_steepness);
    lines.number("froude", answer.froude);
    lines.number("calm_resistance_n", answer.calm_resistance_n);
    lines.by_method("added_resistance_n", &answer.added_resistance_n);
    lines.number("hull_borne_share", answer.hull_borne_share);
    lines.number("relative_bow_rms_m", answer.relative_bow_rms_m);
    lines.number("effective_freeboard_m", answer.effective_freeboard_m);
    lines.number("deck_water_kg", answer.deck_water_kg);
    lines.number("foil_mean_angle_deg", answer.foil_mean_angle_deg);
    lines.number("foil_angle_sd_deg", answer.foil_angle_sd_deg);
    lines.number("ventilation_margin_sd", answer.ventilation_margin_sd);
    lines.number("foil_immersion_sd_m", answer.foil_immersion_sd_m);
    lines.number("foil_lift_ratio", answer.foil_lift_ratio);
    lines.number("stall_rate_per_h", answer.stall_rate_per_h);
    lines.number("broach_rate_per_h", answer.broach_rate_per_h);
    lines.number("availability", answer.availability);
    lines.number("slam_rate_per_h", answer.advisory.slam_rate_per_h);
    lines.number("wetness_rate_per_h", answer.advisory.wetness_rate_per_h);
    lines.number("bow_acceleration_rms_g", answer.advisory.bow_acceleration_rms_g);
    lines.number("bow_cycles_per_h", answer.advisory.bow_cycles_per_h);
    lines.number("slam_probability", answer.slam_probability);
    lines.number("wetness_probability", answer.wetness_probability);
    let limits = &answer.advisory_limits;
    for (name, limit) in [
        ("bow_acceleration_g", limits.bow_acceleration_g),
        ("bridge_acceleration_g", limits.bridge_acceleration_g),
        ("bridge_lateral_acceleration_g", limits.bridge_lateral_acceleration_g),
        ("roll_deg", limits.roll_deg),
        ("slam_probability", limits.slam_probability),
        ("wetness_probability", limits.wetness_probability),
    ] {
        lines.number(&format!("advisory_limits ({name})"), limit);
    }
    lines.listed("flags", &answer.flags);
    lines.listed("warnings", &answer.warnings);
    lines.text()
}

/// A regular wave.
pub(super) fn regular(answer: &Regular) -> String {
    let mut lines = Lines::default();
    lines.number("wave_length_m", answer.wave_length_m);
    lines.number("phase_speed_m_s", answer.phase_speed_m_s);
    lines.number("encounter_period_s", answer.encounter_period_s);
    lines.number("froude", answer.froude);
    lines.number("heave_m_per_m", answer.heave_m_per_m);
    lines.number("heave_phase_deg", answer.heave_phase_deg);
    lines.number("pitch_rad_per_m", answer.pitch_rad_per_m);
    lines.number("pitch_phase_deg", answer.pitch_phase_deg);
    lines.number("relative_bow_m_per_m", answer.relative_bow_m_per_m);
    lines.by_method("added_resistance_coefficient", &answer.added_resistance_coefficient);
    lines.number("a33_kg", answer.a33_kg);
    lines.number("b33_kg_s", answer.b33_kg_s);
    lines.number("a55_kg_m2", answer.a55_kg_m2);
    lines.number("b55_kg_m2_s", answer.b55_kg_m2_s);
    lines.listed("flags", &answer.flags);
    lines.listed("warnings", &answer.warnings);
    lines.text()
}

#[derive(Default)]
struct Lines(Vec<Line>);

struct Line {
    label: String,
    value: String,
}

impl Lines {
    fn add(&mut self, label: &str, value: String) {
        self.0.push(Line { label: label.to_owned(), value });
    }

    /// A number, where there is one; JSON has null for what is not finite.
    fn number(&mut self, label: &str, number: impl Into<Option<f64>>) {
        if let Some(number) = number.into().filter(|number| number.is_finite()) {
            self.add(label, format!("{} {}", four_figures(number), unit(label)).trim_end().to_owned());
        }
    }

    fn by_method(&mut self, label: &str, numbers: &BTreeMap<&'static str, f64>) {
        numbers.iter().for_each(|(method, number)| self.number(&format!("{label} ({method})"), *number));
    }

    fn listed<T: AsRef<str>>(&mut self, label: &str, texts: &[T]) {
        if !texts.is_empty() {
            let texts: Vec<&str> = texts.iter().map(T::as_ref).collect();
            self.add(label, texts.join("; "));
        }
    }

    fn text(&self) -> String {
        let width = self.0.iter().map(|line| line.label.len()).max().unwrap_or(0);
        let lines = self.0.iter().map(|line| format!("{:<width$}  {}\n", line.label, line.value));
        lines.collect::<String>() + &format!("\n{PLANNING_AID}\n")
    }
}

/// At most four figures, without an exponent up to a million.
fn four_figures(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let magnitude = value.abs().log10().floor() as i32;
    if !(-4..7).contains(&magnitude) {
        return format!("{value:.3e}");
    }
    let decimals = usize::try_from(3 - magnitude).unwrap_or(0);
    let scale = 10f64.powi(3 - magnitude);
    let text = format!("{:.decimals$}", (value * scale).round() / scale);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// The unit that a name ends with; what stands in brackets behind it names a method or a limit.
fn unit(label: &str) -> &'static str {
    let bracketed = label.split_once(" (").map(|(name, rest)| (name, rest.trim_end_matches(')')));
    let name = match bracketed {
        Some(("advisory_limits", limit)) => limit,
        Some((name, _)) => name,
        None => label,
    };
    UNITS.iter().find(|(ending, _)| name.ends_with(ending)).map_or("", |(_, unit)| unit)
}

/// Longer endings first.
const UNITS: [(&str, &str); 14] = [
    ("_m_per_m", "m/m"),
    ("_rad_per_m", "rad/m"),
    ("_kg_m2_s", "kg m²/s"),
    ("_kg_m2", "kg m²"),
    ("_kg_s", "kg/s"),
    ("_m_s", "m/s"),
    ("_per_h", "an hour"),
    ("_deg", "degrees"),
    ("_sd", "standard deviations"),
    ("_kg", "kg"),
    ("_n", "N"),
    ("_m", "m"),
    ("_s", "s"),
    ("_g", "g"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_four_figures_and_units() {
        for (value, text) in [
            (1234.56, "1235"),
            (0.012_345_6, "0.01235"),
            (12.0, "12"),
            (0.0, "0"),
            (-3.000_4, "-3"),
            (2.5e9, "2.500e9"),
        ] {
            assert_eq!(four_figures(value), text);
        }
        for (label, expected) in [
            ("encounter_period_s", "s"),
            ("heave_m_per_m", "m/m"),
            ("added_resistance_n (snnm)", "N"),
            ("advisory_limits (roll_deg)", "degrees"),
            ("froude", ""),
            ("phase_speed_m_s", "m/s"),
        ] {
            assert_eq!(unit(label), expected, "{label}");
        }
    }
}
