//! `fence tie`.

use std::io::Write;

use fence_geom::{
    Angle, KnownPoint, Length, LengthStyle, NoTies, Point, Reading, TapeModel, TapedPoint,
    TieLimits, Turn, TwoTapes, best_ties, points_from_tapes,
};

use crate::Exit;
use crate::contract::tie::{TieAnswer, TiePointAnswer, TieSetBy, TieSide, TieTape};
use crate::typed::{self, Named, TapeArgs};

const CAUTIONS: [&str; 2] = [
    "the doubt is of measuring only: it does not say that a known point is where it should be",
    "two tapes and a deed are not a boundary survey; only a licensed surveyor can say where the line is",
];

/// Find a point from two tapes, or the best two tapes to set a point
///
/// Find: the place that two tapes reach, each held at a known point. Two places
/// fit, left and right of the way from the first tape's point to the second's;
/// both are given unless --side picks one.
///
///   fence tie --known A=0,0 --known B=0,60 --tape A=62ft4in --tape B=40ft
///
/// Set: the best two tapes to a place, out of the known points that can be seen
/// from it, and a third tape that checks them.
///
///   fence tie --known A=0,0 --known B=0,60 --known C=40,0 --set flag=30,25
///
/// Places are NORTH,EAST. Write a length as 12ft6-1/2in, 12.54ft or 3.82m; a bare
/// number is feet. Known points are taken as exact unless a standard error
/// follows, as in A=0,0,0.05ft.
///
/// Exit status: 0 done, 1 no two tapes can set the point, 2 input refused.
///
/// Tapes and a deed are not a boundary survey: only a licensed surveyor can say
/// where a lot line is. Call the one-call center before digging.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct TieArgs {
    /// A point a tape can be held at: its name, place and standard error
    #[arg(long, value_name = "NAME=NORTH,EAST[,SIGMA]", required = true, value_parser = typed::known_point)]
    known: Vec<Reading<KnownPoint>>,
    /// A tape reading from a known point; give two
    #[arg(long, value_name = "NAME=LENGTH", value_parser = typed::named_length)]
    tape: Vec<Named<Reading<Length>>>,
    /// Keep the answer on this hand of the way from the first tape's point to the
    /// second's
    #[arg(long, value_enum, requires = "tape")]
    side: Option<TieSide>,
    /// What to call the point that two tapes give
    #[arg(long, value_name = "NAME", default_value = "P")]
    name: String,
    /// A point to set by the best two tapes
    #[arg(long, value_name = "NAME=NORTH,EAST", conflicts_with = "tape", value_parser = typed::named_point)]
    set: Option<Named<Reading<Point>>>,
    /// A building's corners in order, or a wall's two ends: tapes go round it
    #[arg(long, value_name = "NORTH,EAST;NORTH,EAST;...", value_parser = typed::outline)]
    blocked: Vec<Outline>,
    /// The longest tape for setting a point
    #[arg(long, value_name = "LENGTH", default_value = "100ft", value_parser = typed::length)]
    longest: Reading<Length>,
    /// The least angle at which two tapes may meet; the greatest is 180 less it
    #[arg(long, value_name = "DEGREES", default_value = "30", value_parser = typed::angle)]
    least_angle: Reading<Angle>,
    #[command(flatten)]
    tapes: TapeArgs,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
}

/// A building or a wall. (A plain list would be taken for many values of one
/// option.)
type Outline = Vec<Point>;

pub(crate) fn tie(args: &TieArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let known: Vec<KnownPoint> = args.known.iter().map(|k| k.value.clone()).collect();
    check_names(&known)?;
    let tape = args.tapes.model()?;
    if let Some(set) = &args.set {
        return set_point(args, set, &known, &tape, out);
    }
    find_point(args, &known, &tape, out)
}

fn check_names(known: &[KnownPoint]) -> anyhow::Result<()> {
    for (i, point) in known.iter().enumerate() {
        anyhow::ensure!(
            known
                .iter()
                .skip(i + 1)
                .all(|other| other.name != point.name),
            "two known points are called {}: give each a name of its own",
            point.name
        );
    }
    Ok(())
}

fn find_point(
    args: &TieArgs,
    known: &[KnownPoint],
    tape: &TapeModel,
    out: &mut dyn Write,
) -> anyhow::Result<Exit> {
    let [first, second] = args.tape.as_slice() else {
        anyhow::bail!(
            "{} tapes given: to find a point give two, like --tape A=62ft4in --tape B=40ft; \
             to set one give --set flag=30,25",
            args.tape.len()
        );
    };
    let held_at = |tape: &Named<Reading<Length>>| {
        known.iter().find(|k| k.name == tape.name).ok_or_else(|| {
            let names: Vec<&str> = known.iter().map(|k| k.name.as_str()).collect();
            anyhow::anyhow!(
                "tape from {:?}: no known point has that name; known are {}",
                tape.name,
                names.join(", ")
            )
        })
    };
    let (from, to) = (held_at(first)?, held_at(second)?);
    let places = points_from_tapes((from, first.value.value), (to, second.value.value), tape)?;
    let kept: Vec<TapedPoint> = places
        .into_iter()
        .filter(|place| {
            args.side.is_none() || place.hand.is_none_or(|h| Some(side(h)) == args.side)
        })
        .collect();
    let readings = [&first.value, &second.value];
    let answer = TieAnswer {
        points: named_places(&args.name, &kept),
        set_by: None,
        no_tie_because: Vec::new(),
        assumed: assumed(args, readings.into_iter().flat_map(|r| r.assumed.clone())),
        cautions: cautions(),
    };
    if args.json {
        return write_json(&answer, Exit::Done, out);
    }
    writeln!(
        out,
        "{} from {} at {} and {} at {}",
        args.name,
        crew(first.value.value),
        from.name,
        crew(second.value.value),
        to.name
    )?;
    for point in &answer.points {
        let hand = match point.side {
            Some(TieSide::Left) => format!("left of the way from {} to {}", from.name, to.name),
            Some(TieSide::Right) => format!("right of the way from {} to {}", from.name, to.name),
            None => "where the two tapes just reach each other".to_owned(),
        };
        writeln!(
            out,
            "  {}  N {:.3}  E {:.3} ft, {}; {hand}",
            point.name,
            point.north_ft,
            point.east_ft,
            within(point.radius_95_ft),
        )?;
    }
    if answer.points.len() > 1 {
        writeln!(out, "  two places fit: look which, or pick one with --side")?;
    }
    write_notes(&answer, out)?;
    Ok(Exit::Done)
}

fn set_point(
    args: &TieArgs,
    set: &Named<Reading<Point>>,
    known: &[KnownPoint],
    tape: &TapeModel,
    out: &mut dyn Write,
) -> anyhow::Result<Exit> {
    let least_angle = args.least_angle.value;
    let degrees = least_angle.degrees();
    anyhow::ensure!(
        degrees > 0.0 && degrees < 90.0,
        "--least-angle {degrees}: two tapes must be let meet at more than 0 and less than 90 degrees"
    );
    let limits = TieLimits {
        longest: args.longest.value,
        least_angle,
        greatest_angle: Angle::STRAIGHT - least_angle,
    };
    let target = set.value.value;
    let found = best_ties(target, known, &args.blocked, &limits, tape);
    let assumed = assumed(args, set.value.assumed.iter().cloned());
    let answer = set_answer(&set.name, target, &found, assumed);
    let exit = match found {
        Ok(_) => Exit::Done,
        Err(_) => Exit::AnswerIsNo,
    };
    if args.json {
        return write_json(&answer, exit, out);
    }
    match &found {
        Ok(tie) => present_tie(&set.name, target, tie, &answer, out)?,
        Err(none) => writeln!(out, "{}: {none}", set.name)?,
    }
    write_notes(&answer, out)?;
    Ok(exit)
}

fn present_tie(
    name: &str,
    target: Point,
    tie: &TwoTapes,
    answer: &TieAnswer,
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    writeln!(
        out,
        "set {name} (N {:.3}  E {:.3} ft) with two tapes",
        target.north(),
        target.east()
    )?;
    for tape in [&tie.first, &tie.second] {
        writeln!(
            out,
            "  hold at {:<8} read {}",
            tape.from,
            both(tape.reading)
        )?;
    }
    let hand = match tie.hand {
        Turn::Left => "left",
        Turn::Right => "right",
    };
    writeln!(
        out,
        "  {hand} of the way from {} to {}; the tapes meet at {:.0} degrees",
        tie.first.from,
        tie.second.from,
        tie.angle.degrees()
    )?;
    match &tie.check {
        Some(tape) => writeln!(
            out,
            "  check   {:<8} must read {}",
            tape.from,
            both(tape.reading)
        )?,
        None => writeln!(out, "  no third point would check it well: set it twice")?,
    }
    let radius = answer.points.first().and_then(|point| point.radius_95_ft);
    writeln!(out, "  the mark is {}", within(radius))?;
    Ok(())
}

fn set_answer(
    name: &str,
    target: Point,
    found: &Result<TwoTapes, NoTies>,
    assumed: Vec<String>,
) -> TieAnswer {
    let tie = found.as_ref().ok();
    let tape = |tape: &fence_geom::Tape| TieTape {
        from: tape.from.clone(),
        reading_ft: tape.reading.feet(),
    };
    TieAnswer {
        points: vec![TiePointAnswer {
            name: name.to_owned(),
            north_ft: target.north(),
            east_ft: target.east(),
            sigma_north_ft: tie.and_then(|tie| tie.sigma_north.value()),
            sigma_east_ft: tie.and_then(|tie| tie.sigma_east.value()),
            side: tie.map(|tie| side(tie.hand)),
            radius_95_ft: tie
                .and_then(|tie| tie.ellipse)
                .map(|ellipse| ellipse.search_radius_95().feet()),
        }],
        set_by: tie.map(|tie| TieSetBy {
            tapes: vec![tape(&tie.first), tape(&tie.second)],
            angle_deg: tie.angle.degrees(),
            check: tie.check.as_ref().map(tape),
            usable_pairs: tie.usable_pairs,
        }),
        no_tie_because: match found {
            Ok(_) => Vec::new(),
            Err(none) => none.reasons.clone(),
        },
        assumed,
        cautions: cautions(),
    }
}

/// The places by name; where there are two, the hand is part of the name.
fn named_places(name: &str, places: &[TapedPoint]) -> Vec<TiePointAnswer> {
    let both = places.len() > 1;
    let answer = |place: &TapedPoint| TiePointAnswer {
        name: match place.hand {
            Some(Turn::Left) if both => format!("{name}-left"),
            Some(Turn::Right) if both => format!("{name}-right"),
            _ => name.to_owned(),
        },
        north_ft: place.at.north(),
        east_ft: place.at.east(),
        sigma_north_ft: place.sigma_north.value(),
        sigma_east_ft: place.sigma_east.value(),
        side: place.hand.map(side),
        radius_95_ft: place.ellipse.map(|e| e.search_radius_95().feet()),
    };
    places.iter().map(answer).collect()
}

fn side(hand: Turn) -> TieSide {
    match hand {
        Turn::Left => TieSide::Left,
        Turn::Right => TieSide::Right,
    }
}

fn assumed(args: &TieArgs, also: impl Iterator<Item = String>) -> Vec<String> {
    let known = args.known.iter().flat_map(|known| known.assumed.clone());
    typed::once(known.chain(also))
}

fn cautions() -> Vec<String> {
    CAUTIONS.map(str::to_owned).to_vec()
}

fn crew(length: Length) -> String {
    length.to_text(LengthStyle::CREW)
}

/// For a tape of either kind: feet and decimals, and feet and inches.
fn both(length: Length) -> String {
    format!(
        "{} ({})",
        crew(length),
        length.to_text(LengthStyle::DecimalFeet { places: 2 })
    )
}

fn within(radius_95_ft: Option<f64>) -> String {
    radius_95_ft.map_or_else(
        || "its doubt unknown".to_owned(),
        |feet| format!("good to {:.2} in (95 %)", feet * 12.0),
    )
}

fn write_json(answer: &TieAnswer, exit: Exit, out: &mut dyn Write) -> anyhow::Result<Exit> {
    serde_json::to_writer_pretty(&mut *out, answer)?;
    writeln!(out)?;
    Ok(exit)
}

fn write_notes(answer: &TieAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    for words in &answer.assumed {
        writeln!(out, "  assumed: {words}")?;
    }
    for words in &answer.cautions {
        writeln!(out, "  caution: {words}")?;
    }
    Ok(())
}
