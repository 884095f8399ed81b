//! Published values: each file names its source.

mod offsets;
