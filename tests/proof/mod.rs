//! Tests of proof.

mod figures;
mod independent;
mod ngc;
mod round_trip;
mod traces;
mod sweep;
