use super::{Description, read_description};
use crate::curve::{CurveElements, DegreeOf, Leaves, Radial};
use crate::ring::Turn;
use crate::tract::{StatedCall, StatedCourse, StatedDirection};

fn read(text: &str) -> Description {
    read_description(text).expect("calls")
}

/// A call in few words: azimuth or turn, and feet; `?` for what is missing.
fn short(call: &StatedCall) -> String {
    match &call.course {
        StatedCourse::Line {
            direction,
            distance,
        } => {
            let direction = match direction {
                Some(StatedDirection::Given(d)) => format!("{:.4}", d.azimuth().degrees()),
                Some(StatedDirection::Turned { angle, turn }) => {
                    format!("{turn:?} {:.4}", angle.degrees())
                }
                None => "?".to_owned(),
            };
            let distance = distance.map_or("?".to_owned(), |d| format!("{:.3}", d.feet()));
            format!("{direction} {distance}")
        }
        StatedCourse::Curve(_) => "curve".to_owned(),
    }
}

/// The calls that follow "Beginning at a pin; thence", all of them read.
fn calls(words: &str) -> Vec<String> {
    let read = read(&format!("Beginning at a pin; thence {words}"));
    assert!(read.unread.is_empty(), "{words}: {:?}", read.unread);
    assert_eq!(read.tracts.len(), 1, "{words}");
    read.tracts[0].calls.iter().map(short).collect()
}

fn curve(words: &str) -> CurveElements {
    let read = read(&format!(
        "Beginning at a pin; thence N 10 E 20 feet; thence {words}"
    ));
    assert!(read.unread.is_empty(), "{words}: {:?}", read.unread);
    match &read.tracts[0].calls[1].course {
        StatedCourse::Curve(elements) => *elements,
        StatedCourse::Line { .. } => panic!("{words}: no curve"),
    }
}

#[test]
fn bearings_in_every_form() {
    for (words, wanted) in [
        ("N 45°30'15\" E 104.37 feet", "45.5042 104.370"),
        ("N45-30-15E 104.37'", "45.5042 104.370"),
        ("S64°04'55\" E-240.18'", "115.9181 240.180"),
        ("South 89°18'00\" West 10 feet", "269.3000 10.000"),
        (
            "North 12 degrees 01 minute 54 seconds East, 10 feet",
            "12.0317 10.000",
        ),
        ("N. 88 deg. 10 min. 30 sec. W. 10 ft.", "271.8250 10.000"),
        ("S 28 DEG 28' 23\" E 10 FT", "151.5269 10.000"),
        ("South 88 degrees 44’ West 10 feet", "268.7333 10.000"),
        (
            "north thirty-six degrees no minutes west, ten feet",
            "324.0000 10.000",
        ),
        ("north, five degrees east, ten feet", "5.0000 10.000"),
        ("S. 58° W. 10 feet", "238.0000 10.000"),
        ("north 45 east 10 feet", "45.0000 10.000"),
        ("due west 10 feet", "270.0000 10.000"),
        ("W 10 FT", "270.0000 10.000"),
        ("run North 484.0", "0.0000 484.000"),
        ("North 19-1/2 degrees East 10 feet", "19.5000 10.000"),
        ("N 45d30m15sE 10 feet", "45.5042 10.000"),
        (
            "South Eighty-nine Degrees, Thirty Minutes and Six Seconds East, 10 feet",
            "90.4983 10.000",
        ),
        (
            "in a northerly direction North 2°15' West 10 feet",
            "357.7500 10.000",
        ),
        (
            "on a bearing of N 2°15'10.5\" E a distance of 10 feet",
            "2.2529 10.000",
        ),
    ] {
        assert_eq!(calls(words), [wanted], "{words}");
    }
}

#[test]
fn damaged_signs_are_repaired_and_listed() {
    for (words, wanted) in [
        ("N 121 27' 28\" W 10 feet", "347.5422 10.000"),
        ("S 870 25' 26\"E 10 feet", "92.5761 10.000"),
        ("N 06' 15' 59\" E 10 feet", "6.2664 10.000"),
        ("N 50\" 53' 35\"E 10 feet", "50.8931 10.000"),
        ("N47°321 59\" E 10 feet", "47.5497 10.000"),
        ("S 79° 441 E 10 feet", "100.2667 10.000"),
        ("N52004'03\"W 10 feet", "307.9325 10.000"),
        ("NO 1 048' 3 8\"W 10 feet", "358.1894 10.000"),
        ("SOl 048'38\"E 10 feet", "178.1894 10.000"),
        ("S53016'1l \"W 10 feet", "233.2697 10.000"),
        ("S 37023'3811 W 10 feet", "217.3939 10.000"),
        ("N 45¦30'15\" E 10 feet", "45.5042 10.000"),
        ("N 89'11' W 10 feet", "270.8167 10.000"),
        ("S 40'22\"W 10 feet", "180.6728 10.000"),
    ] {
        assert_eq!(calls(words), [wanted], "{words}");
        let read = read(&format!("Beginning at a pin; thence {words}"));
        assert_eq!(read.assumed.len(), 1, "{words}: {:?}", read.assumed);
        let written = &read.tracts[0].calls[0].written;
        assert!(written.as_ref().is_some_and(|w| w.line == 1));
    }
}

#[test]
fn a_nought_that_may_be_a_sign_is_refused_unless_the_text_has_others() {
    let alone = read("Beginning at a pin; thence S 060 14' W 10 feet.");
    assert_eq!(alone.unread.len(), 1);
    let beside = calls("S 680 23' W 10 feet; thence S 060 14' W 10 feet");
    assert_eq!(beside, ["248.3833 10.000", "186.2333 10.000"]);
    let two = read("Beginning at a pin; thence S 680 23' W 10 feet; thence N 80 04' E 9 feet.");
    assert_eq!(two.unread.len(), 1);
}

#[test]
fn what_can_be_no_bearing_is_unread() {
    for words in [
        "N 10°20'75\" W 50 feet",
        "S 95°10' W 40 feet",
        "S 89°60'00\" E 20 feet",
        "N 91 30' E 20 feet",
        "N. 61°30', 50 feet",
        "89'11'38\" East 20 feet",
        "89°11'38\" East 20 feet",
        "west 19 1/2 degrees 30 feet",
        "N 4~ 30' 27\" E 158.1 feet",
        "South OCT 52' 29' West o ~stonce of 51.00 feet",
        "South 8g' 47' 11' Eo~t~o 17.0 feet",
        "North 40' East 30'",
        "N 10 E 7.14.48 feet",
        "N 10 E 994% varas",
        "N 88050137;1 W 20 feet",
        "Norlh 45 East 17 feet",
        "N 45 E along the line 20 feet 30 feet",
    ] {
        let read = read(&format!(
            "Beginning at a pin; thence N 10 E 5 feet; thence {words} to a stake."
        ));
        assert_eq!(
            read.tracts[0].calls.len(),
            1,
            "{words}: {:?}",
            read.tracts[0].calls
        );
        assert!(!read.unread.is_empty(), "{words}");
        let unread = &read.unread[0];
        assert!(!unread.fault.at.is_empty(), "{words}");
        assert!(unread.fault.words.get(unread.fault.at.clone()).is_some());
    }
}

#[test]
fn distances_in_every_form() {
    for (words, wanted) in [
        ("240.18'", 240.18),
        (".71 FT", 0.71),
        ("a distance of 1,262.04 feet", 1262.04),
        ("for a distance of 12 feet 6-1/2 inches", 12.0 + 6.5 / 12.0),
        ("12'-6\"", 12.5),
        (
            "six hundred eighty-four and fifty hundredths (684.50) feet",
            684.5,
        ),
        (
            "one thousand two hundred sixty two and four hundredths (1,262.04) feet",
            1262.04,
        ),
        (
            "fifty-five perches and five-tenths of a perch",
            55.5 * 16.500_033,
        ),
        ("fifty two chains fifty links", 52.5 * 66.000_132),
        (
            "one hundred and four feet and thirty-seven hundredths",
            104.37,
        ),
        (
            "seven and seventy-three one-hundredths chains",
            7.73 * 66.000_132,
        ),
        ("2 ch., 15 lk.", 2.15 * 66.000_132),
        ("10 rods", 165.000_33),
        ("10.5 poles", 10.5 * 16.500_033),
        ("994½ varas", 994.5 / 0.36),
        ("36.576 meters (120.00 feet)", 120.0),
        ("2,315 meters (7.60 feet)", 2.315 / 0.3048),
        ("354 . 3 feet", 354.3),
        ("2375+ feet", 2375.0),
        ("100 feet, more or less,", 100.0),
        ("100 U.S. survey feet", 100.000_2),
        ("1/2 mile", 2640.0),
        ("nine hundred and forty feet", 940.0),
        ("twenty-five and one-half feet", 25.5),
        ("six hundred eighty-four point five zero feet", 684.5),
    ] {
        let read = read(&format!(
            "Beginning at a pin; thence N 10 E {words} to a stake."
        ));
        assert!(read.unread.is_empty(), "{words}: {:?}", read.unread);
        let call = &read.tracts[0].calls[0];
        let StatedCourse::Line {
            distance: Some(distance),
            ..
        } = &call.course
        else {
            panic!("{words}: {call:?}");
        };
        assert!(
            (distance.feet() - wanted).abs() < 1e-4,
            "{words}: {}",
            distance.feet()
        );
    }
}

#[test]
fn words_hold_against_figures_and_that_is_said() {
    let read = read(
        "Beginning at a pin; thence N 10 E Six Hundred Eighty-four and Fifty Hundredths (634.50) feet.",
    );
    assert_eq!(short(&read.tracts[0].calls[0]), "10.0000 684.500");
    assert!(read.assumed[0].sentence.contains("634.5"));
}

#[test]
fn a_unit_left_out_is_carried_and_that_is_said() {
    let read = read("Beginning at a pin; thence N 10 E 10 rods; thence N 80 E 20 to a stake.");
    assert_eq!(short(&read.tracts[0].calls[1]), "80.0000 330.001");
    assert!(
        read.assumed
            .iter()
            .any(|a| a.sentence.contains("the unit before"))
    );
}

#[test]
fn what_is_no_call_is_not_read_as_one() {
    let text = "Beginning at the east line of Oak Street, a 60 foot right of way (60' R/W); thence \
        along the north line of Lot 7, Block 12, as recorded in Book 9 at Page 188, N 88-10-20 E \
        150.00 feet to a 5/8\" rebar, from which a 10 inch oak bears S 35 W 10.5 feet; thence along \
        a line 30 feet north of and parallel with the center of a 20-foot alley 20 feet wide, S \
        88-10-20 W 150 feet to a post 4 feet high. Subject to a 10 foot utility easement. Basis of \
        bearings: the east line bears N 1°49'40\" W.";
    let read = read(text);
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    let calls: Vec<String> = read.tracts[0].calls.iter().map(short).collect();
    assert_eq!(calls, ["88.1722 150.000", "268.1722 150.000"]);
    assert!(!read.notes.is_empty());
    let considered = self::read(
        "Beginning at a corner and considering the north line to bear S 89°50'21\" W with all \
         bearings relative thereto; thence S 89°50'21\" W 395 feet.",
    );
    assert!(considered.tracts[0].ties.is_empty());
    assert_eq!(considered.tracts[0].calls.len(), 1);
    let placed = self::read(
        "Beginning at a pin; thence S 5 W 100 feet to a point, said point lying S 45 E 12.2 feet \
         from a maple; said point being N 20 W 9 feet from a pole; thence N 5 E 100 feet.",
    );
    assert!(placed.unread.is_empty(), "{:?}", placed.unread);
    assert_eq!(placed.tracts[0].calls.len(), 2);
    assert_eq!(placed.notes.len(), 2);
}

#[test]
fn a_clause_with_a_broken_bearing_is_shown_whatever_begins_it() {
    let read = read("Beginning at a pin; thence N 10 E 20 feet; ffom there S 10*55'66\" E 9 feet.");
    assert_eq!(read.unread.len(), 1, "{read:?}");
}

#[test]
fn offices_abbreviate() {
    let text = "Beg at NE cor Lot 4, Blk 2; th S 0*15'20\" E 132.00 ft; th. W'ly 66.0 ft par w/ N \
                line of sd lot; th N 0^15'20\" W 132.00 ft to the 6th post; th E 66.00 ft to POB.";
    let read = read(text);
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    let calls: Vec<String> = read.tracts[0].calls.iter().map(short).collect();
    assert_eq!(
        calls,
        [
            "179.7444 132.000",
            "? 66.000",
            "359.7444 132.000",
            "90.0000 66.000"
        ]
    );
}

#[test]
fn only_the_whole_of_a_passed_line_counts() {
    assert_eq!(
        calls("N 10 E, at 674.05 feet pass a stone, in all a total distance of 1200 feet"),
        ["10.0000 1200.000"]
    );
    assert_eq!(
        calls(
            "southerly, passing the corner at 290.4 feet, and continuing south, in all a distance of 1,429.50 feet"
        ),
        ["180.0000 1429.500"]
    );
}

#[test]
fn several_calls_stand_in_one_clause() {
    assert_eq!(
        calls("with said line, viz: N 10 E 20 feet, N 20 E 30 feet and N 30 E 40 feet to a stake"),
        ["10.0000 20.000", "20.0000 30.000", "30.0000 40.000"]
    );
    assert_eq!(
        calls("west 10 feet, north 20 feet and east 30 feet"),
        ["270.0000 10.000", "0.0000 20.000", "90.0000 30.000"]
    );
    assert_eq!(
        calls("as follows:\n(1) N 10 E 20 feet\n(2) 30 feet, N 20 E\n3. S 5 W 9 feet"),
        ["10.0000 20.000", "20.0000 30.000", "185.0000 9.000"]
    );
}

#[test]
fn turned_and_carried_directions() {
    assert_eq!(
        calls(
            "deflecting right 91°, 20 feet; thence deflecting 21°33'43\" left, a distance of 9 feet"
        ),
        ["Right 91.0000 20.000", "Left 21.5619 9.000"]
    );
    assert_eq!(
        calls("N 10 E 20 feet; thence continue 30 feet; thence at right angles to the left 5 feet"),
        [
            "10.0000 20.000",
            "Right 0.0000 30.000",
            "Left 90.0000 5.000"
        ]
    );
    assert_eq!(
        calls("N 10 E 20 feet; thence continuing along said line N 11 E 30 feet"),
        ["10.0000 20.000", "11.0000 30.000"]
    );
    // Where a bearing stands too, it says where the turn leads.
    assert_eq!(
        calls("N 10 E 20 feet; then turning and running at a right angle, S 80 E 30 feet"),
        ["10.0000 20.000", "100.0000 30.000"]
    );
    assert_eq!(
        calls(
            "N 10 E 20 feet; thence right 90° 30 feet; thence deflecting left 90 degrees 80.00 m"
        ),
        [
            "10.0000 20.000",
            "Right 90.0000 30.000",
            "Left 90.0000 262.467"
        ]
    );
}

#[test]
fn azimuths_count_from_where_the_text_says() {
    let text = "Beginning at a pipe; thence by azimuths measured clockwise from true south:\n\
        162°16', 110.00 feet;\n84°15', 50.00 feet to the initial point.";
    let read = read(text);
    let calls: Vec<String> = read.tracts[0].calls.iter().map(short).collect();
    assert_eq!(calls, ["342.2667 110.000", "264.2500 50.000"]);
}

#[test]
fn calls_may_lack_parts() {
    assert_eq!(
        calls(
            "northeast with the road 100 feet; thence S 20 E to the river; thence down the river to the place of beginning"
        ),
        ["? 100.000", "160.0000 ?", "? ?"]
    );
    // The clause behind gives what the first leaves out.
    assert_eq!(
        calls("along the south line of said tract; South 10 degrees East 20 feet"),
        ["170.0000 20.000"]
    );
}

#[test]
fn ties_stand_apart_from_the_tract() {
    for (text, ties, calls) in [
        (
            "Commencing at a corner; thence S 10 E 20 feet to the point of beginning; thence N 10 E 5 feet; thence to the point of beginning",
            1,
            2,
        ),
        (
            "Begin at a corner; thence S 10 E 20 feet to the point of beginning proper; thence N 10 E 5 feet to the point of beginning proper",
            1,
            1,
        ),
        (
            "COM N 11.71 FT & W 7.5 FT FR S 1/4 COR. SEC. 8, T7S, R3E; N 8 DEG 27' W 16.94 FT TO BEG.",
            2,
            1,
        ),
        (
            "Beginning at a point 700.02 feet S 70 deg. 16 min. W of a corner; thence N 10 E 5 feet",
            1,
            1,
        ),
        (
            "From the corner run North 86°47'03\" East 3.08 feet to the P.O.B.; then run South 5 feet",
            1,
            1,
        ),
        (
            "Beginning at a stone 20 poles North of a corner; thence West 5 poles",
            1,
            1,
        ),
        (
            "Commencing at a corner; thence S 10 E 20 feet; thence N 10 E 5 feet to the place of beginning",
            0,
            2,
        ),
        (
            "Commencing at a corner and extending South along a line, a distance of 56.58 feet to the point of beginning, thence deflecting 21° right, 38.09 feet",
            1,
            1,
        ),
    ] {
        let read = read(text);
        assert!(read.unread.is_empty(), "{text}: {:?}", read.unread);
        assert_eq!(read.tracts[0].ties.len(), ties, "{text}");
        assert_eq!(read.tracts[0].calls.len(), calls, "{text}");
    }
}

#[test]
fn tracts_exceptions_and_strips() {
    let text = "Tract 1: Beginning at A; thence North 10 feet; thence East 10 feet to the beginning, \
        containing 2 acres 3 roods and 15 perches.\nTract 2: Beginning at B; thence South 9 feet; \
        thence West 9 feet to the beginning, containing 0.861 Acres (37,506.2 square feet).\n\
        LESS AND EXCEPT: Beginning at C; thence South 1 foot to a nail; thence to the POB.";
    let read = read(text);
    assert_eq!(read.tracts.len(), 3);
    let areas: Vec<f64> = read
        .tracts
        .iter()
        .filter_map(|tract| tract.stated_area.map(|area| area.square_feet()))
        .collect();
    assert!((areas[0] - 2.843_75 * 43_560.0).abs() < 1e-6);
    assert!((areas[1] - 37_506.2).abs() < 1e-6);
    assert_eq!(
        read.tracts
            .iter()
            .filter(|tract| tract.is_exception)
            .count(),
        1
    );
    assert!(read.tracts[2].is_exception);

    let strip = self::read(
        "A strip of land 10 feet on each side of the following described centerline: Beginning at a \
         point on the north line 25.3 feet west of the corner; thence S 10°30' W 110.5 feet to the \
         point of termination.",
    );
    let width = strip.tracts[0].strip_width.expect("a width");
    assert!((width.feet() - 20.0).abs() < 1e-9);
}

#[test]
fn an_open_line_ends_where_it_terminates() {
    let end = |text: &str| {
        let tract = self::read(text).tracts.remove(0);
        tract.calls.last().and_then(|call| call.corner.clone())
    };
    let opens = "Commencing at a pin; thence N 2 E 50 feet to the Point of Beginning; thence";
    let open = |rest: &str| end(&format!("{opens} {rest}"));
    let termination = Some("end".to_owned());
    assert_eq!(
        open("N 89 W 1,262.04 feet; thence N 50 W 654.81 feet, being the point of termination."),
        termination
    );
    assert_eq!(
        open("N 89 W 126.04 feet and there terminating. The side lines run to the lot line."),
        termination
    );
    assert_eq!(
        open(
            "N 10 W 20 feet to the terminus of said curve; thence S 10 W 20 feet; thence to the \
             point of beginning"
        ),
        None
    );
    assert_eq!(
        open("N 10 W 20 feet; thence S 10 W 20 feet to the point of beginning"),
        None
    );
}

#[test]
fn curves_by_their_elements() {
    let c = curve(
        "216.63 feet along the arc of a curve to the left with a radius of 459.37 feet and whose chord bears N 73 deg. 44 min. 55 sec. E 214.62 feet",
    );
    assert_eq!(c.turn, Some(Turn::Left));
    assert!(c.arc.is_some_and(|l| (l.feet() - 216.63).abs() < 1e-9));
    assert!(c.radius.is_some_and(|l| (l.feet() - 459.37).abs() < 1e-9));
    assert!(c.chord.is_some_and(|l| (l.feet() - 214.62).abs() < 1e-9));

    let c = curve(
        "ALONG A CURVE TO R (CHORD BEARS: S 28 DEG 28' 23\" E 14.79 FT, RADIUS = 15 FT) ARC LENGTH = 15.46 FEET",
    );
    assert_eq!(c.turn, Some(Turn::Right));
    assert!(c.arc.is_some_and(|l| (l.feet() - 15.46).abs() < 1e-9));

    let c = curve(
        "around a curve in a counter clockwise direction having a delta angle of 03029'56\", an arc length of20.15 feet, a radius of 330.00 feet and chord bearing N52004'03\"W for a distance of 20.15 feet",
    );
    assert_eq!(c.turn, Some(Turn::Left));
    assert!(
        c.delta
            .is_some_and(|a| (a.degrees() - 3.498_888_9).abs() < 1e-6)
    );

    let c = curve(
        "157.08 feet along the arc of a 50.00 foot radius curve to the right, through a central angle of 180°00’00” and a chord bearing South 42°40’16” West, a distance of 100.00 feet",
    );
    assert!(c.radius.is_some_and(|l| (l.feet() - 50.0).abs() < 1e-9));
    assert!(c.chord.is_some_and(|l| (l.feet() - 100.0).abs() < 1e-9));

    let c = curve(
        "along the arc of a counterclockwise curve (said arc having a radius 573.69 feet and being subtended by a 6.41 foot chord bearing South 12 degrees 13 minutes 17 seconds East), 6.42 feet to a stake",
    );
    assert!(c.arc.is_some_and(|l| (l.feet() - 6.42).abs() < 1e-9));
    assert!(c.chord.is_some_and(|l| (l.feet() - 6.41).abs() < 1e-9));

    let c = curve(
        "Northwesterly, a distance of 111.136 meters (364.62 feet), along a non-\ntangential curve, concave to the Northeast, having a radius of 250 meters",
    );
    assert_eq!(c.leaves, Leaves::NotTangent);
    assert!(c.concave.is_some_and(|a| (a.degrees() - 45.0).abs() < 1e-9));

    let c = curve("along a 5°30' curve to the right (chord definition) 200 feet");
    assert!(c.degree.is_some_and(|d| d.of == DegreeOf::Chord));

    let c = curve(
        "along a curve left, R=100.00', Δ=45°00'00\", T=41.42', L=78.54', CH=N12°15'10\"W 76.54'",
    );
    assert!(c.tangent.is_some() && c.arc.is_some() && c.chord.is_some() && c.delta.is_some());

    let c = curve("on a cusp along a curve right, radius 20 feet, arc 31.42 feet");
    assert_eq!(c.leaves, Leaves::Cusp);

    let c = curve(
        "along a curve to the left, radius 20 feet, from which the radius point bears S 20 E, arc 5 feet",
    );
    assert!(matches!(c.radial, Some(Radial::ToCenter(_))));
}

#[test]
fn a_curve_is_announced_by_the_call_before() {
    let read = read(
        "Beginning at a pin; thence N 24°02'45\" W 77.10 feet to the beginning of a tangent curve \
         concave northeasterly having a radius of 25.00 feet; thence northerly 39.27 feet along said \
         curve through a central angle of 90°00'00\" to a point of reverse curvature; thence along \
         the arc of a curve having a radius of 600 feet, 54.10 feet; thence S 10 W, tangent to said \
         curve, 300 feet.",
    );
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    let calls = &read.tracts[0].calls;
    assert_eq!(calls.len(), 4);
    assert_eq!(short(&calls[0]), "335.9542 77.100");
    let StatedCourse::Curve(first) = &calls[1].course else {
        panic!("{calls:?}");
    };
    assert_eq!(first.leaves, Leaves::Tangent);
    assert!(first.radius.is_some() && first.delta.is_some() && first.concave.is_some());
    assert_eq!(short(&calls[3]), "190.0000 300.000");

    for announced in [
        "to a curve",
        "to a point on a non-tangent curve concave southerly",
    ] {
        let read = self::read(&format!(
            "Beginning at a pin; thence N 10 E 200 feet {announced}; thence 104.72 feet along said \
             curve to the right, radius 100 feet, chord bearing N 40 E 100 feet."
        ));
        assert!(read.unread.is_empty(), "{announced}: {:?}", read.unread);
        assert_eq!(short(&read.tracts[0].calls[0]), "10.0000 200.000");
    }
}

#[test]
fn a_curve_that_cannot_be_told_apart_is_unread() {
    for words in [
        "along a curve to the left N 20 E, radius 50 feet",
        "along a curve to the left and right, radius 50 feet",
        "along a curve to the left, radius 50 feet, 20 feet, 30 feet",
        "along a curve to the left, 45°, radius 50 feet",
    ] {
        let read = read(&format!(
            "Beginning at a pin; thence N 10 E 5 feet; thence {words}."
        ));
        assert_eq!(read.unread.len(), 1, "{words}: {:?}", read.tracts);
    }
}

#[test]
fn a_table_reads_through_the_same_door() {
    let read = read(
        "begin: A at N 1000 E 2000\nN45-30-15E 104.37ft to B\n\
         curve to the left, radius 50.00 ft, arc 30.00 ft, chord N 20 E 29.55 ft\nS 10 E 30\n",
    );
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    let tract = &read.tracts[0];
    assert_eq!(tract.beginning.name, "A");
    assert_eq!(tract.calls.len(), 3);
    assert_eq!(short(&tract.calls[1]), "curve");
    assert!(tract.calls[2].written.as_ref().is_some_and(|w| w.line == 4));

    let gap = self::read("0 60\nalong the creek to an oak\n180 60\n");
    assert_eq!(gap.unread.len(), 1);
    assert_eq!(gap.unread[0].fault.line, 2);
}

#[test]
fn signs_and_exponents_are_unread_in_prose() {
    for words in [
        "N 45 E 1e2 feet",
        "N 45 E 1.5E+2 feet",
        "N1e3E 100 feet",
        "N 45 E a distance of -100.00 feet",
        "N -0°30' E 100.00 feet",
        "azimuth -0°30' 100.00 feet",
    ] {
        let read = read(&format!(
            "Beginning at a pin; thence N 10 E 5 feet; thence {words}."
        ));
        assert_eq!(read.unread.len(), 1, "{words}: {:?}", read.tracts);
        assert_eq!(read.tracts[0].calls.len(), 1, "{words}");
    }
    let dashes =
        read("Beginning at a pin; thence N. 45°-30' E. - 100.00 feet; thence S 5 W - 20 feet.");
    assert!(dashes.unread.is_empty(), "{:?}", dashes.unread);
    assert_eq!(dashes.tracts[0].calls.len(), 2);
}

#[test]
fn a_call_before_the_first_thence_counts() {
    let read = read(
        "N 10°00'00\" E 100.00 feet\nto a pin; thence N 80°00'00\" W 50.00 feet to\na pin; \
         thence S 10°00'00\" W\n100.00 feet to a pin.",
    );
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    assert_eq!(read.tracts[0].calls.len(), 3);
}

#[test]
fn a_witness_in_a_table_is_noted_with_its_place() {
    let text = "begin: A\nN 10 E 50 ft to a pipe S 45 E 12 ft from an oak\nS 10 W 50 ft to A\n";
    let read = read(text);
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    assert_eq!(read.tracts[0].calls.len(), 2);
    let note = read.notes.first().expect("a note");
    assert_eq!(note.line, 2);
    assert!(text[note.at.clone()].starts_with("S 45 E"));
}

#[test]
fn places_are_those_of_the_text() {
    let text = "Beginning at a pin;\nthence N 10 E 20 feet;\nthence N 95 E\n30 feet.";
    let read = read(text);
    let written = read.tracts[0].calls[0].written.as_ref().expect("a place");
    assert_eq!(written.line, 2);
    assert_eq!(&text[written.at.clone()], "thence N 10 E 20 feet;");
    assert_eq!(written.distance, "20 feet");
    let unread = &read.unread[0];
    assert_eq!(unread.fault.line, 3);
    assert_eq!(&unread.fault.words[unread.fault.at.clone()], "N 95 E");
}

#[test]
fn a_text_without_calls_is_refused() {
    for text in [
        "",
        "Lot 7, Block 12 of the plat recorded in Book 9.",
        "\n\n",
    ] {
        assert!(read_description(text).is_err(), "{text:?}");
    }
}

#[test]
fn long_and_nested_texts_take_time_with_their_length_only() {
    for unit in [
        "1'(",
        "(",
        ")",
        "1 ft (",
        "N ",
        "thence ",
        "curve ",
        "one ",
        "hundred ",
        "of ",
        ". ",
        "; ",
        "45\u{b0}",
        "'",
        "point ",
        "beginning at ",
        "thence N 1 E (",
        "along a curve to a curve ",
        "thence 1 foot (1 foot ",
        "Beginning ( ",
        "\n1. ",
        "area ",
        "from the ",
        "and ",
        "1 ",
        ", ",
    ] {
        let start = "Beginning at a pin; thence N 10 E 5 feet; thence ";
        let text = format!("{start}{}", unit.repeat(60_000 / unit.len()));
        let _ = read_description(&text);
        let _ = read_description(text.get(start.len()..).unwrap_or_default());
    }
}
