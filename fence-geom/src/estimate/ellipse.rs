//! The doubt of a point of the plane: its ellipse, and how far to search.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::bearing::Azimuth;
use crate::length::Length;

/// The share of cases that is left outside.
const LEFT_OUT: f64 = 0.05;

/// Steps over a quarter turn of the integral under a search radius. The
/// integrand is smooth and periodic, so the trapezoid rule gains digits with
/// every step; this is far past double precision.
const QUARTER_STEPS: u32 = 128;

/// The standard ellipse of a point: one standard error along its axes.
///
/// # Examples
///
/// ```
/// use fence_geom::Ellipse;
///
/// // Variances of 0.04 sq ft north and 0.01 sq ft east, no covariance.
/// let doubt = Ellipse::new(0.04, 0.01, 0.0);
/// assert!((doubt.semi_major().feet() - 0.2).abs() < 1e-12);
/// assert!((doubt.semi_major_95().feet() - 0.48955).abs() < 1e-5);
/// // The circle that holds 95 % is smaller than the ellipse is long.
/// assert!(doubt.search_radius_95().feet() < doubt.semi_major_95().feet());
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ellipse {
    semi_major: f64,
    semi_minor: f64,
    azimuth: f64,
}

/// Returns the factor from a standard ellipse to the one that holds 95 %.
///
/// - `None`: the standard errors were known before (a priori): the root of the
///   chi-square quantile for two, 2.4477.
/// - `Some(redundancy)`: they come from the residuals of an adjustment of that
///   many degrees of freedom (a posteriori): the root of 2 F(0.05; 2,
///   redundancy). It is infinite for none.
///
/// # Source
///
/// Both quantiles have a closed form for two numbers. The factor with F as in
/// J. Mahun, *Open Access Surveying Library*, "Least Squares 2", Problem 4 (c),
/// which is checked in the tests; 2.4477 as a figure from memory.
///
/// # Examples
///
/// ```
/// use fence_geom::ellipse_factor_95;
///
/// assert!((ellipse_factor_95(None) - 2.4477).abs() < 5e-5);
/// assert!((ellipse_factor_95(Some(3)) - 4.371).abs() < 5e-4);
/// ```
#[must_use]
pub fn ellipse_factor_95(redundancy: Option<u32>) -> f64 {
    match redundancy {
        None => (-2.0 * LEFT_OUT.ln()).sqrt(),
        Some(0) => f64::INFINITY,
        Some(redundancy) => {
            let m = f64::from(redundancy);
            (m * (LEFT_OUT.powf(-2.0 / m) - 1.0)).sqrt()
        }
    }
}

impl Ellipse {
    /// Creates the ellipse from the variances of northing and easting and their
    /// covariance, in square feet. What is not a variance counts as zero.
    #[must_use]
    pub fn new(north_variance: f64, east_variance: f64, covariance: f64) -> Self {
        let mean = f64::midpoint(north_variance, east_variance);
        let half = (north_variance - east_variance) / 2.0;
        let spread = half.hypot(covariance);
        let axis = |variance: f64| variance.max(0.0).sqrt();
        Self {
            semi_major: axis(mean + spread),
            semi_minor: axis(mean - spread),
            azimuth: (covariance.atan2(half) / 2.0).rem_euclid(PI),
        }
    }

    /// Creates the ellipse from the standard errors of northing and easting, in feet,
    /// and their correlation, -1 to 1.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::Ellipse;
    ///
    /// assert_eq!(Ellipse::of_sigmas(0.2, 0.1, 0.5), Ellipse::new(0.2 * 0.2, 0.1 * 0.1, 0.5 * 0.2 * 0.1));
    /// ```
    #[must_use]
    pub fn of_sigmas(north: f64, east: f64, correlation: f64) -> Self {
        Self::new(north * north, east * east, correlation * north * east)
    }

    /// Returns the variances of northing and easting and their covariance, in
    /// square feet.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::Ellipse;
    ///
    /// let [north, east, both] = Ellipse::new(0.04, 0.01, 0.005).variances();
    /// assert!((north - 0.04).abs() < 1e-15 && (east - 0.01).abs() < 1e-15);
    /// assert!((both - 0.005).abs() < 1e-15);
    /// ```
    #[must_use]
    pub fn variances(self) -> [f64; 3] {
        let (sin, cos) = self.azimuth.sin_cos();
        let (long, short) = (self.semi_major.powi(2), self.semi_minor.powi(2));
        [
            long * cos * cos + short * sin * sin,
            long * sin * sin + short * cos * cos,
            (long - short) * sin * cos,
        ]
    }

    /// Returns half the long axis, one standard error.
    #[must_use]
    pub fn semi_major(self) -> Length {
        Length::saturating(self.semi_major)
    }

    /// Returns half the short axis, one standard error.
    #[must_use]
    pub fn semi_minor(self) -> Length {
        Length::saturating(self.semi_minor)
    }

    /// Returns the direction of the long axis, 0° up to but not including 180°;
    /// 0° for a circle.
    #[must_use]
    pub fn azimuth(self) -> Azimuth {
        Azimuth::of_radians(self.azimuth)
    }

    /// Returns half the long axis of the ellipse that holds 95 % (a priori).
    #[must_use]
    pub fn semi_major_95(self) -> Length {
        Length::saturating(self.semi_major * ellipse_factor_95(None))
    }

    /// Returns half the short axis of the ellipse that holds 95 % (a priori).
    #[must_use]
    pub fn semi_minor_95(self) -> Length {
        Length::saturating(self.semi_minor * ellipse_factor_95(None))
    }

    /// Returns the radius of the circle that holds 95 %.
    ///
    /// Integrated, not read off an axis: a circle as wide as the 95 % ellipse is
    /// long would hold more.
    ///
    /// # Accuracy
    ///
    /// Twelve figures.
    #[must_use]
    pub fn search_radius_95(self) -> Length {
        if self.semi_major <= 0.0 {
            return Length::ZERO;
        }
        // In units of the long axis the answer lies between that of a line
        // (1.96) and that of a circle (2.4477).
        let flatness = self.semi_minor / self.semi_major;
        let (mut low, mut high) = (1.9, 2.5);
        for _ in 0..60 {
            let radius = f64::midpoint(low, high);
            if share_outside(radius, flatness) > LEFT_OUT {
                low = radius;
            } else {
                high = radius;
            }
        }
        Length::saturating(self.semi_major * f64::midpoint(low, high))
    }
}

/// The share of cases farther than `radius` from the middle, where the long axis
/// is one and the short axis `flatness`.
///
/// A case is (s cos t, flatness s sin t) with t even over the turn and s past r
/// in exp(-r^2 / 2) of the cases, which leaves one integral over t.
fn share_outside(radius: f64, flatness: f64) -> f64 {
    let outside = |angle: f64| {
        let (sin, cos) = angle.sin_cos();
        let reach = cos * cos + flatness * flatness * sin * sin;
        (-radius * radius / (2.0 * reach)).exp()
    };
    let step = FRAC_PI_2 / f64::from(QUARTER_STEPS);
    let inner: f64 = (1..QUARTER_STEPS)
        .map(|k| outside(f64::from(k) * step))
        .sum();
    let ends = f64::midpoint(outside(0.0), outside(FRAC_PI_2));
    (inner + ends) / f64::from(QUARTER_STEPS)
}
