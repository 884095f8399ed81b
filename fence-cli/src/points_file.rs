//! Points in a CSV file: a heading line, then a point a line.

use std::ops::Range;
use std::path::Path;

use fence_geom::{Length, LineFault, METERS_PER_FOOT, Point, Reading};

use crate::line_fault::show_fault;

const ROW: &str = "A,100.25,-35.5 in the order of the heading";
const HEADING: &str = "name,north_ft,east_ft or name,north_m,east_m (name may be left out)";

/// Where each column stands in a line.
struct Columns {
    name: Option<usize>,
    north: usize,
    east: usize,
    /// The feet in the unit of the coordinates.
    unit_feet: f64,
}

/// A line that is no comment, with its number.
pub(crate) struct Row<'a> {
    number: usize,
    words: &'a str,
}

/// Whether a text is a list of points: its first line that says anything heads
/// columns.
pub(crate) fn is_points(text: &str) -> bool {
    rows(text).next().is_some_and(|heading| {
        let words = heading.words.to_ascii_lowercase();
        let has = |direction: &str| {
            words
                .split(',')
                .any(|column| column.trim().starts_with(direction))
        };
        words.contains(',') && (has("north") || has("east") || has("name"))
    })
}

/// Reads the points of a text; those without a name are numbered, and that is
/// said.
///
/// # Errors
///
/// Shows the file, the line and the words at fault.
pub(crate) fn read_points(
    path: &Path,
    text: &str,
) -> anyhow::Result<Reading<Vec<(String, Point)>>> {
    points(text).map_err(|fault| anyhow::anyhow!(show_fault(path, &fault)))
}

fn points(text: &str) -> Result<Reading<Vec<(String, Point)>>, LineFault> {
    let mut rows = rows(text);
    let Some(heading) = rows.next() else {
        return Ok(Reading::sure(Vec::new()));
    };
    let columns = Columns::of(&heading)?;
    let mut reading = Reading::sure(Vec::new());
    for (i, row) in rows.enumerate() {
        let at = Point::new(
            columns.coordinate(&row, columns.north)?,
            columns.coordinate(&row, columns.east)?,
        );
        let at = at.map_err(|error| row.fault(0..row.words.len(), error.to_string(), ROW))?;
        let name = name_of(&row, columns.name, i, &mut reading.assumed);
        reading.value.push((name, at));
    }
    Ok(reading)
}

/// The name of the point in a line, or else its number, which is then said.
pub(crate) fn name_of(
    row: &Row<'_>,
    column: Option<usize>,
    index: usize,
    assumed: &mut Vec<String>,
) -> String {
    let name = column.map_or("", |column| row.field(column).0);
    if name.is_empty() {
        *assumed = vec!["corners without a name are numbered in order".to_owned()];
        return (index + 1).to_string();
    }
    name.to_owned()
}

/// The lines of a text that say anything.
pub(crate) fn rows(text: &str) -> impl Iterator<Item = Row<'_>> {
    text.lines()
        .zip(1..)
        .map(|(words, number)| Row { number, words })
        .filter(|row| {
            let words = row.words.trim();
            !words.is_empty() && !words.starts_with('#')
        })
}

impl Columns {
    fn of(heading: &Row<'_>) -> Result<Self, LineFault> {
        let mut found = (None, None, None);
        for (i, (column, at)) in heading.columns().enumerate() {
            let slot = match column.to_ascii_lowercase().as_str() {
                "name" => {
                    found.0 = Some(i);
                    continue;
                }
                "north_ft" => (&mut found.1, 1.0),
                "north_m" => (&mut found.1, 1.0 / METERS_PER_FOOT),
                "east_ft" => (&mut found.2, 1.0),
                "east_m" => (&mut found.2, 1.0 / METERS_PER_FOOT),
                other => {
                    let problem = format!(
                        "a column {other:?}: coordinates are headed north and east with their unit, _ft or _m"
                    );
                    return Err(heading.fault(at, problem, HEADING));
                }
            };
            *slot.0 = Some((i, slot.1));
        }
        match found {
            (name, Some((north, unit_feet)), Some((east, other)))
                if unit_feet.total_cmp(&other).is_eq() =>
            {
                Ok(Self {
                    name,
                    north,
                    east,
                    unit_feet,
                })
            }
            (_, Some(_), Some(_)) => {
                let problem = "north and east are in two units".to_owned();
                Err(heading.fault(0..heading.words.len(), problem, HEADING))
            }
            _ => {
                let problem = "a north or an east column is missing".to_owned();
                Err(heading.fault(0..heading.words.len(), problem, HEADING))
            }
        }
    }

    /// The coordinate in a column, in feet.
    fn coordinate(&self, row: &Row<'_>, column: usize) -> Result<f64, LineFault> {
        let (words, at) = row.field(column);
        let bad = |problem: &str| row.fault(at.clone(), format!("{words:?} {problem}"), ROW);
        let count: f64 = words
            .parse()
            .map_err(|_| bad("is not a number; the heading says the unit"))?;
        let feet = count * self.unit_feet;
        if feet.is_finite() && feet.abs() <= Length::MAX_FEET {
            Ok(feet)
        } else {
            Err(bad("is not a place on the ground"))
        }
    }
}

impl<'a> Row<'a> {
    /// The whole line.
    pub(crate) const fn words(&self) -> &'a str {
        self.words
    }

    /// The words of each column and their place in the line.
    pub(crate) fn columns(&self) -> impl Iterator<Item = (&'a str, Range<usize>)> {
        self.words.split(',').scan(0, |start, field| {
            let at = *start..*start + field.len();
            *start = at.end + 1;
            Some((unquoted(field), at))
        })
    }

    /// The words of a column and their place in the line; nothing at the end of
    /// the line where the column is missing.
    pub(crate) fn field(&self, column: usize) -> (&'a str, Range<usize>) {
        let end = self.words.len();
        self.columns().nth(column).unwrap_or(("", end..end))
    }

    pub(crate) fn fault(&self, at: Range<usize>, problem: String, accepted: &str) -> LineFault {
        LineFault {
            line: self.number,
            words: self.words.to_owned(),
            at,
            problem,
            accepted: accepted.to_owned(),
        }
    }
}

fn unquoted(field: &str) -> &str {
    field.trim().trim_matches('"').trim()
}
