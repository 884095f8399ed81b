//! The elevation of a run that `fence posts` laid out.

use fence_geom::{Arrangement, GroundReport, Length, SectionKind, Shift};

use super::elevation::{
    Elevation, ElevationMark, ElevationPost, ElevationSection, Look, cut_label,
};
use super::symbols::WARNING;
use crate::contract::posts::{FromTo, PostsRequest};
use crate::finding_words::crew;
use crate::ground_words::inches;
use crate::run_layout::{PlacedSection, RunLayout};

/// Returns the elevation of a run.
pub(crate) fn run_elevation(
    asked: &PostsRequest,
    run: &RunLayout,
    best: &Arrangement,
) -> Elevation {
    let length = asked.length.0.value;
    let ground = run.ground.as_ref();
    Elevation {
        title: format!("RUN, {}", crew(length.magnitude())),
        stations: if run.arc.is_some() {
            "unrolled, along the arc"
        } else {
            "TAPE LEVEL"
        },
        length: length.feet(),
        ground: ground.map_or_else(
            || vec![(0.0, 0.0), (length.feet(), 0.0)],
            |ground| {
                (ground.profile.readings().iter())
                    .map(|reading| (reading.station.feet(), reading.height.feet()))
                    .collect()
            },
        ),
        posts: posts(run, best, ground),
        sections: sections(run, best, ground),
        marks: (asked.hand_dig.iter().map(|marked| mark(marked, "by hand")))
            .chain(asked.no_dig.iter().map(|marked| mark(marked, "no hole")))
            .collect(),
    }
}

fn posts(run: &RunLayout, best: &Arrangement, ground: Option<&GroundReport>) -> Vec<ElevationPost> {
    let lattice = run.layout.lattice;
    (best.posts.iter().zip(&run.placed.posts))
        .filter(|(post, _)| post.width > 0)
        .enumerate()
        .map(|(i, (post, (station, kind)))| {
            let on_ground = ground.and_then(|ground| ground.posts.get(i));
            ElevationPost {
                station: station.feet(),
                width: lattice.shift(post.width).feet(),
                ground: on_ground.map_or(0.0, |post| post.ground.feet()),
                stands_out: on_ground.map_or(run.height, |post| post.stands_out).feet(),
                depth: post.hole.then(|| run.depth.feet()),
                kind: *kind,
                by_hand: post.hand_dug,
            }
        })
        .collect()
}

fn sections(
    run: &RunLayout,
    best: &Arrangement,
    ground: Option<&GroundReport>,
) -> Vec<ElevationSection> {
    let gap = run.least_gap.forward();
    (best.sections.iter().zip(&run.placed.sections))
        .enumerate()
        .map(|(i, (section, placed))| {
            let PlacedSection { from, clear, rail } = placed;
            let on_ground = ground.and_then(|ground| ground.sections.get(i));
            let bottoms = on_ground.map_or((gap, gap), |section| {
                (section.bottom_from, section.bottom_to)
            });
            let (look, label) = match section.kind {
                SectionKind::Full => (Look::Full, inches(*rail)),
                SectionKind::Cut => {
                    let saw = run.cutting.saw_length(*rail);
                    (Look::Cut, cut_label(*rail, Some(saw)))
                }
                SectionKind::Bay => (Look::Bay, inches(*rail)),
                SectionKind::Gate(gate) => {
                    (Look::Gate, format!("gate {} {}", gate + 1, inches(*clear)))
                }
            };
            ElevationSection {
                from: from.feet(),
                to: (*from + clear.forward()).feet(),
                bottom_from: bottoms.0.feet(),
                bottom_to: bottoms.1.feet(),
                height: run.height.minus(run.least_gap).feet(),
                look,
                label,
                over: on_ground
                    .filter(|section| section.over > Length::ZERO)
                    .map(|section| (section.largest_at.feet(), crew(section.largest_gap))),
            }
        })
        .collect()
}

fn mark(stretch: &FromTo, name: &str) -> ElevationMark {
    let (from, to) = stretch.both();
    let feet = |place: Shift| place.feet();
    ElevationMark {
        from: feet(from.0.value),
        to: feet(to.0.value),
        name: name.to_owned(),
        color: WARNING,
    }
}
