//! Other layouts of runs over ground whose grade breaks: each that is told holds
//! there, and the others are counted. The runs are invented.

use fence_geom::{
    Change, Choices, LayoutEnd, LayoutRequest, LayoutStatus, Length, Rack, SlopeLimits, WhichEnd,
    lay_out, lay_out_on_ground, runners_up_on_ground, verify_layout,
};
use fence_tests::Draws;

use super::slope::{at, long, profile};

fn racks() -> SlopeLimits {
    SlopeLimits {
        rack: Rack::Freely,
        ..SlopeLimits::default()
    }
}

fn panels(length: f64, full: f64) -> LayoutRequest {
    let end = LayoutEnd::fixed(at(2.0), long(4.0), true);
    LayoutRequest::plain(long(length), long(full), long(12.0), long(4.0), end, end)
}

/// Panels of 60 in between posts of 4 in: 64 in from post to post on the level, and
/// 48 + 4 on a grade of 3 in 4. One on the level and three on the grade, which breaks
/// at the post between, take 64 + 3 x 52 = 220 in; the run is an inch longer.
#[test]
fn a_shift_saves_cuts_over_a_broken_grade() {
    let run = LayoutRequest {
        hide: Some(WhichEnd::Start),
        ..panels(221.0, 60.0)
    };
    let ground = profile(&[(0.0, 0.0), (64.0, 0.0), (221.0, 117.75)]);
    let laid = lay_out_on_ground(&run, &ground, &racks(), long(4.0)).expect("a layout");
    let choices = Choices {
        start_held: true,
        ..Choices::default()
    };
    let others = runners_up_on_ground(&run, &ground, &racks(), &laid, &choices);
    let others = others.expect("runners-up");
    let shift = (others.found.iter())
        .find(|(other, _)| other.change == Change::Shift(WhichEnd::End))
        .expect("a shift of the end");
    assert_eq!(shift.0.arrangement.objective.cuts, 0);
    assert_eq!(shift.1.posts.len(), 5);
    for (found, wanted) in (shift.1.posts.iter()).zip([0.0, 64.0, 116.0, 168.0, 220.0]) {
        assert!((found.inches() - wanted).abs() <= 0.125, "{found:?}");
    }
}

/// Each is the proven best of what it answers, and fits the ground as well as the
/// best, or to a step. Some only fit once they are laid out by their own tilt; some
/// not even then.
#[test]
fn runners_up_over_a_broken_grade_hold() {
    let mut draws = Draws::from(5);
    let step = Length::from_inches(1.0 / 16.0).expect("a length");
    let (mut lost, mut anew) = (0, 0);
    for i in 0..40 {
        let length = 300.0 + draws.whole(0, 300) as f64;
        let hides = [None, Some(WhichEnd::Start), Some(WhichEnd::End)];
        let run = LayoutRequest {
            hide: hides[usize::try_from(draws.whole(0, 2)).expect("small")],
            ..panels(length, 92.0)
        };
        let readings: Vec<(f64, f64)> = ([0.0, 0.3, 0.6, 1.0].iter())
            .map(|part| (part * length, draws.whole(-30, 30) as f64))
            .collect();
        let ground = profile(&readings);
        let laid = lay_out_on_ground(&run, &ground, &racks(), long(4.0)).expect("a layout");
        let others =
            runners_up_on_ground(&run, &ground, &racks(), &laid, &Choices::default()).expect("ok");
        lost += others.lost;
        for (other, set) in &others.found {
            anew += usize::from(set.request.length != laid.request.length);
            let objective = other.arrangement.objective;
            let sound = verify_layout(&other.request, &other.arrangement);
            assert_eq!(sound, Ok(objective), "{i}: {}", other.words);
            let worst = if laid.misfit > step {
                laid.misfit
            } else {
                step
            };
            assert!(set.misfit <= worst, "{i}: {}", other.words);
            if !matches!(other.change, Change::Equal(..)) {
                let best = lay_out(&other.request).expect("sound").status;
                assert_eq!(
                    best,
                    LayoutStatus::Optimal(other.arrangement.clone()),
                    "{i}: {}",
                    other.words
                );
            }
        }
    }
    assert!(anew > 0 && lost > 0, "{anew} laid out anew, {lost} lost");
}

#[test]
fn none_is_lost_on_the_level() {
    let run = panels(481.0, 92.0);
    let ground = profile(&[(0.0, 0.0), (481.0, 0.0)]);
    let laid = lay_out_on_ground(&run, &ground, &racks(), long(4.0)).expect("a layout");
    let others = runners_up_on_ground(&run, &ground, &racks(), &laid, &Choices::default());
    assert_eq!(others.expect("runners-up").lost, 0);
}
