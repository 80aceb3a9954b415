//! Tests of sheet.
