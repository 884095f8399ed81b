//! Benches of the geometry.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use fence_geom::{Shift, inset, read_call_table, traverse};

/// A lot of eight calls, as typed.
const EIGHT_CALLS: &str = "\
    S 86-24 W 319 ft\nS 31-01 W 133.2 ft\nS 14-40 W 149 ft\nS 30-04 E 224.8 ft\n\
    N 74-15 E 87.3 ft\nN 53-37 E 157.7 ft\nN 44-35 E 295 ft\nN 35-58 W 179.8 ft\n";

fn traverse_of_eight_calls(criterion: &mut Criterion) {
    let table = read_call_table(EIGHT_CALLS).expect("a table");
    let deed = table.into_deed().expect("every line is read");
    criterion.bench_function("traverse of 8 calls", |bench| {
        bench.iter(|| traverse(black_box(&deed)));
    });
    criterion.bench_function("read a table of 8 calls", |bench| {
        bench.iter(|| read_call_table(black_box(EIGHT_CALLS)));
    });
}

fn inset_of_eight_sides(criterion: &mut Criterion) {
    let table = read_call_table(EIGHT_CALLS).expect("a table");
    let deed = table.into_deed().expect("every line is read");
    let lot = traverse(&deed).ring().expect("a ring");
    let distances = [0.5, 0.5, 5.0, 5.0, 0.5, 0.5, 3.0, 3.0]
        .map(|feet| Shift::from_feet(feet).expect("a distance"));
    inset(&lot, &distances).expect("it holds");
    criterion.bench_function("inset of an 8-gon", |bench| {
        bench.iter(|| inset(black_box(&lot), black_box(&distances)));
    });
}

criterion_group!(benches, traverse_of_eight_calls, inset_of_eight_sides);
criterion_main!(benches);
