//! `fence sheet` with the posts of a product by their places: fence that runs straight
//! on at a stop, corners of other angles, and tees. All jobs are invented; what is
//! expected is worked out by hand.

use fence_cli::Exit;
use serde_json::Value;

use crate::figures::{near, number, rows};
use crate::folder::Folder;
use crate::program::{Answer, run_fence};

fn posts<'a>(sheet: &'a Value, run: &str) -> &'a [Value] {
    let mut runs = rows(sheet, "runs").iter();
    rows(runs.find(|found| found["name"] == run).expect(run), "posts")
}

/// The need of an item, nothing where the list does not have it.
fn need(sheet: &Value, item: &str) -> Option<f64> {
    let mut items = rows(&sheet["takeoff"], "items").iter();
    let line = items.find(|line| line["item"] == item)?;
    Some(number(line, "need"))
}

/// Kind, width and hole of a post.
#[track_caller]
fn is(post: &Value, kind: &str, width_in: f64, hole: bool) {
    let found = (&post["kind"], number(post, "width_in"), &post["hole"]);
    assert_eq!(found, (&kind.into(), width_in, &hole.into()), "{post}");
}

fn sheet(name: &str, job: &str) -> Value {
    answer(name, job, true).json()
}

fn answer(name: &str, job: &str, json: bool) -> Answer {
    let folder = Folder::new(name);
    let file = folder.file("job.toml", job);
    let answer = match json {
        true => run_fence(&["sheet", &file, "--json"]),
        false => run_fence(&["sheet", &file]),
    };
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    answer
}

fn refused(name: &str, job: &str, words: &str) {
    let folder = Folder::new(name);
    let refused = run_fence(&["sheet", &folder.file("job.toml", job)]);
    assert_eq!(refused.exit, Exit::Refused, "{}", refused.out);
    assert!(refused.err.contains(words), "{words}: {}", refused.err);
}

/// A lot whose corners 2 and 3 have 135 degrees, fenced from side 1-2 around to corner
/// 5, with a stop M on the straight of side 1-2.
fn around(build: &str, extra: &str) -> String {
    format!(
        r#"
[job]
name = "Five sides (invented)"
site = "Lot 9, Gannet Row (invented)"
line_accepted_by = "owner, 2026-11-20"

[deed]
text = '''
Thence North 60 feet; thence North 45 degrees East 40 feet; thence East 60 feet;
thence South 88.284271 feet; thence West 88.284271 feet to the point of beginning.
'''

[inside]
each = "1ft"

[product]
name = "invented"
build = "{build}"
full = "92in"
min_cut = "12in"
height = "4ft"
line_post = {{ width = "4in", hole = "10in", depth = "30in" }}
end_post = {{ width = "5in", hole = "12in", depth = "30in" }}
corner_post = {{ width = "6in", hole = "12in", depth = "36in" }}
{extra}

[[route]]
name = "around"
stops = [
    {{ along = "10ft", side = "1-2", from = "1", name = "start", run = "west" }},
    {{ along = "30ft", side = "1-2", from = "1", name = "M", run = "on west" }},
    {{ corner = "2", run = "slant" }},
    {{ corner = "3", run = "north" }},
    {{ corner = "4", run = "east" }},
    {{ corner = "5" }},
]
"#
    )
}

const OTHER_CORNER: &str =
    r#"other_corner_post = { width = "7in", hole = "14in", depth = "36in" }"#;
const PULL: &str = r#"pull_post = { width = "8in", hole = "14in", depth = "36in" }"#;

/// The strings, 1 ft inside, lose 12 in at a corner of 90 degrees and 12 cot(67.5) =
/// 4.9706 in at one of 135. A post of 7 in stands 3.5 cot(67.5) = 1.4497 in from the flag,
/// its face 4.9497 in; the corner post of 6 in at 4 has its face at 6 in, an end post of
/// 5 in at 5 in, a line post at M its faces 2 in to both sides. With n bays and n - 1
/// line posts of 4 in, the fewest bays up to 92 in:
/// - west, 240 in: 240 - 5 - 2 = 233 clear; 3 bays of 75, 2 line posts;
/// - on west, 720 - 12 - 4.9706 - 360 = 343.0294: less 2 + 4.9497, 336.08; 4 bays of 81.0,
///   3 line posts;
/// - slant, 480 - 2 x 4.9706 = 470.0589: less 2 x 4.9497, 460.16; 5 bays of 88.8, 4;
/// - north, 720 - 4.9706 - 12 = 703.0294: less 4.9497 + 6, 692.08; 8 bays of 83.0, 7;
/// - east, 1059.4113 - 24 = 1035.4113: less 6 + 5, 1024.41; 11 bays of 89.5, 10.
///
/// So 26 line posts between, and one at M.
#[test]
fn a_straight_stop_and_a_slant_corner_by_hand() {
    let sheet = sheet("kinds-stick", &around("stick", OTHER_CORNER));
    let [west, on, slant, north, east] =
        ["west", "on west", "slant", "north", "east"].map(|run| posts(&sheet, run));
    is(&west[0], "end", 5.0, true);
    is(&west[3], "line", 4.0, true);
    near(number(&west[3], "center_in"), 240.0, 0.0);
    is(&on[0], "line", 4.0, false);
    near(number(&on[0], "center_in"), 0.0, 0.0);
    is(&on[4], "other_corner", 7.0, true);
    near(number(&on[4], "center_in"), 343.0294 - 1.4497, 1.0 / 16.0);
    is(&slant[0], "other_corner", 7.0, false);
    near(number(&slant[0], "center_in"), 1.4497, 1.0 / 16.0);
    is(&slant[5], "other_corner", 7.0, true);
    is(&north[8], "corner", 6.0, true);
    is(&east[0], "corner", 6.0, false);
    is(&east[11], "end", 5.0, true);
    let needs = [
        "line post",
        "end post",
        "corner post",
        "odd-angle corner post",
    ];
    let needs = needs.map(|item| need(&sheet, item));
    assert_eq!(needs, [Some(27.0), Some(2.0), Some(1.0), Some(2.0)]);
}

/// Without a post of its own an odd corner has a corner post and counts as one; the
/// list and the words for the crew name no other.
#[test]
fn without_its_own_post_an_odd_corner_takes_a_corner_post() {
    let job = around("stick", "");
    let found = sheet("kinds-plain", &job);
    is(&posts(&found, "slant")[0], "other_corner", 6.0, false);
    assert_eq!(need(&found, "corner post"), Some(3.0));
    assert_eq!(need(&found, "odd-angle corner post"), None);
    let text = answer("kinds-plain-text", &job, false).out;
    assert!(
        text.contains("corner post, set with the run before"),
        "{text}"
    );
    assert!(
        text.contains("line post, set with the run before"),
        "{text}"
    );
    assert!(!text.contains("odd-angle"), "{text}");
}

/// Fabric is pulled tight at a stop where it runs straight on. Its post of 8 in takes
/// 4 in of both runs: west has 240 - 5 - 4 = 231 in clear, 3 bays; on west 334.08 in, 4
/// bays. From M's post to that of corner 2 it is 341.58 in; north has 703.0294 - 1.4497 - 3
/// = 698.58 in from center to center, 58 ft 2-9/16 in, and east, laid out in steps of 1/16
/// in, 1035.4375 - 3 - 2.5 in, 85 ft 9-15/16 in, told to 1/8 in; slant, with 470.0589 - 2 x
/// 1.4497 = 467.16 in, is under 40 ft.
#[test]
fn fabric_has_a_pull_post_where_it_runs_straight_on() {
    let every = format!("{OTHER_CORNER}\n{PULL}\npull_every = \"40ft\"");
    let own = sheet("kinds-pull", &around("fabric", &every));
    is(&posts(&own, "west")[3], "pull", 8.0, true);
    is(&posts(&own, "on west")[0], "pull", 8.0, false);
    assert_eq!(need(&own, "pull post"), Some(1.0));
    assert_eq!(need(&own, "end post"), Some(2.0));
    assert_eq!(need(&own, "line post"), Some(26.0));
    let pulls: Vec<_> = rows(&own, "checks")
        .iter()
        .filter(|check| check["kind"] == "pull")
        .collect();
    let runs: Vec<_> = pulls.iter().map(|check| check["about"].clone()).collect();
    assert_eq!(runs, ["north", "east"]);
    assert!(pulls.iter().all(|check| check["trouble"] == false));
    for (check, words) in pulls.iter().zip(["58' 2-5/8\"", "85' 10\""]) {
        let said = check["words"].as_str().expect("words");
        assert!(
            said.contains(words) && said.contains("put a stop"),
            "{said}"
        );
    }
}

/// Without a pull post of its own it is an end post, and counts as one.
#[test]
fn without_its_own_post_fabric_is_pulled_at_an_end_post() {
    let job = around("fabric", "");
    let found = sheet("kinds-unpulled", &job);
    is(&posts(&found, "west")[3], "pull", 5.0, true);
    assert_eq!(need(&found, "end post"), Some(3.0));
    assert_eq!(need(&found, "pull post"), None);
    assert!(
        rows(&found, "checks")
            .iter()
            .all(|check| check["kind"] != "pull")
    );
    let text = answer("kinds-unpulled-text", &job, false).out;
    assert!(text.contains("end post, as a pull post"), "{text}");
}

/// What a product gives for a place must fit its own hole.
#[test]
fn a_post_of_any_kind_must_fit_its_hole() {
    for kind in ["other_corner", "tee", "latch", "pull"] {
        let post = format!(r#"{kind}_post = {{ width = "9in", hole = "8in", depth = "36in" }}"#);
        refused(
            "kinds-hole",
            &around("stick", &post),
            "the diameter of the hole",
        );
    }
}

/// A lot of 100 ft a side, fenced along its west side through T, 40 ft from the flag of
/// corner 1; the string is 1 ft inside, so that T is at N 41 E 1. Then what branches off.
fn branching(extra: &str, branch: &str) -> String {
    format!(
        r#"
[job]
name = "Dog run (invented)"
site = "Lot 2, Gannet Row (invented)"
line_accepted_by = "owner, 2026-11-20"

[deed]
text = '''
Thence North 100 feet; thence East 100 feet; thence South 100 feet;
thence West 100 feet to the point of beginning.
'''

[inside]
each = "1ft"

[product]
name = "invented"
build = "stick"
full = "92in"
min_cut = "12in"
height = "4ft"
line_post = {{ width = "4in", hole = "10in", depth = "30in" }}
corner_post = {{ width = "5in", hole = "12in", depth = "36in" }}
{extra}

[[route]]
name = "west"
stops = [
    {{ corner = "1", run = "south half" }},
    {{ along = "40ft", side = "1-2", from = "1", name = "T", run = "north half" }},
    {{ corner = "2", run = "rear" }},
    {{ corner = "3" }},
]

{branch}
"#
    )
}

const TEE: &str = r#"tee_post = { width = "6in", hole = "14in", depth = "36in" }"#;

/// A route from the flag of that name to a place.
fn branch(flag: &str, to: &str, yard: &str) -> String {
    format!(
        r#"
[[route]]
name = "divider"
yard = "{yard}"
stops = [{{ tee = "{flag}", run = "divider" }}, {{ free = {to}, name = "V" }}]
"#
    )
}

/// Square into the yard, its own yard to the north: a post of 6 in stands 3 in north of T
/// and 3 in east of it. So its center is at 3 in on the run north, 480 + 3 on the run from
/// the south, 3 in on the branch. That has 60 ft: 720 - 6 - 4 = 710 in clear, 8 bays of
/// 85.25 in, 7 line posts. South: 480 in less the end post's 4, up to the tee's face at
/// 480: 476; 5 bays of 92, 4 line posts. North, 98 - 40 = 58 ft: 696 - 6 - 5 = 685; 8 bays
/// of 82.1, 7 line posts. Rear, 98 ft: 1176 - 5 - 4 = 1167; 13 bays of 86.1 in, 12.
#[test]
fn a_square_tee_by_hand() {
    let job = branching(TEE, &branch("T", "[41, 61]", "left"));
    let found = sheet("kinds-tee", &job);
    let [south, north, divider] =
        ["south half", "north half", "divider"].map(|run| posts(&found, run));
    let tee = south.last().expect("posts");
    is(tee, "tee", 6.0, true);
    is(&north[0], "tee", 6.0, false);
    is(&divider[0], "tee", 6.0, false);
    for (post, center) in [(tee, 483.0), (&north[0], 3.0), (&divider[0], 3.0)] {
        near(number(post, "center_in"), center, 0.0);
        near(number(post, "north_ft"), 41.25, 1e-9);
        near(number(post, "east_ft"), 1.25, 1e-9);
    }
    assert_eq!([south.len(), north.len(), divider.len()], [6, 9, 9]);
    let needs = ["line post", "end post", "corner post", "tee post"];
    let needs = needs.map(|item| need(&found, item));
    assert_eq!(needs, [Some(30.0), Some(3.0), Some(1.0), Some(1.0)]);
    let mut flags: Vec<_> = rows(&found, "flags")
        .iter()
        .map(|flag| &flag["name"])
        .collect();
    flags.sort_by_key(|name| name.to_string());
    assert_eq!(flags, ["1", "2", "3", "T", "V"]);
    let turn = rows(&found, "turns").last().expect("a turn");
    assert_eq!(turn["along"], serde_json::json!(["north half", "divider"]));
    near(number(turn, "angle_deg"), 90.0, 1e-9);
    let text = answer("kinds-tee-text", &job, false).out;
    assert!(
        text.contains("back along north half, on along divider"),
        "{text}"
    );
    assert!(text.contains("tee post, set with another run"), "{text}");
}

/// At 45 degrees to the north-east with its yard to the north-west, the post stands 3
/// cot(22.5) = 7.2426 in along both; with its yard to the south-east it stands 3 cot(67.5)
/// = 1.2426 in along the branch and as far south of T, and the check is taped from there:
/// 30 and 40 ft across 135 degrees, sqrt(900 + 1600 + 2400 cos 45) = 64.7847 ft.
#[test]
fn a_slant_tee_by_hand() {
    for (yard, along, north, beside, angle, across) in [
        ("left", 7.2426, 7.2426, "north half", 45.0, 28.3363),
        ("right", 1.2426, -1.2426, "south half", 135.0, 64.7847),
    ] {
        let job = branching(TEE, &branch("T", "[71, 31]", yard));
        let found = sheet("kinds-slant-tee", &job);
        let tee = posts(&found, "south half").last().expect("posts");
        near(number(tee, "center_in"), 480.0 + north, 1.0 / 16.0);
        near(
            number(&posts(&found, "north half")[0], "center_in"),
            north,
            1.0 / 16.0,
        );
        near(
            number(&posts(&found, "divider")[0], "center_in"),
            along,
            1.0 / 16.0,
        );
        near(number(tee, "east_ft"), 1.25, 1e-9);
        near(number(tee, "north_ft"), 41.0 + north / 12.0, 1.0 / 192.0);
        let turn = rows(&found, "turns").last().expect("a turn");
        assert_eq!(turn["along"][0], beside);
        near(number(turn, "angle_deg"), angle, 1e-9);
        near(number(&turn["check"], "diagonal_ft"), across, 1e-4);
    }
}

/// A branch that ends at its tee, of a product with no tee post: a corner post of 5 in.
#[test]
fn without_its_own_post_a_tee_takes_a_corner_post() {
    let stops = r#"
[[route]]
name = "divider"
yard = "right"
stops = [{ free = [41, 61], name = "V", run = "divider" }, { tee = "T" }]
"#;
    let job = branching("", stops);
    let found = sheet("kinds-tee-corner", &job);
    let last = posts(&found, "divider").last().expect("posts");
    is(last, "tee", 5.0, false);
    near(number(last, "center_in"), 720.0 - 2.5, 0.0);
    assert_eq!(need(&found, "corner post"), Some(2.0));
    let text = answer("kinds-tee-corner-text", &job, false).out;
    assert!(text.contains("corner post, at the tee"), "{text}");
    assert!(text.contains("corner post, set with another run"), "{text}");
}

/// The plan and its legend name only the posts that the product has.
#[test]
fn the_plan_draws_a_tee_post_where_the_product_has_one() {
    for (own, words) in [(TEE, true), ("", false)] {
        let folder = Folder::new("kinds-plan");
        let job = branching(own, &branch("T", "[41, 61]", "left"));
        let (job, plan) = (folder.file("job.toml", job), folder.path("plan.svg"));
        let answer = run_fence(&["sheet", &job, "-o", &plan]);
        assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
        let plan = std::fs::read_to_string(plan).expect("the plan");
        assert_eq!(plan.contains("tee post: a fence branches off"), words);
        assert!(plan.contains("corner post"));
    }
}

#[test]
fn where_a_fence_does_not_branch_off() {
    let job = |flag: &str| branching(TEE, &branch(flag, "[41, 61]", "left"));
    for (job, words) in [
        (
            job("X"),
            "there is no flag \"X\" to branch off from in the fences before this one: they have 1, T, 2, 3",
        ),
        (job("2"), "where the other one turns by 90.0 degrees"),
        (job("3"), "where the other one ends"),
        (
            job("T").replace("{ tee = \"T\",", "{ tee = \"T\", corner = \"2\","),
            "exactly one of",
        ),
        (
            job("T").replace("stops = [{ tee", "stops = [{ free = [20, 61] }, { tee"),
            "can't go on from T",
        ),
        (
            job("T")
                .replace(
                    "each = \"1ft\"",
                    "each = \"1ft\"\nbands = { 1-2 = [\"6in\", \"2ft\"] }",
                )
                .replace("\"stick\"", "\"panels\""),
            "leave the bands out",
        ),
        (
            job("T") + &branch("T", "[20, 61]", "left").replace("\"divider\"", "\"second\""),
            "two fences branch off at T",
        ),
    ] {
        refused("kinds-no-tee", &job, words);
    }
}

/// A gate of one leaf hangs on a gate post and latches on a latch post; two leaves
/// hang on both.
#[test]
fn a_gate_latches_on_the_post_across_from_its_hinges() {
    let posts_of = |hinge: &str, leaves: u32| {
        let extra = format!(
            r#"
gate_post = {{ width = "6in", hole = "12in", depth = "36in" }}
latch_post = {{ width = "4in", hole = "12in", depth = "36in" }}

[[gate]]
run = "west"
name = "gate"
opening = "36in"
wish = "10ft"
from = "7ft"
to = "13ft"
leaves = {leaves}
hinge = "{hinge}"
swing = "in"
"#
        );
        sheet("latch", &around("panels", &extra))
    };
    let beside = |sheet: &Value| {
        let inner = posts(sheet, "west").iter();
        let by_gate = inner.filter(|post| post["kind"] == "gate" || post["kind"] == "latch");
        by_gate
            .map(|post| (post["kind"].clone(), number(post, "width_in")))
            .collect::<Vec<_>>()
    };
    let (hinge, latch) = (("gate".into(), 6.0), ("latch".into(), 4.0));
    let at_start = posts_of("start", 1);
    assert_eq!(beside(&at_start), [hinge.clone(), latch.clone()]);
    assert_eq!(need(&at_start, "gate post"), Some(1.0));
    assert_eq!(need(&at_start, "latch post"), Some(1.0));
    let at_end = posts_of("end", 1);
    assert_eq!(beside(&at_end), [latch, hinge.clone()]);
    let two_leaves = posts_of("start", 2);
    assert_eq!(beside(&two_leaves), [hinge.clone(), hinge]);
    assert_eq!(need(&two_leaves, "latch post"), None);
}
