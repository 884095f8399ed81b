//! Published values: each file names its source.

mod bearings;
mod deeds;
mod offsets;
mod doubt;
mod fits;
mod intersections;
mod triangles;
mod units;
