//! What must always hold.

mod offset;
mod estimate;
mod fit;
mod intersect;
mod triangle;
mod layout;

mod quantities;
