//! `new`: a working job from a few figures of a boat.

use crate::cli::outcome::Outcome;
use crate::cli::print::print;
use crate::cli::sea_options::box_deg;
use crate::cli::values::positive;
use crate::cli::width::{columns, wrapped};
use clap::Args;
use roughwater::base::{Error, Result};
use roughwater::boat::outline::{Figure, Outline};
use roughwater::files::shortest;
use roughwater::region::BoxDeg;
use roughwater::run::{Beginning, Begun};
use std::io::{BufRead, IsTerminal, Write};
use std::path::PathBuf;

/// Write a working job in a folder: boat file, polar and job from a few figures of the boat
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Folder of the job
    #[arg(default_value = ".")]
    folder: PathBuf,
    /// Length overall of the hull, m
    #[arg(long, value_name = "M", value_parser = positive, allow_negative_numbers = true)]
    length_m: Option<f64>,
    /// Greatest beam, m
    #[arg(long, value_name = "M", value_parser = positive, allow_negative_numbers = true)]
    beam_m: Option<f64>,
    /// Displacement as she sails, kg
    #[arg(long, value_name = "KG", value_parser = positive, allow_negative_numbers = true)]
    displacement_kg: Option<f64>,
    /// Sail area upwind, mainsail and headsail, m²
    #[arg(long, value_name = "M2", value_parser = positive, allow_negative_numbers = true)]
    sail_area_m2: Option<f64>,
    /// Length of the waterline, m, where it is known
    #[arg(long, value_name = "M", value_parser = positive, allow_negative_numbers = true)]
    waterline_m: Option<f64>,
    /// Draught with keel, m, where it is known
    #[arg(long, value_name = "M", value_parser = positive, allow_negative_numbers = true)]
    draught_m: Option<f64>,
    /// She has lifting foils
    #[arg(long)]
    foils: bool,
    /// What she is called
    #[arg(long, default_value = "My boat")]
    name: String,
    /// Forecast files, folders of them or patterns: all that follows [default: those in the folder]
    #[arg(long, num_args = 1.., value_name = "FILE")]
    forecast: Vec<PathBuf>,
    /// Box of sea that polars are made for: south, west, north, east, such as 40N,20W,50N,5W; may be given several times
    /// [default: the forecast's extent]
    #[arg(long = "box", value_parser = box_deg, value_name = "S,W,N,E", allow_hyphen_values = true)]
    boxes: Vec<BoxDeg>,
}

const EXAMPLES: &str = "Examples:\n  \
roughwater new\n  \
roughwater new wren --length-m 10 --beam-m 3.3 --displacement-kg 5200 --sail-area-m2 62 --box 40N,20W,50N,5W\n  \
roughwater new . --name Wren --length-m 10 --beam-m 3.3 --displacement-kg 5200 --sail-area-m2 62 --forecast sea.grib2\n\n\
On a terminal, figures that are not given are asked for. What follows from them is printed with its rule and source; the \
polar is what her own sails and hull give, an estimate to be replaced by her own.";

/// A figure that every new boat needs: what it is called, its option, and what is usual.
const ASKED: [(&str, &str, &str); 4] = [
    ("Length overall of the hull, m", "--length-m", "5 to 25"),
    ("Greatest beam, m", "--beam-m", "2 to 6"),
    ("Displacement as she sails, kg", "--displacement-kg", "1000 to 30000"),
    ("Sail area upwind, mainsail and headsail, m²", "--sail-area-m2", "20 to 250"),
];

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let given = [options.length_m, options.beam_m, options.displacement_kg, options.sail_area_m2];
    let on_terminal = std::io::stdin().is_terminal() && std::io::stderr().is_terminal();
    let [length_m, beam_m, displacement_kg, sail_area_m2] = if on_terminal {
        asked_for(given, &mut std::io::stdin().lock(), &mut std::io::stderr())?
    } else {
        all_given(given)?
    };
    let outline = Outline {
        name: options.name.clone(),
        length_m,
        beam_m,
        displacement_kg,
        sail_area_m2,
        has_foils: options.foils,
        waterline_m: options.waterline_m,
        draught_m: options.draught_m,
    };
    let beginning = Beginning {
        outline,
        folder: options.folder.clone(),
        forecast: options.forecast.clone(),
        boxes: options.boxes.clone(),
    };
    let begun = beginning.write()?;
    print(&text(&begun, options))?;
    Ok(Outcome::Whole)
}

/// All four, or one error that names those that are missing.
fn all_given(given: [Option<f64>; 4]) -> Result<[f64; 4]> {
    let missing: Vec<&(&str, &str, &str)> =
        ASKED.iter().zip(given).filter(|(_, value)| value.is_none()).map(|(asked, _)| asked).collect();
    if missing.is_empty() {
        return Ok(given.map(Option::unwrap_or_default));
    }
    let options: Vec<&str> = missing.iter().map(|(_, option, _)| *option).collect();
    let told: Vec<String> =
        missing.iter().map(|(what, option, usual)| format!("{option}: {what}; usually {usual}")).collect();
    Err(Error::new("a new boat needs more figures")
        .found(format!("no {}", options.join(", ")))
        .expected(told.join("\n"))
        .remedy("give them as options, or run it on a terminal, where they are asked for"))
}

/// Asks for what is not given, until it is a number above 0.
fn asked_for(
    given: [Option<f64>; 4],
    answers: &mut impl BufRead,
    questions: &mut impl Write,
) -> Result<[f64; 4]> {
    let failed = |error: std::io::Error| Error::new(format!("cannot ask on this terminal: {error}"));
    let mut figures = given;
    for ((what, option, usual), figure) in ASKED.iter().zip(&mut figures) {
        while figure.is_none() {
            write!(questions, "{what} (usually {usual}): ")
                .and_then(|()| questions.flush())
                .map_err(failed)?;
            let mut answer = String::new();
            if answers.read_line(&mut answer).map_err(failed)? == 0 {
                return Err(Error::new("the answers ended before all figures were given")
                    .found(format!("nothing for {what}"))
                    .expected("a number above 0")
                    .remedy(format!("give {option}")));
            }
            match positive(&answer.trim().replace(',', ".")) {
                Ok(value) => *figure = Some(value),
                Err(wrong) => writeln!(questions, "{wrong}").map_err(failed)?,
            }
        }
    }
    Ok(figures.map(Option::unwrap_or_default))
}

fn text(begun: &Begun, options: &Options) -> String {
    let files: Vec<String> = begun.files.iter().map(|file| shortest(file).display().to_string()).collect();
    let width = columns();
    let mut text = format!(
        "wrote {}\nregions: {}\n\nestimated, so put your own in their place where you know them:\n",
        files.join(", "),
        begun.regions
    );
    let estimated = begun.figures.iter().filter_map(|figure| Some((figure, figure.rule?)));
    for (Figure { table, key, value, .. }, rule) in estimated {
        text += &(wrapped(&format!("  {table}.{key} = {value}: {rule}"), width, 6) + "\n");
    }
    let job = shortest(&options.folder.join("job.toml"));
    text += &wrapped(
        &format!(
            "\npolar.csv is an estimate too, from her sails and hull. Next: put her own polar there, then run `roughwater derate {}`. \
             `roughwater inspect {}` says what is usual and what the model would lack.",
            job.display(),
            shortest(&options.folder.join("boat.toml")).display()
        ),
        width,
        0,
    );
    text + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_missing_is_asked_for_until_it_is_a_number() {
        let mut questions = Vec::new();
        let mut answers = "ten\n3,3\n5200\n".as_bytes();
        let figures = asked_for([Some(10.0), None, None, Some(62.0)], &mut answers, &mut questions).unwrap();
        assert_eq!(figures, [10.0, 3.3, 5200.0, 62.0]);
        let questions = String::from_utf8(questions).unwrap();
        assert_eq!(questions.matches("Greatest beam").count(), 2, "{questions}");
        assert!(questions.contains("`ten` is not a number") && !questions.contains("Length"), "{questions}");
        assert!(asked_for([None; 4], &mut "".as_bytes(), &mut Vec::new()).is_err());
    }
}
