//! Published values: each file names its source.

mod bearings;
mod deeds;
mod descriptions;
mod doubt;
mod fits;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersections;
mod offsets;
#[cfg(feature = "geodesy")]
mod state_plane;
mod takeoff;
mod triangles;
mod units;
