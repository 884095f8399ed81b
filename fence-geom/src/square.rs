//! The square check: three tape readings at a corner against the angle it
//! should have.

use crate::angle::Angle;
use crate::estimate::{Estimate, NORMAL_95, Sigma, Verdict, judge, propagate};
use crate::length::{Length, QuantityError, Shift};
use crate::tape::TapeModel;
use crate::triangle::{TriangleError, angle_of_sides, third_side};

/// How far the end of a run may be off, for each foot of run: 1/4 in in 10 ft.
///
/// Common practice, no source.
const TOLERANCE_RATIO: f64 = 0.25 / 120.0;

/// The longest diagonal that is proposed: the length of a long tape.
///
/// Common practice, no source.
const TAPE_FEET: f64 = 100.0;

/// Three tape readings at a corner, and what they are held against.
///
/// # Examples
///
/// ```
/// use fence_geom::{CornerCheck, Length, Verdict};
///
/// let readings = [30.0, 40.0, 50.0].map(Length::from_feet);
/// let [first, second, diagonal] = readings;
/// let answer = CornerCheck::new(first?, second?, diagonal?).judged()?;
/// assert_eq!(answer.verdict, Verdict::In);
/// assert!((answer.angle.degrees() - 90.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerCheck {
    /// From the corner along the side that stays.
    pub first_leg: Length,
    /// From the corner along the side that may move.
    pub second_leg: Length,
    /// Straight between the ends of the legs.
    pub diagonal: Length,
    /// The angle the corner should have, more than 0° and less than 180°.
    pub design: Angle,
    /// How far the second side will run from the corner; the second leg if
    /// `None`.
    pub run: Option<Length>,
    /// How far the far end of the run may be off its line; 1/4 in for every
    /// 10 ft of run if `None` (common practice, no source).
    pub tolerance: Option<Length>,
    /// The longest leg there is room for.
    pub space: Option<Length>,
    /// The tape that was read.
    pub tape: TapeModel,
}

/// What three tape readings say about a corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerAnswer {
    /// The angle that was taped.
    pub angle: Angle,
    /// Its standard error, in radians. The tape's scale cancels.
    pub angle_sigma: Sigma,
    /// The angle less the design: positive where the corner is too open.
    pub angle_error: Angle,
    /// What the diagonal would read between these legs at the design angle.
    pub diagonal_needed: Length,
    /// What the diagonal reads less what it should.
    pub diagonal_error: Shift,
    /// The standard error of that difference, in feet.
    pub diagonal_error_sigma: Sigma,
    /// How far the second side runs.
    pub run: Length,
    /// How far the far end of the run stands off its line: positive where the
    /// corner is too open.
    pub run_error: Shift,
    /// The standard error of that, in feet.
    pub run_error_sigma: Sigma,
    /// How far it may be off.
    pub tolerance: Length,
    /// In is square (or at the design angle), out is not.
    pub verdict: Verdict,
    /// How to move the second side, `None` where it is right to a part in 10^9.
    pub correction: Option<Correction>,
    /// For an undecided corner: the largest legs for the space at hand, if they
    /// tell more than the ones that were taped.
    pub fitting_legs: Option<LegPlan>,
    /// For an undecided corner: the smallest legs that would tell, if a 100 ft
    /// tape reaches.
    pub deciding_legs: Option<LegPlan>,
}

/// How to bring a corner to its angle: the corner and the first leg stay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Correction {
    /// Which way the second leg turns.
    pub way: Way,
    /// How far to move the end of the second leg, at its length.
    pub at_leg_end: Length,
    /// How far to move the far end of the run.
    pub at_run_end: Length,
}

/// Which way the end of the second leg goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Way {
    /// Toward the end of the first leg: the corner is too open.
    Toward,
    /// Away from the end of the first leg: the corner is too tight.
    Away,
}

/// Legs to tape instead, and the diagonal that makes the design angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LegPlan {
    /// The first leg.
    pub first_leg: Length,
    /// The second leg.
    pub second_leg: Length,
    /// The diagonal between them at the design angle.
    pub diagonal: Length,
    /// The standard error of the angle from them, in radians.
    pub angle_sigma: Sigma,
    /// Whether they would tell, if the corner is off by what it seems now.
    pub decides: bool,
}

/// Why a corner can't be checked.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SquareError {
    /// The readings make no triangle.
    #[error(transparent)]
    Triangle(#[from] TriangleError),
    /// The design angle is not one of a corner.
    #[error(
        "the design angle is {degrees} degrees: a corner has more than 0 and less than 180; for an outside corner give 360 less its angle"
    )]
    Design {
        /// The angle, in degrees.
        degrees: f64,
    },
    /// A length that must be more than zero.
    #[error("{what} is zero: give a length, or leave it out")]
    Zero {
        /// What it is the length of.
        what: &'static str,
    },
}

impl CornerCheck {
    /// A check for a right angle with the default tape and tolerance.
    #[must_use]
    pub fn new(first_leg: Length, second_leg: Length, diagonal: Length) -> Self {
        Self {
            first_leg,
            second_leg,
            diagonal,
            design: Angle::RIGHT,
            run: None,
            tolerance: None,
            space: None,
            tape: TapeModel::default(),
        }
    }

    /// Returns what the readings say: the angle, how sure it is, how far the run
    /// will be off, and what to do about it.
    ///
    /// The verdict is on the far end of the run: square where the error with
    /// its 95 % stays within the tolerance, out where it lies beyond with its
    /// 95 %, else undecided.
    ///
    /// # Errors
    ///
    /// A [`SquareError`]: readings that make no triangle are refused with the
    /// gap, and so is a design angle that no corner has.
    pub fn judged(&self) -> Result<CornerAnswer, SquareError> {
        self.check()?;
        let angle = angle_of_sides(self.first_leg, self.second_leg, self.diagonal)?;
        let needed = third_side(self.first_leg, self.second_leg, self.design);
        let (angle_sigma, diagonal_error_sigma) = self.sigmas();

        let run = self.run.unwrap_or(self.second_leg);
        let allowed = run.feet() * TOLERANCE_RATIO;
        let tolerance = self.tolerance.unwrap_or(Length::saturating(allowed));
        let error = angle - self.design;
        let off_line = run.feet() * error.radians().sin();
        let run_sigma = angle_sigma.times(run.feet());
        // Judged as an arc: past a right angle the distance off the line shrinks
        // again while the corner gets worse.
        let verdict = if angle_sigma.value().is_some() {
            judge(run.feet() * error.radians(), run_sigma, tolerance.feet())
        } else {
            self.judged_by_limits(tolerance.feet() / run.feet())
        };

        let needed_sigma = sigma_that_decides(error, tolerance, run);
        let undecided = verdict == Verdict::Undecided;
        let plans = || LegPlans {
            design: self.design,
            seems: angle,
            tape: self.tape,
            needed_sigma,
        };
        Ok(CornerAnswer {
            angle,
            angle_sigma,
            angle_error: error,
            diagonal_needed: needed,
            diagonal_error: self.diagonal.minus(needed),
            diagonal_error_sigma,
            run,
            run_error: Shift::saturating(off_line),
            run_error_sigma: run_sigma,
            tolerance,
            verdict,
            correction: self.correction(error, run),
            fitting_legs: self
                .space
                .filter(|_| undecided)
                .and_then(|space| plans().largest_within(space))
                .filter(|plan| plan.angle_sigma.value() < angle_sigma.value()),
            deciding_legs: undecided.then(|| plans().smallest_that_decides()).flatten(),
        })
    }

    fn check(&self) -> Result<(), SquareError> {
        let degrees = self.design.degrees();
        if !(degrees > 0.0 && degrees < 180.0) {
            return Err(SquareError::Design { degrees });
        }
        for (what, length) in [
            ("the run", self.run),
            ("the tolerance", self.tolerance),
            ("the space", self.space),
        ] {
            if length == Some(Length::ZERO) {
                return Err(SquareError::Zero { what });
            }
        }
        Ok(())
    }

    /// The standard errors of the angle and of the diagonal's error; unknown
    /// where the three readings lie in one line, give or take a hair.
    fn sigmas(&self) -> (Sigma, Sigma) {
        let readings = [self.first_leg, self.second_leg, self.diagonal];
        let design = self.design;
        let answers = propagate(
            &readings.map(Length::feet),
            &self.tape.covariance(&readings),
            |feet| {
                let [first, second, diagonal] = lengths(feet)?;
                let angle = angle_of_sides(first, second, diagonal)?;
                let error = diagonal.minus(third_side(first, second, design));
                Ok::<_, SquareError>(vec![angle.radians(), error.feet()])
            },
        );
        answers.map_or((Sigma::UNKNOWN, Sigma::UNKNOWN), |answers: Estimate| {
            (answers.sigma(0), answers.sigma(1))
        })
    }

    /// The verdict where the readings lie in one line, and no standard error tells
    /// how far the angle may be off: by the angles at both ends of what the
    /// diagonal may be, all three readings off together.
    fn judged_by_limits(&self, allowed: f64) -> Verdict {
        let readings = [self.first_leg, self.second_leg, self.diagonal];
        let sigmas = readings.map(|reading| self.tape.sigma(reading).value());
        let [Some(first), Some(second), Some(diagonal)] = sigmas else {
            return Verdict::Undecided;
        };
        let doubt = NORMAL_95 * (first + second + diagonal);
        let (a, b) = (self.first_leg.feet(), self.second_leg.feet());
        let errors = [-doubt, doubt].map(|off| {
            let reads = (self.diagonal.feet() + off).clamp((a - b).abs(), a + b);
            let diagonal = Length::saturating(reads);
            angle_of_sides(self.first_leg, self.second_leg, diagonal)
                .map(|angle| (angle - self.design).radians())
        });
        match errors {
            [Ok(least), Ok(_)] if least > allowed => Verdict::Out,
            [Ok(_), Ok(most)] if most < -allowed => Verdict::Out,
            [Ok(least), Ok(most)] if -allowed <= least && most <= allowed => Verdict::In,
            _ => Verdict::Undecided,
        }
    }

    fn correction(&self, error: Angle, run: Length) -> Option<Correction> {
        let turn = error.radians();
        if turn.abs() < 1e-9 {
            return None;
        }
        // The ends swing about the corner, so each moves along a chord.
        let chord = |radius: Length| radius.feet() * 2.0 * (turn.abs() / 2.0).sin();
        Some(Correction {
            way: if turn > 0.0 { Way::Toward } else { Way::Away },
            at_leg_end: Length::saturating(chord(self.second_leg)),
            at_run_end: Length::saturating(chord(run)),
        })
    }
}

/// The standard error of an angle below which a corner that is off by `error`
/// can be told from one at its tolerance.
fn sigma_that_decides(error: Angle, tolerance: Length, run: Length) -> Option<f64> {
    let room = (error.radians().abs() - tolerance.feet() / run.feet()).abs();
    (room > 0.0).then_some(room / NORMAL_95)
}

/// Legs that could be taped at a corner.
struct LegPlans {
    design: Angle,
    /// The angle the corner seems to have: larger legs would show it again, with
    /// the doubt that belongs to it.
    seems: Angle,
    tape: TapeModel,
    needed_sigma: Option<f64>,
}

impl LegPlans {
    /// The legs of the unit triangle, in feet: 3 and 4 for a right angle, whose
    /// diagonal is then a whole number too; else equal legs.
    fn unit(&self) -> (f64, f64) {
        if (self.design - Angle::RIGHT).radians().abs() < 1e-9 {
            (3.0, 4.0)
        } else {
            (1.0, 1.0)
        }
    }

    fn plan(&self, multiple: f64) -> Option<LegPlan> {
        let (first, second) = self.unit();
        let first_leg = Length::from_feet(first * multiple).ok()?;
        let second_leg = Length::from_feet(second * multiple).ok()?;
        let diagonal = third_side(first_leg, second_leg, self.design);
        let shown = third_side(first_leg, second_leg, self.seems);
        let check = CornerCheck {
            design: self.design,
            tape: self.tape,
            ..CornerCheck::new(first_leg, second_leg, shown)
        };
        let angle_sigma = check.sigmas().0;
        let enough = |(sigma, needed): (f64, f64)| sigma <= needed;
        Some(LegPlan {
            first_leg,
            second_leg,
            diagonal,
            angle_sigma,
            decides: angle_sigma
                .value()
                .zip(self.needed_sigma)
                .is_some_and(enough),
        })
    }

    /// The largest multiple that a long tape still spans.
    fn tape_multiple(&self) -> f64 {
        let (first, second) = self.unit();
        let legs = (Length::saturating(first), Length::saturating(second));
        let diagonal = third_side(legs.0, legs.1, self.design).feet();
        TAPE_FEET / diagonal.max(first).max(second)
    }

    fn largest_within(&self, space: Length) -> Option<LegPlan> {
        let (first, second) = self.unit();
        let most = (space.feet() / first.max(second)).min(self.tape_multiple());
        // Whole feet are easy to hold; in a tight place quarters are taken.
        let multiple = if most >= 1.0 {
            (most + 1e-9).floor()
        } else {
            (most * 4.0 + 1e-9).floor() / 4.0
        };
        (multiple > 0.0).then(|| self.plan(multiple)).flatten()
    }

    /// The doubt of the angle shrinks in proportion to the legs, as the scale of
    /// the tape cancels; so the multiple is a quotient, rounded up.
    fn smallest_that_decides(&self) -> Option<LegPlan> {
        let one = self.plan(1.0)?.angle_sigma.value()?;
        let multiple = (one / self.needed_sigma?).ceil().max(1.0);
        if multiple > self.tape_multiple() {
            return None;
        }
        // The quotient may fall short by rounding alone.
        [multiple, multiple + 1.0]
            .into_iter()
            .filter_map(|multiple| self.plan(multiple))
            .find(|plan| plan.decides)
    }
}

/// Three numbers of feet as lengths.
fn lengths(feet: &[f64]) -> Result<[Length; 3], SquareError> {
    let mut lengths = [Length::ZERO; 3];
    for (length, feet) in lengths.iter_mut().zip(feet) {
        let zero = |_: QuantityError| SquareError::Zero { what: "a reading" };
        *length = Length::from_feet(*feet).map_err(zero)?;
    }
    Ok(lengths)
}
