//! Published values: each file names its source.

mod deeds;
mod bearings;
mod units;
