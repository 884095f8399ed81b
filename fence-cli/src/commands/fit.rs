//! `fence fit`.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;
use fence_geom::{
    Corner, Displacement, Fit, Length, Pin, PinStands, Point, Sigma, Standing, default_deed_sigma,
    fit as fit_pins, traverse,
};

use crate::contract::fit::{
    FitAnswer, FitCornerAnswer, FitDisagreement, FitPin, FitPinAnswer, FitRequest,
};
use crate::deed_file::read_whole_deed;
use crate::fields::CoordinateField;
use crate::{Exit, input, typed};

/// The standard error of a pin's coordinates where none is given, in words for
/// the reader and for [`typed::length`]. Common practice, no source.
const PIN_SIGMA: &str = "0.05ft";

const CAUTIONS: [&str; 3] = [
    "a fit tests pins and tells where to search; it moves no pin and makes no corner",
    "the doubt is of measuring only, not whether a pin is the right one; never build on an unresolved discrepancy",
    "a tape and a deed are not a boundary survey: only a licensed surveyor can say where the line is; call the one-call center before you dig for a pin",
];

/// Fit deed corners to the pins found: residuals, suspect pins, where to search
///
/// FILE is TOML or JSON with the corners by the deed and the pins found:
///
///   corners = [ { name = "A", north = 0, east = 0 }, ... ]
///   (or deed = "lot.calls", a call table as `fence deed` takes it)
///   pins = [ { corner = "A", north = 500.02, east = 500, sigma = "0.03ft" }, ... ]
///
/// A pin may carry its record: kind, size, cap, depth, disturbed, `accepted_by`, and
/// for a witness the way to the corner, witness = { north = -5, east = 0 }.
/// Lengths are feet or text such as "12ft6-1/2in" or "3.82m".
///
/// Exit status: 0 done, 1 a pin is suspect or two pins disagree, 2 input refused.
///
/// A tape and a deed are not a boundary survey: only a licensed surveyor can say
/// where a lot line is. Call the one-call center before digging for a pin.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct FitArgs {
    /// The request, or - for standard input
    file: PathBuf,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
}

pub(crate) fn fit(args: &FitArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let request = read(&args.file)?;
    let (json, exit) =
        fit_answer(&request, Some(&args.file)).with_context(|| args.file.display().to_string())?;
    if args.json {
        serde_json::to_writer_pretty(&mut *out, &json)?;
        writeln!(out)?;
    } else {
        present(&json, out)?;
    }
    Ok(exit)
}

/// The answer to a request that has been read. Without a file it can name no
/// deed beside it.
pub(crate) fn fit_answer(
    request: &FitRequest,
    file: Option<&Path>,
) -> anyhow::Result<(FitAnswer, Exit)> {
    let mut assumed = Vec::new();
    let corners = corners(request, file)?;
    let pins = pins(request, &mut assumed)?;
    let deed_sigma = match &request.deed_sigma {
        Some(sigma) => Sigma::of_length(sigma.0),
        None => {
            assumed.push("deed corners are good to 0.05 ft (one standard error)".to_owned());
            default_deed_sigma()
        }
    };
    let answer = fit_pins(&corners, &pins, deed_sigma)?;
    let doubtful = answer.disagreement.is_some() || answer.pins.iter().any(|pin| pin.suspect);
    let exit = if doubtful {
        Exit::AnswerIsNo
    } else {
        Exit::Done
    };
    Ok((contract(&answer, typed::once(assumed)), exit))
}

fn read(path: &Path) -> anyhow::Result<FitRequest> {
    let text = input::read_text(path)?;
    // JSON starts with a brace, TOML can't.
    let request = if text.trim_start().starts_with('{') {
        serde_json::from_str(&text).map_err(anyhow::Error::from)
    } else {
        toml::from_str(&text).map_err(anyhow::Error::from)
    };
    request.with_context(|| path.display().to_string())
}

fn corners(request: &FitRequest, file: Option<&Path>) -> anyhow::Result<Vec<Corner>> {
    match (&request.deed, request.corners.as_slice()) {
        (Some(deed), []) => {
            let file = file.context(
                "`deed` names a file, which is not read here: give the corners as `corners`",
            )?;
            let path = file.parent().unwrap_or(Path::new("")).join(deed);
            Ok(traverse(&read_whole_deed(&path)?).corners().to_vec())
        }
        (None, corners) => corners
            .iter()
            .map(|given| {
                Ok(Corner {
                    name: given.name.clone(),
                    at: place(given.north, given.east)?,
                })
            })
            .collect(),
        (Some(_), _) => anyhow::bail!("both `deed` and `corners` are given: give one of them"),
    }
}

fn pins(request: &FitRequest, assumed: &mut Vec<String>) -> anyhow::Result<Vec<Pin>> {
    let default = match &request.pin_sigma {
        Some(sigma) => sigma.0,
        None => typed::length(PIN_SIGMA)?.value,
    };
    if request.pin_sigma.is_none() && request.pins.iter().any(|pin| pin.sigma.is_none()) {
        assumed.push(format!(
            "a pin without a sigma is good to {PIN_SIGMA} (one standard error)"
        ));
    }
    request
        .pins
        .iter()
        .map(|given| pin(given, default))
        .collect()
}

fn pin(given: &FitPin, default: Length) -> anyhow::Result<Pin> {
    let stands = match &given.witness {
        None => PinStands::OnCorner,
        Some(witness) => PinStands::Witness {
            to_corner: Displacement::new(witness.north.0.feet(), witness.east.0.feet())?,
        },
    };
    Ok(Pin {
        corner: given.corner.clone(),
        at: place(given.north, given.east)?,
        sigma: Sigma::of_length(given.sigma.map_or(default, |sigma| sigma.0)),
        stands,
        kind: given.kind.clone(),
        size: given.size.map(|size| size.0),
        cap: given.cap.clone(),
        depth: given.depth.map(|depth| depth.0),
        disturbed: given.disturbed,
        accepted_by: given.accepted_by.clone(),
    })
}

fn place(north: CoordinateField, east: CoordinateField) -> anyhow::Result<Point> {
    Ok(Point::new(north.0.feet(), east.0.feet())?)
}

fn present(answer: &FitAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    writeln!(
        out,
        "the deed turns {:.4} deg clockwise to lie on {} pins; ground over deed {:.6} if let free",
        answer.rotation_deg,
        answer.pins.len(),
        answer.scale
    )?;
    writeln!(
        out,
        "pins and deed agree to {:.3} ft (one standard error, {} to spare)",
        answer.sigma_ft, answer.redundancy
    )?;
    for pin in &answer.pins {
        let suspect = if pin.suspect {
            "  SUSPECT: does not go with the others"
        } else {
            ""
        };
        writeln!(
            out,
            "  pin {:<6} off by {:.3} ft (N {:+.3}  E {:+.3}){suspect}",
            pin.name, pin.residual_ft, pin.residual_north_ft, pin.residual_east_ft
        )?;
    }
    if let Some(two) = &answer.disagreement {
        writeln!(
            out,
            "  pins {} and {} disagree: on the ground they are {:+.3} ft off the deed; \
             which one is wrong can't be told from two",
            two.first, two.second, two.by_ft
        )?;
    }
    for corner in &answer.corners {
        writeln!(
            out,
            "  corner {:<6} N {:.3}  E {:.3} ft  {}",
            corner.name,
            corner.north_ft,
            corner.east_ft,
            standing(corner)
        )?;
    }
    for words in &answer.assumed {
        writeln!(out, "  assumed: {words}")?;
    }
    for words in &answer.cautions {
        writeln!(out, "  caution: {words}")?;
    }
    Ok(())
}

fn standing(corner: &FitCornerAnswer) -> String {
    match (corner.found, corner.accepted, corner.search_radius_ft) {
        (true, true, _) => "the pin, accepted".to_owned(),
        (true, false, _) => "the pin, NOT ACCEPTED by anybody yet".to_owned(),
        (false, _, Some(radius)) => {
            format!("not found: SEARCH HERE, {radius:.2} ft around")
        }
        (false, _, None) => "not found: SEARCH HERE, how far is unknown".to_owned(),
    }
}

fn contract(answer: &Fit, assumed: Vec<String>) -> FitAnswer {
    let corners = answer.corners.iter().map(|corner| FitCornerAnswer {
        name: corner.name.clone(),
        north_ft: corner.at.north(),
        east_ft: corner.at.east(),
        found: corner.standing != Standing::Predicted,
        accepted: corner.standing == Standing::Accepted,
        search_radius_ft: corner.search_radius.map(Length::feet),
        sigma_north_ft: corner.sigma_north.value(),
        sigma_east_ft: corner.sigma_east.value(),
        by_deed_north_ft: corner.by_deed.north(),
        by_deed_east_ft: corner.by_deed.east(),
    });
    FitAnswer {
        rotation_deg: answer.rotation.degrees(),
        rotation_sigma_deg: answer.rotation_sigma.value().map(f64::to_degrees),
        scale: answer.free_scale,
        sigma_ft: answer.sigma,
        redundancy: answer.redundancy,
        pins: answer.pins.iter().map(FitPinAnswer::of).collect(),
        corners: corners.collect(),
        disagreement: answer.disagreement.as_ref().map(|two| FitDisagreement {
            first: two.first.clone(),
            second: two.second.clone(),
            by_ft: two.by.feet(),
            sigma_ft: two.sigma.value(),
        }),
        assumed,
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    }
}
