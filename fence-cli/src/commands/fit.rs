//! `fence fit`.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;
use fence_geom::{
    Fit, FittedCorner, Length, LengthStyle, NORMAL_95, Point, Reading, SearchTapes, Shift,
    SigmaFrom, Standing, fit as fit_pins,
};

use crate::contract::fit::{
    FitAnswer, FitCornerAnswer, FitDirectionAnswer, FitDisagreement, FitEllipse, FitEllipses,
    FitPhone, FitPinAnswer, FitPlace, FitReply, FitRequest, FitSearchTape, GridAnswer, GridUnit,
    PlacesAnswer,
};
use crate::decimals::signed_decimals;
use crate::drawing::fit_svg;
use crate::fields::CoordinateField;
use crate::fit_reading::{FitRead, fit_read, places_read};
use crate::output_file::write_whole;
use crate::pins_file::is_pins;
use crate::{Exit, input, typed};

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
/// A pin's place is north and east, or two tapes from `known` points, or with `datum`
/// `lon_deg` and `lat_deg`, or with `datum` and `zone` `grid_north` and `grid_east`
/// (a build with geodesy); `pins_file` = "pins.csv" has them in a file. A pin may carry
/// its record: kind, size, cap, depth, disturbed, `accepted_by`, and for a witness the
/// way to the corner, witness = { north = -5, east = 0 }. A pin with `by_phone` = true
/// helps to search and never enters the fit. One pin will do with
/// direction = { deed = "north", ground = "N2-30E", `sigma_deg` = 0.25 }. Lengths are
/// feet or text such as "12ft6-1/2in" or "3.82m".
///
/// FILE may also be the CSV of the pins alone: then their places on the ground are
/// shown, and with --zone the grid, its convergence and its scale, elevation and
/// combined factors.
///
/// Exit status: 0 done, 1 something does not agree, 2 input refused.
///
/// A tape and a deed are not a boundary survey: only a licensed surveyor can say
/// where a lot line is. Call the one-call center before digging for a pin.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct FitArgs {
    /// The request, or - for standard input; or a CSV of points
    file: PathBuf,
    /// The datum of the points of a CSV: NAD83, NAD83(2011) or WGS84
    #[arg(long, value_name = "NAME")]
    datum: Option<String>,
    /// The grid of the points of a CSV: a state plane zone by number or name, or UTM 15
    #[arg(long, value_name = "ZONE")]
    zone: Option<String>,
    /// The unit of grid coordinates in a CSV; the state's own if left out
    #[arg(long, value_enum)]
    grid_unit: Option<GridUnit>,
    /// The height of the ground above the ellipsoid, for the points of a CSV
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, value_parser = typed::shift)]
    height: Option<Reading<Shift>>,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
    /// Also draw the fit: an .svg file
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(crate) fn fit(args: &FitArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let text = input::read_text(&args.file)?;
    if is_pins(&text) {
        return places(args, &text, out);
    }
    args.refuse_terms()?;
    let request =
        input::request_of::<FitRequest>(&text).with_context(|| args.file.display().to_string())?;
    let (read, answer) =
        worked(&request, Some(&args.file)).with_context(|| args.file.display().to_string())?;
    if let Some(path) = &args.output {
        let svg = path
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("svg"));
        anyhow::ensure!(
            svg,
            "{}: a fit is drawn to a file whose name ends in .svg",
            path.display()
        );
        write_whole(path, fit_svg(&read, &answer, from(&request)).as_bytes())?;
    }
    let json = contract(&read, &answer, from(&request));
    if args.json {
        write_json(&FitReply::Fit(Box::new(json)), out)?;
    } else {
        present(&json, out)?;
    }
    Ok(exit(&answer))
}

/// The answer to a request that has been read. Without a file it can name no
/// deed beside it.
pub(crate) fn fit_answer(
    request: &FitRequest,
    file: Option<&Path>,
) -> anyhow::Result<(FitAnswer, Exit)> {
    let (read, answer) = worked(request, file)?;
    Ok((contract(&read, &answer, from(request)), exit(&answer)))
}

fn worked(request: &FitRequest, file: Option<&Path>) -> anyhow::Result<(FitRead, Fit)> {
    let read = fit_read(request, file)?;
    let answer = fit_pins(&read.corners, &read.pins, &read.rules)?;
    Ok((read, answer))
}

const fn from(request: &FitRequest) -> SigmaFrom {
    match request.ellipses {
        FitEllipses::Given => SigmaFrom::Given,
        FitEllipses::Residuals => SigmaFrom::Residuals,
    }
}

fn exit(answer: &Fit) -> Exit {
    let doubtful = answer.disagreement.is_some()
        || answer.mirrored
        || answer.unit_confusion.is_some()
        || answer.chance.is_some_and(|chance| chance < 0.001)
        || answer.direction.is_some_and(|direction| direction.suspect)
        || answer.pins.iter().any(|pin| pin.suspect);
    if doubtful {
        Exit::AnswerIsNo
    } else {
        Exit::Done
    }
}

impl FitArgs {
    /// In a request the datum and the rest stand in the file.
    fn refuse_terms(&self) -> anyhow::Result<()> {
        let given = self.datum.is_some()
            || self.zone.is_some()
            || self.grid_unit.is_some()
            || self.height.is_some();
        anyhow::ensure!(
            !given,
            "{}: --datum, --zone, --grid-unit and --height go with a CSV of points; in a request \
             they are the fields datum, zone, grid_unit and height",
            self.file.display()
        );
        Ok(())
    }
}

fn write_json(answer: &FitReply, out: &mut dyn Write) -> anyhow::Result<()> {
    serde_json::to_writer_pretty(&mut *out, answer)?;
    writeln!(out)?;
    Ok(())
}

/// The points of a CSV, on the ground.
fn places(args: &FitArgs, text: &str, out: &mut dyn Write) -> anyhow::Result<Exit> {
    anyhow::ensure!(
        args.output.is_none(),
        "points alone are not drawn: fit them to the corners of a deed"
    );
    let request = FitRequest {
        datum: args.datum.clone(),
        zone: args.zone.clone(),
        grid_unit: args.grid_unit,
        height: args
            .height
            .as_ref()
            .map(|height| CoordinateField(height.value)),
        ..input::request_of("")?
    };
    let read =
        places_read(&request, &args.file, text).with_context(|| args.file.display().to_string())?;
    let place = |(name, at, by_phone): (String, Point, bool)| FitPlace {
        name,
        north_ft: at.north(),
        east_ft: at.east(),
        by_phone,
    };
    let answer = PlacesAnswer {
        places: read.places.into_iter().map(place).collect(),
        grid: read.grid,
        assumed: typed::once(read.assumed),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    };
    if args.json {
        write_json(&FitReply::Places(answer), out)?;
    } else {
        present_places(&answer, out)?;
    }
    Ok(Exit::Done)
}

fn present_places(answer: &PlacesAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    for place in &answer.places {
        let phone = if place.by_phone {
            "  by phone: for searching only"
        } else {
            ""
        };
        writeln!(
            out,
            "{:<6} N {:.3}  E {:.3} ft on the ground{phone}",
            place.name, place.north_ft, place.east_ft
        )?;
    }
    if let Some(grid) = &answer.grid {
        present_grid(grid, out)?;
    }
    present_notes(&answer.assumed, &answer.cautions, out)
}

fn present_grid(grid: &GridAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    let unit = match grid.grid_unit {
        GridUnit::SurveyFoot => "U.S. survey ft",
        GridUnit::Foot => "ft",
        GridUnit::Meter => "m",
    };
    writeln!(
        out,
        "grid {}, {}, at {:.1} ft above the ellipsoid",
        grid.zone, grid.datum, grid.height_ft
    )?;
    for at in &grid.points {
        writeln!(
            out,
            "  {:<6} lon {:.8}  lat {:.8}  grid N {:.3}  E {:.3} {unit}",
            at.name, at.lon_deg, at.lat_deg, at.grid_north, at.grid_east
        )?;
        writeln!(
            out,
            "         convergence {:+.6} deg  scale {:.8} x elevation {:.8} = combined {:.8}",
            at.convergence_deg, at.scale_factor, at.elevation_factor, at.combined_factor
        )?;
    }
    Ok(())
}

fn present(answer: &FitAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    present_whole(answer, out)?;
    for pin in &answer.pins {
        present_pin(pin, out)?;
    }
    present_trouble(answer, out)?;
    for corner in &answer.corners {
        present_corner(corner, out)?;
    }
    for phone in &answer.phone {
        writeln!(
            out,
            "  phone  {:<6} {:.1} ft from the corner as fitted; it took no part in the fit",
            phone.name, phone.off_ft
        )?;
    }
    if let Some(grid) = &answer.grid {
        present_grid(grid, out)?;
    }
    present_notes(&answer.assumed, &answer.cautions, out)
}

fn present_whole(answer: &FitAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    let pins = answer.pins.len();
    let held = if answer.scale_held {
        "if let free"
    } else {
        "as the pins say"
    };
    write!(
        out,
        "the deed turns {:.4} deg clockwise to lie on {pins} {}; ground over deed {:.6}",
        answer.rotation_deg,
        if pins == 1 { "pin" } else { "pins" },
        answer.scale
    )?;
    match answer.scale_sigma {
        Some(sigma) => writeln!(out, " +/- {:.6} (95 %) {held}", sigma * NORMAL_95)?,
        None => writeln!(out, " {held}")?,
    }
    match answer.sigma_ft {
        Some(sigma) => writeln!(
            out,
            "pins and deed agree to {sigma:.3} ft (one standard error, {} to spare)",
            answer.redundancy
        )?,
        None => writeln!(
            out,
            "nothing is left to check the pins: there is just enough for a fit"
        )?,
    }
    if let (Some(factor), Some(chance)) = (answer.variance_factor, answer.chance) {
        let verdict = if chance < 0.001 {
            ": SOMETHING IS WRONG"
        } else {
            ""
        };
        writeln!(
            out,
            "residuals are {:.2} times what the given standard errors let expect; by chance so \
             much or more in {:.1} % of cases{verdict}",
            factor.sqrt(),
            chance * 100.0
        )?;
    }
    Ok(())
}

fn present_pin(pin: &FitPinAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    let test = pin
        .standardized
        .map_or_else(String::new, |test| format!("; {test:.1} standard errors"));
    let left_out = pin.left_out_ft.map_or_else(String::new, |off| {
        format!("; {off:.3} ft from where the others put it")
    });
    let detectable = pin.detectable_ft.map_or_else(
        || "; nothing checks it in some direction".to_owned(),
        |size| format!("; a slip of {size:.2} ft would show"),
    );
    let suspect = if pin.suspect {
        "  SUSPECT: does not go with the others"
    } else {
        ""
    };
    writeln!(
        out,
        "  pin {:<6} off by {:.3} ft (N {:+.3}  E {:+.3}){test}{left_out}{detectable}{suspect}",
        pin.name, pin.residual_ft, pin.residual_north_ft, pin.residual_east_ft
    )?;
    Ok(())
}

fn present_trouble(answer: &FitAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    if let Some(two) = &answer.disagreement {
        writeln!(
            out,
            "  pins {} and {} disagree: on the ground they are {:+.3} ft off the deed; \
             which one is wrong can't be told from two",
            two.first, two.second, two.by_ft
        )?;
    }
    if answer.pins.iter().filter(|pin| pin.suspect).count() > 1 {
        writeln!(
            out,
            "  more than one pin may be the wrong one: these pins can't tell which"
        )?;
    }
    if let Some(direction) = &answer.direction {
        let suspect = if direction.suspect {
            "  SUSPECT: does not go with the pins"
        } else {
            ""
        };
        writeln!(
            out,
            "  direction off by {:+.4} deg{suspect}",
            direction.residual_deg
        )?;
    }
    if let Some(words) = &answer.unit_confusion {
        writeln!(out, "  units: the scale says that {words}")?;
    }
    if answer.mirrored {
        writeln!(
            out,
            "  MIRRORED: turned over, the deed fits far better; look for left and right or north \
             and east exchanged. It was not turned over."
        )?;
    }
    Ok(())
}

fn present_corner(corner: &FitCornerAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    writeln!(
        out,
        "  corner {:<6} N {:.3}  E {:.3} ft  {}",
        corner.name,
        corner.north_ft,
        corner.east_ft,
        standing(corner)
    )?;
    for tape in &corner.search_tapes {
        writeln!(
            out,
            "    tape from {:<6} {} ({} to {} in the circle); an inch north {} in, an inch \
             east {} in",
            tape.from,
            crew(tape.reading_ft),
            crew(tape.least_ft),
            crew(tape.most_ft),
            signed_decimals(tape.per_inch_north_in, 2),
            signed_decimals(tape.per_inch_east_in, 2)
        )?;
    }
    for reason in &corner.no_tapes_because {
        writeln!(out, "    no tapes: {reason}")?;
    }
    Ok(())
}

fn present_notes(
    assumed: &[String],
    cautions: &[String],
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    for words in assumed {
        writeln!(out, "  assumed: {words}")?;
    }
    for words in cautions {
        writeln!(out, "  caution: {words}")?;
    }
    Ok(())
}

fn crew(feet: f64) -> String {
    Length::from_feet(feet).map_or_else(|_| String::new(), |l| l.to_text(LengthStyle::CREW))
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

fn contract(read: &FitRead, answer: &Fit, from: SigmaFrom) -> FitAnswer {
    let searched = read.searched(answer);
    let corners = (answer.corners.iter()).map(|corner| {
        let search = searched.iter().find(|search| search.corner == corner.name);
        corner_answer(answer, corner, search, from)
    });
    FitAnswer {
        rotation_deg: answer.rotation.degrees(),
        rotation_sigma_deg: answer.rotation_sigma.value().map(f64::to_degrees),
        scale: answer.free_scale.unwrap_or(answer.scale),
        scale_sigma: answer.free_scale_sigma.value(),
        scale_held: !read.rules.free_scale,
        unit_confusion: answer.unit_confusion.map(str::to_owned),
        sigma_ft: answer.sigma.value(),
        redundancy: answer.redundancy,
        variance_factor: answer.variance_factor,
        chance: answer.chance,
        condition: answer.condition,
        mirrored: answer.mirrored,
        pins: answer.pins.iter().map(FitPinAnswer::of).collect(),
        direction: answer.direction.map(|direction| FitDirectionAnswer {
            residual_deg: direction.residual.degrees(),
            standardized: direction.standardized,
            suspect: direction.suspect,
        }),
        corners: corners.collect(),
        disagreement: answer.disagreement.as_ref().map(|two| FitDisagreement {
            first: two.first.clone(),
            second: two.second.clone(),
            by_ft: two.by.feet(),
            sigma_ft: two.sigma.value(),
        }),
        phone: (answer.hints.iter())
            .map(|hint| FitPhone {
                name: hint.name.clone(),
                north_ft: hint.at.north(),
                east_ft: hint.at.east(),
                off_ft: hint.off.feet(),
            })
            .collect(),
        grid: read.grid.clone(),
        assumed: typed::once(read.assumed.iter().cloned()),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    }
}

fn corner_answer(
    answer: &Fit,
    corner: &FittedCorner,
    search: Option<&SearchTapes>,
    from: SigmaFrom,
) -> FitCornerAnswer {
    let tapes = search.map(|search| search.tapes.as_ref());
    FitCornerAnswer {
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
        ellipse_95: ellipse_95(answer, corner, from),
        search_tapes: (tapes.and_then(Result::ok).into_iter().flatten())
            .map(|tape| FitSearchTape {
                from: tape.from.clone(),
                reading_ft: tape.reading.feet(),
                per_inch_north_in: tape.per_inch_north,
                per_inch_east_in: tape.per_inch_east,
                least_ft: tape.least.feet(),
                most_ft: tape.most.feet(),
            })
            .collect(),
        no_tapes_because: tapes
            .and_then(Result::err)
            .map(|none| none.reasons.clone())
            .unwrap_or_default(),
    }
}

fn ellipse_95(answer: &Fit, corner: &FittedCorner, from: SigmaFrom) -> Option<FitEllipse> {
    let [long, short] = answer.axes_95(corner, from)?;
    Some(FitEllipse {
        semi_major_ft: long.feet(),
        semi_minor_ft: short.feet(),
        azimuth_deg: corner.ellipse?.azimuth().degrees(),
    })
}
