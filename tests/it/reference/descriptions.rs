//! Public land descriptions, read call by call.
//!
//! The figures are those of the sources named beside each; the sentences are our
//! own, in various spellings, with what the sources' own damage or slips have
//! made of a figure taken as a person read it. The misclosures were computed from
//! a transcription by hand, independently of this library.

use fence_geom::{
    Azimuth, CurveElements, Direction, Length, StatedCall, StatedCourse, StatedDirection, Turn,
    read_description,
};

use Turn::{Left, Right};
use Wanted::{Curve, Line};

/// A call as transcribed: degrees, minutes and seconds in the letters' quadrant
/// (or from south, clockwise, after `AzS`), lengths in feet.
#[derive(Debug)]
enum Wanted {
    /// Direction and distance.
    Line(Option<&'static str>, Option<f64>),
    /// Hand, angle and distance.
    Turn(Turn, &'static str, f64),
    /// Hand, radius, arc, central angle, chord's bearing, chord.
    Curve(
        Turn,
        Option<f64>,
        Option<f64>,
        Option<&'static str>,
        Option<&'static str>,
        Option<f64>,
    ),
}

struct Sample {
    source: &'static str,
    text: &'static str,
    ties: &'static [Wanted],
    calls: &'static [Wanted],
    /// Square feet.
    area: Option<f64>,
    /// Feet, where the calls come back to the beginning.
    misclosure: Option<f64>,
}

const SAMPLES: &[Sample] = &[
    Sample {
        source: "Ordinance ORD-94:666, amending Ordinance No. 954 (zoning), City of Jonesboro, Arkansas (City Council legislation record), 1994, Section 1, legal description",
        text: "Commencing at a corner of record; thence S 0°02'46\" E, a distance of 967.45 feet to the point of beginning; thence S 64°04'55\" E, a distance of 240.18 feet to a set rod; thence South 51 degrees 2 minutes 29 seconds East 201.61 ft. to an oak stub; thence S59-34-40E 1100.54' to a stone; thence S 58 DEG 41' 56\" E, for 697.98 feet to a corner; thence South 57 deg. 35 min. 23 sec. East 296.14 FT to a found pipe; thence S. 65° 12′ 33″ E. a distance of 119.6 feet to a point; thence South 72°00’05” West, 438.59 ft. to a set rod; thence S 71°00'58\" W 354.84' to an oak stub; thence South 83 degrees 15 minutes 44 seconds West for 393.91 feet to a stone; thence S88-22-54W, 1131.97 FT to a corner; thence N 0 DEG 2' 46\" W a distance of 16869.65 feet to the point of beginning, containing 48.16 acres.",
        ties: &[Line(Some("S 0 2 46 E"), Some(967.45))],
        calls: &[
            Line(Some("S 64 4 55 E"), Some(240.18)),
            Line(Some("S 51 2 29 E"), Some(201.61)),
            Line(Some("S 59 34 40 E"), Some(1100.54)),
            Line(Some("S 58 41 56 E"), Some(697.98)),
            Line(Some("S 57 35 23 E"), Some(296.14)),
            Line(Some("S 65 12 33 E"), Some(119.6)),
            Line(Some("S 72 0 5 W"), Some(438.59)),
            Line(Some("S 71 0 58 W"), Some(354.84)),
            Line(Some("S 83 15 44 W"), Some(393.91)),
            Line(Some("S 88 22 54 W"), Some(1131.97)),
            Line(Some("N 0 2 46 W"), Some(16869.65)),
        ],
        area: Some(2097849.5999999996),
        misclosure: Some(15179.992),
    },
    Sample {
        source: "Ordinance ORD-97:319, amending Ordinance No. 954 (zoning), City of Jonesboro, Arkansas (City Council legislation record), 1997, Section 1, legal description",
        text: "Commencing at a corner of record; thence North 86 degrees 47 minutes 3 seconds East 3.08 ft. to a set rod; thence S00-51-58W 659.4' to an oak stub; thence N 89 DEG 53' 56\" W, for 30.01 feet to the point of beginning; thence South 1 degrees 43 minutes 7 seconds West 656.25 ft. to an oak stub; thence N89-55-25W 1313.22' to a stone; thence N 1 DEG 23' 3\" E, for 656.72 feet to a corner; thence South 89 deg. 53 min. 56 sec. East 1317.04 FT to the beginning, containing 19.81 acres.",
        ties: &[
            Line(Some("N 86 47 3 E"), Some(3.08)),
            Line(Some("S 0 51 58 W"), Some(659.4)),
            Line(Some("N 89 53 56 W"), Some(30.01)),
        ],
        calls: &[
            Line(Some("S 1 43 7 W"), Some(656.25)),
            Line(Some("N 89 55 25 W"), Some(1313.22)),
            Line(Some("N 1 23 3 E"), Some(656.72)),
            Line(Some("S 89 53 56 E"), Some(1317.04)),
        ],
        area: Some(862923.6),
        misclosure: Some(0.001),
    },
    Sample {
        source: "Land record, serial 30:013:0056, Utah County Recorder, Utah (land-record abstract), serial 30:013:0056",
        text: "Commencing at a corner of record; thence E 81' to the point of beginning; thence E 14.48' to a stone; thence along the arc of a curve to the right with a radius of 15 ft., an arc length of 15.46 ft. and a chord bearing S 28 DEG 28' 23\" E 14.79 ft. to a corner; thence South 1 deg. 03 min. 37 sec. West 108.01 FT to a found pipe; thence due west a distance of 19.53 feet to a point; thence N, 121 ft. to the place of beginning, containing 0.057 acres.",
        ties: &[Line(Some("E"), Some(81.0))],
        calls: &[
            Line(Some("E"), Some(14.48)),
            Curve(
                Right,
                Some(15.0),
                Some(15.46),
                None,
                Some("S 28 28 23 E"),
                Some(14.79),
            ),
            Line(Some("S 1 3 37 W"), Some(108.01)),
            Line(Some("W"), Some(19.53)),
            Line(Some("N"), Some(121.0)),
        ],
        area: Some(2482.92),
        misclosure: Some(0.008),
    },
    Sample {
        source: "Land record, serial 22:037:0122, Utah County Recorder, Utah (land-record abstract), serial 22:037:0122",
        text: "Commencing at a corner of record; thence north, for 1148.71 feet to a set rod; thence West 765.5 FT to the point of beginning; thence N 8 DEG 27' 51\" W, for 162.94 feet to a corner; thence on a curve to the right with a radius of 250 ft. and a chord bearing North 3 deg. 28 min. 29 sec. East 103.44 ft. to a found pipe; thence N. 15° 24′ 50″ E. a distance of 336.78 feet to a point; thence on a curve to the left with a radius of 316 ft. and a chord bearing North 5°53’57” East 104.47 ft. to a set rod; thence N 3°36'57\" W 178.78' to an oak stub; thence on a curve clockwise with a radius of 250 ft. and a chord bearing North 12 degrees 9 minutes 31 seconds East 135.93 ft. to a stone; thence N27-56-00E, 47.77 FT to a corner; thence on a curve to the left with a radius of 614.41 ft. and a chord bearing N 13 DEG 28' 0\" E 306.98 ft. to a found pipe; thence North 1 deg. 00 min. 01 sec. West 75.03 ft. to a point; thence on a curve to the right with a radius of 742.35 ft. and a chord bearing N. 0° 29′ 05″ W. 13.35 ft. to a set rod; thence South 79°39’20” East for 181.09 feet to an oak stub; thence S 0°49'15\" W 75.58 FT to a stone; thence North 89 degrees 10 minutes 47 seconds West, a distance of 32.67 feet to a corner; thence S00-49-14W 43 ft. to a found pipe; thence S 30 DEG 42' 38\" W 20.62' to a point; thence South 11 deg. 39 min. 35 sec. East, for 46.81 feet to a set rod; thence S. 11° 41′ 53″ W. 118.51 FT to an oak stub; thence South 73°32’17” East a distance of 36.79 feet to a stone; thence S 21°25'06\" W, 96.08 ft. to a corner; thence South 31 degrees 33 minutes 41 seconds West 40.57' to a found pipe; thence N62-04-01W for 39.2 feet to a point; thence S 26 DEG 26' 22\" W, 35.01 FT to a set rod; thence South 62 deg. 04 min. 00 sec. East a distance of 32.63 feet to an oak stub; thence S. 0° 23′ 38″ W. 354.46 ft. to a stone; thence South 13°50’59” West, 276.04' to a corner; thence S 19°48'33\" W for 119.49 feet to a found pipe; thence South 50 degrees 38 minutes 48 seconds West 35.02 FT to a point; thence S20-28-19E, a distance of 43 feet to a set rod; thence N 69 DEG 31' 41\" E 7.14 ft. to an oak stub; thence South 20 deg. 28 min. 20 sec. East 82.46' to a stone; thence S. 69° 31′ 40″ W., for 195.41 feet to the point of beginning, containing 5.856 acres.",
        ties: &[Line(Some("N"), Some(1148.71)), Line(Some("W"), Some(765.5))],
        calls: &[
            Line(Some("N 8 27 51 W"), Some(162.94)),
            Curve(
                Right,
                Some(250.0),
                None,
                None,
                Some("N 3 28 29 E"),
                Some(103.44),
            ),
            Line(Some("N 15 24 50 E"), Some(336.78)),
            Curve(
                Left,
                Some(316.0),
                None,
                None,
                Some("N 5 53 57 E"),
                Some(104.47),
            ),
            Line(Some("N 3 36 57 W"), Some(178.78)),
            Curve(
                Right,
                Some(250.0),
                None,
                None,
                Some("N 12 9 31 E"),
                Some(135.93),
            ),
            Line(Some("N 27 56 0 E"), Some(47.77)),
            Curve(
                Left,
                Some(614.41),
                None,
                None,
                Some("N 13 28 0 E"),
                Some(306.98),
            ),
            Line(Some("N 1 0 1 W"), Some(75.03)),
            Curve(
                Right,
                Some(742.35),
                None,
                None,
                Some("N 0 29 5 W"),
                Some(13.35),
            ),
            Line(Some("S 79 39 20 E"), Some(181.09)),
            Line(Some("S 0 49 15 W"), Some(75.58)),
            Line(Some("N 89 10 47 W"), Some(32.67)),
            Line(Some("S 0 49 14 W"), Some(43.0)),
            Line(Some("S 30 42 38 W"), Some(20.62)),
            Line(Some("S 11 39 35 E"), Some(46.81)),
            Line(Some("S 11 41 53 W"), Some(118.51)),
            Line(Some("S 73 32 17 E"), Some(36.79)),
            Line(Some("S 21 25 6 W"), Some(96.08)),
            Line(Some("S 31 33 41 W"), Some(40.57)),
            Line(Some("N 62 4 1 W"), Some(39.2)),
            Line(Some("S 26 26 22 W"), Some(35.01)),
            Line(Some("S 62 4 0 E"), Some(32.63)),
            Line(Some("S 0 23 38 W"), Some(354.46)),
            Line(Some("S 13 50 59 W"), Some(276.04)),
            Line(Some("S 19 48 33 W"), Some(119.49)),
            Line(Some("S 50 38 48 W"), Some(35.02)),
            Line(Some("S 20 28 19 E"), Some(43.0)),
            Line(Some("N 69 31 41 E"), Some(7.14)),
            Line(Some("S 20 28 20 E"), Some(82.46)),
            Line(Some("S 69 31 40 W"), Some(195.41)),
        ],
        area: Some(255087.36),
        misclosure: Some(0.009),
    },
    Sample {
        source: "74 Pa. Stat. § 61, Lazaretto on Island of Tinicum, Commonwealth of Pennsylvania (statutes, unconsolidated), 1917, 74 P.S. § 61 (1917, P.L. 1136, § 1)",
        text: "Beginning at a corner of record; thence North 5 deg. 00 min. 00 sec. East a distance of 55.5 perches to a found pipe; thence S. 85° 00′ 00″ E. 28.7 perches to a point; thence South 5°00’00” West, a distance of 56 perches to a set rod; thence along the water as it winds to the beginning.",
        ties: &[],
        calls: &[
            Line(Some("N 5 0 0 E"), Some(915.75)),
            Line(Some("S 85 0 0 E"), Some(473.55)),
            Line(Some("S 5 0 0 W"), Some(924.0)),
            Line(None, None),
        ],
        area: None,
        misclosure: None,
    },
    Sample {
        source: "Order revoking Public Land Order No. 1756 (Denali Highway), Kappler, Indian Affairs: Laws and Treaties, vol. VII (reprinting the Federal Register), 1970, Federal Register vol. 35 (1970), p. 12657; Kappler VII p. 1580",
        text: "Commencing at a corner of record; thence N. 0° 25′ 30″ E. a distance of 1200 feet to a set rod; thence E, 100 ft. to the point of beginning; thence due west a distance of 430 feet to a point; thence N, 660 ft. to a set rod; thence east 430' to an oak stub; thence South for 660 feet to the place of beginning, containing 6.5 acres.",
        ties: &[
            Line(Some("N 0 25 30 E"), Some(1200.0)),
            Line(Some("E"), Some(100.0)),
        ],
        calls: &[
            Line(Some("W"), Some(430.0)),
            Line(Some("N"), Some(660.0)),
            Line(Some("E"), Some(430.0)),
            Line(Some("S"), Some(660.0)),
        ],
        area: Some(283140.0),
        misclosure: Some(0.0),
    },
    Sample {
        source: "35 Stat. 454, ch. 216 (1908), Leech Lake Indian Reservation, old agency tract, United States Statutes at Large (Wikisource page scan), 1908, 35 Stat. 454",
        text: "Commencing at a corner of record; thence N, a distance of 7.73 chains to the point of beginning; thence E, a distance of 3.17 chains to a set rod; thence north 3.17 chains to an oak stub; thence West a distance of 3.17 chains to a stone; thence due south, 3.17 chains to the point of beginning, containing 1 acres.",
        ties: &[Line(Some("N"), Some(510.18))],
        calls: &[
            Line(Some("E"), Some(209.22)),
            Line(Some("N"), Some(209.22)),
            Line(Some("W"), Some(209.22)),
            Line(Some("S"), Some(209.22)),
        ],
        area: Some(43560.0),
        misclosure: Some(0.0),
    },
    Sample {
        source: "Executive Order 7893, Upolu Point Military Reservation, Hawaii, The American Presidency Project (executive order text), 1938, parcel 1",
        text: "Azimuths here are counted clockwise from true south. Beginning at a corner of record; thence on an azimuth of 162°16', 110 ft. to an oak stub; thence on an azimuth of 252°16', 337.54 ft. to a stone; thence on an azimuth of 264°15', 61.55 ft. to a corner; thence on an azimuth of 354°15', 110 ft. to a found pipe; thence on an azimuth of 84°15', 50 ft. to a point; thence on an azimuth of 72°16', 326 ft. to the beginning, containing 0.979 acres.",
        ties: &[],
        calls: &[
            Line(Some("AzS 162 16 0"), Some(110.0)),
            Line(Some("AzS 252 16 0"), Some(337.54)),
            Line(Some("AzS 264 15 0"), Some(61.55)),
            Line(Some("AzS 354 15 0"), Some(110.0)),
            Line(Some("AzS 84 15 0"), Some(50.0)),
            Line(Some("AzS 72 16 0"), Some(326.0)),
        ],
        area: Some(42645.24),
        misclosure: Some(0.001),
    },
    Sample {
        source: "Executive Order 978, parcel (a) Round Top, Wikisource (executive orders), 1(a)",
        text: "Commencing at a corner of record; thence North 41 degrees 34 minutes 0 seconds East for 100 feet to the point of beginning; thence South 86 degrees 24 minutes 0 seconds West for 319 feet to a stone; thence S31-01-00W, 133.2 FT to a corner; thence S 14 DEG 40' 0\" W a distance of 149 feet to a found pipe; thence South 30 deg. 04 min. 00 sec. East 224.8 ft. to a point; thence N. 74° 15′ 00″ E., 87.3' to a set rod; thence North 53°37’00” East for 157.7 feet to an oak stub; thence N 44°35'00\" E 295 FT to a stone; thence North 35 degrees 58 minutes 0 seconds West, a distance of 179.8 feet to the place of beginning, containing 3.68 acres.",
        ties: &[Line(Some("N 41 34 0 E"), Some(100.0))],
        calls: &[
            Line(Some("S 86 24 0 W"), Some(319.0)),
            Line(Some("S 31 1 0 W"), Some(133.2)),
            Line(Some("S 14 40 0 W"), Some(149.0)),
            Line(Some("S 30 4 0 E"), Some(224.8)),
            Line(Some("N 74 15 0 E"), Some(87.3)),
            Line(Some("N 53 37 0 E"), Some(157.7)),
            Line(Some("N 44 35 0 E"), Some(295.0)),
            Line(Some("N 35 58 0 W"), Some(179.8)),
        ],
        area: Some(160300.80000000002),
        misclosure: Some(0.35),
    },
    Sample {
        source: "Instrument (2010), excepted tract (1), Mercer County, North Dakota, Hall County, Nebraska (Register of Deeds / Clerk imaging), 2010, doc 822519, page 40, item 24(1)",
        text: "Beginning at a corner of record; thence due east, 424 FT to a corner; thence N a distance of 265 feet to a found pipe; thence west 324 ft. to a point; thence North, 2375' to a set rod; thence due west for 104 feet to an oak stub; thence S 2640 FT to the point of beginning, containing 8.03 acres.",
        ties: &[],
        calls: &[
            Line(Some("E"), Some(424.0)),
            Line(Some("N"), Some(265.0)),
            Line(Some("W"), Some(324.0)),
            Line(Some("N"), Some(2375.0)),
            Line(Some("W"), Some(104.0)),
            Line(Some("S"), Some(2640.0)),
        ],
        area: Some(349786.8),
        misclosure: Some(4.0),
    },
    Sample {
        source: "Resolution 2012-264, first tract, City of Grand Island, Nebraska (resolutions and ordinances), 2012, doc 1219339, page 2",
        text: "Commencing at a corner of record; thence S a distance of 56.58 feet to the point of beginning; thence deflecting right 21°33'43\", a distance of 38.09 feet to a found pipe; thence deflecting left 21°33'43\", a distance of 16 feet to a point; thence deflecting left 90°00'00\", a distance of 14 feet to a set rod; thence deflecting left 90°00'00\", a distance of 51.43 feet to the beginning, containing 472 square feet.",
        ties: &[Line(Some("S"), Some(56.58))],
        calls: &[
            Wanted::Turn(Right, "21 33 43", 38.09),
            Wanted::Turn(Left, "21 33 43", 16.0),
            Wanted::Turn(Left, "90 0 0", 14.0),
            Wanted::Turn(Left, "90 0 0", 51.43),
        ],
        area: Some(472.0),
        misclosure: Some(0.006),
    },
    Sample {
        source: "Resolution 2002-289, City of Grand Island, Nebraska (resolutions and ordinances), 2002, resolution of 09/24/2002",
        text: "Beginning at a corner of record; thence along the arc of a curve counterclockwise with a radius of 330 ft., an arc length of 20.15 ft., a central angle of 3°29'56\" and a chord bearing North 52 deg. 04 min. 03 sec. West 20.15 ft. to a point; thence N. 44° 53′ 53″ E., 145.02' to a set rod; thence North 1°48’38” West for 85.28 feet to an oak stub; thence N 90°00'00\" E 15.01 FT to a stone; thence South 19 degrees 41 minutes 9 seconds East, a distance of 16.29 feet to a corner; thence S01-48-38E 88.42 ft. to a found pipe; thence along the arc of a curve counterclockwise with a radius of 180 ft., an arc length of 52.6 ft., a central angle of 16°44'38\" and a chord bearing S 53 DEG 16' 11\" W 52.42 ft. to a point; thence South 44 deg. 53 min. 53 sec. West, for 92.17 feet to the place of beginning.",
        ties: &[],
        calls: &[
            Curve(
                Left,
                Some(330.0),
                Some(20.15),
                Some("3 29 56"),
                Some("N 52 4 3 W"),
                Some(20.15),
            ),
            Line(Some("N 44 53 53 E"), Some(145.02)),
            Line(Some("N 1 48 38 W"), Some(85.28)),
            Line(Some("N 90 0 0 E"), Some(15.01)),
            Line(Some("S 19 41 9 E"), Some(16.29)),
            Line(Some("S 1 48 38 E"), Some(88.42)),
            Curve(
                Left,
                Some(180.0),
                Some(52.6),
                Some("16 44 38"),
                Some("S 53 16 11 W"),
                Some(52.42),
            ),
            Line(Some("S 44 53 53 W"), Some(92.17)),
        ],
        area: None,
        misclosure: Some(0.005),
    },
    Sample {
        source: "Resolution 2015-284, 20 ft utility easement, City of Grand Island, Nebraska (resolutions and ordinances), 2015, resolution of 10/27/2015",
        text: "An easement strip 20 feet wide whose centerline runs so: Commencing at a corner of record; thence N. 89° 16′ 05″ W., 134.37' to a set rod; thence South 0°52’46” East for 551.81 feet to the point of beginning; thence N. 89° 16′ 05″ W., 1262.04' to a set rod; thence North 50°16’43” West for 654.81 feet to an oak stub; thence S 89°42'59\" W 766.71 FT to the point of termination, containing 1.23 acres.",
        ties: &[
            Line(Some("N 89 16 5 W"), Some(134.37)),
            Line(Some("S 0 52 46 E"), Some(551.81)),
        ],
        calls: &[
            Line(Some("N 89 16 5 W"), Some(1262.04)),
            Line(Some("N 50 16 43 W"), Some(654.81)),
            Line(Some("S 89 42 59 W"), Some(766.71)),
        ],
        area: Some(53578.799999999996),
        misclosure: None,
    },
    Sample {
        source: "Right-of-way vacation ordinance (record 7385), first parcel, City of Grand Junction, Colorado (City Clerk records), record 7385",
        text: "Beginning at a corner of record; thence South 88°00’00” East for 30.02 feet to an oak stub; thence S 0°02'00\" E 127.92 FT to a stone; thence North 89 degrees 56 minutes 0 seconds West, a distance of 55.04 feet to a corner; thence on a curve to the left with a radius of 25 ft. and a chord bearing N45-01-00E 35.39 ft. to a found pipe; thence N 0 DEG 2' 0\" W 103.89' to the beginning.",
        ties: &[],
        calls: &[
            Line(Some("S 88 0 0 E"), Some(30.02)),
            Line(Some("S 0 2 0 E"), Some(127.92)),
            Line(Some("N 89 56 0 W"), Some(55.04)),
            Curve(
                Left,
                Some(25.0),
                None,
                None,
                Some("N 45 1 0 E"),
                Some(35.39),
            ),
            Line(Some("N 0 2 0 W"), Some(103.89)),
        ],
        area: None,
        misclosure: Some(0.008),
    },
    Sample {
        source: "Right-of-way vacation ordinance, part 1 Horizon Place (record 8161), City of Grand Junction, Colorado (City Clerk records), record 8161, item 1",
        text: "Commencing at a corner of record; thence S 70°16'44\" W 700.02 FT to the point of beginning; thence N 0°02'22\" W 60.61 FT to a stone; thence along the arc of a curve to the left with a radius of 459.37 ft., an arc length of 216.63 ft. and a chord bearing North 73 degrees 44 minutes 55 seconds East 214.62 ft. to a corner; thence S29-45-35E 2.5 ft. to a found pipe; thence S 69 DEG 14' 21\" W 238.73' to the place of beginning, containing 4720 square feet.",
        ties: &[Line(Some("S 70 16 44 W"), Some(700.02))],
        calls: &[
            Line(Some("N 0 2 22 W"), Some(60.61)),
            Curve(
                Left,
                Some(459.37),
                Some(216.63),
                None,
                Some("N 73 44 55 E"),
                Some(214.62),
            ),
            Line(Some("S 29 45 35 E"), Some(2.5)),
            Line(Some("S 69 14 21 W"), Some(238.73)),
        ],
        area: Some(4720.0),
        misclosure: Some(37.461),
    },
    Sample {
        source: "Ordinance No. 3953, 27 Road cul-de-sac, City of Grand Junction, Colorado (City Clerk records), 2006, Ordinance No. 3953 (16 August 2006)",
        text: "Beginning at a corner of record; thence along the arc of a curve to the right with a radius of 50 ft., an arc length of 157.08 ft., a central angle of 180°00'00\" and a chord bearing South 42 degrees 40 minutes 16 seconds West 100 ft. to a corner; thence N42-40-16E 100 ft. to the point of beginning, containing 3927 square feet.",
        ties: &[],
        calls: &[
            Curve(
                Right,
                Some(50.0),
                Some(157.08),
                Some("180 0 0"),
                Some("S 42 40 16 W"),
                Some(100.0),
            ),
            Line(Some("N 42 40 16 E"), Some(100.0)),
        ],
        area: Some(3927.0),
        misclosure: Some(0.0),
    },
    Sample {
        source: "Resolution No. 36-02, City of Grand Junction, Colorado (City Clerk records), 2002, Resolution No. 36-02",
        text: "Commencing at a corner of record; thence S89-50-21W 395 ft. to the point of beginning; thence S89-50-21W 133 ft. to a found pipe; thence N 0 DEG 0' 0\" E 282' to a point; thence North 89 deg. 50 min. 21 sec. East, for 133 feet to a set rod; thence S. 0° 00′ 00″ W. 282 FT to the beginning, containing 37506.2 square feet.",
        ties: &[Line(Some("S 89 50 21 W"), Some(395.0))],
        calls: &[
            Line(Some("S 89 50 21 W"), Some(133.0)),
            Line(Some("N 0 0 0 E"), Some(282.0)),
            Line(Some("N 89 50 21 E"), Some(133.0)),
            Line(Some("S 0 0 0 W"), Some(282.0)),
        ],
        area: Some(37506.2),
        misclosure: Some(0.0),
    },
    Sample {
        source: "Whitaker v. Cover, 52 S.E. 581, Supreme Court of North Carolina, 1905, State grant No. 3632",
        text: "Beginning at a corner of record; thence due west 260 poles to a point; thence N, a distance of 320 poles to a set rod; thence east 320 poles to an oak stub; thence South a distance of 320 poles to a stone; thence due west, 60 poles to the place of beginning, containing 640 acres.",
        ties: &[],
        calls: &[
            Line(Some("W"), Some(4290.0)),
            Line(Some("N"), Some(5280.0)),
            Line(Some("E"), Some(5280.0)),
            Line(Some("S"), Some(5280.0)),
            Line(Some("W"), Some(990.0)),
        ],
        area: Some(27878400.0),
        misclosure: Some(0.0),
    },
    Sample {
        source: "Grant description, St. Margarets Bay, tract B, Nova Scotia Archives (land grant transcript), page 201606422",
        text: "Beginning at a corner of record; thence North 80 deg. 00 min. 00 sec. East, a distance of 52.5 chains to a set rod; thence N. 10° 00′ 00″ W. 40 chains to an oak stub; thence South 80°00’00” West a distance of 75 chains to a stone; thence S 10°00'00\" E, 38 chains to a corner; thence North 84 degrees 0 minutes 0 seconds East a distance of 25 chains to a found pipe; thence along the water as it winds to the point of beginning, containing 300 acres.",
        ties: &[],
        calls: &[
            Line(Some("N 80 0 0 E"), Some(3465.0)),
            Line(Some("N 10 0 0 W"), Some(2640.0)),
            Line(Some("S 80 0 0 W"), Some(4950.0)),
            Line(Some("S 10 0 0 E"), Some(2508.0)),
            Line(Some("N 84 0 0 E"), Some(1650.0)),
            Line(None, None),
        ],
        area: Some(13068000.0),
        misclosure: None,
    },
    Sample {
        source: "Conner v. Conner, 143 S.W. 283, Court of Civil Appeals of Texas, 1912, 143 S.W. 283",
        text: "Commencing at a corner of record; thence north 994.5 varas to the point of beginning; thence south 994.5 varas to an oak stub; thence West a distance of 450 varas to a stone; thence with the road as it bends, a distance of 1095.5 varas to the beginning.",
        ties: &[Line(Some("N"), Some(2762.5))],
        calls: &[
            Line(Some("S"), Some(2762.5)),
            Line(Some("W"), Some(1250.0)),
            Line(None, Some(3043.0555555555557)),
        ],
        area: None,
        misclosure: None,
    },
    Sample {
        source: "Ordinance amending the Zoning Atlas, 8223 Cooper Creek Road, Consolidated Government of Columbus, Georgia (Council records), council agenda document",
        text: "Commencing at a corner of record; thence South 12°01’54” East a distance of 400.14 feet to a set rod; thence S 11°56'09\" E, 40.13 ft. to the point of beginning; thence South 11°56’09” East a distance of 53.59 feet to a stone; thence along the arc of a curve to the left with a radius of 573.69 ft., an arc length of 6.41 ft. and a chord bearing S 12°13'17\" E 6.41 ft. to a corner; thence South 78 degrees 6 minutes 55 seconds West 261.2' to a found pipe; thence N04-26-41W for 60.51 feet to a point; thence N 78 DEG 6' 55\" E, 253.28 FT to the place of beginning, containing 0.354 acres.",
        ties: &[
            Line(Some("S 12 1 54 E"), Some(400.14)),
            Line(Some("S 11 56 9 E"), Some(40.13)),
        ],
        calls: &[
            Line(Some("S 11 56 9 E"), Some(53.59)),
            Curve(
                Left,
                Some(573.69),
                Some(6.41),
                None,
                Some("S 12 13 17 E"),
                Some(6.41),
            ),
            Line(Some("S 78 6 55 W"), Some(261.2)),
            Line(Some("N 4 26 41 W"), Some(60.51)),
            Line(Some("N 78 6 55 E"), Some(253.28)),
        ],
        area: Some(15420.24),
        misclosure: Some(0.001),
    },
    Sample {
        source: "Annexation ordinance, 3.7463 acres, City of San Marcos, Texas (City Clerk records), doc 10654, page 2",
        text: "Beginning at a corner of record; thence N 47°32'59\" E, 341.84 ft. to a corner; thence North 46 degrees 30 minutes 27 seconds East 158.1' to a found pipe; thence N46-16-19E for 158.29 feet to a point; thence N 46 DEG 26' 42\" E, 3.2 FT to a set rod; thence South 79 deg. 44 min. 00 sec. East a distance of 272.96 feet to an oak stub; thence S. 46° 30′ 27″ W. 133.61 ft. to a stone; thence South 46°33’22” West, 399.12' to a corner; thence S 46°17'42\" W for 282.47 feet to a found pipe; thence along the water as it winds to the point of beginning, containing 3.7463 acres.",
        ties: &[],
        calls: &[
            Line(Some("N 47 32 59 E"), Some(341.84)),
            Line(Some("N 46 30 27 E"), Some(158.1)),
            Line(Some("N 46 16 19 E"), Some(158.29)),
            Line(Some("N 46 26 42 E"), Some(3.2)),
            Line(Some("S 79 44 0 E"), Some(272.96)),
            Line(Some("S 46 30 27 W"), Some(133.61)),
            Line(Some("S 46 33 22 W"), Some(399.12)),
            Line(Some("S 46 17 42 W"), Some(282.47)),
            Line(None, None),
        ],
        area: Some(163188.828),
        misclosure: None,
    },
    Sample {
        source: "17 x 29 ft easement exhibit, City of Coppell, Texas (Planning / Engineering records), Planning doc 8168",
        text: "Beginning at a corner of record; thence North 0 degrees 12 minutes 29 seconds East 7.67' to a found pipe; thence S89-47-11E for 17 feet to a point; thence S 0 DEG 12' 49\" W, 29 FT to a set rod; thence North 89 deg. 47 min. 11 sec. West a distance of 17 feet to an oak stub; thence N. 0° 12′ 49″ E. 21.33 ft. to the beginning, containing 493 square feet.",
        ties: &[],
        calls: &[
            Line(Some("N 0 12 29 E"), Some(7.67)),
            Line(Some("S 89 47 11 E"), Some(17.0)),
            Line(Some("S 0 12 49 W"), Some(29.0)),
            Line(Some("N 89 47 11 W"), Some(17.0)),
            Line(Some("N 0 12 49 E"), Some(21.33)),
        ],
        area: Some(493.0),
        misclosure: Some(0.001),
    },
    Sample {
        source: "Perpetual easement, strip 36.576 m wide, City of Elk River, Minnesota, doc 494, page 33, Exhibit A",
        text: "An easement strip 120 feet wide whose centerline runs so: Commencing at a corner of record; thence N89-38-23W for 1269.9 feet to the point of beginning; thence along the arc of a curve clockwise with a radius of 820.21 ft., an arc length of 364.62 ft., a central angle of 25°28'14\" and a chord bearing N14-36-04W to a point; thence N 1 DEG 51' 56\" W, 21.79 FT to a set rod; thence North 1 deg. 51 min. 56 sec. West a distance of 620.42 feet to an oak stub; thence N. 1° 51′ 56″ W. 315.22 ft. to the point of termination.",
        ties: &[Line(Some("N 89 38 23 W"), Some(1269.9))],
        calls: &[
            Curve(
                Right,
                Some(820.21),
                Some(364.62),
                Some("25 28 14"),
                Some("N 14 36 4 W"),
                None,
            ),
            Line(Some("N 1 51 56 W"), Some(21.79)),
            Line(Some("N 1 51 56 W"), Some(620.42)),
            Line(Some("N 1 51 56 W"), Some(315.22)),
        ],
        area: None,
        misclosure: None,
    },
    Sample {
        source: "Exhibit A, Tract 3 'Riverside Plaza', LESS AND EXCEPT parcel, City of Miami, Florida (Administration records), doc 1325595",
        text: "Less and except this sliver: Beginning at a corner of record; thence S 87 DEG 42' 40\" W, 7.6 FT to a set rod; thence North 0 deg. 30 min. 14 sec. West a distance of 247.9 feet to an oak stub; thence S. 2° 15′ 35″ E. 247.78 ft. to the point of beginning.",
        ties: &[],
        calls: &[
            Line(Some("S 87 42 40 W"), Some(7.6)),
            Line(Some("N 0 30 14 W"), Some(247.9)),
            Line(Some("S 2 15 35 E"), Some(247.78)),
        ],
        area: None,
        misclosure: Some(0.004),
    },
    Sample {
        source: "Exhibit \"A\", 18.13 acre tract (solid waste property), Orange County, North Carolina, 2006, doc 72917, page 21",
        text: "Commencing at a corner of record; thence South 64 deg. 23 min. 15 sec. East a distance of 345.89 feet to the point of beginning; thence North 87 deg. 30 min. 43 sec. West a distance of 1357.79 feet to an oak stub; thence N. 12° 27′ 28″ W. 250.9 ft. to a stone; thence North 12°23’48” West, 223.75' to a corner; thence N 12°23'48\" W for 32.85 feet to a found pipe; thence North 50 degrees 53 minutes 35 seconds East 195.57 FT to a point; thence S40-47-05E, a distance of 29.84 feet to a set rod; thence S 40 DEG 47' 5\" E 252.22 ft. to an oak stub; thence North 86 deg. 16 min. 38 sec. East 682.2' to a stone; thence N. 6° 15′ 59″ E., for 264.69 feet to a corner; thence South 87°25’26” East 407.67 FT to a found pipe; thence S 0°45'15\" E a distance of 332.36 feet to a point; thence South 1 degrees 8 minutes 46 seconds East, 421.18 ft. to the beginning, containing 18.13 acres.",
        ties: &[Line(Some("S 64 23 15 E"), Some(345.89))],
        calls: &[
            Line(Some("N 87 30 43 W"), Some(1357.79)),
            Line(Some("N 12 27 28 W"), Some(250.9)),
            Line(Some("N 12 23 48 W"), Some(223.75)),
            Line(Some("N 12 23 48 W"), Some(32.85)),
            Line(Some("N 50 53 35 E"), Some(195.57)),
            Line(Some("S 40 47 5 E"), Some(29.84)),
            Line(Some("S 40 47 5 E"), Some(252.22)),
            Line(Some("N 86 16 38 E"), Some(682.2)),
            Line(Some("N 6 15 59 E"), Some(264.69)),
            Line(Some("S 87 25 26 E"), Some(407.67)),
            Line(Some("S 0 45 15 E"), Some(332.36)),
            Line(Some("S 1 8 46 E"), Some(421.18)),
        ],
        area: Some(789742.7999999999),
        misclosure: Some(0.009),
    },
    Sample {
        source: "Field notes, 10.83 acres, sheet two of two, City of Georgetown, Texas, 1983, document 0048_4747, sheet 2",
        text: "Beginning at a corner of record; thence on a curve counterclockwise with a radius of 313.15 ft., an arc length of 168.92 ft. and a chord bearing N. 55° 05′ 47″ E. 166.88 ft. to a stone; thence North 39°38’31” East, 575.06' to a corner; thence S 61°55'00\" E for 96.5 feet to a found pipe; thence along the arc of a curve counterclockwise with a radius of 471.78 ft., an arc length of 461.09 ft. and a chord bearing North 89 degrees 9 minutes 20 seconds East 442.95 ft. to a point; thence S37-23-38W, a distance of 454.94 feet to a set rod; thence along the arc of a curve to the right with a radius of 777.15 ft., an arc length of 734.48 ft. and a chord bearing S 63 DEG 21' 50\" W 707.45 ft. to an oak stub; thence North 88 deg. 50 min. 37 sec. West 1018.69' to the place of beginning, containing 10.83 acres.",
        ties: &[],
        calls: &[
            Curve(
                Left,
                Some(313.15),
                Some(168.92),
                None,
                Some("N 55 5 47 E"),
                Some(166.88),
            ),
            Line(Some("N 39 38 31 E"), Some(575.06)),
            Line(Some("S 61 55 0 E"), Some(96.5)),
            Curve(
                Left,
                Some(471.78),
                Some(461.09),
                None,
                Some("N 89 9 20 E"),
                Some(442.95),
            ),
            Line(Some("S 37 23 38 W"), Some(454.94)),
            Curve(
                Right,
                Some(777.15),
                Some(734.48),
                None,
                Some("S 63 21 50 W"),
                Some(707.45),
            ),
            Line(Some("N 88 50 37 W"), Some(1018.69)),
        ],
        area: Some(471754.8),
        misclosure: None,
    },
];

/// Degrees from text such as `5 30 0`.
fn degrees(text: &str) -> f64 {
    let parts: Vec<f64> = text
        .split_whitespace()
        .map(|part| part.parse().expect("a number"))
        .collect();
    let part = |i: usize| parts.get(i).copied().unwrap_or(0.0);
    part(0) + part(1) / 60.0 + part(2) / 3600.0
}

/// Degrees clockwise from north.
fn azimuth(text: &str) -> f64 {
    if let Some(from_south) = text.strip_prefix("AzS") {
        return (degrees(from_south) + 180.0).rem_euclid(360.0);
    }
    let (from, toward) = (&text[..1], &text[text.len() - 1..]);
    match (from, toward) {
        ("N", "N") => 0.0,
        ("E", "E") => 90.0,
        ("S", "S") => 180.0,
        ("W", "W") => 270.0,
        _ => {
            let angle = degrees(&text[1..text.len() - 1]);
            match (from, toward) {
                ("N", "E") => angle,
                ("S", "E") => 180.0 - angle,
                ("S", "W") => 180.0 + angle,
                _ => (360.0 - angle).rem_euclid(360.0),
            }
        }
    }
}

/// Chains, rods and the like are of survey feet here, 2 in a million longer than
/// the transcription's, so a length may differ by that.
fn near(length: Option<Length>, wanted: Option<f64>) -> bool {
    match (length, wanted) {
        (Some(length), Some(wanted)) => (length.feet() - wanted).abs() <= 1e-9 + wanted * 2.5e-6,
        (None, None) => true,
        _ => false,
    }
}

fn along(direction: Option<Direction>, wanted: Option<&str>) -> bool {
    match (direction, wanted) {
        (Some(direction), Some(wanted)) => {
            let gap = (direction.azimuth().degrees() - azimuth(wanted)).rem_euclid(360.0);
            gap.min(360.0 - gap) < 1e-9
        }
        (None, None) => true,
        _ => false,
    }
}

fn is_as_wanted(call: &StatedCall, wanted: &Wanted) -> bool {
    match (&call.course, wanted) {
        (
            StatedCourse::Line {
                direction,
                distance,
            },
            Line(bearing, feet),
        ) => {
            let given = match direction {
                Some(StatedDirection::Given(given)) => Some(*given),
                Some(StatedDirection::Turned { .. }) => return false,
                None => None,
            };
            along(given, *bearing) && near(*distance, *feet)
        }
        (
            StatedCourse::Line {
                direction: Some(StatedDirection::Turned { angle, turn }),
                distance,
            },
            Wanted::Turn(hand, size, feet),
        ) => {
            turn == hand
                && (angle.degrees() - degrees(size)).abs() < 1e-9
                && near(*distance, Some(*feet))
        }
        (StatedCourse::Curve(curve), Curve(hand, radius, arc, delta, bearing, chord)) => {
            let same_delta = match (curve.delta, delta) {
                (Some(angle), Some(delta)) => (angle.degrees() - degrees(delta)).abs() < 1e-9,
                (None, None) => true,
                _ => false,
            };
            curve.turn == Some(*hand)
                && near(curve.radius, *radius)
                && near(curve.arc, *arc)
                && near(curve.chord, *chord)
                && along(curve.chord_direction, *bearing)
                && same_delta
        }
        _ => false,
    }
}

/// The chord of a curve whose direction is given, in feet.
fn chord(curve: &CurveElements) -> Option<f64> {
    if let Some(chord) = curve.chord {
        return Some(chord.feet());
    }
    let radius = curve.radius?.feet();
    let angle = match (curve.delta, curve.arc) {
        (Some(delta), _) => delta.radians(),
        (None, Some(arc)) => arc.feet() / radius,
        (None, None) => return None,
    };
    Some(2.0 * radius * (angle / 2.0).sin())
}

/// How far the calls end from where they begin, in feet.
fn misclosure(ties: &[StatedCall], calls: &[StatedCall]) -> Option<f64> {
    let mut heading = match ties.last().map(|tie| &tie.course) {
        Some(StatedCourse::Line {
            direction: Some(StatedDirection::Given(direction)),
            ..
        }) => direction.azimuth(),
        _ => Azimuth::NORTH,
    };
    let (mut north, mut east) = (0.0, 0.0);
    for call in calls {
        let (azimuth, feet) = match &call.course {
            StatedCourse::Line {
                direction,
                distance,
            } => {
                heading = match (*direction)? {
                    StatedDirection::Given(direction) => direction.azimuth(),
                    StatedDirection::Turned { angle, turn } => {
                        heading.turned(if turn == Right { angle } else { -angle })
                    }
                };
                (heading, (*distance)?.feet())
            }
            StatedCourse::Curve(curve) => (curve.chord_direction?.azimuth(), chord(curve)?),
        };
        north += feet * azimuth.radians().cos();
        east += feet * azimuth.radians().sin();
    }
    Some(f64::hypot(north, east))
}

#[test]
fn public_descriptions_read_as_transcribed() {
    assert_eq!(SAMPLES.len(), 27);
    for sample in SAMPLES {
        let read = read_description(sample.text).expect(sample.source);
        assert!(
            read.unread.is_empty(),
            "{}: {:?}",
            sample.source,
            read.unread
        );
        assert_eq!(read.tracts.len(), 1, "{}", sample.source);
        let tract = &read.tracts[0];
        for (stated, wanted) in [(&tract.ties, sample.ties), (&tract.calls, sample.calls)] {
            assert_eq!(stated.len(), wanted.len(), "{}: {stated:?}", sample.source);
            for (call, wanted) in stated.iter().zip(wanted) {
                assert!(
                    is_as_wanted(call, wanted),
                    "{}: {call:?} {wanted:?}",
                    sample.source
                );
            }
        }
        let area = tract.stated_area.map(|area| area.square_feet());
        match (area, sample.area) {
            (Some(area), Some(wanted)) => assert!((area - wanted).abs() < wanted * 1e-9),
            (area, wanted) => assert_eq!(area, wanted, "{}", sample.source),
        }
    }
}

#[test]
fn public_descriptions_close_as_computed_independently() {
    let mut checked = 0;
    for sample in SAMPLES {
        let Some(wanted) = sample.misclosure else {
            continue;
        };
        let read = read_description(sample.text).expect(sample.source);
        let tract = &read.tracts[0];
        let found = misclosure(&tract.ties, &tract.calls).expect(sample.source);
        // Survey feet in the chain family: 2 in a million.
        assert!(
            (found - wanted).abs() < 0.02,
            "{}: {found} {wanted}",
            sample.source
        );
        checked += 1;
    }
    assert_eq!(checked, 20);
}
