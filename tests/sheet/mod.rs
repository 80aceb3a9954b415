//! Tests of sheet.

mod kit;
mod check;
mod lay;
mod missing;
mod blank;
mod remnant;
mod wishes;
