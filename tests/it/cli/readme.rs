//! The tour of the README is what the program prints.

use crate::program::run_fence;

/// A command of the README and the output shown below it.
struct Shown<'a> {
    command: &'a str,
    output: &'a str,
}

fn shown(readme: &str) -> Vec<Shown<'_>> {
    readme
        .split("```text\n$ fence ")
        .skip(1)
        .map(|rest| {
            let block = rest.split("\n```").next().unwrap_or(rest);
            let (command, output) = block.split_once('\n').expect("output below the command");
            Shown { command, output }
        })
        .collect()
}

/// Output without blanks at the ends of lines, which a README does not keep.
fn plain(output: &str) -> String {
    let lines: Vec<&str> = output.lines().map(str::trim_end).collect();
    lines.join("\n").trim_end().to_owned()
}

#[test]
fn the_tour_is_what_the_program_prints() {
    let readme = include_str!("../../../README.md");
    let fixtures = concat!(env!("CARGO_MANIFEST_DIR"), "/../fixtures/");
    let tour = shown(readme);
    assert!(tour.len() >= 5, "{} commands", tour.len());
    for Shown { command, output } in tour {
        let args: Vec<String> = command
            .split(' ')
            .map(|word| word.replace("fixtures/", fixtures))
            .collect();
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        let printed = plain(&run_fence(&args).out);
        match output.strip_suffix("\n...") {
            Some(start) => assert!(printed.starts_with(start), "fence {command}:\n{printed}"),
            None => assert_eq!(printed, output, "fence {command}"),
        }
    }
}
