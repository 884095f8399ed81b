//! Published values: each file names its source.

mod bearings;
mod city_plots;
mod deed_figures;
mod deeds;
mod descriptions;
mod doubt;
mod fits;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersections;
mod offset_figures;
mod offsets;
mod slips;
mod takeoff;
mod triangles;
mod units;
