//! A whole boat from a few figures: what is not given follows from what is, by a rule that is named beside each figure.
//!
//! Rules are of one hull with a fin keel; a boat with two hulls, a canting keel or water ballast needs her own righting
//! moment. Sources "from memory" were not looked up again.

use crate::base::units::{G, RHO_WATER};
use crate::base::{Error, Result};
use crate::boat::keys::BOAT_KEYS;
use crate::boat::spec::Boat;
use crate::files::keys::{Key, Need};
use crate::hull::{Dimensions, Hull};
use std::path::Path;

/// The figures that a user knows of a boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// What she is called.
    pub name: String,
    /// Length overall of the hull, m.
    pub length_m: f64,
    /// Greatest beam, m.
    pub beam_m: f64,
    /// Displacement as she sails, kg.
    pub displacement_kg: f64,
    /// Sail area upwind: mainsail and headsail, m².
    pub sail_area_m2: f64,
    /// Whether she has lifting foils.
    pub has_foils: bool,
    /// Length of the waterline, m, where it is known.
    pub waterline_m: Option<f64>,
    /// Draught with keel, m, where it is known.
    pub draught_m: Option<f64>,
}

/// A figure of a boat file and where it comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// The table.
    pub table: &'static str,
    /// The key.
    pub key: &'static str,
    /// The value, as it is written.
    pub value: String,
    /// The rule that gave it; none where it was given.
    pub rule: Option<&'static str>,
}

const COMMON: &str = "common practice, no source";

/// What each rule says, as it stands in the file.
mod rules {
    pub const WATERLINE: &str = "0.92 of the length overall (common practice, no source)";
    pub const BEAM: &str = "0.82 of the greatest beam (common practice, no source)";
    pub const DRAUGHT: &str = "displacement over length and beam with a block coefficient of 0.367, that of the Delft series' parent \
                               hull (Gerritsma, Onnink & Versluis 1981, from memory)";
    pub const PITCH: &str = "a quarter of the waterline (ITTC procedure 7.5-02-07-02.1, from memory)";
    pub const GRAVITY: &str = "0.06 of the greatest beam (common practice, no source)";
    pub const FREEBOARD: &str = "0.5 m and 0.085 of the waterline (common practice, no source)";
    pub const EDGE: &str = "0.42 of the waterline (common practice, no source)";
    pub const APPENDAGES: &str = "both sides of a keel of 3.5 % and a rudder of 1.2 % of the sail area (Larsson & Eliasson, Principles \
                                  of Yacht Design, from memory)";
    pub const CHORD: &str = "area of the keel over its depth below the canoe body, draught with keel 0.19 of the length unless given \
                             (common practice, no source)";
    pub const EFFECTIVE_DRAUGHT: &str = "0.92 of the draught with keel (common practice, no source)";
    pub const MAINSAIL: &str = "0.52 of the sail area (common practice, no source)";
    pub const HEADSAIL: &str = "0.48 of the sail area (common practice, no source)";
    pub const DOWNWIND: &str = "twice the headsail (common practice, no source)";
    pub const ARM: &str = "centre of effort 0.39 of the hoist above the deck (Hazen 1980, from memory), lateral centre at 0.43 of the \
                           draught; hoist 2.9 times the foot, a tenth of roach (common practice, no source)";
    pub const ABOVE_GRAVITY: &str = "the same centre of effort, gravity at vcg_m";
    pub const DRAG_AREA: &str = "1.13 times beam x freeboard + mast height x diameter (Hazen 1980, from memory), diameter 0.0115 of the \
                                 hoist (common practice, no source)";
    pub const RIGHTING: &str = "weight x metacentric height x sin 20 degrees: inertia of the drawn waterplane, centre of buoyancy by \
                                Morrish's formula (from memory), gravity at vcg_m";
    pub const FOIL_SIZE: &str =
        "in proportion to the waterline as on boats that half fly (common practice, no source)";
}

impl Outline {
    /// All figures of a boat file, in the order of its keys.
    ///
    /// # Errors
    /// Figures of which no hull can be drawn.
    pub fn figures(&self) -> Result<Vec<Figure>> {
        let length = self.length_m;
        let lwl = self.waterline_m.unwrap_or(0.92 * length);
        let bwl = 0.82 * self.beam_m;
        let gravity_above_water = 0.06 * self.beam_m;
        let canoe = self.displacement_kg / (RHO_WATER * lwl * bwl * 0.367);
        let draught = self.draught_m.unwrap_or(0.19 * length);
        let freeboard = 0.5 + 0.085 * lwl;
        let [mainsail, headsail] = [0.52, 0.48].map(|share| share * self.sail_area_m2);
        let hoist = (2.9 * 2.0 * mainsail / 1.1).sqrt();
        let effort_above_water = 0.9 * freeboard + 0.39 * hoist;
        let mast = 0.0115 * hoist * (hoist + 1.0);
        let keel_depth = (draught - canoe).max(0.1 * length);
        let moment = self.displacement_kg
            * G
            * (self.metacentre_above_water_m(lwl, bwl, canoe)? - gravity_above_water)
            * 20f64.to_radians().sin();
        let given = |known: bool, rule: &'static str| if known { None } else { Some(rule) };
        let number = |table, key, value: f64, rule| Figure { table, key, value: three_figures(value), rule };
        let mut figures = vec![
            Figure { table: "", key: "name", value: format!("{:?}", self.name), rule: None },
            number("hull", "lwl_m", lwl, given(self.waterline_m.is_some(), rules::WATERLINE)),
            number("hull", "bwl_m", bwl, Some(rules::BEAM)),
            number("hull", "draught_m", canoe, Some(rules::DRAUGHT)),
            number("hull", "displacement_kg", self.displacement_kg, None),
            number("hull", "pitch_radius_m", 0.25 * lwl, Some(rules::PITCH)),
            number("hull", "vcg_m", gravity_above_water, Some(rules::GRAVITY)),
            number("deck", "bow_freeboard_m", freeboard, Some(rules::FREEBOARD)),
            number("deck", "wetted_edge_m", 0.42 * lwl, Some(rules::EDGE)),
            number("deck", "drain_time_s", 3.0, Some(COMMON)),
            number("appendages", "wetted_area_m2", 2.0 * 0.047 * self.sail_area_m2, Some(rules::APPENDAGES)),
            number("appendages", "chord_m", 0.035 * self.sail_area_m2 / keel_depth, Some(rules::CHORD)),
            number("appendages", "thickness_ratio", 0.12, Some(COMMON)),
            number("appendages", "effective_draught_m", 0.92 * draught, Some(rules::EFFECTIVE_DRAUGHT)),
            number("sails", "mainsail_m2", mainsail, Some(rules::MAINSAIL)),
            number("sails", "headsail_m2", headsail, Some(rules::HEADSAIL)),
            number("sails", "downwind_m2", 2.0 * headsail, Some(rules::DOWNWIND)),
            number("sails", "effective_aspect", 4.0, Some(COMMON)),
            number("sails", "heeling_arm_m", effort_above_water + 0.43 * draught, Some(rules::ARM)),
            number(
                "sails",
                "effort_above_gravity_m",
                effort_above_water - gravity_above_water,
                Some(rules::ABOVE_GRAVITY),
            ),
            number(
                "sails",
                "hull_and_rig_drag_area_m2",
                1.13 * (self.beam_m * 0.85 * freeboard + mast),
                Some(rules::DRAG_AREA),
            ),
            number("sails", "max_righting_moment_n_m", moment, Some(rules::RIGHTING)),
        ];
        if self.has_foils {
            figures.extend(foil_figures(lwl));
        }
        Ok(figures)
    }

    /// Metacentre above the waterline, m.
    fn metacentre_above_water_m(&self, lwl_m: f64, bwl_m: f64, draught_m: f64) -> Result<f64> {
        let hull = Hull::from_dimensions(&Dimensions {
            lwl_m,
            bwl_m,
            draught_m,
            displacement_kg: self.displacement_kg,
            lcb_fraction: 0.46,
            cp: None,
            cwp: None,
            bow_fullness: 0.35,
            transom_beam: 0.6,
        })
        .map_err(|error| {
            Error::new("no hull can be drawn from these figures")
                .found(error.in_a_line())
                .expected("length, beam and displacement of one hull: metres and kilograms")
                .remedy("check the figures and their units")
        })?;
        let hydrostatics = hull.hydrostatics();
        // transverse inertia of the waterplane: the integral of 2/3 y³ along it
        let inertia: f64 = hull
            .stations()
            .windows(2)
            .map(|pair| {
                let [a, b] = [&pair[0], &pair[1]].map(|station| (station.beam_m() / 2.0).powi(3) * 2.0 / 3.0);
                (a + b) / 2.0 * (pair[1].x_m - pair[0].x_m)
            })
            .sum();
        let volume = hydrostatics.volume_m3;
        let buoyancy_below_m = (draught_m / 2.0 + volume / hydrostatics.waterplane_area_m2) / 3.0;
        Ok(inertia / volume - buoyancy_below_m)
    }

    /// The boat file: every key with its meaning and usual range, the figures and their rules; keys that may be left out
    /// stand as comments.
    ///
    /// # Errors
    /// As [`Outline::figures`]; figures that make no boat that the program would take.
    pub fn boat_toml(&self, path: &Path) -> Result<String> {
        let figures = self.figures()?;
        let mut text = format!(
            "# {}: a boat file from a few figures. Figures marked \"estimated\" follow from those by the rule beside them:\n\
             # put your own in their place. `roughwater explain-key KEY` tells what a key means.\n",
            self.name.replace('\n', " ")
        );
        for table in BOAT_KEYS.tables {
            let has_figures = figures.iter().any(|figure| figure.table == table.name);
            if !table.name.is_empty() {
                let off = if has_figures { "" } else { "# " };
                text += &format!("\n# {}\n{off}[{}]\n", table.meaning, table.name);
            }
            for key in BOAT_KEYS.of(table.name) {
                let figure =
                    figures.iter().find(|figure| figure.table == key.table && figure.key == key.name);
                text += &line(key, figure, has_figures);
            }
        }
        Boat::parse(&text, path).map_err(|error| {
            Error::new("these figures make no boat")
                .found(error.to_string())
                .expected(
                    "length, beam, displacement and sail area of one boat: metres, kilograms, square metres",
                )
                .remedy("check the figures and their units")
        })?;
        Ok(text)
    }
}

/// A key with its meaning above it, and behind it where its figure comes from.
fn line(key: &Key, figure: Option<&Figure>, of_a_table_in_use: bool) -> String {
    let told = format!("# {}\n", key.told());
    match (figure, key.need) {
        (Some(Figure { value, rule: Some(rule), .. }), _) => {
            format!("{told}{} = {value}  # estimated: {rule}\n", key.name)
        }
        (Some(Figure { value, rule: None, .. }), _) => format!("{told}{} = {value}\n", key.name),
        (None, Need::No(default)) if of_a_table_in_use => {
            format!("{told}# {} =  # without it: {default}\n", key.name)
        }
        (None, Need::Unless(_) | Need::Always | Need::No(_)) => format!("# {}: {}\n", key.name, key.told()),
    }
}

/// Lifting foils and what of them stands in the wind.
fn foil_figures(lwl_m: f64) -> Vec<Figure> {
    let (span, chord) = (0.17 * lwl_m, 0.036 * lwl_m);
    let number = |table, key, value: f64| {
        let sized = ["x_m", "depth_m", "span_m", "chord_m", "raised_foil_area_m2"].contains(&key);
        Figure {
            table,
            key,
            value: three_figures(value),
            rule: Some(if sized { rules::FOIL_SIZE } else { COMMON }),
        }
    };
    let state = |table| Figure { table, key: "state", value: "\"present\"".to_owned(), rule: Some(COMMON) };
    vec![
        number("foils", "take_off_speed_kn", 10.0),
        number("foils", "full_share_speed_kn", 30.0),
        number("foils", "max_share", 0.4),
        number("foils", "x_m", 0.57 * lwl_m),
        number("foils", "depth_m", 0.072 * lwl_m),
        number("foils", "span_m", span),
        number("foils", "chord_m", chord),
        number("foils", "stall_angle_deg", 12.0),
        number("foils", "lift_after_stall", 0.6),
        number("foils", "ventilation_angle_deg", 15.0),
        number("foils", "recovery_time_s", 5.0),
        number("foils", "profile_drag_coefficient", 0.011),
        state("foils.port"),
        state("foils.starboard"),
        number("windage", "raised_foil_area_m2", span * chord),
        number("windage", "raised_foil_drag_coefficient", 1.1),
        number("windage", "extra_drag_area_m2", 0.0),
    ]
}

/// Three significant figures: no more is known of an estimate.
fn three_figures(value: f64) -> String {
    if value == 0.0 {
        return "0.0".to_owned();
    }
    let scale = 10f64.powi(2 - value.abs().log10().floor() as i32);
    let rounded = (value * scale).round() / scale;
    if rounded.fract() == 0.0 { format!("{rounded:.1}") } else { rounded.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::believable::doubts;
    use crate::boat::model::BoatModel;
    use crate::hydro::response::Method;

    fn cruiser() -> Outline {
        Outline {
            name: "Wren".into(),
            length_m: 10.0,
            beam_m: 3.3,
            displacement_kg: 5200.0,
            sail_area_m2: 62.0,
            has_foils: false,
            waterline_m: None,
            draught_m: None,
        }
    }

    fn value(figures: &[Figure], key: &str) -> f64 {
        figures.iter().find(|figure| figure.key == key).unwrap().value.parse().unwrap()
    }

    /// By hand: 0.92 x 10 = 9.2; 0.82 x 3.3 = 2.706; 5200/(1025 x 9.2 x 2.706 x 0.367) = 0.555; 2 x 0.047 x 62 = 5.83;
    /// hoist sqrt(2.9 x 2 x 32.24/1.1) = 13.04, effort 0.9 x 1.282 + 0.39 x 13.04 = 6.24, arm
    /// 6.24 + 0.43 x 1.9 = 7.06, above gravity 6.24 - 0.06 x 3.3 = 6.04.
    #[test]
    fn figures_follow_from_their_rules() {
        let figures = cruiser().figures().unwrap();
        for (key, by_hand) in [
            ("lwl_m", 9.2),
            ("bwl_m", 2.71),
            ("draught_m", 0.555),
            ("pitch_radius_m", 2.3),
            ("wetted_area_m2", 5.83),
            ("effort_above_gravity_m", 6.04),
            ("heeling_arm_m", 7.06),
        ] {
            assert_eq!(value(&figures, key), by_hand, "{key}");
        }
        // a parabolic waterplane with a transom has about 0.048 L B³ of inertia: 8.8 m⁴ over 5.07 m³ is 1.74 m, buoyancy 0.19 m
        // below and gravity 0.2 m above the water leave 1.36 m, and 5200 x 9.81 x 1.36 x sin 20 degrees is 23.7 kN m
        let moment = value(&figures, "max_righting_moment_n_m");
        assert!((21_000.0..26_500.0).contains(&moment), "{moment}");
        let known = Outline { waterline_m: Some(9.0), ..cruiser() }.figures().unwrap();
        assert_eq!(known[1], Figure { table: "hull", key: "lwl_m", value: "9.0".into(), rule: None });
    }

    #[test]
    fn boats_of_many_sizes_are_taken_and_believed() {
        let outline = |length_m, beam_m, displacement_kg, sail_area_m2, has_foils| Outline {
            length_m,
            beam_m,
            displacement_kg,
            sail_area_m2,
            has_foils,
            ..cruiser()
        };
        for boat in [
            cruiser(),
            outline(6.5, 2.5, 1500.0, 28.0, false),
            outline(12.2, 4.1, 8500.0, 85.0, false),
            outline(18.0, 5.0, 22000.0, 170.0, false),
            outline(15.5, 4.5, 7800.0, 215.0, true),
        ] {
            let text = boat.boat_toml(Path::new("boat.toml")).unwrap();
            let read = Boat::parse(&text, Path::new("boat.toml")).unwrap();
            assert_eq!(read.foils.is_some(), boat.has_foils);
            let model = BoatModel::new(read, Method::RadiatedEnergy, None).unwrap();
            assert_eq!(doubts(&model), Vec::<String>::new(), "{}", boat.length_m);
        }
    }

    #[test]
    fn the_file_tells_every_key() {
        let text = cruiser().boat_toml(Path::new("boat.toml")).unwrap();
        for key in BOAT_KEYS.keys {
            assert!(text.contains(key.meaning) && text.contains(key.name), "{}", key.path());
        }
        assert!(text.contains("# estimated: 0.92 of the length overall"), "{text}");
    }

    #[test]
    fn figures_that_make_no_boat_are_named() {
        let error =
            Outline { displacement_kg: 5.2, ..cruiser() }.boat_toml(Path::new("boat.toml")).unwrap_err();
        assert!(error.to_string().contains("units"), "{error}");
    }
}
