//! What must always hold.

mod call_table;
mod description;
mod estimate;
mod fit;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersect;
mod layout;
mod layout_cases;
mod offset;
mod quantities;
mod slips;
mod traverse;
mod triangle;
