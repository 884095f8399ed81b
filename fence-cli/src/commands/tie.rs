//! `fence tie`.

mod corrections;
mod net;

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;
use fence_geom::{
    Angle, KnownPoint, Length, LengthStyle, NoTies, Point, Reading, Sigma, TapeModel, TapedPoint,
    TieLimits, Turn, TwoTapes, best_ties, points_from_tapes, standards,
};

use self::corrections::CorrectionArgs;
use crate::contract::tie::{
    TieAnswer, TieEllipse, TieKnown, TiePointAnswer, TieRequest, TieSetBy, TieSide,
};
use crate::decimals::decimals;
use crate::drawing::net_svg;
use crate::fields::{CoordinateField, Two};
use crate::output_file::write_whole;
use crate::typed::{self, Named, TapeArgs};
use crate::{Exit, input};

const CAUTIONS: [&str; 2] = [
    "the doubt is of measuring only: it does not say that a known point is where it should be",
    "two tapes and a deed are not a boundary survey; only a licensed surveyor can say where the line is",
];

/// Find a point from two tapes, the best two tapes to set a point, or a whole net
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
/// Net: any tapes between named points, corners, points on a line, directions and
/// known points, adjusted together. FILE is TOML or JSON:
///
///   known = [ { name = "pin A", at = [0, 0] },       # exact, or with a sigma
///             { name = "pin B", at = [0, 80], sigma = "1/4in" } ]
///   distances = [ { from = "pin A", to = "house", reads = "42ft6-1/2in" },
///                 { from = "pin B", to = "house", reads = "56.31ft", rise = "3ft" } ]
///   corners = [ { at = "house", from = "pin A", to = "shed" } ]    # square
///   on_line = [ { point = "shed", from = "pin A", to = "pin B", right = "4ft" } ]
///   directions = [ { from = "pin A", to = "oak", toward = "N45E", sigma_deg = 1 } ]
///   sides = [ { point = "house", from = "pin A", to = "pin B", side = "right" } ]
///   corrections = { temperature_deg_f = 95 }         # off unless asked for
///
/// The readings weigh by their standard errors; a reading that does not go with the
/// others is named with the size of its likely error. Without known points the
/// first tape is the base: its start is the origin, its end due north.
///
/// Places are NORTH,EAST. Write a length as 12ft6-1/2in, 12.54ft or 3.82m; a bare
/// number is feet. Known points are taken as exact unless a standard error
/// follows, as in A=0,0,0.05ft.
///
/// Exit status: 0 done; 1 no two tapes can set the point, or in a net a reading is
/// suspect, the readings do not go together, or a point has two places; 2 input
/// refused.
///
/// Tapes and a deed are not a boundary survey: only a licensed surveyor can say
/// where a lot line is. Call the one-call center before digging.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
#[expect(
    clippy::doc_markdown,
    reason = "this is the help, and its example a file"
)]
pub(crate) struct TieArgs {
    /// The request, a net or what the options say, or - for standard input
    #[arg(conflicts_with_all = ["known", "tape", "side", "name", "set", "blocked", "longest", "least_angle", "reading_sigma", "scale", "temperature", "true_length"])]
    file: Option<PathBuf>,
    /// Draw the plan of a net to this file (.svg)
    #[arg(short, long, value_name = "FILE", requires = "file")]
    output: Option<PathBuf>,
    /// A point a tape can be held at: its name, place and standard error
    #[arg(long, value_name = "NAME=NORTH,EAST[,SIGMA]", required_unless_present = "file", value_parser = typed::known_point)]
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
    #[command(flatten)]
    corrections: CorrectionArgs,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
}

/// A building or a wall. (A plain list would be taken for many values of one
/// option.)
type Outline = Vec<Point>;

pub(crate) fn tie(args: &TieArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    if let Some(file) = &args.file {
        return tie_file(args, file, out);
    }
    anyhow::ensure!(
        args.output.is_none(),
        "--output draws a net, which a file gives with its `distances`: leave it out here"
    );
    let known: Vec<KnownPoint> = args.known.iter().map(|k| k.value.clone()).collect();
    check_names(&known)?;
    let tape = args.tapes.model()?;
    if let Some(set) = &args.set {
        return set_point(args, set, &known, &tape, out);
    }
    find_point(args, &known, &tape, out)
}

/// What a file asks for.
fn tie_file(args: &TieArgs, file: &Path, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let request: TieRequest = input::read_request(file)?;
    if !request.is_net() {
        anyhow::ensure!(
            args.output.is_none(),
            "only a net is drawn: give `distances`"
        );
        let asked = TieArgs {
            json: args.json,
            ..args_of(&request).with_context(|| file.display().to_string())?
        };
        return tie(&asked, out);
    }
    let read = net::adjusted(&request).with_context(|| file.display().to_string())?;
    if let Some(path) = &args.output {
        anyhow::ensure!(
            path.extension().is_some_and(|ext| ext == "svg"),
            "{}: a net is drawn as SVG; name a file that ends in .svg",
            path.display()
        );
        write_whole(path, net_svg(&read.net, &read.answers).as_bytes())?;
    }
    let exit = read.exit();
    let answer = read.json();
    if args.json {
        return write_json(&answer, exit, out);
    }
    net::present(&answer, out)?;
    write_notes(&answer, out)?;
    Ok(exit)
}

/// The answer to a request that has been read.
pub(crate) fn tie_answer(request: &TieRequest) -> anyhow::Result<(TieAnswer, Exit)> {
    if request.is_net() {
        let read = net::adjusted(request)?;
        let exit = read.exit();
        return Ok((read.json(), exit));
    }
    let args = args_of(request)?;
    let known: Vec<KnownPoint> = args.known.iter().map(|k| k.value.clone()).collect();
    check_names(&known)?;
    let tape = args.tapes.model()?;
    match &args.set {
        Some(set) => {
            let (answer, found) = set_by_tapes(&args, set, &known, &tape)?;
            Ok((answer, exit(&found)))
        }
        None => Ok((found_by_tapes(&args, &known, &tape)?, Exit::Done)),
    }
}

/// A request, as it would be typed.
fn args_of(request: &TieRequest) -> anyhow::Result<TieArgs> {
    anyhow::ensure!(
        request.set.is_none() || request.tapes.is_empty(),
        "both `tapes` and `set` are given: tapes find a point, set asks for the tapes to one"
    );
    anyhow::ensure!(
        request.reels.is_empty() && request.sides.is_empty(),
        "`reels` and `sides` are of a net: give its `distances`"
    );
    anyhow::ensure!(
        !request.known.is_empty(),
        "`known` is missing: where are tapes held?"
    );
    let point =
        |Two([north, east]): Two<CoordinateField>| Point::new(north.0.feet(), east.0.feet());
    let set = request.set.as_ref().map(|target| {
        anyhow::Ok(Named {
            name: target.name.clone(),
            value: Reading::sure(point(target.at)?),
        })
    });
    Ok(TieArgs {
        file: None,
        output: None,
        known: request.known.iter().map(known).collect::<Result<_, _>>()?,
        tape: (request.tapes.iter())
            .map(|tape| Named {
                name: tape.from.clone(),
                value: Reading::sure(tape.reads.0),
            })
            .collect(),
        side: request.side,
        name: request.name.clone().unwrap_or_else(|| "P".to_owned()),
        set: set.transpose()?,
        blocked: (request.blocked.iter())
            .map(|outline| outline.iter().map(|&at| point(at)).collect())
            .collect::<Result<_, _>>()?,
        longest: Reading::sure(
            request
                .longest
                .map_or(standards::TAPE_LENGTH, |field| field.0),
        ),
        least_angle: Reading::sure(match request.least_angle_deg {
            Some(degrees) => Angle::from_degrees(degrees).context("least_angle_deg")?,
            None => standards::TAPES_MEET_LEAST,
        }),
        tapes: TapeArgs::of(request.reading_sigma.map(|field| field.0), request.scale),
        corrections: CorrectionArgs::of(request.corrections.as_ref()).context("corrections")?,
        json: true,
    })
}

fn known(given: &TieKnown) -> anyhow::Result<Reading<KnownPoint>> {
    let Two([north, east]) = given.at;
    let point = KnownPoint {
        name: given.name.clone(),
        at: Point::new(north.0.feet(), east.0.feet())
            .with_context(|| format!("known point {}", given.name))?,
        sigma: given.sigma.map_or(Sigma::ZERO, |s| Sigma::of_length(s.0)),
    };
    let assumed = match given.sigma {
        Some(_) => Vec::new(),
        None => vec![format!("known point {} is taken as exact", given.name)],
    };
    Ok(Reading {
        value: point,
        assumed,
    })
}

fn exit(found: &Result<TwoTapes, NoTies>) -> Exit {
    match found {
        Ok(_) => Exit::Done,
        Err(_) => Exit::AnswerIsNo,
    }
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

fn two_tapes(args: &TieArgs) -> anyhow::Result<[&Named<Reading<Length>>; 2]> {
    let [first, second] = args.tape.as_slice() else {
        anyhow::bail!(
            "{} tapes given: to find a point give two, like --tape A=62ft4in --tape B=40ft; \
             to set one give --set flag=30,25",
            args.tape.len()
        );
    };
    Ok([first, second])
}

fn found_by_tapes(
    args: &TieArgs,
    known: &[KnownPoint],
    tape: &TapeModel,
) -> anyhow::Result<TieAnswer> {
    let [first, second] = two_tapes(args)?;
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
    let corrector = args.corrections.corrector();
    let mut corrected = Vec::new();
    let mut level = |tape: &Named<Reading<Length>>| {
        let words = format!("tape from {}", tape.name);
        corrector.level(&words, tape.value.value, None, &mut corrected)
    };
    let places = points_from_tapes((from, level(first)?), (to, level(second)?), tape)?;
    let kept: Vec<TapedPoint> = places
        .into_iter()
        .filter(|place| {
            args.side.is_none() || place.hand.is_none_or(|h| Some(TieSide::of(h)) == args.side)
        })
        .collect();
    let readings = [&first.value, &second.value];
    Ok(TieAnswer {
        points: named_places(&args.name, &kept),
        set_by: None,
        no_tie_because: Vec::new(),
        net: None,
        corrected,
        assumed: assumed(args, readings.into_iter().flat_map(|r| r.assumed.clone())),
        cautions: cautions(),
    })
}

fn find_point(
    args: &TieArgs,
    known: &[KnownPoint],
    tape: &TapeModel,
    out: &mut dyn Write,
) -> anyhow::Result<Exit> {
    let answer = found_by_tapes(args, known, tape)?;
    let [first, second] = two_tapes(args)?;
    if args.json {
        return write_json(&answer, Exit::Done, out);
    }
    writeln!(
        out,
        "{} from {} at {} and {} at {}",
        args.name,
        crew(first.value.value),
        first.name,
        crew(second.value.value),
        second.name
    )?;
    for point in &answer.points {
        let hand = match point.side {
            Some(TieSide::Left) => {
                format!("left of the way from {} to {}", first.name, second.name)
            }
            Some(TieSide::Right) => {
                format!("right of the way from {} to {}", first.name, second.name)
            }
            None => "where the two tapes just reach each other".to_owned(),
        };
        writeln!(
            out,
            "  {}  N {}  E {} ft, {}; {hand}",
            point.name,
            thousandths(point.north_ft),
            thousandths(point.east_ft),
            within(point.radius_95_ft),
        )?;
    }
    if answer.points.len() > 1 {
        writeln!(out, "  two places fit: look which, or pick one with --side")?;
    }
    write_notes(&answer, out)?;
    Ok(Exit::Done)
}

/// The tapes that set a point, as an answer and as the library has them.
fn set_by_tapes(
    args: &TieArgs,
    set: &Named<Reading<Point>>,
    known: &[KnownPoint],
    tape: &TapeModel,
) -> anyhow::Result<(TieAnswer, Result<TwoTapes, NoTies>)> {
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
    Ok((answer, found))
}

fn set_point(
    args: &TieArgs,
    set: &Named<Reading<Point>>,
    known: &[KnownPoint],
    tape: &TapeModel,
    out: &mut dyn Write,
) -> anyhow::Result<Exit> {
    let (answer, found) = set_by_tapes(args, set, known, tape)?;
    let exit = exit(&found);
    if args.json {
        return write_json(&answer, exit, out);
    }
    match &found {
        Ok(tie) => present_tie(&set.name, set.value.value, tie, &answer, out)?,
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
    TieAnswer {
        points: vec![TiePointAnswer {
            name: name.to_owned(),
            north_ft: target.north(),
            east_ft: target.east(),
            sigma_north_ft: tie.and_then(|tie| tie.sigma_north.value()),
            sigma_east_ft: tie.and_then(|tie| tie.sigma_east.value()),
            side: tie.map(|tie| TieSide::of(tie.hand)),
            radius_95_ft: tie
                .and_then(|tie| tie.ellipse)
                .map(|ellipse| ellipse.search_radius_95().feet()),
            ellipse_95: tie.and_then(|tie| tie.ellipse).map(TieEllipse::of),
            answer: None,
        }],
        set_by: tie.map(TieSetBy::of),
        no_tie_because: match found {
            Ok(_) => Vec::new(),
            Err(none) => none.reasons.clone(),
        },
        net: None,
        corrected: Vec::new(),
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
        side: place.hand.map(TieSide::of),
        radius_95_ft: place.ellipse.map(|e| e.search_radius_95().feet()),
        ellipse_95: place.ellipse.map(TieEllipse::of),
        answer: None,
    };
    places.iter().map(answer).collect()
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

/// A coordinate to the thousandth of a foot.
fn thousandths(feet: f64) -> String {
    decimals(feet, 3)
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
    for reading in &answer.corrected {
        writeln!(out, "  corrected: {}", corrections::words(reading))?;
    }
    for words in &answer.assumed {
        writeln!(out, "  assumed: {words}")?;
    }
    for words in &answer.cautions {
        writeln!(out, "  caution: {words}")?;
    }
    Ok(())
}
