//! State plane zones against another implementation of the projections, over a grid of
//! places in every zone.

use fence_geom::{
    CombinedFactor, Datum, GeodesyError, GroundPlane, LonLat, METERS_PER_FOOT, Point, Shift,
    StatePlaneZone, read_grid_zone,
};
use proj4rs::Proj;

/// The number of each zone and the code of its system in the EPSG dataset, by which the
/// other implementation finds parameters of its own.
///
/// Source: EPSG Geodetic Parameter Dataset, version 12.013: systems named "NAD83 / ..."
/// in meters.
#[rustfmt::skip]
const CODES: [(u16, u16); 124] = [
    (101, 26929), (102, 26930), (201, 26948), (202, 26949), (203, 26950), (301, 26951),
    (302, 26952), (401, 26941), (402, 26942), (403, 26943), (404, 26944), (405, 26945),
    (406, 26946), (501, 26953), (502, 26954), (503, 26955), (600, 26956), (700, 26957),
    (901, 26958), (902, 26959), (903, 26960), (1001, 26966), (1002, 26967), (1101, 26968),
    (1102, 26969), (1103, 26970), (1201, 26971), (1202, 26972), (1301, 26973), (1302, 26974),
    (1401, 26975), (1402, 26976), (1501, 26977), (1502, 26978), (1600, 3088), (1601, 2205),
    (1602, 26980), (1701, 26981), (1702, 26982), (1703, 32199), (1801, 26983), (1802, 26984),
    (1900, 26985), (2001, 26986), (2002, 26987), (2111, 26988), (2112, 26989), (2113, 26990),
    (2201, 26991), (2202, 26992), (2203, 26993), (2301, 26994), (2302, 26995), (2401, 26996),
    (2402, 26997), (2403, 26998), (2500, 32100), (2600, 32104), (2701, 32107), (2702, 32108),
    (2703, 32109), (2800, 32110), (2900, 32111), (3001, 32112), (3002, 32113), (3003, 32114),
    (3101, 32115), (3102, 32116), (3103, 32117), (3104, 32118), (3200, 32119), (3301, 32120),
    (3302, 32121), (3401, 32122), (3402, 32123), (3501, 32124), (3502, 32125), (3601, 32126),
    (3602, 32127), (3701, 32128), (3702, 32129), (3800, 32130), (3900, 32133), (4001, 32134),
    (4002, 32135), (4100, 32136), (4201, 32137), (4202, 32138), (4203, 32139), (4204, 32140),
    (4205, 32141), (4301, 32142), (4302, 32143), (4303, 32144), (4400, 32145), (4501, 32146),
    (4502, 32147), (4601, 32148), (4602, 32149), (4701, 32150), (4702, 32151), (4801, 32152),
    (4802, 32153), (4803, 32154), (4901, 32155), (4902, 32156), (4903, 32157), (4904, 32158),
    (5001, 26931), (5002, 26932), (5003, 26933), (5004, 26934), (5005, 26935), (5006, 26936),
    (5007, 26937), (5008, 26938), (5009, 26939), (5010, 26940), (5101, 26961), (5102, 26962),
    (5103, 26963), (5104, 26964), (5105, 26965), (5200, 32161),
];

fn places(zone: StatePlaneZone) -> Vec<LonLat> {
    let [west, south, east, north] = zone.box_deg();
    let width = (east - west).rem_euclid(360.0);
    let mut places = Vec::new();
    for i in 0..7_u8 {
        for j in 0..7_u8 {
            let (across, along) = (f64::from(i) / 6.0, f64::from(j) / 6.0);
            let longitude = (west + across * width + 180.0).rem_euclid(360.0) - 180.0;
            let latitude = south + along * (north - south);
            places.push(LonLat::new(longitude, latitude).expect("a place"));
        }
    }
    places
}

/// In meters. The dataset's scale factors are rounded to nine decimals, which is up to
/// 0.5 mm in 1,000 km from the origin.
const WITHIN: f64 = 0.001;

#[test]
fn every_zone_agrees_with_another_implementation() {
    let degrees = Proj::from_proj_string("+proj=longlat +ellps=GRS80").expect("degrees");
    for (number, code) in CODES {
        let zone = StatePlaneZone::of_number(number).expect("a zone");
        let ours = zone.projection(Datum::Nad83).expect("a grid");
        let theirs = Proj::from_epsg_code(code).expect("a code");
        for at in places(zone) {
            let found = ours.to_plane(at).expect("in the zone");
            let mut point = (at.longitude().to_radians(), at.latitude().to_radians(), 0.0);
            proj4rs::transform::transform(&degrees, &theirs, &mut point).expect("an answer");
            let (east, north) = (
                found.east() * METERS_PER_FOOT,
                found.north() * METERS_PER_FOOT,
            );
            let off = (east - point.0).hypot(north - point.1);
            assert!(off < WITHIN, "{zone} at {at}: {off} m");
            let back = ours.to_lon_lat(found).expect("in the zone");
            assert!(
                (back.latitude() - at.latitude()).abs() < 1e-10,
                "{zone} at {at}"
            );
        }
    }
}

/// In the middle of its box a zone is off by little more than the one part in 10,000 that
/// it was laid out for; states that made one zone of several accept more.
#[test]
fn scales_are_near_one_in_the_middle() {
    for zone in StatePlaneZone::all() {
        let grid = zone.projection(Datum::Nad83).expect("a grid");
        let middle = places(zone)[24];
        let scale = grid.factors(middle).expect("in the zone").scale;
        let limit = match zone.number() {
            // The box of the offshore zone is that of the land, which it lies south of.
            1703 => 5e-3,
            2500 | 2600 | 3900 | 5001 | 5010 => 8e-4,
            _ => 2e-4,
        };
        assert!((scale - 1.0).abs() < limit, "{zone} at {middle}: {scale}");
    }
}

/// Every zone is found by its number and by its name.
#[test]
fn zones_are_found_by_number_and_name() {
    for zone in StatePlaneZone::all() {
        let number = format!("{:04}", zone.number());
        let name = format!("{} {}", zone.state(), zone.name());
        for text in [number, name] {
            let read = read_grid_zone(&text).expect("a zone").value;
            assert_eq!(read.to_string(), zone.to_string(), "{text}");
        }
        assert!(
            places(zone)
                .iter()
                .all(|at| StatePlaneZone::holding(*at).contains(&zone)),
            "{zone}"
        );
    }
    assert_eq!(StatePlaneZone::all().count(), 124);
}

#[test]
fn what_is_no_zone_is_refused() {
    let refused = |text: &str| read_grid_zone(text).expect_err("refused").to_string();
    assert!(refused("2200").contains("no state plane zone has the number 2200"));
    assert!(refused("Minnesota").contains("Minnesota North (2201) or Minnesota Central (2202)"));
    assert!(refused("UTM 61").contains("1 to 60"));
    assert!(refused("Ontario").contains("no state plane zone has that name"));
    assert!(refused("").contains("no state plane zone"));

    let grid = StatePlaneZone::of_number(2201)
        .expect("a zone")
        .projection(Datum::Nad83);
    let grid = grid.expect("a grid");
    let south = grid
        .to_plane(LonLat::new(-93.3, 45.0).expect("a place"))
        .unwrap_err();
    let words = south.to_string();
    assert!(
        words.contains("outside of the zone Minnesota North (2201)")
            && words.contains("Minnesota South (2203)"),
        "{words}"
    );
    // Meters taken for feet lead far off.
    let meters = Point::new(100_000.0, 800_000.0).expect("a point");
    assert!(matches!(
        grid.to_lon_lat(meters),
        Err(GeodesyError::OutsideStateZone { .. } | GeodesyError::NoLonLat { .. })
    ));
    let high = CombinedFactor::new(1.0, Shift::from_feet(40_000.0).expect("a height"));
    assert!(high.unwrap_err().to_string().contains("height"));
}

/// A ground plane is its grid, larger by the combined factor.
#[test]
fn ground_and_grid_go_back_and_forth() {
    let zone = StatePlaneZone::of_number(502).expect("a zone");
    let grid = zone.projection(Datum::Nad83Of2011).expect("a grid");
    let origin = LonLat::new(-105.0, 39.0).expect("a place");
    let height = Shift::from_feet(6_000.0).expect("a height");
    let plane = GroundPlane::about(grid, origin, height).expect("a plane");
    let far = LonLat::new(-105.001, 39.001).expect("a place");
    let ground = plane.to_ground(far).expect("in the zone");
    let in_grid = plane.grid().to_plane(far).expect("in the zone");
    let start = plane.grid().to_plane(origin).expect("in the zone");
    let ratio = in_grid.distance(start).feet() / ground.distance(Point::ORIGIN).feet();
    assert!((ratio / plane.combined().combined() - 1.0).abs() < 1e-12);
    assert!(plane.in_grid(ground).distance(in_grid).feet() < 1e-6);
    let back = plane.to_lon_lat(ground).expect("in the zone");
    assert!((back.longitude() - far.longitude()).abs() < 1e-10);
}
