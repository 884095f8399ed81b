//! What must always hold.

mod arc_layout;
mod call_table;
mod complete;
mod curves;
mod description;
mod estimate;
mod fit;
mod fit_doubt;
#[cfg(feature = "geodesy")]
mod geodesy;
mod ground_choices;
mod intersect;
mod layout;
mod layout_cases;
mod net;
mod offset;
mod quantities;
mod sights;
mod slips;
mod slope;
mod slope_cases;
#[cfg(feature = "geodesy")]
mod state_plane;
mod stock;
mod trade;
mod traverse;
mod triangle;
