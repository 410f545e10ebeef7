//! What an input file is and holds, in words.

use crate::cli::print::plain_table;
use roughwater::examine::{
    BoatReport, Examination, HullReport, JobReport, PolarReport, RegionReport, SeaSheet, TopsidesReport,
};
use roughwater::forecast::{FileReport, GridLayout};
use std::fmt::Write;

/// The examination as lines of text.
pub(super) fn text(examination: &Examination) -> String {
    match examination {
        Examination::Forecast(report) => forecast(report),
        Examination::Polar(report) => polar(report),
        Examination::Boat(report) => boat(report),
        Examination::Sections(report) => {
            format!("hull sections, {} stations\n{}", report.stations, hull(report))
        }
        Examination::Regions(report) => regions_text(&report.regions),
        Examination::Job(report) => job(report),
        Examination::Seas(sheet) => seas(sheet),
    }
}

fn forecast(report: &FileReport) -> String {
    let mut text = format!("{}: {}, {} messages\n", report.file, report.kind.name(), report.messages.len());
    if let (Some(first), Some(last)) = (report.times.first(), report.times.last()) {
        let _ = writeln!(text, "{} valid times, {first} to {last}", report.times.len());
    }
    for grid in &report.grids {
        if grid.layout == GridLayout::Stations {
            let _ = writeln!(text, "{grid}");
            continue;
        }
        let _ = writeln!(
            text,
            "grid {} x {}, {} to {} N, {} to {} E",
            grid.rows, grid.columns, grid.south_deg, grid.north_deg, grid.west_deg, grid.east_deg
        );
    }
    let mut rows =
        plain_table(["message", "valid", "quantity", "unit", "least", "greatest", "missing of", "packing"]);
    for message in &report.messages {
        let quantity = message
            .quantity
            .map_or_else(|| format!("not needed ({})", message.code), |quantity| quantity.to_string());
        let (least, greatest, missing) = message.values.as_ref().map_or_else(Default::default, |values| {
            let (low, high) = values
                .range
                .map_or_else(Default::default, |(low, high)| (format!("{low:.2}"), format!("{high:.2}")));
            (low, high, format!("{} {}", values.missing, values.points))
        });
        rows.add_row([
            message.number.to_string(),
            message.valid.strftime("%Y-%m-%d %H:%M").to_string(),
            quantity,
            message.unit.unwrap_or_default().to_owned(),
            least,
            greatest,
            missing,
            message.problem.clone().unwrap_or_else(|| message.packing.clone()),
        ]);
    }
    let _ = writeln!(text, "\n{rows}\n");
    for step in &report.steps {
        let _ = writeln!(
            text,
            "{}: {} sea cells ({} flat, {} by the total sea alone), {} land, {} with gaps",
            step.valid,
            step.sea,
            step.flat,
            step.total_sea,
            step.land,
            step.gaps.iter().map(|gap| gap.cells).sum::<usize>()
        );
    }
    for check in &report.checks {
        let example = &check.example;
        let _ = writeln!(
            text,
            "check: {} at {} cells, for example {:.2} N {:.2} E at {}: {}",
            check.name, check.count, example.lat_deg, example.lon_deg, example.valid, example.found
        );
    }
    lacks(&mut text, &report.lacks);
    text
}

fn lacks(text: &mut String, lacks: &[String]) {
    for lack in lacks {
        let _ = writeln!(text, "lacks: {lack}");
    }
    if lacks.is_empty() {
        text.push_str("lacks nothing that the model needs\n");
    }
}

fn polar(report: &PolarReport) -> String {
    let ends = |axis: &[f64]| format!("{} to {}", axis.first().unwrap_or(&0.0), axis.last().unwrap_or(&0.0));
    format!(
        "polar: TWS {} kn in {} columns, TWA {} deg in {} rows, {}, speeds {} to {} kn\n",
        ends(&report.tws_kn),
        report.tws_kn.len(),
        ends(&report.twa_deg),
        report.twa_deg.len(),
        if report.signed { "tacks apart" } else { "both tacks alike" },
        report.speed_kn[0],
        report.speed_kn[1]
    )
}

fn boat(report: &BoatReport) -> String {
    let mut text = format!("boat \"{}\"\n{}", report.boat.name, hull(&report.hull));
    if !report.flags.is_empty() {
        let _ = writeln!(text, "flags: {}", report.flags);
    }
    lacks(&mut text, &report.lacks);
    text
}

fn hull(report: &HullReport) -> String {
    let mut text = format!(
        "waterline {:.3} m x {:.3} m, draught {:.3} m, displacement {:.0} kg\n\
         centre of buoyancy {:.3} m, of flotation {:.3} m forward of the aft end\n\
         waterplane {:.2} m2, wetted surface {:.2} m2\n\
         coefficients: block {:.3}, prismatic {:.3}, section {:.3}, waterplane {:.3}\n",
        report.lwl_m,
        report.bwl_m,
        report.draught_m,
        report.displacement_kg,
        report.lcb_m,
        report.lcf_m,
        report.waterplane_area_m2,
        report.wetted_surface_m2,
        report.cb,
        report.cp,
        report.cm,
        report.cwp
    );
    if let Some(topsides) = &report.topsides {
        text.push_str(&topsides_text(topsides));
    }
    text
}

fn topsides_text(report: &TopsidesReport) -> String {
    let flare = report.bow_flare_deg.map_or_else(String::new, |deg| format!(", flare forward {deg:.1} deg"));
    format!(
        "over all {:.3} m, deck {:.3} m wide, freeboard at the stem {:.3} m{flare}\n\
         reserve buoyancy {:.2} m3; forward {:.2} m3, {:.0} % of what she displaces; stem under at {:.1} deg of trim\n",
        report.length_overall_m,
        report.deck_beam_m,
        report.bow_freeboard_m,
        report.reserve_buoyancy_m3,
        report.reserve_buoyancy_forward_m3,
        100.0 * report.reserve_buoyancy_forward_ratio,
        report.bow_under_trim_deg
    )
}

fn regions_text(regions: &[RegionReport]) -> String {
    let mut rows = plain_table(["region", "polygons", "area sq nm", "notes"]);
    for region in regions {
        let area = format!("{:.0}", region.area_nm2);
        rows.add_row([region.name.clone(), region.polygons.to_string(), area, region.notes.join("; ")]);
    }
    format!("{} regions\n{rows}\n", regions.len())
}

fn job(report: &JobReport) -> String {
    let mut text = "job\n".to_owned();
    for named in &report.files {
        let absent = if named.is_there { "" } else { " (not there)" };
        let _ = writeln!(text, "{}: {}{absent}", named.role, named.file.display());
    }
    lacks(&mut text, &report.lacks);
    text
}

fn seas(sheet: &SeaSheet) -> String {
    let mut text = format!("sheet of {} seas\n", sheet.seas.len());
    for sea in &sheet.seas {
        let _ = writeln!(
            text,
            "line {}: {} s goes with {:.1} m, running at {:.2} m/s",
            sea.line, sea.period_s, sea.wave_length_m, sea.phase_speed_m_s
        );
        for warning in &sea.warnings {
            let _ = writeln!(text, "  warning: {warning}");
        }
    }
    text
}
