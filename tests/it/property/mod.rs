//! What must always hold.

mod call_table;
mod estimate;
mod fit;
mod intersect;
mod layout;
mod offset;
mod quantities;
mod traverse;
mod triangle;
