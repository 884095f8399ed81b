//! Runs small enough to be worked out by hand; the arithmetic stands beside each.

use fence_geom::{
    Arrangement, Blocking, Build, GateRequest, Lattice, LayoutEnd, LayoutError, LayoutRequest,
    LayoutStatus, Length, PostKind, SectionKind, Shift, Stretch, WhichEnd, Wish, lay_out,
};

fn long(inches: f64) -> Length {
    Length::from_inches(inches).expect("a length")
}

fn at(inches: f64) -> Shift {
    Shift::from_inches(inches).expect("a shift")
}

/// Panels of 92 in, cuts from 12 in, posts of 4 in; both end faces 2 in from the
/// flags, so that end posts are centered on them.
fn run(length: f64) -> LayoutRequest {
    let end = LayoutEnd::fixed(at(2.0), long(4.0), true);
    LayoutRequest::plain(long(length), long(92.0), long(12.0), long(4.0), end, end)
}

fn gate(opening: f64, from: f64, to: f64, wish: f64) -> GateRequest {
    GateRequest {
        opening: long(opening),
        from: Some(at(from)),
        to: Some(at(to)),
        wish: Some(at(wish)),
        latch: None,
    }
}

fn stretch(from: f64, to: f64) -> Stretch {
    Stretch {
        from: at(from),
        to: at(to),
    }
}

#[track_caller]
fn best(request: &LayoutRequest) -> Arrangement {
    match lay_out(request).expect("a sound request").status {
        LayoutStatus::Optimal(best) => best,
        LayoutStatus::None { blocking, .. } => panic!("no layout: {blocking:?}"),
    }
}

/// The kinds as letters with the clear widths in sixteenths of an inch.
fn spelled(best: &Arrangement) -> Vec<(char, i64)> {
    let letter = |kind| match kind {
        SectionKind::Full => 'F',
        SectionKind::Cut => 'C',
        SectionKind::Gate(0) => 'G',
        SectionKind::Gate(_) => 'H',
        SectionKind::Bay => 'B',
    };
    (best.sections.iter())
        .map(|section| (letter(section.kind), section.clear))
        .collect()
}

fn centers_in(best: &Arrangement) -> Vec<f64> {
    (best.posts.iter())
        .map(|post| Lattice::SIXTEENTH_INCH.inches_of_halves(post.center_half_steps))
        .collect()
}

/// The kinds and widths, in inches, of the posts between sections.
fn inner_posts(best: &Arrangement) -> Vec<(PostKind, f64)> {
    let inner = best.posts.len() - 1;
    (best.posts[1..inner].iter())
        .map(|post| (post.kind, Lattice::SIXTEENTH_INCH.inches(post.width)))
        .collect()
}

const INCH: i64 = 16;
const FULL: (char, i64) = ('F', 92 * INCH);

#[test]
fn a_latch_post_has_its_own_width() {
    // Hinges on 6 in, the latch on 4 in: 2 + 92 + 6 + 48 + 4 + 92 + 2 = 246 in.
    let mut request = run(246.0);
    request.gate_post = long(6.0);
    request.latch_post = Some(long(4.0));
    request.gates = vec![gate(48.0, 100.0, 148.0, 124.0)];
    request.gates[0].latch = Some(WhichEnd::End);
    let to_end = best(&request);
    assert_eq!(spelled(&to_end), [FULL, ('G', 48 * INCH), FULL]);
    assert_eq!(centers_in(&to_end), [0.0, 97.0, 150.0, 246.0]);
    let posts = [(PostKind::Gate, 6.0), (PostKind::Latch, 4.0)];
    assert_eq!(inner_posts(&to_end), posts);
    // The other way around the opening moves by the 2 in of the difference.
    request.gates[0].latch = Some(WhichEnd::Start);
    let to_start = best(&request);
    assert_eq!(centers_in(&to_start), [0.0, 96.0, 149.0, 246.0]);
    assert_eq!(to_end.objective.gate_miss, 0);
    assert_eq!(to_start.objective.gate_miss, 2 * 2 * INCH);
    // Hinges on both sides: 2 in too many, so one of the two panels is cut.
    request.gates[0].latch = None;
    assert_eq!(best(&request).objective.cuts, 1);
    // Without a latch post of its own the latch hangs on a gate post.
    request.gates[0].latch = Some(WhichEnd::End);
    request.latch_post = None;
    assert_eq!(best(&request).objective.cuts, 1);
}

#[test]
fn a_post_between_two_gates_bears_hinges_if_one_hangs_on_it() {
    // 2 + 36 + post + 48 + 2, end posts at both ends and nothing but the gates.
    let gates_only = |between: f64, latches: [WhichEnd; 2]| {
        let mut request = run(88.0 + between);
        request.gate_post = long(6.0);
        request.latch_post = Some(long(4.0));
        request.gates = vec![gate(36.0, 0.0, 80.0, 20.0), gate(48.0, 0.0, 80.0, 60.0)];
        for (gate, latch) in request.gates.iter_mut().zip(latches) {
            gate.latch = Some(latch);
        }
        inner_posts(&best(&request))
    };
    let (start, end) = (WhichEnd::Start, WhichEnd::End);
    assert_eq!(gates_only(4.0, [end, start]), [(PostKind::Latch, 4.0)]);
    assert_eq!(gates_only(6.0, [end, end]), [(PostKind::Gate, 6.0)]);
    assert_eq!(gates_only(6.0, [start, start]), [(PostKind::Gate, 6.0)]);
    assert_eq!(gates_only(6.0, [start, end]), [(PostKind::Gate, 6.0)]);
}

#[test]
fn a_run_that_divides_has_no_cut() {
    // Posts 96 in on center: five bays are 480 in.
    let best = best(&run(480.0));
    assert_eq!(spelled(&best), [FULL; 5]);
    assert_eq!(centers_in(&best), [0.0, 96.0, 192.0, 288.0, 384.0, 480.0]);
    assert_eq!(best.objective.sections, 5);
    assert_eq!(best.objective.cuts, 0);
}

#[test]
fn an_inch_too_long_costs_two_cuts() {
    // 481 in: five bays leave 1 in, and a sixth section costs a post of 4 in and
    // at least 12 in. With four full panels, 481 - 4 x 96 = 97 in are left for
    // sections with a post each: one cut would be 93 in, longer than a panel; two
    // cuts share 97 - 8 = 89 in, best as 44-1/2 in each, the squares being least.
    // Ties between their places go to full first.
    let best = best(&run(481.0));
    let cut = ('C', 89 * INCH / 2);
    assert_eq!(spelled(&best), [FULL, FULL, FULL, FULL, cut, cut]);
    assert_eq!(best.objective.changes, 1);
    // 92 - 44.5 = 47.5 in = 760 steps.
    assert_eq!(best.objective.cut_squares, 2 * 760 * 760);
}

#[test]
fn an_inch_too_short_costs_one_cut() {
    // 479 in: four panels leave 479 - 384 - 4 = 91 in.
    let best = best(&run(479.0));
    assert_eq!(spelled(&best), [FULL, FULL, FULL, FULL, ('C', 91 * INCH)]);
}

#[test]
fn an_end_that_may_shift_an_inch_saves_the_cuts() {
    // 481 in again, but the end face may stand 3 in from its flag.
    let mut request = run(481.0);
    request.end.face_max = at(3.0);
    let best = best(&request);
    assert_eq!(spelled(&best), [FULL; 5]);
    assert_eq!(best.objective.end_steps, INCH);
}

#[test]
fn a_gap_at_a_wall_saves_a_cut() {
    // 383 in from a wall to a flag; the panel side of the wall may leave 0 to 3 in
    // and no post stands there. Clear and posts: 383 - 2 - gap, and four panels
    // with three posts are 4 x 92 + 3 x 4 = 380 in: the gap is 1 in.
    let mut request = run(383.0);
    request.start = LayoutEnd {
        face_min: at(0.0),
        face_max: at(3.0),
        face_wish: at(0.0),
        post: long(0.0),
        hole: false,
    };
    let shifted = best(&request);
    assert_eq!(spelled(&shifted), [FULL; 4]);
    assert_eq!(shifted.sections[0].from, INCH);
    assert_eq!(shifted.objective.end_steps, INCH);
    assert!(!shifted.posts[0].hole);

    // Fixed at the wall, 383 - 2 - 3 x 96 = 93 in are left: two cuts again.
    request.start.face_max = at(0.0);
    assert_eq!(best(&request).objective.cuts, 2);
}

#[test]
fn a_gate_in_the_middle_of_a_panel_forces_two_cuts() {
    // 480 in, gate of 48 in between posts of 4 in, its middle at 240 in exactly.
    // Either side: 216 - 4 - 2 = 210 in from face to face, which is two panels
    // and a post (188 in) and 22 in: a post of 4 and a cut of 18 in.
    let mut request = run(480.0);
    request.gates = vec![gate(48.0, 240.0, 240.0, 240.0)];
    let best = best(&request);
    let (cut, gate) = (('C', 18 * INCH), ('G', 48 * INCH));
    // Nothing says which end of each part the cut is at, but full goes first,
    // and a cut next to a full section counts one change wherever it stands.
    let expected = [FULL, FULL, cut, gate, FULL, FULL, cut];
    assert_eq!(spelled(&best), expected);
    assert_eq!(best.objective.changes, 2);

    // With the gate kept from cuts, the first cut goes to the far end.
    request.guard = true;
    let guarded = self::best(&request);
    let expected = [cut, FULL, FULL, gate, FULL, FULL, cut];
    assert_eq!(spelled(&guarded), expected);
}

#[test]
fn a_free_gate_stands_where_it_costs_no_cut() {
    // Three panels, a gate, two panels: 5 x 92 + 48 + 5 x 4 = 528 in clear, so
    // 532 in from flag to flag. The middle can be at 2 + 96 k + 24 in; nearest to
    // 300 in: 2 + 3 x 96 + 24 = 314 in, 14 in off, against 218 in.
    let mut request = run(532.0);
    request.gates = vec![gate(48.0, 200.0, 400.0, 300.0)];
    let best = best(&request);
    let expected = [FULL, FULL, FULL, ('G', 48 * INCH), FULL, FULL];
    assert_eq!(spelled(&best), expected);
    assert_eq!(best.objective.gate_miss, 2 * 14 * INCH);
}

#[test]
fn windows_decide_the_order_of_two_gates() {
    // The first gate asked for stands second.
    let mut request = run(480.0);
    request.gates = vec![
        gate(48.0, 300.0, 420.0, 360.0),
        gate(36.0, 60.0, 180.0, 120.0),
    ];
    let gates: Vec<_> = (spelled(&best(&request)).into_iter())
        .filter(|(kind, _)| *kind == 'G' || *kind == 'H')
        .collect();
    assert_eq!(gates, [('H', 36 * INCH), ('G', 48 * INCH)]);
}

#[test]
fn a_mark_under_a_post_moves_it_and_one_beside_does_not() {
    // The post at 192 in would stand on the mark; the ends of a no-dig stretch
    // belong to it.
    let mut request = run(480.0);
    request.no_dig = vec![stretch(192.0, 194.0)];
    assert!(best(&request).objective.cuts > 0);
    request.no_dig = vec![stretch(192.0625, 194.0)];
    assert_eq!(best(&request).objective.cuts, 0);
    request.hand_dig = vec![stretch(190.0, 192.0), stretch(188.0, 193.0)];
    // One hole in two stretches is one hole by hand, and cuts would avoid it.
    let moved = best(&request);
    assert_eq!(
        (moved.objective.hand_dug, moved.objective.cuts > 0),
        (0, true)
    );
    request.order = vec![Wish::Cuts];
    let kept = best(&request);
    assert_eq!((kept.objective.hand_dug, kept.objective.cuts), (1, 0));
    assert_eq!(
        lay_out(&request).expect("sound").order[..2],
        [Wish::Cuts, Wish::HandDug]
    );
}

#[test]
fn the_cut_hides_at_the_end_that_is_named() {
    // 407 in: four panels are 384 in, and 407 - 384 - 4 = 19 in are left to cut.
    let mut request = run(407.0);
    let cut = ('C', 19 * INCH);
    request.hide = Some(WhichEnd::Start);
    let hidden = best(&request);
    assert_eq!(spelled(&hidden), [cut, FULL, FULL, FULL, FULL]);
    // Its nearer face is the start face itself, 2 in from the flag.
    assert_eq!(hidden.objective.cut_reach, 2 * INCH);
    // Where the start shows, the cut moves behind the first panel that does.
    request.show = vec![stretch(0.0, 24.0)];
    let shown = best(&request);
    assert_eq!(shown.sections[0].kind, SectionKind::Full);
    // 2 + 92 + 4 = 98 in, with a change on either side: the end has only one.
    assert_eq!(spelled(&shown), [FULL, FULL, FULL, FULL, cut]);
    request.order = vec![Wish::CutReach];
    assert_eq!(spelled(&best(&request))[1], cut);
    assert_eq!(best(&request).objective.cut_reach, 98 * INCH);
}

#[test]
fn bays_share_the_run() {
    // 481 in from flag to flag, bays of at most 92 in: six bays share
    // 481 - 4 - 5 x 4 = 457 in = 7312 steps: four of 1219 and two of 1218. The
    // wider first.
    let mut request = run(481.0);
    request.build = Build::Fabric;
    let best = best(&request);
    let expected: Vec<_> = [1219, 1219, 1219, 1219, 1218, 1218]
        .map(|w| ('B', w))
        .into();
    assert_eq!(spelled(&best), expected);
    let squares: i64 = 4 * (1472_i64 - 1219).pow(2) + 2 * (1472_i64 - 1218).pow(2);
    assert_eq!(best.objective.cut_squares, squares);
    assert_eq!(best.objective.cuts, 0);
}

#[test]
fn metric_panels_count_in_millimeters() {
    // 1.8 m panels and 75 mm posts from wall to wall: 10 m is 5 x 1.8 m and
    // 4 x 75 mm, and 700 mm are left: a post and 625 mm.
    let meters = |m: f64| Length::from_meters(m).expect("a length");
    let wall = LayoutEnd::fixed(at(0.0), Length::ZERO, false);
    let mut request = LayoutRequest::plain(
        meters(10.0),
        meters(1.8),
        meters(0.3),
        meters(0.075),
        wall,
        wall,
    );
    request.lattice = Lattice::MILLIMETER;
    let best = best(&request);
    let full = ('F', 1800);
    assert_eq!(spelled(&best), [full, full, full, full, full, ('C', 625)]);
}

#[test]
fn what_blocks_is_named() {
    // No post can stand in the middle 100 in, and a panel spans 96 in. An end
    // free to stand anywhere would leave the stretch outside the fence.
    let mut request = run(480.0);
    request.no_dig = vec![stretch(190.0, 290.0), stretch(1.0, 2.0)];
    let LayoutStatus::None { blocking, .. } = lay_out(&request).expect("sound").status else {
        panic!("no post may stand for 100 in");
    };
    let names: Vec<_> = blocking.iter().map(fence_geom::Blocking::name).collect();
    assert_eq!(names, ["no_dig[0]", "start.face", "end.face"]);
}

#[track_caller]
fn refused(change: impl Fn(&mut LayoutRequest), words: &[&str]) {
    let mut request = run(480.0);
    request.gates = vec![gate(48.0, 200.0, 280.0, 240.0)];
    assert!(lay_out(&request).is_ok(), "sound before the change");
    change(&mut request);
    let error = lay_out(&request).expect_err("refused").to_string();
    for word in words {
        assert!(error.contains(word), "{error:?} does not say {word:?}");
    }
}

#[test]
fn bad_requests_are_refused_by_field_value_and_remedy() {
    refused(|r| r.full = long(0.0), &["`full`", "0 in"]);
    refused(|r| r.line_post = long(0.0), &["`line_post`"]);
    refused(|r| r.length = long(0.01), &["`length`", "0.01"]);
    refused(|r| r.min_cut = long(0.0), &["`min_cut`"]);
    refused(|r| r.min_cut = long(93.0), &["`min_cut`", "93", "92"]);
    // 89 mm is 3.5039 in, 4 thousandths off; no lattice holds it beside 92 in.
    refused(
        |r| r.line_post = long(89.0 / 25.4),
        &["`line_post`", "3.5039"],
    );
    refused(|r| r.line_post = long(3.53125), &["`line_post`", "1/32 in"]);
    refused(
        |r| r.gates[0].opening = long(600.0),
        &["`gates[0].opening`", "600", "480"],
    );
    refused(
        |r| r.gates[0] = gate(48.0, 500.0, 510.0, 505.0),
        &["gates[0]", "outside", "480"],
    );
    refused(
        |r| r.gates[0].from = Some(at(290.0)),
        &["gates[0].window", "swap"],
    );
    // 48 + 48 in of openings take 24 + 4 + 24 in from middle to middle.
    refused(
        |r| r.gates = [240.0, 291.0].map(|at| gate(48.0, at, at, at)).to_vec(),
        &["`gates[0]`", "`gates[1]`", "51 in apart", "52 in"],
    );
    refused(
        |r| (r.gates[0].wish, r.gates[0].to) = (None, None),
        &["gates[0]", "`wish`"],
    );
    refused(|r| r.gates = vec![r.gates[0]; 7], &["7 gates", "6"]);
    refused(|r| r.start.face_max = at(1.0), &["`start.face`", "swap"]);
    refused(
        |r| r.no_dig = vec![stretch(9.0, 8.0)],
        &["`no_dig[0]`", "swap"],
    );
    refused(|r| r.show = vec![stretch(9.0, 8.0)], &["`show[0]`"]);
    refused(
        |r| r.order = vec![Wish::Cuts, Wish::Cuts],
        &["`order`", "cuts"],
    );
    refused(|r| r.length = long(3e7), &["`length`", "coarser"]);
    refused(
        |r| r.length = Length::from_feet(1e12).expect("a length"),
        &["`length`"],
    );
    refused(|r| r.start.face_min = at(-12e12), &["`length`", "lattice"]);
}

#[test]
fn a_range_without_a_step_lets_nothing_stand() {
    let mut request = run(480.0);
    request.gates = vec![gate(48.0, 240.01, 240.02, 240.0)];
    let LayoutStatus::None { blocking, .. } = lay_out(&request).expect("sound").status else {
        panic!("the middle of the gate can't stand on a step");
    };
    assert_eq!(blocking, [Blocking::GateWindow(0)]);
    let words = request.ranges_without_a_step();
    assert_eq!(words.len(), 1);
    assert!(words[0].contains("`gates[0].window`") && words[0].contains("1/16 in"));
    // A single place goes to the nearest step.
    request.gates[0].to = Some(at(240.01));
    assert!(request.ranges_without_a_step().is_empty());
    let best = best(&request);
    let mut sections = best.sections.iter();
    let gate = sections.find(|section| section.kind == SectionKind::Gate(0));
    let gate = gate.map(|gate| gate.from + gate.clear / 2);
    assert_eq!(gate, Some(240 * INCH));
}

#[test]
fn an_end_that_would_shift_by_more_than_a_section_is_no_relaxation() {
    let mut request = run(480.0);
    request.guard = true;
    request.min_cut = long(92.0);
    request.gates = vec![gate(48.0, 26.0, 26.0, 26.0)];
    // 2 + 48 in, then 4 + 92 in four times: 434 in, 44 in short of 478.
    let LayoutStatus::None { relaxations, .. } = lay_out(&request).expect("sound").status else {
        panic!("no cut is allowed, and the panels leave 44 in");
    };
    let end = relaxations.iter().find(|r| r.rule == Blocking::EndFace);
    assert_eq!(end.map(|r| r.by), Some(44 * INCH));
    // No post past the gate leaves the gate alone: an end face of 428 in.
    request.no_dig = vec![stretch(60.0, 470.0)];
    let LayoutStatus::None { relaxations, .. } = lay_out(&request).expect("sound").status else {
        panic!("no post may stand past the gate");
    };
    assert!(relaxations.iter().all(|r| r.rule != Blocking::EndFace));
}

#[test]
fn a_lattice_is_a_plain_fraction_no_finer_than_a_sixty_fourth() {
    let step = |inches: f64| Lattice::from_step(long(inches));
    assert_eq!(step(1.0 / 64.0), Ok(Lattice::SIXTY_FOURTH_INCH));
    assert_eq!(step(0.5 / 25.4), Ok(Lattice::HALF_MILLIMETER));
    assert_eq!(
        step(0.12).expect("a hundredth of a foot").to_string(),
        "3/25 in"
    );
    for refused in [0.0, 0.01, std::f64::consts::FRAC_1_PI] {
        assert!(matches!(
            step(refused),
            Err(LayoutError::LatticeStep { .. })
        ));
    }
}

#[test]
fn a_cut_on_the_face_covers_no_more_of_its_posts_than_it_is_long() {
    // One gate: a cut lies on one gate post of 6 in and half a line post of 2 in, or on
    // an end post of 4 in and the gate post: 10 in.
    let mut request = run(300.0);
    request.build = Build::PanelsOnFace;
    request.gate_post = long(6.0);
    request.gates = vec![gate(48.0, 100.0, 200.0, 150.0)];
    request.min_cut = long(10.0);
    assert!(lay_out(&request).is_ok());
    request.min_cut = long(9.0);
    let error = lay_out(&request).expect_err("9 in").to_string();
    assert!(error.contains("9 in") && error.contains("10 in"), "{error}");
    // Between two gates it lies on two gate posts: 12 in.
    request.gates = vec![
        gate(36.0, 60.0, 120.0, 90.0),
        gate(48.0, 180.0, 240.0, 210.0),
    ];
    request.min_cut = long(11.0);
    let error = lay_out(&request).expect_err("11 in").to_string();
    assert!(error.contains("12 in"), "{error}");
    // A guarded gate has no cut beside it: two end posts of 4 in are left.
    request.guard = true;
    request.min_cut = long(8.0);
    assert!(lay_out(&request).is_ok());
}

#[test]
fn the_least_relaxation_of_a_cut_is_counted_from_what_was_asked() {
    // 15 - 2 - 2 = 11 in, which is 92 - 18 x 4.5; 12 in was asked for, 15.5 in is the
    // next that pickets allow.
    let mut request = run(15.0);
    request.cut_step = Some(long(4.5));
    let LayoutStatus::None { relaxations, .. } = lay_out(&request).expect("sound").status else {
        panic!("no cut of 11 in is allowed");
    };
    let cut = relaxations.iter().find(|r| r.rule == Blocking::MinCut);
    assert_eq!(cut.map(|r| r.by), Some(INCH));
    request.min_cut = long(11.0);
    assert_eq!(best(&request).objective.cuts, 1);
}
