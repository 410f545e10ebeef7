//! GRIB edition 2 (WMO manual on codes 306, volume I.2): an index of a file's messages, and one field at a time.

mod bits;
mod codec;
mod decode;
mod grid;
mod groups;
mod guard;
mod octets;
mod product;
mod scaled;
mod scan;
mod simple;
mod unpacking;
mod walk;

pub(super) use walk::index;
