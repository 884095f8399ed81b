//! The JSON that the program takes and gives: one file a verb. It is a contract
//! of its own, converted by hand from the library's types.

pub(crate) mod alias;
pub(crate) mod batch;
pub(crate) mod deed;
pub(crate) mod fit;
pub(crate) mod ground;
pub(crate) mod net;
pub(crate) mod offset;
pub(crate) mod posts;
pub(crate) mod sheet;
pub(crate) mod square;
pub(crate) mod table;
pub(crate) mod takeoff;
pub(crate) mod tie;
