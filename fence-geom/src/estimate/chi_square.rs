//! The chi-square distribution, for tests of sums of weighted squares.

use statrs::function::gamma::gamma_ur;

/// Returns the chance that a sum of the squares of `redundancy` independent
/// standard normal errors is at least `squares`; one for a redundancy of 0.
///
/// # Accuracy
///
/// Ten figures.
///
/// # Source
///
/// The upper regularized incomplete gamma function Q(redundancy / 2, squares / 2).
///
/// # Examples
///
/// ```
/// use fence_geom::chance_of_squares;
///
/// // One in a thousand sums of two squares passes -2 ln 0.001.
/// assert!((chance_of_squares(13.8155, 2) - 0.001).abs() < 1e-7);
/// ```
#[must_use]
pub fn chance_of_squares(squares: f64, redundancy: u32) -> f64 {
    if redundancy == 0 || squares.is_nan() || squares <= 0.0 {
        return 1.0;
    }
    if squares == f64::INFINITY {
        return 0.0;
    }
    gamma_ur(f64::from(redundancy) / 2.0, squares / 2.0)
}
