//! What must always hold.
