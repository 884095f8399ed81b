//! What must always hold.

mod estimate;
mod fit;
mod intersect;
mod layout;
mod offset;
mod triangle;

mod quantities;
