//! What must always hold.

mod estimate;
mod fit;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersect;
mod layout;
mod triangle;

mod quantities;
