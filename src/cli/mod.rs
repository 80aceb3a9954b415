//! Arguments, and the only place that prints.
