//! The manifest: what a result was made from and with, what was counted, and what is missing.

use crate::base::{Error, Result};
use crate::result::folder::MARK;
use serde::Serialize;
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// An input with the digest of its bytes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Input {
    /// What it served as.
    pub role: &'static str,
    /// Its path as it was opened.
    pub file: String,
    /// Length, bytes.
    pub bytes: u64,
    /// SHA-256 of the bytes, hexadecimal.
    pub sha256: String,
}

/// What a result holds besides its tables. Holds no time of making: equal inputs give equal bytes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Manifest {
    /// Inputs in the order of the job.
    pub inputs: Vec<Input>,
    /// Every option in force.
    pub options: Value,
    /// What was counted.
    pub counts: Map<String, Value>,
    /// How far joined tiles and windows lie from the polar they share, where any are joined.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub joined: Vec<Value>,
    /// Things that a user should know but that leave no hole.
    pub warnings: Vec<String>,
    /// Declared gaps: what the result lacks.
    pub gaps: Vec<String>,
    /// How the model works on this boat, in words.
    pub model: Vec<String>,
}

impl Input {
    /// Digests a file, a block at a time.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn of(role: &'static str, path: &Path) -> Result<Self> {
        let failed = |error: std::io::Error| Error::io("read the file", path, &error);
        let mut file = File::open(path).map_err(failed)?;
        let (mut digest, mut bytes, mut block) = (Sha256::new(), 0, vec![0; 1 << 16]);
        loop {
            let read = file.read(&mut block).map_err(failed)?;
            if read == 0 {
                break;
            }
            digest.update(&block[..read]);
            bytes += read as u64;
        }
        let sha256 = digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
        Ok(Self { role, file: path.display().to_string(), bytes, sha256 })
    }
}

impl Manifest {
    /// The manifest as JSON, marked as this program's.
    ///
    /// # Errors
    /// When it cannot be written as JSON.
    pub fn to_bytes(&self) -> Result<Vec<u8>> {
        let failed = |error: serde_json::Error| Error::new(format!("cannot write the manifest: {error}"));
        let mut whole = Map::new();
        whole.insert(MARK.0.into(), json!(MARK.1));
        whole.insert("version".into(), json!(env!("CARGO_PKG_VERSION")));
        whole.insert("caution".into(), json!(crate::CAUTION));
        if let Value::Object(parts) = serde_json::to_value(self).map_err(failed)? {
            whole.extend(parts);
        }
        let mut bytes = serde_json::to_vec_pretty(&whole).map_err(failed)?;
        bytes.push(b'\n');
        Ok(bytes)
    }
}
