//! How often the truth lies where a fit says it does: all trials, where the tests make
//! do with fewer. Prints the shares, and fails where one is out of bounds.

#![expect(clippy::print_stdout, reason = "a bench says what it measured")]

use fence_tests::{FoundPins, fit_coverage};

const TRIALS: u32 = 20_000;

fn main() {
    println!("found                ellipse  radius   by residuals  honest pins failing");
    for (found, seed) in [
        (FoundPins::Two, 101),
        (FoundPins::ThreeWithEllipses, 102),
        (FoundPins::OneAndDirection, 103),
        (FoundPins::FiveFreeScale, 104),
    ] {
        let share = fit_coverage(found, TRIALS, seed);
        println!(
            "{:<20} {:.4}   {:.4}   {:.4}        {:.5}",
            format!("{found:?}"),
            share.ellipse,
            share.radius,
            share.by_residuals,
            share.alarms
        );
        for covered in [share.ellipse, share.radius] {
            assert!((0.944..=0.956).contains(&covered), "{found:?}: {share:?}");
        }
    }
}
