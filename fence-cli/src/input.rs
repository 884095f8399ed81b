//! Reading what a verb was given: a file by its path, or standard input as `-`.

use std::io::Read;
use std::path::Path;

use anyhow::Context;
use serde_json::Value;

use crate::line_fault::visible;
use crate::request_unit::in_its_unit;

/// Returns the whole text of `path`, or of standard input where it is `-`.
///
/// # Errors
///
/// Names the path where it can't be read, is not UTF-8, or holds nothing.
pub(crate) fn read_text(path: &Path) -> anyhow::Result<String> {
    let text = String::from_utf8(read_bytes(path)?)
        .with_context(|| format!("{} is not UTF-8 text", path.display()))?;
    // A byte order mark is no part of the first word.
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    anyhow::ensure!(
        !text.trim().is_empty(),
        "{} is empty: there is nothing to read",
        path.display()
    );
    Ok(text.to_owned())
}

/// Returns all bytes of `path`, or of standard input where it is `-`.
///
/// # Errors
///
/// Names the path where it can't be read.
pub(crate) fn read_bytes(path: &Path) -> anyhow::Result<Vec<u8>> {
    if path.as_os_str() == "-" {
        let mut bytes = Vec::new();
        std::io::stdin()
            .read_to_end(&mut bytes)
            .context("cannot read standard input")?;
        Ok(bytes)
    } else {
        std::fs::read(path).with_context(|| format!("cannot read {}", path.display()))
    }
}

/// Reads a request in JSON or TOML.
///
/// # Errors
///
/// Names the path, and the line at fault.
pub(crate) fn read_request<T: serde::de::DeserializeOwned>(path: &Path) -> anyhow::Result<T> {
    request_of(&read_text(path)?).with_context(|| path.display().to_string())
}

/// What is wrong with a text of JSON, with its line and the place marked.
fn json_fault(text: &str, error: &serde_json::Error) -> anyhow::Error {
    // Of a long line, what stands around the place.
    const BEFORE: usize = 40;
    const SHOWN: usize = 80;
    let words = error.to_string();
    let remedy = if error.is_syntax() {
        "; JSON has numbers such as 12.5, texts in double quotes, true, false, null, lists and objects"
    } else {
        ""
    };
    let Some(line) = error
        .line()
        .checked_sub(1)
        .and_then(|line| text.lines().nth(line))
    else {
        return anyhow::anyhow!("{words}{remedy}");
    };
    // The column counts bytes.
    let column = error.column().saturating_sub(1);
    let at = (line.get(..column)).map_or(column, |before| before.chars().count());
    let first = at.saturating_sub(BEFORE);
    let shown: String = line.chars().skip(first).take(SHOWN).map(visible).collect();
    let number = error.line().to_string();
    let margin = " ".repeat(number.len());
    let caret = " ".repeat(at - first);
    anyhow::anyhow!("{words}{remedy}\n  {number} | {shown}\n  {margin} | {caret}^")
}

/// The request in a text: JSON starts with a brace, TOML can't.
///
/// # Errors
///
/// Names the line at fault.
pub(crate) fn request_of<T: serde::de::DeserializeOwned>(text: &str) -> anyhow::Result<T> {
    if text.trim_start().starts_with('{') {
        let fault = |error| json_fault(text, &error);
        let request: Value = serde_json::from_str(text).map_err(fault)?;
        in_its_unit(&request, || serde_json::from_str(text).map_err(fault))
    } else {
        let request: Value = toml::from_str(text)?;
        in_its_unit(&request, || Ok(toml::from_str(text)?))
    }
}
