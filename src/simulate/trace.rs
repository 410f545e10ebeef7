//! What a simulation was at one moment, for a file or a picture.

use crate::base::units::{G, m_s_to_kn};
use crate::files::{Column, Kind};
use crate::hydro::surge::Push;
use crate::simulate::boat::{State, Step};
use crate::simulate::linear_motions::Moment;

/// One moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TraceRow {
    /// Time from the end of the start-up, s.
    pub time_s: f64,
    /// Speed, kn.
    pub speed_kn: f64,
    /// Way made from the end of the start-up, m.
    pub position_m: f64,
    /// Height of the wave at the bow, m.
    pub bow_wave_m: f64,
    /// Rise of the water up the bow, m.
    pub bow_relative_m: f64,
    /// Force of the waves along the course, N.
    pub surge_force_n: f64,
    /// Water on deck, kg.
    pub deck_water_kg: f64,
    /// Angle of attack of the foil from zero lift, degrees; none while it carries nothing.
    pub foil_angle_deg: Option<f64>,
    /// Whether she is on her foils.
    pub flying: bool,
    /// Pitch, degrees, positive bow down.
    pub pitch_deg: f64,
    /// Vertical acceleration at the bow, g.
    pub bow_acceleration_g: f64,
}

/// The columns of a trace as a table.
pub const TRACE_COLUMNS: [Column; 11] = [
    ("time_s", Kind::Real),
    ("speed_kn", Kind::Real),
    ("position_m", Kind::Real),
    ("bow_wave_m", Kind::Real),
    ("bow_relative_m", Kind::Real),
    ("surge_force_n", Kind::Real),
    ("deck_water_kg", Kind::Real),
    ("foil_angle_deg", Kind::Real),
    ("flying", Kind::Count),
    ("pitch_deg", Kind::Real),
    ("bow_acceleration_g", Kind::Real),
];

impl TraceRow {
    pub(super) fn new(
        time_s: f64,
        position_m: f64,
        state: &State,
        step: &Step,
        push: Push,
        moment: &Moment,
    ) -> Self {
        Self {
            time_s,
            speed_kn: m_s_to_kn(state.speed),
            position_m,
            bow_wave_m: moment.bow_wave_m,
            bow_relative_m: moment.bow_m,
            surge_force_n: push.force_n,
            deck_water_kg: state.water_kg,
            foil_angle_deg: step.foil_angle_rad.map(f64::to_degrees),
            flying: step.foil_angle_rad.is_some(),
            pitch_deg: moment.pitch_rad.to_degrees(),
            bow_acceleration_g: moment.bow_acceleration_m_s2 / G,
        }
    }

    /// The fields of the row, in the order of [`TRACE_COLUMNS`].
    pub fn fields(&self) -> [String; TRACE_COLUMNS.len()] {
        [
            format!("{:.3}", self.time_s),
            format!("{:.4}", self.speed_kn),
            format!("{:.2}", self.position_m),
            format!("{:.3}", self.bow_wave_m),
            format!("{:.3}", self.bow_relative_m),
            format!("{:.0}", self.surge_force_n),
            format!("{:.1}", self.deck_water_kg),
            self.foil_angle_deg.map(|angle| format!("{angle:.2}")).unwrap_or_default(),
            u8::from(self.flying).to_string(),
            format!("{:.2}", self.pitch_deg),
            format!("{:.3}", self.bow_acceleration_g),
        ]
    }
}
