//! What tells a file from another: its length and SHA-256.

use crate::base::{Error, Result};
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The digest of a file's bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileDigest {
    /// Length, bytes.
    pub bytes: u64,
    /// SHA-256 of the bytes, hexadecimal.
    pub sha256: String,
}

impl FileDigest {
    /// Digests a file, a block at a time.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn of(path: &Path) -> Result<Self> {
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
        Ok(Self { bytes, sha256: hexadecimal(digest) })
    }
}

/// SHA-256 of bytes, hexadecimal.
pub fn of_bytes(bytes: &[u8]) -> String {
    hexadecimal(Sha256::new_with_prefix(bytes))
}

fn hexadecimal(digest: Sha256) -> String {
    digest.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The one-block message of FIPS 180-2 (2002), appendix B.1.
    #[test]
    fn abc_has_its_digest() {
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), "abc").unwrap();
        let digest = FileDigest::of(file.path()).unwrap();
        assert_eq!(digest.sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(digest.bytes, 3);
    }
}
