//! What must always hold.
mod layout;
