//! Directed straight and circular pieces, and where two of them meet.
//!
//! A displacement here is a place, counted from a local origin near the ring, so
//! that state plane coordinates lose nothing.

use std::f64::consts::TAU;

use crate::point::Displacement;

/// A directed piece of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Piece {
    pub(super) from: Displacement,
    pub(super) to: Displacement,
    /// The unit displacement along the chord.
    along: Displacement,
    /// The length along the piece, in feet.
    pub(super) length: f64,
    pub(super) bow: Option<Bow>,
}

/// What makes a piece circular.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Bow {
    pub(super) center: Displacement,
    pub(super) radius: f64,
    /// The angle at the center in radians, positive to the right.
    pub(super) sweep: f64,
}

/// A place that two pieces share, by its station on each, in feet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Contact {
    pub(super) at: Displacement,
    pub(super) on: [f64; 2],
}

impl Bow {
    /// The same arc from its other end.
    pub(super) fn reversed(self) -> Self {
        Self {
            sweep: -self.sweep,
            ..self
        }
    }
}

impl Piece {
    pub(super) fn line(from: Displacement, to: Displacement) -> Self {
        let way = to - from;
        let length = way.north().hypot(way.east());
        Self {
            from,
            to,
            along: way.unit().unwrap_or_default(),
            length,
            bow: None,
        }
    }

    pub(super) fn arc(from: Displacement, to: Displacement, bow: Bow) -> Self {
        Self {
            length: bow.radius * bow.sweep.abs(),
            bow: Some(bow),
            ..Self::line(from, to)
        }
    }

    /// The corners of the upright box around the piece: least and greatest
    /// northing and easting.
    pub(super) fn bounds(&self) -> [Displacement; 2] {
        let (a, b) = (self.from, self.to);
        let mut low = Displacement::of_feet(a.north().min(b.north()), a.east().min(b.east()));
        let mut high = Displacement::of_feet(a.north().max(b.north()), a.east().max(b.east()));
        if let Some(bow) = self.bow {
            let r = bow.radius;
            for way in [(r, 0.0), (-r, 0.0), (0.0, r), (0.0, -r)] {
                let far = bow.center + Displacement::of_feet(way.0, way.1);
                if self.station(far) <= self.length {
                    low = Displacement::of_feet(
                        low.north().min(far.north()),
                        low.east().min(far.east()),
                    );
                    high = Displacement::of_feet(
                        high.north().max(far.north()),
                        high.east().max(far.east()),
                    );
                }
            }
        }
        [low, high]
    }

    /// How far along the piece the foot of a place is, in feet; on an arc from 0
    /// up to the length around the whole circle, less a little around its start.
    pub(super) fn station(&self, place: Displacement) -> f64 {
        let Some(bow) = self.bow else {
            return (place - self.from).dot(self.along);
        };
        let (first, here) = (self.from - bow.center, place - bow.center);
        let turned = first.cross(here).atan2(first.dot(here)) * bow.sweep.signum();
        // Half of what the arc leaves open counts as before its start.
        let open = TAU - bow.sweep.abs();
        let turned = if turned < -open / 2.0 {
            turned + TAU
        } else {
            turned
        };
        turned * bow.radius
    }

    /// The place at a station.
    pub(super) fn at(&self, station: f64) -> Displacement {
        let Some(bow) = self.bow else {
            return self.from + self.along * station;
        };
        let (sin, cos) = (station / bow.radius * bow.sweep.signum()).sin_cos();
        let first = self.from - bow.center;
        bow.center + first * cos + first.turned_right() * sin
    }

    /// How far a place is off the line or circle that carries the piece: positive
    /// to the right.
    fn off(&self, place: Displacement) -> f64 {
        match self.bow {
            None => self.along.cross(place - self.from),
            Some(bow) => {
                let out = place - bow.center;
                (bow.radius - out.north().hypot(out.east())) * bow.sweep.signum()
            }
        }
    }

    fn reaches(&self, station: f64, near: f64) -> bool {
        (-near..=self.length + near).contains(&station)
    }

    /// Reports every place that two pieces share, ends included; `near` feet
    /// count as touching. Of a stretch that they share, its ends.
    pub(super) fn meet(&self, other: &Self, near: f64, mut found: impl FnMut(Contact)) {
        let off = [self.off(other.from), self.off(other.to)];
        if self.bow.is_none() && other.bow.is_none() {
            let apart = off[0].min(off[1]) > near || off[0].max(off[1]) < -near;
            if apart {
                return;
            }
        }
        for (off, end, on_other) in [(off[0], other.from, 0.0), (off[1], other.to, other.length)] {
            if off.abs() <= near {
                let station = self.station(end);
                if self.reaches(station, near) {
                    found(Contact {
                        at: end,
                        on: [station, on_other],
                    });
                }
            }
        }
        let off = [other.off(self.from), other.off(self.to)];
        for (off, end, on_self) in [(off[0], self.from, 0.0), (off[1], self.to, self.length)] {
            if off.abs() <= near {
                let station = other.station(end);
                if other.reaches(station, near) {
                    found(Contact {
                        at: end,
                        on: [on_self, station],
                    });
                }
            }
        }
        self.cross(other, near, &mut found);
    }

    /// Reports where the pieces run through each other.
    fn cross(&self, other: &Self, near: f64, found: &mut impl FnMut(Contact)) {
        let mut inner = |at: Displacement, on_self: f64, on_other: f64| {
            if on_self > near
                && on_self < self.length - near
                && on_other > near
                && on_other < other.length - near
            {
                found(Contact {
                    at,
                    on: [on_self, on_other],
                });
            }
        };
        match (self.bow, other.bow) {
            (None, None) => {
                let (from, to) = (self.off(other.from), self.off(other.to));
                if from * to < 0.0 {
                    let on_other = other.length * (from / (from - to));
                    let at = other.at(on_other);
                    inner(at, self.station(at), on_other);
                }
            }
            (None, Some(bow)) => {
                for on_self in self.chord_of(bow, near).into_iter().flatten() {
                    let at = self.at(on_self);
                    inner(at, on_self, other.station(at));
                }
            }
            (Some(bow), None) => {
                for on_other in other.chord_of(bow, near).into_iter().flatten() {
                    let at = other.at(on_other);
                    inner(at, self.station(at), on_other);
                }
            }
            (Some(a), Some(b)) => {
                for at in circles_meet(a, b, near).into_iter().flatten() {
                    inner(at, self.station(at), other.station(at));
                }
            }
        }
    }

    /// Where the lines or circles that carry two pieces meet, nearest to a place.
    pub(super) fn carriers_meet(&self, other: &Self, near: Displacement) -> Option<Displacement> {
        let nearest = |places: [Displacement; 2]| {
            let off = |at: &Displacement| (*at - near).length().feet();
            places.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)))
        };
        match (self.bow, other.bow) {
            (None, None) => {
                let on_self = -other.off(self.from) / other.along.cross(self.along);
                on_self.is_finite().then(|| self.at(on_self))
            }
            (None, Some(bow)) => nearest(self.chord_of(bow, 0.0)?.map(|at| self.at(at))),
            (Some(bow), None) => nearest(other.chord_of(bow, 0.0)?.map(|at| other.at(at))),
            (Some(a), Some(b)) => nearest(circles_meet(a, b, 0.0)?),
        }
    }

    /// The stations at which the line through this piece enters and leaves a
    /// circle; none where it goes less than `near` into it.
    fn chord_of(&self, bow: Bow, near: f64) -> Option<[f64; 2]> {
        let to_center = bow.center - self.from;
        let (foot, off) = (self.along.dot(to_center), self.along.cross(to_center).abs());
        if off >= bow.radius - near {
            return None;
        }
        let half = ((bow.radius - off) * (bow.radius + off)).sqrt();
        Some([foot - half, foot + half])
    }
}

/// Where two circles cross; none where they overlap by less than `near`.
fn circles_meet(a: Bow, b: Bow, near: f64) -> Option<[Displacement; 2]> {
    let way = b.center - a.center;
    let apart = way.north().hypot(way.east());
    let (sum, difference) = (a.radius + b.radius, (a.radius - b.radius).abs());
    if apart >= sum - near || apart <= difference + near {
        return None;
    }
    let along = way * (1.0 / apart);
    let foot = (apart + (a.radius - b.radius) * sum / apart) / 2.0;
    let half = ((a.radius - foot) * (a.radius + foot)).max(0.0).sqrt();
    let middle = a.center + along * foot;
    let square = along.turned_right() * half;
    Some([middle - square, middle + square])
}
