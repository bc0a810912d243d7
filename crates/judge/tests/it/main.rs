//! Plans made by hand, sawn by the judge.

mod annulus;
mod bench;
mod cuts;
