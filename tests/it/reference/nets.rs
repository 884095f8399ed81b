//! Nets adjusted by least squares.

use fence_geom::{
    KnownPoint, Length, Net, NetAnswer, NetAnswers, NetReading, Point, SideHint, Sigma, TapeModel,
    Turn, adjust_net,
};
use fence_tests::assert_printed;

fn known(name: &str, north: f64, east: f64) -> KnownPoint {
    KnownPoint {
        name: name.to_owned(),
        at: Point::new(north, east).expect("a place"),
        sigma: Sigma::ZERO,
    }
}

fn sigma(value: f64) -> Sigma {
    Sigma::known(value).expect("a standard error")
}

fn tape(from: &str, to: &str, feet: f64) -> NetReading {
    NetReading::Distance {
        from: from.to_owned(),
        to: to.to_owned(),
        reads: Length::from_feet(feet).expect("a length"),
        tape: 0,
    }
}

fn side(point: &str, from: &str, to: &str, hand: Turn) -> SideHint {
    let [point, from, to] = [point, from, to].map(str::to_owned);
    SideHint {
        point,
        from,
        to,
        hand,
    }
}

fn only(answers: &NetAnswers) -> &NetAnswer {
    let [answer] = answers.answers.as_slice() else {
        panic!("one answer, got {}", answers.answers.len());
    };
    answer
}

/// Source: F. Krumm, *Geodetic Network Adjustment Examples*, Universität Stuttgart,
/// rev. 3.5 (2020), example 3.1.1, pp. 48-50, after Benning (2011), example 8-2: two
/// known and two new points, five distances of 1 cm. The data as an open-source
/// least-squares library carries them; the book itself was not seen. It is in
/// meters, which stand for feet here: nothing in the arithmetic knows a unit. x is
/// east, y north; the start is not used.
#[test]
fn krumm_example_3_1_1() {
    let exact_tape = TapeModel {
        reading: sigma(0.01),
        scale: Sigma::ZERO,
    };
    let net = Net {
        known: vec![known("1", 1000.0, 0.0), known("2", 1000.0, 1000.0)],
        readings: vec![
            tape("1", "3", 1000.02),
            tape("1", "4", 1414.2),
            tape("2", "3", 1414.24),
            tape("2", "4", 999.98),
            tape("3", "4", 1000.0),
        ],
        tapes: vec![exact_tape],
        sides: vec![side("3", "1", "2", Turn::Right)],
    };
    let answers = adjust_net(&net).expect("a net");
    let answer = only(&answers);
    let [three, four] = ["3", "4"].map(|name| answer.point(name).expect("a point"));
    assert_printed(three.at.east(), "-0.0096", 0.5);
    assert_printed(three.at.north(), "-0.0226", 0.5);
    assert_printed(four.at.east(), "999.9930", 0.5);
    assert_printed(four.at.north(), "0.0174", 0.5);
    for (reading, cm) in answer
        .readings
        .iter()
        .zip(["0.260", "-0.368", "-0.368", "0.260", "0.260"])
    {
        assert_printed(reading.residual * 100.0, cm, 0.5);
    }
    assert_eq!(answer.redundancy, 1);
    let factor = answer.sigma_factor().expect("redundant");
    assert_printed(factor * 10.0, "6.882", 0.5);
    // The printed standard errors are a posteriori.
    for (sigma, cm) in [
        (three.sigma_east, "0.901"),
        (three.sigma_north, "0.637"),
        (four.sigma_east, "0.901"),
        (four.sigma_north, "0.637"),
    ] {
        assert_printed(sigma.value().expect("known") * factor * 100.0, cm, 0.5);
    }
    // With one redundant reading no error can be told from another.
    let shares: f64 = answer
        .readings
        .iter()
        .map(|reading| reading.redundancy)
        .sum();
    assert!((shares - 1.0).abs() < 1e-9);
}
