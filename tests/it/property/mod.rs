//! What must always hold.

mod quantities;
