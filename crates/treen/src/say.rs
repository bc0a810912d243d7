//! Writing to the terminal, or to whatever reads in its place.

use std::fmt::Arguments;
use std::io::{ErrorKind, Write, stdout};

/// Writes a line to the standard output; takes what `println!` takes.
macro_rules! say {
    ($($words:tt)*) => {
        $crate::say::line(format_args!($($words)*))
    };
}

pub(crate) use say;

/// Writes a line. A reader that has gone, as `head` does, ends the command
/// quietly: what is kept in the shop was kept before it was told.
pub(crate) fn line(words: Arguments<'_>) {
    match writeln!(stdout(), "{words}") {
        Err(trouble) if trouble.kind() == ErrorKind::BrokenPipe => std::process::exit(0),
        // A full disk behind the pipe is no reason to stop the work.
        Ok(()) | Err(_) => {}
    }
}
