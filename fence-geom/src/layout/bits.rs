//! Sets of places along a run, a bit each; only the stretch that holds any place
//! is kept.

use std::ops::Range;

#[cfg(test)]
mod tests;

/// A set of the places from 0 to a count; what is moved past the count is gone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Bits {
    count: usize,
    /// The number of the first word kept; 0 in an empty set.
    start: usize,
    /// Invariant: neither the first nor the last word is 0.
    words: Vec<u64>,
}

impl Bits {
    /// No place of so many.
    pub(super) const fn none(count: usize) -> Self {
        Self {
            count,
            start: 0,
            words: Vec::new(),
        }
    }

    /// The places from one to another, both included.
    pub(super) fn from_to(count: usize, from: i64, to: i64) -> Self {
        let all = Self {
            count,
            start: 0,
            words: vec![u64::MAX; count.div_ceil(64)],
        };
        all.within(from, to)
    }

    /// Adds a place; nothing happens where it lies past the ends.
    pub(super) fn set(&mut self, place: Option<usize>) {
        if let Some(place) = place.filter(|&place| place < self.count) {
            self.add(&Self {
                count: self.count,
                start: place / 64,
                words: vec![1 << (place % 64)],
            });
        }
    }

    /// True where the place is in the set.
    pub(super) fn has(&self, place: usize) -> bool {
        self.word(place / 64) & (1 << (place % 64)) != 0
    }

    pub(super) const fn is_empty(&self) -> bool {
        self.words.is_empty()
    }

    fn word(&self, number: usize) -> u64 {
        number
            .checked_sub(self.start)
            .and_then(|index| self.words.get(index).copied())
            .unwrap_or(0)
    }

    const fn range(&self) -> Range<usize> {
        self.start..self.start + self.words.len()
    }

    /// Adds all places of another set.
    pub(super) fn add(&mut self, other: &Self) {
        if other.is_empty() {
            return;
        }
        if self.is_empty() {
            self.clone_from(other);
            return;
        }
        let (here, there) = (self.range(), other.range());
        if there.start < here.start {
            let more = here.start - there.start;
            self.words.splice(0..0, std::iter::repeat_n(0, more));
            self.start = there.start;
        }
        let needed = there.end.max(here.end) - self.start;
        self.words.resize(needed, 0);
        let words = self.words.iter_mut().skip(there.start - self.start);
        for (word, more) in words.zip(&other.words) {
            *word |= more;
        }
    }

    /// The places in both sets.
    pub(super) fn both(&self, other: &Self) -> Self {
        let (here, there) = (self.range(), other.range());
        let range = here.start.max(there.start)..here.end.min(there.end);
        self.merged(other, range, |a, b| a & b)
    }

    /// The places that are not in the other set.
    pub(super) fn without(&self, other: &Self) -> Self {
        self.merged(other, self.range(), |a, b| a & !b)
    }

    fn merged(&self, other: &Self, range: Range<usize>, merge: impl Fn(u64, u64) -> u64) -> Self {
        Self {
            count: self.count,
            start: range.start,
            words: range
                .map(|number| merge(self.word(number), other.word(number)))
                .collect(),
        }
        .trimmed()
    }

    /// The places from one to another, both included.
    pub(super) fn within(&self, from: i64, to: i64) -> Self {
        let last = i64::try_from(self.count).unwrap_or(i64::MAX) - 1;
        let (Ok(from), Ok(to)) = (usize::try_from(from.max(0)), usize::try_from(to.min(last)))
        else {
            return Self::none(self.count);
        };
        let here = self.range();
        let range = here.start.max(from / 64)..here.end.min(to / 64 + 1);
        let word = |number: usize| {
            let mut word = self.word(number);
            if number == from / 64 {
                word &= u64::MAX << (from % 64);
            }
            if number == to / 64 {
                word &= u64::MAX >> (63 - to % 64);
            }
            word
        };
        Self {
            count: self.count,
            start: range.start,
            words: range.map(word).collect(),
        }
        .trimmed()
    }

    /// All places moved on by so many.
    pub(super) fn moved(&self, by: i64) -> Self {
        let (Ok(by), false) = (usize::try_from(by), self.is_empty()) else {
            return Self::none(self.count);
        };
        let (skip, shift) = (by / 64, by % 64);
        let mut words = Vec::with_capacity(self.words.len() + 1);
        let mut carried = 0;
        for &word in &self.words {
            words.push(word << shift | carried);
            carried = word
                .checked_shr(64 - u32::try_from(shift).unwrap_or(0))
                .unwrap_or(0);
        }
        words.push(carried);
        Self {
            count: self.count,
            start: self.start + skip,
            words,
        }
        .clipped()
    }

    /// The set with copies moved on by 0, `step`, 2 `step` ..., `count` in all.
    pub(super) fn smeared(mut self, step: i64, count: i64) -> Self {
        let mut done = 1;
        while done < count {
            let more = done.min(count - done);
            let copy = self.moved(more * step);
            self.add(&copy);
            done += more;
        }
        self
    }

    /// Drops what lies past the count.
    fn clipped(mut self) -> Self {
        let whole = self.count.div_ceil(64);
        self.words.truncate(whole.saturating_sub(self.start));
        if self.start + self.words.len() == whole
            && !self.count.is_multiple_of(64)
            && let Some(last) = self.words.last_mut()
        {
            *last &= u64::MAX >> (64 - self.count % 64);
        }
        self.trimmed()
    }

    /// Drops words without a place at both ends.
    fn trimmed(mut self) -> Self {
        let kept = (self.words.iter().rposition(|&word| word != 0)).map_or(0, |last| last + 1);
        self.words.truncate(kept);
        let leading = self.words.iter().take_while(|&&word| word == 0).count();
        self.words.drain(..leading);
        self.start = if self.words.is_empty() {
            0
        } else {
            self.start + leading
        };
        self
    }
}
