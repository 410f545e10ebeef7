//! The command line: one file a command for its options and what it does; beside it, files of the command's name for the
//! words, tables and JSON it prints. The library returns numbers; what a person reads is made here.

mod audit;
mod audit_cells;
mod audit_groups;
mod audit_words;
mod choices;
mod compare;
mod compare_table;
mod completions;
mod derate;
mod derate_progress;
mod derate_summary;
mod explain;
mod explain_text;
mod flag_words;
mod format;
mod hull_drawing;
mod inspect;
mod inspect_text;
mod interrupt;
mod lookup;
mod man;
mod named;
mod outcome;
mod passage;
mod passage_csv;
mod passage_json;
mod passage_legs;
mod passage_text;
mod passage_track;
mod passage_words;
mod polar_match_text;
mod print;
mod program;
mod report;
mod response;
mod response_text;
mod sea_options;
mod svg_page;
mod tally;
mod tally_table;
mod values;

pub use program::{Cli, run};
