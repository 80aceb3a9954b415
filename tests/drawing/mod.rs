//! Tests of drawing.

mod reading;
mod dxf;
mod insert;
mod words;
mod units;
mod repair;
mod hostile;
mod role;
mod svg;
mod svg_page;
mod join;
mod measured;
mod ribs;
mod stretch;
