//! `fence sheet JOB -o FILE`: the plan, the page and the text.

use std::fs;
use std::path::{Path, PathBuf};

use fence_cli::Exit;
use fence_tests::{fixture, fixture_path};
use roxmltree::{Document, Node};

use crate::program::{Answer, run_fence};

/// A folder of its own for each test, gone when the test is.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("fence-plan-{name}-{}", std::process::id()));
        fs::create_dir_all(&path).expect("a temporary folder");
        Self(path)
    }

    fn at(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(&self.0).expect("the folder");
        entries
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .into_string()
                    .expect("UTF-8")
            })
            .collect()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn sheet(job: &Path, output: &Path) -> Answer {
    let [job, output] = [job, output].map(|path| path.to_str().expect("UTF-8"));
    run_fence(&["sheet", job, "-o", output])
}

/// The plan of a job written by hand.
fn plan_of(name: &str, job: &str) -> String {
    let folder = Folder::new(name);
    let (job_path, plan) = (folder.at("job.toml"), folder.at("plan.svg"));
    fs::write(&job_path, job).expect("the job");
    let answer = sheet(&job_path, &plan);
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    fs::read_to_string(plan).expect("the plan")
}

fn plan_of_fixture(name: &str) -> String {
    let folder = Folder::new(&name.replace('/', "-"));
    let plan = folder.at("plan.svg");
    let answer = sheet(&fixture_path(name), &plan);
    assert_ne!(answer.exit, Exit::Refused, "{}", answer.err);
    fs::read_to_string(plan).expect("the plan")
}

fn texts(document: &Document) -> Vec<String> {
    let words = document
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .filter_map(|node| node.text());
    words.map(|text| text.trim().to_owned()).collect()
}

fn has(texts: &[String], wanted: &str) -> bool {
    texts.iter().any(|text| text.contains(wanted))
}

/// Where a group with this name was put.
fn place(document: &Document, class: &str, name: &str) -> (f64, f64) {
    let group = document
        .descendants()
        .find(|node| {
            node.attribute("class") == Some(class) && node.attribute("data-name") == Some(name)
        })
        .expect(name);
    let (_, after) = group
        .attribute("transform")
        .and_then(|transform| transform.split_once("translate("))
        .expect("a transform");
    let (numbers, _) = after.split_once(')').expect("two numbers");
    let (x, y) = numbers.split_once(' ').expect("two numbers");
    (x.parse().expect("x"), y.parse().expect("y"))
}

fn number(node: &Node, name: &str) -> f64 {
    node.attribute(name)
        .and_then(|text| text.parse().ok())
        .expect(name)
}

fn feet_per_inch(document: &Document) -> f64 {
    number(&document.root_element(), "data-feet-per-inch")
}

fn without_ticket(job: &str) -> String {
    let (before, after) = job.split_once("[locate]").expect("a ticket");
    let (_, rest) = after.split_once("[[utility]]").expect("a utility");
    format!("{before}[[utility]]{rest}")
}

#[test]
fn a_plan_names_every_flag_run_gate_corner_and_utility() {
    for (job, names) in [
        (
            "jobs/town-lot.toml",
            [
                "flag F1",
                "flag B",
                "flag C",
                "flag F2",
                "wall at h3",
                "west return",
                "west line",
                "rear line",
                "east line",
                "east return",
                "walk gate",
                "house",
                "electric service",
                "Saltmarsh Bend",
            ]
            .as_slice(),
        ),
        (
            "jobs/tern-hollow.toml",
            [
                "flag W1",
                "flag P2",
                "flag P3",
                "flag E1",
                "west return",
                "west line",
                "rear line",
                "east line",
                "east return",
                "walk gate",
                "drive gate",
                "house",
                "electric service",
                "water service",
                "air conditioner",
                "SEARCH HERE",
            ]
            .as_slice(),
        ),
    ] {
        let plan = plan_of_fixture(job);
        let document = Document::parse(&plan).expect("well-formed XML");
        let texts = texts(&document);
        for name in names {
            assert!(has(&texts, name), "{job}: no {name:?}");
        }
        for caution in ["CAUTIONS", "one-call center", "boundary survey", "lot line"] {
            assert!(has(&texts, caution), "{job}: no {caution:?}");
        }
    }
}

#[test]
fn distances_on_paper_are_feet_by_the_scale_and_north_is_up() {
    let plan = plan_of_fixture("jobs/town-lot.toml");
    let document = Document::parse(&plan).expect("well-formed XML");
    let inch = 72.0;
    let scale = inch / feet_per_inch(&document);
    let [a, b, d] = ["A", "B", "D"].map(|name| place(&document, "corner", name));
    // The tape from A to B reads 120 ft 1/2 in, due north; from A to D 60 ft.
    assert!((a.0 - b.0).abs() < 0.011, "{a:?} {b:?}");
    assert!(
        (a.1 - b.1 - (120.0 + 0.5 / 12.0) * scale).abs() < 0.011,
        "{a:?} {b:?}"
    );
    assert!(((d.0 - a.0).hypot(d.1 - a.1) - 60.0 * scale).abs() < 0.02);
    assert!(d.0 > a.0, "east is to the right");
    // The sheet says that this string is 59' 1-1/4" long, to an eighth.
    let string = document
        .descendants()
        .find(|node| node.attribute("data-run") == Some("rear line"))
        .expect("a string");
    let [x1, y1, x2, y2] = ["x1", "y1", "x2", "y2"].map(|name| number(&string, name));
    let long = (x2 - x1).hypot(y2 - y1);
    assert!((long - (59.0 + 1.25 / 12.0) * scale).abs() < 0.02 + scale / 12.0 / 16.0);
}

#[test]
fn the_sheet_is_us_letter_and_states_its_scale() {
    let plan = plan_of_fixture("jobs/town-lot.toml");
    let document = Document::parse(&plan).expect("well-formed XML");
    let root = document.root_element();
    let size = ["width", "height"].map(|name| root.attribute(name).expect(name));
    assert!(
        size == ["8.5in", "11in"] || size == ["11in", "8.5in"],
        "{size:?}"
    );
    assert!(has(&texts(&document), "1 in = 20 ft"));
}

#[test]
fn banners_stand_where_they_are_due_and_nowhere_else() {
    let job = fixture("jobs/town-lot.toml");
    let (no_dig, not_pinned) = ("DO NOT DIG", "NOT PINNED - ESTIMATE ONLY");
    let unaccepted = job.replace("accepted_by = ", "cap = ").replacen(
        "cap = \"plastic, LS number illegible\"\n",
        "",
        1,
    );
    for (name, job, digs, pinned) in [
        ("good", job.clone(), true, true),
        ("no-ticket", without_ticket(&job), false, true),
        ("not-accepted", unaccepted, true, false),
    ] {
        let plan = plan_of(name, &job);
        let document = Document::parse(&plan).expect("well-formed XML");
        let texts = texts(&document);
        assert_eq!(has(&texts, no_dig), !digs, "{name}");
        assert_eq!(has(&texts, not_pinned), !pinned, "{name}");
    }
}

#[test]
fn a_flag_on_a_side_that_is_not_pinned_is_not_to_be_set() {
    let job = fixture("jobs/town-lot.toml")
        .replace("cap = \"plastic, LS number illegible\"\n", "")
        .replace("accepted_by = ", "cap = ");
    let plan = plan_of("no-flags", &job);
    let document = Document::parse(&plan).expect("well-formed XML");
    let texts = texts(&document);
    assert!(has(&texts, "B: set no flag"));
    assert!(has(&texts, "pin not accepted"));
    assert!(!has(&texts, "flag B"));
}

/// Names with the signs of markup, and one that XML has no character for.
fn awkward() -> String {
    fixture("jobs/town-lot.toml")
        .replace(
            "name = \"Back yard, 6 ft privacy\"",
            r#"name = "A & <b> \"q\" 'x' \u0007 ]]> &amp;""#,
        )
        .replace("name = \"walk gate\"", "name = \"gate & <i>\"")
        .replace("name = \"house\"", "name = \"<house>\"")
        .replace("run = \"rear line\"", r#"run = "r & \"<r>\"""#)
        .replace("name = \"electric service\"", r#"name = "a&b \"c\"""#)
}

#[test]
fn names_with_signs_of_markup_come_out_as_they_are() {
    let plan = plan_of("awkward", &awkward());
    let document = Document::parse(&plan).expect("well-formed XML");
    let texts = texts(&document);
    for name in [
        "A & <b> \"q\" 'x'",
        "gate & <i>",
        "<house>",
        "r & \"<r>\"",
        "a&b \"c\"",
    ] {
        assert!(has(&texts, name), "no {name:?} in {texts:?}");
    }
    let tags = ["b", "i", "house", "r"];
    assert!(
        !document
            .descendants()
            .any(|node| tags.contains(&node.tag_name().name()))
    );
}

#[test]
fn the_page_holds_plan_and_sheet_with_names_escaped() {
    let folder = Folder::new("page");
    let (job, page) = (folder.at("job.toml"), folder.at("sheet.html"));
    fs::write(&job, awkward()).expect("the job");
    let answer = sheet(&job, &page);
    let page = fs::read_to_string(page).expect("the page");
    assert!(page.starts_with("<!DOCTYPE html>"));
    for part in [
        "<svg ",
        "@page plan",
        "A &amp; &lt;b&gt;",
        "WALK-THROUGH",
        "gate &amp; &lt;i&gt;",
    ] {
        assert!(page.contains(part), "no {part:?}");
    }
    for part in ["<b>", "<i>", "<house>", "http:", "https:", "src="] {
        let page = page.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
        assert!(!page.contains(part), "{part:?}");
    }
    assert!(answer.out.contains("<house>") || answer.out.contains("gate & <i>"));
}

#[test]
fn a_text_file_is_the_sheet_that_is_printed() {
    let folder = Folder::new("text");
    let path = folder.at("sheet.TXT");
    let answer = sheet(&fixture_path("jobs/town-lot.toml"), &path);
    assert_eq!(answer.exit, Exit::Done);
    assert_eq!(fs::read_to_string(path).expect("the sheet"), answer.out);
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let plan = || plan_of_fixture("jobs/tern-hollow.toml");
    assert_eq!(plan(), plan());
}

#[test]
fn another_extension_is_refused_and_leaves_nothing() {
    let folder = Folder::new("refused");
    for name in ["plan.png", "plan", "plan.svg.bak"] {
        let answer = sheet(&fixture_path("jobs/town-lot.toml"), &folder.at(name));
        assert_eq!(answer.exit, Exit::Refused, "{name}");
        assert!(answer.out.is_empty(), "{name}");
        for known in [name, ".svg", ".html", ".txt"] {
            assert!(answer.err.contains(known), "{}", answer.err);
        }
        assert!(folder.names().is_empty(), "{:?}", folder.names());
    }
}

#[test]
fn a_folder_that_cannot_be_written_leaves_nothing() {
    let folder = Folder::new("nowhere");
    let missing = folder.at("missing").join("plan.svg");
    let answer = sheet(&fixture_path("jobs/town-lot.toml"), &missing);
    assert_eq!(answer.exit, Exit::Refused);
    assert!(answer.out.is_empty());
    assert!(answer.err.contains("missing"), "{}", answer.err);
    assert!(folder.names().is_empty(), "{:?}", folder.names());

    // A folder stands where the file should: the half-written file goes too.
    fs::create_dir(folder.at("plan.svg")).expect("a folder");
    let answer = sheet(&fixture_path("jobs/town-lot.toml"), &folder.at("plan.svg"));
    assert_eq!(answer.exit, Exit::Refused);
    assert!(answer.out.is_empty());
    assert_eq!(folder.names(), ["plan.svg"]);
}
