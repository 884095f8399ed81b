//! The program as a process: its streams and its exit status.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn fence(args: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_fence"))
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(".."))
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    child
        .stdin
        .take()
        .expect("a pipe")
        .write_all(input.as_bytes())
        .expect("the program reads");
    child.wait_with_output().expect("the program ends")
}

#[test]
fn an_answer_goes_to_the_output_and_ends_with_0() {
    let output = fence(&["sheet", "fixtures/jobs/town-lot.toml"], "");
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty());
    assert!(String::from_utf8_lossy(&output.stdout).contains("RUN west line"));
}

#[test]
fn an_answer_of_no_ends_with_1() {
    let output = fence(&["square", "30ft", "40ft", "50ft3in"], "");
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stderr.is_empty());
}

#[test]
fn a_refusal_goes_to_the_error_stream_and_ends_with_2() {
    let output = fence(&["square", "3ft", "4ft", "8ft"], "");
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    assert!(String::from_utf8_lossy(&output.stderr).starts_with("error: "));
}

#[test]
fn a_dash_reads_the_standard_input() {
    let calls = "N0E 100ft\nN90E 60ft\nS0E 100ft\nS90W 60ft\n";
    let output = fence(&["deed", "-", "--json"], calls);
    assert_eq!(output.status.code(), Some(0));
    assert!(String::from_utf8_lossy(&output.stdout).contains("\"area_sq_ft\""));
}

#[test]
fn help_names_every_verb() {
    let output = fence(&["--help"], "");
    assert_eq!(output.status.code(), Some(0));
    let help = String::from_utf8_lossy(&output.stdout);
    for verb in [
        "batch", "deed", "fit", "offset", "posts", "schema", "sheet", "square", "takeoff", "tie",
    ] {
        assert!(help.contains(verb), "{verb}");
    }
}
