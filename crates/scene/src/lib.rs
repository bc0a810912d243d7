//! Procedural slabs and a camera: demo pictures with their exact truth.
