//! A boat made ready to compute with: hull, calm water, sails, foils and response tables together.

use crate::base::units::{G, RHO_WATER, kn_to_m_s};
use crate::base::{Error, Result};
use crate::base::{Flag, Flags};
use crate::boat::spec::{Boat, FoilPresence, FoilSpec, Side};
use crate::hull::{DeckBow, Dimensions, Hull, Hydrostatics, Topsides};
use crate::hydro::added_resistance::short_waves::Waterline;
use crate::hydro::added_resistance::{radiated_energy, snnm};
use crate::hydro::calm_water::appendages::Appendage;
use crate::hydro::calm_water::curve::CalmHull;
use crate::hydro::calm_water::form::HullForm;
use crate::hydro::calm_water::savitsky::PlaningDims;
use crate::hydro::foil::{Foil, FoilAtDepth, LiftShare, Stall};
use crate::hydro::own_table::OwnTable;
use crate::hydro::response::{BoatInWaves, FoilInWaves, Method};
use crate::hydro::sail::{HeelLimit, SailPlan};
use crate::hydro::strip::StripHull;

/// Hull form where the boat file says nothing: a modern sailing hull (common practice, no source).
const DEFAULT_LCB_FRACTION: f64 = 0.46;
const DEFAULT_BOW_FULLNESS: f64 = 0.35;
const DEFAULT_TRANSOM_BEAM: f64 = 0.6;

/// Where slams are counted, abaft the stem over the length of the waterline (Ochi 1964, from memory).
pub(super) const FOREFOOT_ABAFT_STEM: f64 = 0.1;

/// Everything about a boat that does not depend on the sea, the wind or a polar.
#[derive(Debug, Clone)]
pub struct BoatModel {
    /// The boat as described.
    pub boat: Boat,
    /// Sections of the canoe body.
    pub hull: Hull,
    /// Areas, volumes and centres of the canoe body.
    pub hydrostatics: Hydrostatics,
    pub displacement_kg: f64,
    /// Resistance in flat water.
    pub calm: CalmHull,
    /// Sails, if the boat file has them.
    pub sails: Option<SailPlan>,
    /// Foils, if the boat file has them.
    pub foils: Option<Foils>,
    /// What answers to waves.
    pub waves: BoatInWaves,
    /// Reservations that hold for every result of this boat.
    pub flags: Flags,
}

/// The foils made ready to compute with.
#[derive(Debug, Clone)]
pub struct Foils {
    /// Share of the weight over speed.
    pub share: LiftShare,
    /// The working surface at its depth in flight.
    pub foil: FoilAtDepth,
    /// Where it stalls, or loses its lift to air if that comes first.
    pub stall: Stall,
    /// Time to fly again, s.
    pub recovery_s: f64,
    /// Angle from which air may reach it, rad.
    pub ventilation_rad: Option<f64>,
}

impl Foils {
    /// Whether a foil at an angle of attack has stalled, or air may reach it.
    pub fn is_past_limits(&self, angle_rad: f64) -> bool {
        angle_rad > self.stall.positive_rad || angle_rad < -self.stall.negative_rad
    }
}

impl BoatModel {
    /// Prepares a boat.
    ///
    /// # Errors
    /// When the hull's sections cannot be read or generated.
    pub fn new(boat: Boat, method: Method, own: Option<OwnTable>) -> Result<Self> {
        if method == Method::Table && own.is_none() {
            return Err(Error::new("the method `table` has no table")
                .expected("the user's own responses, as CSV")
                .remedy("add own_responses = \"file.csv\" to [model] of the job, or choose another method"));
        }
        let hull = hull(&boat)?;
        let hydrostatics = hull.hydrostatics();
        let displacement_kg = hydrostatics.volume_m3 * RHO_WATER;
        let strip = StripHull::new(&hull, boat.hull.pitch_radius_m, RHO_WATER)?;
        let flags = strip.flags() | lacking(&boat);
        let waves = BoatInWaves {
            strip,
            waterline: Waterline::new(&hull, RHO_WATER),
            dimensions: main_dimensions(&boat, &hydrostatics),
            bow_x_m: hydrostatics.lwl_m,
            forefoot_x_m: (1.0 - FOREFOOT_ABAFT_STEM) * hydrostatics.lwl_m,
            bow_width_m: hydrostatics.bwl_m,
            foil: boat.foils.as_ref().filter(|foils| is_in_water(foils)).map(|foils| FoilInWaves {
                x_m: foils.x_m,
                depth_m: foils.depth_m,
                chord_m: foils.chord_m,
                span_m: foils.span_m,
                lift_slope_per_rad: working_surface(foils).lift_slope_per_rad(foils.depth_m),
            }),
            method,
            own,
        };
        Ok(Self {
            calm: calm_hull(&boat, &hydrostatics),
            sails: sail_plan(&boat),
            foils: foils(&boat),
            boat,
            hull,
            hydrostatics,
            displacement_kg,
            waves,
            flags,
        })
    }

    /// Whether the boat can fly with the wind over this side of her: whether the leeward foil is there to use.
    pub fn flies(&self, twa_deg: f64) -> bool {
        let leeward = Side::leeward(twa_deg);
        self.boat.foils.as_ref().is_some_and(|foils| foils.state(leeward) == FoilPresence::Present)
    }

    /// Drag area in the wind beyond what the flat polar holds, m²: negative where a foil is gone.
    ///
    /// The flat polar holds one raised foil, the windward one, unless the boat file says otherwise.
    pub fn extra_drag_area_m2(&self, twa_deg: f64) -> f64 {
        let Some(windage) = &self.boat.windage else { return 0.0 };
        let raised = self.boat.foils.as_ref().map_or(0, |foils| {
            let leeward = Side::leeward(twa_deg);
            usize::from(foils.state(leeward) == FoilPresence::Raised)
                + usize::from(foils.state(leeward.opposite()) != FoilPresence::Missing)
        });
        let held = usize::from(self.boat.foils.is_some() && windage.raised_foil_in_polar);
        let one = windage.raised_foil_area_m2 * windage.raised_foil_drag_coefficient;
        one * (raised as f64 - held as f64) + windage.extra_drag_area_m2
    }

    /// Share of the weight that her foils carry at a speed where they are in use; zero for a boat without foils.
    pub fn foil_share(&self, speed_m_s: f64) -> f64 {
        self.foils.as_ref().map_or(0.0, |foils| foils.share.at(speed_m_s))
    }

    /// Flat-water resistance of hull, appendages and foil without side force, N; with the foils in use or out of the water.
    pub fn flat_resistance_n(&self, speed_m_s: f64, flies: bool) -> f64 {
        let share = if flies { self.foil_share(speed_m_s) } else { 0.0 };
        let hull = self.calm.bare_hull_resistance_n(speed_m_s, 1.0 - share).resistance_n;
        let foil = self.foils.as_ref().filter(|_| flies && speed_m_s > 0.0);
        let foil = foil.map_or(0.0, |foils| foils.foil.drag_n(share * self.displacement_kg * G, speed_m_s));
        hull + self.calm.appendage_resistance_n(speed_m_s) + foil
    }

    /// Reservations about both methods of added resistance at a speed.
    pub fn method_flags(&self, speed_m_s: f64) -> Flags {
        let head = std::f64::consts::PI;
        let mut flags = match self.waves.method {
            Method::Table => Flags::empty(),
            Method::RadiatedEnergy | Method::Snnm => {
                snnm::mean_added_resistance(&self.waves.dimensions, speed_m_s, 1.0, head).1
            }
        };
        if self.waves.own.is_some() {
            flags |= Flag::OwnTable;
        }
        if speed_m_s > radiated_energy::MAX_FROUDE * (G * self.hydrostatics.lwl_m).sqrt() {
            flags |= Flag::HeldAboveFn045;
        }
        flags
    }

    /// The sails, which every balance needs.
    ///
    /// # Errors
    /// When the boat file has none.
    pub fn sails(&self) -> Result<&SailPlan> {
        self.sails.as_ref().ok_or_else(|| lacks(&self.boat, "[sails]"))
    }
}

/// The parts that a boat file may leave out, with the loss that then is not counted.
fn lacking(boat: &Boat) -> Flags {
    let parts = [
        (boat.deck.is_none(), Flag::NoDeck),
        (boat.appendages.is_none(), Flag::NoAppendages),
        (boat.windage.is_none(), Flag::NoWindage),
        (boat.foils.is_none(), Flag::NoFoils),
    ];
    parts.into_iter().filter(|(missing, _)| *missing).map(|(_, flag)| flag).collect()
}

fn lacks(boat: &Boat, table: &str) -> Error {
    Error::new(format!("the boat file lacks {table}"))
        .at(format!("boat `{}`", boat.name))
        .expected("sails and hull, so that thrust and resistance can balance")
        .remedy(format!("add {table}; the boats in examples/ show every key"))
}

fn hull(boat: &Boat) -> Result<Hull> {
    let hull = canoe_body(boat)?;
    let Some(topsides) = topsides(boat) else { return Ok(hull) };
    let of_table = |error: Error| error.input(format!("boat `{}`, [topsides]", boat.name));
    if hull.decked().is_some() {
        return Err(of_table(
            Error::new("the hull above the water is given twice")
                .found("[topsides] and sections that reach the deck")
                .expected("one of them")
                .remedy("remove [topsides], or end the sections at the waterline"),
        ));
    }
    hull.with_topsides(&topsides).map_err(of_table)
}

/// The topsides that a boat file gives by figures; its check has seen that bow and deck are there.
fn topsides(boat: &Boat) -> Option<Topsides> {
    let (spec, deck) = (boat.topsides.as_ref()?, boat.deck.as_ref()?);
    let bow = match (spec.bow_flare_deg, spec.deck_bow_fullness) {
        (Some(flare_deg), _) => DeckBow::Flare(flare_deg.to_radians()),
        (None, fullness) => DeckBow::Fullness(fullness?),
    };
    Some(Topsides {
        bow_freeboard_m: deck.bow_freeboard_m,
        mid_freeboard_m: spec.mid_freeboard_m,
        stern_freeboard_m: spec.stern_freeboard_m,
        deck_beam_m: spec.deck_beam_m,
        transom_fraction: spec.deck_transom_fraction,
        bow,
        stem_rake_rad: spec.stem_rake_deg.to_radians(),
    })
}

fn canoe_body(boat: &Boat) -> Result<Hull> {
    let spec = &boat.hull;
    if let Some(sections) = &spec.sections {
        return Hull::read_offsets(sections);
    }
    let (Some(lwl_m), Some(bwl_m), Some(draught_m), Some(displacement_kg)) =
        (spec.lwl_m, spec.bwl_m, spec.draught_m, spec.displacement_kg)
    else {
        return Err(lacks(boat, "main dimensions or sections in [hull]"));
    };
    Hull::from_dimensions(&Dimensions {
        lwl_m,
        bwl_m,
        draught_m,
        displacement_kg,
        lcb_fraction: spec.lcb_fraction.unwrap_or(DEFAULT_LCB_FRACTION),
        cp: spec.prismatic_coefficient,
        cwp: spec.waterplane_coefficient,
        bow_fullness: spec.bow_fullness.unwrap_or(DEFAULT_BOW_FULLNESS),
        transom_beam: spec.transom_beam_fraction.unwrap_or(DEFAULT_TRANSOM_BEAM),
    })
    .map_err(|error| error.input(format!("boat `{}`, [hull]", boat.name)))
}

fn main_dimensions(boat: &Boat, hydrostatics: &Hydrostatics) -> snnm::ShipDimensions {
    snnm::ShipDimensions {
        length_m: hydrostatics.lwl_m,
        beam_m: hydrostatics.bwl_m,
        draught_forward_m: hydrostatics.draught_m,
        draught_aft_m: hydrostatics.draught_m,
        block_coefficient: hydrostatics.cb,
        pitch_radius_m: boat.hull.pitch_radius_m,
        entrance_m: hydrostatics.entrance_length_m,
        run_m: hydrostatics.run_length_m,
        rho_kg_m3: RHO_WATER,
    }
}

fn calm_hull(boat: &Boat, hydrostatics: &Hydrostatics) -> CalmHull {
    CalmHull {
        form: HullForm {
            lwl_m: hydrostatics.lwl_m,
            bwl_m: hydrostatics.bwl_m,
            draught_m: hydrostatics.draught_m,
            volume_m3: hydrostatics.volume_m3,
            cp: hydrostatics.cp,
            cm: hydrostatics.cm,
            waterplane_area_m2: hydrostatics.waterplane_area_m2,
            lcb_from_fwd_m: hydrostatics.lwl_m - hydrostatics.lcb_m,
            lcf_from_fwd_m: hydrostatics.lwl_m - hydrostatics.lcf_m,
        },
        wetted_surface_m2: Some(hydrostatics.wetted_surface_m2),
        planing: boat.hull.deadrise_deg.map(|deadrise_deg| PlaningDims {
            beam_m: hydrostatics.bwl_m,
            deadrise_deg,
            lcg_m: hydrostatics.lcb_m,
            vcg_m: boat.hull.vcg_m.unwrap_or(0.0) + hydrostatics.draught_m,
        }),
        appendages: boat
            .appendages
            .iter()
            .map(|keel| Appendage {
                wetted_area_m2: keel.wetted_area_m2,
                chord_m: keel.chord_m,
                thickness_ratio: keel.thickness_ratio,
            })
            .collect(),
    }
}

fn sail_plan(boat: &Boat) -> Option<SailPlan> {
    boat.sails.as_ref().map(|sails| SailPlan {
        mainsail_m2: sails.mainsail_m2,
        headsail_m2: sails.headsail_m2,
        downwind_m2: sails.downwind_m2,
        effective_aspect: sails.effective_aspect,
        heel_limit: HeelLimit { max_nm: sails.max_righting_moment_nm, arm_m: sails.heeling_arm_m },
    })
}

fn foils(boat: &Boat) -> Option<Foils> {
    boat.foils.as_ref().map(|foils| Foils {
        share: LiftShare {
            takeoff_m_s: kn_to_m_s(foils.take_off_speed_kn),
            full_m_s: kn_to_m_s(foils.full_share_speed_kn),
            cap: foils.max_share,
        },
        foil: working_surface(foils).at_depth(foils.depth_m),
        stall: Stall {
            // air that reaches the foil takes its lift as a stall does
            positive_rad: foils
                .ventilation_angle_deg
                .map_or(foils.stall_angle_deg, |angle_deg| angle_deg.min(foils.stall_angle_deg))
                .to_radians(),
            negative_rad: foils.stall_angle_deg.to_radians(),
            lift_left: foils.lift_after_stall,
        },
        recovery_s: foils.recovery_time_s,
        ventilation_rad: foils.ventilation_angle_deg.map(f64::to_radians),
    })
}

fn working_surface(foils: &FoilSpec) -> Foil {
    Foil {
        span_m: foils.span_m,
        chord_m: foils.chord_m,
        profile_drag_coefficient: foils.profile_drag_coefficient,
    }
}

/// Whether she has a foil in use on any tack. On a tack without it her motions are those with it all the same, since both tacks
/// read one table: on the example passage that is worth 0.002 of the factor, 0.007 at most.
fn is_in_water(foils: &FoilSpec) -> bool {
    [Side::Port, Side::Starboard].into_iter().any(|side| foils.state(side) == FoilPresence::Present)
}
