//! Any ring by any distances is offset or refused; with one distance no flag is
//! nearer to a side than it: `cargo +nightly fuzz run ring_offset seeds/ring_offset -- -max_total_time=1200`.

#![no_main]

use fence_geom::{
    Angle, Corner, Length, OffsetBuffer, Place, Point, Ring, RingError, RingRole, Shift, Side,
    Turn, offset,
};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let [grid, by, rest @ ..] = bytes else {
        return;
    };
    // A coarse grid brings corners onto lines and sides onto each other's offsets.
    let step = [1.0, 0.25, 0.01, 1e-4][usize::from(grid % 4)];
    let curved = grid & 4 != 0;
    let far = if grid & 8 != 0 { 2_000_000.0 } else { 0.0 };
    let mut corners = Vec::new();
    let mut sides = Vec::new();
    let mut own = Vec::new();
    for (k, word) in rest.chunks_exact(5).take(24).enumerate() {
        let [a, b, c, d, e] = word else { return };
        let figure = |high: u8, low: u8| f64::from(i16::from_be_bytes([high, low])) * step;
        let at = Point::new(far + figure(*a, *b), far + figure(*c, *d));
        corners.push(Corner {
            name: format!("P{k}"),
            at: at.expect("in range"),
        });
        sides.push(if curved && e % 3 == 0 {
            Side::Arc {
                delta: Angle::from_degrees(f64::from(*e) + 0.5).expect("an angle"),
                turn: if e % 2 == 0 { Turn::Left } else { Turn::Right },
            }
        } else {
            Side::Line
        });
        own.push(Shift::from_feet(f64::from(i8::from_be_bytes([*e])) * step).expect("in range"));
    }
    let straight = sides.iter().all(|side| *side == Side::Line);
    let places: Vec<Point> = corners.iter().map(|corner| corner.at).collect();
    let Ok(ring) = Ring::new(corners, sides) else {
        return;
    };
    let _ = offset(ring.clone(), &own);
    let feet = f64::from(i8::from_be_bytes([*by])) * step * 4.0;
    let distance = Shift::from_feet(feet).expect("in range");
    let made = offset(ring.clone(), &vec![distance; ring.len()]);
    if !straight {
        return;
    }
    let made = made.expect("a simple ring of lines has an offset");
    let mut buffer = OffsetBuffer::default();
    buffer.offset(&places, distance).expect("likewise");
    let (named, bare) = (made.area().square_feet(), buffer.area().square_feet());
    assert!((named - bare).abs() <= 1e-6 * (1.0 + named), "{named} {bare}");
    let near = Length::from_feet((feet.abs() - 1e-6).max(0.0)).expect("a length");
    for part in made.rings() {
        let again = part.ring().corners().iter().map(|it| (it.name.clone(), it.at));
        let again = Ring::of_lines(again);
        assert!(!matches!(again, Err(RingError::Crossing { .. })), "{again:?}");
        let same_way = part.ring().interior() == ring.interior();
        assert_eq!(same_way, part.role() == RingRole::Outer);
        if feet.abs() > 1e-5 {
            for flag in part.ring().corners() {
                let place = ring.locate(flag.at, near);
                assert!(!matches!(place, Place::OnSide(_)), "{} {place:?}", flag.name);
                assert_eq!(place == Place::Inside, feet > 0.0, "{}", flag.name);
            }
        }
    }
});
