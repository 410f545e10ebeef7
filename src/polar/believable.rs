//! Polars that are possible but unusual: asked about, since a slip of unit or axis makes most of them. What is usual is common
//! practice, no source.

use crate::polar::flat::{Polar, Tacks};

/// A question about each thing of a polar that is unusual, with what is usual.
pub fn doubts(polar: &Polar) -> Vec<String> {
    let greatest = |values: &[f64]| values.iter().copied().fold(0.0, f64::max);
    let (tws, twa) =
        (greatest(polar.tws_kn()), polar.twa_deg().iter().fold(0.0_f64, |most, deg| most.max(deg.abs())));
    let mut doubts = Vec::new();
    if tws > 75.0 && twa < 60.0 {
        doubts.push(format!(
            "the wind speeds run to {tws} kn and the wind angles to {twa} degrees, usually 20 to 40 kn and 150 to 180: is the \
             table transposed (wind speeds belong in the first row, angles in the first column)?"
        ));
        return doubts;
    }
    if twa <= 3.2 {
        doubts
            .push(format!("the wind angles run to {twa}, usually 150 to 180 degrees: are they in radians?"));
    } else if twa < 90.0 {
        doubts.push(format!(
            "the wind angles end at {twa} degrees, usually 150 to 180: is the rest of the table missing?"
        ));
    }
    if tws > 75.0 {
        doubts.push(format!("the wind speeds run to {tws} kn, usually 20 to 40: are they in knots, and the table not transposed?"));
    }
    if tws < 9.0 {
        doubts.push(format!("the wind speeds end at {tws} kn, usually 20 to 40: are they in knots, not metres a second or Beaufort?"));
    }
    doubts.extend(into_the_wind(polar));
    doubts
}

/// Speed close to the wind that no boat makes.
fn into_the_wind(polar: &Polar) -> Option<String> {
    let close = (0..polar.twa_deg().len()).filter(|row| polar.twa_deg()[*row].abs() < 20.0);
    let fastest = close.map(|row| (polar.twa_deg()[row], polar.row(row).iter().copied().fold(0.0, f64::max)));
    let (twa, speed_kn) =
        fastest.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, speed_kn)| *speed_kn > 2.0)?;
    let tacks = if polar.tacks() == Tacks::Signed { "" } else { ", counted from the bow" };
    Some(format!(
        "she makes {speed_kn} kn at TWA {twa}, usually nothing below 25 to 30: are the angles true wind angles in degrees{tacks}?"
    ))
}

/// Questions about a polar beside the boat it belongs to: her waterline, and whether she flies.
pub fn doubts_of_boat(polar: &Polar, lwl_m: f64, flies: bool) -> Vec<String> {
    // speed at which a wave is as long as she is: sqrt(g L / 2 pi), 2.43 sqrt(L) kn
    let hull_speed_kn =
        crate::base::units::m_s_to_kn((crate::base::units::G * lwl_m / std::f64::consts::TAU).sqrt());
    let fastest = polar.speeds_kn().iter().copied().fold(0.0, f64::max);
    let strongest = polar.tws_kn().iter().copied().fold(0.0, f64::max);
    let mut doubts = Vec::new();
    if strongest >= 14.0 && fastest < 0.72 * hull_speed_kn {
        doubts.push(format!(
            "her fastest speed is {fastest} kn, for {lwl_m:.1} m of waterline usually {hull_speed_kn:.1} kn and more: are the boat \
             speeds in knots, not metres a second?"
        ));
    }
    let ratio = |column: usize| {
        let tws = polar.tws_kn()[column];
        let speeds = (0..polar.twa_deg().len()).map(|row| polar.row(row)[column]);
        (tws, speeds.fold(0.0, f64::max))
    };
    let most = if flies { 3.2 } else { 1.35 };
    let columns = (0..polar.tws_kn().len()).map(ratio).filter(|(tws, _)| *tws >= 3.0);
    if let Some((tws, speed)) =
        columns.max_by(|a, b| (a.1 / a.0).total_cmp(&(b.1 / b.0))).filter(|(tws, speed)| speed / tws > most)
    {
        doubts.push(format!(
            "she sails {speed} kn in {tws} kn of wind, usually at most {most} times the wind: are the wind speeds in knots, not \
             metres a second?"
        ));
    }
    doubts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> String {
        doubts(&Polar::parse(text).unwrap()).join("\n")
    }

    const USUAL: &str = "twa,6,12,20\n40,4,6,6.5\n90,5,7,8\n150,4,6.5,7.5\n";

    #[test]
    fn a_usual_polar_is_not_asked_about() {
        assert_eq!(of(USUAL), "");
        let polar = Polar::parse(USUAL).unwrap();
        assert!(doubts_of_boat(&polar, 9.0, false).is_empty());
        for name in ["sleet-heron-15", "oat-plover-10"] {
            let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("polars")
                .join(name)
                .with_extension("csv");
            let polar = Polar::read(&path).unwrap();
            assert_eq!(doubts(&polar), Vec::<String>::new(), "{name}");
            let flies = name.starts_with("sleet");
            assert_eq!(
                doubts_of_boat(&polar, if flies { 15.0 } else { 8.9 }, flies),
                Vec::<String>::new(),
                "{name}"
            );
        }
    }

    #[test]
    fn slips_are_asked_about() {
        for (text, word) in [
            ("tws,40,90,150\n6,4,5,4\n12,6,7,6.5\n20,6.5,8,7.5\n", "transposed"),
            ("twa,6,12,20\n0.7,4,6,6.5\n1.57,5,7,8\n2.62,4,6.5,7.5\n", "radians"),
            ("twa,2,4,6\n40,4,6,6.5\n150,5,7,8\n", "Beaufort"),
            ("twa,6,12,20\n10,4,6,6.5\n150,5,7,8\n", "at TWA 10"),
            ("twa,6,12,20\n40,4,6,6.5\n60,5,7,8\n", "end at 60"),
        ] {
            assert!(of(text).contains(word), "{text}: {}", of(text));
        }
    }

    /// By hand: 9 m of waterline make 2.43 x 3 = 7.3 kn; 8 kn are 4.1 m/s, and 20 kn of wind 10.3 m/s.
    #[test]
    fn speeds_that_do_not_fit_the_boat_are_asked_about() {
        let boat = |text: &str| doubts_of_boat(&Polar::parse(text).unwrap(), 9.0, false).join("\n");
        let told = boat("twa,6,12,20\n40,2.1,3.1,3.3\n90,2.6,3.6,4.1\n");
        assert!(told.contains("4.1 kn") && told.contains("7.3 kn"), "{told}");
        let told = boat("twa,3.1,6.2,10.3\n40,4,6,6.5\n90,5,7,8\n");
        assert!(told.contains("5 kn in 3.1 kn of wind"), "{told}");
    }
}
