//! What is dear to make kept on disk: response tables and those of large waves, which depend on the boat alone, so that her second job
//! starts at once, and the seas of an atlas, so that one that was stopped goes on where it was.
//!
//! A file is named by the digest of all that went into it, so a changed boat never meets an old table. The cache may be
//! removed at any time; a file that cannot be read is made anew, and one that cannot be written is done without.

use crate::boat::model::BoatModel;
use crate::files::cache_folder;
use crate::hydro::response::ResponseTable;
use sha2::{Digest, Sha256};

/// How the names of response tables end.
const RESPONSES: &str = "responses";
/// The most that they hold together: some twenty boats.
const MOST_BYTES: u64 = 2_000_000_000;

/// The boat's response table up to a speed: from the cache if it is there, else made and kept.
pub fn response_table(model: &BoatModel, max_speed_m_s: f64) -> ResponseTable {
    let file = format!("{}.{RESPONSES}", name(model, max_speed_m_s));
    let whole = kept(&file);
    if let Some(table) =
        whole.and_then(|bytes| ResponseTable::from_bytes(&model.waves, max_speed_m_s, &bytes))
    {
        cache_folder::folder().iter().for_each(|folder| cache_folder::touch(&folder.join(&file)));
        return table;
    }
    let table = ResponseTable::build(&model.waves, max_speed_m_s);
    keep(&file, &table.to_bytes());
    // each change of a boat makes another, of some 100 MB
    cache_folder::folder().iter().for_each(|folder| cache_folder::bound(folder, RESPONSES, MOST_BYTES));
    table
}

/// What is kept under a name, if it is as it was written; the name is a digest of all that it was made from.
pub fn kept(name: &str) -> Option<Vec<u8>> {
    let file = std::fs::read(cache_folder::folder()?.join(name)).ok()?;
    cache_folder::checked(&file).map(<[u8]>::to_vec)
}

/// Keeps bytes under a name, where there is a cache.
pub fn keep(name: &str, bytes: &[u8]) {
    if let Some(folder) = cache_folder::folder() {
        // a full or locked disk costs the next run some seconds, no more
        let _ = cache_folder::keep(&folder.join(name), bytes);
    }
}

/// Digest of everything the table depends on: program version, layout, boat, sections, method, own responses, speed.
pub(super) fn name(model: &BoatModel, max_speed_m_s: f64) -> String {
    let mut digest = Sha256::new();
    digest.update(env!("CARGO_PKG_VERSION"));
    digest.update(max_speed_m_s.to_le_bytes());
    digest.update(ResponseTable::layout(&model.waves, max_speed_m_s));
    // debug output of numbers is exact, so equal texts mean equal boats
    digest.update(format!("{:?}{:?}{:?}", model.boat, model.hull, model.waves.method));
    digest.update(format!("{:?}", model.waves.own));
    digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}
