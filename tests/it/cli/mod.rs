//! In-process runs of the program.
mod fit;
mod square;
mod tie;
