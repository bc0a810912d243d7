//! Pictures with exact truth, measured.

mod against_truth;
mod faults;
mod hostile;
mod silhouettes;
mod sureness;
