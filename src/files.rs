//! The only code that touches the disk: reads within limits, writes to a temporary name, then renames.
