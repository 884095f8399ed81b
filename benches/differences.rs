//! Areas of offsets against two other geometry libraries, over many random rings
//! of each class: a long run, off by default.
//!
//! `i_overlay` in 64-bit integers must agree to a millionth of a square foot.
//! GEOS must agree but for what is known of it: it simplifies its input by up to
//! a hundredth of the distance, which shows on short chords, and near a collapse
//! some versions return nothing where something is left. Needles are compared
//! with GEOS only: the other bevels them at the pin, GEOS and this library square
//! at ten times the distance.
//!
//! Build with `--features peers`; a number after `--` is how many of each class.

use fence_benches::peers::{coords, geos_area, geos_miters, geos_polygon, overlay_area};
use fence_geom::{OffsetBuffer, Point, Shift};
use fence_tests::{Draws, ParcelClass, parcel, setback_feet};

const OF_EACH_CLASS: u32 = 100_000;

/// What agrees, in square feet.
const SAME: f64 = 1e-6;

/// What a simplification by GEOS may change, in square feet for each foot around.
const SIMPLIFIED: f64 = 1e-3;

fn main() {
    let wanted = std::env::args().skip(1).find_map(|word| word.parse().ok());
    let count = wanted.unwrap_or(OF_EACH_CLASS);
    let mut unexplained = 0;
    for class in ParcelClass::ALL {
        unexplained += differences(class, count);
    }
    println!("{unexplained} unexplained");
    assert_eq!(unexplained, 0);
}

/// How many differences of a class have no explanation.
fn differences(class: ParcelClass, count: u32) -> u32 {
    let mut draws = Draws::from(4_711);
    let mut buffer = OffsetBuffer::default();
    let miters = geos_miters();
    let (mut off_overlay, mut off_geos) = (Worst::default(), Worst::default());
    let (mut simplified, mut lost, mut unexplained) = (0, 0, 0);
    for k in 0..count {
        let ring = parcel(&mut draws, class);
        let feet = setback_feet(&mut draws);
        let feet = if k % 4 == 3 { -feet } else { feet };
        let distance = Shift::from_feet(feet).expect("a distance");
        buffer.offset(&ring, distance).expect("an offset");
        let own = buffer.area().square_feet();
        let drawn = coords(&ring);
        let overlay = overlay_area(&drawn, feet);
        let geos = geos_area(&geos_polygon(&drawn), feet, &miters);
        off_geos.take(own - geos, k);
        let agrees = (own - overlay).abs() <= SAME;
        if class != ParcelClass::Needle {
            off_overlay.take(own - overlay, k);
        }
        let by_geos = (own - geos).abs();
        if by_geos > SAME && by_geos <= SIMPLIFIED * around(&ring) {
            simplified += 1;
        } else if by_geos > SAME && agrees {
            lost += 1;
        }
        let needle = class == ParcelClass::Needle && by_geos <= SIMPLIFIED * around(&ring);
        if !(agrees || needle) {
            unexplained += 1;
            println!("{class:?} {k} by {feet}: {own}, {overlay}, GEOS {geos}");
        }
    }
    println!(
        "{class:?}: off i_overlay by up to {off_overlay}, GEOS {off_geos}; GEOS simplified {simplified}, GEOS alone off {lost}"
    );
    unexplained
}

fn around(ring: &[Point]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter()
        .zip(next)
        .map(|(a, b)| a.distance(*b).feet())
        .sum()
}

/// The largest difference, and where.
#[derive(Default)]
struct Worst {
    square_feet: f64,
    ring: u32,
}

impl Worst {
    fn take(&mut self, off: f64, ring: u32) {
        if off.abs() > self.square_feet {
            *self = Self {
                square_feet: off.abs(),
                ring,
            };
        }
    }
}

impl std::fmt::Display for Worst {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:.1e} sq ft (ring {})", self.square_feet, self.ring)
    }
}
