//! Slips of the pen in one number: a digit wrong, too many, lost or two of them
//! transposed.

use super::SlipKind;

/// Every text that one slip makes of a number, or one slip undone; a number is
/// digits with at most one point. The kind says what went wrong in the number as
/// given: it has a digit too many where taking one out gives the text.
pub(super) fn digit_changes(number: &str) -> Vec<(SlipKind, String)> {
    let digits: Vec<char> = number.chars().collect();
    let mut changes = Vec::new();
    for (at, &digit) in digits.iter().enumerate() {
        if digit.is_ascii_digit() {
            wrong(&digits, at, digit, &mut changes);
            changes.push((SlipKind::ExtraDigit, spliced(&digits, at, 1, &[])));
            transposed(&digits, at, &mut changes);
        }
        lost(&digits, at, &mut changes);
    }
    // After the decimals there is nothing to lose; a whole number may lack its end.
    if !digits.contains(&'.') {
        lost(&digits, digits.len(), &mut changes);
    }
    changes
}

/// A number without a point, with one before its last digit or its last two.
pub(super) fn points_put_in(number: &str) -> Vec<(SlipKind, String)> {
    if number.contains('.') {
        return Vec::new();
    }
    [2, 1]
        .into_iter()
        .filter(|&decimals| decimals < number.len())
        .map(|decimals| (SlipKind::LostPoint, with_point(number, decimals)))
        .collect()
}

/// Digits with a point before the last `decimals` of them.
pub(super) fn with_point(digits: &str, decimals: usize) -> String {
    if decimals == 0 {
        return digits.to_owned();
    }
    let padded = format!("{digits:0>width$}", width = decimals + 1);
    let (whole, rest) = padded.split_at(padded.len().saturating_sub(decimals));
    format!("{whole}.{rest}")
}

fn wrong(digits: &[char], at: usize, digit: char, changes: &mut Vec<(SlipKind, String)>) {
    for other in ('0'..='9').filter(|&other| other != digit) {
        changes.push((SlipKind::WrongDigit, spliced(digits, at, 1, &[other])));
    }
}

fn lost(digits: &[char], at: usize, changes: &mut Vec<(SlipKind, String)>) {
    for digit in '0'..='9' {
        changes.push((SlipKind::LostDigit, spliced(digits, at, 0, &[digit])));
    }
}

/// The digit exchanged with the next one, across the point if there is one
/// between.
fn transposed(digits: &[char], at: usize, changes: &mut Vec<(SlipKind, String)>) {
    let rest = digits.get(at..).unwrap_or_default();
    let swapped = match *rest {
        [a, '.', b, ..] => spliced(digits, at, 3, &[b, '.', a]),
        [a, b, ..] if b.is_ascii_digit() => spliced(digits, at, 2, &[b, a]),
        _ => return,
    };
    changes.push((SlipKind::TransposedDigits, swapped));
}

/// The digits with some of them replaced.
fn spliced(digits: &[char], at: usize, replaced: usize, by: &[char]) -> String {
    let (head, rest) = digits.split_at(at.min(digits.len()));
    head.iter()
        .chain(by)
        .chain(rest.iter().skip(replaced))
        .collect()
}

#[cfg(test)]
mod tests;
