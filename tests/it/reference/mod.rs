//! Published values: each file names its source.

mod bearings;
mod units;
