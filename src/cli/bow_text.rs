//! What a bow does in a sea, for reading.

use roughwater::simulate::BowFigures;

/// Lines below those of the simulation.
pub(super) fn text(bow: &BowFigures) -> String {
    let mut lines = vec![
        line(
            "Trim",
            format!("{:.1}° bow down in the mean, swing {:.1}°", bow.trim_mean_deg, bow.pitch_sd_deg),
        ),
        line("Apparent wind's angle", format!("swing {:.1}° at the sails", bow.apparent_wind_sd_deg)),
    ];
    lines.extend(
        bow.foil_angle_sd_deg
            .map(|deg| line("Foil's angle of attack", format!("swing {deg:.1}° while it carries"))),
    );
    lines.extend([
        line(
            "Water shipped",
            format!(
                "{:.1} kg a wave, {:.0} kg at the most, in {:.0} waves an hour",
                bow.shipped_kg_per_wave, bow.shipped_most_kg, bow.waves_per_h
            ),
        ),
        line("Stem's deck under", format!("{:.1} an hour", bow.bow_under_rate_per_h)),
        line(
            "Slams",
            format!(
                "{:.1} an hour with a blow, of {:.1} fast re-entries; {:.0} kPa at the most",
                bow.hard_slam_rate_per_h, bow.slam_rate_per_h, bow.slam_pressure_most_kpa
            ),
        ),
        line(
            "Impact",
            format!(
                "{:.0} kN at the bow in the greatest tenth of the waves, {:.0} kN anywhere at the most",
                bow.bow_impact_tenth_kn, bow.impact_most_kn
            ),
        ),
        line(
            "Stem's acceleration",
            format!(
                "{:.2} g root mean square, {:.1} g at the most",
                bow.bow_acceleration_rms_g, bow.bow_acceleration_most_g
            ),
        ),
        line("The sea takes", format!("{:.0} N along the course in the mean", bow.sea_takes_n)),
    ]);
    format!("\n{}\n", lines.join("\n"))
}

fn line(label: &str, value: String) -> String {
    format!("{label:<24}{value}")
}
