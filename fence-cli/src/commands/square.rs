//! `fence square`.

use std::io::Write;

use anyhow::Context;
use fence_geom::{
    Angle, CornerAnswer, CornerCheck, InchFraction, LegPlan, Length, LengthStyle, Reading, Shift,
    Sigma, Verdict, Way,
};

use crate::Exit;
use crate::contract::square::{
    SquareAnswer, SquareCorrection, SquareLegs, SquareRequest, SquareVerdict, SquareWay,
};
use crate::fields::LengthField;
use crate::typed::{self, TapeArgs};

/// What can't be read on a tape, in inches.
const FINEST_INCHES: f64 = 1.0 / 32.0;

const CAUTIONS: [&str; 2] = [
    "the ± is 95 % and of measuring only: level tapes, pulled tight, from the same nail",
    "square to a house wall is not parallel to the lot line; only a licensed surveyor can say where the line is",
];

/// Check a corner with three tape readings
///
/// Tape a leg from the corner along each side, then the diagonal between the
/// ends of the legs. The first leg stays, the second may move.
///
/// Write a length as 12ft6-1/2in, 12.54ft, 150-1/2in or 3.82m; a bare number is
/// feet. Spellings with the marks ' and " work too, in quotes:
/// fence square "9' 0-1/8\"" "12'" "15'".
///
/// Exit status: 0 square, 1 out or undecided, 2 readings refused.
///
/// Standard errors are of measuring only. A tape is not a boundary survey: only a
/// licensed surveyor can say where a lot line is. Call the one-call center before
/// digging.
#[derive(clap::Args, Debug)]
pub(crate) struct SquareArgs {
    /// From the corner along the side that stays
    #[arg(value_name = "LEG", value_parser = typed::length, allow_negative_numbers = true)]
    first_leg: Reading<Length>,
    /// From the corner along the side that may move
    #[arg(value_name = "LEG", value_parser = typed::length, allow_negative_numbers = true)]
    second_leg: Reading<Length>,
    /// Straight between the ends of the two legs
    #[arg(value_name = "DIAGONAL", value_parser = typed::length, allow_negative_numbers = true)]
    diagonal: Reading<Length>,
    /// The angle the corner should have, in degrees
    #[arg(long, value_name = "DEGREES", default_value = "90", value_parser = typed::angle, allow_negative_numbers = true)]
    angle: Reading<Angle>,
    /// How far the second side will run from the corner [default: its leg]
    #[arg(long, value_name = "LENGTH", value_parser = typed::length)]
    run: Option<Reading<Length>>,
    /// How far the far end of that run may be off its line [default: 1/4in in
    /// 10ft of run, common practice]
    #[arg(long, value_name = "LENGTH", value_parser = typed::length)]
    tolerance: Option<Reading<Length>>,
    /// The longest leg there is room for; asks for the best legs that fit
    #[arg(long, value_name = "LENGTH", value_parser = typed::length)]
    space: Option<Reading<Length>>,
    #[command(flatten)]
    tape: TapeArgs,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
}

pub(crate) fn square(args: &SquareArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let (check, answer) = judged(args)?;
    if args.json {
        let json = contract(&check, &answer, assumed(args));
        serde_json::to_writer_pretty(&mut *out, &json)?;
        writeln!(out)?;
    } else {
        present(&check, &answer, &assumed(args), out)?;
    }
    Ok(exit(&answer))
}

/// The answer to a request that has been read.
pub(crate) fn square_answer(request: &SquareRequest) -> anyhow::Result<(SquareAnswer, Exit)> {
    let args = args_of(request)?;
    let (check, answer) = judged(&args)?;
    let json = contract(&check, &answer, assumed(&args));
    Ok((json, exit(&answer)))
}

/// A request, as it would be typed.
fn args_of(request: &SquareRequest) -> anyhow::Result<SquareArgs> {
    let given = |field: &Option<LengthField>| field.map(|field| Reading::sure(field.0));
    let [first_leg, second_leg] = request.legs.0.map(|leg| Reading::sure(leg.0));
    let angle = match request.angle_deg {
        Some(degrees) => Angle::from_degrees(degrees).context("angle_deg")?,
        None => Angle::RIGHT,
    };
    Ok(SquareArgs {
        first_leg,
        second_leg,
        diagonal: Reading::sure(request.diagonal.0),
        angle: Reading::sure(angle),
        run: given(&request.run),
        tolerance: given(&request.tolerance),
        space: given(&request.space),
        tape: TapeArgs::of(request.reading_sigma.map(|field| field.0), request.scale),
        json: true,
    })
}

fn judged(args: &SquareArgs) -> anyhow::Result<(CornerCheck, CornerAnswer)> {
    let value = |reading: &Option<Reading<Length>>| reading.as_ref().map(|r| r.value);
    let check = CornerCheck {
        first_leg: args.first_leg.value,
        second_leg: args.second_leg.value,
        diagonal: args.diagonal.value,
        design: args.angle.value,
        run: value(&args.run),
        tolerance: value(&args.tolerance),
        space: value(&args.space),
        tape: args.tape.model()?,
    };
    let answer = check.judged()?;
    Ok((check, answer))
}

const fn exit(answer: &CornerAnswer) -> Exit {
    match answer.verdict {
        Verdict::In => Exit::Done,
        Verdict::Out | Verdict::Undecided => Exit::AnswerIsNo,
    }
}

fn assumed(args: &SquareArgs) -> Vec<String> {
    let readings = [&args.first_leg, &args.second_leg, &args.diagonal];
    let options = [&args.run, &args.tolerance, &args.space];
    let lengths = readings
        .into_iter()
        .chain(options.into_iter().flatten())
        .flat_map(|reading| reading.assumed.clone());
    let mut said: Vec<String> = lengths.collect();
    if args.run.is_none() {
        said.push("the second side runs as far as its leg".to_owned());
    }
    if args.tolerance.is_none() {
        said.push("the run may be 1/4 in off its line for every 10 ft".to_owned());
    }
    typed::once(said)
}

fn present(
    check: &CornerCheck,
    answer: &CornerAnswer,
    assumed: &[String],
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    let design = check.design.degrees();
    writeln!(out, "{}", headline(check, answer))?;
    writeln!(
        out,
        "  angle       {:.3}°, {}; wanted {design:.3}°",
        answer.angle.degrees(),
        answer
            .angle_sigma
            .times(1.0_f64.to_degrees())
            .plus_minus_95()
            .map_or_else(unknown, |degrees| format!("± {degrees:.3}°")),
    )?;
    writeln!(
        out,
        "  diagonal    reads {}; {} needed: {}",
        crew(check.diagonal),
        crew(answer.diagonal_needed),
        off_by(answer.diagonal_error, "too long", "too short"),
    )?;
    writeln!(
        out,
        "  far end     {} from the corner the line is {}, {}; {} allowed",
        crew(answer.run),
        off_by(answer.run_error, "too open", "too tight"),
        answer
            .run_error_sigma
            .plus_minus_95()
            .and_then(|feet| Length::from_feet(feet).ok())
            .map_or_else(unknown, |doubt| format!("± {}", tape_inches(doubt))),
        tape_inches(answer.tolerance),
    )?;
    if let Some(correction) = answer.correction.filter(|_| answer.verdict != Verdict::In) {
        let way = match correction.way {
            Way::Toward => "toward the end of the first leg",
            Way::Away => "away from the end of the first leg",
        };
        let seems = if answer.verdict == Verdict::Undecided {
            " (if the readings are right)"
        } else {
            ""
        };
        writeln!(
            out,
            "  move        the end of the second leg {} {way}; {} at the far end{seems}",
            tape_inches(correction.at_leg_end),
            tape_inches(correction.at_run_end),
        )?;
    }
    if answer.verdict == Verdict::Undecided {
        present_legs(check, answer, out)?;
    }
    for words in assumed {
        writeln!(out, "  assumed     {words}")?;
    }
    for words in CAUTIONS {
        writeln!(out, "  caution     {words}")?;
    }
    Ok(())
}

fn headline(check: &CornerCheck, answer: &CornerAnswer) -> String {
    let right = check.design == Angle::RIGHT;
    match answer.verdict {
        Verdict::In if right => "SQUARE".to_owned(),
        Verdict::In => format!("AT {:.3}°, AS WANTED", check.design.degrees()),
        Verdict::Out if right => "OUT OF SQUARE".to_owned(),
        Verdict::Out => format!("NOT AT {:.3}°", check.design.degrees()),
        Verdict::Undecided => "UNDECIDED: these readings can't tell".to_owned(),
    }
}

fn present_legs(
    check: &CornerCheck,
    answer: &CornerAnswer,
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    if let Some(legs) = &answer.fitting_legs {
        let tells = if legs.decides {
            "would tell"
        } else {
            "would tell more, but not enough"
        };
        writeln!(
            out,
            "  tape        {}: the best that fits; {tells}",
            words(legs)
        )?;
    } else if check.space.is_some() {
        writeln!(out, "  tape        no larger legs fit the space")?;
    }
    match &answer.deciding_legs {
        Some(legs) => writeln!(out, "  to decide   {} or larger", words(legs))?,
        None => writeln!(
            out,
            "  to decide   no legs within a 100 ft tape would: read finer, or allow more"
        )?,
    }
    Ok(())
}

fn words(legs: &LegPlan) -> String {
    format!(
        "legs of {} and {}, diagonal {}",
        crew(legs.first_leg),
        crew(legs.second_leg),
        crew(legs.diagonal)
    )
}

fn crew(length: Length) -> String {
    length.to_text(LengthStyle::CREW)
}

fn off_by(error: Shift, over: &str, under: &str) -> String {
    let size = error.magnitude();
    if size.inches() < FINEST_INCHES {
        return "right".to_owned();
    }
    let way = if error.feet() > 0.0 { over } else { under };
    format!("{} {way}", tape_inches(size))
}

/// Inches and sixteenths, as the finest tapes show them.
fn tape_inches(length: Length) -> String {
    if length > Length::ZERO && length.inches() < FINEST_INCHES {
        return "under 1/16\"".to_owned();
    }
    length.to_text(LengthStyle::Inches(InchFraction::Sixteenth))
}

fn unknown() -> String {
    "± unknown".to_owned()
}

fn contract(check: &CornerCheck, answer: &CornerAnswer, assumed: Vec<String>) -> SquareAnswer {
    let degrees = |sigma: Sigma| sigma.value().map(f64::to_degrees);
    let inches = |sigma: Sigma| sigma.times(12.0).value();
    let legs = |plan: LegPlan| SquareLegs {
        first_leg_ft: plan.first_leg.feet(),
        second_leg_ft: plan.second_leg.feet(),
        diagonal_ft: plan.diagonal.feet(),
        angle_sigma_deg: degrees(plan.angle_sigma),
        decides: plan.decides,
    };
    SquareAnswer {
        angle_deg: answer.angle.degrees(),
        angle_sigma_deg: degrees(answer.angle_sigma),
        design_deg: check.design.degrees(),
        diagonal_error_in: answer.diagonal_error.inches(),
        diagonal_error_sigma_in: inches(answer.diagonal_error_sigma),
        diagonal_needed_ft: answer.diagonal_needed.feet(),
        verdict: SquareVerdict::of(answer.verdict),
        run_ft: answer.run.feet(),
        run_error_in: answer.run_error.inches(),
        run_error_sigma_in: inches(answer.run_error_sigma),
        tolerance_in: answer.tolerance.inches(),
        correction: answer.correction.map(|correction| SquareCorrection {
            way: match correction.way {
                Way::Toward => SquareWay::Toward,
                Way::Away => SquareWay::Away,
            },
            at_leg_end_in: correction.at_leg_end.inches(),
            at_run_end_in: correction.at_run_end.inches(),
        }),
        fitting_legs: answer.fitting_legs.map(legs),
        deciding_legs: answer.deciding_legs.map(legs),
        assumed,
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    }
}
