//! Sets of places along a run, a bit each.

#[cfg(test)]
mod tests;

/// A set of the places from 0 to a count; what is moved past either end is gone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Bits {
    count: usize,
    words: Vec<u64>,
}

impl Bits {
    /// No place of so many.
    pub(super) fn none(count: usize) -> Self {
        Self {
            count,
            words: vec![0; count.div_ceil(64)],
        }
    }

    /// The places at which the answer is yes.
    pub(super) fn of(answers: impl ExactSizeIterator<Item = bool>) -> Self {
        let mut bits = Self::none(answers.len());
        for (place, answer) in answers.enumerate() {
            if answer {
                bits.set(Some(place));
            }
        }
        bits
    }

    /// Adds a place; nothing happens where it lies past the ends.
    pub(super) fn set(&mut self, place: Option<usize>) {
        let inside = place.filter(|&place| place < self.count);
        if let Some(place) = inside
            && let Some(word) = self.words.get_mut(place / 64)
        {
            *word |= 1 << (place % 64);
        }
    }

    /// True where the place is in the set.
    pub(super) fn has(&self, place: usize) -> bool {
        self.words
            .get(place / 64)
            .is_some_and(|word| word & (1 << (place % 64)) != 0)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.words.iter().all(|word| *word == 0)
    }

    /// Adds all places of another set.
    pub(super) fn add(&mut self, other: &Self) {
        for (word, more) in self.words.iter_mut().zip(&other.words) {
            *word |= more;
        }
    }

    /// The places in both sets.
    pub(super) fn both(&self, other: &Self) -> Self {
        self.with(other, |a, b| a & b)
    }

    /// The places that are not in the other set.
    pub(super) fn without(&self, other: &Self) -> Self {
        self.with(other, |a, b| a & !b)
    }

    fn with(&self, other: &Self, merge: impl Fn(u64, u64) -> u64) -> Self {
        Self {
            count: self.count,
            words: (self.words.iter().zip(&other.words))
                .map(|(&a, &b)| merge(a, b))
                .collect(),
        }
    }

    /// The places from one to another, both included.
    pub(super) fn within(&self, from: i64, to: i64) -> Self {
        let mut kept = Self::none(self.count);
        let last = i64::try_from(self.count).unwrap_or(i64::MAX) - 1;
        let (from, to) = (from.max(0), to.min(last));
        let (Ok(from), Ok(to)) = (usize::try_from(from), usize::try_from(to)) else {
            return kept;
        };
        let words = kept.words.iter_mut().zip(&self.words).enumerate();
        for (i, (kept, word)) in words.skip(from / 64).take_while(|(i, _)| i * 64 <= to) {
            let mut mask = u64::MAX;
            if i == from / 64 {
                mask &= u64::MAX << (from % 64);
            }
            if i == to / 64 {
                mask &= u64::MAX >> (63 - to % 64);
            }
            *kept = word & mask;
        }
        kept
    }

    /// All places moved on by so many.
    pub(super) fn moved(&self, by: i64) -> Self {
        let mut moved = Self::none(self.count);
        if let Ok(by) = usize::try_from(by) {
            moved.add_moved(self, by);
        }
        moved
    }

    fn add_moved(&mut self, other: &Self, by: usize) {
        let (skip, shift) = (by / 64, by % 64);
        let carried = std::iter::once(&0).chain(&other.words);
        let pairs = other.words.iter().zip(carried);
        for (word, (here, before)) in self.words.iter_mut().skip(skip).zip(pairs) {
            *word |= here << shift;
            if shift > 0 {
                *word |= before >> (64 - shift);
            }
        }
        self.clear_past_the_end();
    }

    /// The set with copies moved on by 0, `step`, 2 `step` ..., `count` in all.
    pub(super) fn smeared(mut self, step: i64, count: i64) -> Self {
        let mut done = 1;
        while done < count {
            let more = done.min(count - done);
            let copy = self.clone();
            if let Ok(by) = usize::try_from(more * step) {
                self.add_moved(&copy, by);
            }
            done += more;
        }
        self
    }

    fn clear_past_the_end(&mut self) {
        if !self.count.is_multiple_of(64)
            && let Some(last) = self.words.last_mut()
        {
            *last &= u64::MAX >> (64 - self.count % 64);
        }
    }
}
