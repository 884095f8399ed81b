//! The ground along a run: heights at stations, from rod readings or spot
//! heights.
//!
//! Stations are level distances from the start of the run, as plans and deeds
//! have them. Between two readings the ground is taken as straight; before the
//! first and after the last as level, which matters for half a post's width
//! only, because [`Profile::check_covers`] asks for both ends.

use crate::length::{Length, Shift};

/// How far a reading may stand past the end of a run, and the ends past the
/// first and last reading, in feet: 1/8 in, what a tape shows.
const AT_END_FEET: f64 = 0.125 / 12.0;

/// The height of the ground at one station.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundReading {
    /// From the start of the run.
    pub station: Shift,
    /// Above the datum of the readings, whatever that is.
    pub height: Shift,
}

/// The ground along a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Invariant: two or more, each station after the one before.
    readings: Vec<GroundReading>,
}

/// Why readings make no profile, or not that of a run.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ProfileError {
    /// Too few readings.
    #[error(
        "the ground has {count} readings, and needs two at least: read it at both ends of the run"
    )]
    TooFew {
        /// How many there are.
        count: usize,
    },
    /// A station that is not after the one before it.
    #[error(
        "reading {number} of the ground is at {station:.3} ft, not past the one before it at {before:.3} ft: give them in order, one for each place"
    )]
    NotIncreasing {
        /// The reading, counted from 1.
        number: usize,
        /// Its station, in feet.
        station: f64,
        /// The station before, in feet.
        before: f64,
    },
    /// A rise that a tape along the ground has no room for.
    #[error(
        "between {from:.3} ft and {to:.3} ft along the ground it rises or falls {rise:.3} ft, which is not less than the tape between them: check the rod and the tape"
    )]
    SteeperThanTape {
        /// The reading before, along the ground, in feet.
        from: f64,
        /// The reading, along the ground, in feet.
        to: f64,
        /// The difference in height, in feet.
        rise: f64,
    },
    /// A reading that is not on the run.
    #[error(
        "the ground is read at {station:.3} ft, and the run goes from 0 to {length:.3} ft: measure stations from the start of the run"
    )]
    OutsideRun {
        /// The station, in feet.
        station: f64,
        /// The run, in feet.
        length: f64,
    },
    /// An end of the run without a reading.
    #[error(
        "the ground is read from {from:.3} ft to {to:.3} ft, and the run goes from 0 to {length:.3} ft: read it at both ends too"
    )]
    EndNotRead {
        /// The first reading, in feet.
        from: f64,
        /// The last reading, in feet.
        to: f64,
        /// The run, in feet.
        length: f64,
    },
}

/// Returns the height of a leveling instrument's line of sight: the height of
/// the bench mark plus the rod reading on it (the backsight).
///
/// The ground is lower than that line by what the rod reads on it, so a greater
/// reading is lower ground: see [`Profile::from_rod`].
///
/// Source: U.S. Navy training manual "Engineering Aid Basics", differential
/// leveling (height of instrument). Status: from memory.
#[must_use]
pub fn height_of_instrument(bench_mark: Shift, backsight: Length) -> Shift {
    bench_mark + backsight.forward()
}

impl Profile {
    /// Creates a profile from heights above any datum.
    ///
    /// # Errors
    ///
    /// [`ProfileError`] for fewer than two readings, or stations out of order.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{GroundReading, Profile, Shift};
    ///
    /// let feet = Shift::from_feet;
    /// let ground = Profile::new(vec![
    ///     GroundReading { station: feet(0.0)?, height: feet(0.0)? },
    ///     GroundReading { station: feet(40.0)?, height: feet(-3.0)? },
    /// ])?;
    /// assert!((ground.height(feet(10.0)?).feet() + 0.75).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn new(readings: Vec<GroundReading>) -> Result<Self, ProfileError> {
        if readings.len() < 2 {
            return Err(ProfileError::TooFew {
                count: readings.len(),
            });
        }
        let pairs = readings.iter().zip(readings.iter().skip(1));
        for (i, (before, reading)) in pairs.enumerate() {
            if reading.station <= before.station {
                return Err(ProfileError::NotIncreasing {
                    number: i + 2,
                    station: reading.station.feet(),
                    before: before.station.feet(),
                });
            }
        }
        Ok(Self { readings })
    }

    /// Creates a profile from rod readings below the line of sight of a leveling
    /// instrument that stands in one place.
    ///
    /// # Errors
    ///
    /// As [`Profile::new`].
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{Length, Profile, Shift, height_of_instrument};
    ///
    /// let (at, rod) = (Shift::from_feet, Length::from_feet);
    /// let sight = height_of_instrument(at(100.0)?, rod(4.2)?);
    /// let ground = Profile::from_rod(sight, [(at(0.0)?, rod(3.2)?), (at(50.0)?, rod(8.2)?)])?;
    /// assert!((ground.height(at(0.0)?).feet() - 101.0).abs() < 1e-12);
    /// assert!((ground.height(at(50.0)?).feet() - 96.0).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn from_rod(
        line_of_sight: Shift,
        readings: impl IntoIterator<Item = (Shift, Length)>,
    ) -> Result<Self, ProfileError> {
        let reading = |(station, rod): (Shift, Length)| GroundReading {
            station,
            height: line_of_sight - rod.forward(),
        };
        Self::new(readings.into_iter().map(reading).collect())
    }

    /// Creates a profile from readings whose stations were taped along the
    /// ground: between two of them the level distance is
    /// `sqrt(taped^2 - rise^2)`. The first keeps its station.
    ///
    /// # Errors
    ///
    /// As [`Profile::new`], and [`ProfileError::SteeperThanTape`].
    pub fn from_taped_along_ground(readings: Vec<GroundReading>) -> Result<Self, ProfileError> {
        let taped = Self::new(readings)?;
        let mut level = Vec::with_capacity(taped.readings.len());
        level.extend(taped.readings.first().copied());
        let mut station = taped.start().station;
        for (before, reading) in taped.pieces() {
            let tape = (reading.station - before.station).feet();
            let rise = (reading.height - before.height).feet();
            if rise.abs() >= tape {
                return Err(ProfileError::SteeperThanTape {
                    from: before.station.feet(),
                    to: reading.station.feet(),
                    rise,
                });
            }
            station = station + Shift::saturating(((tape - rise) * (tape + rise)).sqrt());
            level.push(GroundReading {
                station,
                height: reading.height,
            });
        }
        Self::new(level)
    }

    /// Returns the readings in order.
    #[must_use]
    pub fn readings(&self) -> &[GroundReading] {
        &self.readings
    }

    /// Refuses a profile that is not read over the whole of a run, or is read
    /// past it, by more than 1/8 in.
    ///
    /// # Errors
    ///
    /// [`ProfileError::OutsideRun`] or [`ProfileError::EndNotRead`].
    pub fn check_covers(&self, run: Length) -> Result<(), ProfileError> {
        let (from, to) = (self.start().station.feet(), self.end().station.feet());
        let length = run.feet();
        let on_run = -AT_END_FEET..=length + AT_END_FEET;
        if let Some(station) = [from, to].into_iter().find(|at| !on_run.contains(at)) {
            return Err(ProfileError::OutsideRun { station, length });
        }
        if from > AT_END_FEET || to < length - AT_END_FEET {
            return Err(ProfileError::EndNotRead { from, to, length });
        }
        Ok(())
    }

    /// Returns the height of the ground at a station.
    #[must_use]
    pub fn height(&self, station: Shift) -> Shift {
        let s = station.feet();
        if s <= self.start().station.feet() {
            return self.start().height;
        }
        self.pieces()
            .find(|(_, after)| s <= after.station.feet())
            .map_or(self.end().height, |(before, after)| {
                let share = (s - before.station.feet()) / (after.station - before.station).feet();
                let rise = (after.height - before.height).feet();
                Shift::saturating(before.height.feet() + share * rise)
            })
    }

    /// Returns what a tape laid along the ground from station 0 reads at a level
    /// station.
    ///
    /// # Examples
    ///
    /// On a rise of 3 ft in 4 ft, a tape along the ground reads 5 ft:
    ///
    /// ```
    /// use fence_geom::{GroundReading, Profile, Shift};
    ///
    /// let feet = Shift::from_feet;
    /// let ground = Profile::new(vec![
    ///     GroundReading { station: feet(0.0)?, height: feet(0.0)? },
    ///     GroundReading { station: feet(4.0)?, height: feet(3.0)? },
    /// ])?;
    /// assert!((ground.along_ground(feet(4.0)?).feet() - 5.0).abs() < 1e-12);
    /// assert!((ground.level(feet(2.5)?).feet() - 2.0).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn along_ground(&self, station: Shift) -> Shift {
        let along = self.run_from_first(station.feet()) - self.run_from_first(0.0);
        Shift::saturating(along)
    }

    /// Returns the level station at which a tape laid along the ground from
    /// station 0 reads `along`.
    #[must_use]
    pub fn level(&self, along: Shift) -> Shift {
        let wanted = along.feet() + self.run_from_first(0.0);
        let start = self.start().station.feet();
        if wanted <= 0.0 {
            return Shift::saturating(start + wanted);
        }
        let mut taped = 0.0;
        for (before, after) in self.pieces() {
            let (level, slope) = piece(before, after);
            if wanted <= taped + slope {
                let share = (wanted - taped) / slope;
                return Shift::saturating(before.station.feet() + share * level);
            }
            taped += slope;
        }
        Shift::saturating(self.end().station.feet() + (wanted - taped))
    }

    /// Returns the steepest grade, as rise over level distance, whichever way.
    #[must_use]
    pub fn steepest(&self) -> f64 {
        self.pieces()
            .map(|(before, after)| {
                let rise = (after.height - before.height).feet();
                (rise / (after.station - before.station).feet()).abs()
            })
            .fold(0.0, f64::max)
    }

    /// Returns the lowest height that was read.
    #[must_use]
    pub fn lowest(&self) -> Shift {
        let heights = self.readings.iter().map(|reading| reading.height);
        heights
            .reduce(|a, b| if b < a { b } else { a })
            .unwrap_or(Shift::ZERO)
    }

    /// Returns the ground from one station to another: both of them, and the
    /// readings in between.
    #[must_use]
    pub fn between(&self, from: Shift, to: Shift) -> Vec<GroundReading> {
        let at = |station| GroundReading {
            station,
            height: self.height(station),
        };
        let inside = |reading: &&GroundReading| from < reading.station && reading.station < to;
        std::iter::once(at(from))
            .chain(self.readings.iter().filter(inside).copied())
            .chain(std::iter::once(at(to)))
            .collect()
    }

    /// Along the ground from the first reading, negative before it.
    fn run_from_first(&self, station: f64) -> f64 {
        let before_start = station - self.start().station.feet();
        if before_start <= 0.0 {
            return before_start;
        }
        let mut taped = 0.0;
        for (before, after) in self.pieces() {
            let (level, slope) = piece(before, after);
            let into = station - before.station.feet();
            if into <= level {
                return taped + slope * into / level;
            }
            taped += slope;
        }
        taped + (station - self.end().station.feet())
    }

    fn pieces(&self) -> impl Iterator<Item = (GroundReading, GroundReading)> {
        let after = self.readings.iter().skip(1);
        self.readings
            .iter()
            .zip(after)
            .map(|(before, after)| (*before, *after))
    }

    fn start(&self) -> GroundReading {
        self.readings
            .first()
            .copied()
            .unwrap_or(GroundReading::NONE)
    }

    fn end(&self) -> GroundReading {
        self.readings.last().copied().unwrap_or(GroundReading::NONE)
    }
}

impl GroundReading {
    /// Stands in where a profile would have no reading, which none has.
    const NONE: Self = Self {
        station: Shift::ZERO,
        height: Shift::ZERO,
    };
}

/// How long a straight piece of ground is, level and along it.
fn piece(before: GroundReading, after: GroundReading) -> (f64, f64) {
    let level = (after.station - before.station).feet();
    let rise = (after.height - before.height).feet();
    (level, level.hypot(rise))
}
