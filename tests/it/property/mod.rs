//! What must always hold.

mod call_table;
mod traverse;
mod offset;
mod estimate;
mod fit;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersect;
mod layout;
mod offset;
mod triangle;

mod quantities;
