//! What must always hold.

mod call_table;
mod traverse;
