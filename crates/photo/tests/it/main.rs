//! Pictures with exact truth, measured.

mod against_truth;
mod hostile;
mod silhouettes;
mod sureness;
