//! The plan on paper, at true scale.
