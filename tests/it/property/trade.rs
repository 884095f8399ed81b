//! Trades of cuts against moves, against every choice of moves.

use std::collections::BTreeMap;

use fence_geom::{RunCosts, TradeError, trades};
use fence_tests::Draws;

/// All choices of moves.
fn choices(moves: &[Vec<i64>]) -> Vec<Vec<usize>> {
    moves.iter().fold(vec![Vec::new()], |all, moves| {
        let longer = |choice: &Vec<usize>| {
            let choice = choice.clone();
            (0..moves.len()).map(move |pick| [choice.clone(), vec![pick]].concat())
        };
        all.iter().flat_map(longer).collect()
    })
}

fn cost(run: &RunCosts, moves: &[Vec<i64>], choice: &[usize]) -> Option<i64> {
    let index = (run.lines.iter()).fold(0, |index, &line| index * moves[line].len() + choice[line]);
    run.costs[index]
}

/// The undominated pairs, by looking at all.
fn all_pairs(moves: &[Vec<i64>], runs: &[RunCosts]) -> Vec<(i64, i64)> {
    let mut least: BTreeMap<i64, i64> = BTreeMap::new();
    for choice in choices(moves) {
        let costs: Option<i64> = runs.iter().map(|run| cost(run, moves, &choice)).sum();
        let moved = choice
            .iter()
            .zip(moves)
            .map(|(&pick, moves)| moves[pick].abs())
            .sum();
        if let Some(cost) = costs {
            let kept = least.entry(cost).or_insert(moved);
            *kept = moved.min(*kept);
        }
    }
    let mut pairs: Vec<(i64, i64)> = Vec::new();
    for (cost, moved) in least {
        if pairs.last().is_none_or(|&(_, before)| moved < before) {
            pairs.push((cost, moved));
        }
    }
    pairs
}

#[test]
fn pairs_are_all_that_a_look_at_every_choice_finds() {
    let mut draws = Draws::from(30);
    let (mut none, mut several) = (0, 0);
    for (round, closed) in [false, true].repeat(60).into_iter().enumerate() {
        // Every third time most choices have no layout.
        let sound = if round % 3 == 0 { 2 } else { 6 };
        let lines = usize::try_from(draws.whole(2, 5)).expect("few");
        let moves: Vec<Vec<i64>> = (0..lines)
            .map(|_| {
                let mut moves: Vec<i64> =
                    (0..draws.whole(1, 4)).map(|_| draws.whole(-5, 5)).collect();
                moves.push(0);
                moves
            })
            .collect();
        // Each run hangs on its own line and on its neighbors'.
        let runs: Vec<RunCosts> = (0..lines)
            .map(|run| {
                let near = |line: usize| {
                    let apart = line.abs_diff(run);
                    apart <= 1 || (closed && apart == lines - 1)
                };
                let own: Vec<usize> = (0..lines).filter(|&line| near(line)).collect();
                let count: usize = own.iter().map(|&line| moves[line].len()).product();
                let costs = (0..count)
                    .map(|_| (draws.whole(0, 6) < sound).then(|| draws.whole(0, 4)))
                    .collect();
                RunCosts { lines: own, costs }
            })
            .collect();
        let pairs = trades(&moves, &runs).expect("little work");
        let found: Vec<(i64, i64)> = pairs.iter().map(|pair| (pair.cost, pair.moved)).collect();
        assert_eq!(found, all_pairs(&moves, &runs));
        none += usize::from(found.is_empty());
        several += usize::from(found.len() > 1);
        for pair in &pairs {
            let moved: i64 = pair.moves.iter().map(|step| step.abs()).sum();
            assert_eq!(moved, pair.moved);
            let choice: Vec<usize> = (pair.moves.iter().zip(&moves))
                .map(|(step, moves)| moves.iter().position(|one| one == step).expect("a move"))
                .collect();
            // A step listed twice has the costs of either place.
            let listed_once = moves.iter().all(|moves| {
                let mut sorted = moves.clone();
                sorted.sort_unstable();
                sorted.windows(2).all(|two| two[0] != two[1])
            });
            let costs: Option<i64> = runs.iter().map(|run| cost(run, &moves, &choice)).sum();
            assert!(!listed_once || costs == Some(pair.cost));
        }
    }
    assert!(none > 5 && several > 30, "{none} {several}");
}

#[test]
fn tables_that_do_not_fit_and_too_much_work_are_refused() {
    let run = |lines: Vec<usize>, count| RunCosts {
        lines,
        costs: vec![Some(1); count],
    };
    let short = trades(&[vec![0, 1]], &[run(vec![0], 3)]);
    assert!(matches!(
        short,
        Err(TradeError::Table {
            found: 3,
            needed: 2,
            ..
        })
    ));
    // Every line with every other: 200 x 200 x 200 x 200 choices.
    let moves = vec![(0..200).collect::<Vec<i64>>(); 4];
    let all: Vec<RunCosts> = [(0, 1), (1, 2), (2, 3), (0, 3), (0, 2), (1, 3)]
        .into_iter()
        .map(|(a, b)| run(vec![a, b], 40_000))
        .collect();
    let error = trades(&moves, &all).expect_err("too much");
    assert!(error.to_string().contains("narrower band"), "{error}");
}
