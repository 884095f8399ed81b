use fence_geom::Point;

use super::{Area, Extent, Lie, Paper, round_scale};
use crate::drawing::shapes::Xy;

fn area(width: f64, height: f64) -> Area {
    Area {
        corner: Xy::ZERO,
        size: Xy::new(width, height),
    }
}

#[test]
fn a_scale_is_round_and_never_too_large() {
    for (needed, scale) in [
        (0.0, 4.0),
        (4.1, 5.0),
        (5.1, 10.0),
        (60.0, 60.0),
        (61.0, 100.0),
        (100.5, 200.0),
        (5.5e6, 6.0e6),
    ] {
        assert!((round_scale(needed) - scale).abs() < 1e-9, "{needed}");
    }
}

#[test]
fn a_tall_lot_stands_and_a_wide_one_lies() {
    let point = |north, east| Point::new(north, east).expect("finite");
    let lie = |north, east| {
        let ground = Extent::of([Point::ORIGIN, point(north, east)]).expect("two places");
        Paper::new(ground, Some(area(550.0, 560.0)), area(560.0, 550.0)).lie
    };
    assert_eq!(lie(120.0, 60.0), Lie::Portrait);
    assert_eq!(lie(60.0, 120.0), Lie::Landscape);
}

#[test]
fn a_line_is_cut_off_at_the_edge_of_the_area() {
    let area = area(100.0, 50.0);
    let part = area.part(Xy::new(-50.0, 25.0), Xy::new(150.0, 25.0));
    assert_eq!(part, Some((Xy::new(0.0, 25.0), Xy::new(100.0, 25.0))));
    assert_eq!(area.part(Xy::new(-5.0, -1.0), Xy::new(150.0, -1.0)), None);
}
