//! Making an atlas: every node's sea derated, kept in the cache as it is done, finer until the error is small enough.

use crate::atlas::axes::{Fineness, SystemAxes};
use crate::atlas::contents::{Atlas, computed};
use crate::atlas::error_table::ErrorRow;
use crate::atlas::measure::{Referees, Watch, frame};
use crate::atlas::quantity::{COUNT, Kept, keep};
use crate::atlas::table::{Node, SystemTable};
use crate::base::{Error, Result};
use crate::boat::cache;
use crate::derate::{Balances, Performance, PolarCell, Tack, derate_columns, derate_on_heading};
use crate::hydro::wind_frame::WaveSystem;
use crate::sea::PartitionKind;
use rayon::prelude::*;
use sha2::{Digest, Sha256};
use std::time::Instant;

/// How long a cell is sailed through each swell unless said otherwise, s.
pub const SAILED_S: f64 = 1500.0;

/// How many times as long it is sailed through each wind sea, of which chance makes more.
const WIND_SEA_LONGER: f64 = 3.0;

/// The same where only likeness is looked for, s.
const TRIAL_S: f64 = 60.0;

/// How an atlas is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Making {
    /// The root mean square error over random seas that is good enough, kn.
    pub error_kn: f64,
    /// The finest that may be tried.
    pub finest: Fineness,
    /// How long each cell is sailed through each swell, s; through each wind sea three times as long.
    pub sailed_s: f64,
}

/// One grid that was tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// Its errors, by kind of sea and over all.
    pub rows: Vec<ErrorRow>,
    /// Numbers that it holds.
    pub numbers: usize,
    /// How long it took, s; less where the cache had some of it.
    pub took_s: f64,
}

/// An atlas with the errors of all that were tried, the coarsest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// The last one tried.
    pub atlas: Atlas,
    /// All grids.
    pub tried: Vec<Tried>,
}

/// Makes an atlas; `watch` is told the part done of the grid at hand.
///
/// # Errors
/// When the boat file lacks what a balance needs; what `watch` says.
pub fn make(performance: &Performance, making: Making, watch: Watch) -> Result<Made> {
    let balances = performance.balances()?;
    let source = digest(performance, making.sailed_s);
    let referees = Referees::compute(&balances, performance.flat.tws_kn(), &source, watch)?;
    let both_sides = !mirrors(&balances)?;
    let mut tried = Vec::new();
    for fineness in Fineness::ALL {
        let begun = Instant::now();
        let mut atlas =
            grid(performance, &balances, (fineness, both_sides), &source, making.sailed_s, watch)?;
        atlas.errors = referees.rows(&atlas);
        tried.push(Tried {
            rows: atlas.errors.clone(),
            numbers: atlas.numbers(),
            took_s: begun.elapsed().as_secs_f64(),
        });
        let good = atlas.errors.last().is_some_and(|row| row.own_rms_kn <= making.error_kn);
        if good || fineness == making.finest {
            return Ok(Made { atlas, tried });
        }
    }
    Err(Error::fault("no atlas was tried"))
}

fn grid(
    performance: &Performance,
    balances: &Balances,
    (fineness, both_sides): (Fineness, bool),
    source: &str,
    sailed_s: f64,
    watch: Watch,
) -> Result<Atlas> {
    let headings: Vec<(Tack, f64)> = performance.headings().collect();
    let computed = &headings[..computed(&headings, both_sides)];
    let columns = performance.flat.tws_kn().len();
    let cells = computed.len() * columns;
    let kinds = [PartitionKind::WindSea, PartitionKind::Swell];
    let mut tables = kinds.map(|kind| SystemTable::new(fineness.axes(kind), cells));
    let nodes: Vec<(usize, Node)> =
        (0..2).flat_map(|kind| tables[kind].nodes().into_iter().map(move |node| (kind, node))).collect();
    let whole = nodes.len() as f64;
    for (done, (kind, node)) in nodes.into_iter().enumerate() {
        watch(done as f64 / whole)?;
        let table = &mut tables[kind];
        let on: Vec<Vec<WaveSystem>> =
            computed.iter().map(|(tack, twa_deg)| table.systems(node, tack.signed(*twa_deg))).collect();
        let longer = if kinds[kind] == PartitionKind::WindSea { WIND_SEA_LONGER } else { 1.0 };
        let sailing = Sailing { source, draw: draw(&table.axes, node), sailed_s: longer * sailed_s };
        let kept = curve_cells(balances, &on, sailing, columns)?;
        for (cell, heights) in kept.iter().enumerate() {
            table.set(node, cell, heights);
        }
    }
    Ok(Atlas {
        boat: performance.tables.model.boat.name.clone(),
        digest: source.to_owned(),
        fineness: fineness.name().to_owned(),
        sailed_s,
        flat: performance.flat.clone(),
        headings,
        both_sides,
        tables,
        errors: Vec::new(),
    })
}

/// How the seas of a curve are sailed through.
#[derive(Debug, Clone, Copy)]
struct Sailing<'s> {
    /// Digest of all that an atlas depends on.
    source: &'s str,
    draw: u64,
    sailed_s: f64,
}

/// All cells at all heights of a curve, whose systems are given for each heading; from the cache where they are there.
fn curve_cells(
    balances: &Balances,
    on: &[Vec<WaveSystem>],
    sailing: Sailing,
    columns: usize,
) -> Result<Vec<Vec<Kept>>> {
    let name = format!("{}.seas", hexadecimal(&[sailing.source, &format!("{} {on:?}", sailing.draw)]));
    let (cells, heights) = (on.len() * columns, on.first().map_or(0, Vec::len));
    if let Some(kept) = cache::kept(&name).and_then(|bytes| of_bytes(&bytes, cells, heights)) {
        return Ok(kept);
    }
    let of_heading = |(heading, systems): (usize, &Vec<WaveSystem>)| -> Result<Vec<Vec<Kept>>> {
        let mut cells = vec![Vec::with_capacity(systems.len()); columns];
        for system in systems {
            // a system has no wind of its own: each column sees it in its own
            let sea = frame(0.0, std::slice::from_ref(system));
            let derated = derate_on_heading(balances, heading, &sea, sailing.draw, sailing.sailed_s)?;
            cells.iter_mut().zip(&derated).for_each(|(heights, cell)| heights.push(keep(cell)));
        }
        Ok(cells)
    };
    let kept: Vec<Vec<Vec<Kept>>> = on.par_iter().enumerate().map(of_heading).collect::<Result<_>>()?;
    let kept: Vec<Vec<Kept>> = kept.into_iter().flatten().collect();
    let numbers = kept.iter().flatten().flatten();
    cache::keep(&name, &numbers.flat_map(|value| value.to_le_bytes()).collect::<Vec<u8>>());
    Ok(kept)
}

fn of_bytes(bytes: &[u8], cells: usize, heights: usize) -> Option<Vec<Vec<Kept>>> {
    let (numbers, rest) = bytes.as_chunks::<4>();
    let values: Vec<f32> = numbers.iter().map(|number| f32::from_le_bytes(*number)).collect();
    let (kept, left) = values.as_chunks::<COUNT>();
    let whole = rest.is_empty() && left.is_empty() && heights > 0 && kept.len() == cells * heights;
    whole.then(|| kept.chunks_exact(heights).map(<[Kept]>::to_vec).collect())
}

/// Systems of one period and wave angle are drawn alike at all heights, so that chance leaves their curve smooth; others anew, so
/// that it averages out between them. All headings see the same drawing: chance moves neighbouring cells together.
fn draw(axes: &SystemAxes, node: Node) -> u64 {
    let (tp_s, wave_angle_deg) = (axes.tp_s[node.period], axes.wave_angle_deg[node.angle]);
    let digest = Sha256::digest(format!("{} {tp_s} {wave_angle_deg}", axes.kind.name()));
    digest.iter().take(8).fold(0, |number, byte| (number << 8) | u64::from(*byte))
}

/// Whether she meets a sea and its mirror image alike on the mirrored tacks.
fn mirrors(balances: &Balances) -> Result<bool> {
    let oblique =
        |off_wind_deg| WaveSystem { kind: PartitionKind::Swell, hs2_m2: 4.0, tp_s: 8.0, off_wind_deg };
    let cells = |system: &WaveSystem| {
        derate_columns(balances, &[frame(0.0, std::slice::from_ref(system))], 0, TRIAL_S)
    };
    let (one, other) = (cells(&oblique(50.0))?, cells(&oblique(-50.0))?);
    let half = one.len() / 2;
    let alike = |a: &PolarCell, b: &PolarCell| {
        a.twa_deg == b.twa_deg && a.tws_kn == b.tws_kn && a.tack != b.tack && a.corrected_kn == b.corrected_kn
    };
    Ok(one.len() == 2 * half
        && one[..half].iter().zip(&other[half..]).all(|(a, b)| alike(a, b))
        && one[half..].iter().zip(&other[..half]).all(|(a, b)| alike(a, b)))
}

/// Digest of everything that an atlas depends on.
pub(super) fn digest(performance: &Performance, sailed_s: f64) -> String {
    let model = &performance.tables.model;
    // debug output of numbers is exact, so equal texts mean equal boats
    let mut texts = vec![
        env!("CARGO_PKG_VERSION").to_owned(),
        format!("{:?}{:?}{:?}{:?}", model.boat, model.hull, model.waves.method, model.waves.own),
        format!("{:?}{:?}{:?}", performance.flat, performance.foils_up, performance.surge),
        format!("{sailed_s} {COUNT}"),
    ];
    texts.extend(performance.tables.large_waves.as_ref().map(|table| table.digest.clone()));
    hexadecimal(&texts)
}

fn hexadecimal(texts: &[impl AsRef<str>]) -> String {
    let mut digest = Sha256::new();
    for text in texts.iter().map(AsRef::as_ref) {
        digest.update((text.len() as u64).to_le_bytes());
        digest.update(text);
    }
    digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}
