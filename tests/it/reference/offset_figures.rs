//! Offsets of figures with a closed form, computed here step by step.
//!
//! Areas of sectors and segments: half of r squared times the angle, and times
//! the angle less its sine; I. N. Bronshtein et al., "Handbook of Mathematics",
//! plane geometry, the circle (from memory).

use std::f64::consts::PI;

use fence_geom::{
    Angle, Corner, Join, Offset, OffsetEvent, Point, Region, Ring, RingRole, Shift, Side, Turn,
    offset,
};

fn corners(places: &[(f64, f64)]) -> Vec<Corner> {
    let named = places.iter().zip('A'..);
    named
        .map(|(&(north, east), name)| Corner {
            name: name.to_string(),
            at: Point::new(north, east).expect("a point"),
        })
        .collect()
}

fn lines(places: &[(f64, f64)]) -> Ring {
    Ring::new(corners(places), vec![Side::Line; places.len()]).expect("a ring")
}

fn arc(degrees: f64, turn: Turn) -> Side {
    Side::Arc {
        delta: Angle::from_degrees(degrees).expect("an angle"),
        turn,
    }
}

fn by(ring: &Ring, feet: f64) -> Offset {
    let distance = Shift::from_feet(feet).expect("a distance");
    offset(ring.clone(), &vec![distance; ring.len()]).expect("an offset")
}

#[track_caller]
fn area(offset: &Offset, expected: f64) {
    let found = offset.area().square_feet();
    assert!((found - expected).abs() < 1e-6, "{found}, not {expected}");
}

/// A pole of 20 by 80 to a body of 100 by 120, on its west side.
fn flag_lot() -> Ring {
    lines(&[
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 100.0),
        (80.0, 100.0),
        (80.0, 20.0),
        (0.0, 20.0),
    ])
}

#[test]
fn a_flag_lot_loses_its_pole_at_half_its_width() {
    // Body and pole, each less the strips: the pole's strip is 20 - 2 d wide.
    for d in [0.5, 5.0, 9.9] {
        let body = (100.0 - 2.0 * d) * (120.0 - 2.0 * d);
        area(&by(&flag_lot(), d), body + (20.0 - 2.0 * d) * 80.0);
    }
    let gone = by(&flag_lot(), 12.0);
    area(&gone, 76.0 * 96.0);
    // The body is held off the north-west corner of the pole's mouth too.
    assert_eq!(gone.vanished(), ["E-F", "F-A"]);
    let at_pole = by(&flag_lot(), 5.0).next_event().expect("an event");
    let OffsetEvent::Vanishes { factor, side } = at_pole else {
        panic!("{at_pole:?}");
    };
    assert!((factor - 2.0).abs() < 1e-9);
    assert_eq!(side, "F-A");
}

#[test]
fn an_l_loses_what_its_strips_and_its_reflex_corner_take() {
    let l = lines(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 40.0),
        (50.0, 40.0),
        (50.0, 90.0),
        (0.0, 90.0),
    ]);
    let d = 6.0;
    let whole = 100.0 * 40.0 + 50.0 * 50.0;
    // Perimeter times d, plus d squared for each of five square corners counted
    // twice, less d squared for the fill at the reflex corner.
    area(&by(&l, d), whole - 380.0 * d + 5.0 * d * d - d * d);
}

/// A lot on a cul-de-sac: the bulb of radius 50 bites into its south side.
fn bulb_lot() -> Ring {
    // The bulb's center is 40 south of the front, so the chord is 60 long.
    let half = (30.0_f64 / 50.0).asin();
    Ring::new(
        corners(&[(0.0, 0.0), (120.0, -20.0), (120.0, 80.0), (0.0, 60.0)]),
        vec![
            Side::Line,
            Side::Line,
            Side::Line,
            arc(2.0 * half.to_degrees(), Turn::Left),
        ],
    )
    .expect("a ring")
}

#[test]
fn a_concave_frontage_stays_an_arc_of_a_larger_radius() {
    let lot = bulb_lot();
    let d = 5.0;
    let made = by(&lot, d);
    let ring = &made.rings()[0];
    let arcs: Vec<usize> = (0..ring.ring().len())
        .filter(|&k| ring.ring().radius(k).is_some())
        .collect();
    assert_eq!(arcs.len(), 1);
    let radius = ring.ring().radius(arcs[0]).expect("an arc").feet();
    assert!((radius - 55.0).abs() < 1e-9, "{radius}");
    assert_eq!(ring.source_side(arcs[0]), Some(3));
    // By thin slices across: from the arc of 55 around (-40, 30) or the side lines
    // moved in by 5, up to 5 short of the back.
    let slant = 1.0_f64 / 6.0;
    let shift = d * (1.0 + slant * slant).sqrt();
    let top = |_: f64| 120.0 - d;
    let bottom = |east: f64| {
        let of_arc = -40.0 + (55.0_f64.powi(2) - (east - 30.0).powi(2)).max(0.0).sqrt();
        let of_west = (shift - east) / slant;
        let of_east = (east - 60.0 + shift) / slant;
        of_arc.max(of_west).max(of_east)
    };
    let steps = 2_000_000;
    let (from, to) = (-30.0, 90.0);
    let width = (to - from) / f64::from(steps);
    let slices: f64 = (0..steps)
        .map(|k| {
            let east = from + (f64::from(k) + 0.5) * width;
            (top(east) - bottom(east)).max(0.0) * width
        })
        .sum();
    let found = made.area().square_feet();
    assert!((found - slices).abs() < 1e-4, "{found}, not {slices}");
}

#[test]
fn a_sector_lot_keeps_its_arc_until_the_radius_is_used_up() {
    // A quarter disk of radius 60: inside by d, the arc's radius is 60 - d around
    // the same center, and the two straight sides move in by d.
    let lot = Ring::new(
        corners(&[(0.0, 0.0), (60.0, 0.0), (0.0, 60.0)]),
        vec![Side::Line, arc(90.0, Turn::Right), Side::Line],
    )
    .expect("a ring");
    for d in [1.0, 10.0, 20.0] {
        let r: f64 = 60.0 - d;
        // The angle of the arc left between the moved sides.
        let angle = PI / 2.0 - 2.0 * (d / r).asin();
        let corner = ((r * r - d * d).sqrt() - d).max(0.0);
        // The sector, less the triangles from the center to the moved sides.
        let sector = r * r * angle / 2.0;
        area(&by(&lot, d), sector - d * corner);
    }
}

#[test]
fn a_rounded_corner_turns_square_once_its_radius_is_used_up() {
    let lot = Ring::new(
        corners(&[
            (0.0, 0.0),
            (80.0, 0.0),
            (100.0, 20.0),
            (100.0, 120.0),
            (0.0, 120.0),
        ]),
        vec![
            Side::Line,
            arc(90.0, Turn::Right),
            Side::Line,
            Side::Line,
            Side::Line,
        ],
    )
    .expect("a ring");
    for d in [5.0_f64, 15.0, 25.0, 40.0] {
        let r = (20.0 - d).max(0.0);
        let rounded = r * r * (1.0 - PI / 4.0);
        let made = by(&lot, d);
        area(&made, (100.0 - 2.0 * d) * (120.0 - 2.0 * d) - rounded);
        assert_eq!(made.vanished().is_empty(), d < 20.0, "{d}");
    }
}

#[test]
fn a_hole_is_pushed_outward() {
    let lot = lines(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]);
    let named = ["P", "Q", "R", "S"].into_iter();
    let places = [(40.0, 40.0), (60.0, 40.0), (60.0, 60.0), (40.0, 60.0)];
    let pond = Ring::of_lines(
        named
            .zip(places)
            .map(|(name, (north, east))| (name, Point::new(north, east).expect("a point"))),
    )
    .expect("a ring");
    for pond in [pond.clone(), pond.reversed()] {
        let region = Region::new(lot.clone(), vec![pond]).expect("a region");
        let at = |feet: f64| {
            let distance = Shift::from_feet(feet).expect("a distance");
            offset(region.clone(), &[distance; 8]).expect("an offset")
        };
        let made = at(5.0);
        area(&made, 90.0 * 90.0 - 30.0 * 30.0);
        assert_eq!(made.rings()[1].role(), RingRole::Hole);
        // What is left between pond and lot line is 40 wide.
        assert_eq!(at(19.99).rings().len(), 2);
        assert!(at(20.01).rings().is_empty());
        // The pond alone grows away from the lot's own line.
        let own: Vec<Shift> = [0.0, 0.0, 0.0, 0.0, 10.0, 10.0, 10.0, 10.0]
            .map(|feet| Shift::from_feet(feet).expect("a distance"))
            .to_vec();
        let alone = offset(region.clone(), &own).expect("an offset");
        area(&alone, 100.0 * 100.0 - 40.0 * 40.0);
    }
}

#[test]
fn a_line_held_outside_one_side_and_inside_the_next() {
    let lot = lines(&[(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)]);
    let mixed = [2.0, -3.0, 4.0, 0.0].map(|feet| Shift::from_feet(feet).expect("a distance"));
    let made = offset(lot, &mixed).expect("an offset");
    area(&made, (60.0 - 2.0 - 4.0) * (100.0 + 3.0));
    assert!(
        made.rings()[0]
            .corners()
            .iter()
            .all(|flag| flag.join == Join::Miter)
    );
}

#[test]
fn a_needle_notch_is_cut_square_at_ten_times_the_distance() {
    // A notch of half angle atan(1/40): the miter would reach 40 d.
    let notched = lines(&[
        (0.0, 0.0),
        (100.0, 0.0),
        (100.0, 49.0),
        (60.0, 50.0),
        (100.0, 51.0),
        (100.0, 100.0),
        (0.0, 100.0),
    ]);
    let d = 1.0;
    // The notch runs 40 for each foot across.
    let slope = 40.0_f64;
    let made = by(&notched, d);
    let cut: Vec<_> = made.rings()[0]
        .corners()
        .iter()
        .filter(|flag| flag.join == Join::Cut)
        .collect();
    assert_eq!(cut.len(), 2);
    for flag in &cut {
        // Square to the notch's axis, ten feet out from its tip.
        assert!((flag.at.north() - 50.0).abs() < 1e-9, "{:?}", flag.at);
        // On the parallel to the notch's side.
        let out = (1.0 + slope * slope).sqrt() / slope * d;
        let half = out - 10.0 / slope;
        assert!(
            ((flag.at.east() - 50.0).abs() - half).abs() < 1e-9,
            "{:?}",
            flag.at
        );
    }
}
