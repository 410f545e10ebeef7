//! A hull afloat at any heave and trim in still water, up to the deck's edge: exact for her straight-sided sections.
//!
//! She turns about a point of her own; the still surface cuts each of her sections, which stand square to her axis, in a
//! level line, so volume and centre are integrals over the sections as they are.

use crate::hull::decked::Decked;
use crate::hull::immersed::ImmersedSection;
use crate::maths::quadrature::station_weights;

/// Sections ready to be immersed, with their weights in an integral over the length.
#[derive(Debug, Clone)]
pub struct Floating {
    x_m: Vec<f64>,
    weights_m: Vec<f64>,
    sections: Vec<ImmersedSection>,
}

/// How she lies: a point of hers, how far it has risen and how far she has turned about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attitude {
    /// The point, m forward of the aft end of the waterline.
    pub x_m: f64,
    /// Its height above the waterline at rest, m.
    pub z_m: f64,
    /// How much higher it stands than at rest, m.
    pub heave_m: f64,
    /// Trim, rad, positive bow down, within a quarter turn.
    pub trim_rad: f64,
}

/// What she displaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Displaced {
    /// Volume, m³.
    pub volume_m3: f64,
    /// Moment of it about the athwartship axis through the point, m⁴: volume times how far forward of the point, along the
    /// still surface, its centre lies.
    pub moment_m4: f64,
}

impl Floating {
    /// Prepares a hull.
    pub fn new(decked: &Decked) -> Self {
        let x_m: Vec<f64> = decked.sections().iter().map(|section| section.x_m).collect();
        Self {
            weights_m: station_weights(&x_m),
            sections: decked.sections().iter().map(ImmersedSection::new).collect(),
            x_m,
        }
    }

    /// Volume and its moment in still water.
    pub fn displaced(&self, attitude: &Attitude) -> Displaced {
        let (sin, cos) = attitude.trim_rad.sin_cos();
        let mut sum = Displaced { volume_m3: 0.0, moment_m4: 0.0 };
        for ((&x, &weight), section) in self.x_m.iter().zip(&self.weights_m).zip(&self.sections) {
            let forward = x - attitude.x_m;
            // height of a point of hers: z_m + heave - forward sin + (z - z_m) cos, which is 0 at the surface
            let level = attitude.z_m + (forward * sin - attitude.z_m - attitude.heave_m) / cos;
            let below = section.below(level);
            sum.volume_m3 += weight * below.area_m2;
            let above_point = below.moment_m3 - attitude.z_m * below.area_m2;
            sum.moment_m4 += weight * (forward * cos * below.area_m2 + sin * above_point);
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hull::decked::DeckedSection;
    use crate::hull::point::Point;
    use approx::assert_relative_eq;

    fn hull(section: impl Fn(f64) -> Vec<(f64, f64)>, stations: usize) -> Floating {
        let one = |i: usize| {
            let x_m = 10.0 * i as f64 / (stations - 1) as f64;
            let points = section(x_m).into_iter().map(|(z_m, y_m)| Point { z_m, y_m }).collect();
            DeckedSection { x_m, points }
        };
        Floating::new(&Decked::new((0..stations).map(one).collect()).unwrap())
    }

    fn middle(heave_m: f64, trim_deg: f64) -> Attitude {
        Attitude { x_m: 5.0, z_m: 0.0, heave_m, trim_rad: trim_deg.to_radians() }
    }

    /// A box 10 x 2 m, 1 m deep with 2 m of side, trimmed by up to 10 degrees: its immersed part is a trapezium with
    /// depths 1 - heave -+ 5 tan at the ends. Centre by hand: along her 5² tan / 3 / depth forward of the middle, and below.
    #[test]
    fn a_box_in_closed_form() {
        let hull = hull(|_| vec![(-1.0, 0.0), (-1.0, 1.0), (2.0, 1.0)], 21);
        for (heave, trim_deg) in [(0.0, 0.0), (0.3, 0.0), (-0.8, 0.0), (0.0, 8.0), (0.0, -8.0), (-0.5, 10.0)]
        {
            let displaced = hull.displaced(&middle(heave, trim_deg));
            let (sin, cos) = trim_deg.to_radians().sin_cos();
            let depth = 1.0 - heave / cos;
            let slope = sin / cos;
            assert_relative_eq!(displaced.volume_m3, 20.0 * depth, max_relative = 1e-12);
            // integral of 2 (depth + slope s) s ds, and of the half squares of level minus of the bottom
            let along = 2.0 * slope * 250.0 / 3.0;
            let level = depth - 1.0;
            let height = 10.0 * (level * level - 1.0) + slope * slope * 250.0 / 3.0;
            let expected = along * cos + height * sin;
            assert_relative_eq!(displaced.moment_m4, expected, max_relative = 2e-3, epsilon = 1e-9);
        }
    }

    /// A prism of wedge sections of 45 degrees, keel 1 m down: area (1 + level)² with level = s tan - heave/cos; the
    /// integral over 10 m is closed, and so is that of the moments.
    #[test]
    fn a_wedge_in_closed_form() {
        let hull = hull(|_| vec![(-1.0, 0.0), (2.0, 3.0)], 201);
        for (heave, trim_deg) in [(0.0, 0.0), (0.4, 0.0), (0.1, 6.0), (-0.6, 9.0)] {
            let displaced = hull.displaced(&middle(heave, trim_deg));
            let (sin, cos) = f64::to_radians(trim_deg).sin_cos();
            let (a, b) = (1.0 - heave / cos, sin / cos);
            let s2 = 2.0 * 125.0 / 3.0;
            let volume = 10.0 * a * a + b * b * s2;
            assert_relative_eq!(displaced.volume_m3, volume, max_relative = 1e-6);
            let along = 2.0 * a * b * s2;
            // of each section: depth² (2/3 depth - 1), depth = a + b s
            let cubes = 10.0 * a.powi(3) + 3.0 * a * b * b * s2;
            let height = 2.0 / 3.0 * cubes - volume;
            assert_relative_eq!(
                displaced.moment_m4,
                along * cos + height * sin,
                max_relative = 1e-5,
                epsilon = 1e-9
            );
        }
    }

    /// Wigley's parabolic hull with vertical sides above, y = (1 - X²)(1 - Z²), half-beam 1 m, 1 m deep, 10 m long. Sunk
    /// to the depth D < 1 (lightened): volume 2 x 20/3 x (D² - D³/3) for depths counted from the keel; sunk below the waterline by
    /// h: 2 x 20/3 x (2/3 + h). At 5 degrees about the middle, sides vertical where the surface cuts her: the added volume
    /// is the integral of the breadth times the level where that is above the waterline alone, so only the whole of a fine
    /// sum serves: 4000 steps of the closed form of each section.
    #[test]
    fn wigley_in_closed_form() {
        let fullness = |x: f64| 1.0 - (x / 5.0 - 1.0).powi(2);
        let section = |x: f64| {
            let steps = (0..=60).map(|i| 1.0 - f64::from(i) / 60.0);
            let mut points: Vec<(f64, f64)> =
                steps.map(|d| (-d, fullness(x).max(0.0) * (1.0 - d * d))).collect();
            points.push((2.0, fullness(x).max(0.0)));
            points
        };
        let hull = hull(section, 161);
        let length = 20.0 / 3.0;
        for heave in [0.6, 0.2] {
            let depth: f64 = 1.0 - heave;
            let expected = 2.0 * length * (depth * depth - depth.powi(3) / 3.0);
            assert_relative_eq!(hull.displaced(&middle(heave, 0.0)).volume_m3, expected, max_relative = 1e-3);
        }
        let deep = hull.displaced(&middle(-0.7, 0.0)).volume_m3;
        assert_relative_eq!(deep, 2.0 * length * (2.0 / 3.0 + 0.7), max_relative = 1e-3);
        let (sin, cos) = 5_f64.to_radians().sin_cos();
        let steps = 4000;
        let (mut volume, mut moment) = (0.0, 0.0);
        for i in 0..steps {
            let x = 10.0 * (f64::from(i) + 0.5) / f64::from(steps);
            let level = (x - 5.0) * sin / cos;
            let (wet, over) = (level.min(0.0), level.max(0.0));
            let depth = 1.0 + wet;
            let area = 2.0 * fullness(x) * (depth * depth - depth.powi(3) / 3.0 + over);
            // of 2 y z: z = d - 1 with y = 2 d - d², d from the keel
            let below =
                2.0 / 3.0 * depth.powi(3) - depth.powi(4) / 4.0 - (depth * depth - depth.powi(3) / 3.0);
            let height = 2.0 * fullness(x) * (below + over * over / 2.0);
            volume += area * 10.0 / f64::from(steps);
            moment += ((x - 5.0) * cos * area + height * sin) * 10.0 / f64::from(steps);
        }
        let trimmed = hull.displaced(&middle(0.0, 5.0));
        assert_relative_eq!(trimmed.volume_m3, volume, max_relative = 1e-3);
        assert_relative_eq!(trimmed.moment_m4, moment, max_relative = 2e-3);
    }
}
