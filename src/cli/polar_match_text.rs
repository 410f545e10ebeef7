//! How boat file and polar hang together, in words and a line a wind angle.

use crate::cli::print::plain_table;
use roughwater::explain::MatchedCell;
use std::fmt::Write;

/// The verdict, then a table by wind angle.
pub(super) fn text(cells: &[MatchedCell]) -> String {
    let mut out = verdict(cells);
    let mut table = plain_table([
        "TWA",
        "kn",
        "resistance N",
        "resistance / thrust",
        "least AWA",
        "least stiffness",
        "balances",
        "look at TWS",
    ]);
    for row in cells.chunk_by(|a, b| a.twa_deg == b.twa_deg) {
        table.add_row(line(row));
    }
    let _ = writeln!(out, "\n{table}\n");
    out + "resistance / thrust: 1 where the polar is what hull and sails of the boat file give; beyond 0.7 to 1.3 one of them is off.\n\
           stiffness: by how much resistance grows faster with speed than thrust; from 0.5 she holds her speed by the sails' curve.\n\
           balances: speeds that she can hold up to the polar's; more than one, and small changes decide which.\n\
           Under 22 degrees of apparent wind (AWA) no sail drives well.\n"
}

fn verdict(cells: &[MatchedCell]) -> String {
    let off: Vec<&MatchedCell> = cells.iter().filter(|cell| !cell.agrees()).collect();
    if off.is_empty() {
        return format!("Boat file and polar hang together in all {} cells.\n", cells.len());
    }
    let count = |flag: &str| off.iter().filter(|cell| cell.flags.contains(&flag)).count();
    let mut names: Vec<&str> = off.iter().flat_map(|cell| cell.flags.iter().copied()).collect();
    names.sort_unstable();
    names.dedup();
    let told: Vec<String> = names.into_iter().map(|name| format!("{name} {}", count(name))).collect();
    format!("Boat file and polar disagree in {} of {} cells: {}.\n", off.len(), cells.len(), told.join(", "))
}

fn line(row: &[MatchedCell]) -> [String; 8] {
    let range = |of: &dyn Fn(&MatchedCell) -> Option<f64>, decimals: usize| {
        let values = || row.iter().filter_map(of);
        let (low, high) = (values().fold(f64::INFINITY, f64::min), values().fold(0.0, f64::max));
        if low > high { "none".to_owned() } else { format!("{low:.decimals$}-{high:.decimals$}") }
    };
    let least = |of: &dyn Fn(&MatchedCell) -> f64| row.iter().map(of).fold(f64::INFINITY, f64::min);
    let off: Vec<String> =
        row.iter().filter(|cell| !cell.agrees()).map(|cell| cell.tws_kn.to_string()).collect();
    let mut ratio = range(&|cell| cell.power_ratio, 2);
    if row.iter().any(|cell| cell.power_ratio.is_none()) {
        ratio += ", no thrust";
    }
    [
        row.first().map(|cell| cell.twa_deg.to_string()).unwrap_or_default(),
        range(&|cell| Some(cell.flat_kn), 1),
        range(&|cell| Some(cell.resistance_n), 0),
        ratio,
        format!("{:.0}", least(&|cell| cell.awa_deg)),
        format!("{:.1}", least(&|cell| cell.stiffness)),
        row.iter().map(|cell| cell.balances_kn.len()).max().unwrap_or(0).to_string(),
        off.join(" "),
    ]
}
