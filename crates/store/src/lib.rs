//! The shop folder: documents, changes and pictures, kept safe.
