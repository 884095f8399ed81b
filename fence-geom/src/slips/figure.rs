//! Figures of a call as they are written: digits, parts and unit.

use std::fmt::Write;

use super::SlipKind;
use super::digits::{digit_changes, points_put_in, with_point};
use crate::length::{INCHES_PER_FOOT, Length};
use crate::units::{FootKind, LengthUnit};

/// The most decimals that a figure is looked for with.
const MAX_DECIMALS: usize = 4;

/// How far a count may lie from a whole number, or a step from a power of ten,
/// and still be one: far above the rounding of doubles, and below the two
/// millionths by which the two feet differ.
const NEARLY: f64 = 1e-7;

/// A figure: its parts, the largest first.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Figure {
    parts: Vec<Part>,
    /// The unit of a length; none for an angle.
    unit: Option<LengthUnit>,
}

/// One number of a figure.
#[derive(Clone, Debug, PartialEq)]
struct Part {
    digits: String,
    /// What one of it is worth, in feet or degrees.
    worth: f64,
    /// What it stays below.
    below: f64,
    /// What it is printed with at least, before the point.
    width: usize,
    /// What is printed after it.
    mark: &'static str,
}

/// The units that a length may be written in, and what follows the number.
const UNITS: [(LengthUnit, &str); 11] = [
    (LengthUnit::Foot(FootKind::International), " ft"),
    (LengthUnit::Foot(FootKind::UsSurvey), " ft"),
    (LengthUnit::Meter, " m"),
    (LengthUnit::Chain(FootKind::UsSurvey), " ch"),
    (LengthUnit::Chain(FootKind::International), " ch"),
    (LengthUnit::Rod(FootKind::UsSurvey), " rd"),
    (LengthUnit::Rod(FootKind::International), " rd"),
    (LengthUnit::Link(FootKind::UsSurvey), " lk"),
    (LengthUnit::Link(FootKind::International), " lk"),
    (LengthUnit::Yard, " yd"),
    (LengthUnit::Inch, " in"),
];

impl Figure {
    /// A length as it was written, found from its value and from half of its last
    /// digit: 825.00165 ft to the nearest 0.66 ft are 12.50 chains.
    pub(super) fn of_length(length: Length, half: Length) -> Self {
        let feet = length.feet();
        let step = 2.0 * half.feet();
        UNITS
            .iter()
            .find_map(|&(unit, mark)| {
                let decimals = decimals_of_step(step / unit.feet())?;
                Self::count_of(feet, unit, mark, decimals)
            })
            .or_else(|| {
                UNITS.iter().find_map(|&(unit, mark)| {
                    let decimals = (0..MAX_DECIMALS)
                        .find(|&decimals| is_count(feet / unit.feet(), decimals))?;
                    Self::count_of(feet, unit, mark, decimals)
                })
            })
            .unwrap_or_else(|| {
                let foot = LengthUnit::Foot(FootKind::International);
                Self::number(feet, 2, foot, " ft")
            })
    }

    /// An angle as it was written, found in the same way.
    pub(super) fn of_degrees(degrees: f64, half: f64, below: f64) -> Self {
        let step = 2.0 * half;
        let decimal = decimals_of_step(step).filter(|&decimals| decimals > 0);
        if let Some(decimals) = decimal {
            let digits = fixed(degrees, decimals);
            return Self::angle(vec![Part::of(digits, 1.0, below, 1, "°")]);
        }
        // The number of parts, and the decimals of the last.
        let (count, decimals) = if decimals_of_step(step) == Some(0) {
            (1, 0)
        } else if decimals_of_step(step * 60.0) == Some(0) {
            (2, 0)
        } else if let Some(decimals) = decimals_of_step(step * 3600.0) {
            (3, decimals)
        } else {
            let seconds = degrees * 3600.0;
            let found = (0..MAX_DECIMALS).find(|&decimals| is_count(seconds, decimals));
            (3, found.unwrap_or(0))
        };
        Self::sexagesimal(degrees, count, decimals, below)
    }

    fn sexagesimal(degrees: f64, count: usize, decimals: usize, below: f64) -> Self {
        let scale = 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
        let last = [1.0, 60.0, 3600.0].get(count - 1).copied().unwrap_or(1.0);
        let mut rest = (degrees * last * scale).round() / scale;
        let mut parts = Vec::with_capacity(count);
        let shape = [(below, 1, "°"), (60.0, 2, "'"), (60.0, 2, "\"")];
        for (i, (below, width, mark)) in shape.into_iter().enumerate().take(count).rev() {
            let part = if i == 0 { rest } else { rest.rem_euclid(60.0) };
            let decimals = if i + 1 == count { decimals } else { 0 };
            let worth = [1.0, 1.0 / 60.0, 1.0 / 3600.0];
            let worth = worth.get(i).copied().unwrap_or(1.0);
            parts.push(Part::of(fixed(part, decimals), worth, below, width, mark));
            rest = ((rest - part) / 60.0).round();
        }
        parts.reverse();
        Self::angle(parts)
    }

    const fn angle(parts: Vec<Part>) -> Self {
        Self { parts, unit: None }
    }

    fn count_of(feet: f64, unit: LengthUnit, mark: &'static str, decimals: usize) -> Option<Self> {
        let count = feet / unit.feet();
        if !is_count(count, decimals) {
            return None;
        }
        if unit == LengthUnit::Inch && count >= INCHES_PER_FOOT {
            let whole = (count / INCHES_PER_FOOT + NEARLY).floor();
            let inches = (count - whole * INCHES_PER_FOOT).max(0.0);
            let parts = vec![
                Part::of(fixed(whole, 0), 1.0, f64::INFINITY, 1, " ft "),
                Part::of(
                    fixed(inches, decimals),
                    unit.feet(),
                    INCHES_PER_FOOT,
                    1,
                    mark,
                ),
            ];
            let unit = None;
            return Some(Self { parts, unit });
        }
        Some(Self::number(feet, decimals, unit, mark))
    }

    fn number(feet: f64, decimals: usize, unit: LengthUnit, mark: &'static str) -> Self {
        let digits = fixed(feet / unit.feet(), decimals);
        Self {
            parts: vec![Part::of(digits, unit.feet(), f64::INFINITY, 1, mark)],
            unit: Some(unit),
        }
    }

    /// The value, in feet or degrees.
    pub(super) fn value(&self) -> f64 {
        let value = |part: &Part| part.number().unwrap_or(0.0) * part.worth;
        self.parts.iter().map(value).sum()
    }

    /// Another value, written in the same way.
    pub(super) fn at(&self, value: f64) -> Self {
        let decimals = |part: &Part| part.digits.split_once('.').map_or(0, |(_, it)| it.len());
        let (Some(first), Some(last)) = (self.parts.first(), self.parts.last()) else {
            return self.clone();
        };
        match self.unit {
            None if first.mark == "°" && self.parts.len() > 1 => {
                Self::sexagesimal(value, self.parts.len(), decimals(last), first.below)
            }
            None if self.parts.len() > 1 => {
                let foot = LengthUnit::Foot(FootKind::International);
                Self::number(value, 2, foot, " ft")
            }
            _ => {
                let mut only = first.clone();
                only.digits = fixed(value / only.worth, decimals(first));
                Self {
                    parts: vec![only],
                    unit: self.unit,
                }
            }
        }
    }

    /// The figure in words for people.
    pub(super) fn text(&self) -> String {
        let mut text = String::new();
        for part in &self.parts {
            let whole = part.digits.split('.').next().map_or(0, str::len);
            let zeros = part.width.saturating_sub(whole);
            // Writing to a string can't fail.
            let _ = write!(text, "{}{}{}", "0".repeat(zeros), part.digits, part.mark);
        }
        text
    }

    /// Every figure that one slip of the pen makes of this one, without those of
    /// the same value.
    pub(super) fn changes(&self) -> Vec<(SlipKind, Self)> {
        let mut changes = Vec::new();
        let mut seen = vec![self.value()];
        for (i, part) in self.parts.iter().enumerate() {
            for (kind, digits) in part.changes(self.unit.is_some()) {
                let mut changed = self.clone();
                let Some(slot) = changed.parts.get_mut(i) else {
                    continue;
                };
                slot.digits = digits;
                let fits = slot.number().is_some_and(|number| number < slot.below);
                let value = changed.value();
                if fits && !seen.iter().any(|it| it.total_cmp(&value).is_eq()) {
                    seen.push(value);
                    changes.push((kind, changed));
                }
            }
        }
        changes
    }

    /// The same number in each other unit.
    pub(super) fn other_units(&self) -> Vec<Self> {
        let (Some(own), [part]) = (self.unit, self.parts.as_slice()) else {
            return Vec::new();
        };
        let foot = own.foot_kind().unwrap_or_default();
        UNITS
            .iter()
            .filter(|(unit, _)| unit.foot_kind().is_none_or(|kind| kind == foot))
            .filter(|(unit, _)| *unit != own && *unit != LengthUnit::Inch)
            .map(|&(unit, mark)| {
                let mut part = part.clone();
                part.worth = unit.feet();
                part.mark = mark;
                Self {
                    parts: vec![part],
                    unit: Some(unit),
                }
            })
            .collect()
    }
}

impl Part {
    const fn of(digits: String, worth: f64, below: f64, width: usize, mark: &'static str) -> Self {
        Self {
            digits,
            worth,
            below,
            width,
            mark,
        }
    }

    fn number(&self) -> Option<f64> {
        self.digits.parse().ok()
    }

    /// What slips make of the digits: as they stand and, for the parts of an
    /// angle, with the zero before a single digit too.
    fn changes(&self, of_length: bool) -> Vec<(SlipKind, String)> {
        let mut changes = digit_changes(&self.digits);
        if of_length {
            changes.extend(points_put_in(&self.digits));
        } else if self.digits.split('.').next().map_or(0, str::len) == 1 {
            changes.extend(digit_changes(&format!("0{}", self.digits)));
        }
        if self.width == 1 {
            // Nobody writes 0119 feet: that digit is one too many.
            changes.retain(|(_, digits)| !starts_with_idle_zero(digits));
        }
        changes
    }
}

fn starts_with_idle_zero(digits: &str) -> bool {
    digits
        .strip_prefix('0')
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// The decimals of a number whose last digit is worth `step`.
fn decimals_of_step(step: f64) -> Option<usize> {
    (0..=MAX_DECIMALS).find(|&decimals| {
        let scale = 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
        (step * scale - 1.0).abs() < NEARLY
    })
}

/// Whether a number has no more than some decimals.
fn is_count(number: f64, decimals: usize) -> bool {
    let scaled = number * 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
    (scaled - scaled.round()).abs() <= NEARLY * scaled.abs().max(1.0).sqrt()
}

/// A number with so many decimals.
fn fixed(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    // A number below half of the last digit may print as a negative zero.
    let digits = text.trim_start_matches('-');
    if digits.is_empty() {
        with_point("0", decimals)
    } else {
        digits.to_owned()
    }
}

#[cfg(test)]
mod tests;
