//! What must always hold.

mod call_table;
mod complete;
mod curves;
mod description;
mod estimate;
mod fit;
mod fit_doubt;
#[cfg(feature = "geodesy")]
mod geodesy;
mod intersect;
mod layout;
mod layout_cases;
mod net;
mod offset;
mod quantities;
mod sights;
mod slips;
#[cfg(feature = "geodesy")]
mod state_plane;
mod traverse;
mod triangle;
