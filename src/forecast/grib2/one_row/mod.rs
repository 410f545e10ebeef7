//! JPEG 2000 images of one row, which is what fields with a bitmap are packed as: only the code blocks that hold what is
//! looked at are decoded (ISO/IEC 15444-1).
//!
//! In one row nothing lies above or below, so of the standard little is left: lossless streams of one tile, one layer
//! and one component, as the writers of forecasts make them. Anything else, damage among it, is [`None`] here and left
//! to OpenJPEG.

mod arithmetic;
mod bit_planes;
mod code_stream;
mod packets;
mod samples;
mod tag_tree;
mod wavelet;

pub(super) use samples::samples;
