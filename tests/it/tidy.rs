//! Rules of the house that a machine can see: floors, absences, spelling.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The modules of the library by floor. A module uses lower numbers only; tens
/// are the floors, ones the half-floors within.
const FLOORS: &[(u32, &[&str])] = &[
    // Quantities.
    (0, &["reading"]),
    (1, &["length", "quantity_words"]),
    (2, &["angle", "units"]),
    (3, &["bearing", "length_print"]),
    (4, &["angle_text", "length_text", "standards"]),
    (5, &["angle_print"]),
    // The plane, doubt and tapes.
    (10, &["point"]),
    (11, &["orient", "triangle", "estimate", "piece"]),
    (12, &["ring", "tape", "tape_corrections"]),
    (13, &["intersect", "square", "region"]),
    (14, &["survey", "two_tapes"]),
    (15, &["ties", "sights"]),
    // The record.
    (20, &["last_digit", "deed"]),
    (21, &["curve"]),
    (22, &["call_line", "tract"]),
    (23, &["call_table"]),
    (24, &["description"]),
    (26, &["traverse"]),
    (27, &["area_check", "balance", "complete"]),
    (28, &["slips"]),
    // Record against ground.
    (30, &["pins", "net"]),
    (31, &["fit"]),
    (32, &["lot"]),
    // Lines and products.
    (40, &["corner", "stock", "trade"]),
    (41, &["offset", "product"]),
    // Along the line.
    (50, &["obstacle", "profile"]),
    (51, &["route", "layout", "slope"]),
    (52, &["arc_layout", "ground_layout", "tee"]),
    // The job.
    (60, &["locate", "takeoff"]),
    (61, &["job"]),
];

/// Side wings: what they may use is their own affair, and only the named module
/// groups may use them.
const WINGS: &[&str] = &["serialized", "geodesy"];

/// What the library never does: files, network, clock, environment, printing,
/// global state, panics on input.
const ABSENT: &[&str] = &[
    "std::fs",
    "std::net",
    "std::env",
    "std::io",
    "std::time",
    "SystemTime",
    "Instant::now",
    "std::process",
    "static mut",
    "thread_local!",
    "println!",
    "eprintln!",
    "print!(",
    "dbg!",
    ".unwrap()",
    ".expect(",
    "panic!(",
    "unreachable!(",
    "todo!(",
    "unimplemented!(",
    "unsafe ",
];

/// British spellings, which nothing that a user or embedder reads may have.
const BRITISH: &[&str] = &[
    "metre",
    "centre",
    "neighbour",
    "colour",
    "mitre",
    "grey",
    "honour",
    "behaviour",
    "labelled",
    "licence",
];

/// Files with lists of words that people write.
const READERS: &[&str] = &[
    "call_table.rs",
    "keywords.rs",
    "length_text.rs",
    "quantity_words.rs",
];

fn root() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))
}

/// All files below a folder with the given ending, in order.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let entries = std::fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    for entry in entries {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.extension().is_some_and(|it| it == ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The sources of the library without its unit tests: module, path, code lines.
fn library() -> Vec<(String, PathBuf, Vec<String>)> {
    let src = root().join("fence-geom/src");
    files(&src, "rs")
        .into_iter()
        .filter(|path| !path.ends_with("tests.rs"))
        .map(|path| {
            let inside = path.strip_prefix(&src).expect("below src");
            let first = inside.iter().next().expect("a name").to_string_lossy();
            let module = first.trim_end_matches(".rs").to_owned();
            let text = std::fs::read_to_string(&path).expect("UTF-8");
            let code = text
                .lines()
                .filter(|line| !line.trim_start().starts_with("//"))
                .map(str::to_owned)
                .collect();
            (module, path, code)
        })
        .collect()
}

fn floor(module: &str) -> Option<u32> {
    FLOORS
        .iter()
        .find(|(_, modules)| modules.contains(&module))
        .map(|(floor, _)| *floor)
}

/// The modules of this crate that a line of code names.
fn named(line: &str) -> Vec<&str> {
    line.split("crate::")
        .skip(1)
        .map(|rest| {
            let end =
                rest.find(|c: char| !(c.is_ascii_lowercase() || c == '_' || c.is_ascii_digit()));
            &rest[..end.unwrap_or(rest.len())]
        })
        .collect()
}

#[test]
fn modules_use_lower_floors_only() {
    let mut seen = BTreeSet::new();
    for (module, path, code) in library() {
        if module == "lib" || WINGS.contains(&module.as_str()) {
            continue;
        }
        let own = floor(&module)
            .unwrap_or_else(|| panic!("{module} has no floor: give it one in FLOORS"));
        seen.insert(module.clone());
        for used in code.iter().flat_map(|line| named(line)) {
            if used == module || used == "serialized" || used.is_empty() {
                continue;
            }
            let below = floor(used).unwrap_or_else(|| panic!("{}: {used}?", path.display()));
            assert!(
                below < own,
                "{}: {module} (floor {own}) uses {used} (floor {below})",
                path.display()
            );
        }
    }
    let listed: usize = FLOORS.iter().map(|(_, modules)| modules.len()).sum();
    assert_eq!(seen.len(), listed, "FLOORS lists a module that is gone");
}

#[test]
fn the_library_does_not_reach_outside_or_panic() {
    let files = library();
    assert!(files.len() > 30, "the sources were found");
    for (_, path, code) in files {
        for line in &code {
            if line.contains("clippy::") {
                continue;
            }
            for absent in ABSENT {
                assert!(
                    !line.contains(absent),
                    "{}: {absent} in {line}",
                    path.display()
                );
            }
        }
    }
}

#[test]
fn the_program_leaves_arithmetic_to_the_library() {
    let manifest =
        std::fs::read_to_string(root().join("fence-cli/Cargo.toml")).expect("a manifest");
    for package in ["nalgebra", "geo.", "robust", "proj."] {
        assert!(
            !manifest.contains(package),
            "fence-cli depends on {package}"
        );
    }
}

#[test]
fn spelling_is_american() {
    let folders = ["fence-geom/src", "fence-cli/src"];
    let sources = folders.map(|folder| files(&root().join(folder), "rs"));
    let pages = ["README.md", "DEVELOPERS.md"].map(|page| root().join(page));
    for path in sources.iter().flatten().chain(&pages) {
        if path.ends_with("tests.rs") {
            continue;
        }
        let text = std::fs::read_to_string(path).expect("UTF-8");
        for (number, line) in text.lines().enumerate() {
            let plain = line.to_lowercase();
            for word in BRITISH {
                // The readers accept British spellings that people write.
                let accepted = READERS.iter().any(|reader| path.ends_with(reader));
                assert!(
                    (accepted && plain.contains('"')) || !plain.contains(word),
                    "{}:{}: {word}",
                    path.display(),
                    number + 1
                );
            }
        }
    }
}

#[test]
fn every_test_file_is_declared() {
    for folder in ["cli", "property", "reference"] {
        let folder = root().join("tests/it").join(folder);
        let list = std::fs::read_to_string(folder.join("mod.rs")).expect("a mod.rs");
        for path in files(&folder, "rs") {
            let name = path
                .file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned();
            let nested = path.parent() != Some(folder.as_path());
            assert!(
                nested || name == "mod" || list.contains(&format!("mod {name};")),
                "{} is not declared",
                path.display()
            );
        }
    }
}

#[test]
fn the_top_level_is_as_agreed() {
    let agreed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "fence-geom",
        "fence-cli",
        "tests",
        "benches",
        "fixtures",
        "target",
    ];
    for entry in std::fs::read_dir(root()).expect("the top level") {
        let name = entry
            .expect("an entry")
            .file_name()
            .to_string_lossy()
            .into_owned();
        assert!(
            name.starts_with('.') || agreed.contains(&name.as_str()),
            "{name} is not in the agreed top level"
        );
    }
}

/// What the map of the code leaves out is hard to find.
#[test]
fn the_code_map_names_every_module() {
    let map = std::fs::read_to_string(root().join("DEVELOPERS.md")).expect("the map");
    let modules = FLOORS.iter().flat_map(|(_, modules)| *modules);
    for module in modules.chain(WINGS) {
        assert!(map.contains(&format!("`{module}`")), "{module}");
    }
    let words = ["lib", "main", "commands", "contract", "drawing"];
    for path in std::fs::read_dir(root().join("fence-cli/src")).expect("the program") {
        let path = path.expect("an entry").path();
        let name = path
            .file_stem()
            .and_then(|name| name.to_str())
            .expect("UTF-8");
        if path.is_file() && !words.contains(&name) {
            assert!(map.contains(&format!("`{name}.rs`")), "{name}.rs");
        }
    }
}
