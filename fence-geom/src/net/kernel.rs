//! Normal equations with few entries: an order that keeps them near the diagonal,
//! Cholesky's factor within that band, and what of the inverse lies within it.
//!
//! # Source
//!
//! The order: that of Cuthill and `McKee`, "Reducing the bandwidth of sparse
//! symmetric matrices", 1969, reversed as A. George found. The factor within the
//! profile: A. Jennings, 1966. The part of the inverse: K. Takahashi, J. Fagan and
//! M. Chen, 1973. All titles from memory; checked against dense matrices in the
//! tests.

use std::collections::VecDeque;

/// A pivot of the scaled equations below this is lost in rounding.
const LEAST_PIVOT: f64 = 1e-13;

/// The lower half of a symmetric matrix: each row from its first entry that may
/// differ from zero up to the diagonal.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Profile {
    rows: Vec<ProfileRow>,
}

#[derive(Clone, Debug, PartialEq)]
struct ProfileRow {
    first: usize,
    entries: Vec<f64>,
}

impl Profile {
    /// A matrix of zeros with room for the given pairs and all between them and
    /// the diagonal.
    pub(super) fn with_room(size: usize, pairs: impl Iterator<Item = (usize, usize)>) -> Self {
        let mut firsts: Vec<usize> = (0..size).collect();
        for (i, j) in pairs {
            if let Some(first) = firsts.get_mut(i.max(j)) {
                *first = (*first).min(i.min(j));
            }
        }
        let row = |(i, first): (usize, usize)| ProfileRow {
            first,
            entries: vec![0.0; i + 1 - first],
        };
        Self {
            rows: firsts.into_iter().enumerate().map(row).collect(),
        }
    }

    pub(super) fn size(&self) -> usize {
        self.rows.len()
    }

    /// The entry at row `i` and column `j`, either way round; zero outside of the
    /// room.
    pub(super) fn get(&self, i: usize, j: usize) -> f64 {
        let (i, j) = (i.max(j), i.min(j));
        let entry = self.rows.get(i).and_then(|row| row.get(j));
        entry.copied().unwrap_or_default()
    }

    /// Adds to the entry at row `i` and column `j`, if it has room.
    pub(super) fn add(&mut self, i: usize, j: usize, value: f64) {
        self.change(i, j, |entry| *entry += value);
    }

    fn change(&mut self, i: usize, j: usize, with: impl FnOnce(&mut f64)) {
        let (i, j) = (i.max(j), i.min(j));
        if let Some(row) = self.rows.get_mut(i)
            && let Some(entry) = j
                .checked_sub(row.first)
                .and_then(|at| row.entries.get_mut(at))
        {
            with(entry);
        }
    }

    /// The matrix with its rows and columns scaled so that the diagonal is one,
    /// and the factors; an unknown that nothing touches keeps its zero.
    pub(super) fn scaled(mut self) -> (Self, Vec<f64>) {
        let factor = |i: usize| {
            let diagonal = self.get(i, i);
            if diagonal > 0.0 {
                1.0 / diagonal.sqrt()
            } else {
                1.0
            }
        };
        let factors: Vec<f64> = (0..self.size()).map(factor).collect();
        for (row, own) in self.rows.iter_mut().zip(&factors) {
            for (entry, other) in row.entries.iter_mut().zip(factors.iter().skip(row.first)) {
                *entry *= own * other;
            }
        }
        (self, factors)
    }

    /// Cholesky's factor of this matrix with `more` added to its diagonal.
    ///
    /// # Errors
    ///
    /// The row whose pivot is lost.
    pub(super) fn factor(&self, more: f64) -> Result<Factor, usize> {
        let mut rows: Vec<ProfileRow> = Vec::with_capacity(self.size());
        for (i, row) in self.rows.iter().enumerate() {
            let mut done: Vec<f64> = Vec::with_capacity(row.entries.len());
            for (j, entry) in (row.first..i).zip(&row.entries) {
                // All rows before this one are factored.
                let Some(other) = rows.get(j) else {
                    return Err(i);
                };
                let from = row.first.max(other.first);
                let own = done.get(from - row.first..).unwrap_or_default();
                let above = other.from(from);
                let product: f64 = own.iter().zip(above).map(|(a, b)| a * b).sum();
                done.push((entry - product) / other.diagonal());
            }
            let square: f64 = done.iter().map(|entry| entry * entry).sum();
            let pivot = self.get(i, i) + more - square;
            if pivot.is_nan() || pivot <= LEAST_PIVOT {
                return Err(i);
            }
            done.push(pivot.sqrt());
            rows.push(ProfileRow {
                first: row.first,
                entries: done,
            });
        }
        Ok(Factor {
            lower: Self { rows },
        })
    }
}

impl ProfileRow {
    fn get(&self, column: usize) -> Option<&f64> {
        self.entries.get(column.checked_sub(self.first)?)
    }

    /// The entries from a column on.
    fn from(&self, column: usize) -> &[f64] {
        let at = column.saturating_sub(self.first);
        self.entries.get(at..).unwrap_or_default()
    }

    fn diagonal(&self) -> f64 {
        self.entries.last().copied().unwrap_or(f64::NAN)
    }
}

/// Cholesky's lower factor.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Factor {
    lower: Profile,
}

impl Factor {
    /// The solution for a right side.
    pub(super) fn solve(&self, right: &[f64]) -> Vec<f64> {
        let mut x: Vec<f64> = Vec::with_capacity(right.len());
        for (row, value) in self.lower.rows.iter().zip(right) {
            let before = x.get(row.first..).unwrap_or_default();
            let product: f64 = row.entries.iter().zip(before).map(|(a, b)| a * b).sum();
            x.push((value - product) / row.diagonal());
        }
        for (i, row) in self.lower.rows.iter().enumerate().rev() {
            let Some(own) = x.get_mut(i) else {
                continue;
            };
            *own /= row.diagonal();
            let value = *own;
            let before = x.get_mut(row.first..i).unwrap_or_default();
            for (other, entry) in before.iter_mut().zip(&row.entries) {
                *other -= entry * value;
            }
        }
        x
    }

    /// The entries of the inverse that lie within the room of the factor.
    pub(super) fn inverse_within(&self) -> Profile {
        let size = self.lower.size();
        let mut below: Vec<Vec<usize>> = vec![Vec::new(); size];
        for (i, row) in self.lower.rows.iter().enumerate() {
            for column in below.iter_mut().take(i).skip(row.first) {
                column.push(i);
            }
        }
        let mut inverse = self.lower.clone();
        for (j, rows) in below.iter().enumerate().rev() {
            let diagonal = self.lower.get(j, j);
            let column: Vec<(usize, f64)> =
                rows.iter().map(|k| (*k, self.lower.get(*k, j))).collect();
            let mut own = 1.0 / diagonal;
            for i in rows {
                let product: f64 = column.iter().map(|(k, l)| l * inverse.get(*k, *i)).sum();
                inverse.change(*i, j, |entry| *entry = -product / diagonal);
            }
            for (k, l) in &column {
                own -= l * inverse.get(*k, j);
            }
            inverse.change(j, j, |entry| *entry = own / diagonal);
        }
        inverse
    }

    /// The condition of the matrix that this is the factor of: its largest over
    /// its least eigenvalue, from below.
    pub(super) fn condition(&self, matrix: &Profile) -> f64 {
        let (largest, _) = power(matrix.size(), |x| matrix.times(x));
        largest * self.weakest().0
    }

    /// One over the least eigenvalue, from below, and its direction.
    pub(super) fn weakest(&self) -> (f64, Vec<f64>) {
        power(self.lower.size(), |x| self.solve(x))
    }
}

impl Profile {
    fn times(&self, x: &[f64]) -> Vec<f64> {
        let mut product = vec![0.0; x.len()];
        for (i, row) in self.rows.iter().enumerate() {
            let mut sum = 0.0;
            for (j, entry) in (row.first..=i).zip(&row.entries) {
                sum += entry * x.get(j).copied().unwrap_or_default();
                if j < i
                    && let Some(other) = product.get_mut(j)
                {
                    *other += entry * x.get(i).copied().unwrap_or_default();
                }
            }
            if let Some(own) = product.get_mut(i) {
                *own += sum;
            }
        }
        product
    }
}

/// Enough steps for the size of an eigenvalue; a condition is quoted in powers of
/// ten.
const POWER_STEPS: u32 = 40;

/// The largest eigenvalue of a symmetric map, and its direction.
fn power(size: usize, map: impl Fn(&[f64]) -> Vec<f64>) -> (f64, Vec<f64>) {
    // A start that no plain vector is square to.
    let mut x: Vec<f64> = (0_u32..)
        .take(size)
        .map(|i| 1.0 + 0.5 * f64::from(i % 7) - 0.3 * f64::from(i % 3))
        .collect();
    let mut value = 0.0;
    for _ in 0..POWER_STEPS {
        let length = norm(&x);
        if length <= 0.0 {
            break;
        }
        x = map(&x.iter().map(|entry| entry / length).collect::<Vec<_>>());
        value = norm(&x);
    }
    (value, x)
}

fn norm(x: &[f64]) -> f64 {
    x.iter().map(|entry| entry * entry).sum::<f64>().sqrt()
}

/// An order of nodes in which neighbors are near each other: from a node at the
/// rim through its neighbors, those with the fewest first, and back to front.
pub(super) fn near_order(neighbors: &[Vec<usize>]) -> Vec<usize> {
    let size = neighbors.len();
    let degree = |node: &usize| neighbors.get(*node).map_or(0, Vec::len);
    let mut order: Vec<usize> = Vec::with_capacity(size);
    let mut seen = vec![false; size];
    let mut starts: Vec<usize> = (0..size).collect();
    starts.sort_by_key(degree);
    for start in starts {
        if seen.get(start) == Some(&true) {
            continue;
        }
        // The node farthest from any one lies at the rim.
        let rim = breadth_first(neighbors, start, &mut seen.clone(), &degree);
        let rim = rim.last().copied().unwrap_or(start);
        order.extend(breadth_first(neighbors, rim, &mut seen, &degree));
    }
    order.reverse();
    order
}

fn breadth_first(
    neighbors: &[Vec<usize>],
    start: usize,
    seen: &mut [bool],
    degree: &impl Fn(&usize) -> usize,
) -> Vec<usize> {
    let mut order = Vec::new();
    let mut queue = VecDeque::from([start]);
    if let Some(mark) = seen.get_mut(start) {
        *mark = true;
    }
    while let Some(node) = queue.pop_front() {
        order.push(node);
        let mut next: Vec<usize> = neighbors.get(node).cloned().unwrap_or_default();
        next.sort_by_key(|node| (degree(node), *node));
        for other in next {
            if let Some(mark) = seen.get_mut(other)
                && !*mark
            {
                *mark = true;
                queue.push_back(other);
            }
        }
    }
    order
}

#[cfg(test)]
mod tests;
