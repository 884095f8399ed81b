//! What must always hold of offset rings: place by place against the strips and
//! fills that define them, and with one distance against the mitered buffer of
//! the `geo` crate.

use fence_geom::{
    Join, Length, Offset, OffsetBuffer, OffsetEvent, Place, Point, Ring, RingRole, Shift, inset,
    inset_uniform, interior_angle, offset,
};
use fence_tests::{Draws, ParcelClass, named, parcel, setback_feet};
use geo::{Area, BooleanOps, Buffer, Coord, LineString, MultiPolygon, Polygon};
use proptest::prelude::*;

/// A place nearer than this to an edge, in feet, may be told either way.
const NEAR: f64 = 1e-6;

/// Figures are the same where they differ by less than this over each foot of
/// their perimeter, in feet: the overlay works on a grid and leaves slivers of
/// its spacing between figures that share a side.
const SAME: f64 = 1e-4;

/// A star-shaped ring about the origin, often with reflex corners, in
/// hundredths of a foot; clockwise or not.
fn star() -> impl Strategy<Value = Ring> {
    (
        prop::collection::vec((10_u32..100, 1_500_u32..6_000), 4..9),
        any::<bool>(),
    )
        .prop_map(|(spokes, clockwise)| star_of(&spokes, clockwise))
        .prop_filter("a ring", Option::is_some)
        .prop_map(|ring| ring.expect("filtered"))
}

fn star_of(spokes: &[(u32, u32)], clockwise: bool) -> Option<Ring> {
    let whole: f64 = spokes.iter().map(|&(step, _)| f64::from(step)).sum();
    let mut turned = 0.0;
    let mut corners = Vec::new();
    for (i, &(step, radius)) in spokes.iter().enumerate() {
        turned += f64::from(step) / whole * std::f64::consts::TAU;
        let (sin, cos) = turned.sin_cos();
        let hundredths = |x: f64| (x * f64::from(radius)).round() / 100.0;
        let at = Point::new(hundredths(cos), hundredths(sin)).ok()?;
        corners.push((format!("P{i}"), at));
    }
    let ring = Ring::of_lines(corners).ok()?;
    Some(if clockwise { ring } else { ring.reversed() })
}

/// A distance in hundredths of a foot, zero among them.
fn hundredths(most: u32) -> impl Strategy<Value = f64> {
    prop_oneof![1 => Just(0.0), 9 => (0..most).prop_map(|h| f64::from(h) / 100.0)]
}

fn shifts(ring: &Ring, feet: &[f64]) -> Vec<Shift> {
    (0..ring.len())
        .map(|i| Shift::from_feet(feet[i % feet.len()]).expect("in range"))
        .collect()
}

fn ring_polygon(ring: &Ring) -> Polygon {
    let coords = ring.corners().iter().map(|corner| Coord {
        x: corner.at.east(),
        y: corner.at.north(),
    });
    Polygon::new(LineString::new(coords.collect()), vec![])
}

/// A half plane `a * north + b * east <= c`.
type HalfPlane = (f64, f64, f64);

/// One side's line: `v` feet to the moving side of it, `u` feet along it.
struct Line {
    start: (f64, f64),
    along: (f64, f64),
    square: (f64, f64),
    length: f64,
    width: f64,
}

impl Line {
    /// `v <= feet`.
    fn within(&self, feet: f64) -> HalfPlane {
        half_plane(self.square, self.start, feet)
    }

    /// `v >= feet`.
    fn beyond(&self, feet: f64) -> HalfPlane {
        flipped(self.within(feet))
    }

    /// `u >= feet`.
    fn past(&self, feet: f64) -> HalfPlane {
        flipped(half_plane(self.along, self.start, feet))
    }

    /// `u <= feet`.
    fn short_of(&self, feet: f64) -> HalfPlane {
        half_plane(self.along, self.start, feet)
    }
}

fn half_plane(way: (f64, f64), from: (f64, f64), feet: f64) -> HalfPlane {
    (way.0, way.1, way.0 * from.0 + way.1 * from.1 + feet)
}

fn flipped((a, b, c): HalfPlane) -> HalfPlane {
    (-a, -b, -c)
}

/// The strips and fills of a ring, all widths inward or all outward, straight
/// from their definition: each the half planes that bound it.
fn strips_and_fills(ring: &Ring, feet: &[f64], outward: bool) -> Vec<Vec<HalfPlane>> {
    let clockwise = ring.interior() == fence_geom::Turn::Right;
    let n = ring.len();
    let lines: Vec<Line> = (0..n)
        .map(|i| {
            let (from, to) = ring.ends(i);
            let (dn, de) = (
                to.at.north() - from.at.north(),
                to.at.east() - from.at.east(),
            );
            let length = dn.hypot(de);
            let along = (dn / length, de / length);
            let hand = if clockwise == outward { -1.0 } else { 1.0 };
            Line {
                start: (from.at.north(), from.at.east()),
                along,
                square: (-along.1 * hand, along.0 * hand),
                length,
                width: feet[i % feet.len()],
            }
        })
        .collect();
    let mut figures = Vec::new();
    for i in 0..n {
        let (a, b) = (&lines[(i + n - 1) % n], &lines[i]);
        figures.push(vec![
            b.past(0.0),
            b.short_of(b.length),
            b.beyond(0.0),
            b.within(b.width),
        ]);
        // Positive where the strips leave a gap at the corner.
        let gap = a.along.0 * b.square.0 + a.along.1 * b.square.1;
        if gap < 0.0 {
            // The strips overlap; each reaches on to the other's line.
            let past = [
                a.past(a.length),
                a.beyond(0.0),
                a.within(a.width),
                b.beyond(b.width),
            ];
            let early = [
                b.short_of(0.0),
                b.beyond(0.0),
                b.within(b.width),
                a.beyond(a.width),
            ];
            figures.push(past.to_vec());
            figures.push(early.to_vec());
        } else {
            figures.push(vec![
                a.past(a.length),
                b.short_of(0.0),
                a.within(a.width),
                b.within(b.width),
            ]);
        }
    }
    figures
}

fn was_cut(ring: &Ring, feet: &[f64]) -> bool {
    // A needle's miter reaches further than the limit at about 11.5 degrees, and
    // with unequal distances a little sooner.
    (0..ring.len()).any(|i| {
        let degrees = interior_angle(ring, i).degrees();
        let sharp = if feet[i % feet.len()] < 0.0 {
            degrees
        } else {
            360.0 - degrees
        };
        sharp < 25.0
    })
}

fn uniform(ring: &Ring, feet: f64) -> Offset {
    offset(ring.clone(), &shifts(ring, &[feet])).expect("an offset")
}

/// Whether a corner is so nearly straight that two distances join by a jog, where
/// the definition would have the lines meet far away.
fn almost_straight(ring: &Ring) -> bool {
    (0..ring.len()).any(|i| (interior_angle(ring, i).degrees() - 180.0).abs() < 1.0)
}

/// Whether a place is inside a ring; `None` too near a side to tell.
fn inside(ring: &Ring, p: Point) -> Option<bool> {
    match ring.locate(p, Length::from_feet(NEAR).expect("a length")) {
        Place::Inside => Some(true),
        Place::Outside => Some(false),
        Place::OnSide(_) => None,
    }
}

/// Whether a place is inside a figure; `None` too near an edge to tell.
fn within_any(figures: &[Vec<HalfPlane>], p: Point) -> Option<bool> {
    let over = |&(a, b, c): &HalfPlane| a * p.north() + b * p.east() - c;
    let mut unsure = false;
    for figure in figures {
        let worst = figure.iter().map(over).fold(f64::NEG_INFINITY, f64::max);
        if worst < -NEAR {
            return Some(true);
        }
        unsure |= worst <= NEAR;
    }
    (!unsure).then_some(false)
}

/// Whether a place is inside an offset; `None` too near a ring to tell.
fn held(offset: &Offset, p: Point) -> Option<bool> {
    let mut count = 0;
    for ring in offset.rings() {
        let within = inside(ring.ring(), p)?;
        count += match ring.role() {
            RingRole::Outer => i32::from(within),
            RingRole::Hole => -i32::from(within),
        };
    }
    Some(count > 0)
}

/// Places to try: all over, and close around each flag and along each side.
fn places(offset: &Offset, shares: &[(f64, f64)]) -> Vec<Point> {
    let all_over = shares
        .iter()
        .map(|(n, e)| (n * 160.0 - 80.0, e * 160.0 - 80.0));
    let edges = offset.rings().iter().flat_map(|ring| {
        let ring = ring.ring();
        (0..ring.len()).map(|k| (ring.ends(k).0.at, ring.ends(k).1.at))
    });
    let close = edges.flat_map(|(from, to)| {
        let way = to - from;
        let spots = [0.0, 0.01, 0.5, 0.99].map(|share| from + way * share);
        spots.into_iter().flat_map(|spot| {
            (0..8).map(move |turn| {
                let (sin, cos) = (f64::from(turn) * std::f64::consts::FRAC_PI_4 + 0.1).sin_cos();
                (spot.north() + 0.001 * sin, spot.east() + 0.001 * cos)
            })
        })
    });
    all_over
        .chain(close)
        .map(|(north, east)| Point::new(north, east).expect("in range"))
        .collect()
}

fn same_place(offset: &Offset, p: Point, expected: Option<bool>) -> Result<(), TestCaseError> {
    if let (Some(found), Some(expected)) = (held(offset, p), expected) {
        prop_assert_eq!(found, expected, "{:?}", p);
    }
    Ok(())
}

/// Area by which two figures differ, per foot of the ring's perimeter.
fn difference(ring: &Ring, offset: &Offset, set: &MultiPolygon) -> f64 {
    let of_role = |role| {
        let rings = offset.rings().iter().filter(move |it| it.role() == role);
        MultiPolygon(rings.map(|it| ring_polygon(it.ring())).collect())
    };
    let found = of_role(RingRole::Outer).difference(&of_role(RingRole::Hole));
    found.xor(set).unsigned_area() / ring.perimeter().feet()
}

/// What holds of every offset: simple rings, pieces one way round and holes the
/// other, and with one distance no flag nearer to a side than it.
fn invariants(ring: &Ring, offset: &Offset, feet: f64) {
    for made in offset.rings() {
        let corners = made.ring().corners().iter();
        let again = Ring::of_lines(corners.map(|it| (it.name.clone(), it.at)));
        // Slivers are too narrow to pass as typed figures; they must not cross.
        assert!(
            !matches!(again, Err(fence_geom::RingError::Crossing { .. })),
            "{again:?}"
        );
        let same_way = made.ring().interior() == ring.interior();
        assert_eq!(same_way, made.role() == RingRole::Outer);
        for flag in made.corners() {
            for k in 0..ring.len() {
                let (from, to) = ring.ends(k);
                let way = to.at - from.at;
                let share = ((flag.at - from.at).dot(way) / way.dot(way)).clamp(0.0, 1.0);
                let off = flag.at.distance(from.at + way * share).feet();
                assert!(
                    off >= feet.abs() - 1e-6,
                    "{} is {off} off side {k}",
                    flag.name
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Inside: the ring less strips and fills, sides vanishing and all.
    #[test]
    fn inside_is_the_ring_less_strips_and_fills(
        ring in star(),
        feet in prop::collection::vec(hundredths(900), 9),
        shares in prop::collection::vec((0.0..1.0, 0.0..1.0), 64),
    ) {
        prop_assume!(!was_cut(&ring, &feet) && !almost_straight(&ring));
        let offset = offset(ring.clone(), &shifts(&ring, &feet)).expect("an offset");
        let figures = strips_and_fills(&ring, &feet, false);
        for p in places(&offset, &shares) {
            let Some(taken) = within_any(&figures, p) else { continue };
            same_place(&offset, p, inside(&ring, p).map(|inside| inside && !taken))?;
        }
    }

    /// Outside: the ring with strips and fills added.
    #[test]
    fn outside_is_the_ring_with_strips_and_fills(
        ring in star(),
        feet in prop::collection::vec(hundredths(900), 9),
        shares in prop::collection::vec((0.0..1.0, 0.0..1.0), 64),
    ) {
        let outward: Vec<f64> = feet.iter().map(|d| -d).collect();
        prop_assume!(!was_cut(&ring, &[-1.0]) && !almost_straight(&ring));
        let offset = offset(ring.clone(), &shifts(&ring, &outward)).expect("an offset");
        let figures = strips_and_fills(&ring, &feet, true);
        for p in places(&offset, &shares) {
            let Some(added) = within_any(&figures, p) else { continue };
            same_place(&offset, p, inside(&ring, p).map(|inside| inside || added))?;
        }
    }

    /// With one distance, the buffer of the `geo` crate with mitered joins.
    #[test]
    fn one_distance_is_a_mitered_buffer(ring in star(), feet in -2000_i32..2000) {
        let feet = f64::from(feet) / 100.0;
        prop_assume!(!was_cut(&ring, &[feet]));
        let offset = uniform(&ring, feet);
        invariants(&ring, &offset, feet);
        let buffered = mitered(&ring, feet);
        let off = difference(&ring, &offset, &buffered);
        prop_assert!(off < SAME, "{}", off);
    }

    /// Up to the next event nothing but lengths changes; past it something has.
    #[test]
    fn the_next_event_is_where_sides_or_pieces_change(
        ring in star(),
        feet in prop::collection::vec(hundredths(300), 9),
    ) {
        let form = |factor: f64| {
            let scaled: Vec<f64> = feet.iter().map(|d| d * factor).collect();
            let made = offset(ring.clone(), &shifts(&ring, &scaled)).expect("an offset");
            (made.rings().len(), made.vanished())
        };
        let now = offset(ring.clone(), &shifts(&ring, &feet)).expect("an offset");
        let Some(event) = now.next_event().as_ref().map(OffsetEvent::factor) else {
            return Ok(());
        };
        prop_assert!(event > 1.0);
        prop_assert_eq!(form(event * 0.9999), form(1.0));
        // A corner may also run across a neighbor's end, with the same sides left.
        let after = form(event * 1.001);
        prop_assert!(after != form(1.0) || now.rings().len() == after.0);
    }

    /// A flag is exactly the set distance from both of its lines.
    #[test]
    fn flags_keep_their_distances(
        ring in star(),
        feet in prop::collection::vec(hundredths(300), 9),
    ) {
        let Ok(offset) = inset(&ring, &shifts(&ring, &feet)) else { return Ok(()) };
        for flag in offset.corners().iter().filter(|flag| flag.join == Join::Miter) {
            for side in [flag.before, flag.after] {
                let (from, to) = ring.ends(side);
                let way = to.at - from.at;
                let off = way.cross(flag.at - from.at) / way.length().feet();
                prop_assert!((off.abs() - feet[side]).abs() < 1e-9);
            }
        }
    }

    /// Going in twice is going in by the sum, while no side vanishes.
    #[test]
    fn two_steps_are_one(ring in star(), first in hundredths(300), second in hundredths(300)) {
        let shift = |feet| Shift::from_feet(feet).expect("in range");
        let Ok(at_once) = inset_uniform(&ring, shift(first + second)) else { return Ok(()) };
        prop_assume!(!was_cut(&ring, &[1.0]) && at_once.ring().len() == ring.len());
        let half = inset_uniform(&ring, shift(first)).expect("less than the sum");
        let stepped = inset_uniform(half.ring(), shift(second)).expect("up to the sum");
        for (p, q) in at_once.corners().iter().zip(stepped.corners()) {
            prop_assert!(p.at.distance(q.at).feet() < 1e-6);
        }
    }

    /// One distance all round leaves less the larger it is. Of one side alone that is
    /// not so: the fill of a corner goes out to where two lines meet, and may reach
    /// farther past a short side than the strip that takes its place.
    #[test]
    fn a_larger_distance_leaves_less(ring in star(), feet in hundredths(1500), more in 1..500_i32) {
        let area = |feet: f64| uniform(&ring, feet).area().square_feet();
        let wider = feet + f64::from(more) / 100.0;
        prop_assert!(area(wider) <= area(feet) + 1e-9);
        prop_assert!(area(-wider) >= area(-feet) - 1e-9);
    }

    /// Turning and moving the lot turns and moves the flags, even in coordinates
    /// of millions of feet.
    #[test]
    fn flags_turn_and_move_with_the_lot(
        ring in star(),
        feet in prop::collection::vec(hundredths(300), 9),
        degrees in 0.0..360.0_f64,
        north in -2e6..2e6_f64,
    ) {
        let Ok(offset) = inset(&ring, &shifts(&ring, &feet)) else { return Ok(()) };
        let (sin, cos) = degrees.to_radians().sin_cos();
        let carried = |p: Point| {
            let turned = (p.north() * cos - p.east() * sin, p.north() * sin + p.east() * cos);
            Point::new(turned.0 + north, turned.1 + 750_000.0).expect("in range")
        };
        let corners = ring.corners().iter().map(|c| (c.name.clone(), carried(c.at)));
        let moved = Ring::of_lines(corners).expect("still a ring");
        // A strip that ends square within rounding of a miter may go either way.
        let Ok(there) = inset(&moved, &shifts(&ring, &feet)) else { return Ok(()) };
        prop_assume!(there.corners().len() == offset.corners().len());
        for (p, q) in offset.corners().iter().zip(there.corners()) {
            prop_assert!(carried(p.at).distance(q.at).feet() < 1e-5);
        }
    }

    /// It does not matter which way around the corners are listed.
    #[test]
    fn the_order_of_the_corners_does_not_matter(
        ring in star(),
        feet in prop::collection::vec(hundredths(300), 9),
    ) {
        let there = inset(&ring, &shifts(&ring, &feet));
        let mut distances = shifts(&ring, &feet);
        distances.reverse();
        match (there, inset(&ring.reversed(), &distances)) {
            (Ok(there), Ok(back)) => {
                prop_assert_eq!(there.corners().len(), back.corners().len());
                for flag in there.corners() {
                    let near = |other: &fence_geom::OffsetCorner| other.at.distance(flag.at).feet() < 1e-9;
                    prop_assert!(back.corners().iter().any(near), "{}", flag.name);
                }
            }
            (Err(_), Err(_)) => {}
            (there, back) => prop_assert!(false, "{there:?} but {back:?}"),
        }
    }

    /// One distance for each side, all equal, is that distance all around; and the
    /// buffer for many rings gives what the named offset gives.
    #[test]
    fn all_ways_to_ask_agree(ring in star(), feet in -900_i32..900) {
        let feet = f64::from(feet) / 100.0;
        let named = uniform(&ring, feet);
        let corners: Vec<Point> = ring.corners().iter().map(|it| it.at).collect();
        let mut buffer = OffsetBuffer::default();
        buffer.offset(&corners, shifts(&ring, &[feet])[0]).expect("an offset");
        prop_assert_eq!(buffer.rings().count(), named.rings().len());
        let off = buffer.area().square_feet() - named.area().square_feet();
        prop_assert!(off.abs() < 1e-7, "{}", off);
        for (bare, made) in buffer.rings().zip(named.rings()) {
            if named.rings().len() == 1 {
                prop_assert_eq!(bare.flags().len(), made.corners().len());
            }
        }
    }
}

fn mitered(ring: &Ring, feet: f64) -> MultiPolygon {
    let join = geo::buffer::LineJoin::Miter(0.01);
    let style = geo::buffer::BufferStyle::new(-feet).line_join(join);
    ring_polygon(ring).buffer_with_style(style)
}

/// Every class of parcel against `geo`, whose grid leaves up to some thousandths
/// of a square foot; needles apart, which it cuts elsewhere.
#[test]
fn parcels_of_every_class_against_geo() {
    let mut draws = Draws::from(17);
    let classes = ParcelClass::ALL
        .into_iter()
        .filter(|it| *it != ParcelClass::Needle);
    for class in classes {
        for round in 0..300 {
            let ring = named(&parcel(&mut draws, class)).expect("a ring");
            let feet = setback_feet(&mut draws);
            let feet = if round % 3 == 0 { -feet } else { feet };
            let offset = uniform(&ring, feet);
            if round % 10 == 0 {
                invariants(&ring, &offset, feet);
            }
            let buffered = mitered(&ring, feet).unsigned_area();
            let off = (offset.area().square_feet() - buffered).abs();
            assert!(off < 2e-2, "{class:?} {round}: {off} of {buffered}");
        }
    }
}

/// An arc is the limit of chords: with each fourfold more of them the area is
/// sixteen times nearer.
#[test]
fn arcs_are_the_limit_of_chords() {
    let mut draws = Draws::from(23);
    for _ in 0..60 {
        let lot = fence_tests::arc_parcel(&mut draws);
        let feet = setback_feet(&mut draws);
        let exact = uniform(&lot, feet).area().square_feet();
        let off = |chords: u16| {
            let points = chorded(&lot, chords);
            let mut buffer = OffsetBuffer::default();
            buffer
                .offset(&points, Shift::from_feet(feet).expect("in range"))
                .expect("an offset");
            (buffer.area().square_feet() - exact).abs()
        };
        let (coarse, fine) = (off(16), off(64));
        assert!(
            fine < 1e-6 + coarse / 10.0,
            "{coarse} then {fine} of {exact}"
        );
    }
}

/// A ring with its arcs as chords.
fn chorded(lot: &Ring, chords: u16) -> Vec<Point> {
    let sides = lot.sides().iter().enumerate();
    let places = sides.flat_map(|(k, side)| {
        let (from, to) = lot.ends(k);
        let along = side.places_between(from.at, to.at, chords);
        std::iter::once(from.at).chain(along)
    });
    places.collect()
}
