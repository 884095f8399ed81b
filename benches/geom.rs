//! Benches of the geometry.

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use fence_geom::{Length, Shift, find_slips, inset, read_call_table, read_description, traverse};

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

/// A description of thirty calls, six of them curves.
fn thirty_calls() -> String {
    let mut text = String::from(
        "Commencing at the quarter corner, an iron pin from which an oak bears S 35 E 12.5 feet; \
         thence South 0°02'46\" East along the section line, 967.45 feet to the point of beginning",
    );
    for i in 0..6 {
        text.push_str(&format!(
            "; thence N {i}1°27'51\" W 162.94 feet to an iron pin; thence North {i}5 degrees 24 \
             minutes 50 seconds East, along the line of the adjoiner, a distance of 336.78 feet to a \
             stone; thence along the arc of a curve to the left having a radius of 316.00 feet, a \
             central angle of 19°01'53\", an arc length of 104.97 feet and a chord bearing S \
             {i}2°53'57\" W, 104.47 feet to a point; thence S{i}1-02-29W-201.61'; thence East, \
             parallel with the center of a 20 foot alley, 14.48 ft. to a stake",
        ));
    }
    text.push_str(" at the point of beginning, containing 5.856 acres, more or less.");
    text
}

fn description_of_thirty_calls(criterion: &mut Criterion) {
    let text = thirty_calls();
    let read = read_description(&text).expect("a description");
    assert!(read.unread.is_empty(), "{:?}", read.unread);
    assert_eq!(read.tracts[0].calls.len(), 30);
    let mut group = criterion.benchmark_group("prose");
    group.throughput(Throughput::Bytes(text.len() as u64));
    group.bench_function("read a description of 30 calls", |bench| {
        bench.iter(|| read_description(black_box(&text)));
    });
    group.finish();
}

/// The slips that would close those thirty calls, which miss by a mile: every
/// change is tried.
fn slips_of_thirty_calls(criterion: &mut Criterion) {
    let read = read_description(&thirty_calls()).expect("a description");
    let limit = Length::from_feet(0.05).expect("a length");
    criterion.bench_function("slips of 30 calls", |bench| {
        bench.iter(|| find_slips(black_box(&read.tracts[0]), limit));
    });
}

criterion_group!(
    benches,
    traverse_of_eight_calls,
    inset_of_eight_sides,
    description_of_thirty_calls,
    slips_of_thirty_calls
);
criterion_main!(benches);
