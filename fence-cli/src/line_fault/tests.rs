use std::path::Path;

use fence_geom::LineFault;

use super::show_fault;

fn fault(words: &str, at: std::ops::Range<usize>) -> String {
    let fault = LineFault {
        line: 12,
        words: words.to_owned(),
        at,
        problem: "this is no distance".to_owned(),
        accepted: "104.37ft".to_owned(),
    };
    show_fault(Path::new("lot.calls"), &fault)
}

#[test]
fn the_underline_stands_under_the_words() {
    assert_eq!(
        fault("N 45° E far", 9..12),
        "lot.calls, line 12: this is no distance\n  12 | N 45° E far\n     |         ^^^\n     = write it like 104.37ft"
    );
}

#[test]
fn a_long_line_is_cut_around_the_words() {
    let words = format!("{}here{}", "x".repeat(300), "y".repeat(300));
    let text = fault(&words, 300..304);
    assert!(
        text.lines().all(|line| line.chars().count() <= 100),
        "{text}"
    );
    assert!(text.contains("xxxxhereyyyy"), "{text}");
    assert!(text.contains("\n     |           ^^^^\n"), "{text}");
}

#[test]
fn controls_do_not_reach_the_terminal() {
    assert!(!fault("N\u{1b}[31m", 0..1).contains('\u{1b}'));
}

#[test]
fn of_several_lines_the_one_at_fault_is_shown() {
    assert_eq!(
        fault("thence along\nN 95 E", 13..19),
        "lot.calls, line 13: this is no distance\n  13 | N 95 E\n     | ^^^^^^\n     = write it like 104.37ft"
    );
}
