//! Real plots and buildings against mitered buffers of another library.
//!
//! Source: `fixtures/reference/city-plots.csv`, whose head names the data (momepy
//! 0.11.0, `datasets/bubenec.gpkg`, BSD 3-Clause) and the library that computed
//! the areas (GEOS 3.14.1). That library simplifies its input by up to a
//! hundredth of the distance, which shows in the fifth place.

use fence_geom::{Length, Place, Point, Region, Ring, RingError, RingRole, Shift, offset};
use fence_tests::fixture;

/// How far the other library's simplification may put its areas off, in square
/// feet for each foot around.
const SIMPLIFIED: f64 = 1e-4;

fn region(rings: &str, number: &str) -> Region {
    let mut rings = rings.split(" | ").enumerate().map(|(k, places)| {
        let figures: Vec<f64> = (places.split(' '))
            .map(|figure| figure.parse::<f64>().expect("a figure") / 0.3048)
            .collect();
        let corners = figures.chunks(2).enumerate().map(|(i, place)| {
            let at = Point::new(place[1], place[0]).expect("coordinates");
            (format!("{k}.{i}"), at)
        });
        Ring::of_lines(corners).unwrap_or_else(|error| panic!("{number}: {error}"))
    });
    let outer = rings.next().expect("a ring");
    Region::new(outer, rings.collect()).unwrap_or_else(|error| panic!("{number}: {error}"))
}

#[test]
fn areas_agree_and_invariants_hold() {
    let table = fixture("reference/city-plots.csv");
    let rows: Vec<&str> = table
        .lines()
        .filter(|line| !line.starts_with('#'))
        .collect();
    assert_eq!(rows.len(), 551, "all plots and buildings are checked");
    let mut worst = 0.0_f64;
    for row in rows {
        let fields: Vec<&str> = row.splitn(7, ',').collect();
        let [kind, number, half, two, five, outside, rings] = fields.as_slice() else {
            panic!("{row}");
        };
        let number = format!("{kind} {number}");
        let region = region(rings, &number);
        for (feet, printed) in [(0.5, half), (2.0, two), (5.0, five), (-2.0, outside)] {
            let distance = Shift::from_feet(feet).expect("a distance");
            let made = offset(region.clone(), &vec![distance; region.side_count()])
                .unwrap_or_else(|error| panic!("{number} by {feet}: {error}"));
            let printed: f64 = printed.parse().expect("an area");
            let around: f64 = region.rings().map(|ring| ring.perimeter().feet()).sum();
            let off = (made.area().square_feet() - printed).abs() / around;
            worst = worst.max(off);
            assert!(off < SIMPLIFIED, "{number} by {feet}: {off} of {printed}");
            for ring in made.rings() {
                check(&region, ring.ring(), ring.role(), feet, &number);
            }
        }
    }
    assert!(worst > 0.0);
}

fn check(region: &Region, ring: &Ring, role: RingRole, feet: f64, number: &str) {
    let corners = ring.corners().iter().map(|it| (it.name.clone(), it.at));
    let again = Ring::of_lines(corners);
    assert!(
        !matches!(again, Err(RingError::Crossing { .. })),
        "{number} by {feet}: {again:?}"
    );
    let same_way = ring.interior() == region.interior();
    assert_eq!(same_way, role == RingRole::Outer, "{number} by {feet}");
    let clear = Length::from_feet(feet.abs() - 1e-6).expect("a length");
    for flag in ring.corners() {
        for source in region.rings() {
            let place = source.locate(flag.at, clear);
            assert!(
                !matches!(place, Place::OnSide(_)),
                "{number} by {feet}: flag {} is nearer",
                flag.name
            );
        }
    }
}
