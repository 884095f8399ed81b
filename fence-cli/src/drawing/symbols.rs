//! The symbols of the plan. The legend draws them with the same functions.

use fence_geom::{PostKind, Standing};
use svg::node::element::Group;

use super::shapes::{Pen, Type, Xy, circle, line, placed, polygon, polyline, rectangle};
use crate::job_file::UtilityField;

pub(super) const INK: &str = "black";
pub(super) const PALE: &str = "#777777";
/// Words that warn; no line has it, so that it is not taken for a utility.
pub(super) const WARNING: &str = "#b00000";
const NONE: &str = "none";

/// Property lines are drawn long, short, short; common drafting practice, no
/// source.
/// The line inside the lot, where it is in pieces.
pub(super) const PIECE_PEN: Pen = Pen::new(INK, 0.4).dashed("1 2");
pub(super) const LOT_PEN: Pen = Pen::new(INK, 0.7).dashed("12 2.5 2 2.5 2 2.5");
pub(super) const STRING_PEN: Pen = Pen::new(INK, 0.35);
pub(super) const SECTION_PEN: Pen = Pen::new(INK, 1.1);
/// A color that no utility has.
pub(super) const CUT_PEN: Pen = Pen::new("#5fc9c0", 5.0);
/// The same, light enough to read on.
pub(super) const CUT_FILL: &str = "#bfeae6";
pub(super) const DIMENSION_PEN: Pen = Pen::new(PALE, 0.4);
pub(super) const GATE_PEN: Pen = Pen::new(INK, 0.9);
pub(super) const SWING_PEN: Pen = Pen::new(INK, 0.4).dashed("2 1.5");
pub(super) const BUILDING_PEN: Pen = Pen::new(INK, 0.9);
pub(super) const NO_BUILD_PEN: Pen = Pen::new(WARNING, 0.9).dashed("5 2");
pub(super) const OBSTACLE_PEN: Pen = Pen::new(PALE, 0.6);
pub(super) const HOLE_PEN: Pen = Pen::new(PALE, 0.35);
const SEARCH_PEN: Pen = Pen::new(INK, 0.7).dashed("3 2");
const NO_PEN: Pen = Pen::new(NONE, 0.0);

/// The hatch of buildings, by the name that [`hatch`] gives it.
pub(super) const HATCH: &str = "url(#hatch)";
pub(super) const OBSTACLE_FILL: &str = "#cccccc";

/// The color of a utility's marks on the ground: APWA Uniform Color Code for
/// marking underground facilities, American Public Works Association, as one-call
/// centers publish it. Pink for what is not known is from memory; the code as
/// read has pink for temporary survey marks. The yellow is darkened to show on
/// white paper.
pub(super) const fn utility_color(kind: UtilityField) -> &'static str {
    match kind {
        UtilityField::Electric => "#d00000",
        UtilityField::Gas => "#d9b000",
        UtilityField::Communication => "#f07000",
        UtilityField::Water => "#0060d0",
        UtilityField::Reclaimed => "#7a2da0",
        UtilityField::Sewer => "#008040",
        UtilityField::Unknown => "#ff4fa3",
    }
}

pub(super) const fn utility_words(kind: UtilityField) -> &'static str {
    match kind {
        UtilityField::Electric => "electric, marked red",
        UtilityField::Gas => "gas, oil or steam, marked yellow",
        UtilityField::Communication => "communication, marked orange",
        UtilityField::Water => "drinking water, marked blue",
        UtilityField::Reclaimed => "reclaimed water, marked purple",
        UtilityField::Sewer => "sewer or drain, marked green",
        UtilityField::Unknown => "line of unknown kind",
    }
}

/// The least size of a post on paper, however small the scale.
const fn least_post(kind: PostKind) -> f64 {
    match kind {
        PostKind::Line | PostKind::Step => 3.0,
        PostKind::End | PostKind::Corner | PostKind::OtherCorner => 4.4,
        PostKind::Tee | PostKind::Gate | PostKind::Latch | PostKind::Pull => 4.4,
    }
}

/// A post `width` wide on paper, or as wide as can be seen.
pub(super) fn post(kind: PostKind, round: bool, at: Xy, along: Xy, width: f64) -> Group {
    let size = width.max(least_post(kind));
    let half = size / 2.0;
    let fill = match kind {
        PostKind::Line | PostKind::End | PostKind::Step => "white",
        PostKind::Latch | PostKind::Pull => "white",
        PostKind::Corner | PostKind::OtherCorner | PostKind::Tee | PostKind::Gate => INK,
    };
    let pen = Pen::new(INK, 0.6);
    let group = placed(at, along);
    let group = if round {
        group.add(circle(Xy::ZERO, half, fill, pen))
    } else {
        group.add(rectangle(
            Xy::new(-half, -half),
            Xy::new(size, size),
            fill,
            pen,
        ))
    };
    let white = Pen::new("white", 0.9);
    let arm = half * if round { 0.7 } else { 1.0 };
    let diagonal = |pen| line(Xy::new(-arm, arm), Xy::new(arm, -arm), pen);
    match kind {
        PostKind::Line | PostKind::Corner => group,
        PostKind::Step => group.add(line(Xy::new(-half, half), Xy::new(half, -half), pen)),
        PostKind::OtherCorner => group.add(diagonal(white)),
        PostKind::Tee => group.add(line(Xy::new(-arm, 0.0), Xy::new(arm, 0.0), white)),
        PostKind::Gate => group.add(circle(Xy::ZERO, half * 0.5, "white", NO_PEN)),
        PostKind::Latch => group.add(circle(Xy::ZERO, half * 0.5, INK, NO_PEN)),
        PostKind::Pull => group
            .add(line(Xy::new(-half, 0.0), Xy::new(half, 0.0), pen))
            .add(line(Xy::new(0.0, -half), Xy::new(0.0, half), pen)),
        PostKind::End => group
            .add(line(Xy::new(-arm, -arm), Xy::new(arm, arm), pen))
            .add(diagonal(pen)),
    }
}

/// Half the size of a post's symbol.
pub(super) fn post_radius(kind: PostKind, width: f64) -> f64 {
    width.max(least_post(kind)) / 2.0
}

/// The ring around a post that is dug by hand.
pub(super) fn hand_dig(at: Xy, radius: f64) -> Group {
    placed(at, Xy::ACROSS).add(circle(Xy::ZERO, radius, NONE, Pen::new(INK, 1.2)))
}

/// A corner of the lot, by what it stands on.
pub(super) fn corner(standing: Standing, at: Xy) -> Group {
    let pen = Pen::new(INK, 0.8);
    let group = placed(at, Xy::ACROSS);
    match standing {
        Standing::Accepted => {
            group
                .add(circle(Xy::ZERO, 4.0, NONE, pen))
                .add(circle(Xy::ZERO, 1.5, INK, NO_PEN))
        }
        Standing::Found => group
            .add(circle(Xy::ZERO, 4.0, NONE, pen))
            .add(line(Xy::new(-2.8, -2.8), Xy::new(2.8, 2.8), pen))
            .add(line(Xy::new(-2.8, 2.8), Xy::new(2.8, -2.8), pen)),
        Standing::Predicted => group
            .add(line(Xy::new(-4.0, 0.0), Xy::new(4.0, 0.0), pen))
            .add(line(Xy::new(0.0, -4.0), Xy::new(0.0, 4.0), pen)),
    }
}

/// The least radius of a search circle on paper.
pub(super) const LEAST_SEARCH: f64 = 7.0;

/// Where a lost pin is looked for.
pub(super) fn search(at: Xy, radius: f64) -> Group {
    placed(at, Xy::ACROSS).add(circle(Xy::ZERO, radius.max(LEAST_SEARCH), NONE, SEARCH_PEN))
}

/// A flag on its staff; its foot is the place.
pub(super) fn flag(at: Xy) -> Group {
    let pen = Pen::new(INK, 0.6);
    placed(at, Xy::ACROSS)
        .add(line(Xy::ZERO, Xy::new(0.0, -12.0), pen))
        .add(polygon(
            &[Xy::new(0.0, -12.0), Xy::new(7.0, -9.5), Xy::new(0.0, -7.0)],
            "white",
            pen,
        ))
}

/// The place where a fence ends at a wall.
pub(super) fn wall(at: Xy, along: Xy) -> Group {
    placed(at, along).add(line(
        Xy::new(0.0, -5.0),
        Xy::new(0.0, 5.0),
        Pen::new(INK, 1.4),
    ))
}

/// The band of a tolerance zone, `width` wide.
pub(super) fn band(path: &[Xy], color: &'static str, width: f64) -> Group {
    Group::new()
        .set("opacity", "0.16")
        .add(polyline(path, Pen::new(color, width)))
}

/// The line of a utility.
pub(super) fn utility(path: &[Xy], color: &'static str, width: f64) -> Group {
    Group::new().add(polyline(
        path,
        Pen::new(color, width.max(1.3)).dashed("7 3"),
    ))
}

/// A gate shut (dashed) and open, with the way its leaf goes.
pub(super) fn leaf(hinge: Xy, shut: Xy, open: Xy) -> Group {
    Group::new()
        .add(line(hinge, shut, SWING_PEN))
        .add(super::shapes::arc(hinge, shut, open, SWING_PEN))
        .add(line(hinge, open, GATE_PEN))
}

/// The tick at the end of a dimension.
pub(super) fn tick(at: Xy, along: Xy) -> Group {
    placed(at, along).add(line(
        Xy::new(-2.0, 2.0),
        Xy::new(2.0, -2.0),
        Pen::new(INK, 0.7),
    ))
}

/// The arrow to the north, 40 points high, its foot at `at`.
pub(super) fn north(at: Xy) -> Group {
    let pen = Pen::new(INK, 0.7);
    placed(at, Xy::ACROSS)
        .add(line(Xy::ZERO, Xy::new(0.0, -30.0), pen))
        .add(polygon(
            &[
                Xy::new(0.0, -30.0),
                Xy::new(-5.0, -14.0),
                Xy::new(0.0, -17.5),
            ],
            INK,
            pen,
        ))
        .add(polygon(
            &[
                Xy::new(0.0, -30.0),
                Xy::new(5.0, -14.0),
                Xy::new(0.0, -17.5),
            ],
            "white",
            pen,
        ))
        .add(Type::bold(9.0).centered(Xy::new(0.0, -32.5), "N"))
}

/// Defines the hatch of buildings.
pub(super) fn hatch() -> svg::node::element::Definitions {
    svg::node::element::Definitions::new().add(
        svg::node::element::Pattern::new()
            .set("id", "hatch")
            .set("width", "6")
            .set("height", "6")
            .set("patternUnits", "userSpaceOnUse")
            .set("patternTransform", "rotate(45)")
            .add(rectangle(Xy::ZERO, Xy::new(6.0, 6.0), "#f4f4f4", NO_PEN))
            .add(line(Xy::ZERO, Xy::new(0.0, 6.0), Pen::new("#bbbbbb", 0.7))),
    )
}
