//! House chores: tidy, wire types, figures.

fn main() {}
