//! Call tables: one call in many spellings, and any text without a panic.

use fence_geom::{
    AngleStyle, Azimuth, CallTable, Length, LengthStyle, Point, read_call_table, read_description,
};
use proptest::prelude::*;

fn only_call(text: &str) -> (f64, f64) {
    let table = read_call_table(text).unwrap_or_else(|error| panic!("{text:?}: {error}"));
    assert!(table.unread().is_empty(), "{text:?}: {:?}", table.unread());
    let [call] = table.calls() else {
        panic!("{text:?}: {} calls", table.calls().len());
    };
    (call.direction().azimuth().degrees(), call.distance().feet())
}

fn assert_call(text: &str, azimuth: f64, feet: f64) {
    let (read_azimuth, read_feet) = only_call(text);
    assert!(
        (read_azimuth - azimuth).abs() < 1e-9,
        "{text:?}: {read_azimuth}"
    );
    assert!((read_feet - feet).abs() < 1e-9, "{text:?}: {read_feet}");
}

fn read(text: &str) -> CallTable {
    read_call_table(text).expect("a table")
}

#[test]
fn one_call_in_many_spellings() {
    let azimuth = 45.0 + 30.0 / 60.0 + 15.0 / 3600.0;
    for text in [
        "N 45°30'15\" E 104.37",
        "N45-30-15E 104.37ft",
        "N45-30-15E104.37ft",
        "n 45° 30' 15\" e, 104.37'",
        "N 45°30'15\" E-104.37'",
        "N 45°30'15\" E - 104.37 feet",
        "thence North 45 deg 30 min 15 sec East, a distance of 104.37 feet to an iron pin",
        "then run North 45 degrees 30 minutes 15 seconds East for 104.37 ft.",
        "A-B: N 45-30-15 E, 104.37 ft",
        "(1) N45-30-15E 104.37ft to B",
        "12. Thence N. 45°30'15\" E. 104.37 feet, more or less, to the point of beginning.",
        "az 45-30-15 104.37",
        "45-30-15, 104.37 # a comment",
    ] {
        assert_call(text, azimuth, 104.37);
    }
}

#[test]
fn cardinal_calls_and_other_units() {
    let survey = 1200.0 / 3937.0 / 0.3048;
    assert_call("due north 60' to B", 0.0, 60.0);
    assert_call("West 12' 6-1/2\"", 270.0, 12.0 + 6.5 / 12.0);
    assert_call("E 14.48 FT", 90.0, 14.48);
    assert_call("S 12 W 10 chains 15 links", 192.0, 669.9 * survey);
    assert_call("south 10 rods", 180.0, 165.0 * survey);
    assert_call("foot: international\nsouth 10 rods", 180.0, 165.0);
    assert_call(
        "unit: chains\nchain-foot: international\nN 3.17",
        0.0,
        209.22,
    );
    assert_call("foot: us-survey\nN 100", 0.0, 100.0 * survey);
    assert_call("N 30.48 m", 0.0, 100.0);
    assert_call("N 1,488.67 feet", 0.0, 1488.67);
}

#[test]
fn what_was_assumed_is_said_once() {
    let table = read("unit: chains\nN 1\nE 2\nS 3 ft\n");
    assert_eq!(
        table.assumed(),
        ["\"1\" and 1 more taken as chains of 66 U.S. survey feet (lines 2 to 3)"]
    );
    assert!(read("N45E 60ft\n").assumed().is_empty());
}

#[test]
fn names_and_the_beginning() {
    let table = read("A-B: N 10\nE 10 to C\nC-D: S 10 ft\nwest 10 to the point of beginning\n");
    let deed = table.into_deed().expect("read");
    assert_eq!(deed.corner_names(), ["A", "B", "C", "D"]);
    assert!(!deed.stays_open());

    let table =
        read("begin: P at N 1,000.5 E -20\nN 10 to an iron pin\nE 10 to pin Q\nS 10 to R\n");
    let deed = table.into_deed().expect("read");
    assert_eq!(deed.beginning().at, Point::new(1000.5, -20.0).ok());
    assert_eq!(deed.corner_names(), ["P", "2", "Q", "R"]);
    assert!(deed.stays_open());
}

#[test]
fn a_number_that_is_taken_as_a_name_is_not_given_twice() {
    let deed = read("begin: 2\nN 10\nE 10\nS 10\n")
        .into_deed()
        .expect("read");
    assert_eq!(deed.corner_names(), ["2", "c2", "3"]);
}

#[test]
fn an_ambiguous_line_is_unread() {
    // 123°30', then 6 inches; or 123°, then 30 feet 6 inches.
    let table = read("az 123° 30' 6\"\n");
    let fault = table.unread().first().expect("unread");
    assert!(fault.problem.contains("two ways"), "{}", fault.problem);
}

#[test]
fn lines_that_are_not_calls_are_kept_with_their_words() {
    let table = read("# a deed\nN 10\nalong the creek to an oak\n\nN 95 E 60\nN 45 60 ft\nE 10\n");
    let unread: Vec<(usize, &str, &str)> = table
        .unread()
        .iter()
        .map(|fault| {
            let words = &fault.words[fault.at.clone()];
            (fault.line, fault.words.as_str(), words)
        })
        .collect();
    assert_eq!(
        unread,
        [
            (3, "along the creek to an oak", "along the creek"),
            (5, "N 95 E 60", "95"),
            (6, "N 45 60 ft", "N 45"),
        ]
    );
    assert_eq!(table.calls_before_gap().len(), 1);
    let refusal = table.into_deed().expect_err("unread").to_string();
    assert!(refusal.contains("line 3"), "{refusal}");
}

#[test]
fn no_call_is_lost_behind_another() {
    let seconds = [
        "N90E 50ft",
        "North 90 degrees East 50 feet",
        "N 90°00'00\" E, 50.00'",
        "due east 50 ft",
        "E 50ft",
        "az 90 50ft",
        "90 50ft",
        "90-00-00, 50ft",
        "N90E50ft",
        "50ft N90E",
        "N95E 50ft",
        "N 45 50ft",
        "N1e1E 50ft",
        "N90E 5e1ft",
        "N90E -50ft",
        "N90E fifty feet",
        "northeasterly 50 ft",
        "C-D: N90E 50ft",
        "N.90°E. 50 ft.",
    ];
    for between in [
        "; ",
        ", ",
        " / ",
        "\t",
        " and ",
        " thence ",
        "; thence ",
        " then ",
        " | ",
        " -> ",
        " & ",
        ", followed by ",
    ] {
        for second in seconds {
            for end in ["", " to C", " to a pin"] {
                let text = format!("begin: A\nN0E 100ft to B{between}{second}{end}\nS 100ft\n");
                // A line that makes no deed is refused, which is no loss either.
                if let Ok(table) = read_call_table(&text) {
                    let is_lost = table.unread().is_empty() && table.calls().len() != 3;
                    assert!(!is_lost, "{text:?}: {:?}", table.calls());
                }
            }
        }
    }
}

#[test]
fn two_calls_of_a_line_keep_their_corners() {
    for text in [
        "begin: A\nN0E 100ft to B; N90E 50ft to C\nS0E 100ft to D; S90W 50ft to A;\n",
        "begin: A\nN0E 100ft to B, thence N90E 50ft to C, thence S 100ft to D and then W 50ft to A\n",
        "A-B: N0E 100ft; B-C: N90E 50ft; C-D: S0E 100ft; D-A: S90W 50ft\n",
    ] {
        let table = read(text);
        assert!(table.unread().is_empty(), "{text:?}: {:?}", table.unread());
        let deed = table.into_deed().expect("a deed");
        assert_eq!(deed.corner_names(), ["A", "B", "C", "D"], "{text:?}");
        for call in deed.calls() {
            let written = call.written().expect("a place");
            assert_eq!(&text[written.at.clone()], written.words, "{text:?}");
        }
    }
}

#[test]
fn what_stands_at_a_corner_may_hold_a_number() {
    for corner in [
        "a 5/8 in rebar 12 in deep",
        "pin 50 ft N of the barn",
        "the N line of Lot 7, Block 3, 60 ft R/W",
        "a stone in the N 1/2 of the SE 1/4 of Section 12",
        "B; set pin 0.5 ft up",
    ] {
        let text = format!("N0E 100ft to {corner}\n");
        assert_call(&text, 0.0, 100.0);
    }
}

#[test]
fn the_calls_begin_where_the_last_one_ends() {
    let text = "N 100.00 to B\nE 60.00 to C\nS 100.00 to D\nW 60.00 to A\n";
    let table = read(text);
    assert_eq!(table.beginning().name, "A");
    assert!(table.assumed().iter().any(|it| it.contains("begin at A")));
    let deed = table.into_deed().expect("a deed");
    assert!(!deed.stays_open());
    assert_eq!(deed.corner_names(), ["A", "B", "C", "D"]);

    let placed = read(&format!("begin: N 1000 E 2000\n{text}"));
    assert_eq!(placed.beginning().name, "A");
    assert!(placed.beginning().at.is_some());
}

#[test]
fn a_line_that_says_so_stays_open() {
    for text in [
        "begin: P0\nN 100 to B\nE 60 to C\n",
        "begin: 1\nN 100 to B\nE 60 to C\n",
        "P0-B: N 100\nB-C: E 60\n",
        "N 100 to B\nE 60 to the point of termination\n",
        "N 100 to B\nE 60 to the point of terminus.\n",
    ] {
        let deed = read(text).into_deed().expect("a deed");
        assert!(deed.stays_open(), "{text:?}");
    }
    let deed = read("N 100 to B\nE 60\n").into_deed().expect("a deed");
    assert!(!deed.stays_open());
}

#[test]
fn exponents_and_signs_are_unread() {
    for line in [
        "N45E 1e2ft to B",
        "N1e3E 100ft",
        "N45E -100ft",
        "N45E −100ft",
        "az -0d30m 100ft",
        "az-90 100ft",
        "N -0°30' E 100ft",
    ] {
        let table = read(&format!("begin: A\nN 10\n{line}\n"));
        let fault = table.unread().first().expect(line);
        assert_eq!(fault.line, 3);
        let described = read_description(&format!("begin: A\nN 10\n{line}\n")).expect(line);
        assert_eq!(described.unread.len(), 1, "{line}");
        assert_eq!(described.tracts[0].calls.len(), 1, "{line}");
    }
}

#[test]
fn a_label_must_follow_on() {
    let table = read("A-B: N 10\nC-D: E 10\n");
    let fault = table.unread().first().expect("unread");
    assert_eq!(fault.line, 2);
    assert!(fault.problem.contains("\"B\""), "{}", fault.problem);
}

#[test]
fn tables_that_are_refused() {
    for (text, wanted) in [
        ("# nothing but a comment\n", "no call"),
        ("N 10\nE 0 ft\n", "no length"),
        ("N 10\nE NaN ft\n", "not a number"),
        ("N inf\n", "not a number"),
        ("N 45 E 10 cubits\n", "no unit"),
        ("unit: cubits\nN 10\n", "not understood"),
        ("N 10\nunit: feet\n", "before the first call"),
        ("begin: A\nbegin: B\nN 10\n", "once"),
        ("begin: A at N nan E 0\nN 10\n", "not understood"),
        ("area: much\nN 10\n", "not understood"),
        ("N 10 to B\nE 10 to B\n", "\"B\""),
        ("begin: A\nN 10 to A\nE 10\n", "\"A\""),
    ] {
        let error = read_call_table(text).expect_err(text).to_string();
        assert!(error.contains(wanted), "{text:?}: {error}");
    }
}

#[test]
fn a_file_that_is_no_call_table_is_given_up_on() {
    for line in ["N 45-30-15 E 104.37 ft\n", "along the creek\n"] {
        let error = read_call_table(&line.repeat(100_000)).expect_err("too long");
        assert!(error.to_string().contains("call table"), "{error}");
    }
    let long = format!("N 45 E {}\n", "1 ".repeat(50_000));
    let table = read(&long);
    assert!(
        table
            .unread()
            .first()
            .is_some_and(|fault| fault.problem.contains("too long"))
    );
}

/// Half of the last written digit, taken through to the allowed misclosure.
#[test]
fn figures_are_judged_by_how_finely_they_are_written() {
    let rounding = |text: &str| {
        let table = read(text);
        let rounding = table.calls().first().expect("a call").rounding();
        (
            rounding.distance.feet(),
            rounding.direction.degrees() * 3600.0,
        )
    };
    for (text, feet, seconds) in [
        ("N 45 E 104.37 ft", 0.005, 1800.0),
        ("N 45-30 E 104.3 ft", 0.05, 30.0),
        ("N 0-00-00 W 319 ft", 0.5, 0.5),
        ("due north 12' 6-1/2\"", 0.25 / 12.0, 0.0),
        ("az 0-00 100 ft", 0.5, 30.0),
        ("N 45.5 E 10.00 m", 0.005 / 0.3048, 180.0),
    ] {
        let (read_feet, read_seconds) = rounding(text);
        assert!((read_feet - feet).abs() < 1e-9, "{text:?}: {read_feet}");
        assert!(
            (read_seconds - seconds).abs() < 1e-6,
            "{text:?}: {read_seconds}"
        );
    }
}

proptest! {
    /// What the library prints, the table reads back as the same call.
    #[test]
    fn printed_calls_read_back(degrees in 0.0..360.0_f64, feet in 0.01..5000.0_f64) {
        let bearing = Azimuth::from_degrees(degrees).expect("in range").bearing();
        let distance = Length::from_feet(feet).expect("in range");
        for line in [
            format!("{} {}", bearing.to_text(AngleStyle::Exact), distance.to_text(LengthStyle::Exact)),
            format!(
                "{} {}",
                bearing.to_shell_text(AngleStyle::Exact),
                distance.to_shell_text(LengthStyle::Exact)
            ),
        ] {
            let table = read_call_table(&line).expect("a table");
            prop_assert!(table.unread().is_empty(), "{:?}", table.unread());
            let call = table.calls().first().expect("a call");
            prop_assert_eq!(call.direction().azimuth(), bearing.azimuth());
            prop_assert_eq!(call.distance(), distance);
        }
    }

    #[test]
    fn no_text_makes_it_panic(text in "\\PC{0,200}") {
        let _ = read_call_table(&text);
    }

    #[test]
    fn no_jumble_of_call_words_makes_it_panic(
        words in prop::collection::vec(
            prop::sample::select(vec![
                "N", "S", "E", "W", "north", "45", "30'", "15\"", "°", "-", "to", "B", "A-B:",
                "thence", "#", "\n", "10", "ft", "1/2", "begin:", "unit:", "chains", "more", "or",
                "less", ",", "é", "(1)", "az", "0", "area:", "acres", ":",
            ]),
            0..30,
        )
    ) {
        let text = words.join(" ");
        if let Ok(table) = read_call_table(&text) {
            for fault in table.unread() {
                prop_assert!(fault.words.get(fault.at.clone()).is_some());
            }
        }
    }
}
