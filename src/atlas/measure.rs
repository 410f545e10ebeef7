//! The error of an atlas, measured at random seas that are none of its nodes.

use crate::atlas::contents::Atlas;
use crate::atlas::error_table::{Differences, ErrorRow};
use crate::base::units::{NAUTICAL_MILE_M, kn_to_m_s};
use crate::base::{Flags, Result};
use crate::boat::cache;
use crate::derate::{Balances, CELL_S, PolarCell, derate_columns};
use crate::files::digest;
use crate::hydro::wave_growth::Growth;
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::sea::PartitionKind;
use rand_pcg::Pcg64Mcg;
use rand_pcg::rand_core::{Rng, SeedableRng};

/// What random seas are made of: whether of a wind sea, and of how many swells.
const KINDS: [(&str, bool, usize); 4] = [
    ("swell", false, 1),
    ("wind sea", true, 0),
    ("wind sea and swell", true, 1),
    ("wind sea and two swells", true, 2),
];

/// Random seas of each kind.
pub const SEAS_OF_A_KIND: usize = 8;

/// The seed of the random seas.
const SEED: u64 = 0x0a71a5;

/// A sea of one kind, in each column's wind, with what the direct way makes of it.
struct Refereed {
    kind: usize,
    seas: Vec<Vec<WaveSystem>>,
    cells: Vec<DirectSpeeds>,
}

/// Flat speed of a cell and what two direct computations with other drawings make of it, kn.
type DirectSpeeds = [f64; 3];

/// Seas that an atlas is measured in.
pub(super) struct Referees(Vec<Refereed>);

/// How much of the work is done, 0 to 1, with a way to stop.
pub type Watch<'w> = &'w (dyn Fn(f64) -> Result<()> + Sync);

impl Referees {
    /// Draws seas and computes all cells in each, directly; what was computed from the same source before is in the cache.
    pub(super) fn compute(balances: &Balances, tws_kn: &[f64], source: &str, watch: Watch) -> Result<Self> {
        let mut random = Random(Pcg64Mcg::seed_from_u64(SEED));
        let mut done = Vec::new();
        let whole = (KINDS.len() * SEAS_OF_A_KIND) as f64;
        for (kind, (_, wind_sea, swells)) in KINDS.into_iter().enumerate() {
            for _ in 0..SEAS_OF_A_KIND {
                watch(done.len() as f64 / whole)?;
                let seas = random.seas(tws_kn, wind_sea, swells);
                let cells = direct(balances, tws_kn, &seas, random.0.next_u64(), source)?;
                done.push(Refereed { kind, seas, cells });
            }
        }
        Ok(Self(done))
    }

    /// A row for each kind of sea, and one for all.
    pub(super) fn rows(&self, atlas: &Atlas) -> Vec<ErrorRow> {
        let nodes = atlas.tables.iter().map(|table| table.axes.seas()).sum();
        let mut kinds: [Differences; KINDS.len()] = Default::default();
        for sea in &self.0 {
            kinds[sea.kind].add(&differences(atlas, sea));
        }
        let mut all = Differences::default();
        kinds.iter().for_each(|kind| all.add(kind));
        let named = KINDS.iter().zip(&kinds).map(|((name, ..), kind)| kind.row(&atlas.fineness, nodes, name));
        named.chain([all.row(&atlas.fineness, nodes, "all")]).collect()
    }
}

fn direct(
    balances: &Balances,
    tws_kn: &[f64],
    seas: &[Vec<WaveSystem>],
    draw: u64,
    source: &str,
) -> Result<Vec<DirectSpeeds>> {
    let name = format!("{}.referee", digest::of_bytes(format!("{source} {seas:?} {draw}").as_bytes()));
    if let Some(cells) = cache::kept(&name).and_then(|bytes| of_bytes(&bytes)) {
        return Ok(cells);
    }
    let frames: Vec<WindFrameSea> =
        tws_kn.iter().zip(seas).map(|(tws_kn, systems)| frame(*tws_kn, systems)).collect();
    let first = derate_columns(balances, &frames, draw, CELL_S)?;
    let second = derate_columns(balances, &frames, draw ^ 0x5555, CELL_S)?;
    let pair = |(one, other): (&PolarCell, &PolarCell)| [one.flat_kn, one.corrected_kn, other.corrected_kn];
    let cells: Vec<DirectSpeeds> = first.iter().zip(&second).map(pair).collect();
    let bytes: Vec<u8> = cells.iter().flatten().flat_map(|kn| kn.to_le_bytes()).collect();
    cache::keep(&name, &bytes);
    Ok(cells)
}

fn of_bytes(bytes: &[u8]) -> Option<Vec<DirectSpeeds>> {
    let (numbers, rest) = bytes.as_chunks::<8>();
    let numbers: Vec<f64> = numbers.iter().map(|number| f64::from_le_bytes(*number)).collect();
    let (cells, left) = numbers.as_chunks::<3>();
    (rest.is_empty() && left.is_empty()).then(|| cells.to_vec())
}

/// A sea as it is derated.
pub(super) fn frame(tws_kn: f64, systems: &[WaveSystem]) -> WindFrameSea {
    WindFrameSea {
        tws_m_s: kn_to_m_s(tws_kn),
        systems: systems.iter().copied().collect(),
        spectrum: None,
        flags: Flags::empty(),
    }
}

fn differences(atlas: &Atlas, Refereed { seas, cells, .. }: &Refereed) -> Differences {
    let (placed, beyond): (Vec<_>, Vec<_>) = seas.iter().map(|systems| atlas.place(systems)).unzip();
    let columns = placed.len();
    let mut kn = Vec::new();
    for (number, [flat_kn, first_kn, second_kn]) in cells.iter().enumerate() {
        let (heading, column) = (number / columns, number % columns);
        // `lookup` refuses what lies outside the axes
        if *flat_kn > 0.0 && heading < atlas.headings.len() && beyond[column].is_none() {
            let own_kn = flat_kn * atlas.factor(&atlas.met(&placed[column], heading), heading, column);
            kn.push([own_kn - first_kn, own_kn - second_kn]);
        }
    }
    Differences { kn, seas: 1 }
}

struct Random(Pcg64Mcg);

impl Random {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.0.next_u64() >> 11) as f64 / (1u64 << 53) as f64)
    }

    /// A sea for each wind: a wind sea of some fetch with what real ones scatter about the growth curve, and swells no steeper
    /// than 0.04.
    fn seas(&mut self, tws_kn: &[f64], wind_sea: bool, swells: usize) -> Vec<Vec<WaveSystem>> {
        let fetch_m = NAUTICAL_MILE_M * self.between(10f64.ln(), 400f64.ln()).exp();
        let (taller, longer, off_wind_deg) =
            (self.between(0.8, 1.2), self.between(0.9, 1.1), self.between(-30.0, 30.0));
        let grown = |tws_kn: f64| {
            let sea = Growth::Fetch(fetch_m).sea(kn_to_m_s(tws_kn));
            let (hs_m, tp_s) = (taller * sea.hs_m, longer * sea.tp_s);
            WaveSystem { kind: PartitionKind::WindSea, hs2_m2: hs_m * hs_m, tp_s, off_wind_deg }
        };
        let swells: Vec<WaveSystem> = (0..swells).map(|_| self.swell()).collect();
        let sea = |tws_kn: &f64| wind_sea.then(|| grown(*tws_kn)).into_iter().chain(swells.clone()).collect();
        tws_kn.iter().map(sea).collect()
    }

    fn swell(&mut self) -> WaveSystem {
        let tp_s = self.between(6f64.ln(), 17f64.ln()).exp();
        let steepest_m = 0.04 * 1.56 * tp_s * tp_s;
        let hs_m = self.between(0.5, steepest_m.min(5.0));
        WaveSystem {
            kind: PartitionKind::Swell,
            hs2_m2: hs_m * hs_m,
            tp_s,
            off_wind_deg: self.between(-180.0, 180.0),
        }
    }
}
