//! In-process runs of the program.

mod deed;
mod fit;
mod offset;
mod posts;
mod square;
mod tie;
