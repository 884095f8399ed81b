//! Quantities of a fence against published figures.

use fence_geom::{
    Arrangement, Build, Concrete, Cutting, Difference, LayoutEnd, LayoutRequest, LayoutStatus,
    Length, Post, PostKind, Posts, Product, RunCount, Shape, SlopeLimits, differences, lay_out,
    standards, takeoff,
};
use fence_tests::assert_printed;

fn inches(inches: f64) -> Length {
    Length::from_inches(inches).expect("a length")
}

/// A hole, without a post in it.
fn hole(across: f64, depth: f64) -> Post {
    Post {
        width: Length::ZERO,
        shape: Shape::Round,
        hole: inches(across),
        depth: inches(depth),
    }
}

/// Source: "How to Calculate Concrete for Fence Posts", Garden Guides, undated,
/// the worked example: a hole 6 in across and 36 in deep is 1,017.36 cu in with
/// pi as 3.14, .59 cu ft. (A trade page, not a standard.)
#[test]
fn a_hole_six_inches_across_and_three_feet_deep() {
    assert_printed(hole(6.0, 36.0).concrete_cubic_feet(), "0.59", 0.5);
    let shares_of_pi = hole(6.0, 36.0).concrete_cubic_feet() / std::f64::consts::PI;
    assert_printed(shares_of_pi * 1728.0 * (314.0 / 100.0), "1,017.36", 0.5);
}

/// Source: "How Much Concrete is Needed for a Metal Fence Post?", a home and
/// garden page, undated, sections "Formula" and "Finish up the Calculation": a hole
/// 3 in across and 24 in deep is 169.64 cu in or .098 cu ft, and twelve of them
/// about 1.18 cu ft. (A trade page, not a standard.)
#[test]
fn twelve_holes_three_inches_across_and_two_feet_deep() {
    let hole = hole(3.0, 24.0).concrete_cubic_feet();
    assert_printed(hole * 1728.0, "169.64", 1.0);
    assert_printed(hole, "0.098", 0.5);
    assert_printed(12.0 * hole, "1.18", 0.5);
}

/// By hand: the hole is pi/4 x 1 ft x 1 ft x 3 ft = 2.3562 cu ft, the post
/// (4/12 ft) x (4/12 ft) x 3 ft = 0.3333 cu ft.
#[test]
fn the_post_is_left_out_of_its_concrete() {
    let post = Post {
        width: inches(4.0),
        shape: Shape::Square,
        ..hole(12.0, 36.0)
    };
    assert_printed(post.concrete_cubic_feet(), "2.0229", 0.5);
    let round = Post {
        shape: Shape::Round,
        ..post
    };
    // pi/4 x (1 - 1/9) x 3
    assert_printed(round.concrete_cubic_feet(), "2.0944", 0.5);
}

/// A product whose concrete is figured from holes of 12 in by 36 in around 4 in
/// square posts, in bags of 60 lb.
fn product() -> Product {
    let post = Post {
        width: inches(4.0),
        shape: Shape::Square,
        ..hole(12.0, 36.0)
    };
    Product {
        name: "an invented panel".to_owned(),
        build: Build::Panels,
        full: inches(92.0),
        min_cut: inches(12.0),
        height: inches(72.0),
        outstand: Length::ZERO,
        posts: Posts::all_of(post),
        cutting: Cutting::default(),
        gate_openings: Vec::new(),
        concrete: Some(Concrete {
            yield_cubic_feet: 60.0 * standards::CONCRETE_CUBIC_FEET_PER_POUND,
            spare: standards::CONCRETE_SPARE,
        }),
        parts: Vec::new(),
        slope: SlopeLimits::default(),
        most_turn: None,
        pull_every: None,
    }
}

fn count(line_posts: usize) -> RunCount {
    RunCount {
        name: "a run".to_owned(),
        length: inches(960.0),
        full: 9,
        cuts: vec![inches(40.0)],
        gates: Vec::new(),
        posts: vec![(PostKind::Line, true); line_posts],
    }
}

/// By hand: 10 holes of 2.0229 cu ft are 20.229 cu ft; a 60 lb bag makes 0.45 cu
/// ft, so 44.95 bags; with a tenth to spare 49.45, so 50.
///
/// The yield of 0.45 cu ft and the tenth to spare are figures on which several
/// undated civil engineering pages agree ("How many cubic feet are in a bag of
/// concrete").
#[test]
fn bags_are_rounded_up_once_at_the_end() {
    let list = takeoff(&[count(10)], &product());
    let concrete = list.lines.iter().find(|line| line.item == "concrete");
    let concrete = concrete.expect("concrete");
    assert_printed(concrete.need, "44.95", 0.5);
    assert_eq!(concrete.order, 50);
    // A post without a hole takes none.
    let mut bracketed = count(10);
    bracketed.posts.push((PostKind::End, false));
    let same = takeoff(&[bracketed], &product());
    assert!(same.lines.contains(concrete));
}

/// Source of the yield of each bag, 0.0075 cu ft a pound: as above. Printed there:
/// 50 lb 0.375, 60 lb 0.45, 80 lb 0.60 cu ft.
#[test]
fn bags_yield_by_their_weight() {
    for (pounds, printed) in [(50.0, "0.375"), (60.0, "0.45"), (80.0, "0.60")] {
        assert_printed(
            pounds * standards::CONCRETE_CUBIC_FEET_PER_POUND,
            printed,
            0.5,
        );
    }
}

/// The best layout of a run of bays, its posts at most `spacing` apart on center
/// and its terminal posts centered on its ends.
fn bays(length: f64, spacing: f64) -> Arrangement {
    let post = inches(2.0);
    let half = inches(1.0).forward();
    let end = LayoutEnd::fixed(half, post, true);
    let (length, clear) = (inches(12.0 * length), inches(12.0 * spacing - 2.0));
    let request = LayoutRequest {
        build: Build::Fabric,
        ..LayoutRequest::plain(length, clear, inches(12.0), post, end, end)
    };
    match lay_out(&request).expect("a layout").status {
        LayoutStatus::Optimal(best) => best,
        LayoutStatus::None { blocking, .. } => panic!("{blocking:?}"),
    }
}

/// Source: "How to Estimate Chain Link Fence Materials", a home improvement page,
/// undated, step 6: 84 ft between terminal posts, line posts every 10 ft, takes 8
/// line posts. (A trade page, not a standard.)
#[test]
fn line_posts_of_84_feet_at_10_feet() {
    assert_eq!(bays(84.0, 10.0).posts.len() - 2, 8);
}

/// Source: "Estimating quantities for split rail styles", a fence supplier's
/// guide, undated, part 2, line S1: 75 ft in sections of 8 ft takes 10 sections and
/// 9 line posts. (A trade page, not a standard.)
#[test]
fn sections_of_75_feet_at_8_feet() {
    let best = bays(75.0, 8.0);
    assert_eq!(best.sections.len(), 10);
    assert_eq!(best.posts.len() - 2, 9);
}

/// Source: "How to Calculate How Much Wood You Need for a Fence", a home
/// improvement page, undated, step 4: 19 posts take 18 sections, with two rails each
/// 36 rails. (A trade page, not a standard.)
#[test]
fn rails_of_18_sections() {
    let mut product = product();
    product.parts = vec![fence_geom::Part {
        name: "rail".to_owned(),
        per: fence_geom::Per::Section,
        count: 2.0,
        pack: 1,
    }];
    let run = RunCount {
        full: 18,
        cuts: Vec::new(),
        ..count(19)
    };
    let list = takeoff(&[run], &product);
    let rails = list.lines.iter().find(|line| line.item == "rail");
    assert_eq!(rails.expect("rails").order, 36);
}

/// Source: the same page, step 5: boards of 11.2 cm, or 4.5 in, over a section of
/// 240 cm, or 96 in, take 22. Known to be wrong: it has the quotient 21.428 (cut off, not
/// rounded) for inches too, where it is 21.333.
#[test]
fn boards_over_one_section() {
    let meters = |meters: f64| Length::from_meters(meters).expect("a length");
    for (section, board, quotient) in [
        (meters(2.4), meters(0.112), "21.428"),
        (inches(96.0), inches(4.5), "21.333"),
    ] {
        let mut product = product();
        product.parts = vec![fence_geom::Part {
            name: "board".to_owned(),
            per: fence_geom::Per::Foot,
            count: 1.0 / board.feet(),
            pack: 1,
        }];
        let run = RunCount {
            length: section,
            ..count(1)
        };
        let list = takeoff(&[run], &product);
        let boards = list.lines.iter().find(|line| line.item == "board");
        assert_printed(boards.expect("boards").need, quotient, 1.0);
        assert_eq!(boards.expect("boards").order, 22);
    }
}

#[test]
fn lists_are_compared_by_name_whatever_the_case() {
    let list = takeoff(&[count(10)], &product());
    let hand = |item: &str, count| (item.to_owned(), count);
    let by_hand = [
        hand("LINE POST ", 8),
        hand("line post", 2),
        hand("panel", 11),
        hand("cap", 10),
    ];
    let expected = [("panel", 10, 11), ("concrete", 50, 0), ("cap", 0, 10)].map(
        |(item, computed, by_hand)| Difference {
            item: item.to_owned(),
            computed,
            by_hand,
        },
    );
    assert_eq!(differences(&list, &by_hand), expected);
}
