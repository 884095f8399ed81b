//! The tapes a crew pulls to search for a corner, from the pins in hand.

use super::{Fit, Standing};
use crate::length::{Length, Shift};
use crate::pins::Pin;
use crate::point::Point;
use crate::tape::TapeModel;
use crate::ties::{NoTies, Tape, TieLimits, TwoTapes, best_ties};
use crate::two_tapes::KnownPoint;

/// A tape to a place to search, and how it changes about that place.
#[derive(Clone, Debug, PartialEq)]
pub struct SearchTape {
    /// The pin it is held at.
    pub from: String,
    /// What it reads at the middle of the search.
    pub reading: Length,
    /// By how much it grows for each inch to the north: -1 to 1.
    pub per_inch_north: f64,
    /// By how much it grows for each inch to the east: -1 to 1.
    pub per_inch_east: f64,
    /// The least it reads within the search radius.
    pub least: Length,
    /// The most it reads within the search radius.
    pub most: Length,
}

/// The tapes to a corner that was not found.
#[derive(Clone, Debug, PartialEq)]
pub struct SearchTapes {
    /// The name of the corner.
    pub corner: String,
    /// The best two tapes, and a third that checks them where there is a good one;
    /// or why there are none.
    pub tapes: Result<Vec<SearchTape>, NoTies>,
}

/// Returns for each corner not found the two best tapes from the pins in hand, a
/// third that checks them, and how they change about it.
///
/// Every measured pin counts as one that a tape can be held at; `blocked`, `limits`
/// and `tape` are as in [`best_ties`]. A tape grows by the cosine of the angle
/// between its own direction and that of the step.
///
/// # Examples
///
/// ```
/// use fence_geom::{Corner, FitRules, Pin, Point, Sigma, TapeModel, TieLimits, fit, search_tapes};
///
/// let corner = |name: &str, north, east| -> Result<_, fence_geom::QuantityError> {
///     Ok(Corner { name: name.into(), at: Point::new(north, east)? })
/// };
/// let deed = [corner("A", 0.0, 0.0)?, corner("B", 0.0, 50.0)?, corner("C", 24.0, 18.0)?];
/// let pins: Vec<Pin> = deed[..2].iter().map(|c| Pin::new(&c.name, c.at, Sigma::ZERO)).collect();
/// let answer = fit(&deed, &pins, &FitRules::default())?;
/// let search = search_tapes(&answer, &pins, &[], &TieLimits::default(), &TapeModel::default());
/// let tapes = search[0].tapes.as_ref().map_err(Clone::clone)?;
/// assert_eq!(tapes[0].reading.feet(), 30.0);
/// assert!((tapes[0].per_inch_north - 0.8).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn search_tapes(
    fit: &Fit,
    pins: &[Pin],
    blocked: &[Vec<Point>],
    limits: &TieLimits,
    tape: &TapeModel,
) -> Vec<SearchTapes> {
    let in_hand: Vec<KnownPoint> = pins
        .iter()
        .filter(|pin| pin.is_measured())
        .map(|pin| KnownPoint {
            name: pin.corner.clone(),
            at: pin.at,
            sigma: pin.sigma,
        })
        .collect();
    let sought = (fit.corners.iter()).filter(|corner| corner.standing == Standing::Predicted);
    sought
        .map(|corner| SearchTapes {
            corner: corner.name.clone(),
            tapes: best_ties(corner.at, &in_hand, blocked, limits, tape).map(|tie| {
                let radius = corner.search_radius.unwrap_or(Length::ZERO);
                about(&tie, &in_hand, corner.at, radius)
            }),
        })
        .collect()
}

fn about(tie: &TwoTapes, in_hand: &[KnownPoint], at: Point, radius: Length) -> Vec<SearchTape> {
    let pulled = [&tie.first, &tie.second].into_iter().chain(&tie.check);
    let changing = |tape: &Tape| {
        let from = in_hand.iter().find(|known| known.name == tape.from)?;
        let unit = (at - from.at).unit()?;
        let shorter = tape.reading.minus(radius);
        Some(SearchTape {
            from: tape.from.clone(),
            reading: tape.reading,
            per_inch_north: unit.north(),
            per_inch_east: unit.east(),
            least: if shorter < Shift::ZERO {
                Length::ZERO
            } else {
                shorter.magnitude()
            },
            most: tape.reading + radius,
        })
    };
    pulled.filter_map(changing).collect()
}
