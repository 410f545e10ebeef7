//! Residuary resistance of a yacht's bare hull, upright, by the Delft Systematic Yacht Hull Series.
//!
//! Source: Keuning & Katgert (2008), A bare hull resistance prediction method derived from the results of the
//! Delft Systematic Yacht Hull Series extended to higher speeds. With the weight W = rho g V:
//!
//! Rr/W = a0 + [a1 LCB/L + a2 Cp + a3 V^(2/3)/Aw + a4 B/L + a5 LCB/LCF + a6 B/T + a7 Cm] V^(1/3)/L
//!
//! Against the 22 models of the open "Yacht Hydrodynamics" measurements (Delft Ship Hydromechanics Laboratory)
//! it reads 13-15 % low at Fn 0.40-0.45 with the waterplane assumed; take +-15 % as its uncertainty.

use crate::hydro::calm_water::form::HullForm;
use crate::maths::monotone_cubic;

/// Highest tabulated Froude number.
pub const FROUDE_MAX: f64 = 0.75;

/// Froude numbers of the table, and rest, where there are no waves.
const FROUDE: [f64; 14] = [0.0, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65, 0.70, 0.75];

/// a0 to a7 from Fn 0.15 to 0.75. Printed copies differ in a3 at Fn 0.55: 0.8726 or 0.8762, below 0.5 % of Rr.
#[rustfmt::skip]
const COEFFICIENTS: [[f64; 8]; 13] = [
    [-0.0005, 0.0023, -0.0086, -0.0015, 0.0061, 0.0010, 0.0001, 0.0052],
    [-0.0003, 0.0059, -0.0064, 0.0070, 0.0014, 0.0013, 0.0005, -0.0020],
    [-0.0002, -0.0156, 0.0031, -0.0021, -0.0070, 0.0148, 0.0010, -0.0043],
    [-0.0009, 0.0016, 0.0337, -0.0285, -0.0367, 0.0218, 0.0015, -0.0172],
    [-0.0026, -0.0567, 0.0446, -0.1091, -0.0707, 0.0914, 0.0021, -0.0078],
    [-0.0064, -0.4034, -0.1250, 0.0273, -0.1341, 0.3578, 0.0045, 0.1115],
    [-0.0218, -0.5261, -0.2945, 0.2485, -0.2428, 0.6293, 0.0081, 0.2086],
    [-0.0388, -0.5986, -0.3038, 0.6033, -0.0430, 0.8332, 0.0106, 0.1336],
    [-0.0347, -0.4764, -0.2361, 0.8726, 0.4219, 0.8990, 0.0096, -0.2272],
    [-0.0361, 0.0037, -0.2960, 0.9661, 0.6123, 0.7534, 0.0100, -0.3352],
    [0.0008, 0.3728, -0.3667, 1.3957, 1.0343, 0.3230, 0.0072, -0.4632],
    [0.0108, -0.1238, -0.2026, 1.1282, 1.1836, 0.4973, 0.0038, -0.4477],
    [0.1023, 0.7726, 0.5040, 1.7867, 2.1934, -1.5479, -0.0115, -0.0977],
];

/// Residuary resistance per displacement weight, Rr/W, at a Froude number on the waterline length.
///
/// Evaluated at the tabulated Froude numbers, with a monotone cubic between; from zero at rest to the first.
/// `None` above [`FROUDE_MAX`] and for a negative Froude number. Where the regression falls below zero at a
/// tabulated Froude number zero is taken: waves never push, and at Fn 0.15 and 0.20, where light
/// hulls come out at about minus 1e-4 of the weight, the fit's scatter is of that size.
pub fn residuary_per_weight(form: &HullForm, froude: f64) -> Option<f64> {
    (0.0..=FROUDE_MAX)
        .contains(&froude)
        .then(|| monotone_cubic::interpolate(&FROUDE, |node| at_node(form, node).max(0.0), froude))
}

fn at_node(form: &HullForm, node: usize) -> f64 {
    let Some(a) = node.checked_sub(1).map(|row| &COEFFICIENTS[row]) else { return 0.0 };
    let bracket = a[1] * form.lcb_from_fwd_m / form.lwl_m
        + a[2] * form.cp
        + a[3] * form.volume_m3.powf(2.0 / 3.0) / form.waterplane_area_m2
        + a[4] * form.bwl_m / form.lwl_m
        + a[5] * form.lcb_from_fwd_m / form.lcf_from_fwd_m
        + a[6] * form.bwl_m / form.draught_m
        + a[7] * form.cm;
    a[0] + bracket / form.slenderness()
}

/// Slenderness L/V^(1/3) of the slimmest hull of the series.
pub const SLENDERNESS_MAX: f64 = 8.50;

/// Whether the form lies within the models' (Keuning & Sonnenberg 1998, table of parameter ranges; figures
/// from memory; LCB and LCF in per cent of Lwl aft of its middle).
pub fn in_range(form: &HullForm) -> bool {
    let aft_percent = |from_fwd_m: f64| 100.0 * (from_fwd_m / form.lwl_m - 0.5);
    (2.73..=5.00).contains(&(form.lwl_m / form.bwl_m))
        && (2.46..=19.38).contains(&(form.bwl_m / form.draught_m))
        && (4.34..=SLENDERNESS_MAX).contains(&form.slenderness())
        && (0.0..=8.2).contains(&aft_percent(form.lcb_from_fwd_m))
        && (1.8..=9.5).contains(&aft_percent(form.lcf_from_fwd_m))
        && (0.52..=0.60).contains(&form.cp)
        && (0.65..=0.78).contains(&form.cm)
        && (3.78..=12.67).contains(&(form.waterplane_area_m2 / form.volume_m3.powf(2.0 / 3.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydro::calm_water::form::samples;
    use approx::assert_relative_eq;

    /// Model 1 of the series (Cp 0.568, L/V^(1/3) 4.78, B/T 3.99, L/B 3.17, LCB 2.3 % aft), with the waterplane
    /// 0.69 L B and LCF 1.04 % aft of LCB assumed.
    fn model_1() -> HullForm {
        let (lwl_m, bwl_m) = (10.0, 10.0 / 3.17);
        let volume_m3 = f64::powi(10.0 / 4.78, 3);
        HullForm {
            lwl_m,
            bwl_m,
            draught_m: bwl_m / 3.99,
            volume_m3,
            cp: 0.568,
            cm: volume_m3 / (lwl_m * bwl_m * bwl_m / 3.99 * 0.568),
            waterplane_area_m2: 0.69 * lwl_m * bwl_m,
            lcb_from_fwd_m: 5.23,
            lcf_from_fwd_m: 5.334,
        }
    }

    /// The same regression worked in an independent numpy program, 1000 Rr/W to the printed digits.
    #[test]
    fn model_1_at_every_tabulated_froude_number() {
        let expected = [
            0.061, 0.385, 1.200, 3.057, 6.688, 19.134, 44.125, 79.969, 111.37, 127.75, 134.62, 143.40, 126.31,
        ];
        for (froude, expected) in FROUDE[1..].iter().zip(expected) {
            let found = 1000.0 * residuary_per_weight(&model_1(), *froude).unwrap();
            assert_relative_eq!(found, expected, max_relative = 3e-4, epsilon = 6e-4);
        }
    }

    /// Measured 1000 Rr/W of model 1: UCI "Yacht Hydrodynamics" (CC BY 4.0), rows of Fn 0.35, 0.40, 0.45.
    #[test]
    fn model_1_within_the_stated_uncertainty_of_its_measurement() {
        for (froude, measured) in [(0.35, 7.16), (0.40, 20.11), (0.45, 49.49)] {
            let found = 1000.0 * residuary_per_weight(&model_1(), froude).unwrap();
            assert_relative_eq!(found, measured, max_relative = 0.15);
        }
    }

    #[test]
    fn outside_the_table_is_none() {
        assert_eq!(residuary_per_weight(&model_1(), 0.0), Some(0.0));
        assert_eq!(residuary_per_weight(&model_1(), 0.751), None);
        assert_eq!(residuary_per_weight(&model_1(), -0.1), None);
    }

    #[test]
    fn range_follows_the_form() {
        let cruiser = samples::cruiser();
        assert!(in_range(&cruiser));
        assert!(!in_range(&HullForm { cp: 0.61, ..cruiser }));
        assert!(!in_range(&cruiser.at_borne_fraction(0.2)));
    }
}
