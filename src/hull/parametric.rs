//! A canoe body from main dimensions: design waterline, sectional area curve, and sections that join them.
//!
//! The waterline's and the area curve's exponents are solved so that waterplane area, displacement and centre
//! of buoyancy are met on the stations themselves; the keel profile follows as area / (beam x section
//! coefficient). Curve families and default proportions are common practice, no source.

use crate::base::units::RHO_WATER;
use crate::base::{Error, Result};
use crate::hull::sections::{Hull, Station};
use crate::hull::superellipse::section;
use crate::maths::bisect::root;
use crate::maths::quadrature::station_weights;
use std::f64::consts::PI;

const STATIONS: usize = 41;
/// The station of greatest beam, 0.42 of the waterline from its aft end.
const GREATEST_BEAM_STATION: usize = 18;
/// Draught of a transom of full beam as a fraction of the greatest draught.
const TRANSOM_DRAUGHT: f64 = 0.15;
/// Section coefficients, area / (B T), that sections can be drawn for.
const SECTION_COEFFICIENTS: (f64, f64) = (0.45, 0.95);
const EXPONENTS: (f64, f64) = (1.1, 9.0);

/// Main dimensions of the canoe body (without keel and rudders) afloat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dimensions {
    /// Length of the waterline, m.
    pub lwl_m: f64,
    /// Greatest beam at the waterline, m.
    pub bwl_m: f64,
    /// Greatest draught of the canoe body, m.
    pub draught_m: f64,
    /// Displacement, kg, in sea water.
    pub displacement_kg: f64,
    /// Centre of buoyancy as a fraction of the waterline forward of its aft end, 0..1.
    pub lcb_fraction: f64,
    /// Prismatic coefficient; where absent, the block coefficient over 0.72, kept within 0.56..0.66.
    pub cp: Option<f64>,
    /// Waterplane coefficient; where absent, that of parabolic waterlines.
    pub cwp: Option<f64>,
    /// 0 fine, wave-piercing, with sharp sections, to 1 full, with an elliptic waterline and round sections.
    pub bow_fullness: f64,
    /// Beam of the transom at the waterline over the greatest beam, 0..1.
    pub transom_beam: f64,
}

impl Hull {
    /// Draws a hull with these dimensions; displacement, centre of buoyancy and waterplane are met to 0.5 %.
    ///
    /// # Errors
    /// A dimension out of its range, or a combination that no hull of this family has, with what to change.
    pub fn from_dimensions(dimensions: &Dimensions) -> Result<Self> {
        dimensions.check()?;
        let grid = LengthGrid::new();
        let breadth = dimensions.breadth(&grid)?;
        let area = dimensions.area(&grid)?;
        let widest = grid.u[GREATEST_BEAM_STATION];
        let fore = |u: f64| ((u - widest) / (1.0 - widest)).max(0.0);
        let sharpness = 0.12 * (1.0 - dimensions.bow_fullness);
        let shape: Vec<f64> = grid.u.iter().map(|&u| 1.0 - sharpness * fore(u).powi(2)).collect();

        let depth: Vec<f64> = (0..STATIONS)
            .map(|i| if breadth[i] > 0.0 { area[i] / (2.0 * breadth[i] * shape[i]) } else { 0.0 })
            .collect();
        let coefficient = depth.iter().fold(0.0_f64, |a, d| a.max(*d)) / dimensions.draught_m;
        let (least, most) = SECTION_COEFFICIENTS;
        if !(least..=most).contains(&coefficient) {
            let change = if coefficient < least { "less draught or beam" } else { "more draught or beam" };
            return Err(Error::new("displacement does not fit the hull's length, beam and draught")
                .found(format!("a midship section coefficient of {coefficient:.2}"))
                .expected(format!("{least} to {most}"))
                .remedy(format!(
                    "{change}, or another cp; draught_m is the canoe body's, without the keel"
                )));
        }
        let station = |i: usize| -> Result<Station> {
            let points = section(breadth[i], depth[i] / coefficient, coefficient * shape[i])?;
            Ok(Station { x_m: grid.u[i] * dimensions.lwl_m, points })
        };
        Hull::new((0..STATIONS).map(station).collect::<Result<_>>()?)
    }
}

impl Dimensions {
    fn check(&self) -> Result<()> {
        let positive = |v: f64| v > 0.0 && v.is_finite();
        let fraction = |v: f64| (0.0..=1.0).contains(&v);
        let inner = |v: f64| v > 0.0 && v < 1.0;
        for (name, value, good, expected) in [
            ("lwl_m", self.lwl_m, positive(self.lwl_m), "a length above 0"),
            ("bwl_m", self.bwl_m, positive(self.bwl_m), "a length above 0"),
            ("draught_m", self.draught_m, positive(self.draught_m), "a length above 0"),
            ("displacement_kg", self.displacement_kg, positive(self.displacement_kg), "a mass above 0"),
            (
                "lcb_fraction",
                self.lcb_fraction,
                inner(self.lcb_fraction),
                "a fraction of lwl_m between 0 and 1",
            ),
            ("cp", self.cp.unwrap_or(0.5), self.cp.is_none_or(inner), "between 0 and 1"),
            ("cwp", self.cwp.unwrap_or(0.5), self.cwp.is_none_or(inner), "between 0 and 1"),
            ("bow_fullness", self.bow_fullness, fraction(self.bow_fullness), "0 (fine) to 1 (full)"),
            ("transom_beam", self.transom_beam, fraction(self.transom_beam), "0 to 1, a fraction of bwl_m"),
        ] {
            if !good {
                return Err(Error::new(format!("{name} is out of range")).found(value).expected(expected));
            }
        }
        Ok(())
    }

    fn volume_m3(&self) -> f64 {
        self.displacement_kg / RHO_WATER
    }

    fn prismatic(&self) -> f64 {
        let cb = self.volume_m3() / (self.lwl_m * self.bwl_m * self.draught_m);
        self.cp.unwrap_or((cb / 0.72).clamp(0.56, 0.66))
    }

    /// Power of the forward waterline: 1 closes at an angle, 1/2 as an ellipse does.
    fn fore_power(&self) -> f64 {
        1.0 / (1.0 + self.bow_fullness * self.bow_fullness)
    }

    /// Half-breadths of the design waterline at the stations, m.
    fn breadth(&self, grid: &LengthGrid) -> Result<Vec<f64>> {
        let fore_power = 1.0 / (1.0 + self.bow_fullness);
        let curve = |exponent: f64| {
            grid.curve(
                grid.u[GREATEST_BEAM_STATION],
                [exponent, exponent],
                self.transom_beam,
                [1.0, fore_power],
            )
        };
        let exponent = match self.cwp {
            None => 2.0,
            Some(cwp) => root(EXPONENTS, |e| grid.integral(&curve(e)) - cwp).ok_or_else(|| {
                let [low, high] = [EXPONENTS.0, EXPONENTS.1].map(|e| grid.integral(&curve(e)));
                Error::new("cwp does not fit the bow and the transom")
                    .found(cwp)
                    .expected(format!("{low:.2} to {high:.2} with this bow_fullness and transom_beam"))
            })?,
        };
        Ok(curve(exponent).into_iter().map(|b| b * self.bwl_m / 2.0).collect())
    }

    /// Section areas at the stations, m².
    fn area(&self, grid: &LengthGrid) -> Result<Vec<f64>> {
        let cp = self.prismatic();
        let Some(curve) = self.area_curve(grid) else {
            let mut reach = (20..=80)
                .map(|i| f64::from(i) / 100.0)
                .filter(|&lcb_fraction| Self { lcb_fraction, ..*self }.area_curve(grid).is_some());
            return Err(match reach.next() {
                Some(least) => {
                    Error::new("lcb_fraction does not fit the prismatic coefficient and the transom")
                        .found(self.lcb_fraction)
                        .expected(format!(
                            "{least:.2} to {:.2} at cp = {cp:.3}",
                            reach.last().unwrap_or(least)
                        ))
                }
                None => Error::new("no sectional area curve has this prismatic coefficient")
                    .found(format!("cp = {cp:.3}"))
                    .expected("about 0.52 to 0.65")
                    .remedy("change cp or transom_beam"),
            });
        };
        let scale = self.volume_m3() / (grid.integral(&curve) * self.lwl_m);
        Ok(curve.into_iter().map(|a| a * scale).collect())
    }

    /// The sectional area curve over its peak that has the prismatic coefficient and the centre of buoyancy.
    fn area_curve(&self, grid: &LengthGrid) -> Option<Vec<f64>> {
        let cp = self.prismatic();
        let peak = (self.lcb_fraction + 0.01).clamp(0.3, 0.7);
        let transom = TRANSOM_DRAUGHT * self.transom_beam;
        let fore_power = self.fore_power() + 0.3 + 0.7 * self.bow_fullness;
        let aft_power = 1.5 - 0.5 * self.transom_beam;
        let curve = |aft: f64, fore: f64| grid.curve(peak, [aft, fore], transom, [aft_power, fore_power]);
        let with_cp = |aft: f64| {
            root(EXPONENTS, |fore| grid.integral(&curve(aft, fore)) - cp).map(|fore| curve(aft, fore))
        };
        let centre = |area: Vec<f64>| grid.moment(&area) / grid.integral(&area);
        let range = feasible(EXPONENTS, |aft| with_cp(aft).is_some())?;
        with_cp(root(range, |aft| with_cp(aft).map_or(f64::NAN, centre) - self.lcb_fraction)?)
    }
}

/// Stations on the unit length with their weights, dense towards both ends.
struct LengthGrid {
    u: Vec<f64>,
    weights: Vec<f64>,
}

impl LengthGrid {
    fn new() -> Self {
        let u: Vec<f64> =
            (0..STATIONS).map(|i| 0.5 - 0.5 * (PI * i as f64 / (STATIONS - 1) as f64).cos()).collect();
        Self { weights: station_weights(&u), u }
    }

    /// 1 at `peak`, falling to `end` aft and 0 fore with the given [aft, fore] exponents and powers.
    fn curve(&self, peak: f64, exponents: [f64; 2], end: f64, powers: [f64; 2]) -> Vec<f64> {
        let value = |u: f64| {
            if u < peak {
                let r = (peak - u) / peak;
                end + (1.0 - end) * (1.0 - r.powf(exponents[0])).max(0.0).powf(powers[0])
            } else {
                let s = (u - peak) / (1.0 - peak);
                (1.0 - s.powf(exponents[1])).max(0.0).powf(powers[1])
            }
        };
        self.u.iter().map(|&u| value(u)).collect()
    }

    fn integral(&self, f: &[f64]) -> f64 {
        self.weights.iter().zip(f).map(|(w, f)| w * f).sum()
    }

    fn moment(&self, f: &[f64]) -> f64 {
        self.weights.iter().zip(&self.u).zip(f).map(|((w, u), f)| w * u * f).sum()
    }
}

/// The widest part of a range on which a condition holds, to a hundredth of the range.
fn feasible((low, high): (f64, f64), holds: impl Fn(f64) -> bool) -> Option<(f64, f64)> {
    let steps: Vec<f64> = (0..=100).map(|i| low + (high - low) * f64::from(i) / 100.0).collect();
    let first = steps.iter().copied().find(|&s| holds(s))?;
    let last = steps.iter().rev().copied().find(|&s| holds(s))?;
    Some((first, last))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const LIGHT: Dimensions = Dimensions {
        lwl_m: 18.0,
        bwl_m: 4.0,
        draught_m: 0.3,
        displacement_kg: 7500.0,
        lcb_fraction: 0.45,
        cp: None,
        cwp: None,
        bow_fullness: 0.3,
        transom_beam: 0.75,
    };

    fn all() -> Vec<Dimensions> {
        vec![
            LIGHT,
            Dimensions { bow_fullness: 0.0, ..LIGHT },
            Dimensions { bow_fullness: 1.0, ..LIGHT },
            Dimensions { transom_beam: 0.0, cp: Some(0.55), lcb_fraction: 0.48, ..LIGHT },
            Dimensions { cwp: Some(0.72), cp: Some(0.57), draught_m: 0.28, ..LIGHT },
            Dimensions { lwl_m: 9.0, bwl_m: 2.6, draught_m: 0.45, displacement_kg: 4200.0, ..LIGHT },
        ]
    }

    #[test]
    fn meets_its_dimensions() {
        for d in all() {
            let h = Hull::from_dimensions(&d).unwrap().hydrostatics();
            assert_relative_eq!(h.volume_m3 * RHO_WATER, d.displacement_kg, max_relative = 5e-3);
            assert_relative_eq!(h.lcb_m, d.lcb_fraction * d.lwl_m, max_relative = 5e-3);
            assert_relative_eq!(h.bwl_m, d.bwl_m, max_relative = 5e-3);
            assert_relative_eq!(h.draught_m, d.draught_m, max_relative = 5e-3);
            assert_relative_eq!(h.lwl_m, d.lwl_m, max_relative = 1e-9);
            if let Some(cwp) = d.cwp {
                assert_relative_eq!(h.cwp, cwp, max_relative = 5e-3);
            }
            if let Some(cp) = d.cp {
                assert_relative_eq!(h.cp, cp, max_relative = 1e-2);
            }
        }
    }

    #[test]
    fn a_fuller_bow_has_a_blunter_waterline_further_forward() {
        let forms: Vec<_> = [0.0, 0.5, 1.0]
            .map(|bow_fullness| {
                Hull::from_dimensions(&Dimensions { bow_fullness, ..LIGHT }).unwrap().hydrostatics()
            })
            .to_vec();
        for pair in forms.windows(2) {
            assert!(pair[1].half_entrance_angle_rad > pair[0].half_entrance_angle_rad);
            assert!(pair[1].lcf_m > pair[0].lcf_m && pair[1].cwp > pair[0].cwp);
        }
    }

    #[test]
    fn impossible_wishes_are_named() {
        let error = |d: Dimensions| Hull::from_dimensions(&d).unwrap_err().problem().to_owned();
        assert!(error(Dimensions { draught_m: 2.5, ..LIGHT }).contains("displacement does not fit"));
        assert!(error(Dimensions { draught_m: 0.15, ..LIGHT }).contains("displacement does not fit"));
        assert!(error(Dimensions { lcb_fraction: 0.9, ..LIGHT }).contains("lcb_fraction"));
        assert!(error(Dimensions { cwp: Some(0.3), ..LIGHT }).contains("cwp"));
        assert!(error(Dimensions { cp: Some(0.98), ..LIGHT }).contains("prismatic"));
        assert!(error(Dimensions { bwl_m: f64::NAN, ..LIGHT }).contains("bwl_m"));
    }
}
