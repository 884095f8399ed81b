//! State plane zones of 1983, by number and by name.

mod table;

use std::fmt;

use super::{
    Datum, GeodesyError, LambertConic, LonLat, ObliqueMercator, Projection, TransverseMercator,
};
use crate::angle::Angle;
use crate::length::METERS_PER_FOOT;
use crate::point::Point;
use crate::reading::{ReadError, Reading};
use crate::units::FootKind;

use table::ZONES;

/// Degrees and minutes.
type DegreesMinutes = (i16, u8);

/// A row of the table; its columns are told there.
#[derive(Debug, PartialEq)]
struct Row(
    u16,
    &'static str,
    &'static str,
    Option<FootKind>,
    Kind,
    DegreesMinutes,
    DegreesMinutes,
    f64,
    f64,
    [f64; 4],
);

/// The projection of a zone.
#[derive(Debug, PartialEq)]
enum Kind {
    /// Transverse Mercator: the scale on the central meridian is one part in so many
    /// less than 1; 0 stands for 1 itself.
    Across(u32),
    /// Lambert conformal conic: the northern and the southern standard parallel.
    Cone(DegreesMinutes, DegreesMinutes),
    /// Oblique Mercator: one part in 10,000, the axis at the arc tangent of -3/4.
    Oblique,
}

/// A zone of the State Plane Coordinate System of 1983.
///
/// # Examples
///
/// ```
/// use fence_geom::{Datum, FootKind, LonLat, StatePlaneZone};
///
/// let zone = StatePlaneZone::of_number(2201).ok_or("no such zone")?;
/// assert_eq!(zone.to_string(), "Minnesota North (2201)");
/// assert_eq!(zone.foot(), Some(FootKind::UsSurvey));
/// let grid = zone.projection(Datum::Nad83)?;
/// let at = grid.to_plane(LonLat::new(-93.1, 47.5)?)?;
/// // On the central meridian the easting is 800,000 m.
/// assert!((at.east() * 0.3048 - 800_000.0).abs() < 1e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StatePlaneZone {
    row: &'static Row,
}

/// A grid by its name: a state plane zone or a zone of the Universal Transverse
/// Mercator grid, northern hemisphere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GridZone {
    /// A state plane zone.
    StatePlane(StatePlaneZone),
    /// A UTM zone, 1 to 60.
    Utm(u8),
}

/// How far past the box of a zone a place may lie, in degrees: a survey may run over a
/// state line.
const PAST_BOX: f64 = 1.0;

/// A place so little past the edge, in degrees, is on it.
const ON_EDGE: f64 = 1e-9;

impl StatePlaneZone {
    /// Returns all zones, in the order of their numbers.
    pub fn all() -> impl Iterator<Item = Self> {
        ZONES.iter().map(|row| Self { row })
    }

    /// Returns the zone of a number, which states and the National Geodetic Survey
    /// use; `None` if there is no such zone.
    #[must_use]
    pub fn of_number(number: u16) -> Option<Self> {
        Self::all().find(|zone| zone.number() == number)
    }

    /// Returns the zones whose box holds a place; boxes of neighbors overlap.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{LonLat, StatePlaneZone};
    ///
    /// let zones = StatePlaneZone::holding(LonLat::new(-150.0, 64.0)?);
    /// assert!(zones.iter().any(|zone| zone.number() == 5004));
    /// # Ok::<(), fence_geom::GeodesyError>(())
    /// ```
    #[must_use]
    pub fn holding(at: LonLat) -> Vec<Self> {
        Self::all()
            .filter(|zone| zone.past_box(at) <= ON_EDGE)
            .collect()
    }

    /// Returns its number.
    #[must_use]
    pub const fn number(self) -> u16 {
        self.row.0
    }

    /// Returns its state.
    #[must_use]
    pub const fn state(self) -> &'static str {
        self.row.1
    }

    /// Returns its name within the state, empty where the state is one zone.
    #[must_use]
    pub const fn name(self) -> &'static str {
        self.row.2
    }

    /// Returns the foot of its plane coordinates; `None` where only meters are laid
    /// down.
    #[must_use]
    pub const fn foot(self) -> Option<FootKind> {
        self.row.3
    }

    /// Returns the box that holds it: west, south, east and north, in degrees; one
    /// zone's west is beyond the date line.
    #[must_use]
    pub const fn box_deg(self) -> [f64; 4] {
        self.row.9
    }

    /// Returns its grid. A place more than a degree past the box of the zone is
    /// refused by it.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::Failed`] with the words of the projection library.
    pub fn projection(self, datum: Datum) -> Result<Projection, GeodesyError> {
        let Row(_, _, _, _, kind, meridian, latitude, east_m, north_m, _) = self.row;
        let (degrees, minutes) = *meridian;
        let origin = LonLat::new(-decimal((degrees, minutes)), decimal(*latitude))?;
        let at_origin =
            Point::new(north_m / METERS_PER_FOOT, east_m / METERS_PER_FOOT).map_err(|error| {
                GeodesyError::Failed {
                    words: error.to_string(),
                }
            })?;
        let grid = match kind {
            Kind::Across(parts) => Projection::transverse_mercator(
                datum,
                &TransverseMercator {
                    origin,
                    scale: less_one_part_in(*parts),
                    at_origin,
                },
            ),
            Kind::Cone(north, south) => Projection::lambert(
                datum,
                &LambertConic {
                    origin,
                    parallels: [*north, *south].map(|p| Angle::of_radians(decimal(p).to_radians())),
                    at_origin,
                },
            ),
            Kind::Oblique => Projection::oblique_mercator(
                datum,
                &ObliqueMercator {
                    center: origin,
                    axis: Angle::of_radians((-0.75_f64).atan()),
                    scale: less_one_part_in(10_000),
                    at_natural_origin: at_origin,
                },
            ),
        };
        Ok(grid?.within(self))
    }

    /// Refuses a place that is no place of this zone.
    pub(super) fn check(self, at: LonLat) -> Result<(), GeodesyError> {
        if self.past_box(at) <= PAST_BOX {
            return Ok(());
        }
        let others: Vec<String> = Self::holding(at).iter().map(Self::to_string).collect();
        Err(GeodesyError::OutsideStateZone {
            at,
            zone: self.to_string(),
            others: if others.is_empty() {
                "no zone of 1983".to_owned()
            } else {
                others.join(" or ")
            },
        })
    }

    /// How far past its box a place lies, in degrees; 0 or less within.
    fn past_box(self, at: LonLat) -> f64 {
        let [west, south, east, north] = self.row.9;
        let half = (east - west).rem_euclid(360.0) / 2.0;
        let across = at.degrees_east_of(west + half).abs() - half;
        let along = (south - at.latitude()).max(at.latitude() - north);
        across.max(along)
    }
}

impl fmt::Display for StatePlaneZone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.name().is_empty() {
            write!(f, "{} ({:04})", self.state(), self.number())
        } else {
            write!(f, "{} {} ({:04})", self.state(), self.name(), self.number())
        }
    }
}

impl GridZone {
    /// Returns its grid.
    ///
    /// # Errors
    ///
    /// [`GeodesyError::Failed`] with the words of the projection library;
    /// [`GeodesyError::Zone`] if there is no such UTM zone.
    pub fn projection(self, datum: Datum) -> Result<Projection, GeodesyError> {
        match self {
            Self::StatePlane(zone) => zone.projection(datum),
            Self::Utm(zone) => Projection::utm(datum, zone),
        }
    }

    /// Returns the foot of its coordinates; `None` where they are in meters.
    #[must_use]
    pub const fn foot(self) -> Option<FootKind> {
        match self {
            Self::StatePlane(zone) => zone.foot(),
            Self::Utm(_) => None,
        }
    }
}

impl fmt::Display for GridZone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::StatePlane(zone) => zone.fmt(f),
            Self::Utm(zone) => write!(f, "UTM {zone}"),
        }
    }
}

/// Reads a grid by its name: the number of a state plane zone, its state and name, or
/// UTM and a number.
///
/// # Errors
///
/// [`ReadError`] where the text names no zone, with those that begin alike.
///
/// # Examples
///
/// ```
/// use fence_geom::read_grid_zone;
///
/// for text in ["2201", "Minnesota North", "minnesota north zone", "MINNESOTA N"] {
///     assert_eq!(read_grid_zone(text)?.value.to_string(), "Minnesota North (2201)");
/// }
/// assert_eq!(read_grid_zone("UTM 15")?.value.to_string(), "UTM 15");
/// assert!(read_grid_zone("Minnesota").is_err());
/// # Ok::<(), fence_geom::ReadError>(())
/// ```
pub fn read_grid_zone(text: &str) -> Result<Reading<GridZone>, ReadError> {
    let plain = text.trim().to_ascii_lowercase();
    let words: Vec<&str> = plain
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty() && *word != "zone")
        .collect();
    let refused = |problem: String| ReadError {
        text: text.to_owned(),
        wanted: "a grid zone",
        at: 0..text.len(),
        problem,
        example: "2201, Minnesota North, or UTM 15",
    };
    if let [number] = words.as_slice()
        && let Ok(number) = number.parse()
    {
        return StatePlaneZone::of_number(number)
            .map(|zone| Reading::sure(GridZone::StatePlane(zone)))
            .ok_or_else(|| refused(format!("no state plane zone has the number {number}")));
    }
    if let ["utm", zone] = words.as_slice() {
        let digits = zone.trim_end_matches('n');
        return match digits.parse() {
            Ok(zone) if (1..=60).contains(&zone) => Ok(Reading::sure(GridZone::Utm(zone))),
            _ => Err(refused("UTM zones are 1 to 60".to_owned())),
        };
    }
    let fitting: Vec<StatePlaneZone> = StatePlaneZone::all()
        .filter(|zone| is_called(*zone, &words))
        .collect();
    match fitting.as_slice() {
        [zone] => Ok(Reading::sure(GridZone::StatePlane(*zone))),
        [] => Err(refused("no state plane zone has that name".to_owned())),
        several => {
            // "Texas North" is a zone, and begins another one's name.
            let exact = several.iter().find(|zone| words_of(**zone) == words);
            exact
                .map(|zone| Reading::sure(GridZone::StatePlane(*zone)))
                .ok_or_else(|| {
                    let names: Vec<String> =
                        several.iter().map(StatePlaneZone::to_string).collect();
                    refused(format!("it may be {}", names.join(" or ")))
                })
        }
    }
}

/// Whether the words begin, one by one, the words of a zone's name.
fn is_called(zone: StatePlaneZone, words: &[&str]) -> bool {
    let name = words_of(zone);
    !words.is_empty()
        && words.len() <= name.len()
        && name
            .iter()
            .zip(words)
            .all(|(name, word)| name.starts_with(word))
}

fn words_of(zone: StatePlaneZone) -> Vec<String> {
    let words = zone.state().split(' ').chain(zone.name().split(' '));
    words
        .filter(|word| !word.is_empty())
        .map(str::to_ascii_lowercase)
        .collect()
}

fn less_one_part_in(parts: u32) -> f64 {
    if parts == 0 {
        1.0
    } else {
        1.0 - 1.0 / f64::from(parts)
    }
}

fn decimal((degrees, minutes): DegreesMinutes) -> f64 {
    f64::from(degrees) + f64::from(minutes) / 60.0
}
