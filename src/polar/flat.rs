//! Boat speed through water by true wind speed (TWS) and true wind angle (TWA), and where it is known.

use crate::base::{Error, Result};
use interp::{InterpMode, interp_array};

/// The fastest speed taken for a boat's, knots; common practice, no source: no sailing boat has reached it.
pub const MAX_SPEED_KN: f64 = 80.0;

/// A table of boat speed on a full grid: the flat polar as read, a corrected polar as written.
///
/// Both axes rise strictly and have at least two values; TWS >= 0; TWA within 0..180, or -180..180 where the
/// tacks differ (+ on starboard tack); speeds within 0..=[`MAX_SPEED_KN`].
#[derive(Debug, Clone, PartialEq)]
pub struct Polar {
    tws_kn: Vec<f64>,
    twa_deg: Vec<f64>,
    speed_kn: Vec<f64>,
}

/// Whether a polar tells the tacks apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tacks {
    /// TWA 0..180; both tacks sail alike.
    Symmetric,
    /// TWA -180..180, + on starboard tack.
    Signed,
}

/// What a polar knows about one wind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lookup {
    /// Boat speed, knots.
    Inside(f64),
    /// The wind lies outside the table; nothing is extrapolated.
    Outside(Outside),
}

/// The axis on which a wind lies outside a polar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outside {
    /// Less or more wind than the table covers.
    Tws,
    /// Closer to the wind or further off it than the table covers.
    Twa,
    /// Both.
    Both,
}

impl Polar {
    /// A polar from its axes and speeds, `speed_kn[i_twa * tws_kn.len() + i_tws]`.
    ///
    /// # Errors
    /// A value that breaks what [`Polar`] promises.
    pub fn new(tws_kn: Vec<f64>, twa_deg: Vec<f64>, speed_kn: Vec<f64>) -> Result<Self> {
        check_axis(PolarAxis::Tws, &tws_kn)?;
        check_axis(PolarAxis::Twa, &twa_deg)?;
        if speed_kn.len() != tws_kn.len() * twa_deg.len() {
            return Err(Error::new("the polar is not a full grid")
                .found(format!("{} speeds", speed_kn.len()))
                .expected(format!("{} TWS x {} TWA", tws_kn.len(), twa_deg.len())));
        }
        speed_kn.iter().try_for_each(|&speed| check_speed(speed))?;
        Ok(Self { tws_kn, twa_deg, speed_kn })
    }

    /// The TWS axis, knots.
    pub fn tws_kn(&self) -> &[f64] {
        &self.tws_kn
    }

    /// The TWA axis, degrees.
    pub fn twa_deg(&self) -> &[f64] {
        &self.twa_deg
    }

    /// The speeds, knots, `[i_twa * tws_kn.len() + i_tws]`.
    pub fn speeds_kn(&self) -> &[f64] {
        &self.speed_kn
    }

    /// The speeds at one TWA, knots, one a TWS.
    pub fn row(&self, i_twa: usize) -> &[f64] {
        let width = self.tws_kn.len();
        &self.speed_kn[i_twa * width..(i_twa + 1) * width]
    }

    /// Whether the table tells the tacks apart.
    pub fn tacks(&self) -> Tacks {
        if self.twa_deg[0] < 0.0 { Tacks::Signed } else { Tacks::Symmetric }
    }

    /// Boat speed in one wind, bilinear between the table's values; `twa_deg` is signed and within -180..=180.
    ///
    /// A symmetric polar takes either sign alike. A signed one knows nothing between its last angle on one tack
    /// and its first on the other: there is no sailing through the wind.
    pub fn speed_kn(&self, tws_kn: f64, twa_deg: f64) -> Lookup {
        let twa_deg = match self.tacks() {
            Tacks::Symmetric => twa_deg.abs(),
            Tacks::Signed => twa_deg,
        };
        let columns = bracket(&self.tws_kn, tws_kn);
        let rows = bracket(&self.twa_deg, twa_deg).filter(|&low| !self.tacks_meet_within(low, twa_deg));
        match (columns, rows) {
            (Some(column), Some(row)) => Lookup::Inside(self.between(column, row, tws_kn, twa_deg)),
            (None, Some(_)) => Lookup::Outside(Outside::Tws),
            (Some(_), None) => Lookup::Outside(Outside::Twa),
            (None, None) => Lookup::Outside(Outside::Both),
        }
    }

    fn tacks_meet_within(&self, low: usize, twa_deg: f64) -> bool {
        let (from, to) = (self.twa_deg[low], self.twa_deg[low + 1]);
        from < 0.0 && to > 0.0 && from < twa_deg && twa_deg < to
    }

    fn between(&self, column: usize, row: usize, tws_kn: f64, twa_deg: f64) -> f64 {
        let along = |row: usize| linear(&self.tws_kn, self.row(row), column, tws_kn);
        linear(&self.twa_deg[row..], &[along(row), along(row + 1)], 0, twa_deg)
    }
}

/// `interp` extrapolates and truncates unasked: it gets two points, and an `x` between them.
pub(super) fn linear(xs: &[f64], ys: &[f64], low: usize, x: f64) -> f64 {
    let pair = low..low + 2;
    let [y] = interp_array(&xs[pair.clone()], &ys[pair], &[x], &InterpMode::FirstLast);
    y
}

/// The index of the interval of a rising axis that holds `x`.
pub(super) fn bracket(axis: &[f64], x: f64) -> Option<usize> {
    let last = axis.len() - 1;
    let inside = axis[0] <= x && x <= axis[last];
    inside.then(|| axis.partition_point(|&value| value <= x).clamp(1, last) - 1)
}

/// An axis of a polar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PolarAxis {
    Tws,
    Twa,
}

impl PolarAxis {
    pub(super) fn name(self) -> &'static str {
        match self {
            PolarAxis::Tws => "TWS",
            PolarAxis::Twa => "TWA",
        }
    }
}

pub(super) fn check_axis(axis: PolarAxis, values: &[f64]) -> Result<()> {
    values.iter().try_for_each(|&value| check_axis_value(axis, value))?;
    let name = axis.name();
    if values.len() < 2 {
        return Err(Error::new(format!("the polar has too few {name} values"))
            .found(values.len())
            .expected("at least two"));
    }
    match values.windows(2).find(|pair| pair[0] >= pair[1]) {
        Some(pair) => {
            Err(Error::new(format!("{name} must rise")).found(format!("{} after {}", pair[1], pair[0])))
        }
        None => Ok(()),
    }
}

pub(super) fn check_axis_value(axis: PolarAxis, value: f64) -> Result<()> {
    let range = match axis {
        PolarAxis::Tws => 0.0..=f64::MAX,
        PolarAxis::Twa => -180.0..=180.0,
    };
    if range.contains(&value) {
        return Ok(());
    }
    let error = Error::new(format!("{} is out of range", axis.name())).found(value);
    Err(match axis {
        PolarAxis::Tws => {
            error.expected("a true wind speed in knots, 0 or more").remedy("correct the wind speed")
        }
        PolarAxis::Twa => error
            .expected("a true wind angle in degrees, 0 to 180, or -180 to 180 where the tacks differ")
            .remedy("give port tack as negative angles, starboard tack as positive ones"),
    })
}

/// The least number taken for a speed above 0, of boat or wind, knots; common practice, no source: less is a conversion
/// gone wrong, and what is divided by it no number.
const LEAST_READ_KN: f64 = 1e-6;

/// A number of a file on a table's axis.
pub(super) fn check_read_axis(axis: PolarAxis, value: f64) -> Result<()> {
    check_axis_value(axis, value)?;
    if axis == PolarAxis::Tws { check_not_minute(axis.name(), value) } else { Ok(()) }
}

/// A speed of a file.
pub(super) fn check_read_speed(speed_kn: f64) -> Result<()> {
    check_speed(speed_kn)?;
    check_not_minute("boat speed", speed_kn)
}

fn check_not_minute(what: &str, speed_kn: f64) -> Result<()> {
    if speed_kn == 0.0 || speed_kn >= LEAST_READ_KN {
        return Ok(());
    }
    Err(Error::new(format!("{what} is too small to be one"))
        .found(format!("{speed_kn:e}"))
        .expected(format!("0, or {LEAST_READ_KN} kn and more"))
        .remedy("write 0 where the boat makes no way; check the unit"))
}

pub(super) fn check_speed(speed_kn: f64) -> Result<()> {
    if (0.0..=MAX_SPEED_KN).contains(&speed_kn) {
        return Ok(());
    }
    let error = Error::new("boat speed is out of range")
        .found(speed_kn)
        .expected(format!("a speed in knots, 0 to {MAX_SPEED_KN}"));
    Err(if speed_kn < 0.0 {
        error.remedy("use 0 where the boat makes no way")
    } else {
        error.remedy("check the unit and the decimal mark")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn small() -> Polar {
        Polar::new(vec![10.0, 20.0], vec![60.0, 120.0], vec![6.0, 8.0, 7.0, 11.0]).unwrap()
    }

    /// By hand: halfway on both axes is the mean of the four corners.
    #[test]
    fn bilinear_at_the_middle_and_the_nodes() {
        assert_eq!(small().speed_kn(15.0, 90.0), Lookup::Inside(8.0));
        assert_eq!(small().speed_kn(15.0, -90.0), Lookup::Inside(8.0));
        assert_eq!(small().speed_kn(20.0, 120.0), Lookup::Inside(11.0));
    }

    #[test]
    fn outside_says_on_which_axis() {
        assert_eq!(small().speed_kn(21.0, 90.0), Lookup::Outside(Outside::Tws));
        assert_eq!(small().speed_kn(15.0, 59.9), Lookup::Outside(Outside::Twa));
        assert_eq!(small().speed_kn(f64::NAN, 190.0), Lookup::Outside(Outside::Both));
    }

    #[test]
    fn no_speed_straight_into_the_wind_between_two_tacks() {
        let polar = Polar::new(vec![10.0, 20.0], vec![-40.0, 40.0], vec![6.0, 7.0, 6.0, 7.0]).unwrap();
        assert_eq!(polar.speed_kn(10.0, 0.0), Lookup::Outside(Outside::Twa));
        assert_eq!(polar.speed_kn(10.0, -40.0), Lookup::Inside(6.0));
        assert_eq!(polar.tacks(), Tacks::Signed);
    }

    #[test]
    fn a_polar_that_breaks_its_promise_is_refused() {
        for (tws, twa, speeds) in [
            (vec![10.0], vec![60.0, 120.0], vec![1.0; 2]),
            (vec![10.0, 10.0], vec![60.0, 120.0], vec![1.0; 4]),
            (vec![10.0, 20.0], vec![60.0, 190.0], vec![1.0; 4]),
            (vec![10.0, 20.0], vec![60.0, f64::NAN], vec![1.0; 4]),
            (vec![10.0, 20.0], vec![60.0, 120.0], vec![1.0; 3]),
            (vec![10.0, 20.0], vec![60.0, 120.0], vec![1.0, 1.0, 1.0, -0.5]),
        ] {
            assert!(Polar::new(tws, twa, speeds).is_err());
        }
    }
}
