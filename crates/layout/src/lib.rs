//! Where each part lies on which piece.
