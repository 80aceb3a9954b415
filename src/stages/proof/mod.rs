//! Bytes to [`Proof`]: reads a written file back as the machine would and compares what it would cut with the parts.
//!
//! Shares no code with `write` beyond the shop's data: it judges bytes.

pub mod ngc;

/// What reading the files back showed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proof {
    /// Whether every piece is right.
    pub ok: bool,
}
