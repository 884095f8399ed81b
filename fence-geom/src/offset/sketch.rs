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
use super::piece::{Bow, Contact, Piece};
use crate::point::Displacement;

/// Places nearer than this, in feet, are one place, in a sketch of the size of a
/// lot.
const ONE_PLACE_FEET: f64 = 1e-9;

/// The same for large sketches, as a share of their size.
const ONE_PLACE_SHARE: f64 = 1e-13;

/// How often a wider tolerance is tried, and by what factor wider.
const TRIES: u32 = 4;
const WIDER: f64 = 30.0;

/// An edge of the result shorter than this, in feet, is rounding.
const LEAST_EDGE_FEET: f64 = 1e-7;

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
    boxes: Vec<[Displacement; 2]>,
    order: Vec<u32>,
    active: Vec<u32>,
    places: Vec<Displacement>,
    one: Vec<u32>,
    cuts: Vec<Cut>,
    edges: Vec<Edge>,
    halves: Vec<Half>,
    around: Vec<u32>,
    faces: Vec<Face>,
    least: Vec<f64>,
    stack: Vec<u32>,
    outers: Vec<u32>,
    seen: Vec<u32>,
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

/// An edge as it leaves one of its ends: `2 e` and `2 e + 1` for edge `e`.
#[derive(Clone, Copy, Debug, Default)]
struct Half {
    angle: f64,
    /// Its place among the halves around their vertices, and the range of those
    /// of its vertex.
    position: u32,
    group: [u32; 2],
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
            if self.overlay().is_ok() {
                self.trace(rings, ends);
                return Ok(());
            }
            self.near *= WIDER;
        }
        Err(NotPlane)
    }

    fn overlay(&mut self) -> Result<(), NotPlane> {
        self.cut_pieces();
        self.unite_places();
        self.make_edges();
        self.sort_around();
        self.make_faces();
        self.wind()
    }

    /// Finds the places that pieces share, sweeping from south to north.
    fn cut_pieces(&mut self) {
        self.places.clear();
        self.cuts.clear();
        self.boxes.clear();
        self.order.clear();
        self.active.clear();
        for (k, (piece, _)) in (0_u32..).zip(&self.pieces) {
            self.places.extend([piece.from, piece.to]);
            self.cuts.push(Cut {
                piece: k,
                station: 0.0,
                place: 2 * k,
            });
            self.cuts.push(Cut {
                piece: k,
                station: piece.length,
                place: 2 * k + 1,
            });
            self.boxes.push(piece.bounds());
            self.order.push(k);
        }
        let boxes = &self.boxes;
        self.order
            .sort_unstable_by(|&a, &b| south(boxes, a).total_cmp(&south(boxes, b)));
        let near = self.near;
        for &k in &self.order {
            let [low, high] = boxes[k as usize];
            let (places, cuts) = (&mut self.places, &mut self.cuts);
            let mut i = 0;
            while let Some(&other) = self.active.get(i) {
                let [other_low, other_high] = boxes[other as usize];
                if other_high.north() < low.north() - near {
                    self.active.swap_remove(i);
                    continue;
                }
                i += 1;
                if other_high.east() < low.east() - near || high.east() < other_low.east() - near {
                    continue;
                }
                let (a, b) = (&self.pieces[k as usize].0, &self.pieces[other as usize].0);
                a.meet(b, near, |contact| {
                    add_contact(contact, [k, other], places, cuts)
                });
            }
            self.active.push(k);
        }
    }

    /// Gives places that are nearly the same the number of the first of them.
    fn unite_places(&mut self) {
        let places = &self.places;
        self.one.clear();
        self.one.extend((0_u32..).zip(places).map(|(k, _)| k));
        self.order.clear();
        self.order.extend(self.one.iter());
        self.order.sort_unstable_by(|&a, &b| {
            let (a, b) = (places[a as usize], places[b as usize]);
            a.north().total_cmp(&b.north())
        });
        for (i, &a) in self.order.iter().enumerate() {
            let at = places[a as usize];
            for &b in &self.order[i + 1..] {
                let other = places[b as usize];
                if other.north() - at.north() > self.near {
                    break;
                }
                if (other.east() - at.east()).abs() <= self.near {
                    let (a, b) = (root(&self.one, a), root(&self.one, b));
                    self.one[a.max(b) as usize] = a.min(b);
                }
            }
        }
        for k in 0..self.one.len() {
            self.one[k] = self.one[self.one[k] as usize];
        }
    }

    /// Makes an edge of each stretch between cuts, and adds up those that lie on
    /// each other.
    fn make_edges(&mut self) {
        self.cuts
            .sort_unstable_by(|a, b| (a.piece.cmp(&b.piece)).then(a.station.total_cmp(&b.station)));
        self.edges.clear();
        for pair in self.cuts.windows(2) {
            let [from, to] = [pair[0], pair[1]];
            if from.piece != to.piece {
                continue;
            }
            let ends = [from, to].map(|cut| self.one[cut.place as usize]);
            if ends[0] == ends[1] {
                continue;
            }
            let sweep = self.pieces[from.piece as usize].0.bow.map_or(0.0, |bow| {
                (to.station - from.station) / bow.radius * bow.sweep.signum()
            });
            let (ends, sweep, times) = if ends[0] < ends[1] {
                (ends, sweep, 1)
            } else {
                ([ends[1], ends[0]], -sweep, -1)
            };
            self.edges.push(Edge {
                ends,
                piece: from.piece,
                sweep,
                times,
            });
        }
        self.edges.sort_unstable_by_key(|edge| edge.ends);
        self.add_up();
    }

    fn add_up(&mut self) {
        let mut kept = 0;
        let mut first = 0;
        for i in 0..self.edges.len() {
            let edge = self.edges[i];
            if edge.ends != self.edges[first].ends {
                first = i;
            }
            // Those already kept with the same ends stand last among the kept.
            let same = self.edges[..kept]
                .iter()
                .rev()
                .take_while(|other| other.ends == edge.ends)
                .position(|other| self.bulges_alike(other, &edge));
            match same {
                Some(back) => {
                    let at = kept - 1 - back;
                    self.edges[at] = self.sum(self.edges[at], edge);
                }
                None => {
                    self.edges[kept] = edge;
                    kept += 1;
                }
            }
        }
        self.edges.truncate(kept);
        self.edges.retain(|edge| edge.times != 0);
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
        let rise =
            |edge: &Edge| self.chord(edge.ends).length().feet() / 2.0 * (edge.sweep / 4.0).tan();
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
        let count = self.edges.len() * 2;
        self.halves.clear();
        self.halves.resize(count, Half::default());
        self.around.clear();
        self.around.extend((0_u32..).take(count));
        self.measure_circles();
        for h in 0..count {
            let edge = self.edges[h / 2];
            let chord = self.chord(edge.ends);
            let chord = if h % 2 == 0 { chord } else { -chord };
            let sweep = if h % 2 == 0 { edge.sweep } else { -edge.sweep };
            let toward = if sweep.abs() > 0.0 {
                let small = self.least[self.start(h as u32) as usize];
                let radius = chord.length().feet() / (2.0 * (sweep.abs() / 2.0).sin());
                let lean = (small / (2.0 * radius)).min(1.0).asin().copysign(sweep);
                turned(chord, lean - sweep / 2.0)
            } else {
                chord
            };
            self.halves[h].angle = around(toward);
        }
        let mut order = std::mem::take(&mut self.around);
        order.sort_unstable_by(|&a, &b| {
            (self.start(a).cmp(&self.start(b))).then(
                self.halves[a as usize]
                    .angle
                    .total_cmp(&self.halves[b as usize].angle),
            )
        });
        self.around = order;
        let mut first = 0;
        for i in 0..count {
            if self.start(self.around[i]) != self.start(self.around[first]) {
                self.close_group(first, i);
                first = i;
            }
        }
        self.close_group(first, count);
    }

    fn close_group(&mut self, first: usize, end: usize) {
        for i in first..end {
            let half = &mut self.halves[self.around[i] as usize];
            half.position = i as u32;
            half.group = [first as u32, end as u32];
        }
    }

    /// Finds for each vertex a radius within which its edges keep their order.
    fn measure_circles(&mut self) {
        self.least.clear();
        if self.edges.iter().any(|edge| edge.sweep.abs() > 0.0) {
            self.least.resize(self.places.len(), f64::INFINITY);
            for k in 0..self.edges.len() {
                let ends = self.edges[k].ends;
                let half = self.chord(ends).length().feet() / 2.0;
                for end in ends {
                    let least = &mut self.least[end as usize];
                    *least = least.min(half);
                }
            }
        }
    }

    /// The half that follows around the face to the right.
    fn next(&self, half: u32) -> u32 {
        let twin = self.halves[(half ^ 1) as usize];
        let [first, end] = twin.group;
        let before = if twin.position == first {
            end - 1
        } else {
            twin.position - 1
        };
        self.around[before as usize]
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
        let [a, b] = edge.ends.map(|end| self.places[end as usize]);
        let mut twice = a.cross(b);
        if edge.sweep.abs() > 0.0 {
            let sweep = edge.sweep.abs();
            let radius = (b - a).length().feet() / (2.0 * (sweep / 2.0).sin());
            twice += (radius * radius * (sweep - sweep.sin())).copysign(edge.sweep);
        }
        if half % 2 == 0 { twice } else { -twice }
    }

    /// The net number of times the chains go along a half.
    fn times(&self, half: u32) -> i32 {
        let times = self.edges[(half / 2) as usize].times;
        if half % 2 == 0 { times } else { -times }
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
        let starts = self.around.iter().map(|&half| self.start(half));
        let vertices = count_runs(starts);
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
        self.seen.resize(self.halves.len(), 0);
        self.visits.clear();
        self.visits.resize(self.places.len(), NONE);
        let mut walked = std::mem::take(&mut self.walked);
        for first in 0..self.halves.len() as u32 {
            if self.seen[first as usize] != 0 || !self.is_kept(first) {
                continue;
            }
            walked.clear();
            let mut half = first;
            loop {
                self.seen[half as usize] = 1;
                let back = self.visits[self.start(half) as usize];
                if back != NONE {
                    self.add_ring(&walked[back as usize..], rings, ends);
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
            self.add_ring(&walked, rings, ends);
            for &left in &walked {
                let start = self.start(left);
                self.visits[start as usize] = NONE;
            }
        }
        self.walked = walked;
    }

    fn add_ring(&self, walked: &[u32], rings: &mut Vec<Vertex>, ends: &mut Vec<usize>) {
        let start = rings.len();
        let (mut twice, mut around) = (0.0, 0.0);
        for &half in walked {
            twice += self.twice_area_under(half);
            around += self
                .chord(self.edges[(half / 2) as usize].ends)
                .length()
                .feet();
        }
        if twice.abs() <= 2.0 * LEAST_WIDTH_FEET * around {
            return;
        }
        for &half in walked {
            let edge = self.edges[(half / 2) as usize];
            let (piece, along) = self.pieces[edge.piece as usize];
            let sweep = if half % 2 == 0 {
                edge.sweep
            } else {
                -edge.sweep
            };
            let vertex = Vertex {
                at: self.places[self.start(half) as usize],
                bow: piece.bow.map(|bow| Bow { sweep, ..bow }),
                along,
            };
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
        if way.length().feet() < LEAST_EDGE_FEET && is_short(last) {
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
        } else if (first.at - last.at).length().feet() < LEAST_EDGE_FEET && is_short(&last) {
            rings.pop();
        } else {
            break;
        }
    }
}

fn add_contact(
    contact: Contact,
    pieces: [u32; 2],
    places: &mut Vec<Displacement>,
    cuts: &mut Vec<Cut>,
) {
    let place = places.len() as u32;
    places.push(contact.at);
    for (piece, station) in pieces.into_iter().zip(contact.on) {
        cuts.push(Cut {
            piece,
            station,
            place,
        });
    }
}

/// How many runs of equal numbers there are.
fn count_runs(numbers: impl Iterator<Item = u32>) -> usize {
    let mut last = None;
    numbers
        .filter(|&number| last.replace(number) != Some(number))
        .count()
}

fn south(boxes: &[[Displacement; 2]], k: u32) -> f64 {
    boxes[k as usize][0].north()
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
