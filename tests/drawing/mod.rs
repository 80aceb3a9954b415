//! Tests of drawing.
