//! `lookup --atlas`: what an atlas says of any sea.

use crate::cli::format::{Format, print_as};
use crate::cli::print::PLANNING_AID;
use crate::cli::values::{number, positive};
use clap::Args;
use roughwater::atlas::{AtlasSpeed, ErrorRow, Raised, read, signed_polar};
use roughwater::balance::STAGE_NAMES;
use roughwater::base::units::kn_to_m_s;
use roughwater::base::{Error, Result};
use roughwater::files::whole_file;
use roughwater::hydro::wave_growth::Growing;
use roughwater::hydro::wind_frame::WaveSystem;
use roughwater::polar::{CsvOptions, csv_write};
use roughwater::sea::{MAX_PARTITIONS, PartitionKind};
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// Any sea, instead of a place and a time.
#[derive(Debug, Args)]
#[command(next_help_heading = "Any sea, from an atlas")]
pub(super) struct AtlasSea {
    /// Folder that atlas wrote: ask it instead of a result
    #[arg(long, value_name = "FOLDER", conflicts_with = "path")]
    pub(super) atlas: Option<PathBuf>,
    /// A swell: significant height m, peak period s, angle degrees that it comes from off the wind, positive clockwise; may be
    /// given several times
    #[arg(long, value_name = "HS,TP,OFF", requires = "atlas", allow_hyphen_values = true, value_parser = system)]
    swell: Vec<[f64; 3]>,
    /// A wind sea: the same; the angle may be left out
    #[arg(long, value_name = "HS,TP[,OFF]", requires = "atlas", allow_hyphen_values = true, value_parser = system)]
    wind_sea: Vec<[f64; 3]>,
    /// The wind sea that the wind raises over this many nautical miles
    #[arg(long, value_name = "NM", requires = "atlas", conflicts_with_all = ["wind_sea", "duration_h"], value_parser = positive)]
    #[arg(allow_negative_numbers = true)]
    fetch_nm: Option<f64>,
    /// The wind sea that the wind raises in this many hours
    #[arg(long, value_name = "H", requires = "atlas", conflicts_with = "wind_sea", value_parser = positive)]
    #[arg(allow_negative_numbers = true)]
    duration_h: Option<f64>,
    /// Write the polar of this sea, starboard tack positive
    #[arg(long, value_name = "FILE", requires = "atlas")]
    polar_csv: Option<PathBuf>,
}

fn system(text: &str) -> std::result::Result<[f64; 3], String> {
    let numbers = text.split(',').map(number).collect::<std::result::Result<Vec<_>, _>>()?;
    match numbers[..] {
        [hs_m, tp_s] if hs_m > 0.0 && tp_s > 0.0 => Ok([hs_m, tp_s, 0.0]),
        [hs_m, tp_s, off] if hs_m > 0.0 && tp_s > 0.0 && (-360.0..=360.0).contains(&off) => {
            Ok([hs_m, tp_s, off])
        }
        _ => Err("give height in m, peak period in s and angle off the wind, such as 2.5,9,-60".to_owned()),
    }
}

/// Answers.
pub(super) fn answer(folder: &Path, sea: &AtlasSea, wind: Option<(f64, f64)>, format: Format) -> Result<()> {
    let needs_angle = sea.swell.len() + sea.wind_sea.len() + usize::from(sea.raised().is_some()) == 0;
    if needs_angle || (wind.is_none() && sea.polar_csv.is_none()) {
        let (what, remedy) = if needs_angle {
            ("no sea is given", "give --swell, --wind-sea, --fetch-nm or --duration-h")
        } else {
            ("nothing is asked of the sea", "give --tws-kn and --twa-deg, or --polar-csv")
        };
        return Err(Error::new(what).remedy(remedy));
    }
    let atlas = read(folder)?;
    if sea.swell.len() + sea.wind_sea.len() + 1 > MAX_PARTITIONS {
        return Err(Error::new("too many wave systems").expected(format!("fewer than {MAX_PARTITIONS}")));
    }
    if let Some(file) = &sea.polar_csv {
        let speeds = atlas.speeds_kn(|tws_kn| sea.systems(tws_kn))?;
        let polar = signed_polar(&atlas, &speeds)?;
        whole_file::write("the polar", file, &csv_write::to_bytes(&polar, &CsvOptions::default())?)?;
    }
    let speed =
        wind.map(|(tws_kn, twa_deg)| atlas.speed(&sea.systems(tws_kn), tws_kn, twa_deg)).transpose()?;
    let error = atlas.errors.last();
    let note = wind.and_then(|(tws_kn, _)| sea.growth_note(tws_kn));
    print_as(
        format,
        || {
            let file =
                sea.polar_csv.as_ref().map(|file| format!("{}: the polar of this sea\n", file.display()));
            let of_sea =
                |(tws_kn, _): (f64, f64)| sea.systems(tws_kn).iter().map(in_words).collect::<String>();
            let speed = speed.zip(wind).map(|(speed, wind)| text(&speed, wind, error) + &of_sea(wind));
            let note = note.map(|note| format!("note: {note}\n"));
            [file, speed, note].into_iter().flatten().collect::<String>() + PLANNING_AID + "\n"
        },
        || {
            let mut answer = object(speed.as_ref(), wind, error);
            if let Some((tws_kn, _)) = wind {
                answer["sea"] = sea.systems(tws_kn).iter().map(in_numbers).collect();
                answer["note"] = json!(note);
            }
            answer
        },
    )
}

fn in_words(system: &WaveSystem) -> String {
    let WaveSystem { kind, hs2_m2, tp_s, off_wind_deg } = system;
    let side = if *off_wind_deg < 0.0 { "left" } else { "right" };
    let from = if *off_wind_deg == 0.0 {
        "from where the wind comes".to_owned()
    } else {
        format!("from {:.0} degrees to the {side} of the wind", off_wind_deg.abs())
    };
    format!("  {}: Hs {:.2} m, Tp {tp_s:.1} s, {from}\n", kind.name(), hs2_m2.sqrt())
}

fn in_numbers(system: &WaveSystem) -> Value {
    let WaveSystem { kind, hs2_m2, tp_s, off_wind_deg } = system;
    json!({ "kind": kind.name(), "hs_m": hs2_m2.sqrt(), "tp_s": tp_s, "off_wind_deg": off_wind_deg })
}

impl AtlasSea {
    /// The sea that the wind raises, where one is asked for.
    fn raised(&self) -> Option<Raised> {
        self.fetch_nm.map(Raised::FetchNm).or(self.duration_h.map(Raised::DurationH))
    }

    /// What a reader should know of the sea that a wind raises.
    fn growth_note(&self, tws_kn: f64) -> Option<&'static str> {
        match self.raised()?.growth().growing(kn_to_m_s(tws_kn)) {
            Growing::Measured => None,
            Growing::Short => Some("the fetch is shorter than those that the growth curve was measured over"),
            Growing::Long => Some(
                "the fetch is longer than those that the growth curve was measured over: near the fully developed sea",
            ),
        }
    }

    /// The systems in a wind.
    fn systems(&self, tws_kn: f64) -> Vec<WaveSystem> {
        let of = |kind: PartitionKind| {
            move |[hs_m, tp_s, off_wind_deg]: &[f64; 3]| WaveSystem {
                kind,
                hs2_m2: hs_m * hs_m,
                tp_s: *tp_s,
                off_wind_deg: *off_wind_deg,
            }
        };
        let grown = self.raised().and_then(|raised| raised.system(tws_kn));
        let wind_seas = self.wind_sea.iter().map(of(PartitionKind::WindSea));
        let swells = self.swell.iter().map(of(PartitionKind::Swell));
        wind_seas.chain(grown).chain(swells).collect()
    }
}

fn text(speed: &AtlasSpeed, (tws_kn, twa_deg): (f64, f64), error: Option<&ErrorRow>) -> String {
    let AtlasSpeed { flat_kn, corrected_kn, stages, speed_sd_kn, band } = speed;
    let error = error.map(|row| format!(" (95 % within {:.2} kn of the direct way)", row.within_95_kn));
    let mut text = format!(
        "TWS {tws_kn} kn, TWA {twa_deg}: flat {flat_kn:.2} kn, corrected {corrected_kn:.2} kn{}, factor {:.3}, band {:.3} to \
         {:.3}, swings by {speed_sd_kn:.1} kn\n",
        error.unwrap_or_default(),
        if *flat_kn > 0.0 { corrected_kn / flat_kn } else { 1.0 },
        band[0],
        band[1],
    );
    for (name, stage) in STAGE_NAMES.iter().zip(stages) {
        text += &format!("  {:<17} {stage:.3}\n", name.replace('_', " "));
    }
    text
}

fn object(speed: Option<&AtlasSpeed>, wind: Option<(f64, f64)>, error: Option<&ErrorRow>) -> Value {
    let [rms, within] = [error.map(|row| row.rms_kn), error.map(|row| row.within_95_kn)];
    let mut answer = json!({ "error_rms_kn": rms, "error_95_kn": within });
    let Some((speed, (tws_kn, twa_deg))) = speed.zip(wind) else { return answer };
    answer["tws_kn"] = json!(tws_kn);
    answer["twa_deg"] = json!(twa_deg);
    answer["flat_kn"] = json!(speed.flat_kn);
    answer["corrected_kn"] = json!(speed.corrected_kn);
    answer["factor_band_slow"] = json!(speed.band[0]);
    answer["factor_band_fast"] = json!(speed.band[1]);
    answer["speed_sd_kn"] = json!(speed.speed_sd_kn);
    for (name, stage) in STAGE_NAMES.iter().zip(speed.stages) {
        answer[format!("stage_{name}")] = json!(stage);
    }
    answer
}
