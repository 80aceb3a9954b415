//! Tests of proof.

mod independent;
mod ngc;
mod round_trip;
mod traces;
