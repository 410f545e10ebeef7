//! Residuary resistance by the 1993 fit of the Delft Systematic Yacht Hull Series: a second opinion.
//!
//! Source: Gerritsma, Keuning & Versluis (1993), Sailing yacht performance in calm water and in waves, 11th
//! Chesapeake Sailing Yacht Symposium. It reproduces the measurements of its own models to 3 % rms at Fn 0.45,
//! but was never fitted to hulls as light as the later series; [`crate::hydro::calm_water::delft`] is the default.
//! With V3 = V^(1/3) and LCB in per cent of Lwl forward of its middle, 1000 Rr/W is
//!
//! - Fn 0.125-0.45: a0 + a1 Cp + a2 LCB + a3 B/T + a4 L/V3 + a5 Cp^2 + a6 Cp L/V3 + a7 LCB^2 + a8 (L/V3)^2
//!   + a9 (L/V3)^3
//! - Fn 0.475-0.75: c0 + c1 L/B + c2 Aw/V^(2/3) + c3 LCB + c4 (L/B)^2 + c5 (L/B) (Aw/V^(2/3))^3
//!
//! The two parts are fitted apart and meet only in the cubic between Fn 0.45 and 0.475.

use crate::hydro::calm_water::form::HullForm;
use crate::maths::monotone_cubic;

const LOW_ROWS: usize = 14;

#[rustfmt::skip]
const FROUDE: [f64; 26] = [
    0.125, 0.15, 0.175, 0.2, 0.225, 0.25, 0.275, 0.3, 0.325, 0.35, 0.375, 0.4, 0.425, 0.45,
    0.475, 0.5, 0.525, 0.55, 0.575, 0.6, 0.625, 0.65, 0.675, 0.7, 0.725, 0.75,
];

#[rustfmt::skip]
const LOW: [[f64; 10]; LOW_ROWS] = [
    [-6.735654, 38.36831, -0.008193, 0.055234, -1.997242, -38.86081, 0.956591, -0.002171, 0.272895, -0.017516],
    [-0.38287, 38.1729, 0.007243, 0.026644, -5.295332, -39.55032, 1.219563, 0.000052, 0.824568, -0.047842],
    [-1.503526, 24.40803, 0.0122, 0.067221, -2.448582, -31.9137, 2.216098, 0.000074, 0.244345, -0.015887],
    [11.29218, -14.51947, 0.047182, 0.085176, -2.673016, -11.41819, 5.654065, 0.007021, -0.094934, 0.006325],
    [22.17867, -49.16784, 0.085998, 0.150725, -2.878684, 7.167049, 8.600272, 0.012981, -0.327085, 0.018271],
    [25.90867, -74.75668, 0.153521, 0.188568, -0.889467, 24.12137, 10.48516, 0.025348, -0.85494, 0.048449],
    [40.97559, -114.2855, 0.207226, 0.250827, -3.072662, 53.0157, 13.02177, 0.035934, -0.715457, 0.039874],
    [45.83759, -184.7646, 0.357031, 0.338343, 3.871658, 132.2568, 10.86054, 0.066809, -1.719215, 0.095977],
    [89.20382, -393.0127, 0.617466, 0.460472, 11.54327, 331.1197, 8.598136, 0.104073, -2.815203, 0.15596],
    [212.6788, -801.7908, 1.087307, 0.538938, 10.80273, 667.6445, 12.39815, 0.166473, -3.026131, 0.165055],
    [336.2354, -1085.134, 1.644191, 0.532702, -1.224173, 831.1445, 26.18321, 0.238795, -2.45047, 0.139154],
    [566.5476, -1609.632, 2.01609, 0.265722, -29.24412, 1154.091, 51.46175, 0.288046, -0.178354, 0.018446],
    [743.4107, -1708.263, 2.435809, 0.013553, -81.16189, 937.4014, 115.6006, 0.365071, 1.838967, -0.062023],
    [1200.62, -2751.715, 3.208577, 0.25492, -132.0424, 1489.269, 196.3406, 0.528225, 1.379102, 0.013577],
];

#[rustfmt::skip]
const HIGH: [[f64; 6]; 12] = [
    [180.1004, -31.50257, -7.451141, 2.195042, 2.689623, 0.00648],
    [243.9994, -44.52551, -11.15456, 2.179046, 3.857403, 0.009676],
    [282.9873, -51.51953, -12.9731, 2.274505, 4.343662, 0.011066],
    [313.4109, -56.58257, -14.41978, 2.326117, 4.690432, 0.012147],
    [337.0038, -59.19029, -16.06975, 2.419156, 4.766793, 0.014147],
    [356.4572, -62.85395, -16.85112, 2.437056, 5.078768, 0.01498],
    [324.7357, -51.31252, -15.34595, 2.334146, 3.855368, 0.013695],
    [301.1268, -39.79631, -15.02299, 2.059657, 2.545676, 0.013588],
    [292.0571, -31.85303, -15.58548, 1.847926, 1.569917, 0.014014],
    [284.4641, -25.14558, -16.15423, 1.703981, 0.817912, 0.014575],
    [256.6367, -19.31922, -13.0845, 2.152824, 0.348305, 0.011343],
    [304.1803, -30.11512, -15.85429, 2.863173, 1.524379, 0.014031],
];

/// Residuary resistance per displacement weight, Rr/W; `None` outside Fn 0.125 to 0.75.
pub fn residuary_per_weight(form: &HullForm, froude: f64) -> Option<f64> {
    (FROUDE[0]..=FROUDE[FROUDE.len() - 1])
        .contains(&froude)
        .then(|| monotone_cubic::interpolate(&FROUDE, |node| at_node(form, node), froude) / 1000.0)
}

fn at_node(form: &HullForm, node: usize) -> f64 {
    match node.checked_sub(LOW_ROWS) {
        None => low(form, &LOW[node]),
        Some(row) => high(form, &HIGH[row]),
    }
}

fn lcb_percent_forward(form: &HullForm) -> f64 {
    100.0 * (0.5 - form.lcb_from_fwd_m / form.lwl_m)
}

fn low(form: &HullForm, a: &[f64; 10]) -> f64 {
    let (cp, lcb, slender) = (form.cp, lcb_percent_forward(form), form.slenderness());
    a[0] + a[1] * cp
        + a[2] * lcb
        + a[3] * form.bwl_m / form.draught_m
        + a[4] * slender
        + a[5] * cp * cp
        + a[6] * cp * slender
        + a[7] * lcb * lcb
        + a[8] * slender.powi(2)
        + a[9] * slender.powi(3)
}

fn high(form: &HullForm, c: &[f64; 6]) -> f64 {
    let length_beam = form.lwl_m / form.bwl_m;
    let loading = form.waterplane_area_m2 / form.volume_m3.powf(2.0 / 3.0);
    c[0] + c[1] * length_beam
        + c[2] * loading
        + c[3] * lcb_percent_forward(form)
        + c[4] * length_beam * length_beam
        + c[5] * length_beam * loading.powi(3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn model(lcb_percent: f64, cp: f64, slenderness: f64, beam_draught: f64, length_beam: f64) -> HullForm {
        let (lwl_m, bwl_m) = (10.0, 10.0 / length_beam);
        let volume_m3 = f64::powi(10.0 / slenderness, 3);
        HullForm {
            lwl_m,
            bwl_m,
            draught_m: bwl_m / beam_draught,
            volume_m3,
            cp,
            cm: volume_m3 / (lwl_m * bwl_m * bwl_m / beam_draught * cp),
            waterplane_area_m2: 0.69 * lwl_m * bwl_m,
            lcb_from_fwd_m: 5.0 - 0.1 * lcb_percent,
            lcf_from_fwd_m: 5.104 - 0.1 * lcb_percent,
        }
    }

    /// Measured 1000 Rr/W at Fn 0.30, 0.35, 0.40 and 0.45 of nine models: UCI "Yacht Hydrodynamics" (CC BY 4.0),
    /// Delft Ship Hydromechanics Laboratory. Columns: LCB, Cp, L/V^(1/3), B/T, L/B.
    #[rustfmt::skip]
    const MEASURED: [([f64; 5], [f64; 4]); 9] = [
        ([-2.3, 0.568, 4.78, 3.99, 3.17], [3.76, 7.16, 20.11, 49.49]),
        ([-2.3, 0.569, 4.78, 3.04, 3.64], [3.29, 7.11, 21.09, 51.8]),
        ([-2.4, 0.574, 4.36, 3.96, 2.76], [3.99, 8.03, 21.51, 50.36]),
        ([-2.3, 0.562, 5.14, 4.95, 3.17], [4.09, 8.28, 20.41, 47.29]),
        ([0.0, 0.565, 4.77, 3.99, 3.15], [4.14, 9.07, 24.13, 55.44]),
        ([-5.0, 0.565, 5.1, 3.94, 3.51], [3.85, 7.74, 20.91, 49.14]),
        ([-2.3, 0.53, 4.34, 2.81, 3.15], [2.73, 7.19, 25.18, 62.42]),
        ([0.0, 0.53, 4.78, 3.75, 3.15], [3.7, 9.45, 27.34, 60.85]),
        ([-2.3, 0.6, 4.34, 4.23, 2.73], [4.15, 8.47, 19.59, 46.66]),
    ];

    #[test]
    fn reproduces_the_measurements_of_its_models() {
        for (column, (froude, rms_limit)) in
            [(0.30, 0.08), (0.35, 0.05), (0.40, 0.04), (0.45, 0.04)].into_iter().enumerate()
        {
            let square = |([lcb, cp, slender, bt, lb], measured): &([f64; 5], [f64; 4])| {
                let hull = model(*lcb, *cp, *slender, *bt, *lb);
                let found = 1000.0 * residuary_per_weight(&hull, froude).unwrap();
                (found / measured[column] - 1.0).powi(2)
            };
            let rms = (MEASURED.iter().map(square).sum::<f64>() / MEASURED.len() as f64).sqrt();
            assert!(rms < rms_limit, "Fn {froude}: rms {rms}");
        }
    }

    /// The same fit worked in an independent numpy program, model 1, 1000 Rr/W to two decimals.
    #[test]
    fn model_1_at_every_low_node() {
        let expected =
            [0.12, 0.24, 0.47, 0.73, 1.15, 1.74, 2.55, 3.64, 5.00, 7.37, 12.08, 20.43, 33.08, 49.45];
        let hull = model(-2.3, 0.568, 4.78, 3.99, 3.17);
        for (froude, expected) in FROUDE.iter().zip(expected) {
            let found = 1000.0 * residuary_per_weight(&hull, *froude).unwrap();
            assert_relative_eq!(found, expected, epsilon = 0.006);
        }
    }

    #[test]
    fn outside_the_table_is_none() {
        let hull = model(-2.3, 0.568, 4.78, 3.99, 3.17);
        assert_eq!(residuary_per_weight(&hull, 0.12), None);
        assert_eq!(residuary_per_weight(&hull, 0.76), None);
    }
}
