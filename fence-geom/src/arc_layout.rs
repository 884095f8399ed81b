//! A run laid out on an arc, with straight sections as chords.
//!
//! The string is the arc of the posts' outside faces, of radius R. Post centers
//! stand on a circle about the same center, half of the widest post toward the yard,
//! so that no face passes the line and all centers are set by one measure. A section
//! is the chord between two posts; from center to center a full one is
//! `p = full + line post`, and the turn from one to the next is
//! `2 asin(p / 2 r)` on a circle of radius r: "chord" definition of a curve.
//!
//! Where the yard lies on the far side from the arc's center (a side of the lot
//! that curves into it), the middle of a chord is nearer to the center than its
//! ends, beyond the line. So the posts move in until the middle of the longest
//! section is on the line: `r = sqrt((R + w/2)^2 + (p/2)^2)`, which is about
//! `p^2 / 8R` more. On the other side nothing moves, and the middles of sections
//! stand that much inside the line.
//!
//! # Model
//!
//! [`lay_out`] knows a straight line. The arc is handed to it in **chord
//! measure**, in which the angle of a full section and its post counts `p`, so
//! that every such pair is exact however many there are. Cut sections and gates
//! have other chords: their widths are figured from where their posts come to
//! stand, and [`ArcLayout::misfit`] says how far a full section or a gate is from
//! what it should be, at the worst. It is in the order of `p^3 / 24 r^2`: an
//! eighth of an inch for panels of 8 ft at 40 ft. Ends keep their faces. A section
//! meets a square post at half the turn; what that takes of its width,
//! `w (1/cos(turn/2) - 1)`, is left out: under 1/16 in for 5 in posts down to a
//! radius of 30 ft.
//!
//! Source: the chord, `2 r sin(a/2)`, and the rise of the arc over it,
//! `r (1 - cos(a/2))`, are elementary circle geometry; posts moved in and panels
//! as chords are common practice, no source.

use crate::angle::Angle;
use crate::layout::{
    Choices, Layout, LayoutError, LayoutRequest, LayoutStatus, RunnerUp, SectionKind, lay_out,
    runners_up,
};
use crate::length::{Length, Shift};
use crate::obstacle::Stretch;
use crate::product::Build;

/// The arc of a run, and the yard beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcLine {
    /// The radius of the string: of the outside faces of the posts.
    pub radius: Length,
    /// On which side the yard lies.
    pub yard: ArcYard,
}

/// The side of an arc on which the yard lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ArcYard {
    /// Where the center of the arc is: the line curves out around the yard.
    Center,
    /// Away from the center of the arc: the line curves into the yard.
    Away,
}

/// A run laid out on an arc.
#[derive(Clone, Debug, PartialEq)]
pub struct ArcLayout {
    /// The layout in chord measure.
    pub layout: Layout,
    /// The radius on which the centers of the posts stand.
    pub post_radius: Length,
    /// How far the posts are moved in, so that no section bulges past the line.
    pub moved_in: Length,
    /// The turn at a post between two full sections.
    pub full_turn: Angle,
    /// The posts of the layout.
    pub posts: Vec<ArcPost>,
    /// The sections of the layout.
    pub sections: Vec<ArcSection>,
    /// How far a full section or a gate misses its width, at the worst.
    pub misfit: Length,
}

/// A post on an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcPost {
    /// From the start of the run along the string.
    pub station: Shift,
    /// From the start of the run about the center of the arc.
    pub angle: Angle,
    /// How far the fence turns here: from section to section, at an end from the
    /// arc's tangent.
    pub turn: Angle,
}

/// A section on an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArcSection {
    /// Its first face from the start of the run, along the string.
    pub from: Shift,
    /// From center to center of its posts.
    pub chord: Length,
    /// From face to face of its posts.
    pub clear: Length,
    /// How far the line of post centers bulges past its middle.
    pub rise: Length,
}

/// Why a run can't be laid out on an arc.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ArcLayoutError {
    /// An arc too tight for its sections.
    #[error(
        "the arc has a radius of {radius:.2} ft, and a section of {chord:.2} ft from post to post can't be a chord of it: it takes {least:.2} ft at least, or narrower sections"
    )]
    TooTight {
        /// The radius, in feet.
        radius: f64,
        /// The longest section from post to post, in feet.
        chord: f64,
        /// The least radius that is laid out, in feet.
        least: f64,
    },
    /// An arc that goes around more than once.
    #[error(
        "a run of {length:.2} ft on a radius of {radius:.2} ft goes around more than once: check the two"
    )]
    GoesAround {
        /// The length, in feet.
        length: f64,
        /// The radius, in feet.
        radius: f64,
    },
    /// The layout.
    #[error(transparent)]
    Layout(#[from] LayoutError),
}

/// Returns the least radius of the line of post centers at which the fence turns
/// no more than `most_turn` at a post between two full sections, `chord` from post
/// to post.
///
/// # Examples
///
/// ```
/// use fence_geom::{Angle, Length, least_arc_radius};
///
/// let chord = Length::from_feet(8.0)?;
/// let least = least_arc_radius(chord, Angle::from_degrees(60.0)?);
/// assert!((least.feet() - 8.0).abs() < 1e-12);
/// # Ok::<(), fence_geom::QuantityError>(())
/// ```
#[must_use]
pub fn least_arc_radius(chord: Length, most_turn: Angle) -> Length {
    let half = most_turn.radians().abs().min(std::f64::consts::PI) / 2.0;
    Length::saturating(chord.feet() / (2.0 * half.sin()))
}

/// Returns the best layout of a run on an arc.
///
/// [`LayoutRequest::length`], the places of gates and all stretches are measured
/// along the string; the faces of the ends along the first and the last section.
///
/// # Errors
///
/// An [`ArcLayoutError`] for an arc that is too tight, or what [`lay_out`]
/// refuses.
///
/// # Examples
///
/// Panels of 92 in between posts of 4 in are chords of 8 ft. On a line that curves
/// into the yard with a radius of 100 ft the posts move in by 8^2 / 800 ft:
///
/// ```
/// use fence_geom::{
///     ArcLine, ArcYard, LayoutEnd, LayoutRequest, Length, Shift, lay_out_on_arc,
/// };
///
/// let inches = Length::from_inches;
/// let end = LayoutEnd::fixed(Shift::from_inches(2.0)?, inches(4.0)?, true);
/// let run = LayoutRequest::plain(
///     inches(600.0)?, inches(92.0)?, inches(12.0)?, inches(4.0)?, end, end,
/// );
/// let arc = ArcLine { radius: Length::from_feet(100.0)?, yard: ArcYard::Away };
/// let laid = lay_out_on_arc(&run, &arc)?;
/// assert!((laid.moved_in.feet() - 0.08).abs() < 0.001);
/// assert!((laid.full_turn.degrees() - 4.57).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn lay_out_on_arc(request: &LayoutRequest, arc: &ArcLine) -> Result<ArcLayout, ArcLayoutError> {
    let measure = ChordMeasure::new(request, arc)?;
    let layout = lay_out(&measure.request(request))?;
    Ok(set_on_arc(request, &measure, layout))
}

/// Returns other layouts worth a look, as [`runners_up`] does, each with how it
/// stands on the arc. `request` and `arc` are those of the layout.
///
/// # Errors
///
/// An [`ArcLayoutError`], as from [`lay_out_on_arc`].
pub fn runners_up_on_arc(
    request: &LayoutRequest,
    arc: &ArcLine,
    laid: &ArcLayout,
    choices: &Choices,
) -> Result<Vec<(RunnerUp, ArcLayout)>, ArcLayoutError> {
    let measure = ChordMeasure::new(request, arc)?;
    // A wider gate would bulge past the line that the posts were moved in for.
    let gate_post = wider_gate_post(request).feet();
    let widest = request.gates.iter().map(|gate| gate.opening.feet());
    let widest = widest.fold(measure.pitch - gate_post, f64::max);
    let openings = choices.gate_openings.iter().copied();
    let choices = Choices {
        gate_openings: openings.filter(|gate| gate.feet() <= widest).collect(),
        ..choices.clone()
    };
    let others = runners_up(&measure.request(request), &laid.layout, &choices)?;
    let set = |other: RunnerUp| {
        let layout = Layout {
            status: LayoutStatus::Optimal(other.arrangement.clone()),
            ..laid.layout.clone()
        };
        let mut asked = request.clone();
        asked.gates.clone_from(&other.request.gates);
        let set = set_on_arc(&asked, &measure, layout);
        (other, set)
    };
    Ok(others.into_iter().map(set).collect())
}

/// Sets a layout in chord measure on its arc.
fn set_on_arc(request: &LayoutRequest, measure: &ChordMeasure, layout: Layout) -> ArcLayout {
    let mut laid = ArcLayout {
        layout,
        post_radius: Length::saturating(measure.post_radius),
        moved_in: Length::saturating(measure.moved_in),
        full_turn: Angle::of_radians(measure.full_turn),
        posts: Vec::new(),
        sections: Vec::new(),
        misfit: Length::ZERO,
    };
    let LayoutStatus::Optimal(best) = &laid.layout.status else {
        return laid;
    };
    let lattice = request.lattice;
    let angles: Vec<f64> = (best.posts.iter())
        .map(|post| measure.angle(lattice.half_steps(post.center_half_steps)))
        .collect();
    let between: Vec<f64> = pairs(&angles).map(|(a, b)| b - a).collect();
    laid.sections = (best.sections.iter().zip(pairs(&angles)))
        .zip(best.posts.iter().zip(best.posts.iter().skip(1)))
        .map(|((section, angles), (before, after))| {
            // What stands between the centers of the posts and the section.
            let posts = after.center_half_steps - before.center_half_steps - 2 * section.clear;
            let into = 2 * section.from - before.center_half_steps;
            let [posts, into] = [posts, into].map(|halves| lattice.half_steps(halves));
            measure.section(angles, posts.feet(), into.feet())
        })
        .collect();
    laid.posts = (angles.iter().enumerate())
        .map(|(i, &angle)| {
            let before = i.checked_sub(1).and_then(|i| between.get(i));
            let turns = before.into_iter().chain(between.get(i));
            ArcPost {
                station: Shift::saturating(angle * measure.radius),
                angle: Angle::of_radians(angle),
                turn: Angle::of_radians(turns.sum::<f64>() / 2.0),
            }
        })
        .collect();
    let off = (best.sections.iter().zip(&laid.sections)).filter_map(|(placed, section)| {
        let wanted = match placed.kind {
            SectionKind::Full => request.full,
            SectionKind::Gate(gate) => request.gates.get(gate)?.opening,
            SectionKind::Cut | SectionKind::Bay => return None,
        };
        Some(section.clear.minus(wanted).magnitude().feet())
    });
    laid.misfit = Length::saturating(off.fold(0.0, f64::max));
    laid
}

/// How far inside the string the centers of the posts stand, from the widths of the
/// posts and the gates of a run.
pub(crate) fn centers_inside(
    request: &LayoutRequest,
    arc: &ArcLine,
) -> Result<Length, ArcLayoutError> {
    let measure = ChordMeasure::new(request, arc)?;
    Ok(Length::saturating(
        (measure.post_radius - measure.radius).abs(),
    ))
}

fn widest_post(request: &LayoutRequest) -> f64 {
    let gate_posts = [Some(request.gate_post), request.latch_post];
    let gate_posts = gate_posts.into_iter().flatten();
    let ends = [request.line_post, request.start.post, request.end.post];
    let posts = ends
        .into_iter()
        .chain(gate_posts.filter(|_| !request.gates.is_empty()));
    posts.map(Length::feet).fold(0.0, f64::max)
}

/// The wider of the posts that a gate may have beside it.
fn wider_gate_post(request: &LayoutRequest) -> Length {
    let latch = request.latch_post.unwrap_or_default();
    if latch > request.gate_post {
        latch
    } else {
        request.gate_post
    }
}

fn pairs(values: &[f64]) -> impl Iterator<Item = (f64, f64)> {
    values
        .iter()
        .zip(values.iter().skip(1))
        .map(|(a, b)| (*a, *b))
}

/// Places along the string against chord measure. Feet and radians.
struct ChordMeasure {
    radius: f64,
    post_radius: f64,
    moved_in: f64,
    /// The angle of a full section and its post.
    full_turn: f64,
    /// What that counts.
    pitch: f64,
}

impl ChordMeasure {
    fn new(request: &LayoutRequest, arc: &ArcLine) -> Result<Self, ArcLayoutError> {
        let radius = arc.radius.feet();
        let half_post = widest_post(request) / 2.0;
        // Panels on the face of the posts meet at their middles.
        let pitch = match request.build {
            Build::PanelsOnFace => request.full.feet(),
            Build::Panels | Build::Stick | Build::Fabric => {
                request.full.feet() + request.line_post.feet()
            }
        };
        let gates = request
            .gates
            .iter()
            .map(|gate| gate.opening + wider_gate_post(request));
        let chord = gates.map(Length::feet).fold(pitch, f64::max);
        // A turn of 60 degrees at a post is past what any fence is built with.
        let least = chord + half_post;
        if radius < least || pitch <= 0.0 {
            return Err(ArcLayoutError::TooTight {
                radius,
                chord,
                least,
            });
        }
        let length = request.length.feet();
        if length > std::f64::consts::TAU * radius {
            return Err(ArcLayoutError::GoesAround { length, radius });
        }
        let (post_radius, moved_in) = match arc.yard {
            ArcYard::Center => (radius - half_post, 0.0),
            ArcYard::Away => {
                let middle = radius + half_post;
                let moved = middle.hypot(chord / 2.0);
                (moved, moved - middle)
            }
        };
        Ok(Self {
            radius,
            post_radius,
            moved_in,
            full_turn: 2.0 * (pitch / (2.0 * post_radius)).asin(),
            pitch,
        })
    }

    /// What a place along the string is in chord measure.
    fn chord(&self, station: Shift) -> Shift {
        Shift::saturating(station.feet() / self.radius * self.pitch / self.full_turn)
    }

    /// The angle of a place in chord measure.
    fn angle(&self, chord: Shift) -> f64 {
        chord.feet() / self.pitch * self.full_turn
    }

    /// The section between posts at two angles: the posts take `posts` of its
    /// chord, and it begins `into` it.
    fn section(&self, angles: (f64, f64), posts: f64, into: f64) -> ArcSection {
        let (sin, cos) = ((angles.1 - angles.0) / 2.0).sin_cos();
        let chord = 2.0 * self.post_radius * sin;
        ArcSection {
            from: Shift::saturating(angles.0 * self.radius + into),
            chord: Length::saturating(chord),
            clear: Length::saturating(chord - posts),
            rise: Length::saturating(self.post_radius * (1.0 - cos)),
        }
    }

    fn request(&self, request: &LayoutRequest) -> LayoutRequest {
        let stretch = |stretch: &Stretch| Stretch {
            from: self.chord(stretch.from),
            to: self.chord(stretch.to),
        };
        let mut mapped = LayoutRequest {
            length: self.chord(request.length.forward()).magnitude(),
            no_dig: request.no_dig.iter().map(stretch).collect(),
            hand_dig: request.hand_dig.iter().map(stretch).collect(),
            show: request.show.iter().map(stretch).collect(),
            ..request.clone()
        };
        for gate in &mut mapped.gates {
            for place in [&mut gate.from, &mut gate.to, &mut gate.wish] {
                *place = place.map(|place| self.chord(place));
            }
        }
        mapped
    }
}
