//! Plausible ranges of a boat file's values: a slip of the decimal point is found before it becomes a speed.

use crate::base::units::RHO_WATER;
use crate::base::{Error, Result};
use crate::boat::keys::BOAT_KEYS;
use crate::boat::spec::{Boat, FoilSpec, HullSpec};
use crate::files::text_file;
use std::path::Path;
use toml::de::{DeTable, DeValue};

/// A key, its value and the range it must lie in.
type Rule<'a> = (&'a [&'a str], Option<f64>, f64, f64);

/// Checks every value of a boat against its plausible range (common practice, no source, but wide).
///
/// # Errors
/// All values out of range, each with its key and line; else the first thing that cannot belong to one boat.
pub(super) fn check(boat: &Boat, text: &str, path: &Path) -> Result<()> {
    let out = |(key, value, low, high): Rule<'_>| {
        let value = value.filter(|value| !(low..=high).contains(value))?;
        Some(out_of_range(key, value, low, high, text))
    };
    let wrong: Vec<Error> = rules(boat).into_iter().filter_map(out).collect();
    match wrong.len() {
        0 => {}
        1 => return wrong.into_iter().next().map_or(Ok(()), |error| Err(error.file(path))),
        count => {
            let told: Vec<String> = wrong.iter().map(ToString::to_string).collect();
            return Err(Error::new(format!("{count} values are outside their plausible ranges"))
                .file(path)
                .found(told.join("\n"))
                .expected("values that a boat can have")
                .remedy("check the values and their units, which are the ends of the keys' names"));
        }
    }
    hull_shape(&boat.hull, text, path)?;
    forward_deck(boat, text, path)?;
    boat.foils.as_ref().map_or(Ok(()), |foils| foil_speeds(foils, text, path))
}

fn rules(boat: &Boat) -> Vec<Rule<'_>> {
    let hull = &boat.hull;
    let mut rules: Vec<Rule> = vec![
        (&["hull", "lwl_m"], hull.lwl_m, 2.0, 80.0),
        (&["hull", "bwl_m"], hull.bwl_m, 0.2, 20.0),
        (&["hull", "draught_m"], hull.draught_m, 0.05, 6.0),
        (&["hull", "displacement_kg"], hull.displacement_kg, 30.0, 1.0e6),
        (&["hull", "pitch_radius_m"], Some(hull.pitch_radius_m), 0.3, 30.0),
        (&["hull", "lcb_fraction"], hull.lcb_fraction, 0.3, 0.65),
        (&["hull", "prismatic_coefficient"], hull.prismatic_coefficient, 0.45, 0.75),
        (&["hull", "waterplane_coefficient"], hull.waterplane_coefficient, 0.5, 0.95),
        (&["hull", "bow_fullness"], hull.bow_fullness, 0.0, 1.0),
        (&["hull", "transom_beam_fraction"], hull.transom_beam_fraction, 0.0, 1.0),
        (&["hull", "vcg_m"], hull.vcg_m, -3.0, 5.0),
        (&["hull", "deadrise_deg"], hull.deadrise_deg, 0.0, 35.0),
    ];
    if let Some(deck) = &boat.deck {
        rules.extend::<[Rule; 4]>([
            (&["deck", "bow_freeboard_m"], Some(deck.bow_freeboard_m), 0.1, 6.0),
            (&["deck", "wetted_edge_m"], Some(deck.wetted_edge_m), 0.2, 40.0),
            (&["deck", "drain_time_s"], Some(deck.drain_time_s), 0.1, 60.0),
            (&["deck", "momentum_share"], Some(deck.momentum_share), 0.0, 1.0),
        ]);
    }
    if let Some(topsides) = &boat.topsides {
        rules.extend::<[Rule; 7]>([
            (&["topsides", "mid_freeboard_m"], Some(topsides.mid_freeboard_m), 0.05, 6.0),
            (&["topsides", "stern_freeboard_m"], Some(topsides.stern_freeboard_m), 0.05, 6.0),
            (&["topsides", "deck_beam_m"], Some(topsides.deck_beam_m), 0.2, 20.0),
            (&["topsides", "deck_transom_fraction"], Some(topsides.deck_transom_fraction), 0.0, 1.0),
            (&["topsides", "deck_bow_fullness"], topsides.deck_bow_fullness, 0.0, 1.0),
            (&["topsides", "bow_flare_deg"], topsides.bow_flare_deg, -45.0, 60.0),
            (&["topsides", "stem_rake_deg"], Some(topsides.stem_rake_deg), -45.0, 60.0),
        ]);
    }
    if let Some(keel) = &boat.appendages {
        rules.extend::<[Rule; 4]>([
            (&["appendages", "wetted_area_m2"], Some(keel.wetted_area_m2), 0.05, 100.0),
            (&["appendages", "chord_m"], Some(keel.chord_m), 0.05, 10.0),
            (&["appendages", "thickness_ratio"], Some(keel.thickness_ratio), 0.03, 0.3),
            (&["appendages", "effective_draught_m"], Some(keel.effective_draught_m), 0.3, 12.0),
        ]);
    }
    if let Some(sails) = &boat.sails {
        rules.extend::<[Rule; 9]>([
            (&["sails", "mainsail_m2"], Some(sails.mainsail_m2), 1.0, 1000.0),
            (&["sails", "headsail_m2"], Some(sails.headsail_m2), 0.0, 1000.0),
            (&["sails", "downwind_m2"], sails.downwind_m2, 1.0, 2000.0),
            (&["sails", "effective_aspect"], Some(sails.effective_aspect), 0.5, 15.0),
            (&["sails", "heeling_arm_m"], Some(sails.heeling_arm_m), 0.5, 50.0),
            (&["sails", "effort_above_gravity_m"], Some(sails.effort_above_gravity_m), 0.5, 50.0),
            (&["sails", "hull_and_rig_drag_area_m2"], Some(sails.hull_and_rig_drag_area_m2), 0.0, 100.0),
            (&["sails", "max_righting_moment_n_m"], Some(sails.max_righting_moment_nm), 500.0, 2.0e7),
            (&["sails", "heel_at_max_righting_deg"], Some(sails.heel_at_max_righting_deg), 0.5, 45.0),
        ]);
    }
    if let Some(foils) = &boat.foils {
        rules.extend::<[Rule; 12]>([
            (&["foils", "take_off_speed_kn"], Some(foils.take_off_speed_kn), 2.0, 40.0),
            (&["foils", "full_share_speed_kn"], Some(foils.full_share_speed_kn), 3.0, 60.0),
            (&["foils", "max_share"], Some(foils.max_share), 0.01, 1.0),
            (&["foils", "x_m"], Some(foils.x_m), -2.0, 80.0),
            (&["foils", "depth_m"], Some(foils.depth_m), 0.1, 6.0),
            (&["foils", "span_m"], Some(foils.span_m), 0.2, 12.0),
            (&["foils", "chord_m"], Some(foils.chord_m), 0.05, 3.0),
            (&["foils", "stall_angle_deg"], Some(foils.stall_angle_deg), 4.0, 30.0),
            (&["foils", "lift_after_stall"], Some(foils.lift_after_stall), 0.0, 1.0),
            (&["foils", "ventilation_angle_deg"], foils.ventilation_angle_deg, 2.0, 40.0),
            (&["foils", "recovery_time_s"], Some(foils.recovery_time_s), 0.1, 300.0),
            (&["foils", "profile_drag_coefficient"], Some(foils.profile_drag_coefficient), 0.003, 0.2),
        ]);
    }
    if let Some(windage) = &boat.windage {
        rules.extend::<[Rule; 3]>([
            (&["windage", "raised_foil_area_m2"], Some(windage.raised_foil_area_m2), 0.0, 30.0),
            (
                &["windage", "raised_foil_drag_coefficient"],
                Some(windage.raised_foil_drag_coefficient),
                0.0,
                2.5,
            ),
            (&["windage", "extra_drag_area_m2"], Some(windage.extra_drag_area_m2), 0.0, 50.0),
        ]);
    }
    rules
}

/// Either all main dimensions or a sections file, and dimensions that can belong to one hull.
fn hull_shape(hull: &HullSpec, text: &str, path: &Path) -> Result<()> {
    let dimensions = [hull.lwl_m, hull.bwl_m, hull.draught_m, hull.displacement_kg];
    if hull.sections.is_some() {
        if dimensions.iter().any(Option::is_some) {
            return Err(Error::new("the hull is given twice")
                .file(path)
                .at(place(&["hull", "sections"], text))
                .found("both `sections` and main dimensions")
                .expected("one of them: the dimensions follow from the sections")
                .remedy("remove lwl_m, bwl_m, draught_m and displacement_kg, or remove sections"));
        }
        return Ok(());
    }
    let [Some(lwl), Some(bwl), Some(draught), Some(displacement)] = dimensions else {
        return Err(Error::new("the hull lacks a main dimension")
            .file(path)
            .at(place(&["hull"], text))
            .expected("lwl_m, bwl_m, draught_m and displacement_kg, or sections = \"offsets.csv\"")
            .remedy("add what is missing"));
    };
    let ratios: [(&[&str], &str, f64, f64, f64); 4] = [
        (&["hull", "bwl_m"], "length to beam", lwl / bwl, 1.8, 20.0),
        (&["hull", "draught_m"], "beam to canoe-body draught", bwl / draught, 1.0, 25.0),
        (
            &["hull", "displacement_kg"],
            "block coefficient displacement/(density x length x beam x draught)",
            displacement / (RHO_WATER * lwl * bwl * draught),
            0.22,
            0.75,
        ),
        (&["hull", "pitch_radius_m"], "pitch radius to length", hull.pitch_radius_m / lwl, 0.15, 0.4),
    ];
    for (key, name, value, low, high) in ratios {
        if !(low..=high).contains(&value) {
            return Err(Error::new(format!("the hull's {name} is not plausible"))
                .file(path)
                .at(place(key, text))
                .found(format!("{value:.3}"))
                .expected(format!("{low} to {high}"))
                .remedy("check the dimensions: metres and kilograms, canoe body without keel"));
        }
    }
    Ok(())
}

/// Topsides say how wide the forward deck is once, and have the bow's freeboard beside them.
fn forward_deck(boat: &Boat, text: &str, path: &Path) -> Result<()> {
    let Some(topsides) = &boat.topsides else { return Ok(()) };
    let given =
        usize::from(topsides.deck_bow_fullness.is_some()) + usize::from(topsides.bow_flare_deg.is_some());
    if given != 1 {
        return Err(Error::new("the forward deck is not given once")
            .file(path)
            .at(place(&["topsides"], text))
            .found(format!("{given} of deck_bow_fullness and bow_flare_deg"))
            .expected("one of them: the other follows")
            .remedy("add or remove one"));
    }
    if boat.deck.is_none() {
        return Err(Error::new("the topsides lack the freeboard at the bow")
            .file(path)
            .at(place(&["topsides"], text))
            .expected("bow_freeboard_m in a table [deck]")
            .remedy("add [deck]"));
    }
    Ok(())
}

fn foil_speeds(foils: &FoilSpec, text: &str, path: &Path) -> Result<()> {
    if foils.full_share_speed_kn > foils.take_off_speed_kn {
        return Ok(());
    }
    Err(Error::new("the foils carry their full share before they take off")
        .file(path)
        .at(place(&["foils", "full_share_speed_kn"], text))
        .found(format!("{} kn, take-off at {} kn", foils.full_share_speed_kn, foils.take_off_speed_kn))
        .expected("full_share_speed_kn above take_off_speed_kn")
        .remedy("correct one of the two speeds"))
}

fn out_of_range(key: &[&str], value: f64, low: f64, high: f64, text: &str) -> Error {
    let known = key.split_last().and_then(|(name, table)| BOAT_KEYS.key(&table.join("."), name));
    let told = known.map(|known| format!("; {}", known.told())).unwrap_or_default();
    let unit = known.map_or("", |known| known.unit);
    let slip = unit_slips(unit).iter().find(|(_, factor)| (low..=high).contains(&(value * factor)));
    let remedy = match slip {
        Some((meant, factor)) => format!("if {value} is in {meant}, write {}", four_figures(value * factor)),
        None => "check the value and its unit, which is the end of the key's name".to_owned(),
    };
    Error::new(format!("`{}` is outside its plausible range", key.join(".")))
        .at(place(key, text))
        .found(value)
        .expected(format!("{low} to {high}{told}"))
        .remedy(remedy)
}

/// What a unit is taken for, with the factor to it.
fn unit_slips(unit: &str) -> &'static [(&'static str, f64)] {
    match unit {
        "newton metres" => &[("kilonewton metres", 1000.0), ("tonne metres", 9806.65)],
        "degrees" => &[("radians", 180.0 / std::f64::consts::PI)],
        "kilograms" => &[("tonnes", 1000.0), ("pounds", 0.453_592_37)],
        "metres" => &[("feet", 0.3048), ("millimetres", 0.001)],
        "square metres" => &[("square feet", 0.092_903_04)],
        "knots" => &[("metres a second", 3600.0 / 1852.0)],
        _ => &[],
    }
}

fn four_figures(value: f64) -> f64 {
    let scale = 10f64.powi(3 - value.abs().log10().floor() as i32);
    (value * scale).round() / scale
}

fn place(key: &[&str], text: &str) -> String {
    let older = key.split_last().and_then(|(name, table)| {
        let known = BOAT_KEYS.key(&table.join("."), name).filter(|known| !known.older.is_empty())?;
        key_start(&[table, &[known.older]].concat(), text)
    });
    match key_start(key, text).or(older) {
        Some(byte) => format!("{}, key `{}`", text_file::place(text, byte), key.join(".")),
        None => format!("key `{}`", key.join(".")),
    }
}

/// Where a key, named with the tables it stands in, starts in the text.
fn key_start(path: &[&str], text: &str) -> Option<usize> {
    let root = DeTable::parse(text).ok()?;
    let mut table = root.get_ref();
    let mut start = None;
    for name in path {
        let (key, value) = table.iter().find(|(key, _)| key.get_ref() == name)?;
        start = Some(key.span().start);
        if let DeValue::Table(inner) = value.get_ref() {
            table = inner;
        }
    }
    start
}
