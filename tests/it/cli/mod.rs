//! In-process runs of the program.

mod deed;
mod fit;
mod square;
mod tie;
