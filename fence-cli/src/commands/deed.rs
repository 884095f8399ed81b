//! `fence deed`.

use std::io::Write;
use std::path::{Path, PathBuf};

use fence_geom::{
    AngleStyle, BalanceRule, Balanced, CallTable, Closure, Corner, Course, Direction, LengthStyle,
    REFERENCE_CLOSURES, Traverse, balance, courses_read, traverse,
};

use crate::Exit;
use crate::contract::deed::{
    BalancedCourseRow, BalancedRow, ClosureRow, CornerRow, CourseRow, DeedAnswer, DeedRequest,
    PlaceRow, ReferenceRow, UnreadRow, bearing_text,
};
use crate::deed_file::{read_table, table_of};
use crate::line_fault::show_fault;
use crate::output_file::write_whole;

const CAUTIONS: [&str; 2] = [
    "A deed computed is not a boundary survey: only a licensed surveyor can say where the line is.",
    "Never build on an unresolved discrepancy; balancing hides a misclosure, it does not explain it.",
];

/// Run the calls of a deed out to corners: closure, area, balanced corners
///
/// FILE has one call a line, spelled as in the deed or without shell quotes:
///
///   begin: A at N 1000 E 2000     (or begin: A; optional)
///   unit: chains                  (of bare numbers; default feet)
///   foot: us-survey               (or international, the default)
///   area: 0.25 acres              (what the paper states; optional)
///   N45-30-15E 104.37ft to B
///   thence South 44 deg 29 min 45 sec East, a distance of 60.00 feet to an iron pin
///   C-D: S 45°30'15" W 104.37'    # a comment
///   az 314-29-45, 60.00 to the point of beginning
///
/// Corners and area are raw; the balanced ones (compass rule) stand beside
/// them. A line that can't be read is shown, and then there is no closure. Exit
/// 0: the calls close within their rounding; 1: they don't, or a line could not
/// be read; 2: refused.
///
/// A deed computed is not a boundary survey: only a licensed surveyor can say
/// where the line is.
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct DeedArgs {
    /// The call table, or - for standard input
    file: PathBuf,
    /// Print the answer as JSON
    #[arg(long)]
    json: bool,
    /// Also write the raw corners to a CSV file: `name,north_ft,east_ft`
    #[arg(short, long, value_name = "CSV")]
    output: Option<PathBuf>,
}

/// What the library makes of the table.
struct Answer {
    table: CallTable,
    courses: Vec<Course>,
    corners: Vec<Corner>,
    /// `None` where a line is unread.
    whole: Option<Whole>,
}

/// What only a whole deed has.
struct Whole {
    traverse: Traverse,
    balanced: Option<Balanced>,
    ring_problem: Option<String>,
}

pub(crate) fn deed(args: &DeedArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    if let Some(path) = &args.output {
        let is_csv = path
            .extension()
            .is_some_and(|e| e.eq_ignore_ascii_case("csv"));
        anyhow::ensure!(
            is_csv,
            "{}: corners are written as CSV, so give a name that ends in .csv",
            path.display()
        );
    }
    let answer = Answer::of(&read_table(&args.file)?)?;
    if let (Some(path), Some(_)) = (&args.output, &answer.whole) {
        write_whole(path, &corners_csv(&answer.corners)?)?;
    }
    if args.json {
        serde_json::to_writer_pretty(&mut *out, &answer.contract())?;
        writeln!(out)?;
    } else {
        answer.print(&args.file, out)?;
        if let (Some(path), None) = (&args.output, &answer.whole) {
            writeln!(out, "{} is not written: a call is unread.", path.display())?;
        }
    }
    Ok(answer.exit())
}

/// The answer to calls that are at hand as text.
pub(crate) fn deed_answer(request: &DeedRequest) -> anyhow::Result<(DeedAnswer, Exit)> {
    let answer = Answer::of(&table_of(Path::new("calls"), &request.calls)?)?;
    Ok((answer.contract(), answer.exit()))
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
    fn of(table: &CallTable) -> anyhow::Result<Self> {
        let (courses, corners) = courses_read(table);
        let mut answer = Self {
            table: table.clone(),
            courses,
            corners,
            whole: None,
        };
        if let Ok(deed) = table.clone().into_deed() {
            let traverse = traverse(&deed);
            answer.courses = traverse.courses().to_vec();
            answer.corners = traverse.corners().to_vec();
            answer.whole = Some(Whole {
                // Only an open traverse can't be balanced, and its closure says so.
                balanced: balance(&traverse, BalanceRule::Compass).ok(),
                ring_problem: traverse.ring().err().map(|error| error.to_string()),
                traverse,
            });
        }
        Ok(answer)
    }

    fn exit(&self) -> Exit {
        match &self.whole {
            Some(whole)
                if whole.traverse.closure().is_within_rounding()
                    && whole.ring_problem.is_none() =>
            {
                Exit::Done
            }
            _ => Exit::AnswerIsNo,
        }
    }

    fn contract(&self) -> DeedAnswer {
        let whole = self.whole.as_ref();
        let area = whole.map(|whole| whole.traverse.area());
        DeedAnswer {
            courses: self.courses.iter().map(course_row).collect(),
            corners: self.corners.iter().map(corner_row).collect(),
            end: whole.map(|whole| PlaceRow::of(whole.traverse.end())),
            closure: whole.map(|whole| ClosureRow::of(whole.traverse.closure())),
            area_sq_ft: area.map(|area| area.square_feet()),
            area_acres: area.map(|area| area.acres()),
            stated_area_sq_ft: self.table.stated_area().map(|area| area.square_feet()),
            stated_area_acres: self.table.stated_area().map(|area| area.acres()),
            ring_problem: whole.and_then(|whole| whole.ring_problem.clone()),
            unread: self.unread_rows(),
            assumed: self.table.assumed().to_vec(),
            balanced: whole.and_then(|whole| whole.balanced.as_ref().map(balanced_row)),
            reference_closures: REFERENCE_CLOSURES
                .iter()
                .map(|reference| ReferenceRow {
                    ratio: reference.ratio,
                    applies_to: reference.applies_to,
                    source: reference.source,
                })
                .collect(),
            cautions: CAUTIONS.map(ToOwned::to_owned).to_vec(),
        }
    }

    fn unread_rows(&self) -> Vec<UnreadRow> {
        self.table
            .unread()
            .iter()
            .map(|fault| UnreadRow {
                line: fault.line,
                words: fault.words.clone(),
                problem: fault.problem.clone(),
                accepted: fault.accepted.clone(),
            })
            .collect()
    }

    fn print(&self, file: &Path, out: &mut dyn Write) -> anyhow::Result<()> {
        self.print_unread(file, out)?;
        self.print_courses(out)?;
        self.print_corners(out)?;
        if let Some(whole) = &self.whole {
            print_closure(whole.traverse.closure(), out)?;
            self.print_area(whole, out)?;
        } else {
            writeln!(
                out,
                "No closure and no area: {} could not be read, and no other verb takes this file.",
                lines_in_words(self.table.unread().len())
            )?;
        }
        for sentence in self.table.assumed() {
            writeln!(out, "Assumed: {sentence}")?;
        }
        writeln!(out)?;
        for caution in CAUTIONS {
            writeln!(out, "{caution}")?;
        }
        Ok(())
    }

    fn print_unread(&self, file: &Path, out: &mut dyn Write) -> anyhow::Result<()> {
        for fault in self.table.unread() {
            writeln!(out, "{}\n", show_fault(file, fault))?;
        }
        Ok(())
    }

    fn print_courses(&self, out: &mut dyn Write) -> anyhow::Result<()> {
        if self.courses.is_empty() {
            return Ok(());
        }
        writeln!(
            out,
            "{:>4}  {:<8}  {:<8}  {:<15}  {:>27}  {:>12}  {:>12}",
            "line", "from", "to", "bearing", "distance", "latitude ft", "departure ft"
        )?;
        for course in &self.courses {
            let line = course.call.written().map_or(0, |written| written.line);
            writeln!(
                out,
                "{line:>4}  {:<8}  {:<8}  {:<15}  {:>27}  {:>12.3}  {:>12.3}",
                shortened(&course.from),
                shortened(&course.to),
                call_bearing(course.direction()),
                course.distance().to_text(LengthStyle::RECORD),
                plain(course.latitude().feet(), 3),
                plain(course.departure().feet(), 3),
            )?;
        }
        writeln!(out)?;
        Ok(())
    }

    fn print_corners(&self, out: &mut dyn Write) -> anyhow::Result<()> {
        let balanced = self
            .whole
            .as_ref()
            .and_then(|whole| whole.balanced.as_ref());
        write!(out, "{:<12} {:>16} {:>16}", "corner", "north ft", "east ft")?;
        if balanced.is_some() {
            write!(out, "    balanced by the compass rule (computed)")?;
        }
        writeln!(out)?;
        for (i, corner) in self.corners.iter().enumerate() {
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

    fn print_area(&self, whole: &Whole, out: &mut dyn Write) -> anyhow::Result<()> {
        let area = whole.traverse.area();
        writeln!(
            out,
            "Area {:.1} sq ft, {:.4} acres",
            area.square_feet(),
            area.acres()
        )?;
        if let Some(stated) = self.table.stated_area() {
            writeln!(
                out,
                "Stated {:.1} sq ft, {:.4} acres",
                stated.square_feet(),
                stated.acres()
            )?;
        }
        if let Some(problem) = &whole.ring_problem {
            writeln!(out, "The corners enclose no lot: {problem}")?;
        }
        Ok(())
    }
}

fn print_closure(closure: Closure, out: &mut dyn Write) -> anyhow::Result<()> {
    let perimeter = closure.perimeter().feet();
    match (closure.direction(), closure.ratio()) {
        (Some(direction), Some(ratio)) => writeln!(
            out,
            "Misclosure {:.3} ft toward {}: 1:{ratio:.0} of {perimeter:.2} ft around",
            closure.misclosure().feet(),
            bearing_text(direction),
        )?,
        _ => writeln!(
            out,
            "Misclosure none: the calls close exactly, {perimeter:.2} ft around"
        )?,
    }
    let verdict = if closure.is_within_rounding() {
        "The deed closes: rounding of its figures alone explains up to"
    } else {
        "The deed DOES NOT CLOSE: rounding of its figures explains only up to"
    };
    writeln!(out, "{verdict} {:.3} ft (95 %)", closure.allowed().feet())?;
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

fn course_row(course: &Course) -> CourseRow {
    let written = course.call.written();
    let azimuth = course.direction().azimuth();
    CourseRow {
        line: written.map(|written| written.line),
        words: written.map_or_else(String::new, |written| written.words.clone()),
        from: course.from.clone(),
        to: course.to.clone(),
        bearing: call_bearing(course.direction()),
        azimuth_deg: azimuth.degrees(),
        distance_ft: course.distance().feet(),
        latitude_ft: course.latitude().feet(),
        departure_ft: course.departure().feet(),
    }
}

fn corner_row(corner: &Corner) -> CornerRow {
    CornerRow {
        name: corner.name.clone(),
        north_ft: corner.at.north(),
        east_ft: corner.at.east(),
    }
}

fn balanced_row(balanced: &Balanced) -> BalancedRow {
    BalancedRow {
        rule: "compass",
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
            })
            .collect(),
        corners: balanced.corners.iter().map(corner_row).collect(),
        area_sq_ft: balanced.area.square_feet(),
        area_acres: balanced.area.acres(),
    }
}

/// The direction of a call as a bearing: the letters of the paper are kept.
fn call_bearing(direction: Direction) -> String {
    match direction {
        Direction::Bearing(bearing) => bearing.to_text(AngleStyle::SECONDS),
        Direction::Azimuth(azimuth) => bearing_text(azimuth),
    }
}

/// The number, or a plain zero where it would print as a negative one.
fn plain(value: f64, decimals: i32) -> f64 {
    if value.abs() < 0.5 * 0.1_f64.powi(decimals) {
        0.0
    } else {
        value
    }
}

fn shortened(name: &str) -> String {
    name.chars().take(8).collect()
}

fn lines_in_words(count: usize) -> String {
    if count == 1 {
        "1 line".to_owned()
    } else {
        format!("{count} lines")
    }
}
