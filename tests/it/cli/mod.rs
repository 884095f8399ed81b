//! In-process runs of the program.

mod deed;
mod fit;
mod geodesy;
mod offset;
mod posts;
mod plan;
mod square;
mod tie;
