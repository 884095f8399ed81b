//! Published values: each file names its source.

mod areas;
mod balancing;
mod bearings;
mod city_plots;
mod curves;
mod deed_figures;
mod deeds;
mod descriptions;
mod doubt;
mod fits;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersections;
mod latitudes;
mod missing;
mod nets;
mod offset_figures;
mod offsets;
mod slips;
mod slopes;
#[cfg(feature = "geodesy")]
mod state_plane;
mod takeoff;
mod taping;
mod triangles;
mod units;
