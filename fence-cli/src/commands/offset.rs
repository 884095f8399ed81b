//! `fence offset`.

use std::io::Write;
use std::path::{Path, PathBuf};

use fence_geom::{
    Join, Length, LengthStyle, Offset, OffsetCorner, OffsetEvent, OffsetRing, Point, Reading,
    Region, Ring, Shift, check_legs, offset as offset_ring, third_side,
};

use crate::Exit;
use crate::contract::offset::{
    OffsetAnswer, OffsetCheck, OffsetCornerRow, OffsetEventKind, OffsetEventRow, OffsetJoin,
    OffsetPlace, OffsetRequest, OffsetRingRole, OffsetSide, OffsetTurn,
};
use crate::drawing::offset_svg;
use crate::gis_ring::{MapGround, MapUnit};
use crate::lot_file::{LotRead, lot_of_text, read_lot};
use crate::output_file::write_whole;
use crate::typed::{self, Named};

const CAUTIONS: [&str; 2] = [
    "A deed or a tape is not a boundary survey: the lot lines here are as given, and only a licensed surveyor can say where the line is.",
    "Call the one-call center before digging; setbacks, easements and permits are the place's own.",
];

/// Hold a line inside the lot: its flags, and how to reach each from its pin
///
///   fence offset lot.csv --by 6in
///   fence offset lot.csv --by 6in --side C-D=5ft --side D-A=0
///
/// FILE is a CSV of points headed `name,north_ft,east_ft` (or `_m`), a call
/// table as for `fence deed`, or a job. Corners go around the lot either
/// way. A map is GeoJSON or well-known text with one polygon, whose holes are
/// kept clear of, such as a pond: its plane coordinates need --map-unit, longitude and latitude --datum, as do points
/// headed `name,lon_deg,lat_deg`. A map is good for an estimate and sets no flags.
///
/// Write a length as 12ft6-1/2in, 12.54ft or 3.82m; a bare number is feet. The
/// flag at each pin stands where the two offset lines meet; on a straight line
/// with two distances they are joined by a square jog. Curved sides have
/// parallel arcs. Where sides vanish or the line splits into pieces, it says so.
///
/// -o writes the flags (.csv: `name,north_ft,east_ft`) or a picture of the lot
/// and its offset line (.svg).
///
/// Exit status: 0 done, 2 refused: where nothing of the lot is left, it says how
/// far the distances hold.
///
/// A deed or a tape is not a boundary survey: only a licensed surveyor can say
/// where the line is. Call the one-call center before digging.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct OffsetArgs {
    /// The lot, or - for standard input
    file: PathBuf,
    /// How far inside every side
    #[arg(long, value_name = "LENGTH", value_parser = typed::length, allow_hyphen_values = true)]
    by: Reading<Length>,
    /// How far inside this side; may be given for several
    #[arg(long, value_name = "A-B=LENGTH", value_parser = typed::named_shift)]
    side: Vec<Named<Reading<Shift>>>,
    /// The datum of points in longitude and latitude: NAD83, NAD83(2011) or WGS84
    #[arg(long, value_name = "NAME")]
    datum: Option<String>,
    /// The unit of a map in a plane, such as state plane
    #[arg(long, value_name = "UNIT")]
    map_unit: Option<MapUnit>,
    /// Go outside the lot instead
    #[arg(long)]
    outside: bool,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
    /// Also write the flags to a .csv file, or a picture to an .svg file
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

impl OffsetArgs {
    fn ground(&self) -> MapGround<'_> {
        MapGround {
            datum: self.datum.as_deref(),
            unit: self.map_unit,
        }
    }
}

pub(crate) fn offset(args: &OffsetArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let picture = args.output.as_deref().map(is_picture).transpose()?;
    let lot = read_lot(&args.file, args.ground())?;
    let held = Held::of(args, lot)?;
    if let Some(path) = &args.output {
        anyhow::ensure!(
            !held.from_map || picture == Some(true),
            "{}: a map sets no flags, so none are written; give the deed and the pins instead",
            path.display()
        );
        let bytes = if picture == Some(true) {
            offset_svg(&held.line, held.from_map).into_bytes()
        } else {
            flags_csv(&held.line)?
        };
        write_whole(path, &bytes)?;
    }
    let answer = answer(held);
    if args.json {
        serde_json::to_writer_pretty(&mut *out, &answer)?;
        writeln!(out)?;
    } else {
        print(&answer, out)?;
    }
    Ok(Exit::Done)
}

/// Whether an output file is to be a picture; else it is to be the flags.
fn is_picture(path: &Path) -> anyhow::Result<bool> {
    let ends = |wanted: &str| {
        let extension = path.extension();
        extension.is_some_and(|it| it.eq_ignore_ascii_case(wanted))
    };
    anyhow::ensure!(
        ends("csv") || ends("svg"),
        "{}: flags are written as CSV and pictures as SVG, so give a name that ends in .csv or .svg",
        path.display()
    );
    Ok(ends("svg"))
}

/// The answer to a request that has been read.
pub(crate) fn offset_answer(request: &OffsetRequest) -> anyhow::Result<(OffsetAnswer, Exit)> {
    let lot = lot_of_request(request)?;
    let held = Held::of(&args_of(request), lot)?;
    Ok((answer(held), Exit::Done))
}

fn lot_of_request(request: &OffsetRequest) -> anyhow::Result<LotRead> {
    match (&request.text, request.corners.as_slice()) {
        (Some(text), []) => lot_of_text(Path::new("text"), text, args_of(request).ground()),
        (None, corners) => {
            let named = corners.iter().map(|corner| {
                let at = Point::new(corner.north.0.feet(), corner.east.0.feet())?;
                anyhow::Ok((corner.name.clone(), at))
            });
            Ok(LotRead {
                holes: Vec::new(),
                ring: Ring::of_lines(named.collect::<Result<Vec<_>, _>>()?)?,
                from_map: false,
                assumed: Vec::new(),
            })
        }
        (Some(_), _) => anyhow::bail!("both `text` and `corners` are given: give one of them"),
    }
}

/// A request, as it would be typed.
fn args_of(request: &OffsetRequest) -> OffsetArgs {
    OffsetArgs {
        file: PathBuf::new(),
        by: Reading::sure(request.by.0),
        side: (request.sides.iter())
            .map(|(name, distance)| Named {
                name: name.clone(),
                value: Reading::sure(distance.0),
            })
            .collect(),
        datum: request.datum.clone(),
        map_unit: request.map_unit,
        outside: request.outside,
        json: true,
        output: None,
    }
}

/// The line, and what it rests on.
struct Held {
    line: Offset,
    from_map: bool,
    assumed: Vec<String>,
}

impl Held {
    fn of(args: &OffsetArgs, lot: LotRead) -> anyhow::Result<Self> {
        let region = Region::new(lot.ring, lot.holes)?;
        let distances = distances(args, &region)?;
        let line = offset_ring(region, &distances)?;
        if line.rings().is_empty() {
            // Says how far the distances hold.
            line.clone().into_one()?;
        }
        let assumed = typed::once(
            lot.assumed
                .into_iter()
                .chain(args.by.assumed.iter().cloned())
                .chain(args.side.iter().flat_map(|side| side.value.assumed.clone())),
        );
        Ok(Self {
            line,
            from_map: lot.from_map,
            assumed,
        })
    }
}

/// The distance of each side of the lot.
fn distances(args: &OffsetArgs, lot: &Region) -> anyhow::Result<Vec<Shift>> {
    let toward = |shift: Shift| if args.outside { -shift } else { shift };
    let mut own: Vec<Option<Shift>> = vec![None; lot.side_count()];
    for side in &args.side {
        let slot = lot.side(&side.name).and_then(|i| own.get_mut(i));
        let Some(slot) = slot else {
            let names = (0..lot.side_count()).map(|i| lot.side_name(i));
            anyhow::bail!(
                "there is no side {:?}: the lot has {}",
                side.name,
                names.collect::<Vec<_>>().join(", ")
            );
        };
        anyhow::ensure!(
            slot.is_none(),
            "side {} has two distances: leave one --side out",
            side.name
        );
        *slot = Some(toward(side.value.value));
    }
    let by = toward(args.by.value.forward());
    Ok(own.into_iter().map(|own| own.unwrap_or(by)).collect())
}

fn flags_csv(line: &Offset) -> anyhow::Result<Vec<u8>> {
    let mut rows = csv::Writer::from_writer(Vec::new());
    rows.write_record(["name", "north_ft", "east_ft"])?;
    for flag in line.rings().iter().flat_map(OffsetRing::corners) {
        let north = format!("{:.6}", plain(flag.at.north()));
        let east = format!("{:.6}", plain(flag.at.east()));
        rows.write_record([flag.name.as_str(), &north, &east])?;
    }
    Ok(rows.into_inner()?)
}

/// A coordinate that would print as a negative zero, as zero.
fn plain(feet: f64) -> f64 {
    if feet.abs() < 5e-7 { 0.0 } else { feet }
}

fn answer(held: Held) -> OffsetAnswer {
    let line = &held.line;
    let rings = line.rings().iter();
    OffsetAnswer {
        rings: rings.clone().map(OffsetPlace::of_ring).collect(),
        ring_roles: (rings.clone())
            .map(|ring| OffsetRingRole::of(ring.role()))
            .collect(),
        pieces: line.pieces(),
        vanished: line.vanished(),
        area_sq_ft: line.area().square_feet(),
        perimeter_ft: line.perimeter().feet(),
        lot_area_sq_ft: line.source().area().square_feet(),
        sides: sides(line),
        estimate_only: held.from_map,
        corners: rings
            .enumerate()
            .flat_map(|(k, ring)| {
                let flags = ring.corners().iter().enumerate();
                flags.map(move |(i, flag)| corner_row(line, (k, ring), i, flag))
            })
            .collect(),
        next_event: line.next_event().as_ref().map(event_row),
        assumed: held.assumed,
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    }
}

fn sides(line: &Offset) -> Vec<OffsetSide> {
    let distances = line.distances().iter().enumerate();
    distances
        .map(|(side, distance)| OffsetSide {
            name: line.source().side_name(side),
            distance_ft: distance.feet(),
            offset_length_ft: line.line_length(side).feet(),
        })
        .collect()
}

fn corner_row(
    line: &Offset,
    (ring_index, line_ring): (usize, &OffsetRing),
    k: usize,
    flag: &OffsetCorner,
) -> OffsetCornerRow {
    let (lot, ring) = (line.source(), line_ring.ring());
    let runs = (ring.side_length(k + ring.len() - 1), ring.side_length(k));
    OffsetCornerRow {
        ring: ring_index,
        name: flag.name.clone(),
        pin: lot.corner(flag.source).name.clone(),
        north_ft: flag.at.north(),
        east_ft: flag.at.east(),
        join: match flag.join {
            Join::Miter => OffsetJoin::Miter,
            Join::Jog => OffsetJoin::Jog,
            Join::Cut => OffsetJoin::Cut,
            Join::Meeting => OffsetJoin::Meeting,
            Join::Tangent => OffsetJoin::Tangent,
        },
        angle_deg: flag.interior.degrees(),
        deflection_deg: flag.deflection.degrees(),
        side_before: lot.side_name(flag.before),
        side_after: lot.side_name(flag.after),
        miter_before_ft: flag.along_before.feet(),
        miter_after_ft: flag.along_after.feet(),
        miter_straight_ft: flag.straight.feet(),
        check: check_legs(runs.0, runs.1).map(|(before, after)| OffsetCheck {
            leg_before_ft: before.feet(),
            leg_after_ft: after.feet(),
            diagonal_ft: third_side(before, after, flag.interior).feet(),
        }),
    }
}

fn event_row(event: &OffsetEvent) -> OffsetEventRow {
    let (kind, side, corner) = match event {
        OffsetEvent::Splits { side, corner, .. } => {
            (OffsetEventKind::Splits, side, Some(corner.clone()))
        }
        OffsetEvent::Vanishes { side, .. } => (OffsetEventKind::Vanishes, side, None),
    };
    OffsetEventRow {
        factor: event.factor(),
        kind,
        side: side.clone(),
        corner,
    }
}

fn print(answer: &OffsetAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    writeln!(
        out,
        "Offset line: {:.2} ft around, {:.1} sq ft of the lot's {:.1}\n",
        answer.perimeter_ft, answer.area_sq_ft, answer.lot_area_sq_ft
    )?;
    print_changes(answer, out)?;
    writeln!(
        out,
        "{:<8} {:>12}  {:>14}",
        "side", "distance", "offset line"
    )?;
    for side in &answer.sides {
        writeln!(
            out,
            "{:<8} {:>12}  {:>14}",
            side.name,
            crew(side.distance_ft)?,
            crew(side.offset_length_ft)?
        )?;
    }
    if answer.estimate_only {
        writeln!(
            out,
            "\nNOT PINNED - ESTIMATE ONLY: the lot is from a map, and a map sets no flags"
        )?;
    } else {
        print_flags(answer, out)?;
    }
    print_event(answer, out)?;
    for assumed in &answer.assumed {
        writeln!(out, "Assumed: {assumed}")?;
    }
    writeln!(out)?;
    for caution in &answer.cautions {
        writeln!(out, "{caution}")?;
    }
    Ok(())
}

fn print_flags(answer: &OffsetAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    writeln!(
        out,
        "\nEach flag from its pin: back along the side that arrives, on along the side that leaves, straight across\n"
    )?;
    writeln!(
        out,
        "{:<6} {:>14} {:>14} {:>10} {:>10} {:>10} {:>10}  check: legs back, on; diagonal",
        "flag", "north ft", "east ft", "back", "on", "straight", "angle"
    )?;
    let mut ring = 0;
    for corner in &answer.corners {
        if corner.ring != ring {
            ring = corner.ring;
            writeln!(out)?;
        }
        print_corner(corner, out)?;
    }
    print_arcs(answer, out)?;
    if answer.corners.iter().any(is_off_the_end) {
        writeln!(
            out,
            "\nA minus sign: off the end of that side, past the pin."
        )?;
    }
    Ok(())
}

/// Where the line is curved, and how.
fn print_arcs(answer: &OffsetAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    for ring in &answer.rings {
        let next = ring.iter().cycle().skip(1);
        for (from, to) in ring.iter().zip(next) {
            let Some(arc) = &from.arc_to_next else {
                continue;
            };
            let hand = match arc.turn {
                OffsetTurn::Left => "left",
                OffsetTurn::Right => "right",
            };
            writeln!(
                out,
                "\nFrom {} to {} along an arc: radius {}, turning {:.3}° to the {hand}",
                from.name,
                to.name,
                crew(arc.radius_ft)?,
                arc.delta_deg
            )?;
        }
    }
    Ok(())
}

/// What has become of the lot's sides and shape.
fn print_changes(answer: &OffsetAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    let holes = answer.rings.len() - answer.pieces;
    if answer.pieces > 1 {
        writeln!(
            out,
            "The line splits: {} pieces, each a ring of its own.",
            answer.pieces
        )?;
    }
    match holes {
        0 => {}
        1 => writeln!(out, "One ring is a hole: the line goes around it.")?,
        _ => writeln!(out, "{holes} rings are holes: the line goes around them.")?,
    }
    match answer.vanished.as_slice() {
        [] => {}
        [one] => writeln!(
            out,
            "Side {one} vanishes: nothing is left of its offset line."
        )?,
        several => writeln!(
            out,
            "Sides {} vanish: nothing is left of their offset lines.",
            several.join(", ")
        )?,
    }
    if answer.pieces > 1 || holes > 0 || !answer.vanished.is_empty() {
        writeln!(out)?;
    }
    Ok(())
}

fn print_corner(corner: &OffsetCornerRow, out: &mut dyn Write) -> anyhow::Result<()> {
    let check = match &corner.check {
        Some(check) => format!(
            "{}, {}; {}",
            crew(check.leg_before_ft)?,
            crew(check.leg_after_ft)?,
            crew(check.diagonal_ft)?
        ),
        None => "too short for legs of 3 and 4 ft".to_owned(),
    };
    let join = match corner.join {
        OffsetJoin::Miter => "",
        OffsetJoin::Jog => " (square jog)",
        OffsetJoin::Cut => " (needle cut square)",
        OffsetJoin::Meeting => " (sides between have vanished, or the line has split)",
        OffsetJoin::Tangent => " (end of the arc)",
    };
    writeln!(
        out,
        "{:<6} {:>14.3} {:>14.3} {:>10} {:>10} {:>10} {:>9.3}°  {check}{join}",
        corner.name,
        plain(corner.north_ft),
        plain(corner.east_ft),
        crew(corner.miter_before_ft)?,
        crew(corner.miter_after_ft)?,
        crew(corner.miter_straight_ft)?,
        corner.angle_deg,
    )?;
    Ok(())
}

fn is_off_the_end(corner: &OffsetCornerRow) -> bool {
    corner.miter_before_ft < 0.0 || corner.miter_after_ft < 0.0
}

fn print_event(answer: &OffsetAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    let Some(event) = &answer.next_event else {
        return Ok(writeln!(out)?);
    };
    let what = match &event.corner {
        Some(corner) => format!(
            "the corner at {corner} runs into the line of side {}",
            event.side
        ),
        None => format!("side {} vanishes", event.side),
    };
    writeln!(
        out,
        "\nAt {:.3} times these distances {what}.",
        event.factor
    )?;
    Ok(())
}

/// Feet and inches as a crew reads them.
fn crew(feet: f64) -> anyhow::Result<String> {
    Ok(Shift::from_feet(feet)?.to_text(LengthStyle::CREW))
}
