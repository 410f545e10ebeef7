//! The trade's claims about bows, each answered by a number with its standard error: two bows on one hull through the same
//! drawings of several seas, and an 18 m boat in a steep head sea.
//!
//! `cargo run --release --example bow_claims > tests/physics/bow_claims.md` remakes the document.

use roughwater::base::{Error, Flags, Result};
use roughwater::boat::{Boat, ModelChoices};
use roughwater::derate::Performance;
use roughwater::hydro::wind_frame::{WaveSystem, WindFrameSea};
use roughwater::polar::Polar;
use roughwater::run::performance_of;
use roughwater::sea::PartitionKind;
use roughwater::simulate::{Paired, PairedFigure, Setting, SimulatedSea, drawings, paired};

/// A wind and a sea.
struct Case {
    name: &'static str,
    tws_kn: f64,
    twa_deg: f64,
    hs_m: f64,
    tp_s: f64,
    off_wind_deg: f64,
}

const fn case(name: &'static str, [tws_kn, twa_deg]: [f64; 2], [hs_m, tp_s, off_wind_deg]: [f64; 3]) -> Case {
    Case { name, tws_kn, twa_deg, hs_m, tp_s, off_wind_deg }
}

/// Waves come from dead ahead where they lie as far off the wind as she sails, the other way.
const CASES: [Case; 7] = [
    case("slow, head sea", [6.0, 50.0], [2.5, 7.0, -50.0]),
    case("upwind, head sea", [20.0, 50.0], [2.5, 7.0, -50.0]),
    case("upwind, short steep head sea", [20.0, 50.0], [2.0, 5.0, -50.0]),
    case("upwind, long head sea", [20.0, 50.0], [3.5, 10.0, -50.0]),
    case("upwind, sea of the wind", [20.0, 50.0], [2.5, 7.0, 0.0]),
    case("fast reach, head sea", [20.0, 110.0], [2.5, 7.0, -110.0]),
    case("fast reach, sea of the wind", [20.0, 110.0], [2.5, 7.0, 0.0]),
];
/// Of the cases the same sea from ahead at three speeds.
const SPEEDS: [usize; 3] = [0, 1, 5];
/// Head seas of the 18 m boat, 1 in 22, 1 in 16 and 1 in 22.
const STEEP: [Case; 3] = [
    case("steep head sea", [25.0, 110.0], [3.0, 6.5, -110.0]),
    case("steeper head sea", [25.0, 110.0], [3.0, 5.5, -110.0]),
    case("high head sea", [25.0, 110.0], [4.0, 7.5, -110.0]),
];

const BOWS: [&str; 2] = ["sleet-heron-15", "sleet-heron-15-full-bow"];
const LARGE: &str = "slate-curlew-18";
const DRAWINGS: u64 = 10;
const COUNTED_S: f64 = 300.0;
const FIRST_SEED: u64 = 1000;
/// What the test sails again.
const SPOT_S: f64 = 40.0;
/// Density of sea water.
const SEA_KG_M3: f64 = 1025.0;

/// A claim that one bow has more of something.
struct Claim {
    said: &'static str,
    quantity: &'static str,
    unit: &'static str,
    /// The sign of full less fine if it is true.
    sign: f64,
    why: &'static str,
}

const CLAIMS: [Claim; 4] = [
    Claim {
        said: "The fine bow ships more water",
        quantity: "shipped_kg_per_wave",
        unit: "kg a wave met",
        sign: -1.0,
        why: "With 7.4 m3 of reserve buoyancy forward against 10.5 the fine bow goes deeper into the few waves that \
        reach a deck; there the full bow's wider deck takes more at once. Most waves are several of her lengths long and both ride \
        them alike, so that what is shipped hangs on a few waves an hour: hours of sea are needed to tell the bows apart.",
    },
    Claim {
        said: "The fine bow pitches less",
        quantity: "pitch_sd_deg",
        unit: "standard deviation, degrees",
        sign: 1.0,
        why: "Both follow the slope of waves that are several times as long as they. What damps pitching is the waves that \
        her ends make, and the full bow's wider waterline makes more of them; the sea stands above its flare too seldom to turn \
        that round. Two bows on one hull of equal length, beam and weight: a boat with lighter ends pitches less for another reason.",
    },
    Claim {
        said: "The full bow slams more",
        quantity: "hard_slam_rate_per_h",
        unit: "hard slams an hour",
        sign: 1.0,
        why: "The fine bow meets the water faster, as its narrower waterline damps the relative motion less, but as a \
        sharper wedge: over the lowest quarter of the section a tenth abaft the stem the deadrise is 29 degrees against 20, and \
        pressure goes with the square of its cotangent. Counted by speed alone, as fast re-entries, the fine bow leads (last table, \
        and linear theory with it). That the forefoot comes out in nearly every wave is the drawn hull, 0.14 and 0.09 m deep there. \
        Heel, left out, flattens one side of either.",
    },
    Claim {
        said: "The fine bow swings more in speed",
        quantity: "sd_kn",
        unit: "standard deviation, kn",
        sign: -1.0,
        why: "Her speed is swung by the waves' push and hold along the whole hull, which goes with her volume and length, \
        the same for both. What comes over the bow weighs too little in these seas, and drains too soon, to be seen beside it.",
    },
];

/// Further figures of both bows, beside those of the claims.
const BESIDE: [(&str, &str, usize); 12] = [
    ("mean_kn", "speed kn", 2),
    ("recovery_mean_s", "regained s", 1),
    ("foil_angle_sd_deg", "foil sd deg", 2),
    ("apparent_wind_sd_deg", "wind sd deg", 2),
    ("shipped_most_kg", "most shipped kg", 0),
    ("deck_water_most_kg", "most on deck kg", 0),
    ("bow_under_rate_per_h", "stem under 1/h", 1),
    ("slam_rate_per_h", "re-entries 1/h", 0),
    ("slam_pressure_mean_kpa", "pressure kPa", 1),
    ("bow_impact_tenth_kn", "impact at the bow kN", 1),
    ("bow_acceleration_most_g", "stem g most", 2),
    ("bow_acceleration_rms_g", "stem g rms", 3),
];

fn main() -> Result<()> {
    let [fine, full] = BOWS.map(|boat| performance(boat, BOWS[0]));
    let (fine, full) = (fine?, full?);
    let sail = |case: &Case| paired(&fine, &full, &setting(case, DRAWINGS, COUNTED_S));
    let sailed: Vec<Paired> = CASES.iter().map(sail).collect::<Result<_>>()?;
    println!("# The trade's claims about bows\n");
    println!(
        "Made by `cargo run --release --example bow_claims`: {DRAWINGS} drawings of {} minutes of each sea, the same ones for both\n\
         bows. All claims are common practice, no source. Fine and full are the two Sleet Herons, one hull with two bows, both on\n\
         the polar of the fine one; differences are full less fine, +- their standard errors, drawing by drawing. \"Yes\" and \"no\"\n\
         stand where the difference stands out of chance (5 %); the rest is open. A hard slam is a re-entry of the keel a tenth abaft the\n\
         stem with at least the pressure of Ochi's own bow at his threshold, 8 kPa here. Seas from astern are left out: what planing\n\
         does to her trim there is not modelled. Invented boats; a planning aid, not a safety limit.\n",
        COUNTED_S / 60.0
    );
    for (number, claim) in CLAIMS.iter().enumerate() {
        answer(number + 1, claim, &sailed)?;
    }
    faster_is_wetter(CLAIMS.len() + 1, &sailed)?;
    three_cubic_metres(CLAIMS.len() + 2)?;
    regained(CLAIMS.len() + 3, &sailed)?;
    all_figures(&sailed)?;
    let spot = paired(&fine, &full, &setting(&CASES[1], 1, SPOT_S))?;
    println!("\n## One drawing, sailed again by a test\n");
    println!("{}, the first drawing, {SPOT_S} s:\n", CASES[1].name);
    println!("| figure | fine | full |\n|---|---|---|");
    for quantity in ["mean_kn", "pitch_sd_deg", "bow_relative_sd_m", "bow_acceleration_rms_g"] {
        let figure = of(&spot, quantity)?;
        println!("| {quantity} | {:.4} | {:.4} |", known(figure.a)?, known(figure.b)?);
    }
    Ok(())
}

fn answer(number: usize, claim: &Claim, sailed: &[Paired]) -> Result<()> {
    println!("## {number}. {}\n", claim.said);
    println!("| sea | fine | full | full less fine ({}) | +- | so |\n|---|---|---|---|---|---|", claim.unit);
    let mut counts = [0; 3];
    for (case, both) in CASES.iter().zip(sailed) {
        let figure = of(both, claim.quantity)?;
        let (difference, error) = (known(figure.difference)?, known(figure.difference_se)?);
        let so = match figure.stands_out {
            false => 2,
            true => usize::from(difference * claim.sign < 0.0),
        };
        counts[so] += 1;
        println!(
            "| {} | {:.2} | {:.2} | {difference:+.3} | {error:.3} | {} |",
            told(case),
            known(figure.a)?,
            known(figure.b)?,
            ["yes", "no", "open"][so]
        );
    }
    let half = CASES.len() / 2;
    let word = match counts {
        [yes, 0, _] if yes > half => "Yes",
        [yes, 0, _] if yes > 0 => "Rather yes",
        [0, no, _] if no > half => "No",
        [0, no, _] if no > 0 => "Rather no",
        [0, 0, _] => "Not to be told",
        _ => "It depends",
    };
    println!(
        "\n**{word}**: yes in {}, no in {}, open in {} of these seas. {}\n",
        counts[0], counts[1], counts[2], claim.why
    );
    Ok(())
}

fn faster_is_wetter(number: usize, sailed: &[Paired]) -> Result<()> {
    println!("## {number}. Faster is lower on the wave and wetter\n");
    println!("The fine bow, the same sea from ahead:\n");
    println!(
        "| speed kn | water at the stem over her waterline, mean m | its sd m | shipped kg a wave | kg an hour | stem under 1/h |\n|---|---|---|---|---|---|"
    );
    for index in SPEEDS {
        let both = &sailed[index];
        let at = |quantity| of(both, quantity).and_then(|figure| known(figure.a));
        println!(
            "| {:.1} | {:+.2} | {:.2} | {:.2} | {:.0} | {:.1} |",
            at("mean_kn")?,
            at("bow_relative_mean_m")?,
            at("bow_relative_sd_m")?,
            at("shipped_kg_per_wave")?,
            at("shipped_kg_per_wave")? * at("waves_per_h")?,
            at("bow_under_rate_per_h")?
        );
    }
    let shipped: Vec<Option<f64>> =
        SPEEDS.iter().filter_map(|index| Some(of(&sailed[*index], "shipped_kg_per_wave").ok()?.a)).collect();
    println!(
        "\n**{}**. More speed is more drive, which presses her bow down from above, and a higher bow wave, while her motion against the\n\
         water stays the same: every wave finds the deck's edge nearer, and she meets more of them an hour.\n",
        if shipped.is_sorted() { "Yes" } else { "It depends" }
    );
    Ok(())
}

fn three_cubic_metres(number: usize) -> Result<()> {
    let boat = performance(LARGE, LARGE)?;
    println!("## {number}. Three cubic metres at once on a boat of 60 ft, in a steep head sea at 20 kn\n");
    println!("Slate Curlew 18, an invented 18 m boat; the most on deck at once in each drawing:\n");
    println!(
        "| sea | flat kn | mean kn | most m3, mean of the drawings | +- | of all m3 | stem under 1/h | so |\n|---|---|---|---|---|---|---|---|"
    );
    for case in &STEEP {
        let sailed = drawings(&boat, &setting(case, DRAWINGS, COUNTED_S))?;
        let most: Vec<f64> =
            sailed.each.iter().map(|one| one.simulated.deck_water_most_kg / SEA_KG_M3).collect();
        let count = most.len() as f64;
        let mean = most.iter().sum::<f64>() / count;
        let squares: f64 = most.iter().map(|value| (value - mean).powi(2)).sum();
        let all = &sailed.all.simulated;
        let of_all = all.deck_water_most_kg / SEA_KG_M3;
        println!(
            "| {} | {:.1} | {:.1} | {mean:.2} | {:.2} | {of_all:.2} | {:.0} | {} |",
            told(case),
            all.flat_kn,
            all.mean_kn,
            (squares / (count - 1.0) / count).sqrt(),
            sailed.all.bow.map_or(0.0, |bow| bow.bow_under_rate_per_h),
            if of_all >= 3.0 { "yes" } else { "no" }
        );
    }
    println!(
        "\nThe most is one wave's, and grows with the hours sailed and with the sea's height: what fills a deck is a stem that goes under\n\
         and a weir some metres long on both sides of it, of the order of a cubic metre a second for half a metre of water above\n\
         the edge. Water that she drives her deck into at 20 kn, faster than a weir lets it in, is left out.\n"
    );
    Ok(())
}

fn regained(number: usize, sailed: &[Paired]) -> Result<()> {
    println!("## {number}. Three to five seconds to regain speed\n");
    println!("From the least speed of a slowing by over 5 % until she has her mean speed again:\n");
    println!("| sea | fine s | full s | half a wave met, s | so |\n|---|---|---|---|---|");
    for (case, both) in CASES.iter().zip(sailed) {
        let figure = of(both, "recovery_mean_s")?;
        let half = 1800.0 / known(of(both, "waves_per_h")?.a)?;
        let word = |value: Option<f64>| value.map_or("-".to_owned(), |value| format!("{value:.1}"));
        let so = match figure.a {
            Some(s) if (3.0..=5.0).contains(&s) => "yes",
            Some(s) if s < 3.0 => "shorter",
            Some(_) => "longer",
            None => "no such slowing",
        };
        println!("| {} | {} | {} | {half:.1} | {so} |", told(case), word(figure.a), word(figure.b));
    }
    println!(
        "\nIn head seas the next face gives back within half a wave met what the last one took: shorter than the trade says, and\n\
         no water lies on deck long enough to change that. Where a wave takes her drive for longer, as on the reach in the sea of\n\
         the wind, she has to be sped up by what thrust leaves over, and needs as long as they say and longer.\n"
    );
    Ok(())
}

fn all_figures(sailed: &[Paired]) -> Result<()> {
    println!("## What else differs\n");
    println!("Fine and full, `*` where the difference stands out:\n");
    let names: String = BESIDE.iter().map(|(_, words, _)| format!(" {words} |")).collect();
    println!("| sea |{names}\n|---|{}", "---|".repeat(BESIDE.len()));
    for (case, both) in CASES.iter().zip(sailed) {
        let mut row = format!("| {} |", case.name);
        for (quantity, _, decimals) in BESIDE {
            let figure = of(both, quantity)?;
            let word =
                |value: Option<f64>| value.map_or("-".to_owned(), |value| format!("{value:.decimals$}"));
            let star = if figure.stands_out { "*" } else { "" };
            row += &format!(" {}, {}{star} |", word(figure.a), word(figure.b));
        }
        println!("{row}");
    }
    Ok(())
}

fn told(case: &Case) -> String {
    format!(
        "{} (TWS {:.0}, TWA {:.0}; {} m, {} s)",
        case.name, case.tws_kn, case.twa_deg, case.hs_m, case.tp_s
    )
}

fn of<'p>(both: &'p Paired, quantity: &str) -> Result<&'p PairedFigure> {
    let found = both.figures.iter().find(|figure| figure.quantity == quantity);
    found.ok_or_else(|| Error::new(format!("no figure `{quantity}`")))
}

fn known(value: Option<f64>) -> Result<f64> {
    value.ok_or_else(|| Error::new("a figure is missing"))
}

fn performance(boat: &str, polar: &str) -> Result<Performance> {
    let boat = Boat::read(format!("examples/boats/{boat}.toml").as_ref())?;
    let polar = Polar::read(format!("polars/{polar}.csv").as_ref())?;
    performance_of(boat, polar, &ModelChoices::default())
}

fn setting(case: &Case, seeds: u64, duration_s: f64) -> Setting {
    let system = WaveSystem {
        kind: PartitionKind::WindSea,
        hs2_m2: case.hs_m * case.hs_m,
        tp_s: case.tp_s,
        off_wind_deg: case.off_wind_deg,
    };
    let sea = WindFrameSea {
        tws_m_s: 0.0,
        systems: [system].into_iter().collect(),
        spectrum: None,
        flags: Flags::empty(),
    };
    Setting {
        tws_kn: case.tws_kn,
        twa_deg: case.twa_deg,
        sea: SimulatedSea::Random(sea),
        duration_s,
        step_s: 0.1,
        seed: FIRST_SEED,
        seeds,
    }
}
