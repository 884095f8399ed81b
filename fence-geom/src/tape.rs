//! What a tape reading is worth.

use crate::estimate::{Covariance, EstimateError, Sigma};
use crate::length::Length;
use crate::standards::{TAPE_READING, TAPE_SCALE};

/// The doubt of tape readings, in two parts.
///
/// - `reading`: in feet, of its own for each reading: holding, pulling and
///   reading the tape.
/// - `scale`: a ratio, one unknown that all readings of the tape share: its
///   length, temperature, pull. It cancels where readings are only compared.
///
/// # Examples
///
/// ```
/// use fence_geom::{Length, TapeModel};
///
/// let tape = TapeModel::default();
/// let sigma = tape.sigma(Length::from_feet(50.0)?);
/// // Root of (1/8 in)^2 + (50 ft / 5,000)^2.
/// assert!((sigma.value().unwrap_or(0.0) - 0.01444).abs() < 1e-5);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TapeModel {
    /// The standard error of one reading, in feet.
    pub reading: Sigma,
    /// The standard error of the tape's length, as a ratio.
    pub scale: Sigma,
}

impl Default for TapeModel {
    /// 1/8 in and 1:5,000 (common practice, no source).
    fn default() -> Self {
        Self {
            reading: Sigma::computed(TAPE_READING.feet()),
            scale: Sigma::computed(TAPE_SCALE),
        }
    }
}

impl TapeModel {
    /// Returns this model with a scale of one in `n`.
    ///
    /// # Errors
    ///
    /// [`EstimateError::Sigma`] if one in `n` is no standard error.
    pub fn with_scale_one_in(self, n: f64) -> Result<Self, EstimateError> {
        Ok(Self {
            scale: Sigma::known(1.0 / n)?,
            ..self
        })
    }

    /// Returns the standard error of one reading by itself.
    #[must_use]
    pub fn sigma(&self, reading: Length) -> Sigma {
        self.reading.combined(self.scale.times(reading.feet()))
    }

    /// Returns the joint doubt of readings of the same tape.
    #[must_use]
    pub fn covariance(&self, readings: &[Length]) -> Covariance {
        let feet: Vec<f64> = readings.iter().map(|reading| reading.feet()).collect();
        Covariance::with_common_part(self.reading, self.scale, &feet)
    }
}
