//! What a hull's form gives at rest, by integration over its sections.

use crate::hull::point::Point;
use crate::hull::sections::{Hull, Station};
use crate::maths::quadrature::station_weights;

/// Fraction of the greatest waterline beam at which entrance and run end.
const FULL_BEAM: f64 = 0.99;
/// Points per side to which sections are resampled for the wetted surface.
const GIRTH_STEPS: usize = 60;

/// Volumes, areas, centres and coefficients of a hull upright in flat water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hydrostatics {
    /// Length of the waterline, m.
    pub lwl_m: f64,
    /// Greatest beam at the waterline, m.
    pub bwl_m: f64,
    /// Greatest draught of the sections, m.
    pub draught_m: f64,
    /// Immersed volume, m³.
    pub volume_m3: f64,
    /// Centre of buoyancy forward of the aft end of the waterline, m.
    pub lcb_m: f64,
    /// Centre of flotation forward of the aft end of the waterline, m.
    pub lcf_m: f64,
    /// Waterplane area, m².
    pub waterplane_area_m2: f64,
    /// First moment of the waterplane about the aft end of the waterline, m³.
    pub waterplane_moment_m3: f64,
    /// Second moment of the waterplane about the transverse axis through the centre of flotation, m⁴.
    pub waterplane_inertia_m4: f64,
    /// Wetted surface without a transom's face, m².
    pub wetted_surface_m2: f64,
    /// Greatest section area, m².
    pub max_section_area_m2: f64,
    /// Block coefficient, volume / (L B T).
    pub cb: f64,
    /// Prismatic coefficient, volume / (greatest section area x L).
    pub cp: f64,
    /// Greatest-section coefficient, its area / (B T).
    pub cm: f64,
    /// Waterplane coefficient, area / (L B).
    pub cwp: f64,
    /// Angle between waterline and centreline at the bow, rad (parabola through the three foremost stations).
    pub half_entrance_angle_rad: f64,
    /// Distance from the fore end to where the waterline reaches 99 % of its greatest beam, m.
    pub entrance_length_m: f64,
    /// The same from the aft end, m; 0 for a transom of full beam.
    pub run_length_m: f64,
}

impl Hull {
    /// Integrates the sections.
    pub fn hydrostatics(&self) -> Hydrostatics {
        let stations = self.stations();
        let x: Vec<f64> = stations.iter().map(|s| s.x_m).collect();
        let weights = station_weights(&x);
        let integrate = |value: &dyn Fn(&Station) -> f64| -> f64 {
            weights.iter().zip(stations).map(|(w, s)| w * value(s)).sum()
        };
        let greatest = |value: &dyn Fn(&Station) -> f64| stations.iter().map(value).fold(0.0_f64, f64::max);

        let lwl_m = self.lwl_m();
        let bwl_m = greatest(&Station::beam_m);
        let draught_m = greatest(&Station::draught_m);
        let max_section_area_m2 = greatest(&Station::area_m2);
        let volume_m3 = integrate(&Station::area_m2);
        let waterplane_area_m2 = integrate(&Station::beam_m);
        let waterplane_moment_m3 = integrate(&|s| s.x_m * s.beam_m());
        let lcf_m = waterplane_moment_m3 / waterplane_area_m2;
        let waterline: Vec<(f64, f64)> = stations.iter().map(|s| (s.x_m, s.beam_m() / bwl_m)).collect();
        let from_bow: Vec<(f64, f64)> = waterline.iter().rev().map(|&(x, b)| (lwl_m - x, b)).collect();
        Hydrostatics {
            lwl_m,
            bwl_m,
            draught_m,
            volume_m3,
            lcb_m: integrate(&|s| s.x_m * s.area_m2()) / volume_m3,
            lcf_m,
            waterplane_area_m2,
            waterplane_moment_m3,
            waterplane_inertia_m4: integrate(&|s| (s.x_m - lcf_m).powi(2) * s.beam_m()),
            wetted_surface_m2: wetted_surface(stations),
            max_section_area_m2,
            cb: volume_m3 / (lwl_m * bwl_m * draught_m),
            cp: volume_m3 / (max_section_area_m2 * lwl_m),
            cm: max_section_area_m2 / (bwl_m * draught_m),
            cwp: waterplane_area_m2 / (lwl_m * bwl_m),
            half_entrance_angle_rad: entrance_angle(stations),
            entrance_length_m: length_to_full_beam(&from_bow),
            run_length_m: length_to_full_beam(&waterline),
        }
    }
}

/// Distance along a waterline of (distance, fraction of greatest beam) to where it first reaches full beam.
fn length_to_full_beam(waterline: &[(f64, f64)]) -> f64 {
    let reached = waterline.iter().position(|&(_, b)| b >= FULL_BEAM);
    match reached {
        None | Some(0) => 0.0,
        Some(i) => {
            let ((x0, b0), (x1, b1)) = (waterline[i - 1], waterline[i]);
            x0 + (x1 - x0) * (FULL_BEAM - b0) / (b1 - b0)
        }
    }
}

fn entrance_angle(stations: &[Station]) -> f64 {
    let [.., c, b, a] = stations else { return 0.0 };
    let (near, far) = (a.x_m - b.x_m, a.x_m - c.x_m);
    let (y0, y1, y2) = (a.beam_m() / 2.0, b.beam_m() / 2.0, c.beam_m() / 2.0);
    let slope = (y1 - y0) / near * far / (far - near) - (y2 - y0) / far * near / (far - near);
    slope.atan()
}

fn wetted_surface(stations: &[Station]) -> f64 {
    let outlines: Vec<Vec<[f64; 3]>> = stations.iter().map(outline).collect();
    let strip = |aft: &Vec<[f64; 3]>, fore: &Vec<[f64; 3]>| -> f64 {
        (0..GIRTH_STEPS)
            .map(|i| triangle(aft[i], fore[i], aft[i + 1]) + triangle(fore[i], fore[i + 1], aft[i + 1]))
            .sum()
    };
    2.0 * outlines.windows(2).map(|pair| strip(&pair[0], &pair[1])).sum::<f64>()
}

/// A section's side from centreline to waterline as `GIRTH_STEPS` steps of equal girth.
fn outline(station: &Station) -> Vec<[f64; 3]> {
    let keel = Point { z_m: -station.draught_m(), y_m: 0.0 };
    let points: Vec<Point> = std::iter::once(keel).chain(station.points.iter().copied()).collect();
    let mut girth = vec![0.0];
    for pair in points.windows(2) {
        let step = (pair[1].z_m - pair[0].z_m).hypot(pair[1].y_m - pair[0].y_m);
        girth.push(girth[girth.len() - 1] + step);
    }
    let whole = girth[girth.len() - 1];
    (0..=GIRTH_STEPS)
        .map(|i| {
            let wanted = whole * i as f64 / GIRTH_STEPS as f64;
            let k = girth.partition_point(|g| *g < wanted).clamp(1, points.len() - 1);
            let step = girth[k] - girth[k - 1];
            let t = if step > 0.0 { (wanted - girth[k - 1]) / step } else { 0.0 };
            let (a, b) = (points[k - 1], points[k]);
            [station.x_m, a.y_m + t * (b.y_m - a.y_m), a.z_m + t * (b.z_m - a.z_m)]
        })
        .collect()
}

fn triangle(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> f64 {
    let [u, v] = [b, c].map(|p| [p[0] - a[0], p[1] - a[1], p[2] - a[2]]);
    let cross = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    cross.iter().map(|c| c * c).sum::<f64>().sqrt() / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn hull(stations: usize, section: impl Fn(f64) -> Vec<(f64, f64)>, length: f64) -> Hull {
        let station = |i: usize| {
            let x_m = length * i as f64 / (stations - 1) as f64;
            Station { x_m, points: section(x_m).into_iter().map(|(z_m, y_m)| Point { z_m, y_m }).collect() }
        };
        Hull::new((0..stations).map(station).collect()).unwrap()
    }

    /// A box 10 x 2 x 0.5 m: every value by hand.
    #[test]
    fn box_in_closed_form() {
        let h = hull(11, |_| vec![(-0.5, 0.0), (-0.5, 1.0), (0.0, 1.0)], 10.0).hydrostatics();
        assert_relative_eq!(h.volume_m3, 10.0, max_relative = 1e-12);
        assert_relative_eq!(h.lcb_m, 5.0, max_relative = 1e-12);
        assert_relative_eq!(h.lcf_m, 5.0, max_relative = 1e-12);
        assert_relative_eq!(h.waterplane_moment_m3, 100.0, max_relative = 1e-12);
        assert_relative_eq!(h.waterplane_inertia_m4, 2.0 * 1000.0 / 12.0, max_relative = 2e-3);
        assert_relative_eq!(h.wetted_surface_m2, 30.0, max_relative = 1e-12);
        for coefficient in [h.cb, h.cp, h.cm, h.cwp] {
            assert_relative_eq!(coefficient, 1.0, max_relative = 1e-12);
        }
        assert_eq!((h.entrance_length_m, h.run_length_m, h.half_entrance_angle_rad), (0.0, 0.0, 0.0));
    }

    /// A wedge in plan, 8 m long, from a 2 m transom to a point, sides vertical, draught 1 m.
    #[test]
    fn wedge_in_closed_form() {
        let h = hull(41, |x| vec![(-1.0, 1.0 - x / 8.0), (0.0, 1.0 - x / 8.0)], 8.0).hydrostatics();
        assert_relative_eq!(h.volume_m3, 8.0, max_relative = 1e-12);
        assert_relative_eq!(h.lcb_m, 8.0 / 3.0, max_relative = 1e-3);
        assert_relative_eq!(h.waterplane_inertia_m4, 2.0 * 512.0 / 36.0, max_relative = 2e-3);
        assert_relative_eq!(h.half_entrance_angle_rad, (1.0_f64 / 8.0).atan(), max_relative = 1e-9);
        assert_relative_eq!(h.entrance_length_m, 0.99 * 8.0, max_relative = 1e-9);
        assert_eq!(h.run_length_m, 0.0);
        let side = (64.0_f64 + 1.0).sqrt();
        // resampling by girth rounds the chine a little
        assert_relative_eq!(h.wetted_surface_m2, 8.0 + 2.0 * side, max_relative = 5e-3);
    }

    /// Wigley's parabolic hull y = (B/2)(1 - X²)(1 - Z²): volume 4/9 L B T, waterplane 2/3 L B, inertia L³B/30.
    #[test]
    fn parabolic_hull_in_closed_form() {
        let section = |x: f64| {
            let fullness = 1.0 - (2.0 * x / 10.0 - 1.0).powi(2);
            (0..=40)
                .map(|i| 1.0 - f64::from(i) / 40.0)
                .map(|d| (-0.5 * d, 0.5 * fullness * (1.0 - d * d)))
                .collect()
        };
        let h = hull(41, section, 10.0).hydrostatics();
        assert_relative_eq!(h.volume_m3, 4.0 / 9.0 * 10.0 * 1.0 * 0.5, max_relative = 1e-3);
        assert_relative_eq!(h.waterplane_area_m2, 2.0 / 3.0 * 10.0, max_relative = 1e-4);
        assert_relative_eq!(h.waterplane_inertia_m4, 1000.0 / 30.0, max_relative = 1e-3);
        assert_relative_eq!(h.cm, 2.0 / 3.0, max_relative = 1e-3);
        assert_relative_eq!(h.cp, 2.0 / 3.0, max_relative = 1e-3);
        assert_relative_eq!(h.lcb_m, 5.0, max_relative = 1e-9);
        // slope at the bow: (B/2) 4/L
        assert_relative_eq!(h.half_entrance_angle_rad, 0.2_f64.atan(), max_relative = 1e-9);
        // 1 - X² = 0.99 at X = 0.1: 4.5 m from either end, here from straight pieces of 0.25 m
        assert_relative_eq!(h.entrance_length_m, 4.5, max_relative = 1e-2);
        assert_relative_eq!(h.run_length_m, h.entrance_length_m, max_relative = 1e-9);
    }
}
