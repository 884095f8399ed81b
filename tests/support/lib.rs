//! What the tests share: fixtures and comparison with printed figures.

mod draws;
mod nets;
mod parcels;
mod simulated_fits;

use std::path::PathBuf;

pub use draws::Draws;
pub use nets::{Tally, TrueNet, share};
pub use parcels::{ParcelClass, arc_parcel, county_parcel, named, parcel, setback_feet};
pub use simulated_fits::{FitCoverage, FoundPins, fit_coverage, invented_deed, on_invented_ground};

/// The path of a file under `fixtures/`.
#[must_use]
pub fn fixture_path(name: &str) -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../fixtures")).join(name)
}

/// The text of a file under `fixtures/`.
///
/// # Panics
///
/// If there is no such file.
#[must_use]
pub fn fixture(name: &str) -> String {
    let path = fixture_path(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Asserts that `computed` equals a printed figure to within `units` of its last
/// printed place; half a unit is what correct rounding leaves.
///
/// # Panics
///
/// If it does not, or the figure is not a number.
#[track_caller]
pub fn assert_printed(computed: f64, printed: &str, units: f64) {
    let figure = printed.replace(',', "");
    let value: f64 = figure
        .parse()
        .unwrap_or_else(|error| panic!("printed figure {printed:?}: {error}"));
    let places = figure
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let unit = 0.1_f64.powi(i32::try_from(places).expect("few places"));
    let off = (computed - value).abs();
    // A hair more, because the printed figure itself is not exact in binary.
    assert!(
        off <= unit * (units + 1e-6),
        "computed {computed}, printed {printed}: off by {off}"
    );
}
