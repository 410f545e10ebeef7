//! A hull that floats higher because something else carries part of her weight.

use crate::hull::hydrostatics::Hydrostatics;
use crate::hull::point::Point;
use crate::hull::sections::{Hull, Station};
use crate::maths::quadrature::station_weights;
use crate::maths::root::bracketed_root;

/// How exactly the rise is found, m.
const TOLERANCE_M: f64 = 1e-7;

/// A hull on an even keel with part of her volume immersed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Risen {
    /// How much higher she floats than with all of it, m.
    pub rise_m: f64,
    /// Of what is left under water; positions as those of the whole hull.
    pub hydrostatics: Hydrostatics,
}

impl Hull {
    /// The hull with a share of her volume immersed, above 0 and at most 1.
    pub fn risen(&self, share: f64) -> Risen {
        let x: Vec<f64> = self.stations().iter().map(|station| station.x_m).collect();
        let weights = station_weights(&x);
        let volume_m3 = |rise_m: f64| -> f64 {
            weights
                .iter()
                .zip(self.stations())
                .map(|(weight, station)| weight * station.area_under_m2(rise_m))
                .sum()
        };
        let draught_m = self.stations().iter().map(Station::draught_m).fold(0.0, f64::max);
        let wanted_m3 = share * volume_m3(0.0);
        let rise_m = bracketed_root(|rise_m| volume_m3(rise_m) - wanted_m3, 0.0, draught_m, TOLERANCE_M);
        let rise_m = rise_m.unwrap_or(0.0);
        Risen { rise_m, hydrostatics: self.raised(rise_m).hydrostatics() }
    }

    /// The part of the hull that is left under water by a rise, above it the new waterline.
    fn raised(&self, rise_m: f64) -> Hull {
        Hull::of_checked(self.stations().iter().map(|station| station.raised(rise_m)).collect())
    }
}

impl Station {
    fn raised(&self, rise_m: f64) -> Station {
        let mut points: Vec<Point> = Vec::with_capacity(self.points.len() + 1);
        let lifted = |point: &Point| Point { z_m: point.z_m + rise_m, y_m: point.y_m };
        points.extend(self.points.iter().map(lifted).take_while(|point| point.z_m < 0.0));
        // above the keel the section is cut at the waterline; a section that is out of the water has no beam there
        let edge = match (points.last(), self.points.get(points.len()).map(lifted)) {
            (Some(below), Some(above)) => {
                let part = -below.z_m / (above.z_m - below.z_m);
                below.y_m + part * (above.y_m - below.y_m)
            }
            (None, Some(at)) if at.z_m == 0.0 => at.y_m,
            _ => 0.0,
        };
        points.push(Point { z_m: 0.0, y_m: edge });
        Station { x_m: self.x_m, points }
    }

    fn area_under_m2(&self, rise_m: f64) -> f64 {
        self.raised(rise_m).area_m2()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn hull(section: &[(f64, f64)]) -> Hull {
        let points: Vec<Point> = section.iter().map(|&(z_m, y_m)| Point { z_m, y_m }).collect();
        let station = |i: u32| Station { x_m: f64::from(i), points: points.clone() };
        Hull::new((0..=10).map(station).collect()).unwrap()
    }

    /// A box 10 x 2 x 0.5 m by hand: with 0.6 of her volume she draws 0.3 m, on the same waterplane.
    #[test]
    fn a_box_rises_in_proportion() {
        let hull = hull(&[(-0.5, 0.0), (-0.5, 1.0), (0.0, 1.0)]);
        let (whole, risen) = (hull.hydrostatics(), hull.risen(0.6));
        assert_relative_eq!(risen.rise_m, 0.2, epsilon = 1e-6);
        assert_relative_eq!(risen.hydrostatics.draught_m, 0.3, epsilon = 1e-6);
        assert_relative_eq!(risen.hydrostatics.volume_m3, 6.0, max_relative = 1e-5);
        assert_relative_eq!(
            risen.hydrostatics.waterplane_inertia_m4,
            whole.waterplane_inertia_m4,
            max_relative = 1e-9
        );
        assert_relative_eq!(hull.risen(1.0).rise_m, 0.0, epsilon = 1e-6);
    }

    /// A wedge below, 2 m wide and 1 m deep, by hand: volume goes with the square of the draught and breadth with the
    /// draught, so a quarter of the volume leaves half of both.
    #[test]
    fn a_triangle_rises_by_the_root() {
        let hull = hull(&[(-1.0, 0.0), (0.0, 1.0)]);
        let risen = hull.risen(0.25);
        assert_relative_eq!(risen.rise_m, 0.5, epsilon = 1e-6);
        assert_relative_eq!(risen.hydrostatics.bwl_m, 1.0, epsilon = 1e-6);
    }
}
