//! The picture of a tract of a deed.

use fence_geom::{Course, LengthStyle, Side};

use crate::deed_text::{area_words, call_bearing, curve_of, curve_words, misclosure_words};
use crate::deed_work::Whole;
use crate::drawing::{CoursePicture, TractPicture, tract_svg};

/// Returns the picture of a tract as an SVG file.
pub(crate) fn picture(name: &str, whole: &Whole, cautions: &[&'static str]) -> String {
    let traverse = &whole.traverse;
    let closure = whole.closure();
    let misclosure = closure.and_then(misclosure_words);
    let mut facts =
        vec!["Plotted from the calls; grid and true north are not told apart".to_owned()];
    if whole.comes_back {
        facts.push(area_words(traverse.area()));
    }
    facts.push(format!(
        "{:.2} ft around",
        traverse.closure().perimeter().feet()
    ));
    facts.push(match &misclosure {
        Some(words) => format!("Misclosure {words}"),
        None if closure.is_some() => "The calls close exactly".to_owned(),
        None => "No closure checks the figures".to_owned(),
    });
    let warning = (closure.is_some() && !whole.closes()).then(|| {
        let words = format!(
            "it misses by {:.3} ft; {:.3} ft would be within the limit",
            traverse.closure().misclosure().feet(),
            whole.limit.feet()
        );
        ("DOES NOT CLOSE", words)
    });
    tract_svg(&TractPicture {
        name: name.to_owned(),
        facts,
        warning,
        courses: courses(whole),
        misclosure: misclosure
            .filter(|_| !whole.closes())
            .map(|words| format!("misclosure {words}")),
        cautions: cautions.to_vec(),
    })
}

fn courses(whole: &Whole) -> Vec<CoursePicture> {
    let traverse = &whole.traverse;
    let corners = traverse.corners();
    let from = corners.iter();
    let to = corners.iter().skip(1).map(|corner| corner.at);
    // The last course of a tract that comes back ends where its calls do.
    let ends = to.chain([traverse.end()]);
    traverse
        .courses()
        .iter()
        .enumerate()
        .zip(from.zip(ends))
        .map(|((i, course), (from, to))| CoursePicture {
            corner: from.name.clone(),
            from: from.at,
            to,
            side: course.call.side(),
            words: words(whole, i, course),
        })
        .collect()
}

/// The bearing and the distance of a course; of a curve, its elements before those of
/// its chord.
fn words(whole: &Whole, i: usize, course: &Course) -> Vec<String> {
    let solved = course.call.solved();
    let star = |is_solved| if is_solved { "*" } else { "" };
    let bearing = call_bearing(&course.call) + star(solved.direction);
    let distance = course
        .distance()
        .to_text(LengthStyle::DecimalFeet { places: 2 })
        + star(solved.distance);
    match (course.call.side(), curve_of(whole, i)) {
        (Side::Arc { .. }, Some(curve)) => {
            vec![curve_words(curve), format!("chord {bearing} {distance}")]
        }
        _ => vec![bearing, distance],
    }
}
