//! A call table as a description: the same answer for a deed typed one call a
//! line.

use crate::call_line::{LineReading, hides_call, read_call_line};
use crate::call_table::{CallTableError, is_table_line, lines, read_call_table};
use crate::deed::Call;
use crate::length_text::LengthReader;
use crate::tract::{StatedCall, StatedCourse, StatedDirection, Tract};
use crate::units::{FootKind, LengthUnit};

use super::reading::Prose;
use super::{Assumed, Description, Unread};

/// True if a text has a line that only a call table has: a directive or a comment.
pub(super) fn has_table_line(text: &str) -> bool {
    text.lines()
        .any(|line| line.trim_start().starts_with('#') || is_table_line(line.trim()))
}

/// True if at least half of the lines are calls.
pub(super) fn is_mostly_calls(text: &str) -> bool {
    let reader = LengthReader::bare(LengthUnit::Foot(FootKind::International));
    let (mut calls, mut others) = (0, 0);
    for (line, start, words) in lines(text) {
        if words.is_empty() {
            continue;
        }
        match read_call_line(line, start, words, &reader) {
            LineReading::Calls(_) | LineReading::Refused(_) => calls += 1,
            LineReading::Unread(_) => others += 1,
        }
    }
    calls > 0 && calls >= others
}

/// Reads a call table. A line that is no plain call is tried once more as prose,
/// which knows curves and angles turned.
pub(super) fn read(text: &str) -> Result<Description, CallTableError> {
    let table = read_call_table(text)?;
    let places: Vec<(usize, usize, &str)> = lines(text).collect();
    let place_of = |line: usize| places.get(line.saturating_sub(1)).copied();
    let mut description = Description::default();
    let mut tract = Tract {
        beginning: table.beginning().clone(),
        calls: table.calls().iter().map(stated).collect(),
        stated_area: table.stated_area(),
        ..Tract::default()
    };
    for fault in table.unread() {
        let (_, start, words) = place_of(fault.line).unwrap_or((fault.line, 0, ""));
        match as_prose(words) {
            Some(prose) => splice(prose, fault.line, start, &mut tract, &mut description),
            None => description.unread.push(Unread {
                at: start..start + words.len(),
                fault: fault.clone(),
            }),
        }
    }
    for (line, sentence) in table.assumed_lines() {
        let (_, start, words) = place_of(line).unwrap_or((line, 0, ""));
        description.assumed.push(Assumed {
            line,
            at: start..start + words.len(),
            sentence: sentence.clone(),
        });
    }
    description.tracts.push(tract);
    Ok(description)
}

/// One line read as prose, if that gives calls and leaves nothing unread. Of the calls
/// behind "to" none may get lost: a note must say what they are.
fn as_prose(words: &str) -> Option<Description> {
    let read = Prose::of(words).read();
    if hides_call(words) && (read.notes.is_empty() || ways_to(words) > 1) {
        return None;
    }
    let is_whole = read.unread.is_empty()
        && read.tracts.len() == 1
        && read.tracts.iter().all(|tract| {
            tract.ties.is_empty() && !tract.calls.is_empty() && tract.calls.iter().all(has_figures)
        });
    is_whole.then_some(read)
}

/// How often a line leads to something.
fn ways_to(words: &str) -> usize {
    let is_to = |word: &&str| word.eq_ignore_ascii_case("to");
    words.split_whitespace().filter(is_to).count()
}

/// A call with nothing but words is not one in a table.
fn has_figures(call: &StatedCall) -> bool {
    !matches!(call.course, StatedCourse::Line { distance: None, .. })
}

/// Puts the calls of a line in their place among the others.
fn splice(
    prose: Description,
    line: usize,
    start: usize,
    tract: &mut Tract,
    description: &mut Description,
) {
    for read in prose.tracts {
        let at = tract
            .calls
            .iter()
            .position(|call| call.written.as_ref().is_some_and(|w| w.line > line))
            .unwrap_or(tract.calls.len());
        let moved = read.calls.into_iter().map(|mut call| {
            if let Some(written) = &mut call.written {
                written.line = line;
                written.at = written.at.start + start..written.at.end + start;
            }
            call
        });
        tract.calls.splice(at..at, moved);
    }
    for mut note in prose.notes {
        note.line = line;
        note.at = note.at.start + start..note.at.end + start;
        description.notes.push(note);
    }
    for mut assumed in prose.assumed {
        assumed.line = line;
        assumed.at = assumed.at.start + start..assumed.at.end + start;
        description.assumed.push(assumed);
    }
}

fn stated(call: &Call) -> StatedCall {
    let direction = StatedDirection::Given(call.direction());
    StatedCall {
        corner: call.corner().map(ToOwned::to_owned),
        rounding: call.rounding(),
        written: call.written().cloned(),
        ..StatedCall::line(Some(direction), Some(call.distance()))
    }
}
