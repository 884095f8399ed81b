//! From a job file to the library's job, by hand.

use std::path::Path;

use anyhow::{Context, bail};
use fence_geom::{
    Angle, Bands, Build, Concrete, Cutting, Day, Deed, Gap, GatePlan, GroundPlan, GroundStation,
    Inside, Job, Lattice, Length, LengthStyle, Limits, Locate, Mark, MeasuredPlace, Measurement,
    Outline, OwnerAnswer, Part, Per, Pin, Point, Post, Posts, Product, RoutePlan, RunWish, Shape,
    Shift, Sigma, SlopeLimits, Spot, SquareReading, StopPlan, Stretch, Survey, TapeModel,
    TieLimits, Turn, WhichEnd, height_of_instrument, standards,
};

use crate::deed_file::{read_whole_deed, whole_deed_of};
use crate::fields::{LengthField, PlaceField, Two};
use crate::input::read_text;
use crate::job_file::{
    AnswerField, BuildField, DeedTable, EndField, GateTable, GroundTable, Hand, JobFile,
    LocateTable, ObstacleTable, OutlineTable, PerField, PlaceTable, PostTable, ProductTable,
    RouteTable, SlopeTable, StopTable, SwingField, TapeTable, UtilityTable,
};

/// A job read from its file, with the file's own words for the sheet.
pub(crate) struct JobRead {
    /// The job.
    pub(crate) job: Job,
    /// The file as it was read.
    pub(crate) file: JobFile,
    /// What was assumed because the file does not say it.
    pub(crate) assumed: Vec<String>,
}

/// Reads a job file, and the deed it names.
///
/// # Errors
///
/// Shows the file, the line and the words at fault.
pub(crate) fn read_job(path: &Path) -> anyhow::Result<JobRead> {
    let text = read_text(path)?;
    let file: JobFile =
        toml::from_str(&text).map_err(|error| anyhow::anyhow!("{}: {error}", path.display()))?;
    job_of(file, Some(path)).with_context(|| path.display().to_string())
}

/// Returns the job of a file that has been read. Without a path it can name no
/// file of calls.
///
/// # Errors
///
/// Names the part of the job at fault.
pub(crate) fn job_of(file: JobFile, path: Option<&Path>) -> anyhow::Result<JobRead> {
    let mut assumed = Vec::new();
    let job = job(&file, path, &mut assumed)?;
    Ok(JobRead { job, file, assumed })
}

fn deed(table: &DeedTable, path: Option<&Path>, assumed: &mut Vec<String>) -> anyhow::Result<Deed> {
    match (&table.calls, &table.text, path) {
        (Some(calls), None, Some(path)) => read_whole_deed(&path.with_file_name(calls)),
        (None, Some(text), _) => {
            let (deed, said) = whole_deed_of(Path::new("deed.text"), text)?;
            assumed.extend(said);
            Ok(deed)
        }
        (Some(_), None, None) => {
            bail!("deed.calls names a file, which is not read here: give the calls as deed.text")
        }
        _ => bail!(
            "the deed is exactly one of calls, a file of them, and text, the calls themselves"
        ),
    }
}

fn job(file: &JobFile, path: Option<&Path>, assumed: &mut Vec<String>) -> anyhow::Result<Job> {
    let deed = file
        .deed
        .as_ref()
        .map(|table| deed(table, path, assumed))
        .transpose()?;
    let places = file.pin.iter().chain(&file.point);
    let survey = Survey::new(
        places
            .clone()
            .map(measured)
            .collect::<anyhow::Result<Vec<_>>>()?,
        tape(&file.tape)?,
    )?;
    let day = |text: &Option<String>| text.as_deref().map(Day::new).transpose();
    Ok(Job {
        deed,
        survey,
        pins: file.pin.iter().map(pin).collect(),
        visible: places
            .filter(|place| place.visible)
            .map(|place| place.name.clone())
            .collect(),
        line_accepted_by: file.job.line_accepted_by.clone(),
        buildings: file.building.iter().map(outline).collect(),
        no_build: file.no_build.iter().map(outline).collect(),
        inside: Inside {
            each: file.inside.each.0,
            sides: file
                .inside
                .sides
                .iter()
                .map(|(side, distance)| (side.clone(), distance.0))
                .collect(),
        },
        bands: Bands {
            step: length_or(file.inside.band_step, Bands::default().step),
            sides: (file.inside.bands.iter())
                .map(|(side, Two([least, most]))| (side.clone(), least.0, most.0))
                .collect(),
        },
        product: product(&file.product, !file.ground.is_empty(), assumed)?,
        lattice: lattice(file.product.lattice)?,
        ties: TieLimits {
            longest: length_or(file.tape.length, standards::TAPE_LENGTH),
            ..TieLimits::default()
        },
        routes: file
            .route
            .iter()
            .map(route)
            .collect::<anyhow::Result<Vec<_>>>()?,
        run_wishes: file
            .run
            .iter()
            .map(|run| RunWish {
                run: run.name.clone(),
                show: run.show.iter().map(stretch).collect(),
                hide: run.hide.map(which_end),
                guard: run.guard,
            })
            .collect(),
        grounds: file
            .ground
            .iter()
            .map(ground)
            .collect::<anyhow::Result<Vec<_>>>()?,
        gates: file
            .gate
            .iter()
            .map(gate)
            .collect::<anyhow::Result<Vec<_>>>()?,
        locate: file.locate.as_ref().map(locate).transpose()?,
        arrival: day(&file.job.arrival).context("job.arrival")?,
        marks: file
            .utility
            .iter()
            .map(|utility| marked_utility(utility, assumed))
            .chain(file.obstacle.iter().map(obstacle))
            .collect(),
        squares: file
            .square
            .iter()
            .map(|square| {
                Ok(SquareReading {
                    corner: square.corner.clone(),
                    legs: (square.legs.0[0].0, square.legs.0[1].0),
                    diagonal: square.diagonal.0,
                    design: Angle::from_degrees(square.angle_deg)
                        .with_context(|| format!("square check at {}", square.corner))?,
                    run: square.run.map(|run| run.0),
                })
            })
            .collect::<anyhow::Result<Vec<_>>>()?,
        limits: Limits {
            height: file.limits.height.map(|height| height.0),
            inside: file.limits.inside.map(|inside| inside.0),
            concrete_over_line_accepted: file.limits.concrete_over_line_accepted,
        },
    })
}

fn length_or(field: Option<LengthField>, default: Length) -> Length {
    field.map_or(default, |field| field.0)
}

fn tape(table: &TapeTable) -> anyhow::Result<TapeModel> {
    let mut tape = TapeModel::default();
    if let Some(reading) = table.reading {
        tape.reading = Sigma::of_length(reading.0);
    }
    match table.scale {
        Some(n) => tape.with_scale_one_in(n).context("tape.scale"),
        None => Ok(tape),
    }
}

fn turn(hand: Hand) -> Turn {
    match hand {
        Hand::Left => Turn::Left,
        Hand::Right => Turn::Right,
    }
}

fn which_end(end: EndField) -> WhichEnd {
    match end {
        EndField::Start => WhichEnd::Start,
        EndField::End => WhichEnd::End,
    }
}

fn spot(place: &PlaceField) -> Spot {
    match place {
        PlaceField::Named(name) => Spot::Named(name.clone()),
        PlaceField::At(point) => Spot::At(*point),
        PlaceField::Toward(place) => Spot::Toward {
            from: place.from.clone(),
            toward: place.toward.clone(),
            by: place.by.0,
        },
    }
}

fn stretch(Two(pair): &Two<LengthField>) -> Stretch {
    Stretch {
        from: pair[0].0.forward(),
        to: pair[1].0.forward(),
    }
}

/// How a place was measured: exactly one way must be given.
fn measured(table: &PlaceTable) -> anyhow::Result<MeasuredPlace> {
    let by = match (&table.at, &table.tape, &table.tapes) {
        (Some(Two([north, east])), None, None) => Measurement::Given {
            at: Point::new(*north, *east).with_context(|| table.name.clone())?,
            sigma: table
                .sigma
                .map_or(Sigma::UNKNOWN, |sigma| Sigma::of_length(sigma.0)),
        },
        (None, Some(tape), None) => Measurement::Along {
            from: tape.from.clone(),
            reading: tape.reads.0,
            toward: tape.toward.0,
        },
        (None, None, Some(Two([first, second]))) => Measurement::Tapes {
            first: (first.from.clone(), first.reads.0),
            second: (second.from.clone(), second.reads.0),
            hand: turn(table.side.with_context(|| {
                format!(
                    "{:?} is taped from {} and {}, which leaves two places: say side = \"left\" or \"right\" of the way from {0} to {1}",
                    table.name, first.from, second.from
                )
            })?),
        },
        _ => bail!(
            "{:?} must be measured in exactly one way: at = [north, east], or tape = {{ from, reads, toward }}, or tapes = [{{ from, reads }}, {{ from, reads }}]",
            table.name
        ),
    };
    Ok(MeasuredPlace {
        name: table.name.clone(),
        by,
    })
}

fn outline(table: &OutlineTable) -> Outline {
    Outline {
        name: table.name.clone(),
        corners: table.corners.iter().map(spot).collect(),
    }
}

/// The record of a pin. Its place is the survey's.
fn pin(table: &PlaceTable) -> Pin {
    Pin {
        kind: table.kind.clone(),
        cap: table.cap.clone(),
        disturbed: Some(table.disturbed),
        accepted_by: table.accepted_by.clone(),
        ..Pin::new(table.name.clone(), Point::ORIGIN, Sigma::UNKNOWN)
    }
}

fn lattice(step: Option<LengthField>) -> anyhow::Result<Lattice> {
    match step {
        None => Ok(Lattice::SIXTEENTH_INCH),
        Some(step) => Lattice::from_step(step.0).context("product.lattice"),
    }
}

fn product(
    table: &ProductTable,
    on_slope: bool,
    assumed: &mut Vec<String>,
) -> anyhow::Result<Product> {
    let line = post(&table.line_post);
    let or_line = |table: Option<PostTable>| table.as_ref().map_or(line, post);
    Ok(Product {
        name: table.name.clone(),
        build: match table.build {
            BuildField::Panels => Build::Panels,
            BuildField::PanelsOnFace => Build::PanelsOnFace,
            BuildField::Stick => Build::Stick,
            BuildField::Fabric => Build::Fabric,
        },
        full: table.full.0,
        min_cut: table.min_cut.0,
        height: table.height.0,
        outstand: table.outstand.0,
        posts: Posts {
            line,
            end: or_line(table.end_post),
            corner: or_line(table.corner_post),
            other_corner: table.other_corner_post.as_ref().map(post),
            tee: table.tee_post.as_ref().map(post),
            gate: or_line(table.gate_post),
            latch: table.latch_post.as_ref().map(post),
            pull: table.pull_post.as_ref().map(post),
            step: or_line(table.step_post),
        },
        cutting: table
            .cutting
            .map_or_else(Cutting::default, |cutting| Cutting {
                bracket: cutting.bracket.0,
                kerf: cutting.kerf.0,
                factory_end: cutting.factory_end,
                reuse: cutting.reuse,
                step: cutting.step.map(|step| step.0),
            }),
        gate_openings: table
            .gate_openings
            .iter()
            .map(|opening| opening.0)
            .collect(),
        concrete: table.concrete.map(|concrete| Concrete {
            yield_cubic_feet: concrete.bag_cu_ft,
            spare: concrete.spare,
        }),
        parts: table
            .parts
            .iter()
            .map(|part| Part {
                name: part.name.clone(),
                per: match part.per {
                    PerField::Post => Per::Post,
                    PerField::Section => Per::Section,
                    PerField::Gate => Per::Gate,
                    PerField::Leaf => Per::Leaf,
                    PerField::Foot => Per::Foot,
                },
                count: part.count,
                pack: part.pack,
            })
            .collect(),
        slope: if on_slope {
            slope(table.slope.as_ref(), assumed)
        } else {
            SlopeLimits::default()
        },
        most_turn: table.most_turn_deg.map(most_turn).transpose()?,
        pull_every: table.pull_every.map(|length| length.0),
    })
}

fn most_turn(degrees: f64) -> anyhow::Result<Angle> {
    if !(degrees > 0.0 && degrees < 180.0) {
        bail!(
            "product: most_turn_deg is {degrees}: give how far the fence may turn at a post, more than 0 and less than 180 degrees"
        );
    }
    Ok(Angle::from_degrees(degrees)?)
}

/// How the product follows a slope; what is assumed is said where a run has one.
pub(crate) fn slope(table: Option<&SlopeTable>, assumed: &mut Vec<String>) -> SlopeLimits {
    let table = table.cloned().unwrap_or_default();
    let usual = SlopeLimits::default();
    if table.rack.is_none() {
        assumed.push(
            "sections do not rack, because the product does not say how far they do".to_owned(),
        );
    }
    let mut gap = |field: Option<LengthField>, default: Length, which: &str| {
        if field.is_none() {
            assumed.push(format!(
                "{which} gap under a section {}, because the product does not say",
                default.to_text(LengthStyle::CREW)
            ));
        }
        length_or(field, default)
    };
    SlopeLimits {
        rack: table.rack.map_or(usual.rack, |rack| rack.0),
        least_gap: gap(table.least_gap, usual.least_gap, "least"),
        most_gap: gap(table.most_gap, usual.most_gap, "greatest"),
        post_above: table.post_above.0,
        post_lengths: table.post_lengths.iter().map(|length| length.0).collect(),
    }
}

fn ground(table: &GroundTable) -> anyhow::Result<GroundPlan> {
    let readings = ground_readings(table).with_context(|| format!("ground of {:?}", table.run))?;
    Ok(GroundPlan {
        run: table.run.clone(),
        readings,
        taped_along_ground: table.along_ground,
    })
}

/// Places and heights; rods hang below the line of sight.
fn ground_readings(table: &GroundTable) -> anyhow::Result<Vec<(GroundStation, Shift)>> {
    let bench_mark = table.bench_mark.map_or(Shift::ZERO, |mark| mark.0);
    let sight = height_of_instrument(bench_mark, length_or(table.backsight, Length::ZERO));
    (table.readings.iter().enumerate())
        .map(|(i, row)| match (row.height, row.rod) {
            (Some(height), None) => Ok((row.at.0, height.0)),
            (None, Some(rod)) => Ok((row.at.0, sight - rod.0.forward())),
            _ => bail!("reading {}: give exactly one of height and rod", i + 1),
        })
        .collect()
}

fn post(table: &PostTable) -> Post {
    Post {
        width: table.width.0,
        shape: if table.round {
            Shape::Round
        } else {
            Shape::Square
        },
        hole: table.hole.0,
        depth: table.depth.0,
    }
}

fn route(table: &RouteTable) -> anyhow::Result<RoutePlan> {
    let stops = table
        .stops
        .iter()
        .enumerate()
        .map(|(i, stop)| {
            let number = i + 1;
            let plan = stop_plan(stop, number)
                .with_context(|| format!("route {:?}, stop {number}", table.name))?;
            let run = stop
                .run
                .clone()
                .unwrap_or_else(|| format!("{} {number}", table.name));
            Ok((plan, run))
        })
        .collect::<anyhow::Result<Vec<_>>>()?;
    Ok(RoutePlan {
        name: table.name.clone(),
        stops,
        closed: table.closed,
        yard: table.yard.map(turn),
    })
}

/// A stop: exactly one kind must be given, with the fields that go with it.
fn stop_plan(stop: &StopTable, number: usize) -> anyhow::Result<StopPlan> {
    let name = || {
        stop.name
            .clone()
            .unwrap_or_else(|| format!("stop {number}"))
    };
    let side = || {
        stop.side
            .clone()
            .context("side is missing: name the side of the lot, such as \"A-B\"")
    };
    let kinds = [
        stop.corner.is_some(),
        stop.along.is_some(),
        stop.square.is_some(),
        stop.prolong.is_some(),
        stop.wall.is_some(),
        stop.fence.is_some(),
        stop.tee.is_some(),
        stop.free.is_some(),
    ];
    if kinds.into_iter().filter(|given| *given).count() != 1 {
        bail!("a stop is exactly one of corner, along, square, prolong, wall, fence, tee and free");
    }
    Ok(if let Some(corner) = &stop.corner {
        StopPlan::Corner {
            corner: corner.clone(),
        }
    } else if let Some(distance) = stop.along {
        StopPlan::OnSide {
            name: name(),
            side: side()?,
            from: stop
                .from
                .clone()
                .context("from is missing: name the corner whose flag `along` counts from")?,
            distance: distance.0,
        }
    } else if let Some(at) = &stop.square {
        let Two([first, second]) = stop
            .off
            .as_ref()
            .context("off is missing: name two places on the wall to square off")?;
        StopPlan::Squared {
            name: name(),
            wall: (spot(first), spot(second)),
            at: spot(at),
            side: side()?,
        }
    } else if let Some(Two([first, second])) = &stop.prolong {
        StopPlan::Prolonged {
            name: name(),
            wall: (spot(first), spot(second)),
            side: side()?,
        }
    } else if let Some(at) = &stop.wall {
        stop_at_face(stop, at, "wall", number)?
    } else if let Some(at) = &stop.fence {
        stop_at_face(stop, at, "fence", number)?
    } else if let Some(flag) = &stop.tee {
        StopPlan::Tee { flag: flag.clone() }
    } else {
        let at = stop.free.as_ref().context("free is missing")?;
        StopPlan::Free {
            name: name(),
            at: spot(at),
        }
    })
}

/// The end of a fence at the face of a wall or of another fence.
fn stop_at_face(
    stop: &StopTable,
    at: &PlaceField,
    what: &str,
    number: usize,
) -> anyhow::Result<StopPlan> {
    let Two([least, most]) = stop.gap.unwrap_or_default();
    Ok(StopPlan::Wall {
        name: stop.name.clone().unwrap_or_else(|| match at {
            PlaceField::Named(place) => format!("{what} at {place}"),
            PlaceField::Toward(place) => {
                let by = place.by.0.to_text(LengthStyle::CREW);
                format!("{what} {by} from {} toward {}", place.from, place.toward)
            }
            PlaceField::At(_) => format!("{what} at stop {number}"),
        }),
        at: spot(at),
        gap: Gap::new(least.0, most.0)?,
        bracketed: stop.bracketed,
    })
}

fn gate(table: &GateTable) -> anyhow::Result<GatePlan> {
    if !(1..=2).contains(&table.leaves) {
        bail!(
            "gate {:?}: leaves is {}, but a gate has 1 or 2",
            table.name,
            table.leaves
        );
    }
    Ok(GatePlan {
        name: table.name.clone(),
        run: table.run.clone(),
        opening: table.opening.0,
        wish: table.wish.0.forward(),
        from: table.from.map(|from| from.0.forward()),
        to: table.to.map(|to| to.0.forward()),
        leaves: table.leaves,
        hinge: which_end(table.hinge),
        swings_in: table.swing == SwingField::In,
    })
}

fn locate(table: &LocateTable) -> anyhow::Result<Locate> {
    let day = |text: &Option<String>, field: &'static str| {
        text.as_deref().map(Day::new).transpose().context(field)
    };
    Ok(Locate {
        ticket: table.ticket.clone(),
        good_from: day(&table.good_from, "locate.good_from")?,
        good_until: day(&table.good_until, "locate.good_until")?,
        owners: table
            .owners
            .iter()
            .map(|owner| {
                let answer = match owner.answer {
                    AnswerField::Marked => OwnerAnswer::Marked,
                    AnswerField::Away => OwnerAnswer::Away,
                    AnswerField::Clear => OwnerAnswer::Clear,
                    AnswerField::None => OwnerAnswer::NoAnswer,
                };
                (owner.name.clone(), answer)
            })
            .collect(),
        private_lines: table.private_lines.clone(),
    })
}

fn marked_utility(table: &UtilityTable, assumed: &mut Vec<String>) -> Mark {
    if table.zone.is_none() {
        assumed.push(format!(
            "{}: tolerance zone 24 in, because the job gives none; it is 18 or 24 in in most states, so ask the one-call center",
            table.name
        ));
    }
    Mark {
        name: table.name.clone(),
        path: table.path.iter().map(spot).collect(),
        width: table.width.0,
        sigma: Sigma::of_length(table.sigma.0),
        clearance: table.clearance.0,
        zone: Some(length_or(table.zone, standards::TOLERANCE_ZONE)),
        owner: table
            .owner
            .clone()
            .or_else(|| table.kind.owner().map(str::to_owned)),
    }
}

fn obstacle(table: &ObstacleTable) -> Mark {
    Mark {
        name: table.name.clone(),
        path: table.path.iter().map(spot).collect(),
        width: table.width.0,
        sigma: Sigma::ZERO,
        clearance: table.clearance.0,
        zone: None,
        owner: None,
    }
}
