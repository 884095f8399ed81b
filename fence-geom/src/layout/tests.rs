//! Private parts against each other: two ways to the same figures.

use super::problem::Problem;
use super::reach::fewest;
use super::solve::solve;
use super::{
    Arrangement, Change, Choices, GateRequest, LayoutEnd, LayoutRequest, LayoutStatus, WhichEnd,
    Wish, lay_out, runners_up, verify_layout,
};
use crate::length::{Length, Shift};
use crate::obstacle::Stretch;
use crate::product::Build;
use crate::stock::Cutting;

/// A small generator with a fixed start, so that every run tests the same cases.
/// Source: S. Vigna, "splitmix64.c" (public domain, 2015), from memory.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number of sixteenths in a range, in inches.
    fn inches(&mut self, from: u32, to: u32) -> f64 {
        let count = u64::from(16 * (to - from) + 1);
        let sixteenths = u32::try_from(self.roll() % count).expect("small");
        f64::from(from) + f64::from(sixteenths) / 16.0
    }

    fn one_in(&mut self, n: u64) -> bool {
        self.roll().is_multiple_of(n)
    }

    fn end(&mut self) -> LayoutEnd {
        let face = self.inches(0, 4);
        let wide = if self.one_in(2) {
            0.0
        } else {
            self.inches(0, 3)
        };
        LayoutEnd {
            face_min: at(face),
            face_max: at(face + wide),
            face_wish: at(face),
            post: long([0.0, 4.0, 5.0][usize::try_from(self.roll() % 3).expect("small")]),
            hole: !self.one_in(4),
        }
    }

    fn stretches(&mut self, most: u64, length: u32, wide: u32) -> Vec<Stretch> {
        (0..self.roll() % (most + 1))
            .map(|_| {
                let from = self.inches(0, length);
                let to = from + self.inches(0, wide);
                Stretch {
                    from: at(from),
                    to: at(to),
                }
            })
            .collect()
    }

    fn request(&mut self) -> LayoutRequest {
        let feet = 8 + u32::try_from(self.roll() % 50).expect("small");
        let length = self.inches(12 * feet, 12 * feet + 12);
        let builds = [
            Build::Panels,
            Build::Panels,
            Build::PanelsOnFace,
            Build::Stick,
        ];
        let gates = (0..self.roll() % 3)
            .map(|_| {
                let wish = self.inches(0, 12 * feet);
                GateRequest {
                    opening: long(36.0 + 2.0 * self.inches(0, 6).floor()),
                    from: Some(at(wish - self.inches(0, 24))),
                    to: Some(at(wish + self.inches(0, 24))),
                    wish: Some(at(wish)),
                    latch: [None, Some(WhichEnd::Start), Some(WhichEnd::End)]
                        [usize::try_from(self.roll() % 3).expect("small")],
                }
            })
            .collect();
        LayoutRequest {
            build: builds[usize::try_from(self.roll() % 4).expect("small")],
            gate_post: long(5.0),
            latch_post: self.one_in(3).then(|| long(4.0)),
            cut_step: self.one_in(4).then(|| long(3.5)),
            gates,
            no_dig: self.stretches(2, 12 * feet, 30),
            hand_dig: self.stretches(3, 12 * feet, 60),
            show: self.stretches(1, 12 * feet, 120),
            guard: self.one_in(3),
            hide: [None, Some(WhichEnd::Start), Some(WhichEnd::End)]
                [usize::try_from(self.roll() % 3).expect("small")],
            ..LayoutRequest::plain(
                long(length),
                long(92.5),
                long(12.0),
                long(4.0),
                self.end(),
                self.end(),
            )
        }
    }
}

fn long(inches: f64) -> Length {
    Length::from_inches(inches).expect("a length")
}

fn at(inches: f64) -> Shift {
    Shift::from_inches(inches).expect("a shift")
}

#[test]
fn sets_of_places_count_as_the_whole_search_does() {
    let mut dice = Dice(11);
    let (mut none, mut hand_dug, mut cuts) = (0, 0, 0);
    for i in 0..240 {
        let mut request = dice.request();
        if i % 3 == 0 {
            request.order = vec![Wish::Cuts];
        }
        let problem = Problem::new(&request).expect("a sound request");
        let best = solve(&problem).expect("small counts");
        let objective = best.map(|path| Arrangement::new(&problem, &path).objective);
        let expected = objective.map(|o| (o.hand_dug, o.cuts));
        assert_eq!(fewest(&problem), expected, "{i}: {request:?}");
        match expected {
            None => none += 1,
            Some((hand, cut)) => {
                hand_dug += usize::from(hand > 0);
                cuts += usize::from(cut > 1);
            }
        }
    }
    assert!(
        none > 20 && hand_dug > 20 && cuts > 20,
        "{none} {hand_dug} {cuts}"
    );
}

#[test]
fn a_second_look_finds_every_answer_sound_and_every_change_of_it_not() {
    let mut dice = Dice(12);
    for i in 0..80 {
        let request = dice.request();
        let LayoutStatus::Optimal(best) = lay_out(&request).expect("sound").status else {
            continue;
        };
        assert_eq!(verify_layout(&request, &best), Ok(best.objective), "{i}");
        for section in 0..best.sections.len() {
            let mut changed = best.clone();
            changed.sections[section].from += 1;
            assert!(verify_layout(&request, &changed).is_err(), "{i}: {section}");
        }
        for post in 0..best.posts.len() {
            let mut changed = best.clone();
            changed.posts[post].center_half_steps -= 1;
            assert!(verify_layout(&request, &changed).is_err(), "{i}: {post}");
        }
    }
}

#[test]
fn least_relaxations_are_enough_and_one_step_less_is_not() {
    let mut dice = Dice(13);
    let mut checked = 0;
    for i in 0..120 {
        let request = dice.request();
        let LayoutStatus::None { relaxations, .. } = lay_out(&request).expect("sound").status
        else {
            continue;
        };
        for relaxation in &relaxations {
            let with = |by: i64| {
                let mut relaxed = request.clone();
                super::blocking::give(&mut relaxed, relaxation, by);
                lay_out(&relaxed).map(|layout| layout.status)
            };
            let enough = with(relaxation.by).expect("sound");
            assert!(
                matches!(enough, LayoutStatus::Optimal(_)),
                "{i}: {relaxation:?}"
            );
            if relaxation.by > 1 {
                let less = with(relaxation.by - 1).expect("sound");
                assert!(
                    matches!(less, LayoutStatus::None { .. }),
                    "{i}: {relaxation:?}"
                );
            }
            checked += 1;
        }
    }
    assert!(checked > 10, "{checked}");
}

/// Panels of 92 in, cuts from 12 in, posts of 4 in; both end faces 2 in from the
/// flags.
fn run(length: f64) -> LayoutRequest {
    let end = LayoutEnd::fixed(at(2.0), long(4.0), true);
    LayoutRequest::plain(long(length), long(92.0), long(12.0), long(4.0), end, end)
}

fn words(request: &LayoutRequest, choices: &Choices) -> Vec<String> {
    let best = lay_out(request).expect("sound");
    let others = runners_up(request, &best, choices).expect("sound");
    others.into_iter().map(|other| other.words).collect()
}

#[test]
fn a_narrow_cut_may_be_shared_out() {
    // 4 panels and 407 - 384 - 4 = 19 in. Two cuts of (92 + 19) / 2 = 55-1/2 in
    // take no more panels; three of (2 x 92 + 19) / 3 = 67-2/3 in are over two
    // thirds of a panel.
    let found = words(&run(407.0), &Choices::default());
    assert_eq!(
        found,
        [
            "wider cuts: 2 cuts instead of 1, the shortest 55-1/2\" instead of 19\"",
            "make the last 3 sections equal: 3 cuts instead of 1, the shortest 67-5/8\" instead of 19\"",
        ]
    );
}

#[test]
fn a_gate_from_the_list_may_save_cuts() {
    // 532 in hold five panels, six posts beside and a gate of 48 in; with 47 in
    // asked for, an inch is left over.
    let mut request = run(532.0);
    request.gates = vec![GateRequest {
        opening: long(47.0),
        from: Some(at(200.0)),
        to: Some(at(400.0)),
        wish: Some(at(314.0)),
        latch: None,
    }];
    let choices = Choices {
        gate_openings: vec![long(47.0), long(48.0), long(60.0)],
        ..Choices::default()
    };
    let found = words(&request, &choices);
    assert!(
        found
            .iter()
            .any(|words| words.starts_with("gate 1 with an opening of 48\": no cut instead of")),
        "{found:?}"
    );
    assert!(
        found.iter().all(|words| !words.contains("60\"")),
        "{found:?}"
    );
}

#[test]
fn a_hole_dug_by_hand_may_save_cuts() {
    // Five panels but for a mark at the third post.
    let mut request = run(480.0);
    request.hand_dig = vec![Stretch {
        from: at(185.0),
        to: at(197.0),
    }];
    let found = words(&request, &Choices::default());
    let expected =
        "dig by hand where it saves cuts: 1 hole dug by hand instead of none, no cut instead of 2";
    assert!(
        found.iter().any(|words| words.starts_with(expected)),
        "{found:?}"
    );
}

#[test]
fn offcuts_count_as_panels_only_where_they_serve() {
    // 481 in: four panels and two cuts of 44-1/2 in, one panel together with a
    // kerf of 1/8 in.
    let request = run(481.0);
    let best = lay_out(&request).expect("sound");
    let choices = Choices {
        cutting: Cutting {
            kerf: long(0.125),
            reuse: true,
            ..Cutting::default()
        },
        ..Choices::default()
    };
    let others = runners_up(&request, &best, &choices).expect("sound");
    let shift = others
        .iter()
        .find(|other| matches!(other.change, Change::Shift(_)));
    let shift = shift.expect("an end that shifts an inch");
    // Five panels either way, so the words name cuts alone.
    assert_eq!(
        shift.words,
        "shift the start 1\" into the run: no cut instead of 2"
    );
}

/// What is said where the cuts go to the other end; nothing where that is not offered.
fn other_end(request: &LayoutRequest) -> Option<String> {
    let best = lay_out(request).expect("sound");
    let others = runners_up(request, &best, &Choices::default()).expect("sound");
    let mut others = others.into_iter();
    let other = others.find(|other| matches!(other.change, Change::HiddenEnd(_)));
    other.map(|other| other.words)
}

#[test]
fn cuts_may_go_to_the_other_end() {
    // 481 in: four panels of 92 in and two cuts of 44-1/2 in, side by side at an end.
    let hidden = LayoutRequest {
        hide: Some(WhichEnd::End),
        ..run(481.0)
    };
    assert_eq!(
        other_end(&hidden).as_deref(),
        Some(
            "cuts toward the start instead of the end: sections 1 and 2, counted from the start, instead of 5 and 6"
        )
    );
    // Nothing is asked to be hidden; nothing is cut; no other place may be cut.
    assert_eq!(other_end(&run(481.0)), None);
    let even = LayoutRequest {
        hide: Some(WhichEnd::End),
        ..run(480.0)
    };
    assert_eq!(other_end(&even), None);
    let shows = Stretch {
        from: at(0.0),
        to: at(380.0),
    };
    let shown = LayoutRequest {
        show: vec![shows],
        ..hidden
    };
    assert_eq!(other_end(&shown), None);
}

#[test]
fn one_cut_at_the_other_end_is_one_section() {
    // 441 in: four panels and posts of 96 in, and a cut of 441 - 4 x 96 - 4 = 53 in.
    let hidden = LayoutRequest {
        hide: Some(WhichEnd::Start),
        ..run(441.0)
    };
    assert_eq!(
        other_end(&hidden).as_deref(),
        Some(
            "cuts toward the end instead of the start: section 5, counted from the start, instead of 1"
        )
    );
}

#[test]
fn runners_up_are_few_and_worse_than_none_in_all() {
    let mut dice = Dice(14);
    for i in 0..25 {
        let request = dice.request();
        let best = lay_out(&request).expect("sound");
        let choices = Choices {
            gate_openings: vec![long(40.0), long(44.0)],
            ..Choices::default()
        };
        let others = runners_up(&request, &best, &choices).expect("sound");
        assert!(others.len() <= 5);
        for other in &others {
            let sound = verify_layout(&other.request, &other.arrangement);
            assert_eq!(
                sound,
                Ok(other.arrangement.objective),
                "{i}: {}",
                other.words
            );
        }
        let again = runners_up(&request, &best, &choices).expect("sound");
        assert_eq!(others, again, "{i}");
    }
}
