//! Text folded for a terminal or a printed page.

/// No line is longer than this.
pub(crate) const WIDTH: usize = 100;

/// Returns a text in lines no longer than [`WIDTH`] where its words allow: the first
/// starts with `first`, the others are indented as far.
pub(crate) fn folded(first: &str, text: &str) -> Vec<String> {
    let indent = " ".repeat(first.chars().count());
    let mut lines = Vec::new();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
            lines.push(std::mem::replace(&mut line, indent.clone()));
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    lines.push(line);
    lines
}
