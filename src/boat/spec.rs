//! What a boat file says of her, table by table, in metres, kilograms, knots, degrees and seconds.

use crate::base::{Error, Result};
use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// A boat as her file describes her. Optional tables are absent when the boat has no such part.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Boat {
    /// What she is called in reports.
    pub name: String,
    /// Canoe body: main dimensions, or a file of sections.
    pub hull: HullSpec,
    /// Deck and bow above the water.
    pub deck: Option<DeckSpec>,
    /// The hull between waterline and deck.
    pub topsides: Option<TopsidesSpec>,
    /// Keel, rudders and what else is wetted besides the canoe body and the foils.
    pub appendages: Option<AppendageSpec>,
    /// Sails and the righting moment that bounds them.
    pub sails: Option<SailSpec>,
    /// Lifting foils, one a side.
    pub foils: Option<FoilSpec>,
    /// What stands in the wind besides hull and rig.
    pub windage: Option<WindageSpec>,
}

/// `[hull]`: the canoe body at her sailing displacement.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct HullSpec {
    /// Length of the waterline, m.
    pub lwl_m: Option<f64>,
    /// Beam of the waterline, m.
    pub bwl_m: Option<f64>,
    /// Draught of the canoe body, m.
    pub draught_m: Option<f64>,
    /// Displacement, kg.
    pub displacement_kg: Option<f64>,
    /// Offsets file (`x_m,z_m,y_m`) in place of the main dimensions, relative to the boat file.
    pub sections: Option<PathBuf>,
    /// Radius of gyration in pitch, m.
    pub pitch_radius_m: f64,
    /// Centre of buoyancy forward of the aft end of the waterline, as a fraction of `lwl_m`.
    pub lcb_fraction: Option<f64>,
    /// Prismatic coefficient.
    pub prismatic_coefficient: Option<f64>,
    /// Waterplane coefficient, area / (length x beam).
    pub waterplane_coefficient: Option<f64>,
    /// Fullness of the forward waterline and sections: 0 fine and wave-piercing, 1 full.
    pub bow_fullness: Option<f64>,
    /// Beam of the waterline at the transom as a fraction of `bwl_m`.
    pub transom_beam_fraction: Option<f64>,
    /// Height of the centre of gravity above the waterline, m.
    pub vcg_m: Option<f64>,
    /// Deadrise of the planing surface, degrees; makes the planing method available.
    pub deadrise_deg: Option<f64>,
}

/// `[deck]`: what the bow keeps out and how long the deck holds what it ships.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct DeckSpec {
    /// Geometric freeboard at the bow, m.
    pub bow_freeboard_m: f64,
    /// Length of deck edge over which green water comes aboard, both sides of the bow together, m.
    pub wetted_edge_m: f64,
    /// Mean time for shipped water to leave the deck, s.
    pub drain_time_s: f64,
    /// Share of the shipped water that is brought to her speed before it leaves the deck, 0 to 1: its momentum is taken from
    /// her. 1, the default, goes with water that stays for the drain time; 0 leaves it out.
    #[serde(default = "whole")]
    pub momentum_share: f64,
}

/// `[topsides]`: the hull between waterline and deck from figures; the freeboard at the bow is that of `[deck]`.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct TopsidesSpec {
    /// Freeboard in the middle of the deck's length, m.
    pub mid_freeboard_m: f64,
    /// Freeboard at the stern, m.
    pub stern_freeboard_m: f64,
    /// Greatest beam of the deck, m.
    pub deck_beam_m: f64,
    /// Beam of the deck at the stern as a fraction of `deck_beam_m`.
    pub deck_transom_fraction: f64,
    /// Fullness of the forward deck's outline: 0 fine, 1 full. This or `bow_flare_deg`.
    pub deck_bow_fullness: Option<f64>,
    /// Angle of the side from the vertical at nine tenths of the waterline, degrees. This or `deck_bow_fullness`.
    pub bow_flare_deg: Option<f64>,
    /// Rake of the stem from the vertical, degrees: above 0 overhanging, 0 plumb, below 0 leaning back.
    pub stem_rake_deg: f64,
}

/// `[appendages]`: keel and rudders.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct AppendageSpec {
    /// Wetted area of all appendages, m².
    pub wetted_area_m2: f64,
    /// Mean chord, m.
    pub chord_m: f64,
    /// Greatest thickness of the sections over their chord.
    pub thickness_ratio: f64,
    /// Effective draught of hull and keel for side force, m.
    pub effective_draught_m: f64,
}

/// `[sails]`: areas and the bound on heel.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct SailSpec {
    /// Mainsail, m².
    pub mainsail_m2: f64,
    /// Headsail set upwind, m².
    pub headsail_m2: f64,
    /// Largest downwind sail, m².
    pub downwind_m2: Option<f64>,
    /// Effective aspect ratio of the sail plan.
    pub effective_aspect: f64,
    /// Centre of effort above the centre of lateral resistance, m.
    pub heeling_arm_m: f64,
    /// Centre of effort above the centre of gravity, m.
    pub effort_above_gravity_m: f64,
    /// Drag area (coefficient x area) of hull and rig in the wind, without sails, m².
    pub hull_and_rig_drag_area_m2: f64,
    /// Largest righting moment the crew sails to, N m.
    #[serde(rename(deserialize = "max_righting_moment_n_m"), alias = "max_righting_moment_nm")]
    pub max_righting_moment_nm: f64,
    /// Heel at that righting moment, degrees.
    #[serde(default = "usual_heel_deg")]
    pub heel_at_max_righting_deg: f64,
}

/// `[foils]`: one lifting foil a side, the leeward one in use.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct FoilSpec {
    /// Speed from which the foil carries weight, kn.
    pub take_off_speed_kn: f64,
    /// Speed at which it carries its full share, kn.
    pub full_share_speed_kn: f64,
    /// Largest share of the weight it carries, 0 to 1.
    pub max_share: f64,
    /// Position of the lifting part forward of the aft end of the waterline, m.
    pub x_m: f64,
    /// Depth of the lifting part below the undisturbed surface in flight, m.
    pub depth_m: f64,
    /// Span of the lifting part, m.
    pub span_m: f64,
    /// Chord of the lifting part, m.
    pub chord_m: f64,
    /// Angle of attack at which the section stalls, from zero lift, degrees.
    pub stall_angle_deg: f64,
    /// Share of the lift that is left after stall, 0 to 1.
    pub lift_after_stall: f64,
    /// Angle of attack from which air may reach a surface-piercing foil, degrees.
    pub ventilation_angle_deg: Option<f64>,
    /// Time to regain flight after a stall or a broach, s.
    pub recovery_time_s: f64,
    /// Profile drag coefficient on the foil's plan area.
    pub profile_drag_coefficient: f64,
    /// Flat-water polar with the foils raised, relative to the boat file.
    pub foils_up_polar: Option<PathBuf>,
    /// The port foil.
    pub port: FoilSide,
    /// The starboard foil.
    pub starboard: FoilSide,
}

/// `[foils.port]`, `[foils.starboard]`: one side.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct FoilSide {
    /// Whether it can be used.
    pub state: FoilPresence,
}

/// What can be done with a foil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FoilPresence {
    /// In use when to leeward, raised when to windward.
    Present,
    /// Raised on both tacks: stands in the wind.
    Raised,
    /// Gone.
    Missing,
}

/// `[windage]`: areas in the wind that the flat polar does not know.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct WindageSpec {
    /// Area of a raised foil that stands in the wind, m².
    pub raised_foil_area_m2: f64,
    /// Drag coefficient of a raised foil on that area.
    pub raised_foil_drag_coefficient: f64,
    /// Whether the flat polar was made with the windward foil raised in the wind, as it mostly is.
    #[serde(default = "yes")]
    pub raised_foil_in_polar: bool,
    /// Drag area (coefficient x area) of extra gear carried in the sea only, m².
    pub extra_drag_area_m2: f64,
}

/// What crews of ballasted boats sail to (common practice, no source).
fn usual_heel_deg() -> f64 {
    20.0
}

fn whole() -> f64 {
    1.0
}

fn yes() -> bool {
    true
}

/// A side of the boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// The left side, looking forward; to leeward on starboard tack.
    Port,
    /// The right side, looking forward; to leeward on port tack.
    Starboard,
}

impl Side {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Port, Self::Starboard];

    /// The name in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Port => "port",
            Self::Starboard => "starboard",
        }
    }
}

impl Boat {
    /// The same boat with the foil of one side gone.
    ///
    /// # Errors
    /// When the boat has no foils.
    pub fn without_foil(mut self, side: Side) -> Result<Self> {
        let Some(foils) = &mut self.foils else {
            return Err(Error::new("the boat has no foils to lose")
                .found(format!("`{}` has no [foils] table", self.name))
                .expected("a boat with foils")
                .remedy("leave out the option, or add [foils] to the boat file"));
        };
        match side {
            Side::Port => foils.port.state = FoilPresence::Missing,
            Side::Starboard => foils.starboard.state = FoilPresence::Missing,
        }
        Ok(self)
    }
}

impl FoilSpec {
    /// The state of the foil of one side.
    pub fn state(&self, side: Side) -> FoilPresence {
        match side {
            Side::Port => self.port.state,
            Side::Starboard => self.starboard.state,
        }
    }
}

impl Side {
    /// The leeward side when the wind comes from `twa_deg` (signed, + on starboard tack).
    pub fn leeward(twa_deg: f64) -> Self {
        if twa_deg >= 0.0 { Side::Port } else { Side::Starboard }
    }

    /// The other side.
    pub fn opposite(self) -> Self {
        match self {
            Side::Port => Side::Starboard,
            Side::Starboard => Side::Port,
        }
    }
}
