//! What an input file is and holds, in words.

use crate::cli::print::plain_table;
use comfy_table::Table;
use roughwater::examine::{
    AtlasReport, AxesReport, BoatReport, Examination, HullReport, JobReport, PolarReport, RegionReport,
    ResultReport, SeaSheet, TallyReport, TopsidesReport, TrackReport,
};
use roughwater::forecast::inspect::MessageReport;
use roughwater::forecast::{FileReport, GridLayout};
use std::fmt::Write;

/// The examination as lines of text, the verdict first; of a forecast, a row for each message where all are wanted.
pub(super) fn text(examination: &Examination, all: bool) -> String {
    match examination {
        Examination::Atlas(report) => atlas(report),
        Examination::Track(report) => track(report),
        Examination::Tally(report) => tally(report),
        Examination::Result(report) => result(report),
        Examination::ResultTable(report) => {
            format!("{}\n{} rows, columns: {}\n", report.holds, report.rows, report.columns.join(", "))
        }
        Examination::Responses(report) => {
            let columns = report.columns.join(", ");
            format!(
                "own responses that can be used: {} nodes on a full grid\ncolumns: {columns}\n",
                report.nodes
            )
        }
        Examination::Forecast(report) => forecast(report, all),
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

fn forecast(report: &FileReport, all: bool) -> String {
    let mut text = if report.lacks.is_empty() {
        "a forecast that serves by itself: waves and wind\n".to_owned()
    } else {
        format!(
            "a forecast that lacks {} the model needs\n",
            if report.lacks.len() == 1 { "one thing" } else { "things" }
        )
    };
    lacks(&mut text, &report.lacks);
    let _ = writeln!(text, "\n{}: {}, {} messages", report.file, report.kind.name(), report.messages.len());
    if let (Some(first), Some(last)) = (report.times.first(), report.times.last()) {
        let _ = writeln!(text, "{} valid times, {first} to {last}", report.times.len());
    }
    for grid in &report.grids {
        if grid.layout != GridLayout::Rectilinear {
            let _ = writeln!(text, "{grid}");
            continue;
        }
        let _ = writeln!(
            text,
            "grid {} x {}, {} to {} N, {} to {} E",
            grid.rows, grid.columns, grid.south_deg, grid.north_deg, grid.west_deg, grid.east_deg
        );
    }
    let rows = if all { each_message(report) } else { by_quantity(report) };
    let _ = writeln!(text, "\n{rows}\n");
    if !all && report.messages.len() > report.quantities.len() {
        let _ = writeln!(text, "--all shows each of the {} messages\n", report.messages.len());
    }
    for step in &report.steps {
        let _ = writeln!(
            text,
            "{}: {} sea cells ({} flat, {} by the total sea alone), {} without a sea (land, ice, beyond the model), {} with gaps",
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
    text
}

/// A row for each quantity, and one for all that is not needed.
fn by_quantity(report: &FileReport) -> Table {
    let mut rows =
        plain_table(["quantity", "unit", "messages", "least", "greatest", "missing %", "problems"]);
    let mut groups: Vec<(String, Vec<&MessageReport>)> = Vec::new();
    for message in &report.messages {
        let name = message.quantity.map_or_else(|| "not needed".to_owned(), |quantity| quantity.to_string());
        match groups.iter_mut().find(|(known, _)| *known == name) {
            Some((_, messages)) => messages.push(message),
            None => groups.push((name, vec![message])),
        }
    }
    for (name, messages) in groups {
        let values = || messages.iter().filter_map(|message| message.values.as_ref());
        let ranges = || values().filter_map(|values| values.range);
        let ends = ranges().reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
        let is_needed = messages.iter().any(|message| message.quantity.is_some());
        let (least, greatest) = ends
            .filter(|_| is_needed)
            .map_or_else(Default::default, |(low, high)| (format!("{low:.2}"), format!("{high:.2}")));
        let (missing, points) =
            values().fold((0, 0), |sum, values| (sum.0 + values.missing, sum.1 + values.points));
        let missing =
            if points > 0 { format!("{:.1}", 100.0 * missing as f64 / points as f64) } else { String::new() };
        let problems = messages.iter().filter(|message| message.problem.is_some()).count();
        rows.add_row([
            name,
            messages
                .iter()
                .find_map(|message| message.unit)
                .filter(|_| is_needed)
                .unwrap_or_default()
                .to_owned(),
            messages.len().to_string(),
            least,
            greatest,
            missing,
            if problems > 0 { format!("{problems} unreadable") } else { String::new() },
        ]);
    }
    rows
}

/// A row for each message.
fn each_message(report: &FileReport) -> Table {
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
    rows
}

fn atlas(report: &AtlasReport) -> String {
    let ends = |axis: &[f64]| format!("{} to {}", axis.first().unwrap_or(&0.0), axis.last().unwrap_or(&0.0));
    let mut text = format!(
        "an atlas that can be used: \"{}\", {}, {} seas, {:.1} MB\n",
        report.boat,
        report.fineness,
        report.seas,
        report.bytes as f64 / 1e6
    );
    match report.errors.last() {
        Some(row) => {
            let _ = writeln!(
                text,
                "error at {} random seas: {:.3} kn root mean square ({:.3} its own), 95 % within {:.3} kn, the largest {:.3} kn",
                row.count, row.rms_kn, row.own_rms_kn, row.within_95_kn, row.largest_kn
            );
        }
        None => text.push_str("check: it does not say how far it is from the direct way\n"),
    }
    let _ = writeln!(
        text,
        "polar: TWS {} kn in {} columns, TWA {} deg in {} rows, {}",
        ends(&report.tws_kn),
        report.tws_kn.len(),
        ends(&report.twa_deg),
        report.twa_deg.len(),
        if report.both_sides { "tacks apart" } else { "both tacks alike" }
    );
    for (what, axes) in [("wind seas", &report.wind_seas), ("swells", &report.swells)] {
        let AxesReport { tp_s, greatest_hs_m, height_parts, wave_angle_deg } = axes;
        let highest = greatest_hs_m.iter().copied().fold(0.0, f64::max);
        let _ = writeln!(
            text,
            "{what}: {} peak periods {} s, {} heights up to {highest} m, {} wave angles",
            tp_s.len(),
            ends(tp_s),
            height_parts.len(),
            wave_angle_deg.len()
        );
    }
    let surge = format!(
        "each cell sailed {} s through each swell, three times as long through each wind sea",
        report.sailed_s
    );
    let _ = writeln!(text, "{surge}\ndigest: {}", report.digest);
    text
}

fn track(report: &TrackReport) -> String {
    let place = |[lat, lon]: [f64; 2]| format!("{lat:.3} {lon:.3}");
    let mut text = format!(
        "a track of {} positions, {:.1} nm along the geodesic\nfrom {} to {} (latitude, longitude)\n",
        report.positions,
        report.length_nm,
        place(report.from_deg),
        place(report.to_deg)
    );
    if let Some([first, last]) = report.times {
        let _ = writeln!(text, "timed: {first} to {last}");
    }
    text
}

fn tally(report: &TallyReport) -> String {
    let mut text = format!(
        "a tally that can be used: {} regions, {} windows, {} sea states in {} bins\n",
        report.regions, report.windows, report.sea_states, report.bins
    );
    if let Some([first, last]) = report.span {
        let _ = writeln!(text, "from {first} to {last}");
    }
    let _ = writeln!(text, "from {} forecast files, with {} declared gaps", report.forecasts, report.gaps);
    text
}

fn result(report: &ResultReport) -> String {
    let whole = match report.missing.as_slice() {
        [] => "a whole result".to_owned(),
        missing => format!("a result of which {} polar files are missing", missing.len()),
    };
    let mut text = format!("{whole}: {} corrected polars of {} regions", report.polars, report.regions.len());
    if let Some([start, end]) = report.span {
        let _ = write!(text, ", {start} to {end}");
    }
    text += &format!("\nregions: {}\n", report.regions.join(", "));
    for [role, file] in &report.inputs {
        let _ = writeln!(text, "{role}: {file}");
    }
    for (label, lines) in [("missing", &report.missing), ("note", &report.warnings), ("gap", &report.gaps)] {
        for line in lines {
            let _ = writeln!(text, "{label}: {line}");
        }
    }
    text
}

/// What is unusual.
fn asked(text: &mut String, doubts: &[String]) {
    for doubt in doubts {
        let _ = writeln!(text, "check: {doubt}");
    }
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
    let mut text = match report.asked.as_slice() {
        [] => "a flat polar that can be used\n".to_owned(),
        asked => format!("a flat polar that can be read, with {} to check\n", asked.len()),
    };
    asked(&mut text, &report.asked);
    let ends = |axis: &[f64]| format!("{} to {}", axis.first().unwrap_or(&0.0), axis.last().unwrap_or(&0.0));
    text + &format!(
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
    let mut text = match (report.asked.len(), report.boat.sails.is_some()) {
        (_, false) => format!("boat \"{}\": no balance without sails\n", report.boat.name),
        (0, true) => format!("boat \"{}\": can be derated\n", report.boat.name),
        (asked, true) => format!("boat \"{}\": can be derated, with {asked} to check\n", report.boat.name),
    };
    asked(&mut text, &report.asked);
    lacks(&mut text, &report.lacks);
    text += &hull(&report.hull);
    if !report.flags.is_empty() {
        let _ = writeln!(text, "flags: {}", report.flags);
    }
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
    let runs =
        if report.lacks.is_empty() { "a job that can run" } else { "a job that cannot run as it stands" };
    let mut text = format!("{runs}\n");
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
