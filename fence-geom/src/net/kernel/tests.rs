//! The profile against nalgebra's dense matrices.

use nalgebra::{DMatrix, DVector};

use super::*;

/// A chain of nodes with some longer links and one node that all touch: the
/// shape of a net with a common tape scale.
fn links(size: usize) -> Vec<(usize, usize)> {
    let mut pairs: Vec<(usize, usize)> = (1..size).map(|i| (i, i - 1)).collect();
    pairs.extend((5..size).step_by(3).map(|i| (i, i - 4)));
    pairs.extend((0..size).map(|j| (size - 1, j)));
    pairs
}

fn matrices(size: usize) -> (Profile, DMatrix<f64>) {
    let mut profile = Profile::with_room(size, links(size).into_iter());
    let mut dense = DMatrix::zeros(size, size);
    for (k, (i, j)) in links(size).into_iter().enumerate() {
        let (a, b) = (1.0 + (k % 5) as f64, -0.5 - (k % 3) as f64);
        let entries = [(i, i, a * a), (j, j, b * b), (i, j, a * b)];
        for (row, column, value) in entries {
            profile.add(row, column, value);
            dense[(row, column)] += value;
            if row != column {
                dense[(column, row)] += value;
            }
        }
    }
    for i in 0..size {
        profile.add(i, i, 0.1);
        dense[(i, i)] += 0.1;
    }
    (profile, dense)
}

#[test]
fn a_profile_solves_and_inverts_as_a_dense_matrix_does() {
    let size = 23;
    let (profile, dense) = matrices(size);
    let factor = profile.factor(0.0).expect("definite");
    let right: Vec<f64> = (0..size).map(|i| (i as f64).sin()).collect();
    let solution = DVector::from_vec(factor.solve(&right));
    let expected = dense
        .clone()
        .cholesky()
        .expect("definite")
        .solve(&DVector::from_vec(right));
    assert!((solution - expected).norm() < 1e-9);
    let within = factor.inverse_within();
    let inverse = dense.clone().try_inverse().expect("regular");
    for (i, j) in links(size) {
        let off = within.get(i, j) - inverse[(i, j)];
        assert!(off.abs() < 1e-9, "({i}, {j}) is off by {off}");
    }
    let eigenvalues = dense.symmetric_eigenvalues();
    let condition = factor.condition(&profile);
    let ratio = condition * eigenvalues.min() / eigenvalues.max();
    assert!((0.8..1.0 + 1e-9).contains(&ratio), "{ratio}");
}

#[test]
fn a_matrix_that_is_not_definite_names_its_row() {
    let mut profile = Profile::with_room(3, [(1, 0), (2, 1)].into_iter());
    for (i, j, value) in [(0, 0, 1.0), (1, 0, 1.0), (1, 1, 1.0), (2, 2, 1.0)] {
        profile.add(i, j, value);
    }
    assert_eq!(profile.factor(0.0), Err(1));
    assert!(profile.factor(1e-3).is_ok());
}

#[test]
fn neighbors_come_near_each_other() {
    // A strip of twelve cells by three, numbered along the strip.
    let node = |x: usize, y: usize| y * 12 + x;
    let mut neighbors = vec![Vec::new(); 36];
    for x in 0..12 {
        for y in 0..3 {
            if x > 0 {
                neighbors[node(x, y)].push(node(x - 1, y));
                neighbors[node(x - 1, y)].push(node(x, y));
            }
            if y > 0 {
                neighbors[node(x, y)].push(node(x, y - 1));
                neighbors[node(x, y - 1)].push(node(x, y));
            }
        }
    }
    let order = near_order(&neighbors);
    let mut sorted = order.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, (0..36).collect::<Vec<_>>());
    let place = |node: usize| {
        order
            .iter()
            .position(|other| *other == node)
            .expect("there")
    };
    let widest = (0..36)
        .flat_map(|i| neighbors[i].iter().map(move |j| (i, *j)))
        .map(|(i, j)| place(i).abs_diff(place(j)))
        .max();
    assert!(
        widest <= Some(4),
        "{widest:?}, where the numbers given have 12"
    );
}
