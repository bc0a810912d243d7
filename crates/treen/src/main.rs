//! From rough wood to a board that may touch food.

fn main() {}
