//! How finely a figure was written: half of its last digit.

/// Returns half of what `read` gives for one unit of the last digit of `text`,
/// or zero where the text has no digit.
///
/// The last number of the text is changed by one and the text read again, so
/// that any unit and any spelling the reader knows is covered: `10 ch 15 lk` is
/// written to a link, `12' 6-1/2"` to half an inch, `N 45-30-15 E` to a second.
pub(crate) fn half_last_digit(text: &str, read: impl Fn(&str) -> Option<f64>) -> f64 {
    let Some(value) = read(text) else {
        return 0.0;
    };
    neighbors(text)
        .into_iter()
        .find_map(|neighbor| read(&neighbor))
        .map_or(0.0, |other| (other - value).abs() / 2.0)
}

/// The text with its last number one less, and one more.
fn neighbors(text: &str) -> Vec<String> {
    let Some((start, end)) = last_number(text) else {
        return Vec::new();
    };
    let (head, rest) = text.split_at(start);
    let (digits, tail) = rest.split_at(end - start);
    let Ok(number) = digits.parse::<u64>() else {
        return Vec::new();
    };
    let width = digits.len();
    [number.checked_sub(1), number.checked_add(1)]
        .into_iter()
        .flatten()
        .map(|changed| format!("{head}{changed:0width$}{tail}"))
        .collect()
}

/// Where the last run of digits starts and ends; of a fraction, the numerator.
fn last_number(text: &str) -> Option<(usize, usize)> {
    let (start, end) = last_run(text)?;
    match text.get(..start).and_then(|head| head.strip_suffix('/')) {
        Some(head) => last_run(head).filter(|&(_, end)| end == head.len()),
        None => Some((start, end)),
    }
}

fn last_run(text: &str) -> Option<(usize, usize)> {
    let end = text.rfind(|c: char| c.is_ascii_digit())? + 1;
    let start = text
        .get(..end)?
        .rfind(|c: char| !c.is_ascii_digit())
        .map_or(0, |before| {
            before
                + text
                    .get(before..)
                    .and_then(|t| t.chars().next())
                    .map_or(1, char::len_utf8)
        });
    Some((start, end))
}

#[cfg(test)]
mod tests;
