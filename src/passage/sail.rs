//! Sailing legs one stretch at a time.
//!
//! # Method
//! A stretch ends after [`STEP_M`], at the leg's end, or where another polar or another time's wind takes over; that
//! place is found by halving to [`EDGE_M`]. Over a stretch the speed is that at its middle (midpoint rule), with the
//! polar and the wind's time of its beginning. What is shorter than half a step and lies between two looks is not seen.

use crate::base::bearing::wrap180;
use crate::base::units::{NAUTICAL_MILE_M, kn_to_m_s, m_s_to_kn};
use crate::base::{Error, Result};
use crate::forecast::PointWind;
use crate::passage::chart::{Chart, PolarServing};
use crate::passage::leg::Leg;
use crate::passage::made_good::{MadeGood, Manner, made_good};
use crate::polar::Polar;
use geo::Point;
use jiff::{SignedDuration, Timestamp};

/// The longest stretch, m: a nautical mile.
pub const STEP_M: f64 = NAUTICAL_MILE_M;

/// How exactly the edge of a region or window is found, m.
const EDGE_M: f64 = 1.0;

/// What a boat sails by.
#[derive(Debug, Clone, Copy)]
pub struct Sailing<'a> {
    /// Her flat polar.
    pub flat: &'a Polar,
    /// Her corrected polars; none for a passage on the flat polar.
    pub chart: Option<&'a Chart>,
    pub wind: &'a PointWind,
    /// The longest stretch, m.
    pub step_m: f64,
}

/// A piece of a leg sailed with one polar and the wind of one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// The number of the leg, from 0.
    pub leg: usize,
    /// Where it begins.
    pub from: Point,
    /// Time from the start of the passage to its beginning, s.
    pub start_s: f64,
    /// Length along the course, m.
    pub length_m: f64,
    pub duration_s: f64,
    /// Duration on the flat polar in the same wind, s; none where she makes no way on it.
    pub flat_duration_s: Option<f64>,
    /// True wind speed in its middle, kn.
    pub tws_kn: f64,
    /// True wind angle of sailing straight along the course, + with the wind over the starboard side.
    pub twa_deg: f64,
    /// How it was sailed.
    pub manner: Manner,
    /// The polar; none on a passage on the flat polar.
    pub serving: Option<PolarServing>,
}

/// A passage on one set of polars.
#[derive(Debug, Clone, PartialEq)]
pub struct Voyage {
    /// What was sailed, in order.
    pub stretches: Vec<Stretch>,
    /// Why it ends before the track does.
    pub stopped: Option<Stopped>,
}

/// Where and why a voyage stops.
#[derive(Debug, Clone, PartialEq)]
pub struct Stopped {
    /// The number of the leg, from 0.
    pub leg: usize,
    /// Where.
    pub place: Point,
    /// Time from the start of the passage, s.
    pub at_s: f64,
    pub why: StopReason,
}

/// Why a voyage stops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StopReason {
    /// The forecast has no wind near enough in time.
    NoWindThen,
    /// The forecast has no wind at the place.
    NoWindThere,
    /// The wind speed, kn, lies outside the polar.
    OutsidePolar(f64),
    /// She makes no way along the course in this wind: TWS kn, TWA degrees.
    NoWay(f64, f64),
}

/// What stays the same over a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Footing {
    serving: Option<PolarServing>,
    wind: Option<usize>,
}

/// Speed and what it comes from.
#[derive(Debug, Clone, Copy)]
struct Pace {
    speed_m_s: f64,
    flat_m_s: Option<f64>,
    tws_kn: f64,
    twa_deg: f64,
    manner: Manner,
}

impl Sailing<'_> {
    /// Sails legs from a time on.
    ///
    /// # Errors
    /// Wind that cannot be decoded; a time beyond the calendar.
    pub fn voyage(&self, legs: &[Leg], start: Timestamp) -> Result<Voyage> {
        let mut voyage = Voyage { stretches: Vec::new(), stopped: None };
        let mut at_s = 0.0;
        for (number, leg) in legs.iter().enumerate() {
            let mut along_m = 0.0;
            while along_m < leg.length_m() {
                let from = leg.at(along_m);
                let footing = self.footing(from, after(start, at_s)?);
                let whole_m = self.step_m.min(leg.length_m() - along_m);
                let stretch = match self.pace(footing, leg, along_m + whole_m / 2.0)? {
                    Err(why) => Err(why),
                    Ok(pace) => {
                        let clock = |ahead_m: f64| after(start, at_s + ahead_m / pace.speed_m_s);
                        let length_m = self.length_m(footing, leg, along_m, whole_m, &clock)?;
                        let pace = match length_m == whole_m {
                            true => Ok(pace),
                            false => self.pace(footing, leg, along_m + length_m / 2.0)?,
                        };
                        pace.map(|pace| (length_m, pace))
                    }
                };
                let (length_m, pace) = match stretch {
                    Ok(stretch) => stretch,
                    Err(why) => {
                        voyage.stopped = Some(Stopped { leg: number, place: from, at_s, why });
                        return Ok(voyage);
                    }
                };
                let duration_s = length_m / pace.speed_m_s;
                voyage.stretches.push(Stretch {
                    leg: number,
                    from,
                    start_s: at_s,
                    length_m,
                    duration_s,
                    flat_duration_s: pace.flat_m_s.map(|flat_m_s| length_m / flat_m_s),
                    tws_kn: pace.tws_kn,
                    twa_deg: pace.twa_deg,
                    manner: pace.manner,
                    serving: footing.serving,
                });
                at_s += duration_s;
                // the rest of a leg is taken whole, so that rounding leaves nothing of it
                along_m =
                    if length_m == leg.length_m() - along_m { leg.length_m() } else { along_m + length_m };
            }
        }
        Ok(voyage)
    }

    fn footing(&self, place: Point, time: Timestamp) -> Footing {
        Footing { serving: self.chart.map(|chart| chart.serving(place, time)), wind: self.wind.nearest(time) }
    }

    /// How much of a step keeps its footing, m: all of it, or up to just beyond the first edge.
    fn length_m(
        &self,
        footing: Footing,
        leg: &Leg,
        along_m: f64,
        whole_m: f64,
        clock: &dyn Fn(f64) -> Result<Timestamp>,
    ) -> Result<f64> {
        let kept = |ahead_m: f64| Ok(self.footing(leg.at(along_m + ahead_m), clock(ahead_m)?) == footing);
        let (mut low, mut high) = match (kept(whole_m / 2.0)?, kept(whole_m)?) {
            (true, true) => return Ok(whole_m),
            (true, false) => (whole_m / 2.0, whole_m),
            (false, _) => (0.0, whole_m / 2.0),
        };
        while high - low > EDGE_M {
            let middle = (low + high) / 2.0;
            if kept(middle)? { low = middle } else { high = middle }
        }
        Ok(high)
    }

    fn pace(
        &self,
        footing: Footing,
        leg: &Leg,
        along_m: f64,
    ) -> Result<std::result::Result<Pace, StopReason>> {
        let place = leg.at(along_m);
        let Some(time) = footing.wind else { return Ok(Err(StopReason::NoWindThen)) };
        let Some(wind) = self.wind.at(time, place.y(), place.x())? else {
            return Ok(Err(StopReason::NoWindThere));
        };
        let tws_kn = m_s_to_kn(wind.tws_m_s);
        let twa_deg = wrap180(wind.from.deg() - leg.course_at(along_m).deg());
        Ok(match made_good(self.polar(footing.serving), tws_kn, twa_deg) {
            MadeGood::Way { speed_kn, manner } => {
                let flat_m_s = match made_good(self.flat, tws_kn, twa_deg) {
                    MadeGood::Way { speed_kn, .. } => Some(kn_to_m_s(speed_kn)),
                    MadeGood::OutsideTws | MadeGood::NoWay => None,
                };
                Ok(Pace { speed_m_s: kn_to_m_s(speed_kn), flat_m_s, tws_kn, twa_deg, manner })
            }
            MadeGood::OutsideTws => Err(StopReason::OutsidePolar(tws_kn)),
            MadeGood::NoWay => Err(StopReason::NoWay(tws_kn, twa_deg)),
        })
    }

    /// The corrected polar that serves, else the flat one.
    fn polar(&self, serving: Option<PolarServing>) -> &Polar {
        self.chart.zip(serving).and_then(|(chart, serving)| chart.polar(serving)).unwrap_or(self.flat)
    }
}

impl Voyage {
    /// How long was sailed, s.
    pub fn duration_s(&self) -> f64 {
        self.stretches.iter().map(|stretch| stretch.duration_s).sum::<f64>() + 0.0
    }

    /// How far was sailed along the track, m.
    pub fn length_m(&self) -> f64 {
        self.stretches.iter().map(|stretch| stretch.length_m).sum::<f64>() + 0.0
    }

    /// The stretches of a leg, from 0.
    pub fn leg(&self, leg: usize) -> impl Iterator<Item = &Stretch> {
        // a recorded track has a leg a second: each is found, not looked for
        let first = self.stretches.partition_point(|stretch| stretch.leg < leg);
        let behind = self.stretches.partition_point(|stretch| stretch.leg <= leg);
        self.stretches[first..behind].iter()
    }

    /// Whether a leg, from 0, was sailed to its end.
    pub fn finished(&self, leg: usize) -> bool {
        self.stopped.as_ref().is_none_or(|stopped| leg < stopped.leg)
    }
}

/// A time so many seconds after the start, to the nearest microsecond.
///
/// # Errors
/// A time beyond the calendar.
pub fn after(start: Timestamp, seconds: f64) -> Result<Timestamp> {
    let beyond = |_| {
        Error::new("the passage leaves the calendar")
            .found(format!("{seconds} s after {start}"))
            .expected("times between the years -9999 and 9999")
            .remedy("check the start")
    };
    let micros = (seconds * 1e6).round() as i64;
    start.checked_add(SignedDuration::from_micros(micros)).map_err(beyond)
}
