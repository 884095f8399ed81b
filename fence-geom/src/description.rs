//! Land descriptions in prose or as a table of calls, read into tracts as stated.
//!
//! The words and figures are those of public land descriptions of the United
//! States: ties from a known corner to the beginning, calls with bearings and
//! distances in many spellings, curves by their elements, exceptions, strips
//! along a centerline, areas. What looks like a call and can't be read is listed
//! with its words; what had to be assumed is listed with its place; nothing is
//! skipped in silence.

mod angles;
mod areas;
mod bearings;
mod calls;
mod clauses;
mod curves;
mod distances;
mod elements;
mod keywords;
mod lexer;
mod numbers;
mod reading;
mod table;
mod writer;

use std::ops::Range;

pub use writer::describe;

use crate::call_line::LineFault;
use crate::call_table::CallTableError;
use crate::tract::Tract;

/// A land description as read.
///
/// # Examples
///
/// ```
/// use fence_geom::read_description;
///
/// let text = "Beginning at an iron pin; thence North 10°15' East 104.37 feet; \
///             thence S 79-45 E, 60 ft to a stake; thence along the creek to the \
///             point of beginning, containing 0.14 acres.";
/// let read = read_description(text)?;
/// assert_eq!(read.tracts[0].calls.len(), 3);
/// assert!(read.unread.is_empty());
/// # Ok::<(), fence_geom::DescriptionError>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Description {
    /// The tracts, in order; an exception is a tract of its own, marked as one.
    pub tracts: Vec<Tract>,
    /// What looks like a call and could not be read: nothing may be computed
    /// over such a gap.
    pub unread: Vec<Unread>,
    /// What had to be assumed.
    pub assumed: Vec<Assumed>,
    /// What was seen and is no call, such as the bearing of a witness tree.
    pub notes: Vec<Note>,
}

/// Words that look like a call and could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// Their place in the text, in bytes.
    pub at: Range<usize>,
    /// The words, what is wrong with them and what would be accepted.
    pub fault: LineFault,
}

/// Something that had to be assumed to read the text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumed {
    /// The number of the line, from one.
    pub line: usize,
    /// The place of the words, in bytes of the text.
    pub at: Range<usize>,
    /// What was assumed.
    pub sentence: String,
}

/// A remark on words that were understood and are no call.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The number of the line, from one.
    pub line: usize,
    /// The place of the words, in bytes of the text.
    pub at: Range<usize>,
    /// The remark.
    pub sentence: String,
}

/// Why a text is no land description.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DescriptionError {
    /// No call at all.
    #[error(
        "there is no call in the text: give each call its bearing and its distance, such as \
         thence N 45°30'15\" E 104.37 feet"
    )]
    NoCalls,
    /// A call table that can't be used.
    #[error(transparent)]
    Table(#[from] CallTableError),
    /// Longer than [`Description::MAX_BYTES`].
    #[error("{bytes} bytes are more than the {max} that a description may have: split it", max = Description::MAX_BYTES)]
    TooLong {
        /// Its length.
        bytes: usize,
    },
}

impl Description {
    /// The longest text that is read, in bytes: a hundred pages.
    pub const MAX_BYTES: usize = 500_000;
}

/// Reads a land description, in prose or as a table with a call a line.
///
/// # Errors
///
/// [`DescriptionError`] for a text without any call, read or unread, for one that
/// is too long, and for a table with a line that is understood and can't be used.
pub fn read_description(text: &str) -> Result<Description, DescriptionError> {
    if text.len() > Description::MAX_BYTES {
        return Err(DescriptionError::TooLong { bytes: text.len() });
    }
    let read = read_either(text)?;
    let is_empty = read.tracts.iter().all(|tract| tract.calls.is_empty()) && read.unread.is_empty();
    if is_empty {
        return Err(DescriptionError::NoCalls);
    }
    Ok(read)
}

fn read_either(text: &str) -> Result<Description, DescriptionError> {
    if table::has_table_line(text) {
        return Ok(table::read(text)?);
    }
    let prose = reading::Prose::of(text);
    if !prose.has_start() && table::is_mostly_calls(text) {
        return Ok(table::read(text)?);
    }
    Ok(prose.read())
}

#[cfg(test)]
mod tests;
