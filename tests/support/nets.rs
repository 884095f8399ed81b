//! Simulated nets: true places, and readings with errors as the tape model has
//! them. All of it is invented.

use fence_geom::{
    CheckedReading, KnownPoint, Length, Net, NetAnswer, NetReading, Point, SideHint, Sigma,
    TapeModel, Turn, adjust_net,
};

use crate::Draws;

/// A standardized residual that one honest reading in a thousand exceeds (Baarda's
/// level; the 0.9995 quantile of the normal distribution, from memory).
const SUSPECT_FROM: f64 = 3.2905;

/// A net whose true places are known; its readings are true.
#[derive(Clone, Debug)]
pub struct TrueNet {
    /// The net.
    pub net: Net,
    /// The true places.
    pub places: Vec<(String, Point)>,
}

/// What many simulated nets came to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    /// Points whose a-priori 95 % ellipse held the truth.
    pub in_ellipse: u32,
    /// Points whose search radius did.
    pub in_radius: u32,
    /// Points that were looked at.
    pub points: u32,
    /// Tapes whose test was past its limit.
    pub alarms: u32,
    /// Tapes that were looked at.
    pub tapes: u32,
    /// Nets whose readings went together.
    pub fitting: u32,
    /// Nets.
    pub nets: u32,
}

/// A share in parts of one.
#[must_use]
pub fn share(part: u32, of: u32) -> f64 {
    f64::from(part) / f64::from(of)
}

impl TrueNet {
    /// A net of true readings: tapes between the named pairs, side hints from the
    /// true places, the first `known` points known.
    ///
    /// # Panics
    ///
    /// If a pair names no place.
    #[must_use]
    pub fn of(
        places: &[(&str, f64, f64)],
        known: usize,
        sigma: Sigma,
        pairs: &[(&str, &str)],
        side: Option<[&str; 3]>,
    ) -> Self {
        let at = |name: &str| {
            let place = places
                .iter()
                .find(|place| place.0 == name)
                .expect("a place");
            Point::new(place.1, place.2).expect("in range")
        };
        let known = places.iter().take(known).map(|(name, ..)| KnownPoint {
            name: (*name).to_owned(),
            at: at(name),
            sigma,
        });
        let side = side.map(|[point, from, to]| SideHint {
            point: point.to_owned(),
            from: from.to_owned(),
            to: to.to_owned(),
            hand: if (at(to) - at(from)).cross(at(point) - at(from)) > 0.0 {
                Turn::Right
            } else {
                Turn::Left
            },
        });
        Self {
            net: Net {
                known: known.collect(),
                readings: pairs
                    .iter()
                    .map(|(from, to)| NetReading::Distance {
                        from: (*from).to_owned(),
                        to: (*to).to_owned(),
                        reads: at(from).distance(at(to)),
                        tape: 0,
                    })
                    .collect(),
                tapes: vec![TapeModel::default()],
                sides: side.into_iter().collect(),
            },
            places: places
                .iter()
                .map(|(name, ..)| ((*name).to_owned(), at(name)))
                .collect(),
        }
    }

    /// A back yard: two known pins, five points, fourteen tapes.
    ///
    /// # Panics
    ///
    /// Never: its figures are in range.
    #[must_use]
    pub fn yard() -> Self {
        Self::of(
            &[
                ("A", 0.0, 0.0),
                ("B", 0.0, 82.5),
                ("house SW", 41.2, 14.3),
                ("house SE", 41.2, 46.3),
                ("oak", 63.0, 70.0),
                ("C", 118.4, 83.1),
                ("D", 119.0, 1.2),
            ],
            2,
            Sigma::known(0.02).expect("a standard error"),
            &[
                ("A", "house SW"),
                ("A", "house SE"),
                ("B", "house SW"),
                ("B", "house SE"),
                ("house SW", "house SE"),
                ("house SE", "oak"),
                ("B", "oak"),
                ("house SW", "oak"),
                ("house SW", "D"),
                ("house SE", "D"),
                ("oak", "D"),
                ("house SE", "C"),
                ("oak", "C"),
                ("D", "C"),
            ],
            Some(["house SW", "A", "B"]),
        )
    }

    /// A field of stakes, a foot or two off a grid of 20 ft, each taped to its
    /// neighbors along both ways and one diagonal.
    #[must_use]
    pub fn field(columns: u32, rows: u32) -> Self {
        let mut draws = Draws::from(7);
        let name = |x: u32, y: u32| format!("{x}-{y}");
        let mut places = Vec::new();
        let mut pairs = Vec::new();
        for y in 0..rows {
            for x in 0..columns {
                let off = [draws.even(), draws.even()];
                places.push((
                    name(x, y),
                    20.0 * f64::from(y) + off[0],
                    20.0 * f64::from(x) + off[1],
                ));
                if x > 0 {
                    pairs.push((name(x - 1, y), name(x, y)));
                }
                if y > 0 {
                    pairs.push((name(x, y - 1), name(x, y)));
                }
                if x > 0 && y > 0 {
                    pairs.push((name(x - 1, y - 1), name(x, y)));
                    pairs.push((name(x, y - 1), name(x - 1, y)));
                }
            }
        }
        let places: Vec<(&str, f64, f64)> = places
            .iter()
            .map(|(name, n, e)| (name.as_str(), *n, *e))
            .collect();
        let pairs: Vec<(&str, &str)> = pairs
            .iter()
            .map(|(a, b)| (a.as_str(), b.as_str()))
            .collect();
        Self::of(&places, 2, Sigma::ZERO, &pairs, Some(["0-1", "0-0", "1-0"]))
    }

    /// The net with errors in its readings and its known points, of one stretch
    /// for the tape.
    ///
    /// # Panics
    ///
    /// If a standard error is not known.
    #[must_use]
    pub fn misread(&self, draws: &mut Draws) -> Net {
        let mut net = self.net.clone();
        let tape = net.tapes[0];
        let stretch = 1.0 + tape.scale.value().expect("known") * draws.normal();
        for reading in &mut net.readings {
            if let NetReading::Distance { reads, .. } = reading {
                let error = tape.reading.value().expect("known") * draws.normal();
                *reads = Length::from_feet(reads.feet() * stretch + error).expect("in range");
            }
        }
        for known in &mut net.known {
            let sigma = known.sigma.value().expect("known");
            let (north, east) = (draws.normal() * sigma, draws.normal() * sigma);
            known.at =
                Point::new(known.at.north() + north, known.at.east() + east).expect("in range");
        }
        net
    }

    /// Adjusts a misread net.
    ///
    /// # Panics
    ///
    /// If it has not one answer.
    #[must_use]
    pub fn adjusted(net: &Net) -> NetAnswer {
        let mut answers = adjust_net(net).expect("an answer").answers;
        assert_eq!(answers.len(), 1, "one answer");
        answers.remove(0)
    }

    /// Simulates many nets with errors and counts how they come out.
    #[must_use]
    pub fn tally(&self, nets: u32, seed: u64) -> Tally {
        let mut draws = Draws::from(seed);
        let mut tally = Tally::default();
        for _ in 0..nets {
            let net = self.misread(&mut draws);
            let answer = Self::adjusted(&net);
            tally.nets += 1;
            tally.fitting += u32::from(answer.fits());
            for (name, truth) in &self.places {
                let (held, near) = holds(&answer, name, *truth);
                tally.points += 1;
                tally.in_ellipse += u32::from(held);
                tally.in_radius += u32::from(near);
            }
            for reading in answer.readings.iter().take(net.readings.len()) {
                tally.tapes += 1;
                tally.alarms += u32::from(alarms(reading));
            }
        }
        tally
    }

    /// The share of nets in which the test of a reading finds an error as large as
    /// it says it can find, over all readings in turn.
    ///
    /// # Panics
    ///
    /// If nothing checks a reading.
    #[must_use]
    pub fn found(&self, nets: u32, seed: u64) -> f64 {
        let mut draws = Draws::from(seed);
        let clean = Self::adjusted(&self.net);
        let (mut found, mut sought) = (0, 0);
        for i in (0..self.net.readings.len()).cycle().take(nets as usize) {
            let error = clean.readings[i].detectable.expect("checked");
            let mut net = self.misread(&mut draws);
            if let NetReading::Distance { reads, .. } = &mut net.readings[i] {
                *reads = Length::from_feet(reads.feet() + error).expect("in range");
            }
            sought += 1;
            found += u32::from(alarms(&Self::adjusted(&net).readings[i]));
        }
        share(found, sought)
    }
}

fn alarms(reading: &CheckedReading) -> bool {
    reading.standardized.is_some_and(|w| w.abs() > SUSPECT_FROM)
}

/// Whether a point's 95 % ellipse holds the truth, and whether its search radius
/// does. A point without doubt is where it is.
fn holds(answer: &NetAnswer, name: &str, truth: Point) -> (bool, bool) {
    let point = answer.point(name).expect("a point");
    let off = truth - point.at;
    let along = fence_geom::Displacement::polar(
        point.ellipse.azimuth(),
        Length::from_feet(1.0).expect("in range"),
    );
    let (major, minor) = (
        point.ellipse.semi_major_95().feet(),
        point.ellipse.semi_minor_95().feet(),
    );
    let (x, y) = (off.dot(along) / major, off.cross(along) / minor);
    (
        x * x + y * y <= 1.0,
        off.length() <= point.ellipse.search_radius_95(),
    )
}
