//! What the tests share: files of the repository, a small job, the invented boats, GRIB files taken apart.

pub mod bench;
pub mod boats;
pub mod classic;
pub mod files;
pub mod grib;
pub mod heap;
pub mod places;
pub mod python;
pub mod random;
pub mod tables;
