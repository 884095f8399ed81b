use super::{holds_call, parts};

#[test]
fn a_line_is_parted_where_another_call_begins() {
    let texts = |line| -> Vec<&str> { parts(line).into_iter().map(|(_, part)| part).collect() };
    assert_eq!(
        texts("N0E 100ft to B; N90E 50ft to C;"),
        ["N0E 100ft to B", "N90E 50ft to C"]
    );
    assert_eq!(
        texts("Thence N0E 100ft to B, thence N90E 50ft to C"),
        ["Thence N0E 100ft to B", "thence N90E 50ft to C"]
    );
    assert_eq!(
        texts("12. Thence N0E 100ft to B, and then N90E 50ft"),
        ["12. Thence N0E 100ft to B", "then N90E 50ft"]
    );
    assert_eq!(texts("A-B: thence N0E 100ft"), ["A-B: thence N0E 100ft"]);
    assert_eq!(texts("strengthened N0E"), ["strengthened N0E"]);
    assert_eq!(parts("a ; b"), [(0, "a"), (4, "b")]);
    assert!(parts(" ;; ").is_empty());
}

#[test]
fn a_second_call_is_seen_in_any_dress() {
    for tail in [
        "B; N90E 50ft to C",
        "B N90E 50ft",
        "B / N90E 50ft to C",
        "B/N90E 50ft to C",
        "B\tN90E\t50ft",
        "C and N1E 5ft",
        "B, North 45 degrees 30 minutes East, a distance of 50.00 feet to C",
        "B, N 95°75' E 50ft to C",
        "B, N90E50ft to C",
        "B, N 45 E 50 to C",
        "B, N 45 50ft to C",
        "B, 45 E 50ft",
        "B, N1e3E 100ft",
        "B, N45E 1e2ft",
        "B, E 50ft to C",
        "B, due east 50 feet to C",
        "B, 50 ft E to C",
        "B, 50ft N90E to C",
        "B, az 90 50ft",
        "B, az -90d00m 50ft",
        "B, 90°00'00\" 50ft",
        "B, 90-00-00 50ft",
        "B 90 50ft to C",
        "B, 400 50 to C",
        "2 90 50ft to 3",
        "B, northeasterly 45 ft along the wall, 50ft to C",
        "B thence along the creek to C",
        "an iron pin then along the creek",
        "(a pin) N90E 50' to C",
        "B, N90E fifty feet to C",
        "B, S.E. 50 ft",
        "B, N.90°E. 50 ft.",
        "B & northeasterly 50 ft",
        "B, N 90*15 E 50ft",
        "B - 90 50ft",
        "B followed by 90 50ft to C",
        "B, 50 ft E",
        "B, curve left radius 50 ft arc 30 ft",
    ] {
        assert!(holds_call(tail), "{tail:?}");
    }
}

#[test]
fn what_stands_at_a_corner_is_no_call() {
    for tail in [
        "B",
        "the beginning",
        "an iron pin",
        "a 5/8 in rebar 12 in deep",
        "a 5/8 in rebar 12 in deep next to the barn",
        "pin 50 ft N of the barn",
        "a pin 50 ft west of the barn",
        "a stake 3 ft from the N line of lot 12",
        "the S 50 ft of lot 3",
        "the NE corner of Lot 7, Block 3, 60 ft R/W",
        "a stone in the N 1/2 of the SE 1/4 of Section 12, T3N, R2W",
        "a pipe, 2 1/2 in",
        "a pipe 2 1/2 in dia",
        "pin 12",
        "a 16d nail 0.5 ft W of the pin",
        "the N 1/4 corner of Section 12, T. 3 N., R. 2 W., 6th P.M.",
        "a PK nail in the E face of a 24 in oak, 3.5 ft up",
        "a pin 50 ft E",
        "the S line of NE 1/4",
        "the E line of the N 1/2",
        "the beginning of a curve",
        "the southeasterly line of Road 7",
        "a 1 in pipe at the SE corner of Lot 4, 30 ft from Road 7",
        "the west line of Road 26, 60 ft wide",
        "B; set pin 0.5 ft up",
        "a nail in the top of a 24\" oak",
        "a concrete monument 4\" x 4\" x 30\"",
        "a drill hole 0.3' E of the wall",
        "the point of beginning, containing 0.25 acres",
    ] {
        assert!(!holds_call(tail), "{tail:?}");
    }
}
