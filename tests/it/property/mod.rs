//! What must always hold.

mod call_table;
mod traverse;
mod offset;
mod estimate;
mod fit;
mod intersect;
mod layout;
mod triangle;

mod quantities;
