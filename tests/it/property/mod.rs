//! What must always hold.
mod layout;

mod quantities;
