//! Tests of job.
