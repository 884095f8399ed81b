//! What must always hold of the reader of descriptions.

use std::fmt::Write;

use fence_geom::{
    Angle, Azimuth, Beginning, CurveElements, Degree, DegreeOf, Direction, FootKind, Leaves,
    Length, Radial, StatedCall, StatedCourse, StatedDirection, Tract, Turn, describe,
    read_description,
};
use proptest::prelude::*;

fn length() -> impl Strategy<Value = Length> {
    (1_u32..400_000).prop_map(|h| Length::from_feet(f64::from(h) / 100.0).expect("a length"))
}

/// A quadrant bearing to the second, as its parts.
fn quadrant() -> impl Strategy<Value = (bool, u32, bool)> {
    (any::<bool>(), 0_u32..=324_000, any::<bool>())
}

fn direction() -> impl Strategy<Value = Direction> {
    quadrant().prop_map(|(north, seconds, east)| {
        let angle = f64::from(seconds) / 3600.0;
        let degrees = match (north, east) {
            (true, true) => angle,
            (false, true) => 180.0 - angle,
            (false, false) => 180.0 + angle,
            (true, false) => 360.0 - angle,
        };
        Direction::Azimuth(Azimuth::from_degrees(degrees).expect("an azimuth"))
    })
}

fn angle() -> impl Strategy<Value = Angle> {
    (3_600_u32..640_000).prop_map(|s| Angle::from_degrees(f64::from(s) / 3600.0).expect("an angle"))
}

fn turn() -> impl Strategy<Value = Turn> {
    prop_oneof![Just(Turn::Left), Just(Turn::Right)]
}

fn line() -> impl Strategy<Value = StatedCall> {
    let given = direction().prop_map(|d| Some(StatedDirection::Given(d)));
    let turned =
        (angle(), turn()).prop_map(|(angle, turn)| Some(StatedDirection::Turned { angle, turn }));
    let on = Just(Some(StatedDirection::Turned {
        angle: Angle::ZERO,
        turn: Turn::Right,
    }));
    let stated = prop_oneof![6 => given, 1 => turned, 1 => on, 1 => Just(None)];
    (stated, prop::option::weighted(0.9, length())).prop_map(|(d, l)| StatedCall::line(d, l))
}

fn curve() -> impl Strategy<Value = StatedCall> {
    let leaves = prop_oneof![
        Just(Leaves::Unsaid),
        Just(Leaves::Tangent),
        Just(Leaves::NotTangent),
        Just(Leaves::Cusp)
    ];
    let radial = prop::option::of(prop_oneof![
        direction().prop_map(Radial::ToCenter),
        direction().prop_map(Radial::FromCenter)
    ]);
    let degree = prop::option::of((angle(), any::<bool>()).prop_map(|(angle, arc)| Degree {
        angle,
        of: if arc { DegreeOf::Arc } else { DegreeOf::Chord },
        foot: FootKind::International,
    }));
    let lengths = [(); 4].map(|()| prop::option::of(length()));
    (
        (prop::option::of(turn()), leaves, radial, degree),
        length(),
        lengths,
        prop::option::of(angle()),
        prop::option::of(direction()),
    )
        .prop_map(
            |(
                (turn, leaves, radial, degree),
                radius,
                [arc, chord, tangent, _],
                delta,
                chord_direction,
            )| {
                StatedCall::curve(CurveElements {
                    turn,
                    concave: None,
                    radius: Some(radius),
                    delta,
                    arc,
                    chord,
                    chord_direction,
                    tangent,
                    degree,
                    radial,
                    leaves,
                })
            },
        )
}

fn tract() -> impl Strategy<Value = Tract> {
    let call = || prop_oneof![3 => line(), 1 => curve()];
    (
        prop::collection::vec(line(), 0..3),
        prop::collection::vec(call(), 1..9),
        any::<bool>(),
    )
        .prop_map(|(ties, calls, is_exception)| Tract {
            beginning: Beginning::default(),
            ties,
            calls,
            is_exception,
            ..Tract::default()
        })
}

fn same_direction(a: Direction, b: Direction) -> bool {
    let gap = a.azimuth().clockwise_to(b.azimuth()).degrees();
    gap.min(360.0 - gap) < 1e-9
}

fn same(a: &StatedCall, b: &StatedCall) -> bool {
    let near = |a: Angle, b: Angle| (a.degrees() - b.degrees()).abs() < 1e-9;
    match (&a.course, &b.course) {
        (
            StatedCourse::Line {
                direction,
                distance,
            },
            StatedCourse::Line {
                direction: d,
                distance: l,
            },
        ) => {
            distance == l
                && match (direction, d) {
                    (None, None) => true,
                    (Some(StatedDirection::Given(a)), Some(StatedDirection::Given(b))) => {
                        same_direction(*a, *b)
                    }
                    (
                        Some(StatedDirection::Turned { angle, turn }),
                        Some(StatedDirection::Turned { angle: a, turn: t }),
                    ) => near(*angle, *a) && (turn == t || *angle == Angle::ZERO),
                    _ => false,
                }
        }
        (StatedCourse::Curve(a), StatedCourse::Curve(b)) => {
            let angles = |a: Option<Angle>, b: Option<Angle>| match (a, b) {
                (Some(a), Some(b)) => near(a, b),
                (a, b) => a == b,
            };
            let directions = |a: Option<Direction>, b: Option<Direction>| match (a, b) {
                (Some(a), Some(b)) => same_direction(a, b),
                (a, b) => a.is_none() && b.is_none(),
            };
            let radials = match (a.radial, b.radial) {
                (Some(Radial::ToCenter(a)), Some(Radial::ToCenter(b)))
                | (Some(Radial::FromCenter(a)), Some(Radial::FromCenter(b))) => {
                    same_direction(a, b)
                }
                (a, b) => a.is_none() && b.is_none(),
            };
            a.turn == b.turn
                && a.leaves == b.leaves
                && a.radius == b.radius
                && a.arc == b.arc
                && a.chord == b.chord
                && a.tangent == b.tangent
                && angles(a.delta, b.delta)
                && angles(a.degree.map(|d| d.angle), b.degree.map(|d| d.angle))
                && a.degree.map(|d| d.of) == b.degree.map(|d| d.of)
                && directions(a.chord_direction, b.chord_direction)
                && radials
        }
        _ => false,
    }
}

/// One way to write a bearing.
fn spelled(north: bool, seconds: u32, east: bool, style: usize) -> String {
    let (d, m, s) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    let (n, e) = (if north { "N" } else { "S" }, if east { "E" } else { "W" });
    let (north, east) = (
        if north { "North" } else { "South" },
        if east { "East" } else { "West" },
    );
    match style {
        0 => format!("{n} {d}°{m:02}'{s:02}\" {e}"),
        1 => format!("{n}{d:02}-{m:02}-{s:02}{e}"),
        2 => format!("{north} {d} degrees {m} minutes {s} seconds {east}"),
        3 => format!("{n}. {d} deg. {m:02} min. {s:02} sec. {e}."),
        4 => format!("{n} {d} DEG {m}' {s}\" {e}"),
        5 => format!("{north} {d}° {m:02}′ {s:02}″ {east}"),
        6 => format!("{n}{d}d{m}m{s}s{e}"),
        // A degree sign that a copying machine made a nought: two figures before it.
        _ if d < 10 => format!("{n} {d}^{m:02}'{s:02}\" {e}").replace('^', "°"),
        _ => format!("{n} {d:02}0 {m:02}' {s:02}\" {e}"),
    }
}

/// One way to write hundredths of a foot.
fn distance(hundredths: u32, style: usize) -> String {
    let (feet, rest) = (hundredths / 100, hundredths % 100);
    match style {
        0 => format!("{feet}.{rest:02} feet"),
        1 => format!("a distance of {feet}.{rest:02} ft."),
        2 => format!("{feet}.{rest:02}'"),
        3 => format!("for a distance of {feet}.{rest:02} feet, more or less,"),
        _ if feet >= 1000 => format!("{},{:03}.{rest:02} feet", feet / 1000, feet % 1000),
        _ => format!("{feet}.{rest:02} FT"),
    }
}

proptest! {
    #[test]
    fn what_is_described_reads_back(tract in tract()) {
        let text = describe(&tract);
        let read = read_description(&text).expect("it reads");
        prop_assert!(read.unread.is_empty(), "{text}\n{:?}", read.unread);
        prop_assert_eq!(read.tracts.len(), 1, "{}", &text);
        let again = &read.tracts[0];
        prop_assert_eq!(again.is_exception, tract.is_exception);
        prop_assert_eq!(again.ties.len(), tract.ties.len(), "{}", &text);
        prop_assert_eq!(again.calls.len(), tract.calls.len(), "{}", &text);
        let all = tract.ties.iter().chain(&tract.calls);
        for (was, is) in all.zip(again.ties.iter().chain(&again.calls)) {
            prop_assert!(same(was, is), "{}\n{:?}\n{:?}", &text, was, is);
        }
    }

    #[test]
    fn every_spelling_of_a_call_reads_as_the_same_call(
        calls in prop::collection::vec((quadrant(), 1_u32..500_000, 0..8_usize, 0..5_usize), 1..12),
    ) {
        let mut text = String::from("Beginning at an iron pin");
        for ((north, seconds, east), hundredths, style, distance_style) in &calls {
            let _ = write!(
                text,
                "; thence {} {} to a stake",
                spelled(*north, *seconds, *east, *style),
                distance(*hundredths, *distance_style)
            );
        }
        text.push('.');
        let read = read_description(&text).expect("it reads");
        prop_assert!(read.unread.is_empty(), "{text}\n{:?}", read.unread);
        prop_assert_eq!(read.tracts[0].calls.len(), calls.len());
        for (call, ((north, seconds, east), hundredths, ..)) in read.tracts[0].calls.iter().zip(&calls) {
            let plain = spelled(*north, *seconds, *east, 0);
            let wanted = StatedCall::line(
                Some(StatedDirection::Given(plain.parse().expect("a bearing"))),
                Some(Length::from_feet(f64::from(*hundredths) / 100.0).expect("a length")),
            );
            prop_assert!(same(call, &wanted), "{}\n{:?}\n{:?}", &text, call, &wanted);
        }
    }

    #[test]
    fn no_text_is_too_strange(text in "(?s).{0,200}") {
        let _ = read_description(&text);
    }

    #[test]
    fn places_lie_in_the_text(text in "(thence |N |45|°|' |E |100 feet |to the |point of beginning|; |curve |radius |, |arc |chord |\n|left |é|½ ){0,40}") {
        if let Ok(read) = read_description(&text) {
            for unread in &read.unread {
                prop_assert!(text.get(unread.at.clone()).is_some());
                prop_assert!(unread.fault.words.get(unread.fault.at.clone()).is_some());
            }
            for assumed in &read.assumed {
                prop_assert!(text.get(assumed.at.clone()).is_some());
            }
            for call in read.tracts.iter().flat_map(|tract| tract.ties.iter().chain(&tract.calls)) {
                let written = call.written.as_ref().expect("a place");
                prop_assert_eq!(text.get(written.at.clone()), Some(written.words.as_str()));
            }
        }
    }
}
