use super::*;
use crate::angle::Angle;
use crate::angle_text::read_direction;

fn length(feet: f64) -> Length {
    Length::from_feet(feet).unwrap()
}

fn line(direction: &str, feet: f64) -> StatedCall {
    let direction = StatedDirection::Given(read_direction(direction).unwrap().value);
    StatedCall::line(Some(direction), Some(length(feet)))
}

fn turned(degrees: f64, turn: Turn, feet: f64) -> StatedCall {
    let angle = Angle::from_degrees(degrees).unwrap();
    StatedCall::line(
        Some(StatedDirection::Turned { angle, turn }),
        Some(length(feet)),
    )
}

fn outcome(calls: Vec<StatedCall>) -> Outcome {
    let tract = Tract {
        calls,
        ..Tract::default()
    };
    Ledger::of(&tract).unwrap().with(0, 0, &[]).unwrap()
}

/// What is shifted and what is run anew come to what running all anew does.
#[test]
fn a_splice_comes_to_the_calls_with_it_run_anew() {
    let calls = vec![
        line("N 10 E", 200.0),
        line("S 80 E", 140.0),
        turned(85.0, Turn::Right, 90.0),
        turned(20.0, Turn::Left, 60.0),
        line("S 45 W", 70.0),
        line("N 60 W", 170.0),
    ];
    let tract = Tract {
        calls: calls.clone(),
        ..Tract::default()
    };
    let ledger = Ledger::of(&tract).unwrap();
    let other = [line("N 75 E", 100.0).course, line("S 5 E", 33.0).course];
    for first in 0..calls.len() {
        for removed in 0..=2.min(calls.len() - first) {
            for put in 0..=2 {
                let put = &other[..put];
                // Nothing goes before to turn from.
                if first == 0 && removed == 2 && put.is_empty() {
                    continue;
                }
                let fast = ledger.with(first, removed, put).unwrap();
                let mut all = calls.clone();
                let made = put.iter().map(|&course| StatedCall {
                    course,
                    ..line("N", 1.0)
                });
                all.splice(first..first + removed, made);
                let slow = outcome(all);
                let off = fast.remaining.feet() - slow.remaining.feet();
                assert!(off.abs() < 1e-9, "{first} {removed}");
                let off = fast.area.square_feet() - slow.area.square_feet();
                assert!(off.abs() < 1e-6, "{first} {removed}");
            }
        }
    }
}
