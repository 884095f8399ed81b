//! What moves of several lines save in several runs together: all pairs of cost
//! and moves of which neither can be had for less of the other.
//!
//! Each run costs by the moves of a few lines. Lines are taken out one after the
//! other: what a line can do at best is tabled over the lines that share a run
//! with it, for every cost on its own. No pair is guessed, so the list is proven.
//!
//! Source: U. Bertelè and F. Brioschi, *Nonserial Dynamic Programming* (Academic
//! Press 1972), the elimination of variables one by one; from memory.

use std::collections::BTreeMap;

/// Cells times moves that taking out one line may look at.
const MOST_WORK: usize = 20_000_000;

/// What a run costs for each choice of moves of the lines that it hangs on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunCosts {
    /// The lines, by number, rising.
    pub lines: Vec<usize>,
    /// The cost for each choice, the move of the last line changing fastest;
    /// none where there is no layout.
    pub costs: Vec<Option<i64>>,
}

/// A pair that can't be had for less.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pair {
    /// What all runs cost together.
    pub cost: i64,
    /// The sizes of all moves together.
    pub moved: i64,
    /// The move of each line.
    pub moves: Vec<i64>,
}

/// Why pairs can't be found.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TradeError {
    /// A table that does not fit its lines.
    #[error("run {run} has {found} costs where its lines have {needed} choices of moves")]
    Table {
        /// The run, from 0.
        run: usize,
        /// Costs it has.
        found: usize,
        /// Costs it needs.
        needed: usize,
    },
    /// Too many choices that hang together.
    #[error(
        "the moves of line {line} hang together with {cells} choices of other lines: allow fewer moves, with a longer step or a narrower band"
    )]
    TooMuch {
        /// The line, from 0.
        line: usize,
        /// Choices of the lines that it hangs together with.
        cells: usize,
    },
}

/// Returns all undominated pairs of cost and moves, the least cost first; of
/// several choices with the same pair, the one whose moves come first in `moves`.
///
/// `moves` lists the moves that each line may make; the size of a move is what it
/// counts.
///
/// # Errors
///
/// [`TradeError`] for a table that does not fit, or more work than is allowed.
///
/// # Examples
///
/// ```
/// use fence_geom::{RunCosts, trades};
///
/// // Two runs meet at a line between them: moving it by 2 saves one cut in the
/// // first, by 3 two cuts in the second.
/// let moves = vec![vec![0, 1, 2, 3]];
/// let run = |costs: [i64; 4]| RunCosts { lines: vec![0], costs: costs.map(Some).to_vec() };
/// let pairs = trades(&moves, &[run([1, 1, 0, 1]), run([2, 2, 2, 0])])?;
/// let found: Vec<_> = pairs.iter().map(|pair| (pair.cost, pair.moved)).collect();
/// assert_eq!(found, [(1, 3), (2, 2), (3, 0)]);
/// # Ok::<(), fence_geom::TradeError>(())
/// ```
pub fn trades(moves: &[Vec<i64>], runs: &[RunCosts]) -> Result<Vec<Pair>, TradeError> {
    let mut open = Vec::with_capacity(runs.len());
    for (run, costs) in runs.iter().enumerate() {
        let needed = choices(moves, &costs.lines);
        if costs.costs.len() != needed {
            return Err(TradeError::Table {
                run,
                found: costs.costs.len(),
                needed,
            });
        }
        open.push(Table::of(costs));
    }
    let mut left: Vec<usize> = (0..moves.len()).collect();
    while let Some(line) = cheapest(moves, &open, &left) {
        left.retain(|&other| other != line);
        let (bucket, others): (Vec<Table>, Vec<Table>) = open
            .into_iter()
            .partition(|table| table.lines.contains(&line));
        open = others;
        open.push(Table::without(moves, line, bucket)?);
    }
    // No line is left: each table has one cell.
    let mut all = vec![Entry::NOTHING];
    for table in &open {
        all = joined(&all, table.cells.first().map_or(&[], Vec::as_slice));
    }
    Ok((best(all).into_iter())
        .map(|entry| {
            let mut chosen = vec![0; moves.len()];
            for (table, &pick) in open.iter().zip(&entry.picks) {
                table.trace(moves, pick, &mut chosen);
            }
            Pair {
                cost: entry.cost,
                moved: entry.moved,
                moves: (chosen.iter().zip(moves))
                    .map(|(&pick, moves)| moves.get(pick).copied().unwrap_or(0))
                    .collect(),
            }
        })
        .collect())
}

/// One way to a pair: the move of the line taken out, and the entry taken of each
/// table it was in.
#[derive(Clone, Debug)]
struct Entry {
    cost: i64,
    moved: i64,
    pick: usize,
    picks: Vec<usize>,
}

impl Entry {
    const NOTHING: Self = Self {
        cost: 0,
        moved: 0,
        pick: 0,
        picks: Vec::new(),
    };
}

/// The best entries for each choice of moves of some lines.
struct Table {
    lines: Vec<usize>,
    cells: Vec<Vec<Entry>>,
    /// The line that was taken out to make it, and the tables that it was in.
    from: Option<(usize, Vec<Table>)>,
}

impl Table {
    fn of(run: &RunCosts) -> Self {
        let entry = |cost: &Option<i64>| {
            let entry = cost.map(|cost| Entry {
                cost,
                ..Entry::NOTHING
            });
            entry.into_iter().collect()
        };
        Self {
            lines: run.lines.clone(),
            cells: run.costs.iter().map(entry).collect(),
            from: None,
        }
    }

    /// Takes a line out of the tables that it is in.
    fn without(moves: &[Vec<i64>], line: usize, bucket: Vec<Self>) -> Result<Self, TradeError> {
        let lines = neighbors(&bucket, line);
        let cells = choices(moves, &lines);
        let of_line = moves.get(line).map_or(&[][..], Vec::as_slice);
        if cells.saturating_mul(of_line.len()) > MOST_WORK {
            return Err(TradeError::TooMuch { line, cells });
        }
        let mut chosen = vec![0; moves.len()];
        let mut found = Vec::with_capacity(cells);
        for cell in 0..cells {
            choose(moves, &lines, cell, &mut chosen);
            let mut entries = Vec::new();
            for (pick, step) in of_line.iter().enumerate() {
                set(&mut chosen, line, pick);
                let start = Entry {
                    moved: step.abs(),
                    pick,
                    ..Entry::NOTHING
                };
                let mut ways = vec![start];
                for table in &bucket {
                    ways = joined(&ways, table.cell(moves, &chosen));
                }
                entries.extend(ways);
            }
            found.push(best(entries));
        }
        Ok(Self {
            lines,
            cells: found,
            from: Some((line, bucket)),
        })
    }

    fn cell(&self, moves: &[Vec<i64>], chosen: &[usize]) -> &[Entry] {
        let index = self.lines.iter().fold(0, |index, &line| {
            let count = moves.get(line).map_or(1, Vec::len);
            index * count + chosen.get(line).copied().unwrap_or(0)
        });
        self.cells.get(index).map_or(&[], Vec::as_slice)
    }

    /// Sets the moves that led to an entry.
    fn trace(&self, moves: &[Vec<i64>], pick: usize, chosen: &mut [usize]) {
        let Some((line, bucket)) = &self.from else {
            return;
        };
        let Some(entry) = self.cell(moves, chosen).get(pick).cloned() else {
            return;
        };
        set(chosen, *line, entry.pick);
        for (table, &pick) in bucket.iter().zip(&entry.picks) {
            table.trace(moves, pick, chosen);
        }
    }
}

fn set(chosen: &mut [usize], line: usize, pick: usize) {
    if let Some(place) = chosen.get_mut(line) {
        *place = pick;
    }
}

/// Sets the choice of moves that a cell stands for.
fn choose(moves: &[Vec<i64>], lines: &[usize], cell: usize, chosen: &mut [usize]) {
    let mut rest = cell;
    for &line in lines.iter().rev() {
        let count = moves.get(line).map_or(1, Vec::len).max(1);
        set(chosen, line, rest % count);
        rest /= count;
    }
}

fn choices(moves: &[Vec<i64>], lines: &[usize]) -> usize {
    (lines.iter())
        .map(|&line| moves.get(line).map_or(1, Vec::len))
        .fold(1, usize::saturating_mul)
}

/// The other lines of the tables that a line is in.
fn neighbors(bucket: &[Table], line: usize) -> Vec<usize> {
    let mut lines: Vec<usize> = bucket
        .iter()
        .flat_map(|table| table.lines.clone())
        .collect();
    lines.sort_unstable();
    lines.dedup();
    lines.retain(|&other| other != line);
    lines
}

/// The line that hangs together with the fewest choices.
fn cheapest(moves: &[Vec<i64>], open: &[Table], left: &[usize]) -> Option<usize> {
    let cost = |line: usize| {
        let others = open.iter().filter(|table| table.lines.contains(&line));
        let mut lines: Vec<usize> = others.flat_map(|table| table.lines.clone()).collect();
        lines.sort_unstable();
        lines.dedup();
        choices(moves, &lines)
    };
    left.iter().copied().min_by_key(|&line| (cost(line), line))
}

/// Every entry of one list with every one of the other.
fn joined(ways: &[Entry], entries: &[Entry]) -> Vec<Entry> {
    let mut found = Vec::with_capacity(ways.len() * entries.len());
    for way in ways {
        for (pick, entry) in entries.iter().enumerate() {
            let mut picks = way.picks.clone();
            picks.push(pick);
            found.push(Entry {
                cost: way.cost + entry.cost,
                moved: way.moved + entry.moved,
                pick: way.pick,
                picks,
            });
        }
    }
    if ways.len() > 1 { best(found) } else { found }
}

/// The undominated ones, the least cost first; of equals the first.
fn best(entries: Vec<Entry>) -> Vec<Entry> {
    let mut by_cost: BTreeMap<i64, Entry> = BTreeMap::new();
    for entry in entries {
        let kept = by_cost.get(&entry.cost);
        if kept.is_none_or(|kept| entry.moved < kept.moved) {
            by_cost.insert(entry.cost, entry);
        }
    }
    let mut least = i64::MAX;
    let mut better = |entry: &Entry| {
        let fewer = entry.moved < least;
        least = least.min(entry.moved);
        fewer
    };
    by_cost
        .into_values()
        .filter(|entry| better(entry))
        .collect()
}
