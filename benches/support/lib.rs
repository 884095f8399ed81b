//! What the benches share.

#[cfg(feature = "peers")]
pub mod peers;
