//! Runs on slopes and arcs as a person and a program meet them. All is invented.

use fence_cli::Exit;
use fence_tests::{fixture, fixture_path};
use roxmltree::Document;
use serde_json::{Value, json};

use crate::folder::Folder;
use crate::program::{Answer, run_fence};

fn hill_lot(more: &[&str]) -> Answer {
    let path = fixture_path("jobs/hill-lot.toml");
    let path = path.to_str().expect("UTF-8");
    let args: Vec<&str> = ["sheet", path].iter().chain(more).copied().collect();
    run_fence(&args)
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[test]
fn the_sheet_of_a_slope_says_gaps_steps_and_posts() {
    let answer = hill_lot(&[]);
    assert_eq!(answer.exit, Exit::AnswerIsNo, "{}", answer.err);
    for words in [
        "TAPE LEVEL along the string; ALONG",
        "GROUND a tape reads 105'",
        "along ground",
        "racked down",
        "STEP down",
        "step post",
        "OVER THE LIMIT",
        "the gap under the section is",
        "stock",
    ] {
        assert!(answer.out.contains(words), "{words}: {}", answer.out);
    }
    let long = answer.out.lines().find(|line| line.chars().count() > 100);
    assert_eq!(long, None);
}

#[test]
fn the_json_of_a_slope_agrees_with_itself() {
    let answer = hill_lot(&["--json"]).json();
    let west = &answer["runs"][0];
    let ground = &west["ground"];
    let sections = ground["sections"].as_array().expect("sections");
    let posts = ground["posts"].as_array().expect("posts");
    assert_eq!(
        sections.len(),
        west["sections"].as_array().expect("sections").len()
    );
    assert_eq!(posts.len(), west["posts"].as_array().expect("posts").len());
    let steps = posts.iter().filter(|post| number(&post["step_in"]) != 0.0);
    assert_eq!(steps.count(), ground["steps"]);
    assert!(
        number(&ground["misfit_in"]) < 0.0626,
        "{}",
        ground["misfit_in"]
    );
    assert!(ground["steps"].as_u64() > Some(0));
    for (section, placed) in sections
        .iter()
        .zip(west["sections"].as_array().expect("sections"))
    {
        assert!(number(&section["least_gap_in"]) >= 1.0 - 1e-9);
        let rail = number(&placed["clear_in"]).hypot(number(&section["rise_in"]));
        assert!((rail - number(&section["rail_in"])).abs() < 1e-6);
        if placed["kind"] == "full" {
            assert!((rail - 92.0).abs() < 0.0626, "{rail}");
        }
    }
    for (post, placed) in posts.iter().zip(west["posts"].as_array().expect("posts")) {
        assert!(number(&post["along_ground_in"]) >= number(&placed["center_in"]) - 1e-6);
        assert_eq!(placed["kind"] == "step", number(&post["step_in"]) != 0.0);
    }
    // A post that two runs share is as tall as the taller of them needs it: 5 ft and
    // the 2 in above it where the next run is level.
    let post = |run: usize, last: bool| {
        let posts = &answer["runs"][run]["ground"]["posts"];
        let count = posts.as_array().expect("posts").len();
        let post = &posts[if last { count - 1 } else { 0 }];
        (number(&post["stands_out_in"]), number(&post["needs_in"]))
    };
    assert_eq!(post(0, true), post(1, false));
    assert!(post(1, true).0 >= 62.0 - 1e-9, "{:?}", post(1, true));
    // The east line was not read, and is level.
    assert_eq!(answer["runs"][2]["ground"], Value::Null);
    let gap = answer["checks"].as_array().expect("checks").iter();
    assert!(
        gap.clone()
            .any(|check| check["kind"] == "gap" && check["trouble"] == true)
    );
}

/// The sheet of a job with more after the distance that its fence keeps.
fn banded(job: &str, more: &str, flags: &[&str]) -> Answer {
    let each = "each = \"9in\"\n";
    assert!(job.contains(each));
    let folder = Folder::new("hill-bands");
    let path = folder.file("job.toml", job.replace(each, &format!("{each}{more}")));
    run_fence(&[&["sheet", &path], flags].concat())
}

/// The cuts of the job with lines so many inches farther in.
fn cuts_with(job: &str, moves: &[(&str, f64)]) -> i64 {
    let mut sides = "[inside.sides]\n".to_owned();
    for (side, by) in moves {
        sides += &format!("{side:?} = \"{}in\"\n", 9.0 + by);
    }
    let sheet = banded(job, &sides, &["--json"]).json();
    let runs = sheet["runs"].as_array().expect("runs").iter();
    runs.map(|run| run["objective"]["cuts"].as_i64().expect("cuts"))
        .sum()
}

/// The trades of a job: each, asked for as a job of its own, has the cuts that it
/// tells.
fn trades(job: &str, sheet: &Value) -> Vec<(i64, f64)> {
    let trades = sheet["trades"].as_array().expect("trades").iter();
    let trade = |trade: &Value| {
        let moves = trade["moves"].as_array().expect("moves").iter();
        let moves: Vec<(&str, f64)> = moves
            .map(|moved| {
                (
                    moved["side"].as_str().expect("a side"),
                    number(&moved["by_in"]),
                )
            })
            .collect();
        let cuts = trade["cuts"].as_i64().expect("cuts");
        assert_eq!(cuts_with(job, &moves), cuts, "{moves:?}");
        (cuts, number(&trade["moved_in"]))
    };
    trades.map(trade).collect()
}

#[test]
fn lines_over_a_slope_are_traded_for_cuts() {
    let job = fixture("jobs/hill-lot.toml");
    let bands = "[inside.bands]\n\"A-B\" = [\"6in\", \"12in\"]\n\"B-C\" = [\"6in\", \"12in\"]\n";
    let found = banded(&job, bands, &["--json"]).json();
    assert!(trades(&job, &found).len() > 1);
}

/// The hill with a grade along its west line that breaks four times, and panels that
/// rack more.
fn broken_hill() -> String {
    let mut job = fixture("jobs/hill-lot.toml");
    for (old, new) in [
        (
            "at = \"25ft\", height = \"10in\"",
            "at = \"25ft\", height = \"-43in\"",
        ),
        (
            "at = \"48ft\", height = \"-12in\"",
            "at = \"48ft\", height = \"12in\"",
        ),
        (
            "at = \"78ft\", height = \"-5ft\"",
            "at = \"78ft\", height = \"48in\"",
        ),
        ("rack = \"14in\"", "rack = \"30in\""),
    ] {
        assert!(job.contains(old), "{old}");
        job = job.replace(old, new);
    }
    job
}

/// Where choices are few, none that was not told is better: every one is tried as a
/// job of its own.
#[test]
fn trades_over_a_broken_grade_are_all_there_are() {
    let job = broken_hill();
    let bands = "[inside.bands]\n\"A-B\" = [\"6in\", \"12in\"]\n";
    let found = banded(&job, bands, &["--json"]).json();
    assert_eq!(found["trades_rough"], json!([]));
    let told = trades(&job, &found);
    assert!(told.len() > 1, "{told:?}");
    for half_inches in -6..=6 {
        let by = f64::from(half_inches) / 2.0;
        let cuts = cuts_with(&job, &[("A-B", by)]);
        let known = (told.iter()).any(|&(other, moved)| other <= cuts && moved <= by.abs());
        assert!(known, "{cuts} cuts for {by} in, {told:?}");
    }
}

/// Where they are many, what does not hold is looked past, and the sheet says so.
#[test]
fn trades_that_do_not_hold_are_said() {
    let job = broken_hill();
    let bands = "[inside.bands]\n\"A-B\" = [\"2in\", \"16in\"]\n\"B-C\" = [\"2in\", \"16in\"]\n";
    let found = banded(&job, bands, &["--json"]).json();
    assert_eq!(found["trades_rough"], json!(["west line", "rear line"]));
    assert!(found["trades_otherwise"].as_u64() > Some(0));
    assert!(trades(&job, &found).len() > 1);
    let text = banded(&job, bands, &[]).out;
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("came to other cuts over the ground"),
        "{text}"
    );
    assert!(
        text.contains("of west line, rear line: others that were not tried may save more"),
        "{text}"
    );
}

/// 100 ft of bench mark and 3.10 ft of backsight less 6.40 ft of rod.
#[test]
fn rods_hang_below_the_line_of_sight() {
    let answer = hill_lot(&["--json"]).json();
    let first = &answer["runs"][1]["ground"]["readings"][0];
    assert!((number(&first["height_in"]) - 12.0 * 96.7).abs() < 1e-6);
    assert!(number(&first["station_in"]).abs() < 1e-9);
}

#[test]
fn the_page_has_a_picture_of_each_run() {
    let folder = Folder::new("ground-page");
    let path = folder.path("sheet.html");
    let answer = hill_lot(&["-o", &path]);
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    let page = std::fs::read_to_string(&path).expect("the page");
    assert_eq!(page.matches("<div class=\"run\">").count(), 3);
    assert!(page.contains("gas main"));
}

#[test]
fn ground_that_can_not_be_is_refused_in_words() {
    let folder = Folder::new("ground-bad");
    let job = fixture("jobs/hill-lot.toml");
    let ask = |from: &str, to: &str| {
        assert!(job.contains(from), "{from}");
        let answer = run_fence(&["sheet", &folder.file("job.toml", job.replacen(from, to, 1))]);
        assert_eq!(answer.exit, Exit::Refused, "{to}: {}", answer.out);
        answer.err
    };
    let order = ask("{ at = \"48ft\", height", "{ at = \"20ft\", height");
    assert!(
        order.contains("reading 3 of the ground is at 20.000 ft"),
        "{order}"
    );
    let outside = ask(
        "{ at = \"end\", height = \"-10ft6in\" }",
        "{ at = \"300ft\", height = \"-10ft6in\" }",
    );
    assert!(
        outside.contains("measure stations from the start"),
        "{outside}"
    );
    let short = ask("    { at = \"end\", height = \"-10ft6in\" },\n", "");
    assert!(short.contains("read it at both ends"), "{short}");
    let both = ask("rod = \"6.40ft\"", "rod = \"6.40ft\", height = \"1ft\"");
    assert!(both.contains("exactly one of height and rod"), "{both}");
    let nan = ask("height = \"10in\"", "height = nan");
    assert!(nan.contains("NaN"), "{nan}");
    let run = ask(
        "[[ground]]\nrun = \"west line\"",
        "[[ground]]\nrun = \"nowhere\"",
    );
    assert!(run.contains("no route has"), "{run}");
    let twice = ask(
        "[[ground]]\nrun = \"rear line\"",
        "[[ground]]\nrun = \"west line\"",
    );
    assert!(twice.contains("given twice"), "{twice}");
    let gaps = ask("least_gap = \"1in\"", "least_gap = \"5in\"");
    assert!(gaps.contains("must not be above the greatest"), "{gaps}");
    let taped = ask(
        "[[ground]]\nrun = \"west line\"",
        "[[ground]]\nalong_ground = true\nrun = \"west line\"",
    );
    assert!(
        taped.contains("because the run's length is level"),
        "{taped}"
    );
}

const PLAIN: &str = r#"
length = "50ft"
line_post = "4in"
full = "92in"
min_cut = "12in"
start = { face = "2in", post = "4in" }
end = { face = "2in", post = "4in" }
"#;

fn posts(name: &str, more: &str, args: &[&str]) -> Answer {
    let folder = Folder::new(name);
    let path = folder.file("run.toml", format!("{PLAIN}{more}"));
    let args: Vec<&str> = ["posts", &path].iter().chain(args).copied().collect();
    run_fence(&args)
}

const SLOPE: &str = r#"
ground = [ { at = "0in", height = "0in" }, { at = "50ft", height = "-40in" } ]
slope = { rack = "10in", post_lengths = ["8ft", "10ft"] }
height = "5ft"
depth = "30in"
"#;

#[test]
fn a_run_alone_follows_its_ground() {
    let answer = posts("posts-slope", SLOPE, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let answer = answer.json();
    assert_eq!(answer["ground"]["steps"], 0);
    // sqrt(600^2 + 40^2) = 601.33 in.
    assert!((number(&answer["ground"]["along_ground_ft"]) - 50.1109).abs() < 1e-3);
    let text = posts("posts-slope-text", SLOPE, &[]);
    assert!(text.out.contains("racked down"), "{}", text.out);
    assert!(text.out.contains("ALONG GROUND"), "{}", text.out);
    // A product that does not rack leaves gaps over the limit, and says so.
    let level = SLOPE.replace("rack = \"10in\", ", "");
    let stepped = posts("posts-steps", &level, &["--json"]);
    assert_eq!(stepped.exit, Exit::AnswerIsNo, "{}", stepped.err);
    assert!(stepped.json()["ground"]["steps"].as_u64() > Some(3));
}

#[test]
fn a_run_alone_follows_an_arc() {
    let arc = "arc = { radius = \"60ft\", yard = \"away\", most_turn_deg = 10 }\n";
    let answer = posts("posts-arc", arc, &["--json"]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let answer = answer.json();
    // 8^2 / (8 x 60) ft = 1.6 in.
    assert!((number(&answer["arc"]["moved_in_in"]) - 1.6).abs() < 0.01);
    let text = posts("posts-arc-text", arc, &[]);
    assert!(text.out.contains("center to center"), "{}", text.out);
    let tight = posts("posts-arc-tight", &arc.replace("= 10", "= 5"), &[]);
    assert_eq!(tight.exit, Exit::AnswerIsNo);
    assert!(tight.out.contains("TOO TIGHT"), "{}", tight.out);
    let both = posts("posts-arc-both", &format!("{arc}{SLOPE}"), &[]);
    assert_eq!(both.exit, Exit::Refused);
    assert!(both.err.contains("leave one of them out"), "{}", both.err);
}

#[test]
fn a_run_alone_has_a_picture() {
    let folder = Folder::new("posts-picture");
    let path = folder.path("run.svg");
    let answer = posts("posts-picture-run", SLOPE, &["-o", &path]);
    assert_eq!(answer.exit, Exit::Done, "{}", answer.err);
    let svg = std::fs::read_to_string(&path).expect("the picture");
    let document = Document::parse(&svg).expect("well formed");
    let texts = document
        .descendants()
        .filter(|node| node.has_tag_name("text"));
    let cuts = texts.filter(|node| {
        node.text()
            .is_some_and(|text| text.trim().starts_with("CUT"))
    });
    assert_eq!(cuts.count(), 1);
    let other = posts("posts-picture-name", SLOPE, &["-o", "run.png"]);
    assert_eq!(other.exit, Exit::Refused);
    assert_eq!(json!(other.out), json!(""));
}
