//! What must always hold.

mod call_table;
mod estimate;
mod fit;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersect;
mod layout;
mod layout_cases;
mod net;
mod offset;
mod quantities;
mod sights;
mod traverse;
mod triangle;
