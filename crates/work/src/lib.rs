//! Operations and findings: saw, hold, glue, hollow, fit, sand, finish.
