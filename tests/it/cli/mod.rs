//! In-process runs of the program.

mod batch;
mod deed;
mod fit;
mod geodesy;
mod offset;
mod schema;
mod sheet_json;
mod posts;
mod plan;
mod square;
mod takeoff;
mod tie;
