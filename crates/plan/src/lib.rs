//! Operations, findings, dates and the bill of one job.
