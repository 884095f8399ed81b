//! Slips put into closed tracts are found again.

use fence_geom::{
    Angle, Area, Azimuth, Bearing, CurveElement, CurveElements, Direction, EastWest, FootKind,
    Leaves, Length, LengthUnit, NorthSouth, Rounding, Slip, SlipFigure, SlipKind, SlipSearch,
    StatedCall, StatedCourse, StatedDirection, Tract, Turn, find_slips,
};
use fence_tests::Draws;

/// A bearing in seconds of arc and the digits of a distance in feet.
#[derive(Clone, Debug, PartialEq)]
struct Plain {
    south: bool,
    seconds: u32,
    west: bool,
    distance: String,
}

impl Plain {
    fn of(north: f64, east: f64) -> Self {
        let azimuth = east.atan2(north).to_degrees().rem_euclid(360.0);
        let bearing = Azimuth::from_degrees(azimuth).expect("in range").bearing();
        Self {
            south: bearing.from() == NorthSouth::South,
            seconds: whole(bearing.angle().degrees() * 3600.0),
            west: bearing.toward() == EastWest::West,
            distance: format!("{:.2}", north.hypot(east)),
        }
    }

    fn call(&self) -> StatedCall {
        let from = if self.south {
            NorthSouth::South
        } else {
            NorthSouth::North
        };
        let toward = if self.west {
            EastWest::West
        } else {
            EastWest::East
        };
        let angle = Angle::from_degrees(f64::from(self.seconds) / 3600.0).expect("in range");
        let bearing = Bearing::new(from, angle, toward).expect("in a quadrant");
        let decimals = self.distance.split_once('.').map_or(0, |(_, it)| it.len());
        let last = 0.1_f64.powi(i32::try_from(decimals).expect("few"));
        StatedCall {
            rounding: Rounding {
                distance: feet(last / 2.0),
                direction: Angle::from_degrees(0.5 / 3600.0).expect("in range"),
            },
            ..StatedCall::line(
                Some(StatedDirection::Given(Direction::Bearing(bearing))),
                Some(feet(self.distance.parse().expect("digits"))),
            )
        }
    }

    /// The bearing and the distance as they are printed.
    fn texts(&self) -> [String; 2] {
        let (minutes, seconds) = (self.seconds / 60, self.seconds % 60);
        let bearing = format!(
            "{} {}°{:02}'{seconds:02}\" {}",
            if self.south { "S" } else { "N" },
            minutes / 60,
            minutes % 60,
            if self.west { "W" } else { "E" }
        );
        let distance = format!("{} ft", self.distance);
        [bearing, distance]
    }
}

fn feet(feet: f64) -> Length {
    Length::from_feet(feet).expect("a length")
}

fn whole(number: f64) -> u32 {
    format!("{number:.0}").parse().expect("a small count")
}

fn pick(draws: &mut Draws, count: usize) -> usize {
    let picked = draws.even() * f64::from(u32::try_from(count).expect("few"));
    format!("{:.0}", picked.floor()).parse().expect("small")
}

/// A star-shaped tract of 4 to 12 calls, and the area inside it.
fn closed(draws: &mut Draws) -> (Vec<Plain>, f64) {
    let count = 4 + pick(draws, 9);
    let corners: Vec<(f64, f64)> = (0..count)
        .map(|i| {
            let step = std::f64::consts::TAU / f64::from(u32::try_from(count).expect("few"));
            let turn = (f64::from(u32::try_from(i).expect("few")) + 0.8 * draws.even()) * step;
            let radius = 100.0 + 500.0 * draws.even();
            (radius * turn.cos(), radius * turn.sin())
        })
        .collect();
    let sides = || corners.iter().zip(corners.iter().cycle().skip(1));
    let calls = sides()
        .map(|(a, b)| Plain::of(b.0 - a.0, b.1 - a.1))
        .collect();
    let twice: f64 = sides().map(|(a, b)| a.0 * b.1 - a.1 * b.0).sum();
    (calls, twice.abs() / 2.0)
}

/// One slip in the digits of a number.
fn slipped_digits(draws: &mut Draws, number: &str) -> String {
    let mut changed: Vec<char> = number.chars().collect();
    let places: Vec<usize> = (0..changed.len())
        .filter(|&at| changed[at] != '.')
        .collect();
    let which = pick(draws, places.len());
    let at = places[which];
    match pick(draws, 4) {
        0 => changed[at] = char::from(b'0' + u8::try_from(pick(draws, 10)).expect("a digit")),
        1 => changed.insert(at, changed[at]),
        2 if places.len() > 1 => {
            changed.remove(at);
        }
        _ => changed.swap(at, places.get(which + 1).copied().unwrap_or(at)),
    }
    changed.into_iter().collect()
}

fn slipped_count(draws: &mut Draws, count: u32) -> u32 {
    let slipped = slipped_digits(draws, &count.to_string());
    slipped.parse().expect("digits")
}

/// A call with one slip in it.
fn slipped(draws: &mut Draws, call: &Plain) -> Plain {
    let mut wrong = call.clone();
    match pick(draws, 8) {
        0 => wrong.south = !wrong.south,
        1 => wrong.west = !wrong.west,
        2 => (wrong.south, wrong.west) = (!wrong.south, !wrong.west),
        3 => {
            let (degrees, rest) = (call.seconds / 3600, call.seconds % 3600);
            wrong.seconds = slipped_count(draws, degrees) * 3600 + rest;
        }
        4 => {
            let minutes = call.seconds / 60 % 60;
            let changed = Some(slipped_count(draws, minutes)).filter(|&it| it < 60);
            wrong.seconds = call.seconds + changed.unwrap_or(minutes) * 60 - minutes * 60;
        }
        _ => wrong.distance = slipped_digits(draws, &call.distance),
    }
    wrong
}

/// What a search says of a closed tract with a slip in it; `None` where the slip
/// is none or too small to be seen.
fn search(draws: &mut Draws, with_area: bool) -> Option<(Plain, usize, SlipSearch)> {
    let (calls, area) = closed(draws);
    let at = pick(draws, calls.len());
    let wrong = slipped(draws, &calls[at]);
    if wrong.seconds > 324_000 || wrong.distance.starts_with('0') {
        return None;
    }
    let mut stated: Vec<StatedCall> = calls.iter().map(Plain::call).collect();
    stated[at] = wrong.call();
    let acres = f64::from(whole(area / 43.56)) / 1000.0;
    let tract = Tract {
        calls: stated,
        stated_area: with_area.then(|| Area::from_square_feet(acres * 43_560.0).expect("an area")),
        ..Tract::default()
    };
    let search = find_slips(&tract, feet(0.05)).expect("whole");
    (search.tried > 0 && search.closing_course.1 > feet(1.0))
        .then(|| (calls[at].clone(), at, search))
}

fn is_it(slip: &Slip, right: &Plain, at: usize) -> bool {
    slip.call == at && right.texts().contains(&slip.after)
}

/// How often the slip is listed, and how often first, of so many.
fn rates(with_area: bool) -> (usize, usize, usize) {
    let mut draws = Draws::from(3);
    let (mut listed, mut first, mut all) = (0, 0, 0);
    while all < 500 {
        let Some((right, at, search)) = search(&mut draws, with_area) else {
            continue;
        };
        all += 1;
        let rank = search.slips.iter().position(|slip| is_it(slip, &right, at));
        listed += usize::from(rank.is_some());
        first += usize::from(rank == Some(0));
    }
    (listed, first, all)
}

#[test]
fn a_slip_in_a_tract_of_known_area_is_found_and_nearly_always_first() {
    let (listed, first, all) = rates(true);
    assert_eq!(listed, all);
    assert!(first * 100 >= all * 99, "{first} of {all}");
}

#[test]
fn without_an_area_it_is_still_found() {
    let (listed, first, all) = rates(false);
    assert_eq!(listed, all);
    assert!(first * 100 >= all * 98, "{first} of {all}");
}

/// The first slip of a tract whose calls were tampered with.
fn first_after(tamper: impl Fn(&mut Vec<StatedCall>)) -> Slip {
    let mut draws = Draws::from(7);
    let (calls, _) = closed(&mut draws);
    let mut calls: Vec<StatedCall> = calls.iter().map(Plain::call).collect();
    tamper(&mut calls);
    let tract = Tract {
        calls,
        ..Tract::default()
    };
    let search = find_slips(&tract, feet(0.05)).expect("whole");
    search.slips.into_iter().next().expect("a slip")
}

#[test]
fn slips_of_whole_calls_are_found() {
    let doubled = first_after(|calls| calls.insert(2, calls[1].clone()));
    assert_eq!(doubled.kind, SlipKind::ExtraCall);
    assert!((1..=2).contains(&doubled.call));

    let exchanged = first_after(|calls| {
        let (a, b) = (calls[1].course, calls[2].course);
        let (
            StatedCourse::Line {
                direction,
                distance,
            },
            StatedCourse::Line {
                direction: next,
                distance: next_distance,
            },
        ) = (a, b)
        else {
            panic!("lines");
        };
        calls[1].course = StatedCourse::Line {
            direction: next,
            distance,
        };
        calls[2].course = StatedCourse::Line {
            direction,
            distance: next_distance,
        };
    });
    assert_eq!(
        (exchanged.kind, exchanged.call),
        (SlipKind::ExchangedFigures, 1)
    );
}

#[test]
fn a_distance_in_another_unit_is_found() {
    let rods = first_after(|calls| {
        if let StatedCourse::Line {
            distance: Some(distance),
            ..
        } = &mut calls[3].course
        {
            let rods = LengthUnit::Rod(FootKind::International);
            *distance = rods.length(distance.feet()).expect("a length");
        }
        calls[3].rounding.distance = feet(0.005 * 16.5);
    });
    assert_eq!((rods.kind, rods.call), (SlipKind::OtherUnit, 3));
    assert!(
        rods.before.ends_with(" rd") && rods.after.ends_with(" ft"),
        "{rods:?}"
    );
}

/// A tract that turns from call to call is the same tract as one of bearings, and
/// one wrong turn swings all that follows.
#[test]
fn a_wrong_turn_is_found() {
    let turned = |degrees: f64, turn| StatedDirection::Turned {
        angle: Angle::from_degrees(degrees).expect("an angle"),
        turn,
    };
    let call = |direction, distance| StatedCall {
        rounding: Rounding {
            distance: feet(0.005),
            direction: Angle::from_degrees(1.0 / 120.0).expect("an angle"),
        },
        ..StatedCall::line(Some(direction), Some(feet(distance)))
    };
    let north = StatedDirection::Given(Direction::Azimuth(Azimuth::NORTH));
    let tract = Tract {
        calls: vec![
            call(north, 200.0),
            call(turned(90.0, Turn::Right), 150.0),
            call(turned(60.0, Turn::Right), 80.0),
            call(turned(30.0, Turn::Left), 200.0 - 40.0 * 3.0_f64.sqrt()),
            call(turned(90.0, Turn::Right), 190.0),
        ],
        ..Tract::default()
    };
    let search = find_slips(&tract, feet(0.05)).expect("whole");
    let first = search.slips.first().expect("a slip");
    assert_eq!(
        (first.call, first.kind),
        (3, SlipKind::OtherHand),
        "{search:#?}"
    );
}

/// A tract with a curve that hangs on the call before, closed, with one slip.
fn with_curve(tamper: impl Fn(&mut CurveElements)) -> (Tract, SlipSearch) {
    let north = |degrees| Direction::Azimuth(Azimuth::from_degrees(degrees).expect("in range"));
    let line = |degrees, distance| {
        StatedCall::line(
            Some(StatedDirection::Given(north(degrees))),
            Some(feet(distance)),
        )
    };
    let mut elements = CurveElements {
        turn: Some(Turn::Right),
        radius: Some(feet(50.0)),
        delta: Some(Angle::RIGHT),
        arc: Some(feet(78.54)),
        leaves: Leaves::Tangent,
        ..CurveElements::default()
    };
    tamper(&mut elements);
    let tract = Tract {
        calls: vec![
            line(0.0, 120.0),
            StatedCall::curve(elements),
            line(90.0, 80.0),
            line(180.0, 170.0),
            line(270.0, 130.0),
        ],
        ..Tract::default()
    };
    let search = find_slips(&tract, feet(0.05)).expect("whole");
    (tract, search)
}

#[test]
fn slips_in_a_curve_are_found() {
    let (_, search) = with_curve(|_| ());
    assert!(search.slips.is_empty(), "{search:?}");

    let (_, search) = with_curve(|curve| curve.turn = Some(Turn::Left));
    let first = search.slips.first().expect("a slip");
    assert_eq!(first.figure, SlipFigure::Curve(CurveElement::Turn));
    assert_eq!(first.kind, SlipKind::OtherHand);
    assert_eq!(
        (first.before.as_str(), first.after.as_str()),
        ("left", "right")
    );

    // Radius and central angle fix a curve, and the arc contradicts it: which of the
    // three is wrong only the closure says.
    let (_, search) = with_curve(|curve| curve.radius = Some(feet(80.0)));
    let first = search.slips.first().expect("a slip");
    assert_eq!(first.figure, SlipFigure::Curve(CurveElement::Radius));
    assert_eq!(first.kind, SlipKind::ConflictingElement);
    assert_eq!(
        (first.before.as_str(), first.after.as_str()),
        ("80 ft", "50 ft")
    );

    // Without the arc nothing contradicts the wrong radius.
    let (_, search) = with_curve(|curve| {
        curve.arc = None;
        curve.radius = Some(feet(80.0));
    });
    let first = search.slips.first().expect("a slip");
    assert_eq!(first.figure, SlipFigure::Curve(CurveElement::Radius));
    assert_eq!(
        (first.before.as_str(), first.after.as_str()),
        ("80 ft", "50 ft")
    );
}
