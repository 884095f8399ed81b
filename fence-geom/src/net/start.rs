//! Approximate places, found without being asked for: point by point where two
//! readings from placed points meet; a part that hangs together by itself is laid
//! on the points it shares; what is left is tried from many starts.
//!
//! A mirror image that no reading and no side rules out is followed as well.

use crate::length::Length;
use crate::point::{Displacement, Point};

use super::answer::Frame;
use super::error::NetError;
use super::hanging::{can_move, hanging};
use super::locus::{Curve, Miss};
use super::model::{Geometry, Model, Places, Row};
use super::solve::{self, Held, Unknowns, turned};

/// How many sets of places are followed at once.
const MOST_STATES: usize = 64;

/// One set of places is out when its misfit exceeds the best by so much. The
/// standard errors are wide ones, as the places are approximate.
const DECISIVE: f64 = 25.0;

/// A point's places from more readings than this say no more.
const MOST_LOCI: usize = 8;

/// Roots nearer than this, in feet, are one.
const ONE_ROOT_FEET: f64 = 0.01;

/// How many first tapes are tried for a part that hangs together by itself.
const MOST_BASES: usize = 200;

/// How many starts are tried for what does not grow, and of how many points.
const MOST_TRIES: u64 = 60;
const MOST_TRIED_POINTS: usize = 60;

/// A set of places while it grows.
#[derive(Clone, Debug)]
struct State {
    places: Places,
    /// By wide standard errors.
    misfit: f64,
    /// For each point that is not placed, where two readings put it.
    choices: Vec<Option<Choice>>,
}

/// Where readings put a point.
#[derive(Clone, Debug)]
struct Choice {
    roots: Vec<(Point, f64)>,
    /// How well they cross: one over feet.
    quality: f64,
}

/// The net with the rows of each point.
struct Grower<'a> {
    model: &'a Model,
    rows: Vec<Vec<&'a Row>>,
    /// Whether north is where it is, so that directions count.
    oriented: bool,
}

/// All sets of approximate places that go with the readings.
pub(super) fn places(model: &Model) -> Result<Vec<Places>, NetError> {
    let mut grower = Grower::new(model);
    let mut first = model.empty();
    if model.known.is_empty() && model.has_direction() {
        first.put(model.base().0, Point::ORIGIN);
    }
    let mut states = vec![grower.state(first)];
    loop {
        states = grower.grow(states)?;
        if states.iter().all(|state| state.places.is_whole()) {
            return Ok(states.into_iter().map(|state| state.places).collect());
        }
        match grower.with_part(&states)? {
            Some(more) => states = more,
            None => break,
        }
        grower.oriented = true;
    }
    let best = states
        .into_iter()
        .max_by_key(|state| state.places.points.iter().flatten().count());
    let best = best.map_or_else(|| model.empty(), |state| state.places);
    grower.searched(&best)
}

impl<'a> Grower<'a> {
    fn new(model: &'a Model) -> Self {
        let mut rows = vec![Vec::new(); model.names.len()];
        for row in model.reading_rows() {
            for point in row.geometry.points() {
                if let Some(own) = rows.get_mut(point) {
                    own.push(row);
                }
            }
        }
        Self {
            model,
            rows,
            oriented: true,
        }
    }

    fn state(&self, places: Places) -> State {
        let mut state = State {
            choices: vec![None; places.points.len()],
            places,
            misfit: 0.0,
        };
        for point in 0..state.choices.len() {
            self.choose(&mut state, point);
        }
        state
    }

    /// Places points until none of the states has one that readings place.
    fn grow(&self, mut states: Vec<State>) -> Result<Vec<State>, NetError> {
        let mut done = Vec::new();
        while !states.is_empty() {
            let mut next = Vec::new();
            for state in states {
                match state.next() {
                    Some(point) => next.extend(self.placed(state, point)),
                    None => done.push(state),
                }
            }
            let all = done.iter().chain(&next);
            let best = all.map(|state| state.misfit).fold(f64::INFINITY, f64::min);
            let good = |state: &State| state.misfit <= best + DECISIVE;
            done.retain(good);
            next.retain(good);
            if done.len() + next.len() > MOST_STATES {
                let states: Vec<State> = done.into_iter().chain(next).collect();
                return Err(self.too_many(&states));
            }
            states = next;
        }
        // A set that holds fewer points is a way that led nowhere.
        let count = |state: &State| state.places.points.iter().flatten().count();
        let most = done.iter().map(count).max().unwrap_or_default();
        done.retain(|state| count(state) == most);
        Ok(done)
    }

    fn too_many(&self, states: &[State]) -> NetError {
        let differs = |point: &usize| {
            let mut at = states.iter().filter_map(|state| state.places.at(*point));
            at.next()
                .is_some_and(|first| at.any(|other| first.distance(other).feet() > ONE_ROOT_FEET))
        };
        let points: Vec<&str> = (0..self.model.names.len())
            .filter(differs)
            .map(|point| self.model.name(point))
            .collect();
        NetError::TooManyAnswers {
            points: points.join(", "),
        }
    }

    /// The states that follow when a point is placed.
    fn placed(&self, mut state: State, point: usize) -> Vec<State> {
        let choice = state.choices.get_mut(point).and_then(Option::take);
        let roots = choice.map(|choice| choice.roots).unwrap_or_default();
        let Some((last, others)) = roots.split_last() else {
            return Vec::new();
        };
        let mut next: Vec<State> = others
            .iter()
            .map(|root| self.follow(state.clone(), point, *root))
            .collect();
        next.push(self.follow(state, point, *last));
        next
    }

    fn follow(&self, mut state: State, point: usize, (at, misfit): (Point, f64)) -> State {
        state.places.put(point, at);
        state.misfit += misfit;
        for near in self.near(point) {
            self.choose(&mut state, near);
        }
        state
    }

    fn near(&self, point: usize) -> Vec<usize> {
        let rows = self.rows.get(point).into_iter().flatten();
        let mut near: Vec<usize> = rows.flat_map(|row| row.geometry.points()).collect();
        near.sort_unstable();
        near.dedup();
        near
    }

    /// Finds where the readings put a point, as the places are now.
    fn choose(&self, state: &mut State, point: usize) {
        if state.places.at(point).is_some() {
            return;
        }
        let choice = self.choice(&state.places, point);
        if let Some(entry) = state.choices.get_mut(point) {
            *entry = choice;
        }
    }

    fn loci(&self, places: &Places, point: usize) -> Vec<(&'a Row, Vec<Curve>)> {
        let rows = self.rows.get(point).into_iter().flatten();
        rows.filter(|row| self.oriented || !matches!(row.geometry, Geometry::Direction { .. }))
            .map(|row| (*row, row.loci(point, places)))
            .filter(|(_, curves)| !curves.is_empty())
            .take(MOST_LOCI)
            .collect()
    }

    fn choice(&self, places: &Places, point: usize) -> Option<Choice> {
        let loci = self.loci(places, point);
        if loci.len() < 2 {
            return None;
        }
        let mut trial = places.clone();
        let mut best: Option<Choice> = None;
        for (i, first) in loci.iter().enumerate() {
            for second in loci.iter().skip(i + 1) {
                let (quality, roots) = self.roots(first, second);
                if best.as_ref().is_some_and(|best| best.quality >= quality) {
                    continue;
                }
                let roots = self.judged(&mut trial, point, roots);
                if !roots.is_empty() {
                    best = Some(Choice { roots, quality });
                }
            }
        }
        best
    }

    /// Where two readings meet, and how well at best.
    fn roots(&self, first: &(&Row, Vec<Curve>), second: &(&Row, Vec<Curve>)) -> (f64, Vec<Point>) {
        let slack = first.0.slack() + second.0.slack();
        let mut roots = Vec::new();
        let mut best = 0.0_f64;
        for a in &first.1 {
            for b in &second.1 {
                let places = match a.meets(*b) {
                    Ok(places) => places,
                    Err(Some(Miss { gap, between })) if gap.feet() <= slack => vec![between],
                    Err(_) => Vec::new(),
                };
                for at in places {
                    best = best.max(a.across(at).cross(b.across(at)).abs() / slack);
                    roots.push(at);
                }
            }
        }
        (best, roots)
    }

    /// The roots that go with the sides and with the other readings, each with its
    /// misfit; only the best where it is decisively so.
    fn judged(&self, trial: &mut Places, point: usize, roots: Vec<Point>) -> Vec<(Point, f64)> {
        let mut judged: Vec<(Point, f64)> = Vec::new();
        for at in roots {
            trial.put(point, at);
            let misfit = self.misfit(trial, point);
            let new = judged
                .iter()
                .all(|(other, _)| other.distance(at).feet() > ONE_ROOT_FEET);
            if new && self.model.agrees_with_sides(trial) {
                judged.push((at, misfit));
            }
        }
        judged.sort_by(|a, b| a.1.total_cmp(&b.1));
        let best = judged.first().map_or(0.0, |first| first.1);
        judged.retain(|(_, misfit)| *misfit <= best + DECISIVE);
        judged
    }

    /// How badly the readings of a point go with the places.
    fn misfit(&self, places: &Places, point: usize) -> f64 {
        let rows = self.rows.get(point).into_iter().flatten();
        rows.filter(|row| self.oriented || !matches!(row.geometry, Geometry::Direction { .. }))
            .filter_map(|row| Some(row.evaluate(places)?.0 / row.wide_sigma()))
            .map(|off| off * off)
            .sum()
    }

    /// The states with a part laid on that hangs together by itself; `None` if
    /// there is none.
    fn with_part(&mut self, states: &[State]) -> Result<Option<Vec<State>>, NetError> {
        let model = self.model;
        let Some(first) = states.first() else {
            return Ok(None);
        };
        let tapes = model
            .reading_rows()
            .iter()
            .filter_map(|row| match row.geometry {
                Geometry::Distance { from, to, .. } => Some((from, to, row.observed)),
                _ => None,
            });
        let loose = |(from, to, _): &(usize, usize, f64)| {
            first.places.at(*from).is_none() || first.places.at(*to).is_none()
        };
        let mut best: Option<(usize, Vec<State>)> = None;
        for (from, to, feet) in tapes.filter(loose).take(MOST_BASES) {
            let parts = self.part(from, to, feet)?;
            let mut more = Vec::new();
            for state in states {
                for part in &parts {
                    more.extend(self.laid(state, part));
                }
            }
            let count = |state: &State| state.places.points.iter().flatten().count();
            let size = more.iter().map(count).max().unwrap_or_default();
            if size > best.as_ref().map_or(count(first), |(most, _)| *most) {
                more.retain(|state| count(state) == size);
                best = Some((size, more));
                if size == model.names.len() {
                    break;
                }
            }
        }
        Ok(best.map(|(_, states)| states))
    }

    /// What grows from one tape alone.
    fn part(&mut self, from: usize, to: usize, feet: f64) -> Result<Vec<State>, NetError> {
        let mut places = self.model.empty();
        places.points.fill(None);
        places.put(from, Point::ORIGIN);
        places.put(to, Point::ORIGIN + Displacement::of_feet(feet, 0.0));
        self.oriented = false;
        let states = self.grow(vec![self.state(places)]);
        self.oriented = true;
        states
    }

    /// A state with a part laid on it by the points they share.
    fn laid(&self, state: &State, part: &State) -> Option<State> {
        let shared: Vec<(Point, Point)> = (state.places.points.iter())
            .zip(&part.places.points)
            .filter_map(|(there, here)| Some(((*here)?, (*there)?)))
            .collect();
        let whole = state.places.points.iter().flatten().count();
        let turn = match shared.len() {
            0 if whole == 0 => 0.0,
            1 if self.model.has_direction() => self.turn_of_directions(part)?,
            1 if whole == 1 => 0.0,
            0 | 1 => return None,
            _ => turn_onto(&shared)?,
        };
        let (here, there) = middles(&shared);
        let mut places = state.places.clone();
        for (i, at) in part.places.points.iter().enumerate() {
            if let (Some(at), None) = (at, places.at(i)) {
                places.put(i, there + turned(*at - here, turn));
            }
        }
        if !self.model.agrees_with_sides(&places) {
            return None;
        }
        let misfit = state.misfit + part.misfit;
        Some(State {
            misfit,
            ..self.state(places)
        })
    }

    /// How far a part must be turned for its directions to be as read.
    fn turn_of_directions(&self, part: &State) -> Option<f64> {
        let rows = self.model.reading_rows().iter();
        let offs = rows
            .filter(|row| matches!(row.geometry, Geometry::Direction { .. }))
            .filter_map(|row| Some(row.evaluate(&part.places)?.0));
        let (sin, cos) = offs.fold((0.0, 0.0), |(s, c), off: f64| {
            (s + off.sin(), c + off.cos())
        });
        (sin != 0.0 || cos != 0.0).then(|| sin.atan2(cos))
    }

    /// Places for what does not grow, by adjusting from many starts.
    fn searched(&self, places: &Places) -> Result<Vec<Places>, NetError> {
        let model = self.model;
        let loose: Vec<usize> = (0..model.names.len())
            .filter(|point| places.at(*point).is_none())
            .collect();
        let held: Vec<usize> = (0..model.names.len())
            .filter(|point| places.at(*point).is_some())
            .collect();
        let held = if held.is_empty() {
            solve::hold(model)
        } else {
            Held {
                frame: Frame::Known,
                north: held.clone(),
                east: held,
            }
        };
        let unknowns = Unknowns::of(model, &held);
        let anywhere = self.anywhere(places, &loose, 0);
        if can_move(model, &anywhere, &unknowns) {
            return Err(hanging(model, &anywhere, &unknowns));
        }
        if let Some(miss) = self.missing(places, &loose) {
            return Err(miss);
        }
        let tries = if loose.len() > MOST_TRIED_POINTS {
            0
        } else {
            MOST_TRIES
        };
        let found: Vec<Places> = (0..tries)
            .filter_map(|k| solve::solve(model, self.anywhere(places, &loose, k)).ok())
            .map(|solution| solution.places)
            .collect();
        if found.is_empty() {
            let names: Vec<&str> = loose.iter().map(|point| model.name(*point)).collect();
            return Err(NetError::NoStart {
                points: names.join(", "),
            });
        }
        Ok(found)
    }

    /// The places, and some place for each of the others.
    fn anywhere(&self, places: &Places, loose: &[usize], start: u64) -> Places {
        let mut draws = Scatter(start);
        let placed: Vec<Point> = places.points.iter().flatten().copied().collect();
        let longest = self.model.reading_rows().iter().filter_map(|row| {
            matches!(row.geometry, Geometry::Distance { .. }).then_some(row.observed)
        });
        let reach = longest.fold(1.0, f64::max);
        let count = u32::try_from(placed.len()).unwrap_or(u32::MAX);
        let middle = placed.iter().fold(Displacement::default(), |sum, at| {
            sum + (*at - Point::ORIGIN)
        });
        let middle = Point::ORIGIN + middle * (1.0 / f64::from(count.max(1)));
        let mut all = places.clone();
        for point in loose {
            let (north, east) = (draws.next() * reach, draws.next() * reach);
            all.put(*point, middle + Displacement::of_feet(north, east));
        }
        all
    }

    /// The two readings of a point that miss each other, where that is why it can't
    /// be placed.
    fn missing(&self, places: &Places, loose: &[usize]) -> Option<NetError> {
        let mut nearest: Option<(Length, NetError)> = None;
        for point in loose {
            let loci = self.loci(places, *point);
            for (i, first) in loci.iter().enumerate() {
                for second in loci.iter().skip(i + 1) {
                    let ([a], [b]) = (first.1.as_slice(), second.1.as_slice()) else {
                        continue;
                    };
                    let Err(Some(Miss { gap, .. })) = a.meets(*b) else {
                        continue;
                    };
                    if nearest.as_ref().is_none_or(|(least, _)| gap < *least) {
                        let error = NetError::NoMeeting {
                            point: self.model.name(*point).to_owned(),
                            first: self.model.words(first.0),
                            second: self.model.words(second.0),
                            gap,
                        };
                        nearest = Some((gap, error));
                    }
                }
            }
        }
        nearest.map(|(_, error)| error)
    }
}

impl State {
    /// The point to place next: one with a single place before one with two, and
    /// the best crossing first.
    fn next(&self) -> Option<usize> {
        let mut best: Option<(usize, (bool, f64))> = None;
        for (point, choice) in self.choices.iter().enumerate() {
            let Some(choice) = choice else { continue };
            let rank = (choice.roots.len() == 1, choice.quality);
            if best.is_none_or(|(_, most)| rank.0 & !most.0 || rank.0 == most.0 && rank.1 > most.1)
            {
                best = Some((point, rank));
            }
        }
        best.map(|(point, _)| point)
    }
}

impl Row {
    /// How far two readings may miss each other and still be held to meet, in
    /// feet: some of its standard errors and one part in a hundred.
    fn slack(&self) -> f64 {
        match self.geometry {
            Geometry::Distance { .. } => 5.0 * self.sigma + 0.01 * self.observed,
            Geometry::OnLine { .. } => 5.0 * self.sigma,
            // Over fifty feet, as a guess.
            _ => 50.0 * self.sigma,
        }
    }

    /// A standard error that allows for the doubt of approximate places.
    fn wide_sigma(&self) -> f64 {
        match self.geometry {
            Geometry::Distance { .. } => 5.0 * self.sigma + 0.002 * self.observed + 0.02,
            Geometry::OnLine { .. } => 5.0 * self.sigma + 0.05,
            _ => 5.0 * self.sigma + 0.01,
        }
    }
}

/// The turn, clockwise, that lays points best on others: least squares of the
/// plane, in closed form.
fn turn_onto(shared: &[(Point, Point)]) -> Option<f64> {
    let (here, there) = middles(shared);
    let sums = shared.iter().map(|(from, to)| {
        let (a, b) = (*from - here, *to - there);
        (a.cross(b), a.dot(b))
    });
    let (sin, cos) = sums.fold((0.0, 0.0), |(s, c), (sin, cos)| (s + sin, c + cos));
    (sin != 0.0 || cos != 0.0).then(|| sin.atan2(cos))
}

/// The middles of the points and of those they are laid on.
fn middles(shared: &[(Point, Point)]) -> (Point, Point) {
    let count = u32::try_from(shared.len()).unwrap_or(u32::MAX).max(1);
    let middle = |points: &mut dyn Iterator<Item = Point>| {
        let sum = points.fold(Displacement::default(), |sum, at| {
            sum + (at - Point::ORIGIN)
        });
        Point::ORIGIN + sum * (1.0 / f64::from(count))
    };
    (
        middle(&mut shared.iter().map(|(from, _)| *from)),
        middle(&mut shared.iter().map(|(_, to)| *to)),
    )
}

/// Numbers from -1 to 1 without a pattern, the same on every run ("splitmix64",
/// G. L. Steele and others, 2014, constants from memory).
struct Scatter(u64);

impl Scatter {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^= z >> 31;
        let high = u32::try_from(z >> 32).unwrap_or_default();
        f64::from(high) / f64::from(u32::MAX) * 2.0 - 1.0
    }
}
