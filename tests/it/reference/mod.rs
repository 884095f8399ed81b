//! Published values: each file names its source.

mod deeds;
mod doubt;
mod fits;
mod intersections;
mod triangles;
