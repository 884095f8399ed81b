//! Shows a line of an input file with the words at fault underlined.

use std::fmt::Write;
use std::path::Path;

use fence_geom::LineFault;

/// The most characters of a line that are shown.
const WIDTH: usize = 80;

/// Returns the file, the line, the words at fault underlined, what is wrong with
/// them and what would be accepted. Of words on several lines, the line at fault is
/// shown.
pub(crate) fn show_fault(file: &Path, fault: &LineFault) -> String {
    let fault = &on_one_line(fault);
    let before = char_count(fault.words.get(..fault.at.start));
    let marked = char_count(fault.words.get(fault.at.clone())).max(1);
    // A long line is shown from a little before the words at fault.
    let first = if before + marked > WIDTH {
        before.saturating_sub(10)
    } else {
        0
    };
    let shown: String = fault
        .words
        .chars()
        .skip(first)
        .take(WIDTH)
        .map(visible)
        .collect();
    let underline = marked.min(WIDTH.saturating_sub(before - first)).max(1);
    let number = fault.line.to_string();
    let margin = " ".repeat(number.len());
    let mut text = String::new();
    let file = if file.as_os_str() == "-" {
        "standard input".into()
    } else {
        file.to_string_lossy()
    };
    let _ = writeln!(text, "{file}, line {number}: {}", fault.problem);
    let _ = writeln!(text, "  {number} | {shown}");
    let _ = writeln!(
        text,
        "  {margin} | {}{}",
        " ".repeat(before - first),
        "^".repeat(underline)
    );
    let _ = write!(text, "  {margin} = write it like {}", fault.accepted);
    text
}

/// The fault on the line on which it starts.
fn on_one_line(fault: &LineFault) -> LineFault {
    let before = fault.words.get(..fault.at.start).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    let rest = fault.words.get(start..).unwrap_or_default();
    let words = rest.lines().next().unwrap_or_default();
    let within = |at: usize| at.saturating_sub(start).min(words.len());
    LineFault {
        line: fault.line + before.matches('\n').count(),
        words: words.to_owned(),
        at: within(fault.at.start)..within(fault.at.end),
        ..fault.clone()
    }
}

fn char_count(text: Option<&str>) -> usize {
    text.map_or(0, |text| text.chars().count())
}

/// Tabs would shift the underline, and other controls could drive a terminal.
pub(crate) fn visible(c: char) -> char {
    if c == '\t' {
        ' '
    } else if c.is_control() {
        '\u{fffd}'
    } else {
        c
    }
}

#[cfg(test)]
mod tests;
