//! In-process runs of the program.

mod deed;
mod fit;
mod plan;
mod square;
mod tie;
