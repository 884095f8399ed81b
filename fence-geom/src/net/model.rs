//! A net as numbers: points by index, and rows of one observation each.

use crate::length::Length;
use crate::net::{Net, NetReading};
use crate::point::{Displacement, Point};
use crate::ring::Turn;

use super::answer::ReadingOf;
use super::error::NetError;

/// A corner from here to its supplement has a hand; nearer to straight it is a
/// point on a line.
const LEAST_CORNER_DEGREES: f64 = 1.0;

/// A net whose names have been found.
#[derive(Clone, Debug)]
pub(super) struct Model {
    pub(super) names: Vec<String>,
    pub(super) known: Vec<Known>,
    /// The readings, then the coordinates of known points, then tape scales.
    pub(super) rows: Vec<Row>,
    /// How many of the rows are readings.
    pub(super) readings: usize,
    /// For each tape, whether its scale is an unknown.
    pub(super) scales: Vec<bool>,
    pub(super) sides: Vec<Side>,
}

/// A known point; its index is that of its name.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known {
    pub(super) at: Point,
    /// Zero where it is held.
    pub(super) sigma: f64,
}

/// One observation.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub(super) of: ReadingOf,
    pub(super) geometry: Geometry,
    pub(super) observed: f64,
    pub(super) sigma: f64,
}

/// What an observation is a function of: points and tapes by index.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Geometry {
    Distance {
        from: usize,
        to: usize,
        tape: usize,
    },
    Corner {
        at: usize,
        from: usize,
        to: usize,
    },
    OnLine {
        point: usize,
        from: usize,
        to: usize,
    },
    Direction {
        from: usize,
        to: usize,
    },
    North(usize),
    East(usize),
    Scale(usize),
}

/// An unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Var {
    North(usize),
    East(usize),
    Scale(usize),
}

/// A side that was seen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    point: usize,
    from: usize,
    to: usize,
    hand: Turn,
}

/// Values of all unknowns.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Places {
    /// `None` where a point is not placed yet.
    pub(super) points: Vec<Option<Point>>,
    pub(super) scales: Vec<f64>,
}

impl Model {
    /// Finds the names of a net and checks its readings.
    pub(super) fn of(net: &Net) -> Result<Self, NetError> {
        if net.readings.is_empty() {
            return Err(NetError::Empty);
        }
        let names = names(net)?;
        let index = Names { names: &names };
        let mut rows = Vec::new();
        for (i, reading) in net.readings.iter().enumerate() {
            rows.push(row(net, &index, i, reading)?);
        }
        let readings = rows.len();
        let known = known(net, &mut rows)?;
        let scales = scales(net, &mut rows);
        let sides = sides(net, &index)?;
        Ok(Self {
            names,
            known,
            rows,
            readings,
            scales,
            sides,
        })
    }

    /// The rows that are readings.
    pub(super) fn reading_rows(&self) -> &[Row] {
        self.rows.get(..self.readings).unwrap_or_default()
    }

    pub(super) fn name(&self, point: usize) -> &str {
        self.names.get(point).map_or("", String::as_str)
    }

    /// A reading in words.
    pub(super) fn words(&self, row: &Row) -> String {
        match row.geometry {
            Geometry::Distance { from, to, .. } => {
                format!("tape {} to {}", self.name(from), self.name(to))
            }
            Geometry::Direction { from, to } => {
                format!("direction {} to {}", self.name(from), self.name(to))
            }
            Geometry::Corner { at, .. } => format!("corner at {}", self.name(at)),
            Geometry::OnLine { point, .. } => format!("{} on a line", self.name(point)),
            Geometry::North(point) | Geometry::East(point) => self.name(point).to_owned(),
            Geometry::Scale(_) => "scale of a tape".to_owned(),
        }
    }

    /// Whether a direction says where north is.
    pub(super) fn has_direction(&self) -> bool {
        let is = |row: &Row| matches!(row.geometry, Geometry::Direction { .. });
        self.rows.iter().any(is)
    }

    /// The places before anything is placed but the known points.
    pub(super) fn empty(&self) -> Places {
        let known = self.known.iter().map(|known| Some(known.at));
        let rest = self.names.len() - self.known.len();
        Places {
            points: known.chain(std::iter::repeat_n(None, rest)).collect(),
            scales: vec![0.0; self.scales.len()],
        }
    }

    /// Whether all sides whose points are placed are as they were seen.
    pub(super) fn agrees_with_sides(&self, places: &Places) -> bool {
        self.sides.iter().all(|side| side.agrees(places))
    }
}

impl Places {
    pub(super) fn at(&self, point: usize) -> Option<Point> {
        self.points.get(point).copied().flatten()
    }

    pub(super) fn put(&mut self, point: usize, at: Point) {
        if let Some(place) = self.points.get_mut(point) {
            *place = Some(at);
        }
    }

    pub(super) fn is_whole(&self) -> bool {
        self.points.iter().all(Option::is_some)
    }

    pub(super) fn scale(&self, tape: usize) -> f64 {
        self.scales.get(tape).copied().unwrap_or_default()
    }
}

impl Side {
    /// Whether it is as seen, or can't be told yet.
    fn agrees(&self, places: &Places) -> bool {
        let (Some(point), Some(from), Some(to)) = (
            places.at(self.point),
            places.at(self.from),
            places.at(self.to),
        ) else {
            return true;
        };
        let right = (to - from).cross(point - from);
        match self.hand {
            Turn::Right => right >= 0.0,
            Turn::Left => right <= 0.0,
        }
    }
}

impl Geometry {
    /// The points it is between.
    pub(super) fn points(self) -> Vec<usize> {
        match self {
            Self::Distance { from, to, .. } | Self::Direction { from, to } => vec![from, to],
            Self::Corner { at, from, to } => vec![at, from, to],
            Self::OnLine { point, from, to } => vec![point, from, to],
            Self::North(point) | Self::East(point) => vec![point],
            Self::Scale(_) => vec![],
        }
    }
}

/// The derivatives of an observation, each with its unknown.
pub(super) type Slopes = Vec<(Var, f64)>;

impl Row {
    /// Observed less computed, and the slopes of the computed value; `None` where
    /// a point is not placed.
    pub(super) fn evaluate(&self, places: &Places) -> Option<(f64, Slopes)> {
        match self.geometry {
            Geometry::Distance { from, to, tape } => {
                let way = places.at(to)? - places.at(from)?;
                let (length, unit) = (way.length().feet(), way.unit().unwrap_or_default());
                let stretch = 1.0 + places.scale(tape);
                let mut slopes = pair(from, to, unit * stretch);
                slopes.push((Var::Scale(tape), length));
                Some((self.observed - length * stretch, slopes))
            }
            Geometry::Direction { from, to } => {
                let way = places.at(to)? - places.at(from)?;
                let off = self.observed - way.azimuth().radians();
                Some((between(off), pair(from, to, turning(way))))
            }
            Geometry::Corner { at, from, to } => {
                let (a, b) = (
                    places.at(from)? - places.at(at)?,
                    places.at(to)? - places.at(at)?,
                );
                let turn = a.cross(b).atan2(a.dot(b));
                let hand = if turn < 0.0 { -1.0 } else { 1.0 };
                let mut slopes = pair(at, to, turning(b) * hand);
                slopes.extend(pair(at, from, turning(a) * -hand));
                Some((self.observed - turn.abs(), slopes))
            }
            Geometry::OnLine { point, from, to } => self.on_line(
                point,
                places.at(point)?,
                from,
                places.at(from)?,
                to,
                places.at(to)?,
            ),
            Geometry::North(point) => {
                let off = self.observed - places.at(point)?.north();
                Some((off, vec![(Var::North(point), 1.0)]))
            }
            Geometry::East(point) => {
                let off = self.observed - places.at(point)?.east();
                Some((off, vec![(Var::East(point), 1.0)]))
            }
            Geometry::Scale(tape) => Some((
                self.observed - places.scale(tape),
                vec![(Var::Scale(tape), 1.0)],
            )),
        }
    }

    /// The point's distance to the right of the line. A shift of the line's ends
    /// counts by the share of the way at which the point stands.
    fn on_line(
        &self,
        point: usize,
        at: Point,
        from: usize,
        start: Point,
        to: usize,
        end: Point,
    ) -> Option<(f64, Slopes)> {
        let line = end - start;
        let unit = line.unit()?;
        let right = unit.turned_right();
        let way = at - start;
        let share = way.dot(unit) / line.length().feet();
        let mut slopes = of(point, right);
        slopes.extend(of(from, right * (share - 1.0)));
        slopes.extend(of(to, right * -share));
        Some((self.observed - way.dot(right), slopes))
    }
}

/// Slopes by both coordinates of a point.
fn of(point: usize, slope: Displacement) -> Slopes {
    vec![
        (Var::North(point), slope.north()),
        (Var::East(point), slope.east()),
    ]
}

/// Slopes of what depends on the way from one point to another.
fn pair(from: usize, to: usize, slope: Displacement) -> Slopes {
    let mut slopes = of(to, slope);
    slopes.extend(of(from, -slope));
    slopes
}

/// How the azimuth of a way turns, clockwise, as its end moves.
fn turning(way: Displacement) -> Displacement {
    let square = way.dot(way);
    if square > 0.0 {
        way.turned_right() * (1.0 / square)
    } else {
        Displacement::default()
    }
}

/// The same angle within half a turn of zero.
fn between(angle: f64) -> f64 {
    angle.sin().atan2(angle.cos())
}

/// Known points first, then those of the readings as they come.
fn names(net: &Net) -> Result<Vec<String>, NetError> {
    let mut names: Vec<String> = Vec::new();
    let mut seen = std::collections::BTreeSet::new();
    for known in &net.known {
        if !seen.insert(known.name.as_str()) {
            return Err(NetError::KnownTwice {
                name: known.name.clone(),
            });
        }
        names.push(known.name.clone());
    }
    for name in net.readings.iter().flat_map(NetReading::names) {
        if seen.insert(name) {
            names.push(name.to_owned());
        }
    }
    Ok(names)
}

struct Names<'a> {
    names: &'a [String],
}

impl Names<'_> {
    fn find(&self, reading: &str, name: &str) -> Result<usize, NetError> {
        let place = self.names.iter().position(|other| other == name);
        place.ok_or_else(|| NetError::UnknownName {
            reading: reading.to_owned(),
            name: name.to_owned(),
        })
    }
}

fn row(net: &Net, index: &Names<'_>, i: usize, reading: &NetReading) -> Result<Row, NetError> {
    let words = reading.to_string();
    let names = reading.names();
    for (k, name) in names.iter().enumerate() {
        if names.iter().skip(k + 1).any(|other| other == name) {
            return Err(NetError::SameEnd {
                reading: words,
                name: (*name).to_owned(),
            });
        }
    }
    let find = |name: &str| index.find(&words, name);
    let (geometry, observed, sigma) = match reading {
        NetReading::Distance {
            from,
            to,
            reads,
            tape,
        } => {
            let model = net.tapes.get(*tape).ok_or_else(|| NetError::UnknownTape {
                reading: words.clone(),
                tape: *tape,
                tapes: net.tapes.len(),
            })?;
            if *reads <= Length::ZERO {
                return Err(NetError::NoLength { reading: words });
            }
            let (from, to, tape) = (find(from)?, find(to)?, *tape);
            let geometry = Geometry::Distance { from, to, tape };
            (geometry, reads.feet(), model.reading)
        }
        NetReading::Corner {
            at,
            from,
            to,
            angle,
            sigma,
        } => {
            let degrees = angle.degrees();
            if !(LEAST_CORNER_DEGREES..=180.0 - LEAST_CORNER_DEGREES).contains(&degrees) {
                return Err(NetError::Straight {
                    reading: words,
                    degrees,
                });
            }
            let (at, from, to) = (find(at)?, find(from)?, find(to)?);
            (Geometry::Corner { at, from, to }, angle.radians(), *sigma)
        }
        NetReading::OnLine {
            point,
            from,
            to,
            right,
            sigma,
        } => {
            let (point, from, to) = (find(point)?, find(from)?, find(to)?);
            (Geometry::OnLine { point, from, to }, right.feet(), *sigma)
        }
        NetReading::Direction {
            from,
            to,
            toward,
            sigma,
        } => {
            let (from, to) = (find(from)?, find(to)?);
            (Geometry::Direction { from, to }, toward.radians(), *sigma)
        }
    };
    let sigma = sigma.value().filter(|sigma| *sigma > 0.0);
    Ok(Row {
        of: ReadingOf::Reading(i),
        geometry,
        observed,
        sigma: sigma.ok_or(NetError::Weight { reading: words })?,
    })
}

/// The known points; those with a standard error add a row for each coordinate.
fn known(net: &Net, rows: &mut Vec<Row>) -> Result<Vec<Known>, NetError> {
    let mut known = Vec::new();
    for (i, point) in net.known.iter().enumerate() {
        let earlier = net.known.iter().take(i);
        if let Some(other) = earlier.into_iter().find(|other| other.at == point.at) {
            return Err(NetError::SamePlace {
                first: other.name.clone(),
                second: point.name.clone(),
            });
        }
        let sigma = point.sigma.value().ok_or_else(|| NetError::Weight {
            reading: format!("known point {}", point.name),
        })?;
        // A single known point carries the net: nothing can move it.
        if sigma > 0.0 && net.known.len() > 1 {
            for (of, geometry, observed) in [
                (
                    ReadingOf::KnownNorth(i),
                    Geometry::North(i),
                    point.at.north(),
                ),
                (ReadingOf::KnownEast(i), Geometry::East(i), point.at.east()),
            ] {
                rows.push(Row {
                    of,
                    geometry,
                    observed,
                    sigma,
                });
            }
        }
        known.push(Known {
            at: point.at,
            sigma,
        });
    }
    Ok(known)
}

/// Which tapes have a scale of their own; a known standard error adds a row.
fn scales(net: &Net, rows: &mut Vec<Row>) -> Vec<bool> {
    let mut scales = Vec::new();
    for (tape, model) in net.tapes.iter().enumerate() {
        let used = rows
            .iter()
            .any(|row| matches!(row.geometry, Geometry::Distance { tape: of, .. } if of == tape));
        let sigma = model.scale.value();
        scales.push(used && sigma != Some(0.0));
        if let Some(sigma) = sigma.filter(|sigma| used && *sigma > 0.0) {
            rows.push(Row {
                of: ReadingOf::TapeScale(tape),
                geometry: Geometry::Scale(tape),
                observed: 0.0,
                sigma,
            });
        }
    }
    scales
}

fn sides(net: &Net, index: &Names<'_>) -> Result<Vec<Side>, NetError> {
    let side = |hint: &super::SideHint| {
        let words = format!("side of {}", hint.point);
        Ok(Side {
            point: index.find(&words, &hint.point)?,
            from: index.find(&words, &hint.from)?,
            to: index.find(&words, &hint.to)?,
            hand: hint.hand,
        })
    };
    net.sides.iter().map(side).collect()
}

impl std::fmt::Display for NetReading {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Distance { from, to, .. } => write!(f, "tape {from} to {to}"),
            Self::Corner { at, from, to, .. } => write!(f, "corner at {at} from {from} to {to}"),
            Self::OnLine {
                point, from, to, ..
            } => write!(f, "{point} on the line {from} to {to}"),
            Self::Direction { from, to, .. } => write!(f, "direction {from} to {to}"),
        }
    }
}
