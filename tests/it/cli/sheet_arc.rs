//! `fence sheet` with fence along a curved side: by hand, by coordinates, and what is
//! refused.

use fence_cli::Exit;
use fence_tests::{Draws, fixture, fixture_path};
use serde_json::Value;

use crate::figures::{near, number, rows};
use crate::folder::Folder;
use crate::program::{Answer, run_fence};

fn place(value: &Value) -> (f64, f64) {
    (number(value, "north_ft"), number(value, "east_ft"))
}

fn apart(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

fn run<'a>(sheet: &'a Value, name: &str) -> &'a Value {
    let mut runs = rows(sheet, "runs").iter();
    runs.find(|run| run["name"] == name).expect(name)
}

/// The demo job with a part of it replaced.
fn bend(folder: &str, from: &str, to: &str) -> Answer {
    let text = fixture("jobs/lantern-bend.toml");
    assert!(text.contains(from), "{from}");
    let folder = Folder::new(folder);
    let job = folder.file("job.toml", text.replacen(from, to, 1));
    run_fence(&["sheet", &job, "--json"])
}

/// A quarter circle of 40 ft, the fence 1 ft inside: the string has 39 ft and, of 90
/// degrees, 61.2611 ft. Post centers are half of 3-1/2 in farther in, at 38.8542 ft. A
/// full panel and its post, 72 in, turn 2 asin(3 / 38.8542) = 8.8566 degrees; the corner
/// posts stand on the ends of the arc. Nine panels leave 90 - 79.7097 = 10.2903 degrees,
/// and two equal cuts of 5.1451 degrees are chords of 3.4879 ft, clear 38.36 in; steps of
/// 1/16 in between centers leave 0.1 in of that open.
#[test]
fn a_quarter_circle_by_hand() {
    let sheet = bend("arc-by-hand", "each", "each").json();
    let bend = run(&sheet, "bend");
    near(number(bend, "length_ft"), 61.2611, 1e-4);
    let arc = &bend["arc"];
    near(number(arc, "radius_ft"), 39.0, 1e-9);
    near(number(arc, "delta_deg"), 90.0, 1e-9);
    near(number(arc, "post_radius_ft"), 38.8542, 1e-4);
    near(number(arc, "moved_in_in"), 0.0, 1e-12);
    near(number(arc, "full_turn_deg"), 8.8566, 1e-4);
    assert_eq!(arc["turn"], "right");
    assert_eq!(arc["center_in_reach"], true);
    near(apart(place(&arc["center"]), (50.0, 50.0)), 0.0, 1e-9);

    let sections = rows(bend, "sections");
    let kinds: Vec<_> = sections.iter().map(|it| it["kind"].as_str()).collect();
    let full = kinds.iter().filter(|kind| **kind == Some("full")).count();
    assert_eq!((full, kinds.len()), (9, 11));
    for section in sections {
        match section["kind"].as_str() {
            Some("full") => near(number(section, "clear_in"), 68.5, 1e-9),
            _ => near(number(section, "clear_in"), 38.36, 0.1),
        }
    }
    let posts = rows(bend, "posts");
    for post in posts {
        near(apart(place(post), (50.0, 50.0)), 38.8542, 1e-4);
    }
    // The second post: a cut, then a panel, on the circle of centers.
    let turned = |post: &Value| (place(post).1 - 50.0).atan2(place(post).0 - 50.0);
    let step = (turned(&posts[2]) - turned(&posts[1])).to_degrees();
    near(step, 8.8566, 1e-4);
}

/// At the ends of the arc the fence runs straight on: one line post serves both runs,
/// and the first of them digs it.
#[test]
fn where_line_and_arc_meet_stands_one_post_dug_once() {
    let sheet = bend("arc-joints", "each", "each").json();
    let names = ["row side", "bend", "lane side"];
    for pair in names.windows(2) {
        let (before, after) = (run(&sheet, pair[0]), run(&sheet, pair[1]));
        let last = rows(before, "posts").last().expect("posts");
        let first = &rows(after, "posts")[0];
        near(apart(place(last), place(first)), 0.0, 0.005);
        assert_eq!(
            (&last["kind"], &last["hole"]),
            (&"line".into(), &true.into())
        );
        assert_eq!(
            (&first["kind"], &first["hole"]),
            (&"line".into(), &false.into())
        );
    }
    let dug = rows(&sheet, "runs")
        .iter()
        .flat_map(|run| rows(run, "posts"));
    let lines = dug.filter(|post| post["kind"] == "line" && post["hole"] == true);
    let needs = rows(&sheet["takeoff"], "items");
    let listed = needs.iter().find(|line| line["item"] == "line post");
    let count = f64::from(u32::try_from(lines.count()).expect("a few"));
    near(number(listed.expect("line posts"), "need"), count, 0.0);
    assert!(needs.iter().all(|line| line["item"] != "corner post"));
}

#[test]
fn the_sheet_says_how_the_posts_are_set_with_tapes() {
    let job = fixture_path("jobs/lantern-bend.toml");
    let answer = run_fence(&["sheet", job.to_str().expect("UTF-8")]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    for words in [
        "the line curves to the\n  right on a radius of 39' 0\"; stations are ALONG THE ARC",
        "pull a string straight from 3 to 4, 55' 1-7/8\"",
        "radius point N 50.00 E 50.00: a level tape from it reads 38' 10-1/4\"",
        "an arc begins or ends here: tangents",
    ] {
        assert!(answer.out.contains(words), "{words}: {}", answer.out);
    }
}

#[test]
fn the_offset_line_names_its_arc() {
    let job = fixture_path("jobs/lantern-bend.toml");
    let answer = run_fence(&["offset", job.to_str().expect("UTF-8"), "--by", "1ft"]);
    assert!(
        answer
            .out
            .contains("From 3 to 4 along an arc: radius 39' 0\", turning 90.000° to the right\n"),
        "{}",
        answer.out
    );
}

#[test]
fn the_pictures_show_the_arc() {
    let job = fixture_path("jobs/lantern-bend.toml");
    let folder = Folder::new("arc-pictures");
    let (plan, page) = (folder.path("plan.svg"), folder.path("page.html"));
    for file in [&plan, &page] {
        let answer = run_fence(&["sheet", job.to_str().expect("UTF-8"), "-o", file]);
        assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    }
    let plan = std::fs::read_to_string(plan).expect("a plan");
    let drawn = roxmltree::Document::parse(&plan).expect("XML");
    let string = drawn
        .descendants()
        .find(|it| it.attribute("data-run") == Some("bend"));
    let points = string
        .and_then(|it| it.attribute("points"))
        .expect("a path");
    assert!(points.split_whitespace().count() > 40, "{points}");
    let page = std::fs::read_to_string(page).expect("a page");
    assert!(page.contains("Stations: along the arc, drawn unrolled,"));
}

/// A rectangle whose south side is an arc, into the lot or out of it.
struct Bowed {
    wide: f64,
    radius: f64,
    into_lot: bool,
    full: f64,
    gate: Option<f64>,
}

impl Bowed {
    fn job(&self) -> String {
        let Self {
            wide, radius, full, ..
        } = self;
        let delta = 2.0 * (wide / (2.0 * radius)).asin().to_degrees();
        let hand = if self.into_lot { "left" } else { "right" };
        let gate = self.gate.map_or_else(String::new, |wish| {
            format!(
                "[[gate]]\nrun = \"front\"\nname = \"gate\"\nopening = \"42in\"\nwish = \"{wish}ft\"\nhinge = \"end\"\nswing = \"in\"\n"
            )
        });
        format!(
            r#"
[job]
name = "Bowed front (invented)"
site = "Lot 9, Wren Crescent (invented)"
line_accepted_by = "owner, 2026-11-20"

[deed]
text = '''
Thence North 150 feet; thence East {wide} feet; thence South 150 feet; thence along a
curve to the {hand} having a radius of {radius} feet, a central angle of {delta:.9} degrees
and a chord bearing West {wide} feet to the point of beginning.
'''

[inside]
each = "1ft"

[product]
name = "a panel (invented)"
build = "panels"
full = "{full}in"
min_cut = "12in"
height = "4ft"
line_post = {{ width = "3-1/2in", hole = "10in", depth = "30in" }}
corner_post = {{ width = "5in", hole = "12in", depth = "36in" }}
gate_post = {{ width = "4-1/2in", hole = "12in", depth = "36in" }}

[[route]]
name = "all around"
closed = true
stops = [
    {{ corner = "2", run = "rear" }},
    {{ corner = "3", run = "east" }},
    {{ corner = "4", run = "front" }},
    {{ corner = "1", run = "west" }},
]

{gate}
[[obstacle]]
name = "hydrant"
path = [[{north}, {east}]]
clearance = "12in"
"#,
            north = if self.into_lot { 10.0 } else { -5.0 },
            east = wide / 2.0,
        )
    }
}

/// Random bows, checked by coordinates against the center and the radius of the arc.
#[test]
fn no_chord_of_any_bow_passes_the_line() {
    let mut draws = Draws::from(619);
    let folder = Folder::new("arc-bows");
    for round in 0..16 {
        let radius = 40.0 + 120.0 * draws.even();
        let bowed = Bowed {
            wide: (radius * (0.7 + 0.6 * draws.even())).round(),
            radius: radius.round(),
            into_lot: round % 2 == 0,
            full: 60.0 + (40.0 * draws.even()).round(),
            gate: (round % 3 == 0).then_some(15.0),
        };
        let job = folder.file(&format!("{round}.toml"), bowed.job());
        let answer = run_fence(&["sheet", &job, "--json"]);
        assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
        check_bow(&answer.json(), &bowed);
    }
}

fn check_bow(sheet: &Value, bowed: &Bowed) {
    let front = run(sheet, "front");
    assert_eq!(front["status"], "optimal");
    let arc = &front["arc"];
    let (center, radius) = (place(&arc["center"]), number(arc, "radius_ft"));
    let outward = if bowed.into_lot { -1.0 } else { 1.0 };
    near(radius, bowed.radius - outward, 1e-6);
    // How far inside the string a place is.
    let inside = |at: (f64, f64)| (radius - apart(at, center)) * outward;
    let (posts, set) = (rows(front, "posts"), rows(arc, "posts"));
    assert_eq!(posts.len(), set.len());
    let (start, end) = (place(&front["start"]), place(&front["end"]));
    let long = apart(start, end);
    let along = ((end.0 - start.0) / long, (end.1 - start.1) / long);
    for (post, set) in posts.iter().zip(set) {
        let half = number(post, "width_in") / 24.0;
        assert!(inside(place(post)) >= half - 1e-9, "{post}");
        // The yard is on the right, north of the chord, which is walked to the west.
        let (on, off) = (
            number(set, "along_chord_in") / 12.0,
            number(set, "off_chord_in") / 12.0,
        );
        let tape = (
            start.0 + along.0 * on - along.1 * off,
            start.1 + along.1 * on + along.0 * off,
        );
        near(apart(tape, place(post)), 0.0, 1e-9);
        if post["hole"] == true {
            let hydrant = (if bowed.into_lot { 10.0 } else { -5.0 }, bowed.wide / 2.0);
            // 12 in from the edge of the hole, but for the step of the layout.
            assert!(apart(place(post), hydrant) >= 1.0 + 0.5 - 0.011, "{post}");
        }
    }
    let mut chords = 0.0;
    for (i, section) in rows(front, "sections").iter().enumerate() {
        let (a, b) = (place(&posts[i]), place(&posts[i + 1]));
        let middle = (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1));
        // The outside face of a section is half a line post off its middle line.
        assert!(inside(middle) >= 3.5 / 24.0 - 1e-9, "{section}");
        near(number(&set[i], "to_next_in"), 12.0 * apart(a, b), 1e-6);
        let widths = number(&posts[i], "width_in") + number(&posts[i + 1], "width_in");
        near(
            number(section, "clear_in"),
            12.0 * apart(a, b) - widths / 2.0,
            1e-6,
        );
        if section["kind"] == "full" {
            near(
                number(section, "clear_in"),
                bowed.full,
                number(arc, "misfit_in") + 1e-6,
            );
        }
        chords += apart(a, b);
    }
    // The chords together are a little less than the arc of centers between the end
    // posts, and more than the straight way.
    let ends = (place(&posts[0]), place(posts.last().expect("posts")));
    assert!(chords > apart(ends.0, ends.1));
    let angle = 2.0 * (apart(ends.0, ends.1) / (2.0 * number(arc, "post_radius_ft"))).asin();
    assert!(chords <= angle * number(arc, "post_radius_ft") + 1e-9);
    // Both runs that meet at a corner have the same post there.
    let (east, west) = (run(sheet, "east"), run(sheet, "west"));
    let last = place(rows(east, "posts").last().expect("posts"));
    near(apart(last, ends.0), 0.0, 0.02);
    near(apart(place(&rows(west, "posts")[0]), ends.1), 0.0, 0.02);
}

/// A line that goes on as an arc of 60 ft into the lot, the string at 61 ft. Centers
/// stand at sqrt((61 + 0.1458)^2 + 4^2) = 61.2765 ft, 0.1306 ft or 1-9/16 in farther in
/// than half a post, the post at the end of the line too.
#[test]
fn the_post_where_a_curve_into_the_yard_begins_is_moved_in_with_it() {
    let bay = r#"
[job]
name = "Bay (invented)"
site = "Lot 4, Wren Crescent (invented)"
line_accepted_by = "owner, 2026-11-20"

[deed]
text = '''
Thence North 60 feet; thence East 50 feet; thence along a curve to the left having a
radius of 60 feet, a central angle of 45 degrees and a chord bearing North 67 degrees 30
minutes East 45.922 feet; thence North 45 degrees East 40 feet; thence East 40 feet;
thence South 105.858 feet; thence West 160.711 feet to the point of beginning.
'''

[inside]
each = "1ft"

[product]
name = "a panel (invented)"
build = "panels"
full = "92-1/2in"
min_cut = "12in"
height = "4ft"
line_post = { width = "3-1/2in", hole = "10in", depth = "30in" }

[[route]]
name = "bay"
stops = [
    { corner = "2", run = "line" },
    { corner = "3", run = "bay" },
    { corner = "4", run = "slant" },
    { corner = "5" },
]
"#;
    let folder = Folder::new("arc-bay");
    let job = folder.file("job.toml", bay);
    let sheet = run_fence(&["sheet", &job, "--json"]).json();
    let [line, bay, slant] = ["line", "bay", "slant"].map(|name| rows(run(&sheet, name), "posts"));
    let last = line.last().expect("posts");
    near(number(last, "moved_in_in"), 1.568, 0.001);
    // 1 ft inside the line at 60 ft north, then half a post, then the move.
    near(place(last).0, 60.0 - 1.0 - 1.75 / 12.0 - 0.1306, 1e-3);
    near(apart(place(last), place(&bay[0])), 0.0, 0.005);
    let end = bay.last().expect("posts");
    near(apart(place(end), place(&slant[0])), 0.0, 0.005);
    let text = run_fence(&["sheet", &job]).out;
    assert!(
        text.contains("line post, 1-9/16\" farther into the yard for the curve\n"),
        "{text}"
    );
}

/// Pins a little off make the curve a little off tangent; the fence is the same one.
#[test]
fn pins_off_by_an_inch_leave_the_run_on_its_arc() {
    for at in ["[90.08, 50]", "[89.92, 50]", "[90, 50.08]", "[90, 49.92]"] {
        let sheet = bend("arc-pins", "at = [90, 50]", &format!("at = {at}")).json();
        let bend = run(&sheet, "bend");
        near(number(&bend["arc"], "radius_ft"), 39.0, 0.06);
        near(number(&bend["arc"], "delta_deg"), 90.0, 0.01);
        near(number(bend, "length_ft"), 61.2611, 0.15);
        for flag in rows(&sheet, "flags") {
            assert!(flag["sigma_north_ft"].is_number(), "{flag}");
        }
    }
}

#[test]
fn a_stop_partway_along_the_arc_parts_the_run() {
    let stops = "{ corner = \"3\", run = \"bend\" },\n    { along = \"20ft\", side = \"3-4\", from = \"3\", name = \"M\", run = \"rest\" },";
    let sheet = bend("arc-parted", "{ corner = \"3\", run = \"bend\" },", stops).json();
    near(number(run(&sheet, "bend"), "length_ft"), 20.0, 1e-9);
    near(number(run(&sheet, "rest"), "length_ft"), 41.2611, 1e-4);
    let turned = number(&run(&sheet, "rest")["arc"], "delta_deg").to_radians();
    near(39.0 * turned, 41.2611, 1e-4);
}

#[test]
fn a_panel_that_turns_less_than_the_arc_is_trouble() {
    let answer = bend("arc-turn", "most_turn_deg = 9.5", "most_turn_deg = 8");
    assert_eq!(answer.exit, Exit::AnswerIsNo);
    let sheet = answer.json();
    let checks = rows(&sheet, "checks").iter();
    let turn = checks
        .clone()
        .find(|check| check["kind"] == "turn")
        .expect("a check");
    // 72 in / (2 sin 4 degrees) = 43.006 ft.
    let words = turn["words"].as_str().expect("words");
    assert!(
        words.contains("turns 8.86° at a post, and the product allows 8.00°"),
        "{words}"
    );
    assert!(words.contains("a radius of 43' 0-1/8\""), "{words}");
}

#[test]
fn what_an_arc_can_not_have_is_refused_by_name() {
    let ground = "[locate]\n";
    let with_ground = "[[ground]]\nrun = \"bend\"\nreadings = [{ at = \"start\", height = \"0in\" }, { at = \"end\", height = \"6in\" }]\n\n[locate]\n";
    for (folder, from, to, words) in [
        (
            "arc-ground",
            ground,
            with_ground,
            "run \"bend\" is given, and the run is on an arc",
        ),
        (
            "arc-bands",
            "[inside]\neach = \"1ft\"\n",
            "[inside]\neach = \"1ft\"\nbands = { 2-3 = [\"6in\", \"18in\"] }\n",
            "run \"bend\" is on an arc: leave the bands out",
        ),
        (
            "arc-degrees",
            "= 9.5",
            "= -1",
            "more than 0 and less than 180 degrees",
        ),
        (
            "arc-tight",
            "full = \"68-1/2in\"",
            "full = \"480in\"",
            "can't be a chord of it",
        ),
        (
            "arc-wall",
            "{ corner = \"4\", run = \"lane side\" },",
            "{ prolong = [[40, 40], [50, 50]], side = \"3-4\", name = \"P\", run = \"lane side\" },",
            "a line off a wall is led to straight sides only",
        ),
        (
            "arc-along",
            "along = \"12ft\", side = \"2-3\", from = \"2\"",
            "along = \"70ft\", side = \"3-4\", from = \"3\"",
            "F1 would stand 70.000 ft along the offset line of side 3-4",
        ),
    ] {
        let answer = bend(folder, from, to);
        assert_eq!(answer.exit, Exit::Refused, "{folder}");
        assert!(answer.err.contains(words), "{folder}: {}", answer.err);
    }
}
