//! Making an atlas: every node's sea derated, kept in the cache as it is done, finer until the error is small enough.

use crate::atlas::axes::{FETCHES_NM, Fineness};
use crate::atlas::contents::Atlas;
use crate::atlas::error_table::ErrorRow;
use crate::atlas::measure::{Referees, Watch, frame};
use crate::atlas::quantity::{COUNT, Kept, keep};
use crate::atlas::table::{Node, SystemTable};
use crate::base::units::{NAUTICAL_MILE_M, kn_to_m_s};
use crate::base::{Error, Result};
use crate::boat::cache;
use crate::derate::{Balances, CELL_S, Performance, PolarCell, Tack, derate_columns};
use crate::hydro::wave_growth::Growth;
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::sea::PartitionKind;
use sha2::{Digest, Sha256};

/// How long a cell is sailed through each sea unless said otherwise, s.
pub const SAILED_S: f64 = 1200.0;

/// The same where only likeness is looked for, s.
const TRIAL_S: f64 = 60.0;

/// How an atlas is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Making {
    /// The root mean square error over random seas that is good enough, kn.
    pub error_kn: f64,
    /// The finest that may be tried.
    pub finest: Fineness,
    /// How long each cell is sailed through each sea, s.
    pub sailed_s: f64,
}

/// An atlas with the errors of all that were tried, the coarsest first.
#[derive(Debug, Clone, PartialEq)]
pub struct Made {
    /// The last one tried.
    pub atlas: Atlas,
    /// All rows.
    pub tried: Vec<ErrorRow>,
    /// For each of [`FETCHES_NM`] the speeds in the sea that each column's wind raises over it, kn, by heading and wind: computed
    /// directly.
    pub fetches_kn: Vec<Vec<f64>>,
}

/// Makes an atlas; `watch` is told the part done of the grid at hand.
///
/// # Errors
/// When the boat file lacks what a balance needs; what `watch` says.
pub fn make(performance: &Performance, making: Making, watch: Watch) -> Result<Made> {
    let balances = performance.balances()?;
    let referees = Referees::compute(&balances, performance.flat.tws_kn(), watch)?;
    let source = digest(performance, making.sailed_s);
    let both_sides = !mirrors(&balances)?;
    let mut tried = Vec::new();
    let mut last = None;
    for fineness in Fineness::ALL {
        let mut atlas =
            grid(performance, &balances, (fineness, both_sides), &source, making.sailed_s, watch)?;
        let nodes = atlas.tables.iter().map(|table| table.nodes().len()).sum();
        atlas.errors = referees.rows(&atlas, nodes)?;
        tried.extend(atlas.errors.clone());
        let good = atlas.errors.last().is_some_and(|row| row.rms_kn <= making.error_kn);
        last = Some(atlas);
        if good || fineness == making.finest {
            break;
        }
    }
    let atlas = last.ok_or_else(|| Error::fault("no atlas was tried"))?;
    let fetches_kn = FETCHES_NM
        .iter()
        .map(|fetch_nm| fetch_speeds_kn(&balances, performance.flat.tws_kn(), *fetch_nm))
        .collect::<Result<_>>()?;
    Ok(Made { atlas, tried, fetches_kn })
}

fn fetch_speeds_kn(balances: &Balances, tws_kn: &[f64], fetch_nm: f64) -> Result<Vec<f64>> {
    let grown = |tws_kn: &f64| {
        // a column without wind has no sea
        let sea = (*tws_kn > 0.0).then(|| Growth::Fetch(fetch_nm * NAUTICAL_MILE_M).sea(kn_to_m_s(*tws_kn)));
        let system = sea.map(|sea| WaveSystem {
            kind: PartitionKind::WindSea,
            hs2_m2: sea.hs_m * sea.hs_m,
            tp_s: sea.tp_s,
            off_wind_deg: 0.0,
        });
        frame(*tws_kn, system.as_slice())
    };
    let seas: Vec<WindFrameSea> = tws_kn.iter().map(grown).collect();
    let cells = derate_columns(balances, &seas, fetch_nm.to_bits(), CELL_S)?;
    Ok(cells.iter().map(|cell| cell.corrected_kn).collect())
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
    let cells = headings.len() * performance.flat.tws_kn().len();
    let kinds = [PartitionKind::WindSea, PartitionKind::Swell];
    let mut tables = kinds.map(|kind| SystemTable::new(fineness.axes(kind), both_sides, cells));
    let nodes: Vec<(usize, Node)> =
        (0..2).flat_map(|kind| tables[kind].nodes().into_iter().map(move |node| (kind, node))).collect();
    for (done, (kind, node)) in nodes.iter().enumerate() {
        watch(done as f64 / nodes.len() as f64)?;
        let system = tables[*kind].system(*node);
        let kept = node_cells(balances, &system, source, sailed_s, cells)?;
        tables[*kind].set(*node, &kept);
    }
    tables.iter_mut().for_each(SystemTable::fill_steep);
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

/// All cells at one node, from the cache where they are there.
fn node_cells(
    balances: &Balances,
    system: &WaveSystem,
    source: &str,
    sailed_s: f64,
    cells: usize,
) -> Result<Vec<Kept>> {
    let name = format!("{}.sea", hexadecimal(&[source, &format!("{system:?}")]));
    if let Some(kept) = cache::kept(&name).and_then(|bytes| of_bytes(&bytes, cells)) {
        return Ok(kept);
    }
    // a system has no wind of its own: each column sees it in its own
    let sea = frame(0.0, std::slice::from_ref(system));
    let derated = derate_columns(balances, std::slice::from_ref(&sea), draw(system), sailed_s)?;
    let kept: Vec<Kept> = derated.iter().map(keep).collect();
    let bytes: Vec<u8> = kept.iter().flatten().flat_map(|value| value.to_le_bytes()).collect();
    cache::keep(&name, &bytes);
    Ok(kept)
}

fn of_bytes(bytes: &[u8], cells: usize) -> Option<Vec<Kept>> {
    let (numbers, rest) = bytes.as_chunks::<4>();
    let values: Vec<f32> = numbers.iter().map(|number| f32::from_le_bytes(*number)).collect();
    let (kept, left) = values.as_chunks::<COUNT>();
    (rest.is_empty() && left.is_empty() && kept.len() == cells).then(|| kept.to_vec())
}

/// Systems that differ in height alone are drawn alike, so that chance leaves their curve smooth, and mirror images too; others
/// anew, so that it averages out between them.
fn draw(system: &WaveSystem) -> u64 {
    let text = format!("{} {} {}", system.kind.name(), system.tp_s, system.off_wind_deg.abs());
    let digest = Sha256::digest(text);
    digest.iter().take(8).fold(0, |number, byte| (number << 8) | u64::from(*byte))
}

/// Whether she meets a sea and its mirror image alike on the mirrored tacks.
fn mirrors(balances: &Balances) -> Result<bool> {
    let oblique =
        |off_wind_deg| WaveSystem { kind: PartitionKind::Swell, hs2_m2: 4.0, tp_s: 8.0, off_wind_deg };
    let cells = |system: &WaveSystem| {
        derate_columns(balances, &[frame(0.0, std::slice::from_ref(system))], draw(system), TRIAL_S)
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
fn digest(performance: &Performance, sailed_s: f64) -> String {
    let model = &performance.tables.model;
    // debug output of numbers is exact, so equal texts mean equal boats
    hexadecimal(&[
        env!("CARGO_PKG_VERSION"),
        &format!("{:?}{:?}{:?}{:?}", model.boat, model.hull, model.waves.method, model.waves.own),
        &format!("{:?}{:?}{:?}", performance.flat, performance.foils_up, performance.surge),
        &format!("{sailed_s} {COUNT}"),
    ])
}

fn hexadecimal(texts: &[&str]) -> String {
    let mut digest = Sha256::new();
    for text in texts {
        digest.update((text.len() as u64).to_le_bytes());
        digest.update(text);
    }
    digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}
