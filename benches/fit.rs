//! Fits of deed corners to pins, beside textbook normal equations by dense matrices.

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use fence_geom::{Azimuth, Corner, FitRules, Pin, Point, Sigma, fit};
use fence_tests::Draws;
use nalgebra::{DMatrix, DVector};

/// Corners around a circle of 300 ft, and pins for all of them, turned by 7 degrees.
fn lot(corners: u32) -> (Vec<Corner>, Vec<Pin>) {
    let mut draws = Draws::from(u64::from(corners));
    let sigma = Sigma::known(0.04).expect("a standard error");
    let step = 360.0 / f64::from(corners);
    (0..corners)
        .map(|i| {
            let radius = 300.0 + 40.0 * draws.even();
            let at = |degrees: f64, off: f64| {
                let (sin, cos) = degrees.to_radians().sin_cos();
                Point::new((radius + off) * cos, (radius + off) * sin).expect("in range")
            };
            let azimuth = f64::from(i) * step;
            let corner = Corner {
                name: format!("C{i}"),
                at: at(azimuth, 0.0),
            };
            let pin = Pin::new(
                format!("C{i}"),
                at(azimuth + 7.0, 0.05 * draws.normal()),
                sigma,
            );
            (corner, pin)
        })
        .unzip()
}

/// Shift, rotation and their covariance, as a textbook has them: the design matrix,
/// the normal equations, their inverse; steps until nothing moves.
fn by_normal_equations(
    corners: &[Corner],
    pins: &[Pin],
    variance: f64,
) -> ([f64; 3], DMatrix<f64>) {
    let mut found = [0.0_f64; 3];
    // Rotations are found from a start that is near.
    found[2] = 0.1;
    loop {
        let [north, east, turn] = found;
        let (sin, cos) = turn.sin_cos();
        let rows = 2 * pins.len();
        let mut design = DMatrix::zeros(rows, 3);
        let mut left = DVector::zeros(rows);
        for (i, (corner, pin)) in corners.iter().zip(pins).enumerate() {
            let (n, e) = (corner.at.north(), corner.at.east());
            let (turned_n, turned_e) = (n * cos - e * sin, n * sin + e * cos);
            left[2 * i] = pin.at.north() - north - turned_n;
            left[2 * i + 1] = pin.at.east() - east - turned_e;
            design[(2 * i, 0)] = 1.0;
            design[(2 * i + 1, 1)] = 1.0;
            design[(2 * i, 2)] = -turned_e;
            design[(2 * i + 1, 2)] = turned_n;
        }
        let weight = 1.0 / variance;
        let normal = design.transpose() * &design * weight;
        let inverse = normal.cholesky().expect("positive").inverse();
        let step = &inverse * (design.transpose() * left * weight);
        for (value, change) in found.iter_mut().zip(step.iter()) {
            *value += change;
        }
        if step.amax() < 1e-9 {
            return (found, inverse);
        }
    }
}

fn fits(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("fit to pins");
    let rules = FitRules::default();
    let deed_sigma = rules.deed_sigma.value().expect("known");
    let variance = deed_sigma.powi(2) + 0.04_f64.powi(2);
    for size in [4, 50, 1000] {
        let (corners, pins) = lot(size);
        let ours = fit(&corners, &pins, &rules).expect("a fit");
        let ([_, _, turn], covariance) = by_normal_equations(&corners, &pins, variance);
        let rotation = Azimuth::from_radians(turn.rem_euclid(std::f64::consts::TAU));
        let theirs = rotation.expect("an azimuth").radians();
        assert!((ours.rotation.radians() - theirs).abs() < 1e-9);
        let sigma = covariance[(2, 2)].sqrt();
        assert!((ours.rotation_sigma.value().expect("known") / sigma - 1.0).abs() < 1e-6);
        group.bench_function(BenchmarkId::new("with all tests", size), |bench| {
            bench.iter(|| fit(black_box(&corners), black_box(&pins), &rules));
        });
        group.bench_function(BenchmarkId::new("dense normal equations", size), |bench| {
            bench.iter(|| by_normal_equations(black_box(&corners), black_box(&pins), variance));
        });
    }
    group.finish();
}

criterion_group!(benches, fits);
criterion_main!(benches);
