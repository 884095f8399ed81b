//! Saw plans against every way to share out the pieces.

use fence_geom::{Cutting, Length, cut_plan};
use fence_tests::Draws;

fn long(eighths: i64) -> Length {
    Length::from_inches(eighths as f64 / 8.0).expect("a length")
}

/// The fewest panels, by putting each piece into every panel begun and a new one.
fn fewest(
    pieces: &[i64],
    kerf: i64,
    panel: i64,
    most: usize,
    begun: &mut Vec<(i64, usize)>,
) -> usize {
    let [piece, rest @ ..] = pieces else {
        return begun.len();
    };
    let mut least = usize::MAX;
    for i in 0..begun.len() {
        let (free, count) = begun[i];
        if piece + kerf <= free && count < most {
            begun[i] = (free - piece - kerf, count + 1);
            least = least.min(fewest(rest, kerf, panel, most, begun));
            begun[i] = (free, count);
        }
    }
    begun.push((panel - piece, 1));
    least = least.min(fewest(rest, kerf, panel, most, begun));
    begun.pop();
    least
}

#[test]
fn plans_are_as_short_as_the_shortest() {
    let mut draws = Draws::from(20);
    let mut saved = 0;
    for i in 0..300 {
        let count = draws.whole(1, 7);
        let panel = 8 * 92;
        let kerf = draws.whole(0, 2);
        let pieces: Vec<i64> = (0..count).map(|_| draws.whole(80, 8 * 91)).collect();
        let cutting = Cutting {
            kerf: long(kerf),
            factory_end: i % 3 == 0,
            reuse: true,
            ..Cutting::default()
        };
        let lengths: Vec<Length> = pieces.iter().map(|&piece| long(piece)).collect();
        let plan = cut_plan(long(panel), &lengths, &cutting).expect("pieces shorter than panels");
        let most = if cutting.factory_end { 2 } else { usize::MAX };
        let least = fewest(&pieces, kerf, panel, most, &mut Vec::new());
        assert_eq!(
            (plan.panels.len(), plan.least),
            (least, least),
            "{pieces:?}"
        );
        for numbers in &plan.panels {
            let cuts = i64::try_from(numbers.len()).expect("few") - 1;
            let taken: i64 = numbers.iter().map(|&number| pieces[number]).sum();
            assert!(
                taken + cuts * kerf <= panel && numbers.len() <= most,
                "{plan:?}"
            );
        }
        let mut all: Vec<usize> = plan.panels.concat();
        all.sort_unstable();
        assert!(all.into_iter().eq(0..pieces.len()), "each piece once");
        saved += usize::from(least < pieces.len());
    }
    assert!(saved > 100, "{saved}");
}

#[test]
fn a_long_list_is_answered_with_its_bound() {
    let mut draws = Draws::from(21);
    let lengths: Vec<Length> = (0..400).map(|_| long(draws.whole(80, 700))).collect();
    let cutting = Cutting {
        reuse: true,
        ..Cutting::default()
    };
    let plan = cut_plan(long(736), &lengths, &cutting).expect("pieces shorter than panels");
    assert!(plan.least <= plan.panels.len());
    assert!(
        plan.panels.len() - plan.least <= plan.least / 20,
        "near the bound"
    );
}

#[test]
fn a_piece_longer_than_a_panel_is_refused() {
    let error = cut_plan(long(100), &[long(50), long(101)], &Cutting::default());
    let words = error.expect_err("too long").to_string();
    assert!(
        words.contains("piece 2") && words.contains("longer"),
        "{words}"
    );
}
