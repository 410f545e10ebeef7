//! What pitching takes from the sails' mean drive.
//!
//! Pitching moves the sails fore and aft at their centre of effort, a speed u along the course with zero mean. With
//! the sails trimmed to the mean wind (coefficients fixed), lift and drag turn and grow with the momentary wind:
//! F(u) = |w| (L' w_across - D' w_ahead), w = (a + u, b). The mean over a Gaussian u is F(0) + F''(0) var(u)/2 to second
//! order, derived here:
//!
//! F''(0)/2 = [L sin³b - D cos b (2 + sin²b)] / (2 AWS²), with L, D the forces and b the apparent wind angle.
//!
//! The change of the angle of attack within one pitch is left out: how far lift follows it is not known in general.
//! Roll is left out with the beam seas that cause it.

use crate::hydro::sail::SailForce;

/// Change of mean drive in N per variance of the pitch rate (rad²/s²), for a centre of effort this far above the
/// centre of gravity. Negative where drag rules, for small u against the apparent wind.
pub fn mean_drive_change_n(force: &SailForce, effort_above_gravity_m: f64) -> f64 {
    if force.aws_m_s <= 0.0 {
        return 0.0;
    }
    let (sin, cos) = force.awa_rad.sin_cos();
    let lift = force.drive_n * sin + force.side_n * cos;
    let drag = force.side_n * sin - force.drive_n * cos;
    let per_speed2 = (lift * sin.powi(3) - drag * cos * (2.0 + sin * sin)) / (2.0 * force.aws_m_s.powi(2));
    per_speed2 * effort_above_gravity_m * effort_above_gravity_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydro::sail::SailTrim;
    use approx::assert_relative_eq;

    /// Against a three-point Gauss-Hermite mean of F(u), which is exact to fifth order in u.
    #[test]
    fn equals_the_mean_of_the_force_over_gaussian_motion() {
        let (aws, awa) = (14.0_f64, 0.5_f64);
        let (lift, drag) = (9000.0, 1400.0);
        let force = SailForce {
            drive_n: lift * awa.sin() - drag * awa.cos(),
            side_n: lift * awa.cos() + drag * awa.sin(),
            trim: SailTrim::Full,
            awa_rad: awa,
            aws_m_s: aws,
        };
        let drive = |u: f64| {
            let (ahead, across) = (aws * awa.cos() + u, aws * awa.sin());
            ahead.hypot(across) * (lift * across - drag * ahead) / (aws * aws)
        };
        let (sd, lever) = (0.05, 9.0);
        let u = 3.0_f64.sqrt() * sd * lever;
        let mean = (drive(u) + drive(-u)) / 6.0 + drive(0.0) * 2.0 / 3.0;
        let change = mean_drive_change_n(&force, lever) * sd * sd;
        assert_relative_eq!(change, mean - drive(0.0), max_relative = 0.01);
    }
}
