//! What stands at the ends of a run: the kind of post, its width, where it may stand,
//! and whether this run digs its hole.

use super::on_arc;
use crate::angle::Angle;
use crate::corner::CornerError;
use crate::layout::LayoutEnd;
use crate::length::Length;
use crate::product::{Build, PostKind, Product};
use crate::route::{FaceRange, RunEnd, end_face};
use crate::standards::{CORNER_POST_TURN, SQUARE_CORNER_WITHIN};

/// How far inside their strings the post centers of the runs are that meet a run at
/// its start and at its end, where those are on arcs.
pub(super) type Beside = [Option<Length>; 2];

/// One end of a run.
#[derive(Clone, Copy)]
pub(super) struct End {
    pub(super) kind: PostKind,
    pub(super) request: LayoutEnd,
    /// How far inside the string its post's center is, where that is not half the
    /// post.
    pub(super) inside: Option<Length>,
}

impl End {
    /// `arrives` tells the end of a run from its start. A post that runs share is dug
    /// once: by the run that arrives at it, and at a tee by the fence that runs through.
    pub(super) fn new(
        end: RunEnd,
        arrives: bool,
        product: &Product,
        [own, beside]: Beside,
    ) -> Result<Self, CornerError> {
        let (kind, post) = end_post(end, product);
        let half = Length::saturating(post.feet() / 2.0);
        let (face, inside) = match (end, own.or(beside)) {
            (RunEnd::Corner { interior }, Some(_)) => {
                let [own, beside] = [own, beside].map(|inside| inside.unwrap_or(half));
                let (along, inside) = on_arc::corner_seat(interior, own, beside)?;
                let face = along + half.forward();
                let face = FaceRange {
                    least: face,
                    most: face,
                };
                (face, Some(inside))
            }
            _ => (end_face(end, post)?, own),
        };
        let digs = match end {
            RunEnd::Corner { .. } => arrives,
            RunEnd::Tee { branch, .. } => arrives && !branch,
            _ => true,
        };
        // A wall post stands as near to the wall as it may.
        let request = LayoutEnd {
            face_min: face.least,
            face_max: face.most,
            face_wish: face.least,
            post,
            hole: post > Length::ZERO && digs,
        };
        Ok(Self {
            kind,
            request,
            inside,
        })
    }
}

/// The kind of post at the end of a run, and its width.
pub(super) fn end_post(end: RunEnd, product: &Product) -> (PostKind, Length) {
    let kind = match end {
        RunEnd::Corner { interior } => corner_post(interior, product),
        RunEnd::Tee { .. } => PostKind::Tee,
        _ => PostKind::End,
    };
    let width = match end {
        RunEnd::WallBracket { .. } => Length::ZERO,
        _ => product.posts.of(kind).width,
    };
    (kind, width)
}

/// The kind of post between two runs. Where the fence turns by less than a corner post
/// is for, and panels turn that far, it runs straight on.
fn corner_post(interior: Angle, product: &Product) -> PostKind {
    let turn = (interior.degrees() - 180.0).abs();
    let fabric = product.build == Build::Fabric;
    let panels_turn = product.most_turn.filter(|_| !fabric);
    let most = panels_turn.map_or(f64::INFINITY, Angle::degrees);
    if turn < CORNER_POST_TURN.degrees() && turn <= most {
        return if fabric {
            PostKind::Pull
        } else {
            PostKind::Line
        };
    }
    if (turn - 90.0).abs() <= SQUARE_CORNER_WITHIN.degrees() {
        PostKind::Corner
    } else {
        PostKind::OtherCorner
    }
}

#[cfg(test)]
mod tests;
