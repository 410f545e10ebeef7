//! Every key of a boat file: unit, meaning, and what usually stands there (common practice, no source). What a value must not
//! leave stands in [`crate::boat::check`].

use crate::files::keys::{Key, KeyList, KeyTable, Need};

/// The keys of a boat file.
pub const BOAT_KEYS: KeyList = KeyList { file: "boat", tables: &TABLES, keys: &KEYS };

const TABLES: [KeyTable; 10] = [
    table("", "the boat", true),
    table("hull", "the canoe body at her sailing displacement, without keel, rudders and foils", true),
    table("deck", "what the bow keeps out, and how long the deck holds what it ships", false),
    table(
        "topsides",
        "the hull between waterline and deck; the freeboard at the bow is that of [deck]",
        false,
    ),
    table("appendages", "keel and rudders", false),
    table("sails", "sails, and the righting moment that bounds them", false),
    table("foils", "lifting foils, one a side, the leeward one in use", false),
    table("foils.port", "the port foil", true),
    table("foils.starboard", "the starboard foil", true),
    table("windage", "what stands in the wind and the flat polar does not know", false),
];

const fn table(name: &'static str, meaning: &'static str, is_needed: bool) -> KeyTable {
    KeyTable { name, meaning, is_needed }
}

const fn key(
    table: &'static str,
    name: &'static str,
    unit: &'static str,
    usual: &'static str,
    meaning: &'static str,
    need: Need,
) -> Key {
    Key { table, name, unit, meaning, usual, need, older: "", option: "" }
}

const DRAWN: Need = Need::Unless("sections");

const KEYS: [Key; 57] = [
    key("", "name", "", "", "what she is called in reports", Need::Always),
    key("hull", "lwl_m", "metres", "5 to 25", "length of the waterline", DRAWN),
    key("hull", "bwl_m", "metres", "1.5 to 5; a quarter to a third of lwl_m", "beam of the waterline", DRAWN),
    key(
        "hull",
        "draught_m",
        "metres",
        "0.3 to 0.9",
        "draught of the canoe body alone, without keel and foils",
        DRAWN,
    ),
    key(
        "hull",
        "displacement_kg",
        "kilograms",
        "1000 to 30000",
        "mass as she sails, crew and stores included",
        DRAWN,
    ),
    key(
        "hull",
        "sections",
        "",
        "\"offsets.csv\"",
        "file of offsets x_m,z_m,y_m in place of the main dimensions, relative to the boat file",
        Need::No("the hull is drawn from its main dimensions"),
    ),
    key(
        "hull",
        "pitch_radius_m",
        "metres",
        "0.22 to 0.27 of lwl_m",
        "radius of gyration in pitch: small where weight is in the middle, large where it is at the ends",
        Need::Always,
    ),
    key(
        "hull",
        "lcb_fraction",
        "",
        "0.43 to 0.50",
        "centre of buoyancy forward of the waterline's aft end, as a fraction of lwl_m",
        Need::No("0.46"),
    ),
    key(
        "hull",
        "prismatic_coefficient",
        "",
        "0.53 to 0.62",
        "volume over length and greatest section: fullness of the ends",
        Need::No("follows from the block coefficient"),
    ),
    key(
        "hull",
        "waterplane_coefficient",
        "",
        "0.65 to 0.78",
        "waterplane area over length and beam",
        Need::No("that of parabolic waterlines"),
    ),
    key(
        "hull",
        "bow_fullness",
        "",
        "0.1 to 0.9",
        "fullness of the forward waterline and sections: 0 fine and wave-piercing, 1 full as a scow's",
        Need::No("0.35"),
    ),
    key(
        "hull",
        "transom_beam_fraction",
        "",
        "0.2 to 0.9",
        "beam of the waterline at the transom over bwl_m",
        Need::No("0.6"),
    ),
    key(
        "hull",
        "vcg_m",
        "metres",
        "-0.3 to 0.5",
        "height of the centre of gravity above the waterline",
        Need::No("taken in the waterline"),
    ),
    key(
        "hull",
        "deadrise_deg",
        "degrees",
        "5 to 20",
        "deadrise of the planing surface",
        Need::No("no resistance by planing"),
    ),
    key(
        "deck",
        "bow_freeboard_m",
        "metres",
        "0.8 to 1.8",
        "height of the deck at the bow above the waterline",
        Need::Always,
    ),
    key(
        "deck",
        "wetted_edge_m",
        "metres",
        "0.3 to 0.5 of lwl_m",
        "length of deck edge over which green water comes aboard, both sides of the bow together",
        Need::Always,
    ),
    key(
        "deck",
        "drain_time_s",
        "seconds",
        "1 to 10",
        "mean time for shipped water to leave the deck",
        Need::Always,
    ),
    key(
        "deck",
        "momentum_share",
        "",
        "0 to 1",
        "share of the shipped water that is brought to her speed before it leaves",
        Need::No("1"),
    ),
    key(
        "topsides",
        "mid_freeboard_m",
        "metres",
        "0.8 to 1.5",
        "freeboard in the middle of the deck's length",
        Need::Always,
    ),
    key("topsides", "stern_freeboard_m", "metres", "0.8 to 1.4", "freeboard at the stern", Need::Always),
    key(
        "topsides",
        "deck_beam_m",
        "metres",
        "1.1 to 1.6 of bwl_m",
        "greatest beam of the deck",
        Need::Always,
    ),
    key(
        "topsides",
        "deck_transom_fraction",
        "",
        "0.6 to 1",
        "beam of the deck at the stern as a fraction of deck_beam_m",
        Need::Always,
    ),
    key(
        "topsides",
        "deck_bow_fullness",
        "",
        "0 to 1",
        "fullness of the forward deck's outline: 0 fine, 1 full as a scow's",
        Need::Unless("bow_flare_deg"),
    ),
    key(
        "topsides",
        "bow_flare_deg",
        "degrees",
        "-5 to 35",
        "angle of the side from the vertical at nine tenths of the waterline, in place of deck_bow_fullness",
        Need::Unless("deck_bow_fullness"),
    ),
    key(
        "topsides",
        "stem_rake_deg",
        "degrees",
        "-15 to 40",
        "rake of the stem from the vertical: above 0 overhanging, 0 plumb, below 0 leaning back",
        Need::Always,
    ),
    key(
        "appendages",
        "wetted_area_m2",
        "square metres",
        "0.07 to 0.1 of the sail area upwind",
        "wetted area of keel, bulb and rudders, both sides",
        Need::Always,
    ),
    key(
        "appendages",
        "chord_m",
        "metres",
        "0.3 to 2",
        "mean fore-and-aft length of keel and rudders",
        Need::Always,
    ),
    key(
        "appendages",
        "thickness_ratio",
        "",
        "0.08 to 0.15",
        "greatest thickness of their sections over the chord",
        Need::Always,
    ),
    key(
        "appendages",
        "effective_draught_m",
        "metres",
        "0.8 to 1 of the draught with keel",
        "draught that carries the side force",
        Need::Always,
    ),
    key("sails", "mainsail_m2", "square metres", "15 to 150", "area of the mainsail", Need::Always),
    key(
        "sails",
        "headsail_m2",
        "square metres",
        "10 to 120",
        "area of the headsail set upwind; 0 for none",
        Need::Always,
    ),
    key(
        "sails",
        "downwind_m2",
        "square metres",
        "1.5 to 2.5 times the headsail",
        "area of the largest downwind sail, set in place of the headsail",
        Need::No("no downwind sail"),
    ),
    key(
        "sails",
        "effective_aspect",
        "",
        "3 to 6",
        "effective aspect ratio of the sail plan: height squared over area, hull's mirror effect included",
        Need::Always,
    ),
    key(
        "sails",
        "heeling_arm_m",
        "metres",
        "0.5 to 0.9 of lwl_m",
        "height of the sails' centre of effort above the centre of lateral resistance",
        Need::Always,
    ),
    key(
        "sails",
        "effort_above_gravity_m",
        "metres",
        "0.4 to 0.8 of lwl_m",
        "height of the sails' centre of effort above the centre of gravity",
        Need::Always,
    ),
    key(
        "sails",
        "hull_and_rig_drag_area_m2",
        "square metres",
        "2 to 15",
        "drag coefficient times area of hull and bare rig in the wind",
        Need::Always,
    ),
    Key {
        older: "max_righting_moment_nm",
        ..key(
            "sails",
            "max_righting_moment_n_m",
            "newton metres",
            "0.3 to 2.5 m times her weight: 10000 to 300000",
            "largest righting moment that the crew sails to",
            Need::Always,
        )
    },
    key(
        "sails",
        "heel_at_max_righting_deg",
        "degrees",
        "15 to 25; a few for a boat of two hulls",
        "heel at that righting moment",
        Need::No("20"),
    ),
    key(
        "foils",
        "take_off_speed_kn",
        "knots",
        "8 to 18",
        "speed from which the foil carries weight",
        Need::Always,
    ),
    key(
        "foils",
        "full_share_speed_kn",
        "knots",
        "14 to 35",
        "speed at which it carries its full share",
        Need::Always,
    ),
    key("foils", "max_share", "", "0.2 to 1", "largest share of her weight that it carries", Need::Always),
    key(
        "foils",
        "x_m",
        "metres",
        "0.5 to 0.65 of lwl_m",
        "position of the lifting part forward of the waterline's aft end",
        Need::Always,
    ),
    key(
        "foils",
        "depth_m",
        "metres",
        "0.5 to 2",
        "depth of the lifting part below the undisturbed surface in flight",
        Need::Always,
    ),
    key("foils", "span_m", "metres", "1 to 4", "span of the lifting part", Need::Always),
    key("foils", "chord_m", "metres", "0.2 to 0.8", "chord of the lifting part", Need::Always),
    key(
        "foils",
        "stall_angle_deg",
        "degrees",
        "8 to 15",
        "angle of attack, from zero lift, at which the section stalls",
        Need::Always,
    ),
    key(
        "foils",
        "lift_after_stall",
        "",
        "0.4 to 0.8",
        "share of the lift that is left after stall",
        Need::Always,
    ),
    key(
        "foils",
        "ventilation_angle_deg",
        "degrees",
        "10 to 18",
        "angle of attack from which air may reach a surface-piercing foil",
        Need::No("no air reaches it"),
    ),
    key(
        "foils",
        "recovery_time_s",
        "seconds",
        "3 to 30",
        "time to fly again after a stall or a broach",
        Need::Always,
    ),
    key(
        "foils",
        "profile_drag_coefficient",
        "",
        "0.008 to 0.015",
        "profile drag coefficient on the plan area",
        Need::Always,
    ),
    key(
        "foils",
        "foils_up_polar",
        "",
        "\"foils-up.csv\"",
        "flat-water polar with the foils raised, relative to the boat file",
        Need::No("her speed without foils comes from the balance"),
    ),
    key(
        "foils.port",
        "state",
        "",
        "\"present\", \"raised\" or \"missing\"",
        "what can be done with the port foil",
        Need::Always,
    ),
    key(
        "foils.starboard",
        "state",
        "",
        "\"present\", \"raised\" or \"missing\"",
        "what can be done with the starboard foil",
        Need::Always,
    ),
    key(
        "windage",
        "raised_foil_area_m2",
        "square metres",
        "0.5 to 3",
        "area of a raised foil in the wind",
        Need::Always,
    ),
    key(
        "windage",
        "raised_foil_drag_coefficient",
        "",
        "1 to 1.3",
        "its drag coefficient on that area",
        Need::Always,
    ),
    key(
        "windage",
        "raised_foil_in_polar",
        "",
        "true",
        "whether the flat polar was made with the windward foil raised in the wind",
        Need::No("true"),
    ),
    key(
        "windage",
        "extra_drag_area_m2",
        "square metres",
        "0 to 2",
        "drag coefficient times area of gear carried in the sea only",
        Need::Always,
    ),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::spec::Boat;
    use std::collections::BTreeSet;

    /// The keys that the reader itself knows in a table: it names them when it meets one that it does not know.
    fn read_in(table: &str) -> BTreeSet<String> {
        let whole = include_str!("../../examples/boats/sleet-heron-15.toml");
        let mut file: toml::Table = whole.parse().unwrap();
        let mut place = &mut file;
        for name in table.split('.').filter(|name| !name.is_empty()) {
            place = place.get_mut(name).unwrap().as_table_mut().unwrap();
        }
        place.insert("zz".into(), toml::Value::Boolean(true));
        let error =
            toml::to_string(&file).unwrap().parse::<toml::Table>().unwrap().try_into::<Boat>().unwrap_err();
        let names = error.message().split('`').skip(3).step_by(2).map(str::to_owned);
        names.collect()
    }

    #[test]
    fn the_list_is_what_the_reader_knows() {
        for table in BOAT_KEYS.tables {
            let below = |inner: &&KeyTable| {
                !inner.name.is_empty()
                    && inner.name.rsplit_once('.').map_or("", |(outer, _)| outer) == table.name
            };
            let mut listed: BTreeSet<String> =
                BOAT_KEYS.of(table.name).map(|key| key.name.to_owned()).collect();
            listed.extend(
                BOAT_KEYS.of(table.name).filter(|key| !key.older.is_empty()).map(|key| key.older.to_owned()),
            );
            listed.extend(
                BOAT_KEYS
                    .tables
                    .iter()
                    .filter(below)
                    .map(|inner| inner.name.rsplit('.').next().unwrap().to_owned()),
            );
            assert_eq!(read_in(table.name), listed, "[{}]", table.name);
        }
    }

    #[test]
    fn the_invented_boats_pass() {
        for text in [
            include_str!("../../examples/boats/sleet-heron-15.toml"),
            include_str!("../../examples/boats/oat-plover-10.toml"),
        ] {
            BOAT_KEYS.check(text, std::path::Path::new("boat.toml")).unwrap();
        }
    }
}
