//! The one surface for command line and page.
