//! What a reader of text returns: the value and what was assumed, or the words
//! at fault.

use std::ops::Range;

/// A value that was read from text, and what had to be assumed to read it.
///
/// Nothing is guessed in silence: a reader that takes a bare number for feet
/// says so here.
///
/// # Examples
///
/// ```
/// use fence_geom::Reading;
///
/// let sure = Reading::sure(12.5);
/// assert!(sure.assumed.is_empty());
/// ```
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Reading<T> {
    /// The value.
    pub value: T,
    /// What was assumed, a sentence each; empty where the text says it all.
    pub assumed: Vec<String>,
}

impl<T> Reading<T> {
    /// A value that needed no assumption.
    pub const fn sure(value: T) -> Self {
        Self {
            value,
            assumed: Vec::new(),
        }
    }
}

/// Text that can't be read as what was asked for.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("can't read {text:?} as {wanted}: {problem}; write it like {example}")]
pub struct ReadError {
    /// The whole text.
    pub text: String,
    /// What was asked for, such as "a length".
    pub wanted: &'static str,
    /// The place of the words at fault, in bytes of `text`.
    pub at: Range<usize>,
    /// What is wrong with them.
    pub problem: String,
    /// What would be accepted.
    pub example: &'static str,
}
