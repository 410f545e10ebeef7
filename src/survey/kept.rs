//! Tallies of single steps kept on disk, so that a forecast that was tallied before is not decoded again.
//!
//! An entry is named by the digest of all that its tally follows from: the bytes of the files it is decoded from and the
//! messages in them, the regions, the bins, the program. So a changed file, region or program never meets an old entry, and
//! a step is found again whatever other files stand beside its own. The folder holds at most [`MOST_BYTES`]; what was used
//! longest ago goes first.

use crate::files::cache_folder;
use crate::forecast::Step;
use crate::region::Region;
use crate::tally::{Bins, StepTally, step_tally};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Mutex;

/// What the kept steps may take of the disk: some two weeks of a global forecast's twelve regions, four runs a day.
pub const MOST_BYTES: u64 = 1_000_000_000;

const ENDING: &str = "tallied-step";

/// Whether tallies of steps are kept and used again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum StepCache {
    /// In the folder of what is kept, if there is one.
    #[default]
    Kept,
    /// Every step is decoded, and nothing is kept of it.
    Off,
}

/// The steps that are kept, for some regions and files.
#[derive(Debug)]
pub struct KeptSteps {
    folder: PathBuf,
    most_bytes: u64,
    /// The digest of what all steps share.
    shared: Sha256,
    /// Files by their paths, with the SHA-256 of their bytes.
    files: BTreeMap<PathBuf, String>,
    regions: usize,
    reused: Mutex<Reused>,
}

/// What was found of steps tallied before.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reused {
    /// Steps that were not decoded.
    pub steps: usize,
    /// Entries that were damaged, and made anew.
    pub damaged: Vec<PathBuf>,
}

impl KeptSteps {
    /// Those in the folder of what is kept; none where nothing is.
    pub fn new(regions: &[Region], files: BTreeMap<PathBuf, String>) -> Option<Self> {
        let folder = cache_folder::folder()?.join("steps");
        Some(Self::within(folder, MOST_BYTES, regions, files))
    }

    /// Those in a folder that may hold so many bytes.
    pub fn within(
        folder: PathBuf,
        most_bytes: u64,
        regions: &[Region],
        files: BTreeMap<PathBuf, String>,
    ) -> Self {
        let mut shared = Sha256::new();
        add(&mut shared, &program());
        // debug output of numbers is exact, so equal texts mean equal bins and outlines
        add(&mut shared, &format!("{} {:?}", step_tally::LAYOUT, Bins::default()));
        regions.iter().for_each(|region| add(&mut shared, &format!("{:?}", region.polygons)));
        Self { folder, most_bytes, shared, files, regions: regions.len(), reused: Mutex::default() }
    }

    /// The tallies of a step, if they were kept and are whole.
    pub(super) fn find(&self, step: &Step) -> Option<Vec<StepTally>> {
        let file = self.file(step)?;
        let kept = std::fs::read(&file).ok()?;
        let whole =
            cache_folder::checked(&kept).and_then(|bytes| StepTally::from_bytes(bytes, Bins::default()));
        let found = whole.filter(|tallies| tallies.len() == self.regions);
        let mut reused = self.reused.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
        match &found {
            Some(_) => {
                cache_folder::touch(&file);
                reused.steps += 1;
            }
            None => reused.damaged.push(file),
        }
        found
    }

    /// Keeps the tallies of a step; a full or locked disk costs the next run its decoding, no more.
    pub(super) fn keep(&self, step: &Step, tallies: &[StepTally]) {
        if let (Some(file), Some(bytes)) = (self.file(step), StepTally::to_bytes(tallies)) {
            let _ = cache_folder::keep(&file, &bytes);
        }
    }

    /// What was found; the folder is brought down to its bound.
    pub(super) fn finish(&self) -> Reused {
        cache_folder::bound(&self.folder, ENDING, self.most_bytes);
        self.reused.lock().unwrap_or_else(std::sync::PoisonError::into_inner).clone()
    }

    /// The entry of a step; none where a message is of a file that was not digested.
    fn file(&self, step: &Step) -> Option<PathBuf> {
        let mut digest = self.shared.clone();
        for line in step.identity(&|path| self.files.get(path).cloned())? {
            add(&mut digest, &line);
        }
        let name: String = digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
        Some(self.folder.join(format!("{name}.{ENDING}")))
    }
}

/// What tells this program from others: its version, and when it was built, for those who change it.
fn program() -> String {
    let built = std::env::current_exe().and_then(std::fs::metadata).ok();
    let built = built.map(|file| (file.len(), file.modified().ok()));
    format!("{} {built:?}", env!("CARGO_PKG_VERSION"))
}

/// Adds a text with its length before it, so that no two lists of texts are alike.
fn add(digest: &mut Sha256, text: &str) {
    digest.update((text.len() as u64).to_le_bytes());
    digest.update(text);
}
