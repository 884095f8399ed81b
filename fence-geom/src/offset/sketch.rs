//! Closed chains cut where they meet, and the places around which they wind.
//!
//! The pieces are cut at every place that two of them share, places nearer than
//! a tolerance are made one, and pieces that then lie on each other are added up.
//! That leaves a plane graph, whose faces each have one winding number. The
//! boundary of the faces with a number of 1 or more is read off it.
//!
//! The tolerance is far above rounding and far below a tape, so no decision
//! hangs on a last digit. That the graph is plane, and the winding numbers agree
//! around every vertex, is checked; where it fails a wider tolerance is tried.

#![expect(
    clippy::indexing_slicing,
    reason = "tables of this module, indexed by what it has put into them"
)]
#![expect(
    clippy::cast_possible_truncation,
    reason = "a sketch of four thousand million pieces fits no memory"
)]

use super::chain::Along;
use crate::piece::{Bow, Contact, Piece, size};
use crate::point::Displacement;

/// Places nearer than this, in feet, are one place, in a sketch of the size of a
/// lot.
const ONE_PLACE_FEET: f64 = 1e-9;

/// The same for large sketches, as a share of their size.
const ONE_PLACE_SHARE: f64 = 1e-13;

/// How often a wider tolerance is tried, and by what factor wider.
const TRIES: u32 = 4;
const WIDER: f64 = 30.0;

/// An edge of the result shorter than this, in feet, is rounding: left out, it
/// changes the area by less than a millionth of a square foot.
const LEAST_EDGE_FEET: f64 = 1e-8;

/// A ring of the result narrower than this, in feet, is rounding.
const LEAST_WIDTH_FEET: f64 = 1e-8;

/// A vertex of the result, and the edge that leaves it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Vertex {
    pub(super) at: Displacement,
    pub(super) bow: Option<Bow>,
    pub(super) along: Along,
}

/// Chains, and the working tables of their overlay, kept for the next.
#[derive(Clone, Debug, Default)]
pub(super) struct Sketch {
    pub(super) pieces: Vec<(Piece, Along)>,
    near: f64,
    /// The places at the ends of each piece.
    ends: Vec<[u32; 2]>,
    boxes: Vec<[Displacement; 2]>,
    order: Vec<(f64, u32)>,
    active: Vec<u32>,
    places: Vec<Displacement>,
    /// The place that stands for each place.
    one: Vec<u32>,
    cuts: Vec<Cut>,
    edges: Vec<Edge>,
    halves: Vec<Half>,
    around: Vec<u32>,
    /// Where the halves of each place start among those around.
    groups: Vec<u32>,
    faces: Vec<Face>,
    least: Vec<f64>,
    stack: Vec<u32>,
    outers: Vec<u32>,
    seen: Vec<bool>,
    walked: Vec<u32>,
    visits: Vec<u32>,
}

#[derive(Clone, Copy, Debug)]
struct Cut {
    piece: u32,
    station: f64,
    place: u32,
}

#[derive(Clone, Copy, Debug)]
struct Edge {
    ends: [u32; 2],
    piece: u32,
    /// The angle at the center, positive to the right; zero for a line.
    sweep: f64,
    /// How often the chains go from the first end to the second, net.
    times: i32,
}

impl Edge {
    fn reversed(self) -> Self {
        let [from, to] = self.ends;
        Self {
            ends: [to, from],
            sweep: -self.sweep,
            times: -self.times,
            ..self
        }
    }
}

/// An edge as it leaves one of its ends: `2 e` and `2 e + 1` for edge `e`.
#[derive(Clone, Copy, Debug, Default)]
struct Half {
    angle: f64,
    /// Its place among the halves around all vertices.
    position: u32,
    face: u32,
}

#[derive(Clone, Copy, Debug)]
struct Face {
    first: u32,
    area: f64,
    winding: i32,
    /// The connected part of the graph that it belongs to.
    part: u32,
}

/// No plane graph came out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct NotPlane;

const NONE: u32 = u32::MAX;

impl Sketch {
    /// Adds to `rings` the boundary of the places around which the chains wind
    /// once or more; each ring is walked with those places on the right, and
    /// `ends` has where each ends.
    pub(super) fn outline(
        &mut self,
        rings: &mut Vec<Vertex>,
        ends: &mut Vec<usize>,
    ) -> Result<(), NotPlane> {
        let size = self
            .pieces
            .iter()
            .flat_map(|(piece, _)| [piece.from, piece.to])
            .map(|at| at.north().abs().max(at.east().abs()))
            .fold(0.0, f64::max);
        self.near = ONE_PLACE_FEET.max(size * ONE_PLACE_SHARE);
        for _ in 0..TRIES {
            let chains = self.cut_pieces();
            if chains == 1 && self.cuts.is_empty() {
                self.take_chain(rings, ends);
                return Ok(());
            }
            if self.overlay().is_ok() {
                self.trace(rings, ends);
                return Ok(());
            }
            self.near *= WIDER;
        }
        Err(NotPlane)
    }

    /// Takes the one chain, which meets itself nowhere, as the outline, if it goes
    /// around anything.
    fn take_chain(&self, rings: &mut Vec<Vertex>, ends: &mut Vec<usize>) {
        let walked = self.pieces.iter().map(|(piece, along)| Vertex {
            at: piece.from,
            bow: piece.bow,
            along: *along,
        });
        let (mut twice, mut around) = (0.0, 0.0);
        for (piece, _) in &self.pieces {
            twice += piece.from.cross(piece.to);
            if let Some(bow) = piece.bow {
                twice += bow.radius * bow.radius * (bow.sweep - bow.sweep.sin());
            }
            around += size(piece.to - piece.from);
        }
        if twice > 0.0 {
            add_ring(walked, twice, around, rings, ends);
        }
    }

    fn overlay(&mut self) -> Result<(), NotPlane> {
        self.unite_places();
        self.make_edges();
        self.sort_around();
        self.make_faces();
        self.wind()
    }

    /// Numbers the places at which chains go from piece to piece; how many chains
    /// there are.
    fn number_ends(&mut self) -> usize {
        self.places.clear();
        self.ends.clear();
        let mut first = 0;
        let mut chains = 0;
        for (piece, _) in &self.pieces {
            let count = self.places.len() as u32;
            let from = match self.places.last() {
                Some(&last) if last == piece.from && count > first => count - 1,
                _ => {
                    first = count;
                    self.places.push(piece.from);
                    count
                }
            };
            let to = if self.places[first as usize] == piece.to {
                first
            } else {
                self.places.push(piece.to);
                self.places.len() as u32 - 1
            };
            if to == first {
                // The next piece starts a chain.
                first = self.places.len() as u32;
                chains += 1;
            }
            self.ends.push([from, to]);
        }
        chains
    }

    /// Finds the places that pieces share, sweeping from south to north; how many
    /// chains there are.
    fn cut_pieces(&mut self) -> usize {
        let chains = self.number_ends();
        self.cuts.clear();
        self.boxes.clear();
        self.order.clear();
        self.active.clear();
        for (k, (piece, _)) in (0_u32..).zip(&self.pieces) {
            let [low, high] = piece.bounds();
            self.boxes.push([low, high]);
            self.order.push((low.north(), k));
        }
        self.order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        let near = self.near;
        for &(south, k) in &self.order {
            let [low, high] = self.boxes[k as usize];
            let mut i = 0;
            while let Some(&other) = self.active.get(i) {
                let [other_low, other_high] = self.boxes[other as usize];
                if other_high.north() < south - near {
                    self.active.swap_remove(i);
                    continue;
                }
                i += 1;
                if other_high.east() < low.east() - near || high.east() < other_low.east() - near {
                    continue;
                }
                let pair = [k, other];
                let ends = pair.map(|piece| self.ends[piece as usize]);
                let (a, b) = (&self.pieces[k as usize].0, &self.pieces[other as usize].0);
                let (places, cuts) = (&mut self.places, &mut self.cuts);
                // Neighbors in a chain share their common end, and need not find it.
                let shared = ends[0].into_iter().find(|end| ends[1].contains(end));
                if shared.is_some() && a.fork(b, near) {
                    continue;
                }
                let shared = shared.map(|end| places[end as usize]);
                a.meet_apart(
                    b,
                    near,
                    |place| shared == Some(place),
                    |contact| add_contact(contact, pair, ends, places, cuts),
                );
            }
            self.active.push(k);
        }
        chains
    }

    /// Gives places that are nearly the same the number of the first of them.
    fn unite_places(&mut self) {
        self.one.clear();
        self.order.clear();
        for (k, place) in (0_u32..).zip(&self.places) {
            self.one.push(k);
            self.order.push((place.north(), k));
        }
        self.order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
        for (i, &(north, a)) in self.order.iter().enumerate() {
            for &(other_north, b) in &self.order[i + 1..] {
                if other_north - north > self.near {
                    break;
                }
                let apart = self.places[b as usize].east() - self.places[a as usize].east();
                if apart.abs() <= self.near {
                    let (a, b) = (root(&self.one, a), root(&self.one, b));
                    self.one[a.max(b) as usize] = a.min(b);
                }
            }
        }
        for k in 0..self.one.len() {
            self.one[k] = self.one[self.one[k] as usize];
        }
    }

    /// Makes an edge of each stretch between cuts.
    fn make_edges(&mut self) {
        self.cuts
            .sort_unstable_by(|a, b| (a.piece.cmp(&b.piece)).then(a.station.total_cmp(&b.station)));
        self.edges.clear();
        let mut next = 0;
        for k in 0..self.pieces.len() {
            let [start, end] = self.ends[k];
            let mut from = (0.0, start);
            while let Some(cut) = self.cuts.get(next).copied()
                && cut.piece as usize == k
            {
                self.add_edge(k, from, (cut.station, cut.place));
                from = (cut.station, cut.place);
                next += 1;
            }
            self.add_edge(k, from, (self.pieces[k].0.length, end));
        }
        self.group_halves();
        if self.add_up() {
            self.edges.retain(|edge| edge.times != 0);
            self.group_halves();
        }
    }

    fn add_edge(&mut self, piece: usize, from: (f64, u32), to: (f64, u32)) {
        let ends = [from, to].map(|(_, place)| self.one[place as usize]);
        if ends[0] == ends[1] {
            return;
        }
        let sweep = self.pieces[piece]
            .0
            .bow
            .map_or(0.0, |bow| (to.0 - from.0) / bow.radius * bow.sweep.signum());
        self.edges.push(Edge {
            ends,
            piece: piece as u32,
            sweep,
            times: 1,
        });
    }

    /// Puts the halves that leave one place next to each other.
    fn group_halves(&mut self) {
        self.groups.clear();
        self.groups.resize(self.places.len() + 1, 0);
        for edge in &self.edges {
            for end in edge.ends {
                self.groups[end as usize + 1] += 1;
            }
        }
        for k in 1..self.groups.len() {
            self.groups[k] += self.groups[k - 1];
        }
        self.around.clear();
        self.around.resize(self.edges.len() * 2, 0);
        // Filled from the back, so that each start ends up at the first.
        for half in (0..self.edges.len() as u32 * 2).rev() {
            let place = self.start(half) as usize + 1;
            self.groups[place] -= 1;
            self.around[self.groups[place] as usize] = half;
        }
        // Each start has moved down to where its group begins.
        self.groups.remove(0);
        self.groups.push(self.around.len() as u32);
    }

    fn group(&self, place: u32) -> std::ops::Range<usize> {
        let place = place as usize;
        self.groups[place] as usize..self.groups[place + 1] as usize
    }

    /// Adds up edges that lie on each other; whether any fell away.
    fn add_up(&mut self) -> bool {
        let mut any = false;
        for place in 0..self.places.len() as u32 {
            let group = self.group(place);
            for i in group.clone() {
                let a = self.around[i];
                for j in i + 1..group.end {
                    let b = self.around[j];
                    any |= self.add_pair(a, b);
                }
            }
        }
        any
    }

    /// Adds the edge of one half to that of another which leaves the same place,
    /// if they lie on each other; seen from their lower end only.
    fn add_pair(&mut self, a: u32, b: u32) -> bool {
        let far = self.start(a ^ 1);
        let (first, second) = ((a / 2) as usize, (b / 2) as usize);
        let dead = self.edges[first].times == 0 || self.edges[second].times == 0;
        if dead || far != self.start(b ^ 1) || self.start(a) > far {
            return false;
        }
        let other = if (a ^ b).is_multiple_of(2) {
            self.edges[second]
        } else {
            self.edges[second].reversed()
        };
        if !self.bulges_alike(&self.edges[first], &other) {
            return false;
        }
        self.edges[first] = self.sum(self.edges[first], other);
        self.edges[second].times = 0;
        true
    }

    /// Two edges that lie on each other, as one: with the piece of the one that
    /// goes the way that is left, that of a side before others.
    fn sum(&self, a: Edge, b: Edge) -> Edge {
        let times = a.times + b.times;
        let along = |edge: Edge| edge.times.signum() == times.signum();
        let is_side = |edge: Edge| matches!(self.pieces[edge.piece as usize].1, Along::Side(_));
        let chosen = if along(b) && (!along(a) || (is_side(b) && !is_side(a))) {
            b
        } else {
            a
        };
        Edge { times, ..chosen }
    }

    fn bulges_alike(&self, a: &Edge, b: &Edge) -> bool {
        let rise = |edge: &Edge| size(self.chord(edge.ends)) / 2.0 * (edge.sweep / 4.0).tan();
        (a.sweep.abs() + b.sweep.abs()) <= 0.0 || (rise(a) - rise(b)).abs() <= 4.0 * self.near
    }

    fn chord(&self, ends: [u32; 2]) -> Displacement {
        self.places[ends[1] as usize] - self.places[ends[0] as usize]
    }

    fn start(&self, half: u32) -> u32 {
        self.edges[(half / 2) as usize].ends[(half % 2) as usize]
    }

    /// Sorts the edges around each vertex, to the right from north.
    ///
    /// A curve counts with its direction to where it leaves a small circle around
    /// the vertex, so that curves of one tangent are told apart.
    fn sort_around(&mut self) {
        self.measure_circles();
        self.halves.clear();
        self.halves.resize(self.around.len(), Half::default());
        for place in 0..self.places.len() as u32 {
            let group = self.group(place);
            // Two edges have no order around a vertex.
            if group.len() > 2 {
                for i in group.clone() {
                    let half = self.around[i];
                    self.halves[half as usize].angle = self.angle(half);
                }
                let halves = &self.halves;
                let angle = |half: &u32| halves[*half as usize].angle;
                self.around[group.clone()].sort_unstable_by(|a, b| angle(a).total_cmp(&angle(b)));
            }
            for i in group {
                self.halves[self.around[i] as usize].position = i as u32;
            }
        }
    }

    fn angle(&self, half: u32) -> f64 {
        let edge = self.edges[(half / 2) as usize];
        let edge = if half.is_multiple_of(2) {
            edge
        } else {
            edge.reversed()
        };
        let chord = self.chord(edge.ends);
        if edge.sweep.abs() <= 0.0 {
            return around(chord);
        }
        let small = self.least[edge.ends[0] as usize];
        let radius = size(chord) / (2.0 * (edge.sweep.abs() / 2.0).sin());
        let lean = (small / (2.0 * radius)).min(1.0).asin();
        around(turned(chord, lean.copysign(edge.sweep) - edge.sweep / 2.0))
    }

    /// Finds for each vertex a radius within which its edges keep their order.
    fn measure_circles(&mut self) {
        self.least.clear();
        if self.edges.iter().any(|edge| edge.sweep.abs() > 0.0) {
            self.least.resize(self.places.len(), f64::INFINITY);
            for k in 0..self.edges.len() {
                let ends = self.edges[k].ends;
                let half = size(self.chord(ends)) / 2.0;
                for end in ends {
                    let least = &mut self.least[end as usize];
                    *least = least.min(half);
                }
            }
        }
    }

    /// The half that follows around the face to the right.
    fn next(&self, half: u32) -> u32 {
        let twin = half ^ 1;
        let position = self.halves[twin as usize].position as usize;
        let group = self.group(self.start(twin));
        let before = if position == group.start {
            group.end - 1
        } else {
            position - 1
        };
        self.around[before]
    }

    fn make_faces(&mut self) {
        self.faces.clear();
        for half in &mut self.halves {
            half.face = NONE;
        }
        for first in 0..self.halves.len() as u32 {
            if self.halves[first as usize].face != NONE {
                continue;
            }
            let id = self.faces.len() as u32;
            let mut twice = 0.0;
            let mut half = first;
            loop {
                self.halves[half as usize].face = id;
                twice += self.twice_area_under(half);
                half = self.next(half);
                if half == first || self.halves[half as usize].face != NONE {
                    break;
                }
            }
            self.faces.push(Face {
                first,
                area: twice / 2.0,
                winding: 0,
                part: NONE,
            });
        }
    }

    fn twice_area_under(&self, half: u32) -> f64 {
        let edge = self.edges[(half / 2) as usize];
        let ends = edge.ends.map(|end| self.places[end as usize]);
        let twice = twice_area(ends, edge.sweep);
        if half.is_multiple_of(2) {
            twice
        } else {
            -twice
        }
    }

    /// The net number of times the chains go along a half.
    fn times(&self, half: u32) -> i32 {
        let times = self.edges[(half / 2) as usize].times;
        if half.is_multiple_of(2) {
            times
        } else {
            -times
        }
    }

    /// Gives each face its winding number: first counted from the outer face of
    /// its connected part, then that of the place where the part lies added.
    fn wind(&mut self) -> Result<(), NotPlane> {
        self.outers.clear();
        for face in 0..self.faces.len() as u32 {
            if self.faces[face as usize].part == NONE {
                let outer = self.spread(face)?;
                self.outers.push(outer);
            }
        }
        // Euler: each connected part of a plane graph has one face more.
        let vertices = self.groups.windows(2).filter(|it| it[0] < it[1]).count();
        if vertices + self.faces.len() != self.edges.len() + 2 * self.outers.len() {
            return Err(NotPlane);
        }
        for part in 0..self.outers.len() {
            let outer = self.faces[self.outers[part] as usize];
            let lift = self.around_part(part as u32, outer) - outer.winding;
            for face in &mut self.faces {
                if face.part == part as u32 {
                    face.winding += lift;
                }
            }
        }
        Ok(())
    }

    /// Winding numbers for all faces connected with one, counted from it; the
    /// outer face among them.
    fn spread(&mut self, face: u32) -> Result<u32, NotPlane> {
        let part = self.outers.len() as u32;
        let mut outer = face;
        self.faces[face as usize].part = part;
        self.stack.clear();
        self.stack.push(face);
        while let Some(id) = self.stack.pop() {
            let face = self.faces[id as usize];
            if face.area < self.faces[outer as usize].area {
                outer = id;
            }
            let mut half = face.first;
            loop {
                let beyond = face.winding - self.times(half);
                let other = self.halves[(half ^ 1) as usize].face;
                let known = &mut self.faces[other as usize];
                if known.part == NONE {
                    known.part = part;
                    known.winding = beyond;
                    self.stack.push(other);
                } else if known.winding != beyond {
                    return Err(NotPlane);
                }
                half = self.next(half);
                if half == face.first {
                    break;
                }
            }
        }
        Ok(outer)
    }

    /// How often the other parts wind around a part.
    fn around_part(&self, part: u32, outer: Face) -> i32 {
        if self.outers.len() == 1 {
            return 0;
        }
        let at = self.places[self.start(outer.first) as usize];
        let edges = self.edges.iter().enumerate();
        edges
            .filter(|(k, _)| self.faces[self.halves[2 * k].face as usize].part != part)
            .map(|(_, edge)| edge.times * self.winds(edge, at))
            .sum()
    }

    /// Whether an edge passes north of a place: 1 to the right, -1 to the left.
    fn winds(&self, edge: &Edge, place: Displacement) -> i32 {
        let [a, b] = edge.ends.map(|end| self.places[end as usize] - place);
        let side = a.cross(b);
        let mut winding = 0;
        if (a.east() > 0.0) != (b.east() > 0.0) {
            // The ray goes north.
            let to_right = b.east() > 0.0;
            if to_right == (side > 0.0) {
                winding += if to_right { 1 } else { -1 };
            }
        }
        if let Some(bow) = self.pieces[edge.piece as usize].0.bow
            && edge.sweep.abs() > 0.0
        {
            let out = bow.center - place;
            let within = out.dot(out) < bow.radius * bow.radius;
            if within && side * edge.sweep < 0.0 {
                winding += if edge.sweep > 0.0 { 1 } else { -1 };
            }
        }
        winding
    }

    fn is_kept(&self, half: u32) -> bool {
        let winding = |half: u32| {
            let face = self.halves[half as usize].face;
            self.faces[face as usize].winding
        };
        winding(half) >= 1 && winding(half ^ 1) < 1
    }

    /// Reads off the boundary, each ring simple: cut apart where it comes back to
    /// a vertex.
    fn trace(&mut self, rings: &mut Vec<Vertex>, ends: &mut Vec<usize>) {
        self.seen.clear();
        self.seen.resize(self.halves.len(), false);
        self.visits.clear();
        self.visits.resize(self.places.len(), NONE);
        let mut walked = std::mem::take(&mut self.walked);
        for first in 0..self.halves.len() as u32 {
            if self.seen[first as usize] || !self.is_kept(first) {
                continue;
            }
            walked.clear();
            let mut half = first;
            loop {
                self.seen[half as usize] = true;
                let back = self.visits[self.start(half) as usize];
                if back != NONE {
                    self.add_walk(&walked[back as usize..], rings, ends);
                    for left in walked.drain(back as usize..) {
                        let start = self.start(left);
                        self.visits[start as usize] = NONE;
                    }
                }
                let start = self.start(half);
                self.visits[start as usize] = walked.len() as u32;
                walked.push(half);
                half = self.next(half);
                while !self.is_kept(half) {
                    half = self.next(half ^ 1);
                }
                if half == first {
                    break;
                }
            }
            self.add_walk(&walked, rings, ends);
            for &left in &walked {
                let start = self.start(left);
                self.visits[start as usize] = NONE;
            }
        }
        self.walked = walked;
    }

    fn add_walk(&self, walked: &[u32], rings: &mut Vec<Vertex>, ends: &mut Vec<usize>) {
        let (mut twice, mut around) = (0.0, 0.0);
        for &half in walked {
            twice += self.twice_area_under(half);
            around += size(self.chord(self.edges[(half / 2) as usize].ends));
        }
        let vertices = walked.iter().map(|&half| {
            let edge = self.edges[(half / 2) as usize];
            let (piece, along) = self.pieces[edge.piece as usize];
            let sweep = if half.is_multiple_of(2) {
                edge.sweep
            } else {
                -edge.sweep
            };
            Vertex {
                at: self.places[self.start(half) as usize],
                bow: piece.bow.map(|bow| Bow { sweep, ..bow }),
                along,
            }
        });
        add_ring(vertices, twice, around, rings, ends);
    }
}

/// Adds a ring of the given size, unless it is rounding.
fn add_ring(
    vertices: impl Iterator<Item = Vertex>,
    twice_area: f64,
    around: f64,
    rings: &mut Vec<Vertex>,
    ends: &mut Vec<usize>,
) {
    if twice_area.abs() <= 2.0 * LEAST_WIDTH_FEET * around {
        return;
    }
    let start = rings.len();
    for vertex in vertices {
        push_vertex(rings, start, vertex);
    }
    close_ring(rings, start);
    let corners = rings.len() - start;
    let curved = rings[start..].iter().any(|vertex| vertex.bow.is_some());
    if corners >= 3 || (corners == 2 && curved) {
        ends.push(rings.len());
    } else {
        rings.truncate(start);
    }
}

/// Twice the area between a side and the origin, positive where the side goes to
/// the right around it.
fn twice_area([from, to]: [Displacement; 2], sweep: f64) -> f64 {
    let mut twice = from.cross(to);
    if sweep.abs() > 0.0 {
        let turned = sweep.abs();
        let radius = size(to - from) / (2.0 * (turned / 2.0).sin());
        twice += (radius * radius * (turned - turned.sin())).copysign(sweep);
    }
    twice
}

/// Adds a vertex, unless the edge before goes straight on through it, or is
/// rounding.
fn push_vertex(rings: &mut Vec<Vertex>, start: usize, vertex: Vertex) {
    if let Some(last) = rings[start..].last_mut() {
        if continues(last, &vertex) {
            join(last, &vertex);
            return;
        }
        let way = vertex.at - last.at;
        if size(way) < LEAST_EDGE_FEET && is_short(last) {
            let at = last.at;
            *last = Vertex { at, ..vertex };
            return;
        }
    }
    rings.push(vertex);
}

fn is_short(vertex: &Vertex) -> bool {
    vertex
        .bow
        .is_none_or(|bow| bow.radius * bow.sweep.abs() < LEAST_EDGE_FEET)
}

fn continues(a: &Vertex, b: &Vertex) -> bool {
    a.along == b.along
        && !matches!(a.along, Along::Joint(_))
        && match (a.bow, b.bow) {
            (None, None) => true,
            (Some(a), Some(b)) => (a.sweep > 0.0) == (b.sweep > 0.0),
            _ => false,
        }
}

fn join(a: &mut Vertex, b: &Vertex) {
    if let (Some(first), Some(second)) = (&mut a.bow, b.bow) {
        first.sweep += second.sweep;
    }
}

/// Does for the last vertex and the first what [`push_vertex`] does for others.
fn close_ring(rings: &mut Vec<Vertex>, start: usize) {
    while rings.len() > start + 2 {
        let (first, last) = (rings[start], rings[rings.len() - 1]);
        if continues(&last, &first) {
            let mut joined = last;
            join(&mut joined, &first);
            rings[start] = joined;
            rings.pop();
        } else if size(first.at - last.at) < LEAST_EDGE_FEET && is_short(&last) {
            rings.pop();
        } else {
            break;
        }
    }
}

fn add_contact(
    contact: Contact,
    pieces: [u32; 2],
    ends: [[u32; 2]; 2],
    places: &mut Vec<Displacement>,
    cuts: &mut Vec<Cut>,
) {
    match contact {
        Contact::Cross { at, on } => {
            let place = places.len() as u32;
            places.push(at);
            cuts.extend(pieces.into_iter().zip(on).map(|(piece, station)| Cut {
                piece,
                station,
                place,
            }));
        }
        Contact::End { of, end, station } => {
            let place = ends[of][end];
            if !ends[1 - of].contains(&place) {
                cuts.push(Cut {
                    piece: pieces[1 - of],
                    station,
                    place,
                });
            }
        }
    }
}

fn root(one: &[u32], mut k: u32) -> u32 {
    while one[k as usize] != k {
        k = one[k as usize];
    }
    k
}

/// A figure that grows as a direction turns to the right, from 0 to 4.
fn around(way: Displacement) -> f64 {
    let share = way.north() / (way.north().abs() + way.east().abs());
    if way.east() >= 0.0 {
        1.0 - share
    } else {
        3.0 + share
    }
}

fn turned(way: Displacement, right: f64) -> Displacement {
    let (sin, cos) = right.sin_cos();
    way * cos + way.turned_right() * sin
}
