//! Doubt: standard errors of observations, and what they do to an answer.
//!
//! Geometry elsewhere in this crate is plain. Uncertainty has one home, here: a
//! joint [`Covariance`] of the base observations (pins, tape readings, marks)
//! and one [`propagate`]. Numbers are in feet and radians, variances in their
//! squares.
//!
//! All of it speaks of measuring only. A small standard error does not say that
//! a pin is the right pin.

mod chi_square;
mod ellipse;

use nalgebra::DMatrix;

use crate::length::Length;

pub use chi_square::chance_of_squares;
pub use ellipse::{Ellipse, ellipse_factor_95};

/// How many standard errors to either side hold 95 % of a normal error.
///
/// Source: value from memory of the table of the standard normal distribution
/// (0.975 quantile 1.95996), rounded as surveying practice prints it.
pub const NORMAL_95: f64 = 1.96;

/// The step of a numeric derivative, in feet or radians.
///
/// A thousandth of an inch: the curvature of taped geometry leaves a relative
/// error of about (1e-4 / 10 ft)^2 at that step, and the rounding of a
/// coordinate of a million feet about 1e-6; both are far below the doubt of a
/// doubt.
const STEP: f64 = 1e-4;

/// The smallest step in parts of the value, so that a step still moves a very
/// large one by many units in its last place.
const STEP_RATIO: f64 = 1e-10;

/// A standard error: a number from zero up, or unknown.
///
/// Unknown is not zero and not a guess. It stays unknown through all
/// arithmetic.
///
/// # Examples
///
/// ```
/// use fence_geom::Sigma;
///
/// let reading = Sigma::known(0.3)?;
/// let scale = Sigma::known(0.4)?;
/// assert_eq!(reading.combined(scale).value(), Some(0.5));
/// assert_eq!(reading.combined(Sigma::UNKNOWN).value(), None);
/// # Ok::<(), fence_geom::EstimateError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sigma {
    /// Invariant: finite and not negative where there is one.
    value: Option<f64>,
}

/// The joint doubt of several numbers: variances, and covariances between them.
///
/// # Examples
///
/// ```
/// use fence_geom::{Covariance, Sigma};
///
/// let pins = Covariance::independent(&[Sigma::known(0.02)?, Sigma::UNKNOWN]);
/// assert_eq!(pins.sigma(0), Sigma::known(0.02)?);
/// assert_eq!(pins.sigma(1), Sigma::UNKNOWN);
/// # Ok::<(), fence_geom::EstimateError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Covariance {
    /// Invariant: square, symmetric, finite, no variance below zero; rows and
    /// columns of unknown numbers are zero.
    matrix: DMatrix<f64>,
    /// Which numbers are of unknown doubt.
    unknown: Vec<bool>,
}

/// Numbers together with their joint doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    values: Vec<f64>,
    covariance: Covariance,
}

/// Whether an error is within a tolerance, as far as the measuring can tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Within, whatever the measuring did.
    In,
    /// Beyond, whatever the measuring did.
    Out,
    /// The readings can't tell.
    Undecided,
}

/// Numbers that are no standard error or no covariance.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum EstimateError {
    /// Not a standard error.
    #[error(
        "a standard error must be a number from 0 up, got {value}: leave it out if it is unknown"
    )]
    Sigma {
        /// The number.
        value: f64,
    },
    /// Not a square table.
    #[error("row {row} of a covariance of {numbers} numbers has {got} entries: give {numbers}")]
    Shape {
        /// The row, counted from 0.
        row: usize,
        /// How many rows there are.
        numbers: usize,
        /// How many entries the row has.
        got: usize,
    },
    /// An entry that can't stand where it is.
    #[error(
        "covariance entry ({row}, {column}) is {value}: entries are finite, alike on both sides of the diagonal, and not negative on it"
    )]
    Entry {
        /// The row, counted from 0.
        row: usize,
        /// The column, counted from 0.
        column: usize,
        /// The entry.
        value: f64,
    },
    /// Covariances too large for the variances.
    #[error(
        "the covariances are larger than the variances allow (least eigenvalue {eigenvalue:e}): check the signs and units of the entries"
    )]
    Impossible {
        /// The least eigenvalue.
        eigenvalue: f64,
    },
}

/// Why doubt can't be propagated; `E` is the error of the function itself.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PropagateError<E> {
    /// Values and covariance are of different number.
    #[error("{values} values need a covariance of as many, got one of {covariance}")]
    Count {
        /// How many values there are.
        values: usize,
        /// How many numbers the covariance is of.
        covariance: usize,
    },
    /// The function has no answer for the values themselves.
    #[error("{0}")]
    Function(E),
    /// The function has no answer right beside the values.
    #[error("value {index} ({value}) is at the edge of what has an answer")]
    Edge {
        /// Which value, counted from 0.
        index: usize,
        /// The value.
        value: f64,
        /// The error of the function beside it.
        source: E,
    },
    /// The function gives another number of answers, or none that is a number.
    #[error("the answers do not vary smoothly with value {index} ({value})")]
    Broken {
        /// Which value, counted from 0.
        index: usize,
        /// The value.
        value: f64,
    },
}

impl Sigma {
    /// A standard error that nobody knows.
    pub const UNKNOWN: Self = Self { value: None };

    /// The standard error of something taken as exact.
    pub const ZERO: Self = Self { value: Some(0.0) };

    /// Creates a standard error, in the unit of the number it belongs to.
    ///
    /// # Errors
    ///
    /// [`EstimateError::Sigma`] if `value` is NaN, infinite or negative.
    pub fn known(value: f64) -> Result<Self, EstimateError> {
        if !(0.0..f64::INFINITY).contains(&value) {
            return Err(EstimateError::Sigma { value });
        }
        Ok(Self {
            value: Some(value + 0.0),
        })
    }

    /// Returns the standard error of a length or a coordinate.
    #[must_use]
    pub const fn of_length(length: Length) -> Self {
        Self {
            value: Some(length.feet()),
        }
    }

    /// A standard error that arithmetic has made; unknown where it overflowed.
    pub(crate) fn computed(value: f64) -> Self {
        Self::known(value).unwrap_or(Self::UNKNOWN)
    }

    /// Returns the number, `None` where it is unknown.
    #[must_use]
    pub const fn value(self) -> Option<f64> {
        self.value
    }

    /// Returns the standard error of the sum of two independent numbers.
    #[must_use]
    pub fn combined(self, other: Self) -> Self {
        match (self.value, other.value) {
            (Some(a), Some(b)) => Self::computed(a.hypot(b)),
            _ => Self::UNKNOWN,
        }
    }

    /// Returns the standard error of the number times `factor`.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        self.value
            .map_or(Self::UNKNOWN, |value| Self::computed(value * factor.abs()))
    }

    /// Returns what a person reads as plus or minus: 95 %, by measuring only.
    #[must_use]
    pub fn plus_minus_95(self) -> Option<f64> {
        self.value.map(|value| value * NORMAL_95)
    }
}

impl Covariance {
    /// The doubt of numbers that have nothing to do with each other.
    #[must_use]
    pub fn independent(sigmas: &[Sigma]) -> Self {
        let n = sigmas.len();
        let variances = sigmas.iter().map(|s| s.value.map_or(0.0, |v| v * v));
        Self {
            matrix: DMatrix::from_diagonal(&nalgebra::DVector::from_iterator(n, variances)),
            unknown: sigmas.iter().map(|s| s.value.is_none()).collect(),
        }
    }

    /// The doubt of numbers whose variances and covariances are known.
    ///
    /// # Errors
    ///
    /// An [`EstimateError`] if the rows are not a covariance: not square, not
    /// symmetric, or such that a sum of the numbers would have a variance below
    /// zero.
    pub fn from_rows(rows: &[Vec<f64>]) -> Result<Self, EstimateError> {
        let n = rows.len();
        for (row, entries) in rows.iter().enumerate() {
            if entries.len() != n {
                let got = entries.len();
                return Err(EstimateError::Shape {
                    row,
                    numbers: n,
                    got,
                });
            }
        }
        let matrix = DMatrix::from_row_iterator(n, n, rows.iter().flatten().copied());
        for (row, entries) in rows.iter().enumerate() {
            for (column, &value) in entries.iter().enumerate() {
                let other = entry(&matrix, column, row);
                let alike = (value - other).abs() <= 1e-12 * value.abs().max(other.abs());
                if !value.is_finite() || !alike || (row == column && value < 0.0) {
                    return Err(EstimateError::Entry { row, column, value });
                }
            }
        }
        let eigenvalues = matrix.clone().symmetric_eigenvalues();
        let (least, most) = (eigenvalues.min(), eigenvalues.max());
        // Rounding alone makes an eigenvalue that should be zero a little less.
        if n > 0 && least < -1e-9 * most.abs() {
            return Err(EstimateError::Impossible { eigenvalue: least });
        }
        Ok(Self {
            matrix,
            unknown: vec![false; n],
        })
    }

    /// Numbers each with a part of its own and one part that all share: the
    /// shared part moves number `i` by `shares[i]` times its standard error.
    pub(crate) fn with_common_part(own: Sigma, common: Sigma, shares: &[f64]) -> Self {
        let n = shares.len();
        let (Some(own), Some(common)) = (own.value, common.value) else {
            return Self::independent(&vec![Sigma::UNKNOWN; n]);
        };
        let shared = nalgebra::DVector::from_row_slice(shares) * common;
        Self {
            matrix: DMatrix::from_diagonal_element(n, n, own * own) + &shared * shared.transpose(),
            unknown: vec![false; n],
        }
    }

    /// Returns the joint doubt of these numbers followed by the numbers of
    /// `other`, which have nothing to do with them.
    #[must_use]
    pub fn joined(&self, other: &Self) -> Self {
        let (n, m) = (self.len(), other.len());
        let mut matrix = DMatrix::zeros(n + m, n + m);
        matrix.view_mut((0, 0), (n, n)).copy_from(&self.matrix);
        matrix.view_mut((n, n), (m, m)).copy_from(&other.matrix);
        let unknown = [self.unknown.as_slice(), &other.unknown].concat();
        Self { matrix, unknown }
    }

    /// Returns how many numbers this is the doubt of.
    #[must_use]
    pub fn len(&self) -> usize {
        self.unknown.len()
    }

    /// Returns whether this is the doubt of nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.unknown.is_empty()
    }

    /// Returns the standard error of number `i`; unknown past the last one.
    #[must_use]
    pub fn sigma(&self, i: usize) -> Sigma {
        self.get(i, i)
            .map_or(Sigma::UNKNOWN, |v| Sigma::computed(v.max(0.0).sqrt()))
    }

    /// Returns the covariance of numbers `i` and `j`, `None` where it is not
    /// known.
    #[must_use]
    pub fn get(&self, i: usize, j: usize) -> Option<f64> {
        let known = |k: usize| self.unknown.get(k) == Some(&false);
        (known(i) && known(j)).then(|| entry(&self.matrix, i, j))
    }

    /// Whether number `i` is exact: its doubt can't reach any answer.
    fn is_exact(&self, i: usize) -> bool {
        self.get(i, i).is_some_and(|variance| variance <= 0.0)
    }
}

impl Estimate {
    /// Returns the numbers.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }

    /// Returns number `i`, `None` past the last one.
    #[must_use]
    pub fn value(&self, i: usize) -> Option<f64> {
        self.values.get(i).copied()
    }

    /// Returns their joint doubt.
    #[must_use]
    pub const fn covariance(&self) -> &Covariance {
        &self.covariance
    }

    /// Returns the standard error of number `i`.
    #[must_use]
    pub fn sigma(&self, i: usize) -> Sigma {
        self.covariance.sigma(i)
    }

    /// Returns the standard ellipse of a point whose northing is number `north`
    /// and whose easting is number `east`; `None` where its doubt is unknown.
    #[must_use]
    pub fn ellipse(&self, north: usize, east: usize) -> Option<Ellipse> {
        Some(Ellipse::new(
            self.covariance.get(north, north)?,
            self.covariance.get(east, east)?,
            self.covariance.get(north, east)?,
        ))
    }
}

/// Propagates the joint doubt of `values` through `f`, to first order.
///
/// Returns the answers of `f` with their joint doubt: covariance J C J', J being
/// the matrix of derivatives, taken numerically by central differences. Values
/// and answers are in feet and radians (or plain ratios of the order of one).
/// An answer that depends on a value of unknown doubt is of unknown doubt.
///
/// # Errors
///
/// A [`PropagateError`]; the error of `f` is in it.
///
/// # Accuracy
///
/// Derivatives to about six figures. First order holds while the answers bend
/// little over the doubt itself; it does not for tapes that all but touch.
///
/// # Source
///
/// C. D. Ghilani, *Adjustment Computations*, John Wiley & Sons, chapter 6,
/// "Propagation of Random Errors in Indirectly Measured Quantities" (title from
/// memory). Checked against Monte Carlo in the tests.
///
/// # Examples
///
/// ```
/// use fence_geom::{Covariance, Sigma, propagate};
///
/// let sides = Covariance::independent(&[Sigma::known(0.01)?; 2]);
/// let product = |sides: &[f64]| Ok::<_, std::convert::Infallible>(vec![sides.iter().product()]);
/// let area = propagate(&[60.0, 20.0], &sides, product)?;
/// assert!((area.sigma(0).value().unwrap_or(0.0) - 0.632).abs() < 0.0005);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn propagate<E>(
    values: &[f64],
    covariance: &Covariance,
    f: impl Fn(&[f64]) -> Result<Vec<f64>, E>,
) -> Result<Estimate, PropagateError<E>> {
    if values.len() != covariance.len() {
        return Err(PropagateError::Count {
            values: values.len(),
            covariance: covariance.len(),
        });
    }
    let answers = f(values).map_err(PropagateError::Function)?;
    let mut jacobian = DMatrix::zeros(answers.len(), values.len());
    for (i, mut column) in jacobian.column_iter_mut().enumerate() {
        if !covariance.is_exact(i) {
            let slopes = derivative(values, i, answers.len(), &f)?;
            column.copy_from_slice(&slopes);
        }
    }
    let product = &jacobian * &covariance.matrix * jacobian.transpose();
    let depends_on_unknown = |row: nalgebra::RowDVector<f64>| {
        row.iter()
            .zip(&covariance.unknown)
            .any(|(slope, unknown)| *unknown && *slope != 0.0)
    };
    let unknown = jacobian
        .row_iter()
        .map(|row| depends_on_unknown(row.into_owned()))
        .collect();
    Ok(Estimate {
        values: answers,
        covariance: Covariance {
            matrix: (&product + product.transpose()) * 0.5,
            unknown,
        },
    })
}

/// Judges an error against a tolerance; all three are in one unit.
///
/// In if |error| + 1.96 sigma is within the tolerance, out if |error| - 1.96
/// sigma is beyond it, else the readings can't tell. With an unknown standard
/// error they never can.
///
/// # Examples
///
/// ```
/// use fence_geom::{Sigma, Verdict, judge};
///
/// let sigma = Sigma::known(0.1)?;
/// assert_eq!(judge(0.2, sigma, 0.5), Verdict::In);
/// assert_eq!(judge(-0.8, sigma, 0.5), Verdict::Out);
/// assert_eq!(judge(0.4, sigma, 0.5), Verdict::Undecided);
/// # Ok::<(), fence_geom::EstimateError>(())
/// ```
#[must_use]
pub fn judge(error: f64, sigma: Sigma, tolerance: f64) -> Verdict {
    let Some(doubt) = sigma.plus_minus_95() else {
        return Verdict::Undecided;
    };
    if error.abs() + doubt <= tolerance {
        Verdict::In
    } else if error.abs() - doubt > tolerance {
        Verdict::Out
    } else {
        Verdict::Undecided
    }
}

/// How fast each answer moves with value `i`.
fn derivative<E>(
    values: &[f64],
    i: usize,
    answers: usize,
    f: &impl Fn(&[f64]) -> Result<Vec<f64>, E>,
) -> Result<Vec<f64>, PropagateError<E>> {
    let value = values.get(i).copied().unwrap_or_default();
    let step = STEP.max(value.abs() * STEP_RATIO);
    let at = |place: f64| {
        let mut moved = values.to_vec();
        if let Some(entry) = moved.get_mut(i) {
            *entry = place;
        }
        f(&moved).map_err(|source| PropagateError::Edge {
            index: i,
            value,
            source,
        })
    };
    let (above, below) = (value + step, value - step);
    let (high, low) = (at(above)?, at(below)?);
    let slopes: Vec<f64> = high
        .iter()
        .zip(&low)
        // Divided by the step as rounded, not as wished.
        .map(|(high, low)| (high - low) / (above - below))
        .collect();
    let whole = high.len() == answers && low.len() == answers;
    if !whole || slopes.iter().any(|slope| !slope.is_finite()) {
        return Err(PropagateError::Broken { index: i, value });
    }
    Ok(slopes)
}

/// An entry of a matrix; zero outside of it.
fn entry(matrix: &DMatrix<f64>, row: usize, column: usize) -> f64 {
    matrix.get((row, column)).copied().unwrap_or_default()
}
