//! Points by sights and a third tape: the doubt against Monte Carlo.

use fence_geom::{
    Azimuth, IntersectError, KnownPoint, Length, Point, Shift, Sight, SightedPoint, Sigma,
    TapeModel, Turn, point_from_sights, points_from_sight_and_tape, third_tape,
};
use fence_tests::{Draws, assert_printed};

fn sigma(x: f64) -> Sigma {
    Sigma::known(x).expect("a standard error")
}

fn feet(x: f64) -> Length {
    Length::from_feet(x).expect("in range")
}

fn pin(name: &str, north: f64, east: f64, doubt: f64) -> KnownPoint {
    KnownPoint {
        name: name.to_owned(),
        at: Point::new(north, east).expect("in range"),
        sigma: sigma(doubt),
    }
}

fn off(pin: &KnownPoint, draws: &mut Draws) -> KnownPoint {
    let doubt = pin.sigma.value().expect("known");
    let (north, east) = (doubt * draws.normal(), doubt * draws.normal());
    KnownPoint {
        at: Point::new(pin.at.north() + north, pin.at.east() + east).expect("in range"),
        ..pin.clone()
    }
}

fn toward(from: &KnownPoint, degrees: f64, doubt: f64) -> Sight {
    Sight::Toward {
        from: from.clone(),
        toward: Azimuth::from_degrees(degrees).expect("in range"),
        sigma: sigma(doubt),
    }
}

/// 20,000 draws leave 1 % in a variance; 4 % is four standard errors.
const DRAWS: u32 = 20_000;

#[track_caller]
fn agrees(point: &SightedPoint, draw: impl Fn(&mut Draws) -> Point) {
    let mut draws = Draws::from(5);
    let mut sums = [0.0; 3];
    for _ in 0..DRAWS {
        let way = draw(&mut draws) - point.at;
        sums[0] += way.north() * way.north();
        sums[1] += way.east() * way.east();
        sums[2] += way.length().feet().powi(2);
    }
    let n = f64::from(DRAWS);
    let north = point.sigma_north.value().expect("known").powi(2);
    let east = point.sigma_east.value().expect("known").powi(2);
    assert!(
        (sums[0] / n / north - 1.0).abs() < 0.04,
        "{} {north}",
        sums[0] / n
    );
    assert!(
        (sums[1] / n / east - 1.0).abs() < 0.04,
        "{} {east}",
        sums[1] / n
    );
    let ellipse = point.ellipse.expect("known");
    let axes = ellipse.semi_major().feet().powi(2) + ellipse.semi_minor().feet().powi(2);
    assert!((sums[2] / n / axes - 1.0).abs() < 0.04);
}

#[test]
fn two_directions_against_monte_carlo() {
    let (a, b) = (pin("A", 0.0, 0.0, 0.03), pin("B", 10.0, 90.0, 0.02));
    let point = point_from_sights(&toward(&a, 40.0, 0.002), &toward(&b, 300.0, 0.004));
    agrees(&point.expect("they meet"), |draws| {
        let (here, there) = (off(&a, draws), off(&b, draws));
        let first = toward(&here, 40.0 + (0.002 * draws.normal()).to_degrees(), 0.002);
        let second = toward(&there, 300.0 + (0.004 * draws.normal()).to_degrees(), 0.004);
        point_from_sights(&first, &second).expect("they meet").at
    });
}

/// Two sides of a lot share a pin, whose error moves both lines.
#[test]
fn two_offset_lines_against_monte_carlo() {
    let pins = [
        pin("A", 0.0, 0.0, 0.05),
        pin("B", 5.0, 80.0, 0.05),
        pin("C", 90.0, 60.0, 0.05),
    ];
    let lines = |pins: &[KnownPoint], by: [f64; 2]| {
        let line = |from: usize, to: usize, right: f64| Sight::Along {
            from: pins[from].clone(),
            to: pins[to].clone(),
            right: Shift::from_feet(right).expect("in range"),
            sigma: sigma(0.02),
        };
        point_from_sights(&line(0, 1, by[0]), &line(1, 2, by[1])).expect("they meet")
    };
    agrees(&lines(&pins, [-0.5, -0.5]), |draws| {
        let moved: Vec<KnownPoint> = pins.iter().map(|pin| off(pin, draws)).collect();
        let by = [0.0; 2].map(|_: f64| -0.5 + 0.02 * draws.normal());
        lines(&moved, by).at
    });
}

#[test]
fn a_direction_and_a_tape_against_monte_carlo() {
    let (a, tree) = (pin("A", 0.0, 0.0, 0.02), pin("tree", 20.0, 40.0, 0.02));
    let tape = TapeModel::default();
    let places = |line: &Sight, held: &KnownPoint, read: f64| {
        points_from_sight_and_tape(line, (held, feet(read)), &tape).expect("it reaches")
    };
    let both = places(&toward(&a, 80.0, 0.003), &tree, 35.0);
    assert_eq!(both.len(), 2);
    assert!(both[0].along < both[1].along);
    for (i, place) in both.iter().enumerate() {
        agrees(place, |draws| {
            let (here, held) = (off(&a, draws), off(&tree, draws));
            let line = toward(&here, 80.0 + (0.003 * draws.normal()).to_degrees(), 0.003);
            let doubt = tape.sigma(feet(35.0)).value().expect("known");
            places(&line, &held, 35.0 + doubt * draws.normal())[i].at
        });
    }
}

#[test]
fn a_third_tape_agrees_in_95_of_100_and_picks_the_hand() {
    let pins = [
        pin("A", 0.0, 0.0, 0.0),
        pin("B", 0.0, 60.0, 0.0),
        pin("C", 70.0, 20.0, 0.0),
    ];
    let place = Point::new(35.0, 25.0).expect("in range");
    let tape = TapeModel::default();
    let mut draws = Draws::from(9);
    let mut agreed = 0;
    let trials = 4_000;
    for _ in 0..trials {
        let stretch = 1.0 + tape.scale.value().expect("known") * draws.normal();
        let own = tape.reading.value().expect("known");
        let read = |pin: &KnownPoint, error: f64| {
            feet(pin.at.distance(place).feet() * stretch + own * error)
        };
        let errors = [draws.normal(), draws.normal(), draws.normal()];
        let tapes = [0, 1, 2].map(|i| (&pins[i], read(&pins[i], errors[i])));
        let [left, right] = third_tape(tapes, &tape).expect("they cross");
        assert_eq!((left.hand, right.hand), (Turn::Left, Turn::Right));
        agreed += u32::from(left.agrees == Some(true));
        assert_eq!(right.agrees, Some(false));
    }
    let share = f64::from(agreed) / f64::from(trials);
    // Four standard errors of 4,000 trials are 1.4 %.
    assert!((0.936..0.964).contains(&share), "{share}");
}

/// Source: J. Mahun, *Open Access Surveying Library*, web edition, self-study
/// solution "COGO Intersect and Transformations", Problem (1): direction-direction.
#[test]
fn mahun_intersect_problem_1_by_sights() {
    let dms = |d: f64, m: f64, s: f64| d + m / 60.0 + s / 3600.0;
    let (p1, p2) = (
        pin("P1", 1000.0, 2000.0, 0.0),
        pin("P2", 480.951, 1811.082, 0.0),
    );
    let first = toward(&p1, dms(253.0, 26.0, 15.0), 0.0);
    let second = toward(&p2, dms(314.0, 33.0, 26.0), 0.0);
    let point = point_from_sights(&first, &second).expect("they meet");
    assert_printed(point.at.north(), "836.445", 0.5);
    assert_printed(point.at.east(), "1450.051", 0.5);
    assert_eq!(point.sigma_north, Sigma::ZERO);
}

#[test]
fn lines_that_do_not_meet_are_refused() {
    let (a, b) = (pin("A", 0.0, 0.0, 0.0), pin("B", 0.0, 50.0, 0.0));
    let parallel = point_from_sights(&toward(&a, 30.0, 0.01), &toward(&b, 210.0, 0.01));
    assert_eq!(parallel, Err(IntersectError::Parallel));
    let on_itself = Sight::Along {
        from: a.clone(),
        to: KnownPoint {
            name: "A again".into(),
            ..a.clone()
        },
        right: Shift::ZERO,
        sigma: Sigma::ZERO,
    };
    let nowhere = point_from_sights(&on_itself, &toward(&b, 0.0, 0.01));
    assert_eq!(nowhere, Err(IntersectError::SamePoint));
    let tape = TapeModel::default();
    let short = points_from_sight_and_tape(&toward(&a, 0.0, 0.01), (&b, feet(10.0)), &tape);
    assert!(
        matches!(short, Err(IntersectError::Misses { gap }) if (gap.feet() - 40.0).abs() < 1e-9)
    );
    let grazing = points_from_sight_and_tape(&toward(&a, 0.0, 0.01), (&b, feet(50.0)), &tape);
    let grazing = grazing.expect("it touches");
    assert!(grazing.len() == 1 && grazing[0].sigma_north == Sigma::UNKNOWN);
}
