//! The figures of public land descriptions, curves and gaps included, through
//! [`complete`] and [`traverse`]. Each record names its source.
//!
//! The misclosure, the perimeter and the area are those of an independent
//! computation from the same figures: chords by their stated bearings, segments
//! of circles exactly, nothing adjusted.

use fence_geom::{
    Angle, ClosureCheck, Completed, CurveElements, Length, Rounding, StatedCall, StatedDirection,
    Tract, Turn, complete, read_angle, read_direction, traverse,
};

use fence_tests::assert_printed;

use Turn::{Left, Right};

/// A foot, and how many feet the other units of the records have. The survey
/// foot is left aside: it moves nothing by what is asked for here.
const FOOT: f64 = 1.0;
const ROD: f64 = 16.5;
const CHAIN: f64 = 66.0;
/// The Texas vara, 33-1/3 inches.
const VARA: f64 = 100.0 / 36.0;

/// What a record has of one tract.
struct Record {
    name: &'static str,
    unit: f64,
    /// The direction of the tie that the first call turns from.
    heading: Option<&'static str>,
    calls: &'static [Figures],
    /// `None` where the figure closes by construction, or stays open.
    misclosure: Option<f64>,
    perimeter: f64,
    /// Square feet; zero for an open line.
    area: f64,
    /// Square feet.
    stated: Option<f64>,
}

/// The figures of a call.
enum Figures {
    Line(&'static str, f64),
    Deflected(Turn, &'static str, f64),
    Curve(Elements),
    /// A distance without a direction.
    Unsaid(f64),
    /// Neither.
    Missing,
}

use Figures::{Curve, Deflected, Line, Missing, Unsaid};

/// The elements of a curve: zero and no words where there are none.
struct Elements {
    turn: Turn,
    radius: f64,
    toward: &'static str,
    arc: f64,
    chord: f64,
    delta: &'static str,
}

const NONE: Elements = Elements {
    turn: Left,
    radius: 0.0,
    toward: "",
    arc: 0.0,
    chord: 0.0,
    delta: "",
};

const RECORDS: &[Record] = &[
    // Ordinance ORD-94:666, amending Ordinance No. 954 (zoning); City of Jonesboro, Arkansas (City Council legislation record), 1994; Section 1, legal description
    Record {
        name: "jonesboro-1994",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("S 64-04-55 E", 240.18),
            Line("S 51-02-29 E", 201.61),
            Line("S 59-34-40 E", 1100.54),
            Line("S 58-41-56 E", 697.98),
            Line("S 57-35-23 E", 296.14),
            Line("S 65-12-33 E", 119.6),
            Line("S 72-00-05 W", 438.59),
            Line("S 71-00-58 W", 354.84),
            Line("S 83-15-44 W", 393.91),
            Line("S 88-22-54 W", 1131.97),
            Line("N 0-02-46 W", 16869.65),
        ],
        misclosure: Some(15179.992),
        perimeter: 21845.01,
        area: 2097548.9,
        stated: Some(2097849.6),
    },
    // Ordinance ORD-97:319, amending Ordinance No. 954 (zoning); City of Jonesboro, Arkansas (City Council legislation record), 1997; Section 1, legal description
    Record {
        name: "jonesboro-1997",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("S 1-43-07 W", 656.25),
            Line("N 89-55-25 W", 1313.22),
            Line("N 1-23-03 E", 656.72),
            Line("S 89-53-56 E", 1317.04),
        ],
        misclosure: Some(0.001),
        perimeter: 3943.23,
        area: 863077.9,
        stated: Some(862923.6),
    },
    // Land record, serial 30:013:0056; Utah County Recorder, Utah (land-record abstract); serial 30:013:0056
    Record {
        name: "utah-county-30",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("due east", 14.48),
            Curve(Elements {
                turn: Right,
                radius: 15.0,
                toward: "S 28-28-23 E",
                arc: 15.46,
                chord: 14.79,
                ..NONE
            }),
            Line("S 1-03-37 W", 108.01),
            Line("due west", 19.53),
            Line("due north", 121.0),
        ],
        misclosure: Some(0.008),
        perimeter: 278.48,
        area: 2470.5,
        stated: Some(2482.92),
    },
    // Land record, serial 22:037:0122; Utah County Recorder, Utah (land-record abstract); serial 22:037:0122
    Record {
        name: "utah-county-22",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("N 8-27-51 W", 162.94),
            Curve(Elements {
                turn: Right,
                radius: 250.0,
                toward: "N 3-28-29 E",
                chord: 103.44,
                ..NONE
            }),
            Line("N 15-24-50 E", 336.78),
            Curve(Elements {
                turn: Left,
                radius: 316.0,
                toward: "N 5-53-57 E",
                chord: 104.47,
                ..NONE
            }),
            Line("N 3-36-57 W", 178.78),
            Curve(Elements {
                turn: Right,
                radius: 250.0,
                toward: "N 12-09-31 E",
                chord: 135.93,
                ..NONE
            }),
            Line("N 27-56-00 E", 47.77),
            Curve(Elements {
                turn: Left,
                radius: 614.41,
                toward: "N 13-28-00 E",
                chord: 306.98,
                ..NONE
            }),
            Line("N 1-00-01 W", 75.03),
            Curve(Elements {
                turn: Right,
                radius: 742.35,
                toward: "N 0-29-05 W",
                chord: 13.35,
                ..NONE
            }),
            Line("S 79-39-20 E", 181.09),
            Line("S 0-49-15 W", 75.58),
            Line("N 89-10-47 W", 32.67),
            Line("S 0-49-14 W", 43.0),
            Line("S 30-42-38 W", 20.62),
            Line("S 11-39-35 E", 46.81),
            Line("S 11-41-53 W", 118.51),
            Line("S 73-32-17 E", 36.79),
            Line("S 21-25-06 W", 96.08),
            Line("S 31-33-41 W", 40.57),
            Line("N 62-04-01 W", 39.2),
            Line("S 26-26-22 W", 35.01),
            Line("S 62-04-00 E", 32.63),
            Line("S 0-23-38 W", 354.46),
            Line("S 13-50-59 W", 276.04),
            Line("S 19-48-33 W", 119.49),
            Line("S 50-38-48 W", 35.02),
            Line("S 20-28-19 E", 43.0),
            Line("N 69-31-41 E", 7.14),
            Line("S 20-28-20 E", 82.46),
            Line("S 69-31-40 W", 195.41),
        ],
        misclosure: Some(0.009),
        perimeter: 3383.3,
        area: 255223.5,
        stated: Some(255087.36),
    },
    // 74 Pa. Stat. § 61, Lazaretto on Island of Tinicum; Commonwealth of Pennsylvania (statutes, unconsolidated), 1917; 74 P.S. § 61 (1917, P.L. 1136, § 1)
    Record {
        name: "tinicum-1917",
        unit: ROD,
        heading: None,
        calls: &[
            Line("N 5-00-00 E", 55.5),
            Line("S 85-00-00 E", 28.7),
            Line("S 5-00-00 W", 56.0),
            Missing,
        ],
        misclosure: None,
        perimeter: 2786.92,
        area: 435606.8,
        stated: None,
    },
    // Order revoking Public Land Order No. 1756 (Denali Highway); Kappler, Indian Affairs: Laws and Treaties, vol. VII (reprinting the Federal Register), 1970; Federal Register vol. 35 (1970), p. 12657; Kappler VII p. 1580
    Record {
        name: "denali-highway",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("due west", 430.0),
            Line("due north", 660.0),
            Line("due east", 430.0),
            Line("due south", 660.0),
        ],
        misclosure: Some(0.0),
        perimeter: 2180.0,
        area: 283800.0,
        stated: Some(283140.0),
    },
    // 35 Stat. 454, ch. 216 (1908), Leech Lake Indian Reservation, old agency tract; United States Statutes at Large (Wikisource page scan), 1908; 35 Stat. 454
    Record {
        name: "leech-lake",
        unit: CHAIN,
        heading: None,
        calls: &[
            Line("due east", 3.17),
            Line("due north", 3.17),
            Line("due west", 3.17),
            Line("due south", 3.17),
        ],
        misclosure: Some(0.0),
        perimeter: 836.88,
        area: 43773.0,
        stated: Some(43560.0),
    },
    // Executive Order 7893, Upolu Point Military Reservation, Hawaii; The American Presidency Project (executive order text), 1938; parcel 1
    Record {
        name: "upolu-point",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("az 342-16-00", 110.0),
            Line("az 72-16-00", 337.54),
            Line("az 84-15-00", 61.55),
            Line("az 174-15-00", 110.0),
            Line("az 264-15-00", 50.0),
            Line("az 252-16-00", 326.0),
        ],
        misclosure: Some(0.001),
        perimeter: 995.09,
        area: 42630.2,
        stated: Some(42645.24),
    },
    // Executive Order 978, parcel (a) Round Top; Wikisource (executive orders); 1(a)
    Record {
        name: "round-top",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("S 86-24-00 W", 319.0),
            Line("S 31-01-00 W", 133.2),
            Line("S 14-40-00 W", 149.0),
            Line("S 30-04-00 E", 224.8),
            Line("N 74-15-00 E", 87.3),
            Line("N 53-37-00 E", 157.7),
            Line("N 44-35-00 E", 295.0),
            Line("N 35-58-00 W", 179.8),
        ],
        misclosure: Some(0.35),
        perimeter: 1545.8,
        area: 160073.1,
        stated: Some(160300.8),
    },
    // Instrument (2010), excepted tract (1), Mercer County, North Dakota; Hall County, Nebraska (Register of Deeds / Clerk imaging), 2010; doc 822519, page 40, item 24(1)
    Record {
        name: "mercer-county-2010",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("due east", 424.0),
            Line("due north", 265.0),
            Line("due west", 324.0),
            Line("due north", 2375.0),
            Line("due west", 104.0),
            Line("due south", 2640.0),
        ],
        misclosure: Some(4.0),
        perimeter: 6132.0,
        area: 360420.0,
        stated: Some(349786.8),
    },
    // Resolution 2012-264, first tract; City of Grand Island, Nebraska (resolutions and ordinances), 2012; doc 1219339, page 2
    Record {
        name: "grand-island-2012",
        unit: FOOT,
        heading: Some("due south"),
        calls: &[
            Deflected(Right, "21-33-43", 38.09),
            Deflected(Left, "21-33-43", 16.0),
            Deflected(Left, "90-00-00", 14.0),
            Deflected(Left, "90-00-00", 51.43),
        ],
        misclosure: Some(0.006),
        perimeter: 119.52,
        area: 472.0,
        stated: Some(472.0),
    },
    // Resolution 2002-289; City of Grand Island, Nebraska (resolutions and ordinances), 2002; resolution of 09/24/2002
    Record {
        name: "grand-island-2002",
        unit: FOOT,
        heading: None,
        calls: &[
            Curve(Elements {
                turn: Left,
                radius: 330.0,
                toward: "N 52-04-03 W",
                arc: 20.15,
                chord: 20.15,
                delta: "3-29-56",
            }),
            Line("N 44-53-53 E", 145.02),
            Line("N 1-48-38 W", 85.28),
            Line("N 90-00-00 E", 15.01),
            Line("S 19-41-09 E", 16.29),
            Line("S 1-48-38 E", 88.42),
            Curve(Elements {
                turn: Left,
                radius: 180.0,
                toward: "S 53-16-11 W",
                arc: 52.6,
                chord: 52.42,
                delta: "16-44-38",
            }),
            Line("S 44-53-53 W", 92.17),
        ],
        misclosure: Some(0.005),
        perimeter: 514.94,
        area: 4865.9,
        stated: None,
    },
    // Right-of-way vacation ordinance (record 7385), first parcel; City of Grand Junction, Colorado (City Clerk records); record 7385
    Record {
        name: "grand-junction-7385",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("S 88-00-00 E", 30.02),
            Line("S 0-02-00 E", 127.92),
            Line("N 89-56-00 W", 55.04),
            Curve(Elements {
                turn: Left,
                radius: 25.0,
                toward: "N 45-01-00 E",
                chord: 35.39,
                ..NONE
            }),
            Line("N 0-02-00 W", 103.89),
        ],
        misclosure: Some(0.008),
        perimeter: 356.19,
        area: 3986.6,
        stated: None,
    },
    // Right-of-way vacation ordinance, part 1 Horizon Place (record 8161); City of Grand Junction, Colorado (City Clerk records); record 8161, item 1
    Record {
        name: "grand-junction-8161",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("N 0-02-22 W", 60.61),
            Curve(Elements {
                turn: Left,
                radius: 459.37,
                toward: "N 73-44-55 E",
                arc: 216.63,
                chord: 214.62,
                ..NONE
            }),
            Line("S 29-45-35 E", 2.5),
            Line("S 69-14-21 W", 238.73),
        ],
        misclosure: Some(37.461),
        perimeter: 518.47,
        area: 262.2,
        stated: Some(4720.0),
    },
    // Ordinance No. 3953, 27 Road cul-de-sac; City of Grand Junction, Colorado (City Clerk records), 2006; Ordinance No. 3953 (16 August 2006)
    Record {
        name: "grand-junction-2006",
        unit: FOOT,
        heading: None,
        calls: &[
            Curve(Elements {
                turn: Right,
                radius: 50.0,
                toward: "S 42-40-16 W",
                arc: 157.08,
                chord: 100.0,
                delta: "180-00-00",
            }),
            Line("N 42-40-16 E", 100.0),
        ],
        misclosure: Some(0.0),
        perimeter: 257.08,
        area: 3927.0,
        stated: Some(3927.0),
    },
    // Resolution No. 36-02; City of Grand Junction, Colorado (City Clerk records), 2002; Resolution No. 36-02
    Record {
        name: "grand-junction-2002",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("S 89-50-21 W", 133.0),
            Line("N 0-00-00 E", 282.0),
            Line("N 89-50-21 E", 133.0),
            Line("S 0-00-00 W", 282.0),
        ],
        misclosure: Some(0.0),
        perimeter: 830.0,
        area: 37505.9,
        stated: Some(37506.2),
    },
    // Whitaker v. Cover, 52 S.E. 581; Supreme Court of North Carolina, 1905; State grant No. 3632
    Record {
        name: "north-carolina-grant",
        unit: ROD,
        heading: None,
        calls: &[
            Line("due west", 260.0),
            Line("due north", 320.0),
            Line("due east", 320.0),
            Line("due south", 320.0),
            Line("due west", 60.0),
        ],
        misclosure: Some(0.0),
        perimeter: 21120.0,
        area: 27878400.0,
        stated: Some(27878400.0),
    },
    // Grant description, St. Margarets Bay, tract B; Nova Scotia Archives (land grant transcript); page 201606422
    Record {
        name: "st-margarets-bay",
        unit: CHAIN,
        heading: None,
        calls: &[
            Line("N 80-00-00 E", 52.5),
            Line("N 10-00-00 W", 40.0),
            Line("S 80-00-00 W", 75.0),
            Line("S 10-00-00 E", 38.0),
            Line("N 84-00-00 E", 25.0),
            Missing,
        ],
        misclosure: None,
        perimeter: 15374.87,
        area: 12946815.7,
        stated: Some(13068000.0),
    },
    // Conner v. Conner, 143 S.W. 283; Court of Civil Appeals of Texas, 1912; 143 S.W. 283
    Record {
        name: "texas-1870",
        unit: VARA,
        heading: None,
        calls: &[
            Line("due south", 994.5),
            Line("due west", 450.0),
            Unsaid(1095.5),
        ],
        misclosure: None,
        perimeter: 7044.65,
        area: 1726562.5,
        stated: None,
    },
    // Ordinance amending the Zoning Atlas, 8223 Cooper Creek Road; Consolidated Government of Columbus, Georgia (Council records); council agenda document
    Record {
        name: "columbus",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("S 11-56-09 E", 53.59),
            Curve(Elements {
                turn: Left,
                radius: 573.69,
                toward: "S 12-13-17 E",
                arc: 6.41,
                chord: 6.41,
                ..NONE
            }),
            Line("S 78-06-55 W", 261.2),
            Line("N 4-26-41 W", 60.51),
            Line("N 78-06-55 E", 253.28),
        ],
        misclosure: Some(0.001),
        perimeter: 634.99,
        area: 15433.6,
        stated: Some(15420.24),
    },
    // Annexation ordinance, 3.7463 acres; City of San Marcos, Texas (City Clerk records); doc 10654, page 2
    Record {
        name: "san-marcos",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("N 47-32-59 E", 341.84),
            Line("N 46-30-27 E", 158.1),
            Line("N 46-16-19 E", 158.29),
            Line("N 46-26-42 E", 3.2),
            Line("S 79-44-00 E", 272.96),
            Line("S 46-30-27 W", 133.61),
            Line("S 46-33-22 W", 399.12),
            Line("S 46-17-42 W", 282.47),
            Missing,
        ],
        misclosure: None,
        perimeter: 1976.14,
        area: 163185.5,
        stated: Some(163188.828),
    },
    // 17 x 29 ft easement exhibit; City of Coppell, Texas (Planning / Engineering records); Planning doc 8168
    Record {
        name: "coppell",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("N 0-12-29 E", 7.67),
            Line("S 89-47-11 E", 17.0),
            Line("S 0-12-49 W", 29.0),
            Line("N 89-47-11 W", 17.0),
            Line("N 0-12-49 E", 21.33),
        ],
        misclosure: Some(0.001),
        perimeter: 92.0,
        area: 493.0,
        stated: Some(493.0),
    },
    // Exhibit A, Tract 3 'Riverside Plaza', LESS AND EXCEPT parcel; City of Miami, Florida (Administration records); doc 1325595
    Record {
        name: "miami-exception",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("S 87-42-40 W", 7.6),
            Line("N 0-30-14 W", 247.9),
            Line("S 2-15-35 E", 247.78),
        ],
        misclosure: Some(0.004),
        perimeter: 503.28,
        area: 941.0,
        stated: None,
    },
    // Exhibit "A", 18.13 acre tract (solid waste property); Orange County, North Carolina, 2006; doc 72917, page 21
    Record {
        name: "orange-county-2006",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("N 87-30-43 W", 1357.79),
            Line("N 12-27-28 W", 250.9),
            Line("N 12-23-48 W", 223.75),
            Line("N 12-23-48 W", 32.85),
            Line("N 50-53-35 E", 195.57),
            Line("S 40-47-05 E", 29.84),
            Line("S 40-47-05 E", 252.22),
            Line("N 86-16-38 E", 682.2),
            Line("N 6-15-59 E", 264.69),
            Line("S 87-25-26 E", 407.67),
            Line("S 0-45-15 E", 332.36),
            Line("S 1-08-46 E", 421.18),
        ],
        misclosure: Some(0.009),
        perimeter: 4451.02,
        area: 789895.4,
        stated: Some(789742.8),
    },
];

/// Records that no closure can be computed of: two are open center lines of
/// strips, and of one the first sheet, with the first call or calls, is missing.
const OPEN: &[Record] = &[
    // Resolution 2015-284, 20 ft utility easement; City of Grand Island, Nebraska (resolutions and ordinances), 2015; resolution of 10/27/2015
    Record {
        name: "grand-island-2015",
        unit: FOOT,
        heading: None,
        calls: &[
            Line("N 89-16-05 W", 1262.04),
            Line("N 50-16-43 W", 654.81),
            Line("S 89-42-59 W", 766.71),
        ],
        misclosure: None,
        perimeter: 2683.56,
        area: 53671.2,
        stated: Some(53578.8),
    },
    // Perpetual easement, strip 36.576 m wide; City of Elk River, Minnesota; doc 494, page 33, Exhibit A
    Record {
        name: "elk-river",
        unit: FOOT,
        heading: None,
        calls: &[
            Curve(Elements {
                turn: Right,
                radius: 820.21,
                toward: "N 14-36-04 W",
                arc: 364.62,
                delta: "25-28-14",
                ..NONE
            }),
            Line("N 1-51-56 W", 21.79),
            Line("N 1-51-56 W", 620.42),
            Line("N 1-51-56 W", 315.22),
        ],
        misclosure: None,
        perimeter: 1322.05,
        area: 158646.0,
        stated: None,
    },
    // Field notes, 10.83 acres, sheet two of two; City of Georgetown, Texas, 1983; document 0048_4747, sheet 2
    Record {
        name: "georgetown-1983",
        unit: FOOT,
        heading: None,
        calls: &[
            Missing,
            Curve(Elements {
                turn: Left,
                radius: 313.15,
                toward: "N 55-05-47 E",
                arc: 168.92,
                chord: 166.88,
                ..NONE
            }),
            Line("N 39-38-31 E", 575.06),
            Line("S 61-55-00 E", 96.5),
            Curve(Elements {
                turn: Left,
                radius: 471.78,
                toward: "N 89-09-20 E",
                arc: 461.09,
                chord: 442.95,
                ..NONE
            }),
            Line("S 37-23-38 W", 454.94),
            Curve(Elements {
                turn: Right,
                radius: 777.15,
                toward: "S 63-21-50 W",
                arc: 734.48,
                chord: 707.45,
                ..NONE
            }),
            Line("N 88-50-37 W", 1018.69),
        ],
        misclosure: None,
        perimeter: 0.0,
        area: 0.0,
        stated: Some(471754.8),
    },
];

fn direction(words: &str) -> StatedDirection {
    StatedDirection::Given(read_direction(words).expect(words).value)
}

fn length(figure: f64, unit: f64) -> Length {
    Length::from_feet(figure * unit).expect("a length")
}

fn given(figure: f64, unit: f64) -> Option<Length> {
    (figure > 0.0).then(|| length(figure, unit))
}

impl Record {
    fn tract(&self) -> Tract {
        let tie = |words: &str| StatedCall::line(Some(direction(words)), Some(length(1.0, 1.0)));
        Tract {
            ties: self.heading.map(tie).into_iter().collect(),
            calls: self.calls.iter().map(|it| self.call(it)).collect(),
            ..Tract::default()
        }
    }

    fn call(&self, figures: &Figures) -> StatedCall {
        let mut call = match figures {
            Line(words, distance) => {
                StatedCall::line(Some(direction(words)), given(*distance, self.unit))
            }
            Deflected(turn, angle, distance) => {
                let turned = StatedDirection::Turned {
                    angle: angle_of(angle),
                    turn: *turn,
                };
                StatedCall::line(Some(turned), given(*distance, self.unit))
            }
            Unsaid(distance) => StatedCall::line(None, given(*distance, self.unit)),
            Missing => StatedCall::line(None, None),
            Curve(elements) => StatedCall::curve(CurveElements {
                turn: Some(elements.turn),
                radius: given(elements.radius, self.unit),
                chord_direction: Some(read_direction(elements.toward).expect("toward").value),
                arc: given(elements.arc, self.unit),
                chord: given(elements.chord, self.unit),
                delta: (!elements.delta.is_empty()).then(|| angle_of(elements.delta)),
                ..CurveElements::default()
            }),
        };
        // Nearly all figures are written to the hundredth and to the second.
        call.rounding = Rounding {
            distance: length(0.005, self.unit),
            direction: Angle::from_degrees(0.5 / 3600.0).expect("half a second"),
        };
        call
    }

    /// The only answer.
    fn completed(&self) -> Completed {
        let mut answers = complete(&self.tract()).unwrap_or_else(|e| panic!("{}: {e}", self.name));
        assert_eq!(answers.len(), 1, "{}", self.name);
        answers.remove(0)
    }
}

fn angle_of(words: &str) -> Angle {
    read_angle(words).expect(words).value
}

#[test]
fn every_record_closes_as_computed_elsewhere() {
    assert_eq!(RECORDS.len(), 24);
    for record in RECORDS {
        let completed = record.completed();
        let computed = traverse(&completed.deed);
        let closure = computed.closure();
        match record.misclosure {
            Some(misclosure) => {
                assert_eq!(closure.check(), ClosureCheck::Whole, "{}", record.name);
                let off = (closure.misclosure().feet() - misclosure).abs();
                assert!(off < 0.02, "{}: misclosure off by {off}", record.name);
            }
            None if record.name == "texas-1870" => {
                assert_eq!(closure.check(), ClosureCheck::Part);
                assert_printed(closure.misclosure().feet(), "10.91", 0.6);
            }
            None => assert_eq!(closure.check(), ClosureCheck::Nothing, "{}", record.name),
        }
        let off = closure.perimeter().feet() - record.perimeter;
        // The record of Texas has the length of a road where the other computation
        // has the straight line, which is 10.91 ft shorter: the misclosure.
        let road = if record.name == "texas-1870" {
            10.91
        } else {
            0.0
        };
        assert!(
            (off - road).abs() < 0.05,
            "{}: perimeter off by {off}",
            record.name
        );
        let area = computed.area().square_feet();
        let share = (area / record.area - 1.0).abs();
        assert!(share < 0.005, "{}: {area} for {}", record.name, record.area);
    }
}

/// The two records whose stated area the figures do not bear out are known
/// slips: a line of 37 ft too much, and widths that differ by four feet.
#[test]
fn stated_areas_agree_but_for_known_slips() {
    for record in RECORDS {
        let Some(stated) = record.stated else {
            continue;
        };
        let area = traverse(&record.completed().deed).area().square_feet();
        let agrees = (area / stated - 1.0).abs() < 0.01;
        let slip = ["grand-junction-8161", "mercer-county-2010"].contains(&record.name);
        assert_eq!(agrees, !slip, "{}: {area} for {stated}", record.name);
    }
}

/// The two center lines run as far as the records say; their area is their width
/// along that length.
#[test]
fn center_lines_stay_open() {
    for (name, width) in [("grand-island-2015", 20.0), ("elk-river", 120.0)] {
        let record = OPEN.iter().find(|it| it.name == name).expect(name);
        let mut tract = record.tract();
        if let Some(last) = tract.calls.last_mut() {
            last.corner = Some("end".to_owned());
        }
        let completed = complete(&tract).expect(name).remove(0);
        let computed = traverse(&completed.deed);
        assert!(!computed.returns(), "{name}");
        let along = computed.closure().perimeter().feet();
        assert!((along - record.perimeter).abs() < 0.01, "{name}: {along}");
        let share = (along * width / record.area - 1.0).abs();
        assert!(share < 1e-4, "{name}: {share}");
    }
}

/// With its missing sheet bridged by one straight line the tract has 9.99 acres
/// of 10.83, so that the sheet held more than one call; the closure says nothing.
#[test]
fn a_missing_sheet_is_more_than_a_missing_course() {
    let record = OPEN.iter().find(|it| it.name == "georgetown-1983");
    let completed = record.expect("the record").completed();
    let computed = traverse(&completed.deed);
    assert_eq!(computed.closure().check(), ClosureCheck::Nothing);
    assert!(!completed.closed_by_construction);
    assert_printed(computed.area().acres(), "9.99", 0.5);
}
