//! What must always hold.

mod estimate;
mod fit;
mod intersect;
mod layout;
mod triangle;
