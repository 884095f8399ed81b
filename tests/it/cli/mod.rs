//! In-process runs of the program.

mod offset;
mod deed;
mod fit;
mod square;
mod tie;
