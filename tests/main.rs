//! All tests, in the order of the journey.
#![allow(
    clippy::unwrap_used,
    clippy::float_cmp,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::format_push_string,
    clippy::format_collect,
    clippy::case_sensitive_file_extension_comparisons,
    reason = "a test may say what it expects bluntly"
)]

mod geometry;
mod shop;
mod job;
mod drawing;
mod part;
mod fit;
mod sheet;
mod cut;
mod write;
mod proof;
mod faults;
mod picture;
mod cli;
