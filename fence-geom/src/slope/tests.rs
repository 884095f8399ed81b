//! The whole-number parts.

use super::lines::{Ground, Lines};
use super::{SlopeError, SlopeSection};
use crate::length::{Length, Shift};
use crate::product::SlopeLimits;
use crate::profile::{GroundReading, Profile};

fn at(feet: f64) -> Shift {
    Shift::from_feet(feet).expect("a shift")
}

fn profile(readings: &[(f64, f64)]) -> Profile {
    let reading = |&(station, height): &(f64, f64)| GroundReading {
        station: at(station),
        height: at(height),
    };
    Profile::new(readings.iter().map(reading).collect()).expect("a profile")
}

fn lines(profile: &Profile, grade: f64, work: &mut i64) -> Result<Lines, SlopeError> {
    let post = |feet| (at(feet), Length::ZERO);
    let section = SlopeSection::between(post(0.0), post(8.0), false);
    let ground = Ground::new(profile, &section, 1, profile.lowest())?;
    Lines::new(ground, &SlopeLimits::default(), Some(grade), work)
}

#[test]
fn level_ground_permits_the_lines_between_the_gap_limits() {
    let lines = lines(&profile(&[(0.0, 0.0), (8.0, 0.0)]), 0.0, &mut 0).expect("lines");
    let [sheaf] = lines.sheaves.as_slice() else {
        panic!("one rise only: {:?}", lines.sheaves);
    };
    // 1 in and 4 in in sixteenths.
    assert_eq!((sheaf.rise, sheaf.lowest, sheaf.highest), (0, 16, 64));
}

#[test]
fn ground_too_steep_leaves_the_lines_of_least_excess() {
    // 1 ft in 8 ft, racked by half of that: 1 in least and 6 in of wedge are 3 in
    // over the limit, with no play.
    let lines = lines(&profile(&[(0.0, 0.0), (8.0, 1.0)]), 0.5 / 8.0, &mut 0).expect("lines");
    let [sheaf] = lines.sheaves.as_slice() else {
        panic!("one rise only: {:?}", lines.sheaves);
    };
    assert_eq!(sheaf.rise, 96);
    assert_eq!(sheaf.lowest, sheaf.highest);
    // The lowest ground is the datum; the line is 1 in over the high end.
    assert_eq!(sheaf.lowest + sheaf.rise, 192 + 16);
}

#[test]
fn work_is_limited() {
    let ground = profile(&[(0.0, 0.0), (8.0, 900.0)]);
    let mut work = 399_999_000;
    assert_eq!(
        lines(&ground, 1000.0, &mut work).err(),
        Some(SlopeError::TooMuchWork)
    );
}
