//! Tests of proof.

mod always;
mod drawing;
mod fit;
mod figures;
mod independent;
mod judge;
mod leads;
mod place;
mod ngc;
mod round_trip;
mod sense;
mod traces;
mod sweep;
