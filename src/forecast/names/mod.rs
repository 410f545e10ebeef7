//! Codes and names in files to quantities, units and senses.

pub mod cf;
pub mod grib1;
pub mod grib2;
mod reading;
mod unit;
mod variables;

pub use cf::Described;
pub use grib1::Grib1Code;
pub use grib2::Grib2Code;
pub use reading::Reading;
pub use unit::Conversion;
