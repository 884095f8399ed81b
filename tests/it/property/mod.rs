//! What must always hold.

mod offset;
