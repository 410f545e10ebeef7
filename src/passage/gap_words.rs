//! What a passage lacks, in words, with the places.

use crate::base::Result;
use crate::base::units::NAUTICAL_MILE_M;
use crate::passage::sail::{StopReason, Stopped, after};
use crate::passage::setting::{Gap, Passage, SailedOn, Setting, Uncorrected};
use crate::polar::Polar;
use geo::Point;
use jiff::Timestamp;

/// What is missing on a leg, from 0.
///
/// # Errors
/// A time beyond the calendar.
pub(super) fn gaps(setting: &Setting, passage: &Passage, leg: usize) -> Result<Vec<String>> {
    let told = |gap| match gap {
        Gap::Uncorrected(part) => {
            let region = setting.chart.region_name(part.why);
            Ok(uncorrected(&part, region))
        }
        Gap::Stopped { on, stopped } => {
            let time = after(passage.start, stopped.at_s)?;
            Ok(stop(on, &stopped, time, &setting.flat))
        }
    };
    passage.gaps(leg).into_iter().map(told).collect()
}

fn uncorrected(part: &Uncorrected, region: Option<&str>) -> String {
    let why = match region {
        None => "outside every region".to_owned(),
        Some(name) => format!("outside the windows of {name}"),
    };
    let (nm, hours) = (part.length_m / NAUTICAL_MILE_M, part.duration_s / 3600.0);
    format!("{nm:.1} nm ({hours:.1} h) {why}, sailed on the flat polar")
}

fn stop(on: SailedOn, stopped: &Stopped, time: Timestamp, polar: &Polar) -> String {
    let on = match on {
        SailedOn::Corrected => "on the corrected polars",
        SailedOn::Flat => "on the flat polar",
    };
    let why = match stopped.why {
        StopReason::NoWindThen => "the forecast has no wind within 3 h".to_owned(),
        StopReason::NoWindThere => "the forecast has no wind there".to_owned(),
        StopReason::OutsidePolar(tws_kn) => {
            let tws = polar.tws_kn();
            let (least, most) = (tws.first().unwrap_or(&0.0), tws.last().unwrap_or(&0.0));
            format!("TWS {tws_kn:.1} kn lies outside the polar's {least} to {most} kn")
        }
        StopReason::NoWay(tws_kn, twa_deg) => {
            format!("she makes no way along the course (TWS {tws_kn:.1} kn, TWA {twa_deg:.0})")
        }
    };
    format!("stops {on} at {}, {}: {why}", place(stopped.place), time.strftime("%Y-%m-%d %H:%M UTC"))
}

/// A place as sailors write it, to a tenth of a minute.
pub fn place(place: Point) -> String {
    let part = |deg: f64, positive: char, negative: char| {
        let tenths = (deg.abs() * 600.0).round() as u32;
        let side = if deg < 0.0 { negative } else { positive };
        format!("{:02}°{:02}.{}'{side}", tenths / 600, tenths % 600 / 10, tenths % 10)
    };
    format!("{} {}", part(place.y(), 'N', 'S'), part(place.x(), 'E', 'W'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::passage::chart::PolarServing;

    #[test]
    fn gaps_are_told_with_place_time_and_cause() {
        let part = Uncorrected { why: PolarServing::OutsideRegions, length_m: 18_520.0, duration_s: 5400.0 };
        assert_eq!(
            uncorrected(&part, None),
            "10.0 nm (1.5 h) outside every region, sailed on the flat polar"
        );
        assert_eq!(
            uncorrected(&part, Some("Sea")),
            "10.0 nm (1.5 h) outside the windows of Sea, sailed on the flat polar"
        );
        let polar = Polar::new(vec![6.0, 15.0], vec![45.0, 180.0], vec![10.0; 4]).unwrap();
        let stopped = Stopped {
            leg: 0,
            place: Point::new(-170.25, 50.5),
            at_s: 0.0,
            why: StopReason::OutsidePolar(15.55),
        };
        let time = "2030-03-01T15:00:29Z".parse().unwrap();
        assert_eq!(
            stop(SailedOn::Flat, &stopped, time, &polar),
            "stops on the flat polar at 50°30.0'N 170°15.0'W, 2030-03-01 15:00 UTC: TWS 15.6 kn lies outside the polar's \
             6 to 15 kn"
        );
    }
}
