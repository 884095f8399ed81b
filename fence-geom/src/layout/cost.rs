//! Objective vectors packed into words that compare and add as vectors do.

use super::error::LayoutError;
use super::ground::Toll;
use super::problem::Problem;
use super::wish::Wish;

/// Bits of a word that fields may fill. The top bits stay free, so that a sum of
/// real costs never meets [`Packed::NEVER`].
const FIELD_BITS: u32 = 62;

/// A vector of counts in `W` words, the first wish in the highest bits of the
/// first word, so that the derived order is the lexicographic one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Packed<const W: usize>([u64; W]);

impl<const W: usize> Packed<W> {
    pub(super) const ZERO: Self = Self([0; W]);

    /// No way to get there.
    pub(super) const NEVER: Self = Self([u64::MAX; W]);

    /// The sum; with [`Packed::NEVER`] it stays that.
    #[inline]
    pub(super) fn plus(self, other: Self) -> Self {
        let mut sum = self;
        for (word, more) in sum.0.iter_mut().zip(other.0) {
            *word = word.saturating_add(more);
        }
        sum
    }

    /// What is left of a sum without one of its parts; nothing of no sum.
    #[inline]
    pub(super) fn minus(self, part: Self) -> Option<Self> {
        if self.is_never() {
            return None;
        }
        let mut rest = self;
        for (word, less) in rest.0.iter_mut().zip(part.0) {
            *word = word.checked_sub(less)?;
        }
        Some(rest)
    }

    /// `count` of this unit; counts are never negative.
    #[inline]
    pub(super) fn times(self, count: i64) -> Self {
        Self(self.0.map(|word| word.wrapping_mul(count.unsigned_abs())))
    }

    #[inline]
    pub(super) fn is_never(self) -> bool {
        self == Self::NEVER
    }
}

/// What one of each wish costs, packed. A wish that is not served costs nothing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rates<const W: usize> {
    pub(super) hand_dug: Packed<W>,
    pub(super) cuts: Packed<W>,
    pub(super) sections: Packed<W>,
    pub(super) changes: Packed<W>,
    pub(super) end_steps: Packed<W>,
    pub(super) cut_squares: Packed<W>,
    pub(super) gate_miss: Packed<W>,
    pub(super) cut_reach: Packed<W>,
}

impl<const W: usize> Rates<W> {
    /// Nothing costs anything: only whether there is a way counts.
    pub(super) const FREE: Self = Self {
        hand_dug: Packed::ZERO,
        cuts: Packed::ZERO,
        sections: Packed::ZERO,
        changes: Packed::ZERO,
        end_steps: Packed::ZERO,
        cut_squares: Packed::ZERO,
        gate_miss: Packed::ZERO,
        cut_reach: Packed::ZERO,
    };

    /// Packs these fields, which [`words_needed`] has found to fit into `W` words.
    pub(super) fn pack(fields: &[Field]) -> Self {
        let mut rates = Self::FREE;
        let (mut word, mut used) = (0_usize, 0_u32);
        for field in fields {
            if used + field.bits > FIELD_BITS {
                (word, used) = (word + 1, 0);
            }
            used += field.bits;
            let mut unit = [0; W];
            if let Some(place) = unit.get_mut(word) {
                *place = 1 << (FIELD_BITS - used);
            }
            *rates.of_mut(field.wish) = Packed(unit);
        }
        rates
    }

    /// The price of a toll.
    #[inline]
    pub(super) fn toll(&self, toll: Toll) -> Packed<W> {
        (self.hand_dug.times(toll.hand_dug))
            .plus(self.changes.times(toll.changes))
            .plus(self.end_steps.times(toll.end_steps))
    }

    fn of_mut(&mut self, wish: Wish) -> &mut Packed<W> {
        match wish {
            Wish::HandDug => &mut self.hand_dug,
            Wish::Cuts => &mut self.cuts,
            Wish::Sections => &mut self.sections,
            Wish::Changes => &mut self.changes,
            Wish::EndSteps => &mut self.end_steps,
            Wish::CutSquares => &mut self.cut_squares,
            Wish::GateMiss => &mut self.gate_miss,
            Wish::CutReach => &mut self.cut_reach,
        }
    }
}

/// A wish and the bits that its greatest value takes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Field {
    wish: Wish,
    bits: u32,
}

/// The wishes of a problem in two parts.
pub(super) struct Fields {
    /// The first wishes: they fit into one word, and given where a section ends,
    /// none depends on how wide a cut it is.
    pub(super) lead: Vec<Field>,
    /// The others.
    pub(super) rest: Vec<Field>,
}

impl Fields {
    /// Measures the wishes of a problem; those that can only be 0 are left out.
    pub(super) fn of(problem: &Problem) -> Result<Self, LayoutError> {
        let mut fields = Self {
            lead: Vec::new(),
            rest: Vec::new(),
        };
        let mut used = 0;
        for &wish in &problem.order {
            let bits = bits_of(problem, wish)?;
            let by_width = matches!(wish, Wish::CutSquares | Wish::CutReach);
            if bits == 0 {
                continue;
            }
            used += bits;
            if fields.rest.is_empty() && !by_width && used <= FIELD_BITS {
                fields.lead.push(Field { wish, bits });
            } else {
                fields.rest.push(Field { wish, bits });
            }
        }
        Ok(fields)
    }
}

/// How many words these fields take.
pub(super) fn words_needed(fields: &[Field]) -> usize {
    let (mut words, mut used) = (1, 0);
    for field in fields {
        if used + field.bits > FIELD_BITS {
            (words, used) = (words + 1, 0);
        }
        used += field.bits;
    }
    words
}

fn bits_of(problem: &Problem, wish: Wish) -> Result<u32, LayoutError> {
    let bits = 128 - most(problem, wish).leading_zeros();
    if bits > FIELD_BITS {
        return Err(LayoutError::TooLarge { wish: wish.name() });
    }
    Ok(bits)
}

/// A bound on what a wish can come to in any layout of the problem.
fn most(problem: &Problem, wish: Wish) -> u128 {
    let sections = problem.most_sections().unsigned_abs().into();
    let many = |each: i64| u128::from(each.unsigned_abs()).saturating_mul(sections);
    let apart = |a: i64, b: i64| u128::from(a.abs_diff(b));
    match wish {
        Wish::HandDug if problem.hand_dig.is_empty() => 0,
        Wish::HandDug => sections + 1,
        Wish::Cuts | Wish::Changes if problem.bays => 0,
        Wish::Cuts | Wish::Sections | Wish::Changes => sections,
        Wish::EndSteps => [problem.start, problem.end]
            .map(|end| apart(end.min, end.wish).max(apart(end.max, end.wish)))
            .into_iter()
            .sum(),
        Wish::CutSquares => {
            let short = problem.full - problem.cut_min;
            many(short).saturating_mul(short.unsigned_abs().into())
        }
        Wish::GateMiss => (problem.gates.iter())
            .map(|gate| 2 * apart(gate.from, gate.wish).max(apart(gate.to, gate.wish)))
            .sum(),
        Wish::CutReach if problem.hide.is_none() => 0,
        Wish::CutReach => {
            let places = [problem.first(), problem.last()];
            let reach = places.map(|at| at.abs().max((problem.length - at).abs()));
            many(reach.into_iter().max().unwrap_or(0))
        }
    }
}
