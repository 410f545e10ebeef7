//! What drives and what holds a boat over her speed, as a simulation reads it.

use crate::hydro::surge::speed_curve::SpeedCurve;

/// Steps of the curves from one speed to the next where another balance is looked for.
const SEARCH_STEPS: f64 = 4.0;

/// Thrust and resistance over speed, and the inertia that they move.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SurgeCurves {
    /// Mass and added mass, kg.
    inertia_kg: f64,
    drive: SpeedCurve,
    drag: SpeedCurve,
    /// The same drag without the foils' lift, and the fall to it; none for a boat that does not fly.
    flight: Option<FlightCurves>,
    /// Other events that end a flight.
    events: Option<SpeedCurve>,
}

/// How a boat that has lost her foils' lift is held.
#[derive(Debug, Clone, PartialEq)]
struct FlightCurves {
    /// Speed through the water below which the foils let go, m/s.
    drop_m_s: f64,
    /// Time to fly again, s.
    recovery_s: f64,
    drag: SpeedCurve,
}

impl SurgeCurves {
    /// Curves of `drive_n` over her speed and `drag_n` over that through the water, at steps from rest, at least two.
    /// Below rest the drive is that at rest and the drag acts the other way.
    pub fn new(step_m_s: f64, inertia_kg: f64, drive_n: &[f64], drag_n: &[f64]) -> Self {
        Self {
            inertia_kg,
            drive: SpeedCurve::new(step_m_s, drive_n),
            drag: SpeedCurve::new(step_m_s, drag_n),
            flight: None,
            events: None,
        }
    }

    /// The same for a boat that falls off her foils below a speed through the water and then is held by `drag_n`, at the same
    /// steps, for a time.
    pub fn with_falls(mut self, drop_m_s: f64, recovery_s: f64, drag_n: &[f64]) -> Self {
        let drag = SpeedCurve::new(self.drag.step_m_s(), drag_n);
        self.flight = Some(FlightCurves { drop_m_s, recovery_s, drag });
        self
    }

    /// The same with a rate of events over speed, events a second at steps from rest, to be averaged over the speeds she has.
    pub fn with_rate(mut self, step_m_s: f64, per_second: &[f64]) -> Self {
        self.events = Some(SpeedCurve::new(step_m_s, per_second));
        self
    }

    /// Changes the drive by a constant so that it balances the drag at a speed in still water.
    pub fn balanced_at(self, speed_m_s: f64) -> Self {
        let (surplus, _) = self.surplus(speed_m_s, 0.0, false);
        self.less(surplus)
    }

    /// The same with a constant less drive, N.
    pub fn less(mut self, force_n: f64) -> Self {
        self.drive.raise(-force_n);
        self
    }

    /// The slowest speed above one at which thrust is no less than drag in still water, m/s: beyond it she would hold
    /// another, faster speed.
    pub fn faster_from_m_s(&self, speed_m_s: f64) -> Option<f64> {
        let step = SEARCH_STEPS * self.drag.step_m_s();
        let speeds = (1..).map(|steps| speed_m_s + step * f64::from(steps));
        let followed = speeds.take_while(|speed| *speed < self.drag.top_m_s());
        followed
            .skip_while(|speed| self.surplus(*speed, 0.0, false).0 >= 0.0)
            .find(|speed| self.surplus(*speed, 0.0, false).0 >= 0.0)
    }

    /// Time in which a small change of her speed in still water falls to 1/e, s; without end where it does not fall.
    pub fn decay_s(&self, speed_m_s: f64) -> f64 {
        let (_, slope) = self.surplus(speed_m_s, 0.0, false);
        if slope < 0.0 { self.inertia_kg / -slope } else { f64::INFINITY }
    }

    /// Mass and added mass, kg.
    pub fn inertia_kg(&self) -> f64 {
        self.inertia_kg
    }

    /// Drop speed, m/s, and time of recovery, s, of a boat that can fall.
    pub fn fall(&self) -> Option<(f64, f64)> {
        self.flight.as_ref().map(|flight| (flight.drop_m_s, flight.recovery_s))
    }

    /// Thrust less resistance, N, and its slope, N s/m, at a speed in water that moves along the course.
    #[inline(always)]
    pub fn surplus(&self, speed_m_s: f64, flow_m_s: f64, fallen: bool) -> (f64, f64) {
        let (drive, drive_slope) = self.drive.at(speed_m_s.max(0.0));
        let through = speed_m_s - flow_m_s;
        let curve = match &self.flight {
            Some(flight) if fallen => &flight.drag,
            _ => &self.drag,
        };
        let (drag, drag_slope) = curve.at(through.abs());
        (drive - through.signum() * drag, drive_slope - drag_slope)
    }

    /// Events a second at a speed.
    #[inline(always)]
    pub(super) fn rate(&self, speed_m_s: f64) -> f64 {
        self.events.as_ref().map_or(0.0, |events| events.at(speed_m_s.max(0.0)).0)
    }
}
