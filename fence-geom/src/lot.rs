//! The lot on the ground: found pins where there are any, the deed for the rest.

use crate::fit::{Fit, FitError, FitRules, FittedCorner, Standing, fit};
use crate::pins::Pin;
use crate::point::Point;
use crate::ring::{Corner, Ring, RingError, Side};
use crate::traverse::Traverse;

/// A lot and what each of its corners stands on.
///
/// A found pin is its corner, unmoved. Corners without a pin are where the deed
/// puts them: fitted to the pins where there are two or more, moved with the
/// single pin where there is one, and in the deed's own frame where there is
/// none.
#[derive(Clone, Debug, PartialEq)]
pub struct Lot {
    ring: Ring,
    standings: Vec<Standing>,
    fit: Option<Fit>,
}

/// Why deed and pins don't make a lot.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LotError {
    /// Neither deed nor enough pins.
    #[error(
        "there is no deed, and {pins} pins make no lot: give the calls of the deed, or the pins of at least three corners"
    )]
    TooFewPins {
        /// How many pins there are.
        pins: usize,
    },
    /// Deed and pins don't go together.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// The corners make no ring.
    #[error("the corners make no lot")]
    Ring(#[from] RingError),
}

/// Returns the lot of a deed's corners and found pins.
///
/// Without a deed the pins are the corners, in the order given, and the sides are
/// straight; with one, its curves keep their central angles from corner to corner. A
/// pin located by phone is no pin of the lot.
///
/// # Errors
///
/// A [`LotError`] that names the pins or corners at fault.
///
/// # Examples
///
/// ```
/// use fence_geom::{Pin, Point, Sigma, lot};
///
/// let mut pins = [("A", 0.0, 0.0), ("B", 100.0, 0.0), ("C", 100.0, 60.0)]
///     .into_iter()
///     .map(|(name, n, e)| Ok(Pin::new(name, Point::new(n, e)?, Sigma::UNKNOWN)))
///     .collect::<Result<Vec<_>, fence_geom::QuantityError>>()?;
/// pins[0].accepted_by = Some("the coordinator".into());
/// pins[1].accepted_by = Some("the coordinator".into());
/// let lot = lot(None, &pins)?;
/// assert!(lot.is_pinned(0)); // A-B
/// assert!(!lot.is_pinned(1)); // B-C: nobody accepted C
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn lot(record: Option<&Traverse>, pins: &[Pin]) -> Result<Lot, LotError> {
    let measured = pins.iter().filter(|pin| pin.is_measured());
    let pins: Vec<Pin> = measured.cloned().collect();
    let Some(record) = record else {
        return pinned_lot(&pins);
    };
    let (record, sides) = (record.corners(), record.sides());
    match pins.as_slice() {
        [] => of_corners(
            record
                .iter()
                .map(|corner| (corner.clone(), Standing::Predicted)),
            sides,
        ),
        [single] => moved_lot(record, sides, single),
        pins => fitted_lot(record, sides, pins),
    }
}

/// The lot whose corners are the pins.
fn pinned_lot(pins: &[Pin]) -> Result<Lot, LotError> {
    if pins.len() < 3 {
        return Err(LotError::TooFewPins { pins: pins.len() });
    }
    let corners = pins.iter().map(|pin| {
        let corner = Corner {
            name: pin.corner.clone(),
            at: pin.corner_place(),
        };
        (corner, standing(pin))
    });
    of_corners(corners, vec![Side::Line; pins.len()])
}

/// The deed's corners, moved so that one lies on its pin.
fn moved_lot(record: &[Corner], sides: Vec<Side>, pin: &Pin) -> Result<Lot, LotError> {
    let at = |corner: &Corner| -> Option<Point> {
        let known = record.iter().find(|known| known.name == pin.corner)?;
        Some(corner.at + (pin.corner_place() - known.at))
    };
    let corners = record.iter().map(|corner| {
        let at = at(corner)?;
        let standing = if corner.name == pin.corner {
            standing(pin)
        } else {
            Standing::Predicted
        };
        let name = corner.name.clone();
        Some((Corner { name, at }, standing))
    });
    let corners: Option<Vec<_>> = corners.collect();
    let corners = corners.ok_or_else(|| FitError::NoSuchCorner {
        name: pin.corner.clone(),
        corners: record
            .iter()
            .map(|corner| corner.name.as_str())
            .collect::<Vec<_>>()
            .join(", "),
    })?;
    of_corners(corners, sides)
}

/// The deed's corners fitted to the pins.
fn fitted_lot(record: &[Corner], sides: Vec<Side>, pins: &[Pin]) -> Result<Lot, LotError> {
    let fit = fit(record, pins, &FitRules::default())?;
    let corners = fit.corners.iter().map(|corner| {
        let place = Corner {
            name: corner.name.clone(),
            at: corner.at,
        };
        (place, corner.standing)
    });
    let lot = of_corners(corners, sides)?;
    Ok(Lot {
        fit: Some(fit),
        ..lot
    })
}

fn of_corners(
    corners: impl IntoIterator<Item = (Corner, Standing)>,
    sides: Vec<Side>,
) -> Result<Lot, LotError> {
    let (corners, standings): (Vec<Corner>, Vec<Standing>) = corners.into_iter().unzip();
    Ok(Lot {
        ring: Ring::new(corners, sides)?,
        standings,
        fit: None,
    })
}

const fn standing(pin: &Pin) -> Standing {
    if pin.is_accepted() {
        Standing::Accepted
    } else {
        Standing::Found
    }
}

impl Lot {
    /// Returns the lot lines.
    #[must_use]
    pub const fn ring(&self) -> &Ring {
        &self.ring
    }

    /// Returns what each corner stands on, in order.
    #[must_use]
    pub fn standings(&self) -> &[Standing] {
        &self.standings
    }

    /// Returns the fit of the deed to the pins, where there are both and two
    /// pins at least.
    #[must_use]
    pub const fn fit(&self) -> Option<&Fit> {
        self.fit.as_ref()
    }

    /// Returns what the fit says of corner `i`, where there is a fit.
    #[must_use]
    pub fn fitted(&self, i: usize) -> Option<&FittedCorner> {
        self.fit.as_ref()?.corners.get(i)
    }

    /// Returns true if both corners of side `i` are accepted pins.
    #[must_use]
    pub fn is_pinned(&self, i: usize) -> bool {
        let n = self.standings.len();
        [i % n, (i + 1) % n]
            .into_iter()
            .all(|corner| self.standings.get(corner) == Some(&Standing::Accepted))
    }
}
