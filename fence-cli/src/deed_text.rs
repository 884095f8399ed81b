//! The tracts of a deed as text for people.

use std::io::Write;

use fence_geom::{
    Angle, AngleStyle, AreaConfusion, AreaUnit, Beginning, Call, Closure, ClosureCheck, Completed,
    Course, Curve, Direction, Length, LengthStyle, REFERENCE_CLOSURES, Rounding, Slip, SlipSearch,
    StatedCall, StatedCourse, StatedDirection, Turn, strip_width,
};

use crate::contract::deed::bearing_text;
use crate::deed_work::{Gap, Outcome, TractWork, Whole};
use crate::folding::folded;

/// The most slips that people are shown.
const MOST_SLIPS: usize = 5;

/// Writes a text folded to the width.
pub(crate) fn write_folded(first: &str, text: &str, out: &mut dyn Write) -> std::io::Result<()> {
    for line in folded(first, text) {
        writeln!(out, "{line}")?;
    }
    Ok(())
}

/// Prints a tract.
///
/// # Errors
///
/// Where `out` can't be written to.
pub(crate) fn print_tract(work: &TractWork, out: &mut dyn Write) -> anyhow::Result<()> {
    print_courses(work, out)?;
    print_corners(work, out)?;
    match &work.outcome {
        Outcome::Gap(gap) => print_gap(gap, out)?,
        Outcome::Whole(whole) => {
            print_answers(whole, out)?;
            print_closure(work, whole, out)?;
            print_area(work, whole, out)?;
            print_slips(work, whole, out)?;
        }
    }
    for remark in remarks(work) {
        write_folded("Note: ", &remark, out)?;
    }
    Ok(())
}

/// What a tract is called.
pub(crate) fn tract_name(work: &TractWork, number: usize) -> String {
    let name = work.stated.name.clone();
    let kind = if work.stated.is_exception {
        "Exception"
    } else {
        "Tract"
    };
    name.unwrap_or_else(|| format!("{kind} {number}"))
}

/// The direction of a call as a bearing.
pub(crate) fn call_bearing(call: &Call) -> String {
    if call.solved().direction {
        bearing_text(call.direction().azimuth())
    } else {
        given_bearing(call.direction(), call.rounding())
    }
}

/// A direction as a bearing: the letters of the paper are kept, and the decimals of
/// its seconds.
pub(crate) fn given_bearing(direction: Direction, rounding: Rounding) -> String {
    let bearing = match direction {
        Direction::Bearing(bearing) => bearing,
        Direction::Azimuth(azimuth) => azimuth.bearing(),
    };
    let style = if rounding.direction == Angle::default() {
        AngleStyle::SECONDS
    } else {
        AngleStyle::as_given(bearing.angle())
    };
    bearing.to_text(style)
}

/// The number, or a plain zero where it would print as a negative one.
pub(crate) fn plain(value: f64, decimals: i32) -> f64 {
    if value.abs() < 0.5 * 0.1_f64.powi(decimals) {
        0.0
    } else {
        value
    }
}

/// The curve of each call of a tract that runs along one.
pub(crate) fn curve_of(whole: &Whole, call: usize) -> Option<&Curve> {
    let curves = &whole.completed()?.curves;
    let curve = curves.iter().find(|curve| curve.call == call)?;
    Some(&curve.curve.curve)
}

pub(crate) const fn hand(turn: Turn) -> &'static str {
    match turn {
        Turn::Left => "left",
        Turn::Right => "right",
    }
}

/// The elements of a curve beside its chord, in one line.
pub(crate) fn curve_words(curve: &Curve) -> String {
    let tangent = curve.tangent().map_or_else(String::new, |tangent| {
        format!(", tangent {:.2} ft", tangent.feet())
    });
    format!(
        "curve {}, radius {:.2} ft, central angle {}, arc {:.2} ft{tangent}",
        hand(curve.turn()),
        curve.radius().feet(),
        curve.delta().to_text(AngleStyle::SECONDS),
        curve.arc().feet(),
    )
}

fn print_courses(work: &TractWork, out: &mut dyn Write) -> anyhow::Result<()> {
    let courses = work.courses();
    let stated = &work.stated.calls;
    if courses.is_empty() && stated.is_empty() {
        return Ok(());
    }
    writeln!(
        out,
        "{:>4}  {:<8}  {:<8}  {:<16} {:>27}  {:>12}  {:>12}",
        "call", "from", "to", "bearing", "distance", "latitude ft", "departure ft"
    )?;
    for (i, course) in courses.iter().enumerate() {
        print_course(i, course, out)?;
        if let Some(curve) = work.whole().and_then(|whole| curve_of(whole, i)) {
            writeln!(out, "      {}", curve_words(curve))?;
        }
    }
    for (i, call) in stated.iter().enumerate().skip(courses.len()) {
        if work.whole().is_none() {
            print_stated(i, call, out)?;
        }
    }
    let solved = courses.iter().map(|course| course.call.solved());
    if solved
        .clone()
        .any(|solved| solved.direction || solved.distance)
    {
        writeln!(
            out,
            "      * solved from closure: the paper does not have it"
        )?;
    }
    writeln!(out)?;
    Ok(())
}

fn print_course(i: usize, course: &Course, out: &mut dyn Write) -> anyhow::Result<()> {
    let solved = course.call.solved();
    let star = |is_solved| if is_solved { "*" } else { "" };
    let bearing = call_bearing(&course.call) + star(solved.direction);
    let distance = course.distance().to_text(LengthStyle::RECORD) + star(solved.distance);
    writeln!(
        out,
        "{:>4}  {:<8}  {:<8}  {bearing:<16} {distance:>27}  {:>12.3}  {:>12.3}",
        i + 1,
        shortened(&course.from),
        shortened(&course.to),
        plain(course.latitude().feet(), 3),
        plain(course.departure().feet(), 3),
    )?;
    Ok(())
}

/// A call that could not be run out, as it is stated.
fn print_stated(i: usize, call: &StatedCall, out: &mut dyn Write) -> anyhow::Result<()> {
    let (bearing, distance) = stated_words(call);
    writeln!(
        out,
        "{:>4}  {:<8}  {:<8}  {bearing:<16} {distance:>27}",
        i + 1,
        "?",
        shortened(call.corner.as_deref().unwrap_or("?")),
    )?;
    Ok(())
}

fn stated_words(call: &StatedCall) -> (String, String) {
    let length = |length: Option<Length>| {
        length.map_or_else(|| "-".to_owned(), |it| it.to_text(LengthStyle::RECORD))
    };
    match call.course {
        StatedCourse::Line {
            direction,
            distance,
        } => {
            let bearing = match direction {
                Some(StatedDirection::Given(direction)) => given_bearing(direction, call.rounding),
                Some(StatedDirection::Turned { angle, turn }) => {
                    format!("{} {}", angle.to_text(AngleStyle::SECONDS), hand(turn))
                }
                None => "-".to_owned(),
            };
            (bearing, length(distance))
        }
        StatedCourse::Curve(elements) => ("curve".to_owned(), length(elements.chord)),
    }
}

fn print_corners(work: &TractWork, out: &mut dyn Write) -> anyhow::Result<()> {
    let balanced = work.whole().and_then(|whole| whole.balanced.as_ref());
    write!(out, "{:<12} {:>16} {:>16}", "corner", "north ft", "east ft")?;
    if let Some(whole) = work.whole().filter(|whole| whole.balanced.is_some()) {
        write!(out, "    balanced by {} (computed)", whole.rule.words())?;
    }
    writeln!(out)?;
    for (i, corner) in work.corners().iter().enumerate() {
        write!(
            out,
            "{:<12} {:>16.3} {:>16.3}",
            shortened(&corner.name),
            plain(corner.at.north(), 3),
            plain(corner.at.east(), 3)
        )?;
        if let Some(moved) = balanced.and_then(|balanced| balanced.corners.get(i)) {
            let (north, east) = (plain(moved.at.north(), 3), plain(moved.at.east(), 3));
            write!(out, "    {north:>16.3} {east:>16.3}")?;
        }
        writeln!(out)?;
    }
    writeln!(out)?;
    Ok(())
}

fn print_gap(gap: &Gap, out: &mut dyn Write) -> anyhow::Result<()> {
    if let Some(problem) = &gap.problem {
        write_folded("No closure and no area: ", problem, out)?;
    }
    Ok(())
}

/// The answers that missing figures have, where there are several.
fn print_answers(whole: &Whole, out: &mut dyn Write) -> anyhow::Result<()> {
    if whole.answers.len() < 2 {
        return Ok(());
    }
    writeln!(
        out,
        "The figures that are missing have {} answers; this is answer {} (--answer N for another):",
        whole.answers.len(),
        whole.chosen + 1
    )?;
    for (i, answer) in whole.answers.iter().enumerate() {
        write_folded(&format!("  {}. ", i + 1), &answer_words(answer), out)?;
    }
    Ok(())
}

/// The figures that an answer puts in.
fn answer_words(answer: &Completed) -> String {
    let calls = answer.deed.calls().iter().zip(1..);
    let solved = calls.filter(|(call, _)| call.solved().direction || call.solved().distance);
    let hands = answer.hands_tried.iter();
    let mut words: Vec<String> = solved
        .map(|(call, number)| {
            format!(
                "call {number}: {} {}",
                call_bearing(call),
                call.distance().to_text(LengthStyle::RECORD)
            )
        })
        .collect();
    words.extend(hands.map(|(call, turn)| format!("call {} curves {}", call + 1, hand(*turn))));
    words.join("; ")
}

fn print_closure(work: &TractWork, whole: &Whole, out: &mut dyn Write) -> anyhow::Result<()> {
    let around = whole.traverse.closure().perimeter().feet();
    if let Some(width) = work.stated.strip_width {
        let width = width.to_text(LengthStyle::RECORD);
        writeln!(
            out,
            "A strip {width} wide: its centerline is {around:.2} ft long and does not come back"
        )?;
        return Ok(());
    }
    let Some(closure) = whole.closure() else {
        return Ok(write_folded("", &unchecked(work, whole), out)?);
    };
    print_misclosure(closure, out)?;
    let tolerance = whole.limit != closure.allowed();
    let verdict = match (whole.closes(), tolerance) {
        (true, false) => "The deed closes: rounding of its figures alone explains up to",
        (false, false) => "The deed DOES NOT CLOSE: rounding of its figures explains only up to",
        (true, true) => "The deed closes within the tolerance asked for,",
        (false, true) => "The deed DOES NOT CLOSE within the tolerance asked for,",
    };
    let level = if tolerance { "" } else { " (95 %)" };
    writeln!(out, "{verdict} {:.3} ft{level}", whole.limit.feet())?;
    if closure.check() == ClosureCheck::Part {
        write_folded(
            "",
            "One figure was solved from closure, so the misclosure is what that figure could not \
             take up: it checks the others in one direction only.",
            out,
        )?;
    }
    writeln!(out, "For comparison only, published limits for surveys:")?;
    for reference in REFERENCE_CLOSURES {
        writeln!(
            out,
            "  1:{} for {} ({})",
            reference.ratio, reference.applies_to, reference.source
        )?;
    }
    Ok(())
}

/// Why there is no closure, and what would give one.
fn unchecked(work: &TractWork, whole: &Whole) -> String {
    let around = whole.traverse.closure().perimeter().feet();
    if whole.comes_back {
        return format!(
            "Closed by construction, {around:.2} ft around: what is missing was solved from closure, \
             and no misclosure is left to check the figures by."
        );
    }
    let begins = &work.stated.beginning.name;
    let end = work
        .stated
        .calls
        .last()
        .and_then(|call| call.corner.as_ref());
    let remedy = end
        .filter(|_| *begins != Beginning::default().name)
        .map_or_else(String::new, |end| {
            format!(
                " They begin at {begins}; if {end} is meant, the first line is \"begin: {end}\"."
            )
        });
    format!(
        "The last call ends at a corner of its own, {around:.2} ft on: the calls do not come back, \
         so there is no closure.{remedy}"
    )
}

fn print_misclosure(closure: Closure, out: &mut dyn Write) -> anyhow::Result<()> {
    let perimeter = closure.perimeter().feet();
    match misclosure_words(closure) {
        Some(words) => writeln!(out, "Misclosure {words} of {perimeter:.2} ft around")?,
        None => writeln!(
            out,
            "Misclosure none: the calls close exactly, {perimeter:.2} ft around"
        )?,
    }
    Ok(())
}

/// The misclosure, its bearing and 1:N.
pub(crate) fn misclosure_words(closure: Closure) -> Option<String> {
    let (direction, ratio) = (closure.direction()?, closure.ratio()?);
    Some(format!(
        "{:.3} ft toward {}: 1:{ratio:.0}",
        closure.misclosure().feet(),
        bearing_text(direction),
    ))
}

fn print_area(work: &TractWork, whole: &Whole, out: &mut dyn Write) -> anyhow::Result<()> {
    let Some(area) = whole.area(work) else {
        return print_likely_width(work, whole, out);
    };
    writeln!(out, "Area {}", area_words(area))?;
    if let Some(check) = whole.area_check(work) {
        let agrees = if check.agrees {
            "agrees".to_owned()
        } else {
            format!("{:+.2} %", 100.0 * check.share_off)
        };
        writeln!(out, "Stated {}: {agrees}", area_words(check.stated))?;
    }
    if let Some(problem) = &whole.ring_problem {
        write_folded("The corners enclose no lot: ", problem, out)?;
    }
    Ok(())
}

/// What the area stated for an open line says of a strip along it.
fn print_likely_width(work: &TractWork, whole: &Whole, out: &mut dyn Write) -> anyhow::Result<()> {
    let Some(stated) = work.stated.stated_area else {
        return Ok(());
    };
    let width = strip_width(&whole.traverse, stated).feet();
    let stated = area_words(stated);
    let words = format!(
        "Stated {stated}: if that is a strip along these calls, it is {width:.2} ft wide on average"
    );
    Ok(write_folded("", &words, out)?)
}

/// An area in each unit that deeds use.
pub(crate) fn area_words(area: fence_geom::Area) -> String {
    format!(
        "{:.1} sq ft, {:.4} acres, {:.4} hectares",
        area.square_feet(),
        area.acres(),
        area.hectares()
    )
}

fn print_slips(work: &TractWork, whole: &Whole, out: &mut dyn Write) -> anyhow::Result<()> {
    let search = match &whole.search {
        None => return Ok(()),
        Some(Err(error)) => {
            return Ok(write_folded(
                "No search for slips: ",
                &error.to_string(),
                out,
            )?);
        }
        Some(Ok(search)) => search,
    };
    writeln!(out, "\nWhat may be wrong, the likeliest first:")?;
    if search.slips.is_empty() {
        writeln!(out, "  no single slip of the pen comes near to closing it")?;
    }
    // Where some close it, what only comes near would hide them.
    let closing = search.closing > 0;
    let shown = search.slips.iter().filter(|slip| slip.closes || !closing);
    for (slip, number) in shown.zip(1..).take(MOST_SLIPS) {
        let words = slip_words(slip, &work.stated.calls);
        write_folded(&format!("  {number}. "), &words, out)?;
    }
    write_folded("", &search_words(search), out)?;
    Ok(())
}

/// A slip with the area that it would give.
fn slip_words(slip: &Slip, calls: &[StatedCall]) -> String {
    let agrees = match slip.area_agrees {
        Some(true) => ", as stated",
        Some(false) => ", not as stated",
        None => "",
    };
    format!(
        "{}; {:.1} sq ft, {:.4} acres{agrees}",
        slip.sentence(calls),
        slip.area.square_feet(),
        slip.area.acres()
    )
}

/// How much a hit is worth.
fn search_words(search: &SlipSearch) -> String {
    let chance = search.by_chance.map_or_else(
        || "the misclosure is too small to tell a slip from chance".to_owned(),
        |count| format!("{count:.2} would by chance"),
    );
    let (bearing, distance) = search.closing_course;
    format!(
        "Of {} single changes {} would close it; {chance}. A call left out closes anything: here one of \
         {} {}. These are leads, no findings: look at the plat, at the neighbors' deeds and at \
         earlier ones.",
        search.tried,
        search.closing,
        bearing_text(bearing),
        distance.to_text(LengthStyle::RECORD)
    )
}

/// What a reader should know of a tract.
pub(crate) fn remarks(work: &TractWork) -> Vec<String> {
    let mut remarks = Vec::new();
    let Some(whole) = work.whole() else {
        return remarks;
    };
    if let Some(completed) = whole.completed() {
        if completed.last_call_left_out {
            remarks.push(
                "The last call has no course, and the calls before it come back already: it is left \
                 out."
                    .to_owned(),
            );
        }
        for curve in &completed.curves {
            remarks.extend(curve_remarks(curve.call, &curve.curve));
        }
    }
    remarks.extend(area_remarks(work, whole));
    remarks
}

/// What of a curve contradicts or was assumed.
fn curve_remarks(call: usize, curve: &fence_geom::ResolvedCurve) -> Vec<String> {
    let number = call + 1;
    let against = curve
        .surplus
        .iter()
        .filter(|surplus| surplus.off > surplus.allowed)
        .map(|surplus| {
            format!(
                "The {} of the curve of call {number} is {:.2} ft off what its other elements give; \
                 rounding explains {:.2} ft.",
                surplus.element,
                surplus.off.feet(),
                surplus.allowed.feet()
            )
        });
    let assumed = curve.assumed.iter().map(|assumption| {
        use fence_geom::CurveAssumption::{Hand, Minor, Tangent};
        match assumption {
            Tangent => {
                format!("The curve of call {number} is taken as tangent to the call before.")
            }
            Hand(turn) => format!(
                "The curve of call {number} is taken to turn {}, which agrees with the rest.",
                hand(*turn)
            ),
            Minor => format!("The curve of call {number} is taken as less than half a circle."),
            _ => format!("Something of the curve of call {number} was assumed."),
        }
    });
    against.chain(assumed).collect()
}

/// What would explain a stated area that is not the computed one, and that area and
/// closure do not prove each other where one of them is good.
fn area_remarks(work: &TractWork, whole: &Whole) -> Vec<String> {
    let Some(check) = whole.area_check(work) else {
        return Vec::new();
    };
    let mut remarks: Vec<String> = check.confusions.iter().map(confusion_words).collect();
    if whole.closure().is_none() {
        return remarks;
    }
    match (whole.closes(), check.agrees) {
        (false, true) => remarks.push(
            "The area is the one stated although the calls miss: a good area does not prove that calls \
             close."
                .to_owned(),
        ),
        (true, false) => remarks.push(format!(
            "The calls close, and the stated area is {:+.2} % off theirs: closing does not prove the \
             figures, nor the area.",
            100.0 * check.share_off
        )),
        _ => (),
    }
    remarks
}

/// What may have been confused in stating an area.
fn confusion_words(confusion: &AreaConfusion) -> String {
    let how = match confusion {
        AreaConfusion::SegmentsReversed => {
            "the areas between arcs and chords were added instead of taken off, or the other way round"
                .to_owned()
        }
        AreaConfusion::SegmentsLeftOut => "the arcs were taken for their chords".to_owned(),
        AreaConfusion::LengthByWidth => {
            "length was multiplied by width, and the tract is no rectangle".to_owned()
        }
        AreaConfusion::NotHalved => "a sum of cross products was not halved".to_owned(),
        AreaConfusion::HalvedTwice => "a sum of cross products was halved twice".to_owned(),
        AreaConfusion::Unit { is, taken_for } => format!(
            "the figure is right in {}, and {} were written",
            unit_words(*is),
            unit_words(*taken_for)
        ),
        _ => "something was confused".to_owned(),
    };
    format!("The stated area is what comes out where {how}.")
}

const fn unit_words(unit: AreaUnit) -> &'static str {
    match unit {
        AreaUnit::Acre => "acres",
        AreaUnit::SquareFoot => "square feet",
        AreaUnit::SquareYard => "square yards",
        AreaUnit::SquareChain => "square chains",
        AreaUnit::SquareRod => "square rods",
        AreaUnit::SquareMeter => "square meters",
        AreaUnit::Hectare => "hectares",
        _ => "another unit",
    }
}

fn shortened(name: &str) -> String {
    name.chars().take(8).collect()
}
