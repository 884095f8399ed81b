//! The best far face of a cut for places that fall, without a look at every
//! width.
//!
//! What is cut off counts squared, which is convex in the width. So of two far
//! faces the nearer one, once it is as good as the farther, stays so for all
//! places before: it overtakes once. A queue of faces, each with the place where
//! it overtakes the one before it, answers in constant time but for the searches
//! for those places.
//!
//! Source: D. S. Hirschberg and L. L. Larmore, "The least weight subsequence
//! problem", SIAM Journal on Computing 16 (1987); the queue from memory.

use std::collections::{BTreeMap, VecDeque};

use super::alive::Place;
use super::cost::{Packed, Rates};
use super::problem::Problem;
use super::request::WhichEnd;

/// The far faces that a cut may still end at, in queues of those that compare:
/// equal in the leading wishes, and a whole number of steps of cuts apart.
pub(super) struct Overtaking<'p, const W: usize> {
    problem: &'p Problem,
    rates: Rates<W>,
    /// How many faces have been admitted.
    admitted: usize,
    queues: BTreeMap<(Packed<1>, i64), VecDeque<Face<W>>>,
}

#[derive(Clone, Copy)]
struct Face<const W: usize> {
    at: i64,
    /// What the other wishes come to beyond it.
    rest: Packed<W>,
    /// From this place on toward the start it is better than the one before it in
    /// its queue.
    overtakes: i64,
}

impl<'p, const W: usize> Overtaking<'p, W> {
    pub(super) const fn new(problem: &'p Problem, rates: Rates<W>) -> Self {
        Self {
            problem,
            rates,
            admitted: 0,
            queues: BTreeMap::new(),
        }
    }

    /// True where what a cut from a place costs for being far from the end that
    /// hides cuts hangs on one of its two faces alone.
    pub(super) fn answers(&self, near: i64) -> bool {
        match self.problem.hide {
            None => true,
            Some(WhichEnd::Start) => near >= 0,
            Some(WhichEnd::End) => self.problem.last_cut_face(near) <= self.problem.length,
        }
    }

    /// Takes in the faces that a cut from a place can reach; `faces` fall, and
    /// only grow from call to call.
    pub(super) fn admit(&mut self, faces: &[Place<W>], near: i64) {
        let nearest = near + self.problem.cut_min;
        while let Some(face) = faces.get(self.admitted).filter(|face| face.at >= nearest) {
            self.admitted += 1;
            self.push(face, near);
        }
    }

    /// The least that the other wishes come to with a cut from a place, among
    /// faces from which the leading wishes come to `ahead`.
    pub(super) fn least(&mut self, ahead: Packed<1>, near: i64) -> Packed<W> {
        let key = (ahead, near + self.problem.cut_min);
        let Some(queue) = self.queues.get_mut(&self.key(key)) else {
            return Packed::NEVER;
        };
        while queue.get(1).is_some_and(|second| second.overtakes >= near) {
            queue.pop_front();
        }
        let first = queue.front().copied();
        first
            .filter(|face| near > self.out_of_reach(face.at))
            .map_or(Packed::NEVER, |face| self.price(near, &face))
    }

    fn key(&self, (ahead, at): (Packed<1>, i64)) -> (Packed<1>, i64) {
        (ahead, at.rem_euclid(self.problem.cut_step))
    }

    fn push(&mut self, place: &Place<W>, near: i64) {
        let key = self.key((place.lead, place.at));
        let mut queue = self.queues.remove(&key).unwrap_or_default();
        let mut face = Face {
            at: place.at,
            rest: place.rest,
            overtakes: near,
        };
        while let Some(last) = queue.back() {
            face.overtakes = self.overtakes(&face, last, near);
            // One that is overtaken before it overtakes is never the best.
            if face.overtakes < last.overtakes {
                break;
            }
            queue.pop_back();
        }
        queue.push_back(face);
        self.queues.insert(key, queue);
    }

    /// The last place, `now` at most, where `face` is as good as `farther`, or
    /// `farther` is out of reach.
    fn overtakes(&self, face: &Face<W>, farther: &Face<W>, now: i64) -> i64 {
        let as_good = |near: i64| self.price(near, face) <= self.price(near, farther);
        let gone = self.out_of_reach(farther.at);
        if gone >= now || as_good(now) {
            return now;
        }
        // Not as good at `high`, as good at `low` or past it.
        let (mut low, mut high) = (gone, now);
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if as_good(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    /// The last place from which no cut reaches a far face any more: it would be
    /// too wide, or overlap a part that shows.
    fn out_of_reach(&self, far: i64) -> i64 {
        (self.problem.show.iter())
            .filter(|show| show.from < show.to && show.from < far)
            .map(|show| show.to - 1)
            .fold(far - self.problem.cut_max - 1, i64::max)
    }

    /// What a cut comes to with all beyond it; exact where this [`Self::answers`].
    fn price(&self, near: i64, face: &Face<W>) -> Packed<W> {
        let reach = match self.problem.hide {
            None => 0,
            Some(WhichEnd::Start) => near.abs(),
            Some(WhichEnd::End) => (self.problem.length - face.at).abs(),
        };
        let off = self.problem.full - (face.at - near);
        (face.rest.plus(self.rates.sections).plus(self.rates.cuts))
            .plus(self.rates.cut_squares.times(off * off))
            .plus(self.rates.cut_reach.times(reach))
    }
}
