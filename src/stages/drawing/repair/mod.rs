//! Group pairs of a DXF file.
