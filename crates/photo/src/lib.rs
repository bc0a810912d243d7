//! From a picture to a face at true scale.
