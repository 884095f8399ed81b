//! In-process runs of the program.

mod batch;
mod deed;
mod fit;
mod geodesy;
mod ground;
mod layout_choices;
mod locate;
mod map;
mod offset;
mod plan;
mod post_kinds;
mod posts;
mod readme;
mod request_unit;
mod schema;
mod sheet_arc;
mod sheet_json;
mod sheet_stations;
mod square;
mod stops;
mod takeoff;
mod tie;
mod tie_net;
