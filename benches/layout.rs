//! The layout of a run, from a side yard to a field boundary, on sixteenths of
//! an inch. The runs are invented.

use criterion::{Criterion, criterion_group, criterion_main};
use fence_geom::{
    Build, GateRequest, LayoutEnd, LayoutRequest, LayoutStatus, Length, Shift, Stretch, WhichEnd,
    lay_out,
};
use fence_tests::fixture_path;

fn long(inches: f64) -> Length {
    Length::from_inches(inches).expect("a length")
}

fn at(inches: f64) -> Shift {
    Shift::from_inches(inches).expect("a shift")
}

/// A run with gates and marks spread over it; every third mark is no-dig.
fn run(feet: f64, gates: u8, marks: u8) -> LayoutRequest {
    let length = feet * 12.0 - 7.3125;
    let end = LayoutEnd {
        face_max: at(4.0),
        ..LayoutEnd::fixed(at(2.5), long(5.0), true)
    };
    let share = |i: u8, of: u8| length * (f64::from(i) + 0.6) / f64::from(of);
    let mark = |i: u8, half: f64| {
        let middle = share(i, marks) - 31.0;
        Stretch {
            from: at(middle - half),
            to: at(middle + half),
        }
    };
    LayoutRequest {
        gate_post: long(5.0),
        gates: (0..gates)
            .map(|i| GateRequest {
                opening: long(46.0 + 2.0 * f64::from(i)),
                from: Some(at(share(i, gates) - 24.0)),
                to: Some(at(share(i, gates) + 24.0)),
                wish: None,
                latch: None,
            })
            .collect(),
        no_dig: (0..marks)
            .filter(|i| i % 3 == 0)
            .map(|i| mark(i, 9.0))
            .collect(),
        hand_dig: (0..marks).map(|i| mark(i, 24.0)).collect(),
        guard: true,
        hide: Some(WhichEnd::End),
        ..LayoutRequest::plain(long(length), long(92.5), long(12.0), long(4.0), end, end)
    }
}

fn layouts(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("layout");
    group.sample_size(20);
    let runs = [
        ("60 ft, 1 gate, 2 marks", run(60.0, 1, 2)),
        ("128 ft, 1 gate, 2 marks", run(128.0, 1, 2)),
        ("500 ft, 2 gates, 6 marks", run(500.0, 2, 6)),
        ("2000 ft, 3 gates, 20 marks", run(2000.0, 3, 20)),
    ];
    for (name, request) in &runs {
        let layout = lay_out(request).expect("a sound request");
        assert!(matches!(layout.status, LayoutStatus::Optimal(_)), "{name}");
        group.bench_function(*name, |bencher| bencher.iter(|| lay_out(request)));
        let bays = LayoutRequest {
            build: Build::Stick,
            ..request.clone()
        };
        group.bench_function(format!("{name}, bays"), |bencher| {
            bencher.iter(|| lay_out(&bays));
        });
    }
    group.finish();
}

/// The whole sheet of ten runs whose lines may stand in bands of 12 in, by 1/2 in.
fn bands(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("bands");
    group.sample_size(10);
    let job = fixture_path("jobs/ten-runs.toml");
    let job = job.to_str().expect("UTF-8");
    group.bench_function("10 runs, 12 in", |bencher| {
        bencher.iter(|| {
            let (mut out, mut err) = (Vec::new(), Vec::new());
            let args = ["fence", "sheet", job, "--json"].map(std::ffi::OsString::from);
            fence_cli::run(args, &mut out, &mut err)
        });
    });
    group.finish();
}

criterion_group!(benches, layouts, bands);
criterion_main!(benches);
