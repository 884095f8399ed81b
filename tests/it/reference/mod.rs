//! Published values: each file names its source.

mod offsets;
mod doubt;
mod fits;
mod intersections;
mod triangles;
mod deeds;
mod bearings;
mod units;
