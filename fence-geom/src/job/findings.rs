//! What is to be heeded or mended before the fence is built.

use super::Job;
use super::report::{Fill, Finding, GateReport, JobReport, PostReport, RunReport};
use crate::angle::Angle;
use crate::arc_layout::least_arc_radius;
use crate::estimate::Verdict;
use crate::layout::{Blocking, LayoutStatus};
use crate::length::Length;
use crate::locate::OwnerAnswer;
use crate::obstacle::distance_to_path;
use crate::point::Point;
use crate::product::{Build, PostKind};
use crate::ring::{Place, Ring};

/// A leaf is looked at in this many places of its swing, shut and open included.
const SWING_STEPS: u32 = 12;

/// Leaf and wall may touch by this much, in feet: 1/8 in, what a tape shows.
const TOUCHING_FEET: f64 = 0.125 / 12.0;

/// A turn may pass its limit by what rounding leaves, in radians.
const HAIR: f64 = 1e-9;

/// Into how many chords an arc is parted: a half circle of 100 ft radius is then
/// off them by 0.03 ft at most.
const CHORDS_OF_ARC: u16 = 64;

/// Returns all findings, trouble first, each group in the order of the work.
pub(super) fn findings(job: &Job, report: &JobReport, buildings: &[Ring]) -> Vec<Finding> {
    let mut all: Vec<Finding> = record(report).into_iter().collect();
    all.extend(buried(job));
    all.extend(pins(job, report));
    all.extend(limits(job, report));
    all.extend(squares(report));
    all.extend(flags(report));
    for run in &report.runs {
        all.extend(layout(job, run));
        all.extend(gates_on_ends(job, run));
        all.extend(inside(job, run));
        all.extend(holes(job, report, run));
        all.extend(ground(job, run));
        all.extend(arc(job, run));
        all.extend(long_pull(job, run));
        all.extend(swings(job, report, run, buildings));
    }
    // A stable sort: the order of the work stays within each group.
    all.sort_by_key(|finding| !finding.is_trouble());
    all
}

fn record(report: &JobReport) -> Option<Finding> {
    let closure = report.closure?;
    (!closure.is_within_rounding()).then(|| Finding::DeedOpen {
        misclosure: closure.misclosure(),
        allowed: closure.allowed(),
    })
}

/// What the ticket and the marks entered don't agree on.
fn buried(job: &Job) -> Vec<Finding> {
    let Some(locate) = &job.locate else {
        return Vec::new();
    };
    let asked = locate.private_lines.as_deref().unwrap_or_default();
    let not_asked = asked
        .trim()
        .is_empty()
        .then_some(Finding::PrivateLinesNotAsked);
    let clear = job.marks.iter().filter_map(|mark| {
        let owner = mark.owner.as_deref()?;
        let clear = locate.answer_of(owner) == Some(OwnerAnswer::Clear);
        clear.then(|| Finding::ClearButMarked {
            owner: owner.to_owned(),
            mark: mark.name.clone(),
        })
    });
    clear.chain(not_asked).collect()
}

fn pins(job: &Job, report: &JobReport) -> Vec<Finding> {
    let mut found = Vec::new();
    let lot = &report.lot;
    // A side that no run lies on needs no pins.
    let fenced = |side: &String| {
        report
            .runs
            .iter()
            .any(|run| run.side.as_ref() == Some(side))
    };
    for side in (0..lot.ring().len()).filter(|&side| !lot.is_pinned(side)) {
        let name = lot.ring().side_name(side);
        if fenced(&name) {
            found.push(Finding::NotPinned {
                side: name,
                accepted_by: job.line_accepted_by.clone(),
            });
        }
    }
    if let Some(fit) = lot.fit() {
        found.extend(
            fit.pins
                .iter()
                .filter(|pin| pin.suspect)
                .map(|pin| Finding::PinDisagrees {
                    pin: pin.name.clone(),
                    by: pin.residual.length(),
                }),
        );
        found.extend(fit.disagreement.iter().map(|two| Finding::PinsDisagree {
            first: two.first.clone(),
            second: two.second.clone(),
            by: two.by,
        }));
    }
    let disturbed = job.pins.iter().filter(|pin| pin.disturbed == Some(true));
    found.extend(disturbed.map(|pin| Finding::PinDisturbed {
        pin: pin.corner.clone(),
    }));
    found
}

fn limits(job: &Job, report: &JobReport) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(limit) = job
        .limits
        .height
        .filter(|limit| job.product.height > *limit)
    {
        found.push(Finding::TooHigh {
            height: job.product.height,
            limit,
        });
    }
    if let Some(limit) = job.limits.inside {
        let near = report
            .runs
            .iter()
            .filter_map(|run| Some((run.side.clone()?, inside_distance(job, run)?)))
            .filter(|(_, inside)| *inside < limit);
        found.extend(near.map(|(side, inside)| Finding::TooNearLine {
            side,
            inside,
            limit,
        }));
    }
    found
}

fn squares(report: &JobReport) -> impl Iterator<Item = Finding> {
    report
        .squares
        .iter()
        .filter(|square| square.answer.verdict != Verdict::In)
        .map(|square| Finding::Square {
            corner: square.corner.clone(),
            verdict: square.answer.verdict,
        })
}

fn flags(report: &JobReport) -> impl Iterator<Item = Finding> {
    report.flags.iter().filter_map(|flag| {
        let reason = flag.ties.as_ref().err()?;
        (flag.settable && !flag.wall).then(|| Finding::NoTies {
            flag: flag.name.clone(),
            reason: reason.clone(),
        })
    })
}

fn layout(job: &Job, run: &RunReport) -> Option<Finding> {
    match &run.layout.status {
        LayoutStatus::Optimal(_) => None,
        LayoutStatus::None {
            blocking,
            relaxations,
        } => {
            let rules = blocking.iter().map(|rule| in_the_way(job, run, rule));
            let least = (relaxations.iter())
                .map(|least| format!("enough would be {}", least.words(run.layout.lattice)));
            Some(Finding::NoLayout {
                run: run.name.clone(),
                blocking: rules.chain(least).collect(),
            })
        }
    }
}

/// Gates that hang on, or latch at, a post that is not made for it.
fn gates_on_ends(job: &Job, run: &RunReport) -> Vec<Finding> {
    let posts = &job.product.posts;
    let first = (run.posts.first()).filter(|_| !run.starts_bracketed());
    let last = (run.posts.last()).filter(|_| !run.ends_bracketed());
    let ends = [(run.sections.first(), first), (run.sections.last(), last)];
    ends.into_iter()
        .filter_map(|(section, post)| {
            let (Fill::Gate(gate), post) = (&section?.fill, post?) else {
                return None;
            };
            (posts.of(post.takes) != posts.gate).then(|| Finding::GateOnEnd {
                gate: gate.name.clone(),
                post: post.takes,
            })
        })
        .collect()
}

/// What would have to give way, by the names of the job.
fn in_the_way(job: &Job, run: &RunReport, rule: &Blocking) -> String {
    let gates = || job.gates.iter().filter(|gate| gate.run == run.name);
    match rule {
        Blocking::NoDig(i) => run
            .no_dig
            .get(*i)
            .map(|(_, name)| format!("a hole would have to stand nearer to {name} than it may")),
        Blocking::GateWindow(i) => gates()
            .nth(*i)
            .map(|gate| format!("gate {:?} would have to leave its window", gate.name)),
        _ => None,
    }
    .unwrap_or_else(|| rule.words())
}

/// From the lot line to the outermost part of the fence.
fn inside_distance(job: &Job, run: &RunReport) -> Option<Length> {
    let string = run.string_to_line?;
    Some(string.minus(job.product.outstand).magnitude())
}

/// A line that is nearer to the lot line than its own doubt.
fn inside(job: &Job, run: &RunReport) -> Option<Finding> {
    let inside = inside_distance(job, run)?;
    let doubt = run.line_sigma.plus_minus_95()?;
    (inside.feet() < doubt).then(|| Finding::InsideDoubtful {
        run: run.name.clone(),
        inside,
        doubt: Length::saturating(doubt),
    })
}

fn holes(job: &Job, report: &JobReport, run: &RunReport) -> Vec<Finding> {
    let mut found: Vec<Finding> = run
        .posts
        .iter()
        .filter(|post| !post.by_hand.is_empty())
        .map(|post| Finding::HandDug {
            run: run.name.clone(),
            station: post.taped,
            near: post.by_hand.clone(),
        })
        .collect();
    let line = outline(report.lot.ring());
    let over: Vec<Length> = run
        .posts
        .iter()
        .filter(|post| post.hole)
        .filter_map(|post| {
            let radius = job.product.posts.of(post.kind).hole.feet() / 2.0;
            let beyond = radius - distance_to_path(post.at, &line)?.feet();
            (beyond > 0.0).then(|| Length::saturating(beyond))
        })
        .collect();
    let farthest = over.iter().map(|over| over.feet()).fold(0.0, f64::max);
    if !over.is_empty() {
        found.push(Finding::ConcreteOver {
            run: run.name.clone(),
            posts: over.len(),
            over: Length::saturating(farthest),
            accepted: job.limits.concrete_over_line_accepted,
        });
    }
    found
}

/// What sloping ground leaves under the sections, and asks of the posts.
fn ground(job: &Job, run: &RunReport) -> Vec<Finding> {
    let Some(ground) = &run.ground else {
        return Vec::new();
    };
    let over = (ground.sections.iter()).filter(|section| section.over > Length::ZERO);
    let mut found: Vec<Finding> = over
        .map(|section| Finding::GapUnder {
            run: run.name.clone(),
            station: section.largest_at,
            gap: section.largest_gap,
            limit: job.product.slope.most_gap,
        })
        .collect();
    let lengths = &job.product.slope.post_lengths;
    let most = |a: Length, b: Length| if b > a { b } else { a };
    if let Some(longest) = lengths.iter().copied().reduce(most) {
        let short = (ground.posts.iter()).filter(|post| post.stock.is_none());
        let needs: Vec<Length> = short.map(|post| post.needs).collect();
        found.extend(
            needs
                .iter()
                .copied()
                .reduce(most)
                .map(|most| Finding::PostTooLong {
                    run: run.name.clone(),
                    posts: needs.len(),
                    needs: most,
                    longest,
                }),
        );
    }
    found
}

/// An arc that the panels can't turn along.
fn arc(job: &Job, run: &RunReport) -> Option<Finding> {
    let (arc, limit) = (run.arc.as_ref()?, job.product.most_turn?);
    let between = arc.posts.len().saturating_sub(2);
    let turns = arc.posts.iter().skip(1).take(between);
    let most = turns.map(|post| post.turn.radians()).fold(0.0, f64::max);
    let pitch = job.product.full + job.product.posts.line.width;
    (most > limit.radians() + HAIR).then(|| Finding::TurnsTooMuch {
        run: run.name.clone(),
        turn: Angle::of_radians(most),
        limit,
        least_radius: least_arc_radius(pitch, limit),
    })
}

/// Fabric that is not pulled tight often enough: between terminal posts, which are all
/// but line and step posts.
fn long_pull(job: &Job, run: &RunReport) -> Option<Finding> {
    let limit = job.product.pull_every?;
    if job.product.build != Build::Fabric {
        return None;
    }
    let terminal = |post: &&PostReport| !matches!(post.kind, PostKind::Line | PostKind::Step);
    let terminals: Vec<_> = run.posts.iter().filter(terminal).collect();
    let pairs = terminals.iter().zip(terminals.iter().skip(1));
    let stretches = pairs.map(|(from, to)| (to.station - from.station).feet());
    let longest = Length::saturating(stretches.fold(0.0, f64::max));
    (longest > limit).then(|| Finding::LongPull {
        run: run.name.clone(),
        length: longest,
        limit,
    })
}

/// A ring as a path that comes back to its first corner, its arcs in chords.
fn outline(ring: &Ring) -> Vec<Point> {
    let sides = ring.sides().iter().enumerate();
    let path = sides.flat_map(|(k, side)| {
        let (from, to) = ring.ends(k);
        let along = side.places_between(from.at, to.at, CHORDS_OF_ARC);
        std::iter::once(from.at).chain(along)
    });
    path.chain(std::iter::once(ring.ends(0).0.at)).collect()
}

fn swings(job: &Job, report: &JobReport, run: &RunReport, buildings: &[Ring]) -> Vec<Finding> {
    let gates = run
        .sections
        .iter()
        .filter_map(|section| match &section.fill {
            Fill::Gate(gate) => Some(gate),
            _ => None,
        });
    gates
        .flat_map(|gate| {
            let meets = |what: String| Finding::Swing {
                gate: gate.name.clone(),
                meets: what,
            };
            let touching = Length::saturating(TOUCHING_FEET);
            let places = swept(gate);
            let beyond = places
                .iter()
                .any(|&place| report.lot.ring().locate(place, touching) == Place::Outside)
                .then(|| meets("the lot line".to_owned()));
            let built = job
                .buildings
                .iter()
                .zip(buildings)
                .filter(|(_, ring)| {
                    places
                        .iter()
                        .any(|&place| ring.locate(place, touching) == Place::Inside)
                })
                .map(|(outline, _)| meets(outline.name.clone()));
            let standing = job.marks.iter().filter(|mark| mark.zone.is_none());
            let stands = standing
                .filter(|mark| {
                    let path: Vec<Point> = mark
                        .path
                        .iter()
                        .filter_map(|spot| report.place(spot))
                        .collect();
                    places.iter().any(|&place| {
                        distance_to_path(place, &path)
                            .is_some_and(|distance| distance < mark.half_width())
                    })
                })
                .map(|mark| meets(mark.name.clone()));
            beyond
                .into_iter()
                .chain(built)
                .chain(stands)
                .collect::<Vec<_>>()
        })
        .collect()
}

/// Places that the leaves of a gate pass: along each leaf, from shut to square
/// open.
fn swept(gate: &GateReport) -> Vec<Point> {
    let mut places = Vec::new();
    for ((&hinge, &shut), &open) in gate.hinges.iter().zip(&gate.shut).zip(&gate.open) {
        for turn in 1..=SWING_STEPS {
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(turn) / f64::from(SWING_STEPS);
            let leaf = (shut - hinge) * angle.cos() + (open - hinge) * angle.sin();
            places.extend([0.25, 0.5, 0.75, 1.0].map(|share| hinge + leaf * share));
        }
    }
    places
}
