//! Compressions of NetCDF-4 that its reader leaves to others: Zstandard and bzip2, by their numbers in The HDF Group's list of
//! registered filter plugins.

use hdf5_reader::FilterRegistry;
use hdf5_reader::error::Error;
use std::io::Read;

const BZIP2: u16 = 307;
const ZSTANDARD: u16 = 32_015;

/// The most that one chunk may hold when it is unpacked, bytes: what the reader itself allows.
const MOST_BYTES: u64 = 256 << 20;

/// The filters that are read.
pub(super) fn filters() -> FilterRegistry {
    let mut filters = FilterRegistry::new();
    filters
        .register(BZIP2, Box::new(|_, packed, _| whole("bzip2", bzip2::read::MultiBzDecoder::new(packed))));
    filters.register(
        ZSTANDARD,
        Box::new(|_, packed, _| {
            let frames = ruzstd::decoding::StreamingDecoder::new(packed);
            whole("Zstandard", frames.map_err(|error| failed("Zstandard", error))?)
        }),
    );
    filters
}

fn whole(name: &str, unpacked: impl Read) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    unpacked.take(MOST_BYTES + 1).read_to_end(&mut bytes).map_err(|error| failed(name, error))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(failed(name, format!("a chunk of more than {} MiB", MOST_BYTES >> 20)));
    }
    Ok(bytes)
}

fn failed(name: &str, error: impl std::fmt::Display) -> Error {
    Error::FilterError(format!("{name}: {error}"))
}
