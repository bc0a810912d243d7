//! Plans made by hand, sawn by the judge.

mod always;
mod annulus;
mod bench;
mod cuts;
mod hostile;
mod several;
mod turns;
