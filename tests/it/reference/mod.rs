//! Published values: each file names its source.

mod bearings;
mod city_plots;
mod deeds;
mod doubt;
mod fits;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersections;
mod offset_figures;
mod offsets;
mod takeoff;
mod triangles;
mod units;
