//! Tests of sheet.

mod kit;
mod lay;
mod missing;
