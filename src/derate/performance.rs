//! A boat with her polars, and the balances of all cells of the flat one made ready.

use crate::balance::{BoatTables, CellBalance};
use crate::base::units::kn_to_m_s;
use crate::base::{Flag, Flags, Result};
use crate::boat::Surge;
use crate::derate::solved_sea::SolvedSea;
use crate::derate::tack::Tack;
use crate::hydro::wind_frame::WindFrameSea;
use crate::polar::{Lookup, Polar, Tacks};
use rayon::prelude::*;

/// A boat, her tables and her polars.
#[derive(Debug, Clone)]
pub struct Performance {
    /// Boat and tables.
    pub tables: BoatTables,
    /// Speeds in flat water.
    pub flat: Polar,
    /// Speeds in flat water with the foils raised, if known.
    pub foils_up: Option<Polar>,
    /// What is counted of surge.
    pub surge: Surge,
}

/// What is known of a cell by its wind column, in a sea on a heading.
pub type KnownCells<'k> = Box<dyn Fn(usize) -> SolvedSea + 'k>;

/// What is known of a sea on a tack at an angle without a balance; none where that sea is not known.
pub type KnownSeas<'k> = &'k (dyn Fn(&WindFrameSea, Tack, f64) -> Option<KnownCells<'k>> + Sync);

/// The balances of a flat polar's cells, made once for a boat and used for any number of seas.
#[derive(Clone)]
pub struct Balances<'p> {
    pub(super) performance: &'p Performance,
    pub(super) headings: Vec<HeadingCells<'p>>,
    /// What holds for her whatever the wind and the sea: said once of the boat, not in each cell.
    pub boat_flags: Flags,
    /// Seas that need no balance.
    pub(super) known: Option<KnownSeas<'p>>,
}

impl<'p> Balances<'p> {
    /// The same, with seas that are known and solved no more.
    pub fn knowing(self, known: KnownSeas<'p>) -> Self {
        Self { known: Some(known), ..self }
    }
}

/// The cells of all wind speeds on one heading.
#[derive(Debug, Clone)]
pub(super) struct HeadingCells<'p> {
    pub(super) tack: Tack,
    pub(super) twa_deg: f64,
    pub(super) cells: Vec<FlatCell<'p>>,
}

/// A cell of the flat polar.
#[derive(Debug, Clone)]
pub(super) struct FlatCell<'p> {
    pub(super) tws_kn: f64,
    pub(super) flat_kn: f64,
    pub(super) balance: CellBalance<'p>,
}

impl Performance {
    /// The tacks and true wind angles of the flat polar, 0 to 180 degrees, in the order of all outputs.
    pub fn headings(&self) -> impl Iterator<Item = (Tack, f64)> {
        Tack::ALL
            .into_iter()
            .flat_map(|tack| unsigned_twa_deg(&self.flat, tack).into_iter().map(move |twa| (tack, twa)))
    }

    /// The balance at one wind, for a flat speed that the polar has there.
    ///
    /// # Errors
    /// When the boat file lacks what a balance needs.
    pub fn cell(&self, tws_kn: f64, signed_twa_deg: f64, flat_kn: f64) -> Result<CellBalance<'_>> {
        let up =
            self.foils_up.as_ref().and_then(|polar| inside(polar, tws_kn, signed_twa_deg)).map(kn_to_m_s);
        CellBalance::new(&self.tables, kn_to_m_s(tws_kn), signed_twa_deg, kn_to_m_s(flat_kn), up)
    }

    /// The balances of all cells of the flat polar, on both tacks.
    ///
    /// # Errors
    /// When the boat file lacks what a balance needs.
    pub fn balances(&self) -> Result<Balances<'_>> {
        let headings: Vec<(Tack, f64)> = self.headings().collect();
        let headings = headings.into_par_iter().map(|(tack, twa_deg)| self.heading(tack, twa_deg));
        let headings: Vec<HeadingCells> = headings.collect::<Result<_>>()?;
        let boat_flags = of_the_boat(&headings);
        Ok(Balances { performance: self, headings, boat_flags, known: None })
    }

    /// As [`Performance::balances`], for one of its headings alone.
    ///
    /// # Errors
    /// As [`Performance::balances`].
    pub fn balances_on(&self, tack: Tack, twa_deg: f64) -> Result<Balances<'_>> {
        let boat_flags = self.balances()?.boat_flags;
        let headings = vec![self.heading(tack, twa_deg)?];
        Ok(Balances { performance: self, headings, boat_flags, known: None })
    }

    fn heading(&self, tack: Tack, twa_deg: f64) -> Result<HeadingCells<'_>> {
        let signed = tack.signed(twa_deg);
        let cell = |&tws_kn: &f64| {
            let flat_kn = inside(&self.flat, tws_kn, signed).unwrap_or(0.0);
            Ok(FlatCell { tws_kn, flat_kn, balance: self.cell(tws_kn, signed, flat_kn)? })
        };
        let cells = self.flat.tws_kn().iter().map(cell).collect::<Result<_>>()?;
        Ok(HeadingCells { tack, twa_deg, cells })
    }
}

/// Reservations that every cell with a speed has, and that about the speed from which added resistance is held, which is
/// one for all of them.
fn of_the_boat(headings: &[HeadingCells]) -> Flags {
    let cells = || headings.iter().flat_map(|heading| &heading.cells).filter(|cell| cell.flat_kn > 0.0);
    let common = cells().map(|cell| cell.balance.flags()).reduce(|a, b| a & b).unwrap_or_default();
    let any = cells().map(|cell| cell.balance.flags()).fold(Flags::empty(), |a, b| a | b);
    common | (any & Flag::HeldAboveFn045)
}

fn inside(polar: &Polar, tws_kn: f64, signed_twa_deg: f64) -> Option<f64> {
    match polar.speed_kn(tws_kn, signed_twa_deg) {
        Lookup::Inside(speed_kn) => Some(speed_kn),
        Lookup::Outside(_) => None,
    }
}

/// The true wind angles a polar has on a tack, 0 to 180, ascending.
fn unsigned_twa_deg(polar: &Polar, tack: Tack) -> Vec<f64> {
    match (polar.tacks(), tack) {
        (Tacks::Symmetric, _) => polar.twa_deg().to_vec(),
        (Tacks::Signed, Tack::Starboard) => {
            polar.twa_deg().iter().copied().filter(|twa| *twa >= 0.0).collect()
        }
        (Tacks::Signed, Tack::Port) => {
            polar.twa_deg().iter().rev().map(|twa| -twa).filter(|twa| *twa >= 0.0).collect()
        }
    }
}
