//! Benches of nets of tapes, against dense normal equations, and the whole of the
//! simulations that the tests run a part of.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use fence_geom::{Net, NetReading, adjust_net};
use fence_tests::{Draws, TrueNet, share};
use nalgebra::{DMatrix, DVector};

/// How many nets are simulated.
const NETS: u32 = 20_000;

/// Not timed: does the 95 % hold 95 %, and does the test find what it says? The
/// rates that are promised are asserted.
fn simulations(_: &mut Criterion) {
    let yard = TrueNet::yard();
    let tally = yard.tally(NETS, 1);
    let ellipse = share(tally.in_ellipse, tally.points);
    let radius = share(tally.in_radius, tally.points);
    let alarms = share(tally.alarms, tally.tapes);
    let fitting = share(tally.fitting, tally.nets);
    let found = yard.found(NETS, 2);
    println!("{NETS} nets: ellipses hold {ellipse:.4}, search radii {radius:.4}");
    println!("{NETS} nets: {alarms:.5} false alarms, {found:.4} of the errors found");
    println!("{NETS} nets: {fitting:.4} pass the global test");
    for held in [ellipse, radius] {
        assert!((0.944..0.956).contains(&held), "{held}");
    }
    assert!((0.0008..0.0012).contains(&alarms), "{alarms}");
    assert!((0.79..0.81).contains(&found), "{found}");
}

fn adjustments(criterion: &mut Criterion) {
    let yard = TrueNet::yard().misread(&mut Draws::from(1));
    criterion.bench_function("net of 7 points", |bench| {
        bench.iter(|| adjust_net(black_box(&yard)));
    });
    let mut group = criterion.benchmark_group("large");
    group.sample_size(10);
    for (columns, rows) in [(10, 10), (40, 25)] {
        let field = TrueNet::field(columns, rows).misread(&mut Draws::from(1));
        let points = columns * rows;
        group.bench_function(format!("net of {points} points"), |bench| {
            bench.iter(|| adjust_net(black_box(&field)));
        });
        let truth = TrueNet::field(columns, rows);
        group.bench_function(
            format!("dense normal equations of {points} points, one step"),
            |bench| bench.iter(|| dense_step(black_box(&truth), &field)),
        );
    }
    group.finish();
}

/// One step from the true places by plain dense normal equations, and the inverse
/// that the standard errors need. The scale of the tape is left out.
fn dense_step(truth: &TrueNet, net: &Net) -> (DVector<f64>, DMatrix<f64>) {
    let known = net.known.len();
    let index: std::collections::HashMap<&str, usize> = (0..)
        .zip(&truth.places)
        .map(|(i, (name, _))| (name.as_str(), i))
        .collect();
    let size = 2 * (truth.places.len() - known);
    let mut normal = DMatrix::zeros(size, size);
    let mut right = DVector::zeros(size);
    for reading in &net.readings {
        let NetReading::Distance {
            from, to, reads, ..
        } = reading
        else {
            continue;
        };
        let (i, j) = (index[from.as_str()], index[to.as_str()]);
        let way = truth.places[j].1 - truth.places[i].1;
        let unit = way.unit().expect("apart");
        let off = reads.minus(way.length()).feet();
        let slopes: Vec<(usize, f64)> = [(j, 1.0), (i, -1.0)]
            .into_iter()
            .filter(|(point, _)| *point >= known)
            .flat_map(|(point, sign)| {
                let at = 2 * (point - known);
                [(at, sign * unit.north()), (at + 1, sign * unit.east())]
            })
            .collect();
        for &(a, x) in &slopes {
            right[a] += x * off;
            for &(b, y) in &slopes {
                normal[(a, b)] += x * y;
            }
        }
    }
    let factor = normal.cholesky().expect("definite");
    (factor.solve(&right), factor.inverse())
}

criterion_group!(benches, adjustments, simulations);
criterion_main!(benches);
