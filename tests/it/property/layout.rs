//! The layout solver against plain enumeration of every arrangement, on small
//! random runs that use every field.
//!
//! The enumerator below shares nothing with the solver: it snaps in whole
//! quarters of a step, lists all arrangements, checks each against the rules as
//! stated, sums the wishes from the list, and takes the least.

use fence_geom::{
    Arrangement, Build, GateRequest, Lattice, LayoutEnd, LayoutError, LayoutRequest, LayoutStatus,
    Length, PostKind, SectionKind, Shift, Stretch, WhichEnd, Wish, lay_out,
};

/// A run in quarters of an inch; the lattice is 1 in, so most places are off it.
#[derive(Clone, Debug)]
struct Run {
    length: i64,
    line_post: i64,
    gate_post: i64,
    latch_post: Option<i64>,
    full: i64,
    min_cut: i64,
    gates: Vec<Gate>,
    start: End,
    end: End,
    no_dig: Vec<(i64, i64)>,
    hand_dig: Vec<(i64, i64)>,
    show: Vec<(i64, i64)>,
    guard: bool,
    hide: Option<WhichEnd>,
    bays: bool,
    on_face: bool,
    cut_step: Option<i64>,
    order: Vec<Wish>,
}

#[derive(Clone, Debug)]
struct Gate {
    opening: i64,
    window: Option<(i64, i64)>,
    wish: Option<i64>,
    latch: Option<WhichEnd>,
}

#[derive(Clone, Debug)]
struct End {
    min: i64,
    max: i64,
    wish: i64,
    post: i64,
    hole: bool,
}

// ---- the solver's side ----

fn quarters(count: i64) -> Shift {
    Shift::from_inches(count as f64 / 4.0).expect("a small shift")
}

fn long(count: i64) -> Length {
    Length::from_inches(count as f64 / 4.0).expect("a small length")
}

fn stretches(spans: &[(i64, i64)]) -> Vec<Stretch> {
    let stretch = |&(from, to): &(i64, i64)| Stretch {
        from: quarters(from),
        to: quarters(to),
    };
    spans.iter().map(stretch).collect()
}

fn request(run: &Run) -> LayoutRequest {
    let end = |end: &End| LayoutEnd {
        face_min: quarters(end.min),
        face_max: quarters(end.max),
        face_wish: quarters(end.wish),
        post: long(end.post),
        hole: end.hole,
    };
    LayoutRequest {
        length: long(run.length),
        build: if run.bays {
            Build::Stick
        } else if run.on_face {
            Build::PanelsOnFace
        } else {
            Build::Panels
        },
        line_post: long(run.line_post),
        gate_post: long(run.gate_post),
        latch_post: run.latch_post.map(long),
        full: long(run.full),
        min_cut: long(run.min_cut),
        cut_step: run.cut_step.map(long),
        gates: (run.gates.iter())
            .map(|gate| GateRequest {
                opening: long(gate.opening),
                from: gate.window.map(|(from, _)| quarters(from)),
                to: gate.window.map(|(_, to)| quarters(to)),
                wish: gate.wish.map(quarters),
                latch: gate.latch,
            })
            .collect(),
        start: end(&run.start),
        end: end(&run.end),
        no_dig: stretches(&run.no_dig),
        hand_dig: stretches(&run.hand_dig),
        show: stretches(&run.show),
        guard: run.guard,
        hide: run.hide,
        lattice: Lattice::from_step(long(4)).expect("an inch"),
        order: run.order.clone(),
    }
}

// ---- the enumerator's side ----

/// Everything in whole steps.
#[derive(Clone, Debug)]
struct Whole {
    length: i64,
    line_post: i64,
    gate_post: i64,
    latch_post: Option<i64>,
    full: i64,
    min_cut: i64,
    /// Opening, window, wish.
    gates: Vec<(i64, (i64, i64), i64)>,
    latches: Vec<Option<WhichEnd>>,
    start: End,
    end: End,
    no_dig: Vec<(i64, i64)>,
    hand_dig: Vec<(i64, i64)>,
    show: Vec<Option<(i64, i64)>>,
    guard: bool,
    hide: Option<WhichEnd>,
    bays: bool,
    on_face: bool,
    cut_step: Option<i64>,
    order: Vec<Wish>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Full,
    Gate(usize),
    Cut,
}

fn nearest(q: i64) -> i64 {
    q.signum() * ((q.abs() + 2) / 4)
}

fn down(q: i64) -> i64 {
    q.div_euclid(4)
}

fn up(q: i64) -> i64 {
    -((-q).div_euclid(4))
}

/// Empty, that is the wrong way around, where snapping leaves no step.
fn inward((from, to): (i64, i64)) -> (i64, i64) {
    if from == to {
        return (nearest(from), nearest(from));
    }
    (up(from), down(to))
}

fn whole_end(end: &End) -> End {
    let (min, max) = inward((end.min, end.max));
    End {
        min,
        max,
        wish: nearest(end.wish),
        post: end.post / 4,
        hole: end.hole,
    }
}

fn whole(run: &Run) -> Whole {
    let outward = |spans: &[(i64, i64)]| -> Vec<(i64, i64)> {
        spans.iter().map(|&(a, b)| (down(a), up(b))).collect()
    };
    let mut gates = Vec::new();
    for gate in &run.gates {
        let wish = match (gate.wish, gate.window) {
            (Some(wish), _) => nearest(wish),
            // The middle of the window in eighths, half away from zero.
            (None, Some((a, b))) => (a + b).signum() * (((a + b).abs() + 4) / 8),
            (None, None) => panic!("a gate has a wish or a window"),
        };
        let window = match gate.window {
            Some(window) => inward(window),
            None => (wish - 6, wish + 6),
        };
        gates.push((gate.opening / 4, window, wish));
    }
    Whole {
        length: nearest(run.length),
        line_post: run.line_post / 4,
        gate_post: run.gate_post / 4,
        latch_post: run.latch_post.map(|width| width / 4),
        latches: run.gates.iter().map(|gate| gate.latch).collect(),
        full: run.full / 4,
        min_cut: up(run.min_cut),
        gates,
        start: whole_end(&run.start),
        end: whole_end(&run.end),
        no_dig: outward(&run.no_dig),
        hand_dig: outward(&run.hand_dig),
        show: (run.show.iter())
            .map(|&(a, b)| (a < b).then(|| (down(a), up(b))))
            .collect(),
        guard: run.guard,
        hide: run.hide,
        bays: run.bays,
        on_face: run.on_face && !run.bays,
        cut_step: run.cut_step.map(|step| step / 4).filter(|_| !run.bays),
        order: run.order.clone(),
    }
}

/// One arrangement: sections as near face, far face, kind.
type Sections = Vec<(i64, i64, Kind)>;

/// The vector of wishes in the order served, then what decides between equals.
type Key = (Vec<i64>, (i64, i64), Vec<(usize, i64)>);

struct Best {
    key: Key,
    start: i64,
    sections: Sections,
}

fn enumerate(w: &Whole) -> Option<Best> {
    let mut best = None;
    for face in w.start.min..=w.start.max {
        extend(w, face, &mut Vec::new(), &mut |sections| {
            weigh(w, face, sections, &mut best);
            false
        });
    }
    best
}

fn has_any(w: &Whole) -> bool {
    (w.start.min..=w.start.max).any(|face| {
        extend(w, face, &mut Vec::new(), &mut |sections| {
            key(w, face, sections).is_some()
        })
    })
}

fn is_gate(kind: Kind) -> bool {
    matches!(kind, Kind::Gate(_))
}

/// How wide the post between two sections is: a post with a hinge on it is a gate
/// post, one with nothing but latches a latch post.
fn post(w: &Whole, before: Kind, after: Kind) -> i64 {
    let latched = |kind: Kind, side: WhichEnd| match kind {
        Kind::Gate(i) => Some(w.latches[i] == Some(side)),
        _ => None,
    };
    match [
        latched(before, WhichEnd::End),
        latched(after, WhichEnd::Start),
    ] {
        [None, None] => w.line_post,
        sides if sides.contains(&Some(false)) => w.gate_post,
        _ => w.latch_post.unwrap_or(w.gate_post),
    }
}

/// Tries every section that may come next, and shows what then stands, until
/// that is enough.
fn extend(
    w: &Whole,
    face: i64,
    sections: &mut Sections,
    enough: &mut impl FnMut(&Sections) -> bool,
) -> bool {
    let mut choices = Vec::new();
    if !w.bays {
        choices.push((w.full, Kind::Full));
    }
    let widest = if w.bays { w.full } else { w.full - 1 };
    let cuts = (w.min_cut..=widest).filter(|c| (w.full - c) % w.cut_step.unwrap_or(1) == 0);
    choices.extend(cuts.map(|c| (c, Kind::Cut)));
    for (i, &(opening, ..)) in w.gates.iter().enumerate() {
        if sections.iter().all(|&(.., kind)| kind != Kind::Gate(i)) {
            choices.push((opening, Kind::Gate(i)));
        }
    }
    for (width, kind) in choices {
        let near = match sections.last() {
            None if w.on_face && !is_gate(kind) => face - w.start.post,
            None => face,
            Some(&(_, far, before)) if w.on_face && !(is_gate(before) && is_gate(kind)) => far,
            Some(&(_, far, before)) => far + post(w, before, kind),
        };
        let lap = if w.on_face { w.end.post } else { 0 };
        if near + width > w.length - w.end.min + lap {
            continue;
        }
        sections.push((near, near + width, kind));
        if enough(sections) || extend(w, face, sections, enough) {
            return true;
        }
        sections.pop();
    }
    false
}

/// Keeps an arrangement that follows the rules and is better than the best.
fn weigh(w: &Whole, face: i64, sections: &Sections, best: &mut Option<Best>) {
    let Some(key) = key(w, face, sections) else {
        return;
    };
    if best.as_ref().is_none_or(|best| key < best.key) {
        *best = Some(Best {
            key,
            start: face,
            sections: sections.clone(),
        });
    }
}

/// Doubled hole centers of the posts that this run digs.
fn holes(w: &Whole, face: i64, sections: &Sections) -> Vec<i64> {
    let mut holes = Vec::new();
    if w.start.hole {
        holes.push(2 * face - w.start.post);
    }
    for pair in sections.windows(2) {
        holes.push(match (w.on_face, is_gate(pair[0].2), is_gate(pair[1].2)) {
            (true, true, false) => 2 * pair[0].1 + post(w, pair[0].2, pair[1].2),
            (true, false, true) => 2 * pair[1].0 - post(w, pair[0].2, pair[1].2),
            _ => pair[0].1 + pair[1].0,
        });
    }
    if w.end.hole {
        holes.push(2 * inner_end(w, sections) + w.end.post);
    }
    holes
}

/// Where the inner face of the end post is, from the start reference.
fn inner_end(w: &Whole, sections: &Sections) -> i64 {
    let &(_, far, kind) = sections.last().expect("a section");
    if w.on_face && !is_gate(kind) {
        far - w.end.post
    } else {
        far
    }
}

/// What an arrangement is compared by; nothing where it breaks a rule.
fn key(w: &Whole, face: i64, sections: &Sections) -> Option<Key> {
    sections.last()?;
    let end_face = w.length - inner_end(w, sections);
    if end_face < w.end.min || end_face > w.end.max {
        return None;
    }
    let holes = holes(w, face, sections);
    let within = |spans: &[(i64, i64)], hole: i64| {
        spans.iter().any(|&(a, b)| 2 * a <= hole && hole <= 2 * b)
    };
    if holes.iter().any(|&hole| within(&w.no_dig, hole)) {
        return None;
    }
    let mut gate_miss = 0;
    for (i, &(_, (from, to), wish)) in w.gates.iter().enumerate() {
        let &(near, far, _) = sections.iter().find(|s| s.2 == Kind::Gate(i))?;
        if near + far < 2 * from || near + far > 2 * to {
            return None;
        }
        gate_miss += (near + far - 2 * wish).abs();
    }
    let cuts: Vec<_> = sections.iter().filter(|s| s.2 == Kind::Cut).collect();
    if !w.bays {
        for &&(near, far, _) in &cuts {
            if (w.show.iter().flatten()).any(|&(a, b)| near.max(a) < far.min(b)) {
                return None;
            }
        }
        let touches = |p: &[(i64, i64, Kind)]| {
            (is_gate(p[0].2) && p[1].2 == Kind::Cut) || (p[0].2 == Kind::Cut && is_gate(p[1].2))
        };
        if w.guard && sections.windows(2).any(touches) {
            return None;
        }
    }
    let changes = (sections.windows(2))
        .filter(|p| p[0].2 != p[1].2 && !is_gate(p[0].2) && !is_gate(p[1].2))
        .count();
    let reach: i64 = (cuts.iter())
        .map(|&&(near, far, _)| match w.hide {
            None => 0,
            Some(WhichEnd::Start) => near.abs().min(far.abs()),
            Some(WhichEnd::End) => (w.length - near).abs().min((w.length - far).abs()),
        })
        .sum();
    let value = |wish: Wish| match wish {
        Wish::HandDug => holes.iter().filter(|&&h| within(&w.hand_dig, h)).count() as i64,
        Wish::Cuts if w.bays => 0,
        Wish::Cuts => cuts.len() as i64,
        Wish::Sections => sections.len() as i64,
        Wish::Changes => changes as i64,
        Wish::EndSteps => (face - w.start.wish).abs() + (end_face - w.end.wish).abs(),
        Wish::CutSquares => cuts
            .iter()
            .map(|&&(a, b, _)| (w.full - (b - a)).pow(2))
            .sum(),
        Wish::GateMiss => gate_miss,
        Wish::CutReach if w.bays => 0,
        Wish::CutReach => reach,
    };
    let mut order = w.order.clone();
    order.extend(Wish::ALL.iter().filter(|wish| !w.order.contains(wish)));
    let rank = |&(near, far, kind): &(i64, i64, Kind)| match kind {
        Kind::Full => (0, 0),
        Kind::Gate(i) => (1 + i, 0),
        Kind::Cut => (9, near - far),
    };
    Some((
        order.into_iter().map(value).collect(),
        ((face - w.start.wish).abs(), face),
        sections.iter().map(rank).collect(),
    ))
}

/// The rules that, dropped alone, would give an arrangement.
fn blocking(w: &Whole) -> Vec<String> {
    let mut found = Vec::new();
    let mut attempt = |name: String, relax: &dyn Fn(&mut Whole)| {
        let mut relaxed = w.clone();
        relax(&mut relaxed);
        if has_any(&relaxed) {
            found.push(name);
        }
    };
    for i in 0..w.no_dig.len() {
        attempt(format!("no_dig[{i}]"), &|w| {
            w.no_dig.remove(i);
        });
    }
    for i in 0..w.show.len() {
        attempt(format!("show[{i}]"), &|w| w.show[i] = None);
    }
    attempt("guard".to_owned(), &|w| w.guard = false);
    for i in 0..w.gates.len() {
        attempt(format!("gates[{i}].window"), &|w| {
            w.gates[i].1 = (-1000, 1000);
        });
    }
    attempt("start.face".to_owned(), &|w| {
        (w.start.min, w.start.max) = (w.start.min.min(0), w.length);
    });
    attempt("end.face".to_owned(), &|w| {
        (w.end.min, w.end.max) = (w.end.min.min(0), w.length);
    });
    attempt("min_cut".to_owned(), &|w| {
        w.min_cut = if w.on_face { widest_under(w) } else { 1 };
    });
    found
}

/// What a cut on the face of posts may have to cover of the two beside it, rounded up.
fn widest_under(w: &Whole) -> i64 {
    let half_line = w.line_post;
    let gate = 2 * w.latch_post.unwrap_or(w.gate_post).max(w.gate_post);
    let gates = if w.guard { 0 } else { w.gates.len() };
    // Doubled: two line posts, two ends, and as many gate posts as two gates have
    // between them.
    let mut parts = vec![half_line, half_line, 2 * w.start.post, 2 * w.end.post];
    parts.extend([gate, gate].iter().take(gates));
    parts.sort_by_key(|part| -part);
    (parts[0] + parts[1] + 1) / 2
}

// ---- comparison ----

/// What the random runs held, so that the test is known to test something.
#[derive(Default, Debug)]
struct Seen {
    optimal: usize,
    none: usize,
    none_with_a_reason: usize,
    no_step_inside: usize,
    fixed_gates_overlap: usize,
    cuts: usize,
    two_cuts: usize,
    gates: [usize; 4],
    hand_dug: usize,
    changes: usize,
    end_steps: usize,
    gate_miss: usize,
    cut_reach: usize,
    guard: usize,
    show: usize,
    no_dig: usize,
    bays: usize,
    own_order: usize,
    on_face: usize,
    cut_step: usize,
    negative_face: usize,
    wall_end: usize,
    latch: usize,
}

fn compare(run: &Run, seen: &mut Seen) {
    let answer = lay_out(&request(run));
    let w = whole(run);
    if let Err(LayoutError::GatesOverlap { first, second, .. }) = &answer {
        let fixed = |i: &usize| w.gates[*i].1.0 == w.gates[*i].1.1;
        assert!(fixed(first) && fixed(second), "{run:?}");
        assert!(!has_any(&w), "{run:?}");
        seen.fixed_gates_overlap += 1;
        return;
    }
    let ranges = [(w.start.min, w.start.max), (w.end.min, w.end.max)];
    let windows = w.gates.iter().map(|gate| gate.1);
    let empty = ranges.into_iter().chain(windows).any(|(a, b)| a > b);
    seen.no_step_inside += usize::from(empty);
    assert_eq!(empty, !request(run).ranges_without_a_step().is_empty());
    let layout = answer.unwrap_or_else(|error| panic!("{run:?}: {error}"));
    match (layout.status, enumerate(&w)) {
        (LayoutStatus::Optimal(found), Some(best)) => {
            let values: Vec<i64> = layout
                .order
                .iter()
                .map(|&o| found.objective.of(o))
                .collect();
            assert_eq!(values, best.key.0, "{run:?}\n{w:?}\n{found:?}");
            assert_eq!(arranged(&w, &found), (best.start, best.sections), "{run:?}");
            note(run, &w, &found, seen);
        }
        (
            LayoutStatus::None {
                blocking: found, ..
            },
            None,
        ) => {
            seen.none += 1;
            if run.full > 10 * 4 {
                // Cuts of a single step would take too long to enumerate.
                return;
            }
            let names: Vec<_> = found.iter().map(fence_geom::Blocking::name).collect();
            let mut expected = blocking(&w);
            if !run.guard || run.bays {
                expected.retain(|name| name != "guard");
            }
            if run.bays {
                expected.retain(|name| !name.starts_with("show"));
            }
            assert_eq!(names, expected, "{run:?}");
            seen.none_with_a_reason += usize::from(!names.is_empty());
        }
        (found, best) => panic!("{run:?}: {found:?}, enumerated {:?}", best.map(|b| b.key)),
    }
}

fn arranged(w: &Whole, found: &Arrangement) -> (i64, Sections) {
    let kind = |kind| match kind {
        SectionKind::Full => Kind::Full,
        SectionKind::Gate(i) => Kind::Gate(i),
        SectionKind::Cut | SectionKind::Bay => Kind::Cut,
    };
    let sections: Sections = (found.sections.iter())
        .map(|s| (s.from, s.from + s.clear, kind(s.kind)))
        .collect();
    let lap = if w.on_face && !is_gate(sections[0].2) {
        w.start.post
    } else {
        0
    };
    (sections[0].0 + lap, sections)
}

fn note(run: &Run, w: &Whole, found: &Arrangement, seen: &mut Seen) {
    let o = &found.objective;
    seen.optimal += 1;
    seen.cuts += usize::from(o.cuts > 0);
    seen.two_cuts += usize::from(o.cuts > 1);
    seen.gates[run.gates.len()] += 1;
    seen.hand_dug += usize::from(o.hand_dug > 0);
    seen.changes += usize::from(o.changes > 0);
    seen.end_steps += usize::from(o.end_steps > 0);
    seen.gate_miss += usize::from(o.gate_miss > 0);
    seen.cut_reach += usize::from(o.cut_reach > 0);
    seen.guard += usize::from(run.guard);
    seen.show += usize::from(!run.show.is_empty());
    seen.no_dig += usize::from(!run.no_dig.is_empty());
    seen.bays += usize::from(run.bays);
    seen.own_order += usize::from(!run.order.is_empty());
    seen.on_face += usize::from(w.on_face);
    seen.cut_step += usize::from(w.cut_step.is_some());
    seen.negative_face += usize::from(w.start.min < 0 || w.end.min < 0);
    seen.wall_end += usize::from(!run.start.hole || !run.end.hole);
    let latches = found.posts.iter().filter(|p| p.kind == PostKind::Latch);
    seen.latch += usize::from(latches.count() > 0 && w.latch_post != Some(w.gate_post));
}

// ---- random runs ----

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

    fn within(&mut self, from: i64, to: i64) -> i64 {
        let count = u64::try_from(to - from + 1).expect("a range");
        from + i64::try_from(self.roll() % count).expect("small")
    }

    fn one_in(&mut self, n: u64) -> bool {
        self.roll().is_multiple_of(n)
    }

    fn spans(&mut self, most: i64, length: i64, wide: i64) -> Vec<(i64, i64)> {
        let count = self.within(0, most);
        let mut spans = Vec::new();
        for _ in 0..count {
            let from = self.within(-8, length);
            spans.push((from, from + self.within(0, wide)));
        }
        spans
    }

    fn end(&mut self) -> End {
        let min = self.within(-8, 6);
        let max = if self.one_in(3) {
            min
        } else {
            min + self.within(0, 14)
        };
        End {
            min,
            max,
            wish: self.within(min - 4, max + 4),
            post: 4 * self.within(0, 3),
            hole: !self.one_in(4),
        }
    }

    fn gate(&mut self, length: i64) -> Gate {
        let middle = self.within(0, length);
        let wish = (!self.one_in(3)).then(|| middle + self.within(-6, 6));
        let window = if wish.is_some() && self.one_in(4) {
            None
        } else {
            let from = middle - self.within(0, 20);
            let to = if self.one_in(6) {
                from
            } else {
                middle + self.within(0, 20)
            };
            // A window past the last step of the run is refused, and not drawn.
            Some((from.min(length - length % 4), to.max(0)))
        };
        Gate {
            opening: 4 * self.within(2, 6),
            window: window.map(|(a, b)| (a.min(b), b)),
            wish,
            latch: [None, Some(WhichEnd::Start), Some(WhichEnd::End)]
                [usize::try_from(self.within(0, 2)).expect("an index")],
        }
    }

    fn order(&mut self) -> Vec<Wish> {
        let mut order = Wish::ALL.to_vec();
        for i in 0..order.len() {
            let j = usize::try_from(self.within(0, i as i64)).expect("an index");
            order.swap(i, j);
        }
        order.truncate(usize::try_from(self.within(1, 8)).expect("a count"));
        order
    }

    /// Short panels and short posts: many sections, every rule in play.
    fn many_sections(&mut self) -> Run {
        let gates = [0, 1, 1, 2, 3, 3][usize::try_from(self.within(0, 5)).expect("an index")];
        let full = self.within(5, 9);
        let length = 4 * self.within(12, 23) + self.within(-2, 2);
        self.run(length, full, 2..=4, gates)
    }

    /// Panels that lap over posts, and so have to be longer than two of them.
    fn on_the_face(&mut self) -> Run {
        let gates = [0, 1, 1, 2][usize::try_from(self.within(0, 3)).expect("an index")];
        let full = self.within(6, 9);
        let length = 4 * self.within(12, 24) + self.within(-2, 2);
        let mut run = self.run(length, full, 5..=6, gates);
        for post in [
            &mut run.line_post,
            &mut run.gate_post,
            &mut run.start.post,
            &mut run.end.post,
        ] {
            *post = (*post).min(8);
        }
        run.latch_post = run.latch_post.map(|post| post.min(8));
        (run.min_cut, run.on_face, run.bays) = (run.min_cut.max(20), true, false);
        run
    }

    /// Wide panels on more steps: few sections, many widths.
    fn many_widths(&mut self) -> Run {
        let gates = self.within(0, 1);
        let full = self.within(16, 22);
        let length = 4 * self.within(30, 74) + self.within(-2, 2);
        self.run(length, full, 11..=14, gates)
    }

    fn run(
        &mut self,
        length: i64,
        full: i64,
        cuts: std::ops::RangeInclusive<i64>,
        gates: i64,
    ) -> Run {
        let min_cut = 4 * self.within(*cuts.start(), *cuts.end()) - self.within(0, 3);
        let wide = if self.one_in(2) { 12 } else { 40 };
        Run {
            length,
            line_post: 4 * self.within(1, 2),
            gate_post: 4 * self.within(1, 3),
            latch_post: (!self.one_in(3)).then(|| 4 * self.within(1, 3)),
            full: 4 * full,
            min_cut: min_cut.min(4 * full),
            gates: (0..gates).map(|_| self.gate(length)).collect(),
            start: self.end(),
            end: self.end(),
            no_dig: self.spans(2, length, wide / 2),
            hand_dig: self.spans(2, length, wide),
            show: if self.one_in(2) {
                self.spans(2, length, wide)
            } else {
                Vec::new()
            },
            guard: self.one_in(3),
            hide: [None, Some(WhichEnd::Start), Some(WhichEnd::End)]
                [usize::try_from(self.within(0, 2)).expect("an index")],
            bays: self.one_in(5),
            on_face: false,
            cut_step: self.one_in(4).then(|| 4 * self.within(2, 3)),
            order: if self.one_in(2) {
                self.order()
            } else {
                Vec::new()
            },
        }
    }
}

#[test]
fn equals_enumeration_on_runs_of_many_sections() {
    let (mut dice, mut seen) = (Dice(1), Seen::default());
    for _ in 0..1200 {
        compare(&dice.many_sections(), &mut seen);
    }
    let Seen { optimal, none, .. } = seen;
    assert!(optimal >= 300 && none >= 100, "{seen:?}");
    assert!(seen.none_with_a_reason >= 50, "{seen:?}");
    assert!(seen.no_step_inside >= 3, "{seen:?}");
    assert!(seen.fixed_gates_overlap >= 3, "{seen:?}");
    assert!(seen.gates.iter().all(|&count| count >= 15), "{seen:?}");
    let each = [
        seen.cuts,
        seen.two_cuts,
        seen.hand_dug,
        seen.changes,
        seen.end_steps,
        seen.gate_miss,
        seen.cut_reach,
        seen.guard,
        seen.show,
        seen.no_dig,
        seen.bays,
        seen.own_order,
        seen.cut_step,
        seen.negative_face,
        seen.wall_end,
        seen.latch,
    ];
    assert!(each.iter().all(|&count| count >= 40), "{seen:?}");
}

#[test]
fn equals_enumeration_on_runs_of_many_widths() {
    let (mut dice, mut seen) = (Dice(2), Seen::default());
    for _ in 0..400 {
        compare(&dice.many_widths(), &mut seen);
    }
    assert!(seen.optimal >= 180 && seen.two_cuts >= 60, "{seen:?}");
}

#[test]
fn equals_enumeration_on_panels_on_the_face_of_posts() {
    let (mut dice, mut seen) = (Dice(4), Seen::default());
    for _ in 0..600 {
        compare(&dice.on_the_face(), &mut seen);
    }
    assert!(seen.on_face >= 150 && seen.none >= 50, "{seen:?}");
    let each = [seen.cuts, seen.gate_miss, seen.hand_dug, seen.no_dig];
    assert!(each.iter().all(|&count| count >= 25), "{seen:?}");
}

#[test]
fn answers_twice_the_same() {
    let mut dice = Dice(3);
    for _ in 0..50 {
        let request = request(&dice.many_sections());
        assert_eq!(lay_out(&request), lay_out(&request));
    }
}
