//! Found property pins and their records.

use crate::estimate::{Ellipse, Sigma};
use crate::length::Length;
use crate::point::{Displacement, Point};

/// A found pin: which corner it is for, where it stands, and its record.
///
/// # Examples
///
/// ```
/// use fence_geom::{Pin, Point, Sigma};
///
/// let pin = Pin::new("A", Point::new(0.0, 0.0)?, Sigma::known(0.02)?);
/// assert!(!pin.is_accepted());
/// assert_eq!(pin.corner_place(), Point::ORIGIN);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Pin {
    /// The name of the corner it is for.
    pub corner: String,
    /// Where the pin itself stands.
    pub at: Point,
    /// The standard error of each of its coordinates, in feet.
    pub sigma: Sigma,
    /// The standard ellipse of its place, where more is known than one standard
    /// error for both coordinates; it then goes before `sigma`.
    pub ellipse: Option<Ellipse>,
    /// How it was located.
    pub located: PinLocated,
    /// Where it stands with regard to the corner.
    pub stands: PinStands,
    /// What was found: rod, pipe, nail, stone.
    pub kind: Option<String>,
    /// Its diameter.
    pub size: Option<Length>,
    /// What its cap says.
    pub cap: Option<String>,
    /// How deep its top lies.
    pub depth: Option<Length>,
    /// Whether it looks disturbed; `None` if nobody looked.
    pub disturbed: Option<bool>,
    /// Who accepted it as the corner: then it is the corner, unmoved.
    pub accepted_by: Option<String>,
}

/// Where a pin stands with regard to its corner.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum PinStands {
    /// On the corner.
    #[default]
    OnCorner,
    /// Beside it, as a witness: the way from the pin to the corner is stated.
    Witness {
        /// The way from the pin to the corner.
        to_corner: Displacement,
    },
}

/// How a pin was located.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum PinLocated {
    /// Measured: by a surveyor, by tapes, by a receiver of survey grade.
    #[default]
    Measured,
    /// By a phone or a map, good to yards: it helps to search, and never enters a
    /// fit.
    ByPhone,
}

impl Pin {
    /// A pin on its corner, accepted by nobody, with nothing else on record.
    pub fn new(corner: impl Into<String>, at: Point, sigma: Sigma) -> Self {
        Self {
            corner: corner.into(),
            at,
            sigma,
            ellipse: None,
            located: PinLocated::Measured,
            stands: PinStands::OnCorner,
            kind: None,
            size: None,
            cap: None,
            depth: None,
            disturbed: None,
            accepted_by: None,
        }
    }

    /// Returns where the corner is by this pin.
    #[must_use]
    pub fn corner_place(&self) -> Point {
        match self.stands {
            PinStands::OnCorner => self.at,
            PinStands::Witness { to_corner } => self.at + to_corner,
        }
    }

    /// Returns whether somebody accepted the pin as the corner.
    #[must_use]
    pub const fn is_accepted(&self) -> bool {
        self.accepted_by.is_some()
    }

    /// Returns true if its place may enter a fit.
    #[must_use]
    pub fn is_measured(&self) -> bool {
        self.located == PinLocated::Measured
    }

    /// Returns the variances of northing and easting and their covariance, in
    /// square feet; `None` where the doubt is unknown.
    #[must_use]
    pub fn variances(&self) -> Option<[f64; 3]> {
        match self.ellipse {
            Some(ellipse) => Some(ellipse.variances()),
            None => self
                .sigma
                .value()
                .map(|sigma| [sigma * sigma, sigma * sigma, 0.0]),
        }
    }
}
