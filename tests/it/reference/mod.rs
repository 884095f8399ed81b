//! Published values: each file names its source.

mod bearings;
mod deed_figures;
mod deeds;
mod descriptions;
mod doubt;
mod fits;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersections;
mod nets;
mod offsets;
mod slips;
mod takeoff;
mod taping;
mod triangles;
mod units;
