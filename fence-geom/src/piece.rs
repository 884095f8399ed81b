//! Straight and circular pieces of a boundary, and where two of them meet.
//!
//! A displacement here is a place, counted from a local origin near the ring, so
//! that state plane coordinates lose nothing.

use std::f64::consts::TAU;

use crate::point::Displacement;

/// A directed piece of a boundary.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Piece {
    pub(crate) from: Displacement,
    pub(crate) to: Displacement,
    /// The unit displacement along the chord.
    along: Displacement,
    /// The length along the piece, in feet.
    pub(crate) length: f64,
    pub(crate) bow: Option<Bow>,
}

/// What makes a piece circular.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bow {
    pub(crate) center: Displacement,
    pub(crate) radius: f64,
    /// The angle at the center in radians, positive to the right.
    pub(crate) sweep: f64,
}

/// A place that two pieces share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Contact {
    /// They run through each other, at these stations in feet.
    Cross { at: Displacement, on: [f64; 2] },
    /// An end of one, 0 or 1, lies on the other at a station.
    End { of: usize, end: usize, station: f64 },
}

impl Contact {
    /// Where it is, of the two pieces that meet.
    pub(crate) fn place(&self, pieces: [&Piece; 2]) -> Displacement {
        let [first, second] = pieces;
        match *self {
            Self::Cross { at, .. } => at,
            Self::End { of, end, .. } => {
                let whose = if of == 0 { first } else { second };
                if end == 0 { whose.from } else { whose.to }
            }
        }
    }
}

impl Bow {
    /// The same arc from its other end.
    pub(crate) fn reversed(self) -> Self {
        Self {
            sweep: -self.sweep,
            ..self
        }
    }
}

impl Piece {
    pub(crate) fn line(from: Displacement, to: Displacement) -> Self {
        let way = to - from;
        let length = size(way);
        let along = if length > 0.0 {
            way * (1.0 / length)
        } else {
            Displacement::default()
        };
        Self {
            from,
            to,
            along,
            length,
            bow: None,
        }
    }

    pub(crate) fn arc(from: Displacement, to: Displacement, bow: Bow) -> Self {
        Self {
            length: bow.radius * bow.sweep.abs(),
            bow: Some(bow),
            ..Self::line(from, to)
        }
    }

    /// The arc that turns by `sweep` radians, positive to the right, from end to
    /// end.
    pub(crate) fn sweeping(from: Displacement, to: Displacement, sweep: f64) -> Self {
        let chord = to - from;
        let (sin, cos) = (sweep / 2.0).sin_cos();
        // Half the chord over the radius is the sine of half the angle, so the
        // center lies half the chord times the cotangent off the chord.
        let center = from + chord * 0.5 + chord.turned_right() * (0.5 * cos / sin);
        let radius = size(chord) / (2.0 * sin.abs());
        Self::arc(
            from,
            to,
            Bow {
                center,
                radius,
                sweep,
            },
        )
    }

    /// The unit displacements along the piece at its start and at its end.
    pub(crate) fn tangents(&self) -> [Displacement; 2] {
        let Some(bow) = self.bow else {
            return [self.along; 2];
        };
        let along = bow.sweep.signum() / bow.radius;
        [self.from, self.to].map(|end| (end - bow.center).turned_right() * along)
    }

    /// A straight piece moved, or a curved one made parallel, by the way at its
    /// start and the way at its end; the second must keep the sweep.
    pub(crate) fn parallel(&self, ways: [Displacement; 2], radius: f64) -> Self {
        let [first, last] = ways;
        let bow = self.bow.map(|bow| Bow { radius, ..bow });
        Self {
            from: self.from + first,
            to: self.to + last,
            length: bow.map_or(self.length, |bow| bow.radius * bow.sweep.abs()),
            bow,
            ..*self
        }
    }

    /// The corners of the upright box around the piece: least and greatest
    /// northing and easting.
    pub(crate) fn bounds(&self) -> [Displacement; 2] {
        let (a, b) = (self.from, self.to);
        let mut low = Displacement::of_feet(a.north().min(b.north()), a.east().min(b.east()));
        let mut high = Displacement::of_feet(a.north().max(b.north()), a.east().max(b.east()));
        if let Some(bow) = self.bow {
            let r = bow.radius;
            for way in [(r, 0.0), (-r, 0.0), (0.0, r), (0.0, -r)] {
                let far = bow.center + Displacement::of_feet(way.0, way.1);
                // The arc is what of the circle lies to one hand of its chord.
                if self.along.cross(far - self.from) * bow.sweep <= 0.0 {
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
    pub(crate) fn station(&self, place: Displacement) -> f64 {
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
    pub(crate) fn at(&self, station: f64) -> Displacement {
        let Some(bow) = self.bow else {
            return self.from + self.along * station;
        };
        let (sin, cos) = (station / bow.radius * bow.sweep.signum()).sin_cos();
        let first = self.from - bow.center;
        bow.center + first * cos + first.turned_right() * sin
    }

    /// The unit displacement along the piece at a station.
    pub(crate) fn way_at(&self, station: f64) -> Displacement {
        match self.bow {
            None => self.along,
            Some(bow) => {
                (self.at(station) - bow.center).turned_right() * (bow.sweep.signum() / bow.radius)
            }
        }
    }

    /// How far a place is from the nearest place of the piece, in feet.
    pub(crate) fn distance(&self, place: Displacement) -> f64 {
        if (0.0..=self.length).contains(&self.station(place)) {
            return self.off(place).abs();
        }
        size(place - self.from).min(size(place - self.to))
    }

    /// How far a place is off the line or circle that carries the piece: positive
    /// to the right.
    fn off(&self, place: Displacement) -> f64 {
        match self.bow {
            None => self.along.cross(place - self.from),
            Some(bow) => {
                let out = place - bow.center;
                (bow.radius - size(out)) * bow.sweep.signum()
            }
        }
    }

    /// Reports every place that two pieces share, ends included; `near` feet
    /// count as touching. Of a stretch that they share, its ends.
    pub(crate) fn meet(&self, other: &Self, near: f64, found: impl FnMut(Contact)) {
        self.meet_apart(other, near, |_| false, found);
    }

    /// As [`Piece::meet`], without the ends that are known to be of both.
    pub(crate) fn meet_apart(
        &self,
        other: &Self,
        near: f64,
        known: impl Fn(Displacement) -> bool,
        mut found: impl FnMut(Contact),
    ) {
        let straight = self.bow.is_none() && other.bow.is_none();
        let apart = |off: [f64; 2]| {
            let [from, to] = off;
            straight && (from.min(to) > near || from.max(to) < -near)
        };
        let of_other = [self.off(other.from), self.off(other.to)];
        if apart(of_other) {
            return;
        }
        let of_self = [other.off(self.from), other.off(self.to)];
        if apart(of_self) {
            return;
        }
        let mut ends = |of: usize, whose: &Self, on: &Self, off: [f64; 2]| {
            for (end, (place, off)) in [whose.from, whose.to].into_iter().zip(off).enumerate() {
                if off.abs() <= near && !known(place) {
                    let station = on.station(place);
                    if (-near..=on.length + near).contains(&station) {
                        found(Contact::End { of, end, station });
                    }
                }
            }
        };
        ends(1, other, self, of_other);
        ends(0, self, other, of_self);
        if straight {
            let [from, to] = of_other;
            // What lies along the other crosses it by rounding only.
            let along = |off: [f64; 2]| off.iter().all(|off| off.abs() <= near);
            if from * to < 0.0 && !along(of_other) && !along(of_self) {
                let on_other = other.length * (from / (from - to));
                self.inner(other, other.at(on_other), near, &mut found);
            }
        } else {
            self.cross(other, near, &mut found);
        }
    }

    /// Whether two pieces with an end in common are straight and bend there, so
    /// that they share no other place.
    pub(crate) fn fork(&self, other: &Self, near: f64) -> bool {
        let straight = self.bow.is_none() && other.bow.is_none();
        let off = self.along.cross(other.along).abs() * self.length.min(other.length);
        straight && off > near
    }

    /// Reports a place unless it is at an end.
    fn inner(&self, other: &Self, at: Displacement, near: f64, found: &mut impl FnMut(Contact)) {
        let within = |piece: &Self| {
            let on = piece.station(at);
            (on > near && on < piece.length - near).then_some(on)
        };
        // The straight one first: its station is the cheaper to find.
        let on = if other.bow.is_none() {
            within(other).and_then(|second| Some([within(self)?, second]))
        } else {
            within(self).and_then(|first| Some([first, within(other)?]))
        };
        if let Some(on) = on {
            found(Contact::Cross { at, on });
        }
    }

    /// Reports where two pieces of which one at least is curved run through each
    /// other.
    fn cross(&self, other: &Self, near: f64, found: &mut impl FnMut(Contact)) {
        let places = match (self.bow, other.bow) {
            (None, Some(bow)) => self.chord_of(bow, near),
            (Some(bow), None) => other.chord_of(bow, near),
            (Some(a), Some(b)) => circles_meet(a, b, near),
            (None, None) => None,
        };
        for at in places.into_iter().flatten() {
            self.inner(other, at, near, found);
        }
    }

    /// Where the lines or circles that carry two pieces meet, nearest to a place.
    pub(crate) fn carriers_meet(&self, other: &Self, near: Displacement) -> Option<Displacement> {
        let nearest = |places: [Displacement; 2]| {
            let off = |at: &Displacement| {
                let way = *at - near;
                way.dot(way)
            };
            places.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)))
        };
        match (self.bow, other.bow) {
            (None, None) => {
                let on_self = -other.off(self.from) / other.along.cross(self.along);
                on_self.is_finite().then(|| self.at(on_self))
            }
            (None, Some(bow)) => nearest(self.chord_of(bow, 0.0)?),
            (Some(bow), None) => nearest(other.chord_of(bow, 0.0)?),
            (Some(a), Some(b)) => nearest(circles_meet(a, b, 0.0)?),
        }
    }

    /// Where the line through this piece enters and leaves a circle; none where it
    /// goes less than `near` into it.
    fn chord_of(&self, bow: Bow, near: f64) -> Option<[Displacement; 2]> {
        let to_center = bow.center - self.from;
        let (foot, off) = (self.along.dot(to_center), self.along.cross(to_center).abs());
        if off >= bow.radius - near {
            return None;
        }
        let half = ((bow.radius - off) * (bow.radius + off)).sqrt();
        Some([foot - half, foot + half].map(|on| self.from + self.along * on))
    }
}

/// The length in feet of a way within a sketch, which is far from overflow.
pub(crate) fn size(way: Displacement) -> f64 {
    way.dot(way).sqrt()
}

/// Where two circles cross; none where they overlap by less than `near`.
fn circles_meet(a: Bow, b: Bow, near: f64) -> Option<[Displacement; 2]> {
    let way = b.center - a.center;
    let apart = size(way);
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
