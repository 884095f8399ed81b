//! Published values: each file names its source.

mod doubt;
mod fits;
mod intersections;
mod triangles;
mod deeds;
mod bearings;
mod units;
