//! Files of any subject: text with its lines, files written whole or not at all, strict TOML, Parquet tables, digests.

pub mod cache_folder;
pub mod digest;
mod file_state;
mod held_table;
pub mod html_page;
pub mod keys;
pub mod on_disk;
mod one_or_more;
pub mod parquet_table;
mod shown_path;
pub mod strict_toml;
mod table_format;
pub mod text_file;
pub mod whole_file;

pub use digest::FileDigest;
pub use file_state::FileState;
pub use held_table::{HeldColumn, HeldTable};
pub use one_or_more::OneOrMore;
pub use parquet_table::{Column, Kind};
pub use shown_path::{relative, shortest, tidied};
pub use table_format::TableFormat;
