//! `lookup --atlas`: what an atlas says of any sea.

use crate::cli::format::{Format, print_as};
use crate::cli::print::PLANNING_AID;
use crate::cli::values::{number, positive};
use clap::Args;
use roughwater::atlas::{AnswerInWind, AnsweredSystem, AskedSea, AtlasAnswer, AtlasSpeed, Raised, read};
use roughwater::balance::STAGE_NAMES;
use roughwater::base::{Error, Result};
use roughwater::files::whole_file;
use roughwater::polar::{CsvOptions, csv_write};
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
pub(super) fn answer(
    folder: &Path,
    options: &AtlasSea,
    wind: Option<(f64, f64)>,
    format: Format,
) -> Result<()> {
    let sea = options.asked();
    if sea == AskedSea::default() {
        return Err(
            Error::new("no sea is given").remedy("give --swell, --wind-sea, --fetch-nm or --duration-h")
        );
    }
    if wind.is_none() && options.polar_csv.is_none() {
        return Err(
            Error::new("nothing is asked of the sea").remedy("give --tws-kn and --twa-deg, or --polar-csv")
        );
    }
    let atlas = read(folder)?;
    if let Some(file) = &options.polar_csv {
        let polar = atlas.polar(&sea)?;
        whole_file::write("the polar", file, &csv_write::to_bytes(&polar, &CsvOptions::default())?)?;
    }
    let answer = atlas.answer(&sea, wind)?;
    let written = || {
        let file = options.polar_csv.as_ref();
        file.map_or_else(String::new, |file| format!("{}: the polar of this sea\n", file.display()))
    };
    print_as(format, || written() + &text(&answer) + PLANNING_AID + "\n", || &answer)
}

fn in_words(system: &AnsweredSystem) -> String {
    let AnsweredSystem { kind, hs_m, tp_s, off_wind_deg } = system;
    let side = if *off_wind_deg < 0.0 { "left" } else { "right" };
    let from = if *off_wind_deg == 0.0 {
        "from where the wind comes".to_owned()
    } else {
        format!("from {:.0} degrees to the {side} of the wind", off_wind_deg.abs())
    };
    format!("  {}: Hs {hs_m:.2} m, Tp {tp_s:.1} s, {from}\n", kind.name())
}

impl AtlasSea {
    fn asked(&self) -> AskedSea {
        AskedSea {
            swells: self.swell.clone(),
            wind_seas: self.wind_sea.clone(),
            raised: self.fetch_nm.map(Raised::FetchNm).or(self.duration_h.map(Raised::DurationH)),
        }
    }
}

fn text(answer: &AtlasAnswer) -> String {
    let Some(AnswerInWind { tws_kn, twa_deg, speed, sea, note }) = &answer.in_wind else {
        return String::new();
    };
    let AtlasSpeed { flat_kn, corrected_kn, stages, speed_sd_kn, band } = speed;
    let error = answer.error_95_kn.map(|kn| format!(" (95 % within {kn:.2} kn of the direct way)"));
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
    text += &sea.iter().map(in_words).collect::<String>();
    if let Some(note) = note {
        text += &format!("note: {note}\n");
    }
    text
}
