//! Units of length and area, and the reading of lengths, against published
//! factors.

use fence_geom::{
    Area, FootKind, InchFraction, Length, LengthReader, LengthStyle, LengthUnit,
    SQUARE_FEET_PER_ACRE, Vara, standards,
};
use fence_tests::assert_printed;

/// Half a unit in the last printed place: what correct rounding leaves.
const HALF: f64 = 0.5;

#[track_caller]
fn read(text: &str) -> Length {
    LengthReader::strict()
        .read(text)
        .unwrap_or_else(|error| panic!("{error}"))
        .value
}

#[track_caller]
fn read_by_international_foot(text: &str) -> Length {
    let reader = LengthReader {
        chain_foot: FootKind::International,
        ..LengthReader::strict()
    };
    reader
        .read(text)
        .unwrap_or_else(|error| panic!("{error}"))
        .value
}

/// Federal Register, 85 FR 62698 (October 5, 2020), National Institute of
/// Standards and Technology and National Geodetic Survey, "Deprecation of the
/// United States (U.S.) Survey Foot", summary: the foot is 0.3048 m exactly; the
/// survey foot is 1200/3937 m, 0.304800609601 m, some two parts in a million
/// longer.
#[test]
fn both_feet() {
    assert_printed(read("1 ft").meters(), "0.3048", 1e-9);
    assert_printed(read("1 us ft").meters(), "0.304800609601", HALF);
    assert_printed(read("3937 us ft").meters(), "1200", 1e-9);
    let longer = FootKind::UsSurvey.international_feet() - 1.0;
    assert_printed(longer * 1e6, "2", HALF);
}

/// Indiana Code 32-19-2-1 (2002), State of Indiana: one meter is 39.37/12 ft.
#[test]
fn a_meter_in_survey_feet() {
    let survey_feet = read("1 m").feet() / read("1 sft").feet();
    assert_printed(survey_feet * 12.0, "39.37", 1e-9);
}

/// `OSGeo` PROJ project, source file src/units.cpp, table `pj_units` (commit
/// 52da98bd): meters in each unit.
#[test]
fn proj_units_table() {
    let chain = LengthUnit::Chain(FootKind::UsSurvey);
    let rows = [
        (read("1 ft"), "0.3048"),
        (read_by_international_foot("1 ch"), "20.1168"),
        (read_by_international_foot("1 lk"), "0.201168"),
        (read("1 us ft"), "0.304800609601219"),
        (read("3 us ft"), "0.914401828803658"),
        (chain.length(1.0).expect("a chain"), "20.11684023368047"),
        (chain.length(80.0).expect("a mile"), "1609.347218694437"),
        (read("5280 ft"), "1609.344"),
    ];
    for (length, printed) in rows {
        // Sixteen figures are at the edge of a double: a tenth more than half.
        assert_printed(length.meters(), printed, 0.6);
    }
}

/// National Society of Professional Surveyors, "Definitions of Surveying and
/// Related Terms", entry "vara": five lengths in inches with their millimeters,
/// and one in feet with its inches. Its meter has 39.37 inches, so these are
/// inches of the survey foot; with the others the last row would be off by 2 in
/// its last place.
#[test]
fn survey_inches_in_millimeters() {
    let survey_foot = LengthUnit::Foot(FootKind::UsSurvey);
    for (inches, millimeters) in [
        (33.03773, "839.16"),
        (32.95269, "837"),
        (32.99206, "838"),
        (32.96568, "837.33"),
        (32.96753, "837.377"),
    ] {
        let vara = survey_foot.length(inches / 12.0).expect("a length");
        assert_printed(vara.meters() * 1000.0, millimeters, HALF);
    }
    assert_printed(read("2.781 ft").inches(), "33.372", HALF);
}

/// NIST Handbook 44, Appendix C, "General Tables of Units of Measurement", units
/// of length, Gunter's chain, and units of area. Values from memory.
#[test]
fn handbook_44_tables() {
    let equal = [
        ("12 in", "1 ft"),
        ("3 ft", "1 yd"),
        ("7.92 in", "1 lk"),
        ("0.66 ft", "1 lk"),
        ("16.5 ft", "1 rd"),
        ("25 lk", "1 pole"),
        ("4 rods", "1 ch"),
        ("100 lk", "1 ch"),
        ("80 ch", "1760 yd"),
        ("320 perches", "5280 ft"),
    ];
    for (left, right) in equal {
        let (left, right) = (
            read_by_international_foot(left),
            read_by_international_foot(right),
        );
        let off = left.minus(right).magnitude().feet();
        assert!(off <= 1e-15 * right.feet(), "{left} is not {right}");
    }
    let acre = Area::from_square_feet(SQUARE_FEET_PER_ACRE).expect("an acre");
    let chain = read_by_international_foot("1 ch").feet();
    let rod = read_by_international_foot("1 rd").feet();
    assert_printed(acre.square_feet() / (chain * chain), "10", 1e-9);
    assert_printed(acre.square_feet() / (rod * rod), "160", 1e-9);
    assert_printed(read("1 in").meters() * 100.0, "2.54", 1e-9);
    assert_printed(read("1 yd").meters(), "0.9144", 1e-9);
}

/// Chain Link Fence Manufacturers Institute, guide to installing a chain link
/// fence (2009), steps 1-3: an opening of 3 ft takes a gate frame of 32-1/4 in.
#[test]
fn a_gate_frame_in_fractions_of_an_inch() {
    let frame = read("3ft").minus(standards::CHAIN_LINK_SINGLE_GATE_GAPS);
    let style = LengthStyle::Inches(InchFraction::Eighth);
    assert_eq!(frame.to_text(style), "32-1/4\"");
    assert_eq!(frame.magnitude(), read("32-1/4in"));
}

/// ASTM F567-07, "Installation of Chain-Link Fence", 5.1, as adopted by the
/// Village of Byesville, Ohio, Ordinance 01-08 (2001), (a)(1)-(5): a hole of four
/// times the post; 24 in deep and 3 in more for each foot above 4 ft, so 30 in
/// for a fence of 6 ft.
#[test]
fn chain_link_holes() {
    assert_eq!(standards::chain_link_hole(read("2-1/2in")), read("10in"));
    assert_eq!(standards::chain_link_hole_depth(read("4ft")), read("24in"));
    assert_eq!(standards::chain_link_hole_depth(read("6ft")), read("30in"));
}

/// American Land Title Association and National Society of Professional
/// Surveyors, "Minimum Standard Detail Requirements", effective February 23,
/// 2021, 3.E.v: 2 cm, printed as 0.07 ft, plus 50 parts in a million.
#[test]
fn positional_precision() {
    assert_printed(read("2 cm").feet(), "0.07", HALF);
    let at_mile = standards::positional_precision(read("5280 ft"));
    assert_printed(at_mile.feet(), "0.334", 1e-9);
}

fn vara(count: f64) -> Length {
    LengthUnit::Vara(Vara::Texas).length(count).expect("varas")
}

fn square(side: Length) -> Area {
    Area::from_square_feet(side.feet().powi(2)).expect("an area")
}

/// "Conversion tables for Texas" (Freestone County archive, USGW Archives, undated),
/// conversion.txt; a league is 5,000 varas square and a labor 1,000. Two entries are
/// known to be wrong and right here: 7.70 sq ft to the square vara, and 361,305.6 square
/// varas to the square mile.
#[test]
fn texas_conversion_table() {
    let per_vara = |unit: &str| read(unit).feet() / vara(1.0).feet();
    assert_printed(vara(1.0).feet(), "2.778", HALF);
    assert_printed(per_vara("1 ft"), "0.36", 1e-9);
    assert_printed(per_vara("5280 ft"), "1900.8", 1e-6);
    // Cut off, not rounded.
    assert_printed(per_vara("1 m"), "1.18", HALF);
    assert_printed(square(vara(1.0)).square_feet(), "7.716", HALF);
    let per_square_vara = |square_feet: f64| square_feet / square(vara(1.0)).square_feet();
    assert_printed(per_square_vara(SQUARE_FEET_PER_ACRE), "5645.4", HALF);
    assert_printed(per_square_vara(5280.0 * 5280.0), "3,613,040.6", HALF);
    assert_printed(square(vara(5000.0)).acres(), "4428", HALF);
    assert_printed(square(vara(1000.0)).acres(), "177", HALF);
}

/// "Units of measurement - Texas", section "Texas land measures" (`USLegal` Oil and Gas,
/// 2010). Known to be wrong: a vara of 33-1/2 in, where all else there needs 33-1/3; a
/// labor of 177.125 acres, an eighth for 0.136; and 1,806,250 square varas in 320 acres,
/// two digits exchanged.
#[test]
fn texas_land_measures() {
    assert_printed(vara(3.0).inches(), "100", 1e-9);
    assert_printed(vara(36.0).feet(), "100", 1e-9);
    assert_printed(vara(108.0).feet() / read("1 yd").feet(), "100", 1e-9);
    let (league, labor) = (square(vara(5000.0)).acres(), square(vara(1000.0)).acres());
    assert_printed(labor, "177.136", HALF);
    assert_printed(league, "4428.4", HALF);
    assert_printed(league / 3.0, "1476.1", HALF);
    assert_printed(league + labor, "4605.5", HALF);
    let square_varas = |acres: f64| acres * SQUARE_FEET_PER_ACRE / vara(1.0).feet().powi(2);
    assert_printed(square_varas(1.0), "5645.376", HALF);
    assert_printed(square_varas(640.0), "3,613,041", HALF);
    assert_printed(square_varas(320.0), "1,806,520", HALF);
    for (acres, side) in [(320.0, "1344"), (160.0, "950.4"), (80.0, "672")] {
        assert_printed(square_varas(acres).sqrt(), side, HALF);
    }
}

/// "Units of measure" (a surveying firm's page, undated): chains, poles, acres, and
/// 2.471 acres in a hectare.
#[test]
fn chains_poles_and_acres() {
    let of = |text: &str| read_by_international_foot(text).feet();
    let acres = |length: &str, breadth: &str| {
        let area = Area::from_square_feet(of(length) * of(breadth)).expect("an area");
        area.acres()
    };
    assert_printed(acres("1 ch", "10 ch"), "1", 1e-9);
    assert_printed(acres("80 ch", "320 poles"), "640", 1e-9);
    assert_printed(acres("100 m", "100 m"), "2.471", HALF);
    assert_printed(of("40 poles") / of("1 yd"), "220", 1e-9);
    assert_printed(of("1 ch") / of("1 pole"), "4", 1e-9);
    assert_printed(read_by_international_foot("1 lk").inches(), "7.92", 1e-9);
}

/// J. Mahun, Open Access Surveying Library, "Horizontal Coordinate Systems", self-study
/// problem (3) (web edition): zone constants of Wisconsin North in survey feet. By the
/// international foot the second would be 12.76 m less.
#[test]
fn zone_constants_in_survey_feet() {
    for (feet, meters) in [("365048.99", "111267.15"), ("20927206.92", "6378625.43")] {
        assert_printed(read(&format!("{feet} us ft")).meters(), meters, HALF);
    }
}
