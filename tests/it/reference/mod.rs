//! Published values: each file names its source.

mod bearings;
mod deeds;
mod doubt;
mod fits;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersections;
mod nets;
mod offsets;
mod takeoff;
mod taping;
mod triangles;
mod units;
