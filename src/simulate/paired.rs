//! Two boats with all of their hulls through the same drawings of one sea, figure by figure.
//!
//! Every drawing gives each boat her own figure; differences are taken drawing by drawing, so that what a drawing does to both
//! is no error of the difference. Whether it stands out of chance is Student's test on those.

use crate::base::{Error, Result};
use crate::boat::WholeBody;
use crate::derate::Performance;
use crate::maths::student;
use crate::simulate::bow_figures::BowFigures;
use crate::simulate::exact::{Drawings, Exact, drawings};
use crate::simulate::run::Setting;
use serde::Serialize;

/// A difference stands out where chance alone would make it with less than this probability: one in twenty does so for nothing
/// (common practice, no source).
const STANDS_OUT: f64 = 0.05;

/// Two boats in the same drawings.
#[derive(Debug, Clone, PartialEq)]
pub struct Paired {
    /// The first boat.
    pub a: Drawings,
    /// The second boat.
    pub b: Drawings,
    /// Figure by figure.
    pub figures: Vec<PairedFigure>,
}

/// One figure of both.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PairedFigure {
    /// Its name, as in the answer of a simulation.
    pub quantity: &'static str,
    /// Mean over the drawings of the first boat's; absent where no drawing has one.
    pub a: Option<f64>,
    /// Of the second boat's.
    pub b: Option<f64>,
    /// Mean of the second boat's less the first boat's, over the drawings in which both have one.
    pub difference: Option<f64>,
    /// Standard error of that mean; absent with fewer than two drawings.
    pub difference_se: Option<f64>,
    /// Probability of at least such a difference by chance alone.
    pub chance: Option<f64>,
    /// Whether that is below 0.05.
    pub stands_out: bool,
}

/// Reads a figure.
type Read = fn(&Exact) -> Option<f64>;

/// The figures that are compared.
pub const QUANTITIES: [(&str, Read); 28] = [
    ("mean_kn", |exact| Some(exact.simulated.mean_kn)),
    ("sd_kn", |exact| Some(exact.simulated.sd_kn)),
    ("recovery_mean_s", |exact| exact.simulated.recovery_mean_s),
    ("sea_takes_n", |exact| bow(exact, |bow| bow.sea_takes_n)),
    ("trim_mean_deg", |exact| bow(exact, |bow| bow.trim_mean_deg)),
    ("pitch_sd_deg", |exact| bow(exact, |bow| bow.pitch_sd_deg)),
    ("foil_angle_sd_deg", |exact| exact.bow.and_then(|bow| bow.foil_angle_sd_deg)),
    ("apparent_wind_sd_deg", |exact| bow(exact, |bow| bow.apparent_wind_sd_deg)),
    ("waves_per_h", |exact| bow(exact, |bow| bow.waves_per_h)),
    ("bow_relative_mean_m", |exact| bow(exact, |bow| bow.bow_relative_mean_m)),
    ("bow_relative_sd_m", |exact| bow(exact, |bow| bow.bow_relative_sd_m)),
    ("shipped_kg_per_wave", |exact| bow(exact, |bow| bow.shipped_kg_per_wave)),
    ("shipped_most_kg", |exact| bow(exact, |bow| bow.shipped_most_kg)),
    ("deck_water_kg", |exact| Some(exact.simulated.deck_water_kg)),
    ("deck_water_most_kg", |exact| Some(exact.simulated.deck_water_most_kg)),
    ("bow_under_rate_per_h", |exact| bow(exact, |bow| bow.bow_under_rate_per_h)),
    ("nose_dive_rate_per_h", |exact| Some(exact.simulated.nose_dive_rate_per_h)),
    ("slam_rate_per_h", |exact| bow(exact, |bow| bow.slam_rate_per_h)),
    ("hard_slam_rate_per_h", |exact| bow(exact, |bow| bow.hard_slam_rate_per_h)),
    ("slam_pressure_mean_kpa", |exact| exact.bow.and_then(|bow| bow.slam_pressure_mean_kpa)),
    ("slam_pressure_most_kpa", |exact| bow(exact, |bow| bow.slam_pressure_most_kpa)),
    ("bow_impact_tenth_kn", |exact| bow(exact, |bow| bow.bow_impact_tenth_kn)),
    ("impact_most_kn", |exact| bow(exact, |bow| bow.impact_most_kn)),
    ("bow_acceleration_rms_g", |exact| bow(exact, |bow| bow.bow_acceleration_rms_g)),
    ("bow_acceleration_most_g", |exact| bow(exact, |bow| bow.bow_acceleration_most_g)),
    ("flying_share", |exact| exact.simulated.flying_share),
    ("stall_rate_per_h", |exact| exact.simulated.flying_share.map(|_| exact.simulated.stall_rate_per_h)),
    ("broach_rate_per_h", |exact| exact.simulated.flying_share.map(|_| exact.simulated.broach_rate_per_h)),
];

fn bow(exact: &Exact, of: fn(&BowFigures) -> f64) -> Option<f64> {
    exact.bow.as_ref().map(of)
}

/// Sails two boats through the same drawings of the setting's sea.
///
/// # Errors
/// As [`drawings`], saying which boat.
pub fn paired(a: &Performance, b: &Performance, setting: &Setting) -> Result<Paired> {
    let boats = [a, b];
    for boat in boats {
        // a boat whose hull ends at the waterline is told before the other has sailed
        WholeBody::new(&boat.tables.model, &[], 1.0, None)?;
    }
    let named = |boat: &Performance| {
        drawings(boat, setting)
            .map_err(|error: Error| error.input(format!("boat `{}`", boat.tables.model.boat.name)))
    };
    let (first, second) = rayon::join(|| named(a), || named(b));
    let (a, b) = (first?, second?);
    let figures = QUANTITIES.map(|(quantity, read)| figure(quantity, read, &a.each, &b.each)).into();
    Ok(Paired { a, b, figures })
}

fn figure(quantity: &'static str, read: Read, a: &[Exact], b: &[Exact]) -> PairedFigure {
    let own = |drawings: &[Exact]| mean(&drawings.iter().filter_map(read).collect::<Vec<f64>>());
    let differences: Vec<f64> = a.iter().zip(b).filter_map(|(a, b)| Some(read(b)? - read(a)?)).collect();
    let difference = mean(&differences);
    let difference_se = difference.and_then(|mean| standard_error(&differences, mean));
    let chance = difference.zip(difference_se).and_then(|(difference, error)| {
        let away = if difference == 0.0 { 0.0 } else { difference / error };
        student::chance(away, differences.len())
    });
    let stands_out = chance.is_some_and(|chance| chance < STANDS_OUT);
    PairedFigure { quantity, a: own(a), b: own(b), difference, difference_se, chance, stands_out }
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// Standard error of a mean from the scatter of its values; none of fewer than two.
fn standard_error(values: &[f64], mean: f64) -> Option<f64> {
    let count = values.len() as f64;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (count > 1.0).then(|| (squares / (count - 1.0) / count).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::maths::student::chance;

    /// By hand: differences 1, 2, 3, 6 with mean 3 and standard error sqrt((4 + 1 + 0 + 9)/3/4) = 1.0801.
    #[test]
    fn differences_are_taken_drawing_by_drawing() {
        let values = [1.0, 2.0, 3.0, 6.0];
        let error = standard_error(&values, mean(&values).unwrap()).unwrap();
        assert!((error - 1.0801).abs() < 1e-4);
        // t = 2.7775 with three degrees of freedom: between the table's 2.353 (10 %) and 3.182 (5 %)
        let by_chance = chance(3.0 / error, 4).unwrap();
        assert!((0.05..0.10).contains(&by_chance), "{by_chance}");
        assert_eq!(standard_error(&values[..1], 1.0), None);
        assert_eq!(mean(&[]), None);
    }
}
