//! The rotation, shift and scale that bring one set of points nearest to another,
//! and what is known of them.

use nalgebra::{DMatrix, DVector, Matrix2, SymmetricEigen, Vector2};

use crate::angle::Angle;
use crate::estimate::Sigma;
use crate::point::{Displacement, Point};

/// The steps after which a fit that still moves has no answer. Three or four are
/// usual.
const MOST_STEPS: usize = 50;

/// A step this small, in parts of the arm of the points, is the rounding of the
/// coordinates.
const LAST_STEP: f64 = 1e-12;

/// Above this condition of the scaled equations half the digits are gone, and the
/// pins do not tell the answer.
const WORST_CONDITION: f64 = 1e8;

/// A share of a reading that the others check, below which rounding made it.
const UNCHECKED: f64 = 1e-9;

/// A deed corner and the pin for it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    pub(super) deed: Point,
    pub(super) pin: Point,
    /// The joint variances of pin and deed corner; one square foot each where all
    /// weigh alike.
    pub(super) doubt: Doubt,
}

/// Variances of northing and easting, and their covariance, in square feet; with
/// the triangular root that whitens a residual.
#[derive(Clone, Copy, Debug)]
pub(super) struct Doubt {
    variances: [f64; 3],
    /// Lower triangle: first, below it, second on the diagonal.
    root: [f64; 3],
}

/// A direction that is known besides the pins: the rotation and its standard
/// error, in radians.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turn {
    pub(super) radians: f64,
    pub(super) sigma: f64,
}

/// What to fit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Problem<'a> {
    pub(super) pairs: &'a [Pair],
    pub(super) turn: Option<Turn>,
    pub(super) free_scale: bool,
}

/// Why there is no fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum NoFit {
    /// Any rotation is as good.
    NoDirection,
    /// The equations do not tell the answer.
    Weak { condition: f64 },
}

/// A rotation and a scale about the middle of the deed corners, then a shift; with
/// the least-squares equations that gave it.
#[derive(Clone, Debug)]
pub(super) struct Similarity {
    sin: f64,
    cos: f64,
    pub(super) scale: f64,
    deed_middle: Point,
    ground_middle: Point,
    /// The length that turns radians and ratios into feet, so that all unknowns
    /// are of one size.
    arm: f64,
    /// The covariance of the shift, the rotation and the scale, the last two times
    /// the arm; in units of the given variances.
    covariance: DMatrix<f64>,
    pub(super) condition: f64,
    /// The weighted sum of the squares of the residuals.
    pub(super) squares: f64,
}

/// How one pin is checked by the rest.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct PinCheck {
    /// By how much the weighted sum of squares shrinks without it, a chi-square of
    /// as many numbers as are checked; `None` where nothing checks it.
    pub(super) saved: Option<f64>,
    /// How many numbers of it are checked: 0, 1 or 2.
    pub(super) checked: usize,
    /// The share of its two numbers that the others check: 0 to 2.
    pub(super) redundancy: f64,
    /// The way to it from where the fit of the others puts it.
    pub(super) left_out: Option<Displacement>,
    /// The least of what leaving the pin out would save for a blunder of one foot,
    /// over all directions.
    pub(super) least_saved: Option<f64>,
}

impl Doubt {
    /// One square foot each way.
    pub(super) const ALIKE: Self = Self {
        variances: [1.0, 1.0, 0.0],
        root: [1.0, 0.0, 1.0],
    };

    /// `None` if a reading without doubt would weigh without end.
    pub(super) fn new(variances: [f64; 3]) -> Option<Self> {
        let [north, east, both] = variances;
        let first = north.sqrt();
        let below = both / first;
        let second = (east - below * below).sqrt();
        let whole = first > 0.0 && second > 0.0 && second.is_finite();
        whole.then_some(Self {
            variances,
            root: [first, below, second],
        })
    }

    fn whiten(&self, north: f64, east: f64) -> [f64; 2] {
        let [first, below, second] = self.root;
        let n = north / first;
        [n, (east - below * n) / second]
    }

    /// The weight of a point where only one number is wanted.
    fn weight(&self) -> f64 {
        let [north, east, _] = self.variances;
        2.0 / (north + east)
    }

    const fn root(&self) -> Matrix2<f64> {
        let [first, below, second] = self.root;
        Matrix2::new(first, 0.0, below, second)
    }
}

impl Similarity {
    /// Fits by least squares.
    ///
    /// The start is the closed form for points that weigh alike in all directions;
    /// for such points it is the answer. From there Gauss-Newton steps, each solved
    /// by QR of the whitened equations.
    pub(super) fn of(problem: Problem<'_>) -> Result<Self, NoFit> {
        let mut found = Self::start(problem)?;
        let mut last = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            let step = found.step(problem)?;
            let size = step.amax() / found.arm;
            // Where rounding is all that is left, steps no longer shrink.
            let done = size < LAST_STEP || (size < 1e-9 && size >= last);
            if done {
                found.squares = found.weighted_squares(problem);
                return Ok(found);
            }
            found.take(&step);
            last = size;
        }
        Err(NoFit::NoDirection)
    }

    fn start(problem: Problem<'_>) -> Result<Self, NoFit> {
        let pairs = problem.pairs;
        let middles = (
            middle(pairs, |pair| pair.deed),
            middle(pairs, |pair| pair.pin),
        );
        let (Some(deed_middle), Some(ground_middle)) = middles else {
            return Err(NoFit::NoDirection);
        };
        let (mut along, mut across, mut size, mut total) = (0.0, 0.0, 0.0, 0.0);
        for pair in pairs {
            let (deed, pin) = (pair.deed - deed_middle, pair.pin - ground_middle);
            let weight = pair.doubt.weight();
            along += weight * deed.dot(pin);
            across += weight * deed.cross(pin);
            size += weight * deed.dot(deed);
            total += weight;
        }
        let length = along.hypot(across);
        let arm = (size / total).sqrt();
        // Below the rounding of the sums a direction is noise.
        let told = length > size * 1e-12 && length.is_finite();
        let (sin, cos) = match problem.turn {
            _ if told => (across / length, along / length),
            Some(turn) => turn.radians.sin_cos(),
            None => return Err(NoFit::NoDirection),
        };
        Ok(Self {
            sin,
            cos,
            scale: if problem.free_scale && told {
                length / size
            } else {
                1.0
            },
            deed_middle,
            ground_middle,
            arm: if told { arm } else { 1.0 },
            covariance: DMatrix::zeros(0, 0),
            condition: f64::INFINITY,
            squares: f64::INFINITY,
        })
    }

    /// The whitened equations at this place, and what is left to explain.
    fn equations(&self, problem: Problem<'_>) -> (DMatrix<f64>, DVector<f64>) {
        let unknowns = if problem.free_scale { 4 } else { 3 };
        let rows = 2 * problem.pairs.len() + usize::from(problem.turn.is_some());
        let mut design = Vec::with_capacity(rows * unknowns);
        let mut left = Vec::with_capacity(rows);
        for pair in problem.pairs {
            let residual = pair.pin - self.place(pair.deed);
            left.extend(pair.doubt.whiten(residual.north(), residual.east()));
            let columns = self.columns(pair.deed);
            let whitened = columns.map(|(north, east)| pair.doubt.whiten(north, east));
            design.extend(whitened.iter().take(unknowns).map(|[first, _]| *first));
            design.extend(whitened.iter().take(unknowns).map(|[_, second]| *second));
        }
        if let Some(turn) = problem.turn {
            let off = turn.radians - self.rotation().radians();
            left.push(off.sin().atan2(off.cos()) / turn.sigma);
            let row = [0.0, 0.0, 1.0 / (turn.sigma * self.arm), 0.0];
            design.extend(row.iter().take(unknowns));
        }
        (
            DMatrix::from_row_iterator(rows, unknowns, design),
            DVector::from_vec(left),
        )
    }

    /// How the place of a deed corner moves with the shift north and east, the
    /// rotation and the scale.
    fn columns(&self, deed: Point) -> [(f64, f64); 4] {
        let way = self.turned(deed - self.deed_middle);
        let turning = way.turned_right() * (self.scale / self.arm);
        let growing = way * (1.0 / self.arm);
        [
            (1.0, 0.0),
            (0.0, 1.0),
            (turning.north(), turning.east()),
            (growing.north(), growing.east()),
        ]
    }

    /// Solves the equations by QR; keeps the covariance and the condition.
    fn step(&mut self, problem: Problem<'_>) -> Result<DVector<f64>, NoFit> {
        let (design, left) = self.equations(problem);
        if design.nrows() < design.ncols() {
            return Err(NoFit::NoDirection);
        }
        let qr = design.qr();
        let triangle = qr.r();
        let singular = triangle.singular_values();
        let condition = singular.max() / singular.min();
        if condition.is_nan() || condition >= WORST_CONDITION {
            return Err(NoFit::Weak { condition });
        }
        let weak = NoFit::Weak { condition };
        let step = triangle
            .solve_upper_triangular(&(qr.q().transpose() * left))
            .ok_or(weak)?;
        let unknowns = triangle.ncols();
        let inverse = triangle
            .solve_upper_triangular(&DMatrix::identity(unknowns, unknowns))
            .ok_or(weak)?;
        self.covariance = &inverse * inverse.transpose();
        self.condition = condition;
        Ok(step)
    }

    fn take(&mut self, step: &DVector<f64>) {
        let of = |i: usize| step.get(i).copied().unwrap_or_default();
        self.ground_middle = self.ground_middle + Displacement::of_feet(of(0), of(1));
        let (sin, cos) = (of(2) / self.arm).sin_cos();
        (self.sin, self.cos) = (
            self.sin * cos + self.cos * sin,
            self.cos * cos - self.sin * sin,
        );
        self.scale += of(3) / self.arm;
    }

    fn weighted_squares(&self, problem: Problem<'_>) -> f64 {
        let (_, left) = self.equations(problem);
        left.norm_squared()
    }

    /// The rotation, positive clockwise.
    pub(super) fn rotation(&self) -> Angle {
        Angle::of_radians(self.sin.atan2(self.cos))
    }

    fn turned(&self, way: Displacement) -> Displacement {
        way * self.cos + way.turned_right() * self.sin
    }

    /// Where a deed corner lies on the ground.
    pub(super) fn place(&self, deed: Point) -> Point {
        self.ground_middle + self.turned(deed - self.deed_middle) * self.scale
    }

    /// The variances of the place of a deed corner, by the doubt of the fit alone.
    pub(super) fn variances_at(&self, deed: Point) -> [f64; 3] {
        let columns = self.columns(deed);
        let mut sums = [0.0; 3];
        for (i, (north, east)) in columns.iter().enumerate() {
            for (j, (other_north, other_east)) in columns.iter().enumerate() {
                let c = self.covariance.get((i, j)).copied().unwrap_or_default();
                let [n, e, both] = &mut sums;
                *n += c * north * other_north;
                *e += c * east * other_east;
                *both += c * north * other_east;
            }
        }
        sums
    }

    /// The standard error of the rotation, in radians.
    pub(super) fn rotation_sigma(&self) -> Sigma {
        self.sigma_of(2)
    }

    /// The standard error of the scale, unknown where it was held.
    pub(super) fn scale_sigma(&self) -> Sigma {
        self.sigma_of(3)
    }

    fn sigma_of(&self, i: usize) -> Sigma {
        let variance = self.covariance.get((i, i));
        variance.map_or(Sigma::UNKNOWN, |v| Sigma::computed(v.sqrt() / self.arm))
    }

    /// How a pair is checked by the rest.
    pub(super) fn check(&self, pair: &Pair) -> PinCheck {
        let whitened = self
            .columns(pair.deed)
            .map(|(north, east)| pair.doubt.whiten(north, east));
        let mut explained = Matrix2::zeros();
        for (i, column) in self.covariance.column_iter().enumerate() {
            let row = whitened.get(i).copied().map(Vector2::from);
            for (c, other) in column.iter().zip(whitened) {
                explained += row.unwrap_or_default() * Vector2::from(other).transpose() * *c;
            }
        }
        let unexplained = Matrix2::identity() - (explained + explained.transpose()) * 0.5;
        let residual = pair.pin - self.place(pair.deed);
        let residual = pair.doubt.whiten(residual.north(), residual.east());
        checked(unexplained, residual.into(), pair.doubt)
    }
}

/// `unexplained` is the covariance of a whitened residual: how much of each of the
/// two numbers the others check.
fn checked(unexplained: Matrix2<f64>, residual: Vector2<f64>, doubt: Doubt) -> PinCheck {
    let parts = SymmetricEigen::new(unexplained);
    let mut check = PinCheck {
        redundancy: unexplained.trace().clamp(0.0, 2.0),
        ..PinCheck::default()
    };
    let mut saved = 0.0;
    for (i, share) in parts.eigenvalues.iter().enumerate() {
        if *share > UNCHECKED {
            saved += parts.eigenvectors.column(i).dot(&residual).powi(2) / share;
            check.checked += 1;
        }
    }
    check.saved = (check.checked > 0).then_some(saved);
    if check.checked == 2 {
        let root = doubt.root();
        let away = unexplained
            .try_inverse()
            .map(|inverse| root * inverse * residual);
        check.left_out = away.map(|way| Displacement::of_feet(way.x, way.y));
        check.least_saved = root.try_inverse().map(|inverse| {
            let per_foot = inverse.transpose() * unexplained * inverse;
            per_foot.symmetric_eigenvalues().min()
        });
    }
    check
}

/// The weighted middle.
fn middle(pairs: &[Pair], place: impl Fn(&Pair) -> Point) -> Option<Point> {
    let origin = place(pairs.first()?);
    let total: f64 = pairs.iter().map(|pair| pair.doubt.weight()).sum();
    let sum = pairs.iter().fold(Displacement::default(), |sum, pair| {
        sum + (place(pair) - origin) * pair.doubt.weight()
    });
    Some(origin + sum * (1.0 / total))
}
