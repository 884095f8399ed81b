//! `fence deed`.

use std::io::Write;
use std::path::{Path, PathBuf};

use fence_geom::{
    Balanced, Corner, Course, Curve, Description, Length, REFERENCE_CLOSURES, Reading, Slip,
    SlipSearch, StatedCall, StatedCourse, StatedDirection,
};

use crate::Exit;
use crate::contract::deed::{
    BalancedCourseRow, BalancedRow, ClosureRow, CornerRow, CourseRow, CurveRow, DeedAnswer,
    DeedRequest, PlaceRow, ReferenceRow, SlipRow, SlipSearchRow, TractRow, UnreadRow, bearing_text,
};
use crate::deed_file::{assumed_of, paper_of, read_paper};
use crate::deed_picture::picture;
use crate::deed_text::{
    call_bearing, curve_of, given_bearing, hand, plain, print_tract, remarks, tract_name,
    write_folded,
};
use crate::deed_work::{Outcome, RuleField, TractWork, Whole, Wish, work_out_tracts};
use crate::gis_ring::{MapGround, MapUnit};
use crate::line_fault::show_fault;
use crate::output_file::write_whole;
use crate::typed;

const CAUTIONS: [&str; 2] = [
    "A deed computed is not a boundary survey: only a licensed surveyor can say where the line is.",
    "Never build on an unresolved discrepancy; balancing hides a misclosure, it does not explain it.",
];

/// Run the calls of a deed out to corners: closure, area, what may be wrong
///
/// FILE is a land description as the deed has it, or a table with one call a
/// line, spelled as in the deed or without shell quotes:
///
///   begin: A at N 1000 E 2000     (or begin: A; else where the last call ends)
///   unit: chains                  (of bare numbers; default feet)
///   foot: us-survey               (or international, the default)
///   area: 0.25 acres              (what the paper states; optional)
///   N45-30-15E 104.37ft to B
///   thence South 44 deg 29 min 45 sec East, a distance of 60.00 feet to an iron pin
///   C-D: S 45°30'15" W 104.37'    # a comment
///   az 314-29-45, 60.00 to the point of beginning
///
/// It may be a map too, one polygon in GeoJSON or well-known text, with --map-unit
/// or --datum; its courses are computed and nothing checks them.
///
/// Corners and area are raw; the balanced ones stand beside them. Figures that the paper lacks are solved from closure where that is
/// possible, and marked. Where a tract misses by more than rounding explains, the
/// single slips that would close it are listed. What can't be read is shown, and
/// then there is no closure. Exit 0: every tract closes; 1: one does not, or a call
/// could not be read; 2: refused.
///
/// A deed computed is not a boundary survey: only a licensed surveyor can say
/// where the line is.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct DeedArgs {
    /// The deed, or - for standard input
    file: PathBuf,
    /// Print the answer as JSON
    #[arg(long)]
    json: bool,
    /// Also write the raw corners to a CSV file, `name,north_ft,east_ft`, or the picture
    /// of the tract to an SVG file; may be given for each
    #[arg(short, long, value_name = "CSV|SVG")]
    output: Vec<PathBuf>,
    /// The tract that is written to files, from one
    #[arg(long, value_name = "N", default_value_t = 1)]
    tract: usize,
    /// How much a tract may miss by [default: what rounding explains]
    #[arg(long, value_name = "LENGTH", value_parser = typed::length)]
    tolerance: Option<Reading<Length>>,
    /// Which answer to take where missing figures have several
    #[arg(long, value_name = "N")]
    answer: Option<usize>,
    /// How the misclosure is shared out in the balanced corners
    #[arg(long, value_name = "RULE", default_value = "compass")]
    balance: RuleField,
    /// The datum of a map in longitude and latitude: NAD83, NAD83(2011) or WGS84
    #[arg(long, value_name = "NAME")]
    datum: Option<String>,
    /// The unit of a map in a plane, such as state plane
    #[arg(long, value_name = "UNIT")]
    map_unit: Option<MapUnit>,
}

/// What the library makes of the paper.
struct Answer {
    description: Description,
    tracts: Vec<TractWork>,
    assumed: Vec<String>,
}

/// What a file is written as.
enum Written {
    Corners,
    Picture,
}

pub(crate) fn deed(args: &DeedArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let outputs = outputs(&args.output)?;
    let ground = MapGround {
        datum: args.datum.as_deref(),
        unit: args.map_unit,
    };
    let wish = Wish {
        tolerance: args.tolerance.as_ref().map(|tolerance| tolerance.value),
        answer: args.answer,
        rule: args.balance,
    };
    let mut answer = Answer::of(read_paper(&args.file, ground)?, wish)?;
    if let Some(tolerance) = &args.tolerance {
        answer.assumed.extend(tolerance.assumed.iter().cloned());
    }
    let written = answer.write_files(&outputs, args.tract)?;
    if args.json {
        serde_json::to_writer_pretty(&mut *out, &answer.contract()?)?;
        writeln!(out)?;
    } else {
        answer.print(&args.file, out)?;
        for (path, _) in outputs.iter().filter(|_| !written) {
            writeln!(
                out,
                "{} is not written: the tract is not whole.",
                path.display()
            )?;
        }
    }
    Ok(answer.exit())
}

/// The answer to calls that are at hand as text.
pub(crate) fn deed_answer(request: &DeedRequest) -> anyhow::Result<(DeedAnswer, Exit)> {
    let wish = Wish {
        tolerance: request.tolerance.as_ref().map(|tolerance| tolerance.0),
        answer: request.answer,
        rule: request.balance,
    };
    let paper = paper_of(Path::new("calls"), &request.calls, MapGround::default())?;
    let answer = Answer::of(paper, wish)?;
    Ok((answer.contract()?, answer.exit()))
}

fn outputs(paths: &[PathBuf]) -> anyhow::Result<Vec<(&Path, Written)>> {
    let kind = |path: &Path| {
        let ending = path.extension()?.to_str()?.to_ascii_lowercase();
        match ending.as_str() {
            "csv" => Some(Written::Corners),
            "svg" => Some(Written::Picture),
            _ => None,
        }
    };
    paths
        .iter()
        .map(|path| {
            let kind = kind(path).ok_or_else(|| {
                anyhow::anyhow!(
                    "{}: corners are written as CSV and the picture as SVG, so give a name that ends \
                     in .csv or .svg",
                    path.display()
                )
            })?;
            Ok((path.as_path(), kind))
        })
        .collect()
}

fn corners_csv(corners: &[Corner]) -> anyhow::Result<Vec<u8>> {
    let mut rows = csv::Writer::from_writer(Vec::new());
    rows.write_record(["name", "north_ft", "east_ft"])?;
    for corner in corners {
        let north = format!("{:.6}", plain(corner.at.north(), 6));
        let east = format!("{:.6}", plain(corner.at.east(), 6));
        rows.write_record([corner.name.as_str(), &north, &east])?;
    }
    Ok(rows.into_inner()?)
}

impl Answer {
    fn of(description: Description, wish: Wish) -> anyhow::Result<Self> {
        Ok(Self {
            tracts: work_out_tracts(&description, wish)?,
            assumed: assumed_of(&description),
            description,
        })
    }

    fn exit(&self) -> Exit {
        let is_good = self.description.unread.is_empty()
            && !self.tracts.is_empty()
            && self.tracts.iter().all(TractWork::is_good);
        if is_good {
            Exit::Done
        } else {
            Exit::AnswerIsNo
        }
    }

    /// Writes the files, and says whether there was anything whole to write.
    fn write_files(&self, outputs: &[(&Path, Written)], number: usize) -> anyhow::Result<bool> {
        if outputs.is_empty() {
            return Ok(true);
        }
        let work = number.checked_sub(1).and_then(|i| self.tracts.get(i));
        let Some(work) = work else {
            anyhow::bail!(
                "there is no tract {number}: the deed has {}",
                self.tracts.len()
            );
        };
        let Some(whole) = work.whole() else {
            return Ok(false);
        };
        for (path, kind) in outputs {
            let bytes = match kind {
                Written::Corners => corners_csv(work.corners())?,
                Written::Picture => {
                    picture(&tract_name(work, number), whole, &CAUTIONS).into_bytes()
                }
            };
            write_whole(path, &bytes)?;
        }
        Ok(true)
    }

    fn contract(&self) -> anyhow::Result<DeedAnswer> {
        // Where no call could be read, an empty tract stands with what is unread.
        let unread = TractWork::without_calls();
        let nothing = self.tracts.is_empty() && !self.description.unread.is_empty();
        let tracts = self.tracts.iter().chain(nothing.then_some(&unread));
        let mut rows = tracts.map(tract_row);
        let Some(tract) = rows.next() else {
            anyhow::bail!("there is no tract in it");
        };
        Ok(DeedAnswer {
            tract,
            other_tracts: rows.collect(),
            unread: self.unread_rows(),
            assumed: self.assumed.clone(),
            notes: self.notes(),
            reference_closures: REFERENCE_CLOSURES
                .iter()
                .map(|reference| ReferenceRow {
                    ratio: reference.ratio,
                    applies_to: reference.applies_to,
                    source: reference.source,
                })
                .collect(),
            cautions: CAUTIONS.map(ToOwned::to_owned).to_vec(),
        })
    }

    fn unread_rows(&self) -> Vec<UnreadRow> {
        self.description
            .unread
            .iter()
            .map(|unread| UnreadRow {
                line: unread.fault.line,
                words: unread.fault.words.clone(),
                problem: unread.fault.problem.clone(),
                accepted: unread.fault.accepted.clone(),
            })
            .collect()
    }

    fn notes(&self) -> Vec<String> {
        let notes = self.description.notes.iter();
        notes
            .map(|note| format!("line {}: {}", note.line, note.sentence))
            .collect()
    }

    fn print(&self, file: &Path, out: &mut dyn Write) -> anyhow::Result<()> {
        for unread in &self.description.unread {
            writeln!(out, "{}\n", show_fault(file, &unread.fault))?;
        }
        for (work, number) in self.tracts.iter().zip(1..) {
            if self.tracts.len() > 1 || work.stated.name.is_some() {
                let taken_out = if work.stated.is_exception {
                    " (taken out of the tract before)"
                } else {
                    ""
                };
                writeln!(out, "{}{taken_out}\n", tract_name(work, number))?;
            }
            print_tract(work, out)?;
            writeln!(out)?;
        }
        if !self.description.unread.is_empty() {
            writeln!(
                out,
                "No closure and no area: {} could not be read, and no other verb takes this file.",
                calls_in_words(self.description.unread.len())
            )?;
        }
        for sentence in &self.assumed {
            write_folded("Assumed: ", sentence, out)?;
        }
        for note in self.notes() {
            write_folded("Not a call: ", &note, out)?;
        }
        for caution in CAUTIONS {
            writeln!(out, "{caution}")?;
        }
        Ok(())
    }
}

fn tract_row(work: &TractWork) -> TractRow {
    let whole = work.whole();
    let area = whole.and_then(|whole| whole.area(work));
    let stated = work.stated.stated_area;
    let search = whole.and_then(|whole| Some((whole.search.as_ref()?.as_ref().ok()?, whole.limit)));
    TractRow {
        name: work.stated.name.clone(),
        is_exception: work.stated.is_exception,
        strip_width_ft: work.stated.strip_width.map(Length::feet),
        courses: course_rows(work),
        corners: work.corners().iter().map(corner_row).collect(),
        end: whole.map(|whole| PlaceRow::of(whole.traverse.end())),
        closure: whole.and_then(Whole::closure).map(ClosureRow::of),
        closed_by_construction: whole
            .is_some_and(|whole| whole.comes_back && whole.closure().is_none()),
        answers: whole.map_or(0, |whole| whole.answers.len()),
        answer: whole.map_or(0, |whole| whole.chosen + 1),
        problem: match &work.outcome {
            Outcome::Gap(gap) => gap.problem.clone(),
            Outcome::Whole(_) => None,
        },
        area_sq_ft: area.map(|area| area.square_feet()),
        area_acres: area.map(|area| area.acres()),
        area_hectares: area.map(|area| area.hectares()),
        stated_area_sq_ft: stated.map(|area| area.square_feet()),
        stated_area_acres: stated.map(|area| area.acres()),
        ring_problem: whole.and_then(|whole| whole.ring_problem.clone()),
        area_agrees: whole.and_then(|whole| Some(whole.area_check(work)?.agrees)),
        balanced: whole.and_then(|whole| Some(balanced_row(whole.balanced.as_ref()?, whole.rule))),
        slips: search.map_or_else(Vec::new, |(search, _)| {
            let slips = search.slips.iter();
            slips
                .map(|slip| slip_row(slip, &work.stated.calls))
                .collect()
        }),
        slip_search: search.map(|(search, limit)| search_row(search, limit)),
        remarks: remarks(work),
    }
}

fn course_rows(work: &TractWork) -> Vec<CourseRow> {
    let courses = work.courses();
    let run_out = courses.iter().enumerate().map(|(i, course)| {
        let curve = work.whole().and_then(|whole| curve_of(whole, i));
        course_row(course, curve)
    });
    // Where a tract is whole a last call without a course may have been left out.
    let calls = work.stated.calls.iter().skip(courses.len());
    let others = calls.filter(|_| work.whole().is_none()).map(stated_row);
    run_out.chain(others).collect()
}

fn course_row(course: &Course, curve: Option<&Curve>) -> CourseRow {
    let written = course.call.written();
    let azimuth = course.direction().azimuth();
    let solved = course.call.solved();
    CourseRow {
        line: written.map(|written| written.line),
        words: written.map_or_else(String::new, |written| written.words.clone()),
        from: course.from.clone(),
        to: course.to.clone(),
        bearing: Some(call_bearing(&course.call)),
        azimuth_deg: Some(azimuth.degrees()),
        distance_ft: Some(course.distance().feet()),
        latitude_ft: Some(course.latitude().feet()),
        departure_ft: Some(course.departure().feet()),
        bearing_solved: solved.direction,
        distance_solved: solved.distance,
        curve: curve.map(curve_row),
    }
}

fn curve_row(curve: &Curve) -> CurveRow {
    CurveRow {
        turn: hand(curve.turn()),
        radius_ft: curve.radius().feet(),
        delta_deg: curve.delta().degrees(),
        arc_ft: curve.arc().feet(),
        chord_ft: curve.chord().feet(),
        tangent_ft: curve.tangent().map(Length::feet),
    }
}

/// A call that could not be run out, as it is stated.
fn stated_row(call: &StatedCall) -> CourseRow {
    let (direction, distance) = match call.course {
        StatedCourse::Line {
            direction: Some(StatedDirection::Given(direction)),
            distance,
        } => (Some(direction), distance),
        StatedCourse::Line { distance, .. } => (None, distance),
        StatedCourse::Curve(elements) => (elements.chord_direction, elements.chord),
    };
    let written = call.written.as_ref();
    CourseRow {
        line: written.map(|written| written.line),
        words: written.map_or_else(String::new, |written| written.words.clone()),
        from: "?".to_owned(),
        to: call.corner.clone().unwrap_or_else(|| "?".to_owned()),
        bearing: direction.map(|direction| given_bearing(direction, call.rounding)),
        azimuth_deg: direction.map(|direction| direction.azimuth().degrees()),
        distance_ft: distance.map(Length::feet),
        latitude_ft: None,
        departure_ft: None,
        bearing_solved: false,
        distance_solved: false,
        curve: None,
    }
}

fn corner_row(corner: &Corner) -> CornerRow {
    CornerRow {
        name: corner.name.clone(),
        north_ft: corner.at.north(),
        east_ft: corner.at.east(),
    }
}

fn slip_row(slip: &Slip, calls: &[StatedCall]) -> SlipRow {
    let figure = |text: &String| Some(text.clone()).filter(|text| !text.is_empty());
    SlipRow {
        call: slip.call + 1,
        kind: slip.kind.words().to_owned(),
        figure: slip.figure.to_string(),
        before: figure(&slip.before),
        after: figure(&slip.after),
        sentence: slip.sentence(calls),
        misclosure_ft: slip.remaining.feet(),
        closes: slip.closes,
        area_sq_ft: slip.area.square_feet(),
        area_acres: slip.area.acres(),
        area_agrees: slip.area_agrees,
    }
}

fn search_row(search: &SlipSearch, limit: Length) -> SlipSearchRow {
    let (azimuth, distance) = search.closing_course;
    SlipSearchRow {
        tried: search.tried,
        closing: search.closing,
        closing_by_chance: search.by_chance,
        limit_ft: limit.feet(),
        closing_course_bearing: bearing_text(azimuth),
        closing_course_distance_ft: distance.feet(),
    }
}

fn balanced_row(balanced: &Balanced, rule: RuleField) -> BalancedRow {
    BalancedRow {
        rule,
        courses: balanced
            .courses
            .iter()
            .map(|course| BalancedCourseRow {
                latitude_correction_ft: course.correction.north(),
                departure_correction_ft: course.correction.east(),
                latitude_ft: course.way.north(),
                departure_ft: course.way.east(),
                bearing: bearing_text(course.azimuth()),
                azimuth_deg: course.azimuth().degrees(),
                distance_ft: course.distance().feet(),
                distance_residual_ft: course.distance_residual.feet(),
                bearing_residual_deg: course.direction_residual.degrees(),
            })
            .collect(),
        corners: balanced.corners.iter().map(corner_row).collect(),
        area_sq_ft: balanced.area.square_feet(),
        area_acres: balanced.area.acres(),
    }
}

fn calls_in_words(count: usize) -> String {
    if count == 1 {
        "1 call".to_owned()
    } else {
        format!("{count} calls")
    }
}
