//! Nets against simulated tapes and dense matrices, and what must hold of them.

use fence_geom::{
    Angle, Azimuth, Frame, KnownPoint, Length, Net, NetAnswer, NetError, NetReading, Point,
    ReadingOf, Shift, SideHint, Sigma, TapeModel, Turn, adjust_net,
};
use fence_tests::{Draws, TrueNet, share};
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;

fn feet(x: f64) -> Length {
    Length::from_feet(x).expect("in range")
}

fn sigma(x: f64) -> Sigma {
    Sigma::known(x).expect("a standard error")
}

fn at(north: f64, east: f64) -> Point {
    Point::new(north, east).expect("in range")
}

fn known(name: &str, north: f64, east: f64) -> KnownPoint {
    KnownPoint {
        name: name.to_owned(),
        at: at(north, east),
        sigma: Sigma::ZERO,
    }
}

fn tape(from: &str, to: &str, length: f64) -> NetReading {
    NetReading::Distance {
        from: from.to_owned(),
        to: to.to_owned(),
        reads: feet(length),
        tape: 0,
    }
}

fn corner(at: &str, from: &str, to: &str, degrees: f64) -> NetReading {
    NetReading::Corner {
        at: at.to_owned(),
        from: from.to_owned(),
        to: to.to_owned(),
        angle: Angle::from_degrees(degrees).expect("in range"),
        sigma: sigma(0.005),
    }
}

fn on_line(point: &str, from: &str, to: &str, right: f64) -> NetReading {
    NetReading::OnLine {
        point: point.to_owned(),
        from: from.to_owned(),
        to: to.to_owned(),
        right: Shift::from_feet(right).expect("in range"),
        sigma: sigma(0.02),
    }
}

fn direction(from: &str, to: &str, degrees: f64) -> NetReading {
    NetReading::Direction {
        from: from.to_owned(),
        to: to.to_owned(),
        toward: Azimuth::from_degrees(degrees).expect("in range"),
        sigma: sigma(0.005),
    }
}

fn side(point: &str, from: &str, to: &str, hand: Turn) -> SideHint {
    let [point, from, to] = [point, from, to].map(str::to_owned);
    SideHint {
        point,
        from,
        to,
        hand,
    }
}

fn net(known: Vec<KnownPoint>, readings: Vec<NetReading>, sides: Vec<SideHint>) -> Net {
    Net {
        known,
        readings,
        tapes: vec![TapeModel::default()],
        sides,
    }
}

fn one(net: &Net) -> NetAnswer {
    TrueNet::adjusted(net)
}

/// 1,500 nets of seven points leave about 0.3 % in a share of 95 % (the points of a
/// net go together, so it is taken as that of the nets alone: 0.6 %).
#[test]
fn a_priori_ellipses_and_radii_hold_95_percent() {
    let tally = TrueNet::yard().tally(1_500, 11);
    let (ellipse, radius) = (
        share(tally.in_ellipse, tally.points),
        share(tally.in_radius, tally.points),
    );
    assert!((0.94..0.96).contains(&ellipse), "{ellipse}");
    assert!((0.94..0.96).contains(&radius), "{radius}");
    let fitting = share(tally.fitting, tally.nets);
    assert!((0.935..0.965).contains(&fitting), "{fitting}");
    // One in a thousand; 21,000 tests that go together in part.
    let alarms = share(tally.alarms, tally.tapes);
    assert!((0.0004..0.0018).contains(&alarms), "{alarms}");
}

/// Power 0.80, give or take 3 standard errors of 1,400 nets.
#[test]
fn errors_of_the_size_that_the_test_finds_are_found() {
    let found = TrueNet::yard().found(1_400, 12);
    assert!((0.77..0.83).contains(&found), "{found}");
}

/// Independent of the library's own equations: dense normal equations of nalgebra
/// with the full covariance of the tapes (the scale common to all of them is in its
/// off-diagonal entries, not an unknown), and numeric derivatives.
#[test]
fn a_net_agrees_with_dense_normal_equations() {
    let truth = TrueNet::yard();
    let mut net = truth.misread(&mut Draws::from(3));
    net.known
        .iter_mut()
        .for_each(|known| known.sigma = Sigma::ZERO);
    let answer = one(&net);
    let free: Vec<&String> = truth.places.iter().skip(2).map(|(name, _)| name).collect();
    let mut x = DVector::from_iterator(
        2 * free.len(),
        truth
            .places
            .iter()
            .skip(2)
            .flat_map(|(_, at)| [at.north(), at.east()]),
    );
    let place = |x: &DVector<f64>, name: &String| match free.iter().position(|n| *n == name) {
        Some(i) => at(x[2 * i], x[2 * i + 1]),
        None => {
            net.known
                .iter()
                .find(|k| k.name == *name)
                .expect("known")
                .at
        }
    };
    let computed = |x: &DVector<f64>| {
        let distance = |reading: &NetReading| match reading {
            NetReading::Distance { from, to, .. } => place(x, from).distance(place(x, to)).feet(),
            _ => unreachable!("tapes only"),
        };
        DVector::from_iterator(net.readings.len(), net.readings.iter().map(distance))
    };
    let read = DVector::from_iterator(
        net.readings.len(),
        net.readings.iter().map(|reading| match reading {
            NetReading::Distance { reads, .. } => reads.feet(),
            _ => unreachable!("tapes only"),
        }),
    );
    let tape = net.tapes[0];
    let (own, scale) = (
        tape.reading.value().expect("known"),
        tape.scale.value().expect("known"),
    );
    let mut inverse = DMatrix::zeros(0, 0);
    for _ in 0..10 {
        let lengths = computed(&x);
        let covariance = DMatrix::from_diagonal_element(read.len(), read.len(), own * own)
            + &lengths * lengths.transpose() * (scale * scale);
        let weight = covariance.try_inverse().expect("regular");
        let mut slopes = DMatrix::zeros(read.len(), x.len());
        for i in 0..x.len() {
            let (mut high, mut low) = (x.clone(), x.clone());
            high[i] += 1e-4;
            low[i] -= 1e-4;
            slopes.set_column(i, &((computed(&high) - computed(&low)) / 2e-4));
        }
        let normal = slopes.transpose() * &weight * &slopes;
        inverse = normal.try_inverse().expect("regular");
        x += &inverse * slopes.transpose() * weight * (&read - lengths);
    }
    for (i, name) in free.iter().enumerate() {
        let point = answer.point(name).expect("a point");
        let expected = at(x[2 * i], x[2 * i + 1]);
        // The scale as an unknown and the scale in the covariance differ by its
        // square: some 1e-7 of a residual.
        assert!(point.at.distance(expected).feet() < 1e-6, "{name}");
        let sigmas = [point.sigma_north, point.sigma_east].map(|s| s.value().expect("known"));
        for (k, sigma) in sigmas.into_iter().enumerate() {
            let dense = inverse[(2 * i + k, 2 * i + k)].sqrt();
            assert!(
                (sigma / dense - 1.0).abs() < 1e-3,
                "{name}: {sigma} {dense}"
            );
        }
    }
    let joint = answer.covariance(&["house SW", "oak"]).expect("points");
    let (i, j) = (0, 2 * 2 + 1);
    let entry = joint.get(0, 3).expect("known");
    assert!((entry - inverse[(i, j)]).abs() < 1e-3 * inverse[(i, i)]);
    // Every reading's share of the redundancy, with that of the scale.
    let shares: f64 = answer.readings.iter().map(|r| r.redundancy).sum();
    assert!((shares - 4.0).abs() < 1e-6, "{shares}");
}

#[test]
fn perfect_readings_change_nothing() {
    for truth in [TrueNet::yard(), TrueNet::field(6, 5)] {
        let answer = one(&truth.net);
        for (name, place) in &truth.places {
            let off = answer.point(name).expect("a point").at.distance(*place);
            assert!(off.feet() < 1e-8, "{name} is off by {off}");
        }
        assert!(answer.misfit < 1e-10, "{}", answer.misfit);
        assert!(answer.suspects.is_empty() && answer.fits());
    }
}

#[test]
fn a_wrong_reading_is_named_with_its_size() {
    let mut net = TrueNet::yard().net;
    let NetReading::Distance { reads, .. } = &mut net.readings[3] else {
        panic!("a tape");
    };
    *reads = feet(reads.feet() + 1.0);
    let answer = one(&net);
    assert!(!answer.fits());
    let [suspect] = answer.suspects.as_slice() else {
        panic!("one suspect, got {:?}", answer.suspects);
    };
    let reading = answer.readings[*suspect];
    assert_eq!(reading.of, ReadingOf::Reading(3));
    assert!((reading.likely_error.expect("checked") - 1.0).abs() < 0.05);
}

/// A quadrilateral with one tape too many: all six tests are the same number.
#[test]
fn with_one_redundant_reading_no_suspect_is_named_alone() {
    let root = 2.0_f64.sqrt();
    let readings = vec![
        tape("A", "C", 50.0 * root + 0.5),
        tape("A", "D", 50.0),
        tape("B", "C", 50.0),
        tape("B", "D", 50.0 * root),
        tape("C", "D", 50.0),
    ];
    let mut net = net(
        vec![known("A", 0.0, 0.0), known("B", 0.0, 50.0)],
        readings,
        vec![side("C", "A", "B", Turn::Left)],
    );
    net.tapes[0].scale = Sigma::ZERO;
    let answer = one(&net);
    assert_eq!(answer.redundancy, 1);
    assert_eq!(answer.suspects, [0, 1, 2, 3, 4]);
}

#[test]
fn a_net_without_known_points_has_a_base_and_its_mirror_image() {
    let readings = vec![
        tape("A", "B", 60.0),
        tape("A", "C", 50.0),
        tape("B", "C", 40.0),
        tape("A", "D", 40.0),
        tape("B", "D", 50.0),
        tape("C", "D", 15.0),
    ];
    let both = adjust_net(&net(vec![], readings.clone(), vec![])).expect("an answer");
    assert_eq!(both.answers.len(), 2);
    assert_eq!(both.ambiguous, ["C", "D"]);
    let right = one(&net(
        vec![],
        readings,
        vec![side("C", "A", "B", Turn::Right)],
    ));
    let frame = Frame::Base {
        origin: "A".into(),
        north: "B".into(),
    };
    assert_eq!(right.frame, frame);
    let b = right.point("B").expect("B");
    assert!(b.at.east() == 0.0 && (b.at.north() - 60.0).abs() < 0.1);
    assert!(right.point("C").expect("C").at.east() > 0.0);
    assert!(right.point("D").expect("D").at.east() > 0.0);
}

/// Two pins are known; the part with C to G hangs together by itself and touches
/// the pins only by single tapes, so that no point grows from the pins alone.
#[test]
fn a_part_that_hangs_together_is_laid_on_what_is_known() {
    let truth = TrueNet::of(
        &[
            ("A", 0.0, 0.0),
            ("B", 10.0, 90.0),
            ("C", 40.0, 10.0),
            ("D", 45.0, 50.0),
            ("E", 80.0, 20.0),
            ("F", 85.0, 60.0),
        ],
        2,
        Sigma::ZERO,
        &[
            ("C", "D"),
            ("C", "E"),
            ("D", "E"),
            ("D", "F"),
            ("E", "F"),
            ("C", "F"),
            ("A", "C"),
            ("B", "D"),
            ("A", "E"),
            ("B", "F"),
        ],
        Some(["C", "A", "B"]),
    );
    let mut answers = adjust_net(&truth.net).expect("an answer").answers;
    answers.retain(|answer| {
        truth.places.iter().all(|(name, place)| {
            answer
                .point(name)
                .expect("a point")
                .at
                .distance(*place)
                .feet()
                < 1e-6
        })
    });
    assert_eq!(answers.len(), 1, "the true places are among the answers");
}

#[test]
fn corners_lines_and_directions_place_points() {
    let square = net(
        vec![known("A", 0.0, 0.0), known("B", 0.0, 50.0)],
        vec![
            corner("A", "B", "C", 90.0),
            tape("A", "C", 30.0),
            on_line("D", "A", "B", -4.0),
            tape("B", "D", 20.0),
            direction("B", "E", 315.0),
            direction("A", "E", 45.0),
            corner("F", "A", "B", 90.0),
            tape("A", "F", 30.0),
        ],
        vec![
            side("C", "A", "B", Turn::Left),
            side("D", "B", "C", Turn::Left),
            side("F", "A", "B", Turn::Right),
        ],
    );
    let answer = one(&square);
    let east = 50.0 - 384.0_f64.sqrt();
    for (name, north, east) in [
        ("C", 30.0, 0.0),
        ("D", 4.0, east),
        ("E", 25.0, 25.0),
        ("F", -24.0, 18.0),
    ] {
        let place = answer.point(name).expect("a point").at;
        assert!(
            place.distance(at(north, east)).feet() < 1e-6,
            "{name}: {place:?}"
        );
    }
    // C across the base: half a degree or so at 30 ft.
    let c = answer.point("C").expect("C");
    assert!((c.sigma_east.value().expect("known") - 30.0 * 0.005).abs() < 1e-3);
}

#[test]
fn directions_orient_a_net_without_known_points() {
    let answer = one(&net(
        vec![],
        vec![
            tape("A", "B", 40.0),
            direction("A", "B", 90.0),
            direction("A", "C", 45.0),
            direction("B", "C", 315.0),
        ],
        vec![],
    ));
    assert_eq!(answer.frame, Frame::Origin { origin: "A".into() });
    let c = answer.point("C").expect("C").at;
    assert!(c.distance(at(20.0, 20.0)).feet() < 1e-6, "{c:?}");
}

/// The one known point carries the net: its own doubt is in every place.
#[test]
fn the_doubt_of_a_single_known_point_shifts_all() {
    let mut pin = known("A", 500.0, 700.0);
    pin.sigma = sigma(0.3);
    let answer = one(&net(
        vec![pin],
        vec![
            tape("A", "B", 40.0),
            tape("A", "C", 30.0),
            tape("B", "C", 50.0),
        ],
        vec![side("C", "A", "B", Turn::Right)],
    ));
    for point in &answer.points {
        let north = point.sigma_north.value().expect("known");
        assert!((0.3..0.302).contains(&north), "{}: {north}", point.name);
    }
    let both = answer.covariance(&["A", "C"]).expect("points");
    assert!((both.get(0, 2).expect("known") - 0.09).abs() < 1e-3);
}

#[test]
fn a_hanging_point_is_named_with_the_tape_that_fixes_it() {
    let pins = vec![known("A", 0.0, 0.0), known("B", 0.0, 50.0)];
    let hung = net(
        pins.clone(),
        vec![
            tape("A", "C", 30.0),
            tape("B", "C", 40.0),
            tape("C", "D", 20.0),
        ],
        vec![],
    );
    let Err(NetError::Hanging {
        hanging,
        more_tapes,
    }) = adjust_net(&hung)
    else {
        panic!("D hangs");
    };
    assert_eq!(hanging, ["D"]);
    let [(from, to)] = more_tapes.as_slice() else {
        panic!("one more tape, got {more_tapes:?}");
    };
    assert!(to == "D" && from != "C");
    let mut fixed = hung;
    fixed.readings.push(tape(from, to, 45.0));
    assert!(adjust_net(&fixed).is_ok());
    // Two parts that only one tape joins.
    let two = net(
        pins,
        vec![
            tape("C", "D", 30.0),
            tape("D", "E", 30.0),
            tape("C", "E", 30.0),
            tape("A", "C", 30.0),
        ],
        vec![],
    );
    let Err(NetError::Hanging {
        hanging,
        more_tapes,
    }) = adjust_net(&two)
    else {
        panic!("a triangle hangs");
    };
    assert_eq!(hanging, ["C", "D", "E"]);
    assert_eq!(more_tapes.len(), 2);
}

#[test]
fn a_sliver_is_weak_in_feet() {
    let mut sliver = net(
        vec![
            known("A", 0.0, 0.0),
            known("B", 0.0, 60.0),
            known("C", 40.0, 30.0),
        ],
        vec![tape("A", "P", 30.1), tape("B", "P", 30.1)],
        vec![side("P", "A", "B", Turn::Left)],
    );
    let answer = one(&sliver);
    let [weak] = answer.weak.as_slice() else {
        panic!("P is weak, got {:?}", answer.weak);
    };
    assert!(weak.name == "P" && weak.off_95.feet() > 0.2, "{weak:?}");
    assert_eq!(weak.tape_from.as_deref(), Some("C"));
    let north = answer.point("P").expect("P").at.north();
    sliver.readings.push(tape("C", "P", 40.0 - north));
    let mended = one(&sliver);
    assert!(mended.weak.is_empty(), "{:?}", mended.weak);
}

#[test]
fn nets_that_can_t_stand_are_refused() {
    let pins = || vec![known("A", 0.0, 0.0), known("B", 0.0, 50.0)];
    let good = || vec![tape("A", "C", 30.0), tape("B", "C", 40.0)];
    let refused = |net: Net, words: &str| {
        let error = adjust_net(&net).expect_err(words).to_string();
        assert!(error.contains(words), "{error}: no {words:?}");
    };
    refused(net(pins(), vec![], vec![]), "needs readings");
    let twice = vec![known("A", 0.0, 0.0), known("A", 0.0, 9.0)];
    refused(net(twice, good(), vec![]), "given twice");
    let same = vec![known("A", 0.0, 0.0), known("B", 0.0, 0.0)];
    refused(net(same, good(), vec![]), "same place");
    refused(
        net(pins(), vec![tape("A", "A", 3.0)], vec![]),
        "named twice",
    );
    refused(
        net(pins(), vec![tape("A", "C", 0.0)], vec![]),
        "more than zero",
    );
    let unknown = vec![side("Z", "A", "B", Turn::Left)];
    refused(net(pins(), good(), unknown), "\"Z\" is no point");
    let straight = vec![tape("A", "C", 30.0), corner("A", "B", "C", 179.9)];
    refused(net(pins(), straight, vec![]), "on the line");
    let apart = vec![tape("A", "C", 10.0), tape("B", "C", 10.0)];
    refused(net(pins(), apart, vec![]), "miss each other by 30.00 ft");
    let mut weightless = net(pins(), good(), vec![]);
    weightless.tapes[0].reading = Sigma::ZERO;
    refused(weightless.clone(), "more than zero to weigh");
    weightless.tapes.clear();
    refused(weightless, "tape number 0 is not given");
    let both = vec![
        side("C", "A", "B", Turn::Left),
        side("C", "A", "B", Turn::Right),
    ];
    assert!(adjust_net(&net(pins(), good(), both)).is_err());
    // C right between: nothing holds it across the line to first order.
    let flat = vec![tape("A", "C", 25.0), tape("B", "C", 25.0)];
    refused(net(pins(), flat, vec![]), "point C hangs");
}

#[test]
fn too_many_mirror_images_ask_for_sides() {
    let mut readings = Vec::new();
    for name in ["C", "D", "E", "F", "G", "H", "I", "J"] {
        readings.extend([tape("A", name, 30.0), tape("B", name, 40.0)]);
    }
    let pins = vec![known("A", 0.0, 0.0), known("B", 0.0, 50.0)];
    let Err(NetError::TooManyAnswers { points }) = adjust_net(&net(pins, readings, vec![])) else {
        panic!("too many");
    };
    assert!(points.starts_with("C, D, E"), "{points}");
}

/// Any shape of net, and numbers as wild as a file can hold: an answer or an error.
fn any_net() -> impl Strategy<Value = Net> {
    let name = prop::sample::select(vec!["A", "B", "C", "D", "E"]);
    let length = prop_oneof![0.0..200.0, Just(0.0), Just(1e12), 1e-9..1e-6];
    let reading = (name.clone(), name.clone(), name.clone(), length, 0..4_u8).prop_map(
        |(a, b, c, x, kind)| match kind {
            0 | 1 => tape(a, b, x),
            2 => corner(a, b, c, x.min(200.0)),
            _ => on_line(a, b, c, x.min(1e9) - 5.0),
        },
    );
    let pin = (name, -100.0..100.0, -100.0..100.0).prop_map(|(n, x, y)| known(n, x, y));
    (
        prop::collection::vec(pin, 0..3),
        prop::collection::vec(reading, 0..12),
    )
        .prop_map(|(known, readings)| net(known, readings, vec![]))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn no_net_panics(net in any_net()) {
        if let Ok(answers) = adjust_net(&net) {
            for point in answers.answers.iter().flat_map(|answer| &answer.points) {
                prop_assert!(point.at.north().is_finite() && point.at.east().is_finite());
                prop_assert!(point.sigma_north.value().is_some());
            }
        }
    }

    /// At the true places, so that both are of one linearization.
    #[test]
    fn one_more_reading_never_enlarges_an_ellipse(
        from in 0..7_usize,
        to in 0..7_usize,
        turn in 0.0..180.0,
    ) {
        prop_assume!(from != to);
        let truth = TrueNet::yard();
        let before = one(&truth.net);
        let mut net = truth.net;
        let [(a, at), (b, end)] = [&truth.places[from], &truth.places[to]];
        net.readings.push(tape(a, b, at.distance(*end).feet()));
        let after = one(&net);
        // The variance along any direction, and not only along the axes.
        let unit = fence_geom::Displacement::polar(Azimuth::from_degrees(turn).expect("in range"), feet(1.0));
        for (name, _) in &truth.places {
            let along = |answer: &NetAnswer| {
                let doubt = answer.covariance(&[name]).expect("a point");
                let get = |i, j| doubt.get(i, j).expect("known");
                get(0, 0) * unit.north().powi(2)
                    + get(1, 1) * unit.east().powi(2)
                    + 2.0 * get(0, 1) * unit.north() * unit.east()
            };
            prop_assert!(along(&after) <= along(&before) * (1.0 + 1e-9), "{name}");
        }
    }

    /// Shifting and turning what is known does so with all places.
    #[test]
    fn a_net_moves_with_its_known_points(
        seed in 0..1000_u64,
        turn in -180.0..180.0,
        north in -1e4..1e4,
        east in -1e4..1e4,
    ) {
        let net = TrueNet::yard().misread(&mut Draws::from(seed));
        let moved = |at: Point| {
            let way = at - Point::ORIGIN;
            let azimuth = way.azimuth().turned(Angle::from_degrees(turn).expect("in range"));
            Point::new(north, east).expect("in range")
                + fence_geom::Displacement::polar(azimuth, way.length())
        };
        let mut there = net.clone();
        there.known.iter_mut().for_each(|known| known.at = moved(known.at));
        let (here, there) = (one(&net), one(&there));
        for (point, other) in here.points.iter().zip(&there.points) {
            prop_assert!(moved(point.at).distance(other.at).feet() < 1e-6, "{}", point.name);
        }
        prop_assert!((here.misfit - there.misfit).abs() < 1e-6 * (1.0 + here.misfit));
    }
}
