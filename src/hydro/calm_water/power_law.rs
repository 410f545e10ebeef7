//! Residuary resistance of light slender hulls at Fn 0.4 to 1.0: power laws in the slenderness.
//!
//! Source: Molland, Turnock & Hudson (2011), Ship Resistance and Propulsion, Tables 10.3 (Series 64) and 10.10
//! (extended NPL round-bilge series): 1000 C_R = a (L/V^(1/3))^n, on half rho S V², with S the wetted surface
//! at rest and friction by ITTC-57 on the waterline length. Series 64 covers L/V^(1/3) 8.0 to 12.4 and
//! block coefficients 0.35 to 0.55, the NPL hulls (C_B 0.40) L/V^(1/3) 6.3 to 9.5.

use crate::hydro::calm_water::form::HullForm;
use crate::maths::monotone_cubic;

/// Froude numbers of the tables; the repeated last row holds C_R beyond, with no kink.
const FROUDE: [f64; 8] = [0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1];
/// Lowest and highest tabulated Froude number.
pub const FROUDE_RANGE: (f64, f64) = (0.4, 1.0);
/// Slenderness L/V^(1/3) covered by the two series together.
pub const SLENDERNESS_RANGE: (f64, f64) = (6.3, 12.4);
/// Block coefficients covered by Series 64.
const BLOCK: [f64; 3] = [0.35, 0.45, 0.55];
/// Slenderness covered by both series, over which their weight passes from NPL to Series 64.
const OVERLAP: (f64, f64) = (8.0, 9.5);

type Rows = [(f64, f64); 8];

#[rustfmt::skip]
const SERIES_64: [Rows; 3] = [
    [(288.0, -2.33), (751.0, -2.76), (758.0, -2.81), (279.0, -2.42), (106.0, -2.06), (47.0, -1.74), (25.0, -1.50), (25.0, -1.50)],
    [(36726.0, -4.41), (55159.0, -4.61), (42184.0, -4.56), (29257.0, -4.47), (27130.0, -4.51), (20657.0, -4.46), (11644.0, -4.24), (11644.0, -4.24)],
    [(926.0, -2.74), (1775.0, -3.05), (1642.0, -3.08), (1106.0, -2.98), (783.0, -2.90), (458.0, -2.73), (199.0, -2.38), (199.0, -2.38)],
];
#[rustfmt::skip]
const NPL: Rows =
    [(152.0, -1.76), (2225.0, -3.00), (1702.0, -2.96), (896.0, -2.76), (533.0, -2.58), (273.0, -2.31), (122.0, -1.96), (122.0, -1.96)];

/// Residuary resistance coefficient on half rho S V².
///
/// Above Fn 1 the value of Fn 1 is held, below Fn 0.4 that of 0.4; block coefficients beyond Series 64 take
/// its nearest hull; the power in the slenderness goes on beyond its range. [`in_range`] tells.
pub fn residuary_coefficient(form: &HullForm, froude: f64) -> f64 {
    let froude = froude.clamp(FROUDE[0], FROUDE[FROUDE.len() - 1]);
    monotone_cubic::interpolate(&FROUDE, |node| at_node(form, node), froude)
}

/// Whether form and Froude number lie within the tables.
pub fn in_range(form: &HullForm, froude: f64) -> bool {
    (FROUDE_RANGE.0..=FROUDE_RANGE.1).contains(&froude)
        && (SLENDERNESS_RANGE.0..=SLENDERNESS_RANGE.1).contains(&form.slenderness())
        && (BLOCK[0]..=BLOCK[2]).contains(&form.block_coefficient())
}

fn at_node(form: &HullForm, node: usize) -> f64 {
    let slenderness = form.slenderness();
    let share = smooth_step(slenderness, OVERLAP);
    let npl = coefficient(NPL[node], slenderness);
    npl + share * (series_64(form.block_coefficient(), slenderness, node) - npl)
}

/// Between the tabulated block coefficients ln C_R is interpolated linearly.
fn series_64(block: f64, slenderness: f64, node: usize) -> f64 {
    let left = usize::from(block > BLOCK[1]);
    let part = ((block - BLOCK[left]) / (BLOCK[left + 1] - BLOCK[left])).clamp(0.0, 1.0);
    let [low, high] = [left, left + 1].map(|hull| coefficient(SERIES_64[hull][node], slenderness));
    low.powf(1.0 - part) * high.powf(part)
}

fn coefficient((a, n): (f64, f64), slenderness: f64) -> f64 {
    a * slenderness.powf(n) / 1000.0
}

/// A weight that rises from 0 to 1 over a span with no slope at its ends.
pub(super) fn smooth_step(x: f64, (start, end): (f64, f64)) -> f64 {
    let t = ((x - start) / (end - start)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydro::calm_water::form::samples;
    use approx::assert_relative_eq;

    fn hull(slenderness: f64, block: f64) -> HullForm {
        let mut form = samples::foiler();
        form.volume_m3 = (form.lwl_m / slenderness).powi(3);
        form.draught_m = form.volume_m3 / (form.lwl_m * form.bwl_m * block);
        form
    }

    /// Table values worked by hand: 11644 * 10^-4.24 = 0.67003 and 758 * 10^-2.81 = 1.17401 (Series 64),
    /// 1702 * 7^-2.96 = 5.3636 (NPL), all 1000 C_R.
    #[test]
    fn tabulated_hulls() {
        for (slenderness, block, froude, expected) in
            [(10.0, 0.45, 1.0, 0.670_03), (10.0, 0.35, 0.6, 1.174_01), (7.0, 0.40, 0.6, 5.363_6)]
        {
            let found = 1000.0 * residuary_coefficient(&hull(slenderness, block), froude);
            assert_relative_eq!(found, expected, max_relative = 2e-4);
        }
    }

    #[test]
    fn between_blocks_the_geometric_mean() {
        let at = |block| residuary_coefficient(&hull(11.0, block), 0.8);
        assert_relative_eq!(at(0.40), (at(0.35) * at(0.45)).sqrt(), max_relative = 1e-9);
    }

    #[test]
    fn holds_beyond_its_ends_and_says_so() {
        let form = hull(10.0, 0.45);
        assert_eq!(residuary_coefficient(&form, 1.0), residuary_coefficient(&form, 1.7));
        assert!(in_range(&form, 1.0) && !in_range(&form, 1.01) && !in_range(&form, 0.39));
        assert!(!in_range(&hull(6.2, 0.40), 0.6) && !in_range(&hull(10.0, 0.56), 0.6));
    }
}
