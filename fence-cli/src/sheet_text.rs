//! The crew sheet as text, for a crew that has three minutes.

use std::fmt::Write;

use fence_geom::{
    AngleStyle, ArcReport, Fill, FlagReport, InchFraction, JobReport, Length, LengthStyle, Offset,
    PostKind, PostReport, RunReport, SectionReport, Shift, Side, Sigma, Standing, Turn, TwoTapes,
    Verdict, Way,
};

use crate::finding_words::{CAUTIONS, crew, finding, lost_words, no_dig, rough_words, trade_words};
use crate::folding::folded;
use crate::ground_words::{ground_lines, tape_words};
use crate::job_file::{AnswerField, BuildField, FinishedSide, JobFile};
use crate::takeoff_list::uncounted_runs;

/// Returns the whole sheet.
pub(crate) fn sheet_text(file: &JobFile, report: &JobReport, assumed: &[String]) -> String {
    let mut sheet = Sheet {
        text: String::new(),
    };
    sheet.head(file, report);
    sheet.findings(report);
    sheet.lot(file, report);
    sheet.flags(report);
    sheet.turns(report);
    for run in &report.runs {
        sheet.run(file, run);
    }
    sheet.choices(report);
    sheet.squares(report);
    sheet.material(file, report);
    sheet.bullets("CAUTIONS", CAUTIONS.map(str::to_owned));
    sheet.bullets("ASSUMED", assumed.iter().cloned());
    sheet.bullets(
        "WALK-THROUGH, TO READ ALOUD WHILE FILMING",
        walk(file, report),
    );
    sheet.text
}

struct Sheet {
    text: String,
}

impl Sheet {
    /// Writes one line. A string can't refuse what is written to it.
    fn line(&mut self, line: impl std::fmt::Display) {
        let line = line.to_string();
        let _ = writeln!(self.text, "{}", line.trim_end());
    }

    fn title(&mut self, title: &str) {
        self.line("");
        self.line(title);
    }

    /// Writes text folded to the width, with an indent after the first line.
    fn folded(&mut self, first: &str, text: &str) {
        for line in folded(first, text) {
            self.line(line);
        }
    }

    fn bullets(&mut self, title: &str, texts: impl IntoIterator<Item = String>) {
        let mut texts = texts.into_iter().peekable();
        if texts.peek().is_none() {
            return;
        }
        self.title(title);
        for text in texts {
            self.folded("  - ", &text);
        }
    }

    fn head(&mut self, file: &JobFile, report: &JobReport) {
        if !report.no_dig.is_empty() {
            self.line("DO NOT DIG");
            for reason in &report.no_dig {
                self.folded("  - ", &no_dig(reason));
            }
            self.line("");
        }
        let job = &file.job;
        self.line(job.name.to_uppercase());
        self.folded("", &job.site);
        let arrival = job.arrival.as_deref().unwrap_or("not set");
        self.line(format!("crew comes  {arrival}"));
        if let Some(note) = &job.crew_note {
            self.folded("note        ", note);
        }
        let finished = match job.finished_side {
            Some(FinishedSide::Out) => "; finished side toward the neighbor",
            Some(FinishedSide::In) => "; finished side toward the yard",
            None => "; finished side not said, ask",
        };
        self.folded(
            "product     ",
            &format!(
                "{}, {} high{finished}",
                file.product.name,
                crew(file.product.height.0)
            ),
        );
        self.folded("locate      ", &locate_words(file));
        let takeoff = &report.takeoff;
        let gates: usize = report.counts.iter().map(|run| run.gates.len()).sum();
        self.folded(
            "in all      ",
            &format!(
                "{} of fence in {}, {} taking {}",
                takeoff
                    .fence
                    .to_text(LengthStyle::DecimalFeet { places: 1 }),
                counted(report.runs.len(), "run"),
                counted(gates, "gate"),
                crew(takeoff.gates)
            ),
        );
        if let Some(old) = file.job.tear_out {
            self.line(format!("tear out    {} of old fence", crew(old.0)));
        }
    }

    fn findings(&mut self, report: &JobReport) {
        let (trouble, notices): (Vec<_>, Vec<_>) = report
            .findings
            .iter()
            .partition(|finding| finding.is_trouble());
        self.bullets("STOP AND SETTLE FIRST", trouble.into_iter().map(finding));
        self.bullets("HEED", notices.into_iter().map(finding));
    }

    fn lot(&mut self, file: &JobFile, report: &JobReport) {
        self.title("LOT");
        if let Some(closure) = report.closure {
            let ratio = closure
                .ratio()
                .map_or_else(String::new, |ratio| format!(", 1:{ratio:.0}"));
            self.line(format!(
                "  deed misses by {:.2} in {:.2}{ratio}",
                closure.misclosure(),
                closure.perimeter()
            ));
        }
        self.line(format!(
            "  {:<8}{:>12}{:>12}   {:<12}{}",
            "corner", "north ft", "east ft", "±", "stands on"
        ));
        let lot = &report.lot;
        for (i, corner) in lot.ring().corners().iter().enumerate() {
            let doubt = report.corner_doubt.get(i);
            let shown = doubt.map_or_else(String::new, |doubt| {
                plus_minus([doubt.sigma_north, doubt.sigma_east])
            });
            let standing = match lot.standings().get(i) {
                Some(Standing::Accepted) => pin_words(file, &corner.name),
                Some(Standing::Found) => {
                    format!("{}, NOT ACCEPTED", pin_words(file, &corner.name))
                }
                _ => search_words(report, i),
            };
            let place = format!(
                "  {:<8}{:>12.2}{:>12.2}   {shown:<12}",
                corner.name,
                corner.at.north(),
                corner.at.east()
            );
            self.folded(&place, &standing);
        }
        for i in 0..lot.ring().len() {
            let pinned = if lot.is_pinned(i) {
                ""
            } else {
                "   NOT PINNED - ESTIMATE ONLY"
            };
            let bearing = lot.ring().direction(i).bearing();
            let arc = lot.ring().radius(i).map_or_else(String::new, |radius| {
                let radius = radius.to_text(LengthStyle::RECORD);
                let chord = lot.ring().chord(i).length().to_text(LengthStyle::RECORD);
                format!(
                    " along an arc of radius {radius};\n{:16}the bearing is that of its chord, {chord}",
                    ""
                )
            });
            self.line(format!(
                "  side {:<8}{}  {}{arc}{pinned}",
                lot.ring().side_name(i),
                bearing.to_text(AngleStyle::SECONDS),
                lot.ring().side_length(i).to_text(LengthStyle::RECORD)
            ));
        }
        let vanished = report.offset.vanished();
        if !vanished.is_empty() {
            self.line(format!(
                "  no line can be held inside {}: nothing is left of it at these distances",
                vanished.join(", ")
            ));
        }
        if let Some(words) = pieces_words(&report.offset) {
            self.line(format!("  the line inside the lot is {words}"));
        }
    }

    fn flags(&mut self, report: &JobReport) {
        self.title(
            "FLAGS: the outside face of the posts. Pull both tapes; where they meet is the flag.",
        );
        self.line(format!(
            "  {:<14}{:<23} {:<23} {:<23} {}",
            "flag", "first tape", "second tape", "check tape", "±"
        ));
        for flag in report.flags.iter().filter(|flag| !flag.wall) {
            self.flag(flag);
        }
    }

    fn turns(&mut self, report: &JobReport) {
        let not_set = |name: &String| {
            let mut flags = report.flags.iter();
            flags.any(|flag| &flag.name == name && !flag.settable)
        };
        let turns = report.turns.iter().filter(|turn| !not_set(&turn.flag));
        let turns: Vec<_> = turns.collect();
        if turns.is_empty() {
            return;
        }
        self.title("TURNS of the string: once the flags stand, check each with three tapes.");
        self.line(format!(
            "  {:<14}{:<22}{:<18}{:<18}{}",
            "flag", "angle", "back", "on", "then across"
        ));
        for turn in turns {
            let doubt = turn.sigma.plus_minus_95().map_or_else(
                || "± unknown".to_owned(),
                |radians| format!("± {:.2}°", radians.to_degrees()),
            );
            let angle = format!("{:.2}° {doubt}", turn.interior.degrees());
            let check = turn.check.map_or_else(
                || {
                    let why = if turn.curved {
                        "an arc begins or ends here: tangents"
                    } else {
                        "too short for a check"
                    };
                    why.to_owned()
                },
                |check| {
                    format!(
                        "{:<18}{:<18}{}",
                        crew(check.back),
                        crew(check.on),
                        crew(check.diagonal)
                    )
                },
            );
            self.line(format!("  {:<14}{angle:<22}{check}", turn.flag));
            if let Some([fence, branch]) = &turn.along {
                let indent = format!("{:16}", "");
                self.folded(&indent, &format!("back along {fence}, on along {branch}"));
            }
        }
    }

    fn flag(&mut self, flag: &FlagReport) {
        if !flag.settable {
            self.line(format!(
                "  {:<14}NOT PINNED - ESTIMATE ONLY: set no flag here",
                flag.name
            ));
            return;
        }
        match &flag.ties {
            Ok(ties) => {
                let doubt = plus_minus([flag.doubt.sigma_north, flag.doubt.sigma_east]);
                let [first, second, check] = tapes(ties);
                self.line(format!(
                    "  {:<14}{first:<23} {second:<23} {check:<23} {doubt}",
                    flag.name
                ));
            }
            Err(_) => self.line(format!(
                "  {:<14}no two tapes reach it: see STOP AND SETTLE FIRST",
                flag.name
            )),
        }
    }

    fn run(&mut self, file: &JobFile, run: &RunReport) {
        self.title(&format!(
            "RUN {}: {} to {}, {}",
            run.name,
            run.from,
            run.to,
            crew(run.length)
        ));
        let yard = match run.yard {
            Turn::Left => "left",
            Turn::Right => "right",
        };
        let bearing = run.azimuth.bearing().to_text(AngleStyle::SECONDS);
        let (at_first, tape) = match run.shape {
            Side::Line => ("", tape_words(run.ground.as_ref())),
            Side::Arc { turn, .. } => (" at first", arc_words(run, turn)),
        };
        self.folded(
            "  ",
            &format!(
                "walk from {}, facing {bearing}{at_first}; the yard is on your {yard}; {tape}",
                run.from,
            ),
        );
        let line = run.string_to_line.map_or_else(String::new, |distance| {
            let doubt = run
                .line_sigma
                .plus_minus_95()
                .and_then(|feet| Length::from_feet(feet).ok())
                .map_or_else(
                    || "± unknown".to_owned(),
                    |doubt| format!("± {}", crew(doubt)),
                );
            format!("string to lot line {} {doubt}; ", crew(distance))
        });
        self.folded(
            "  ",
            &format!(
                "{line}string to line-post hole centers {} into the yard{}",
                crew(run.string_to_holes),
                other_centers(run)
            ),
        );
        if !run.pinned {
            self.line("  NOT PINNED - ESTIMATE ONLY");
        }
        if run.posts.is_empty() && run.sections.is_empty() {
            self.line("  no layout: see STOP AND SETTLE FIRST");
            return;
        }
        self.line(format!(
            "  {:>12}  {:<40}{}",
            "station",
            "post center",
            match file.product.build {
                BuildField::PanelsOnFace => "then, end to end on the posts' faces",
                _ => "then, clear",
            }
        ));
        self.stations(run);
        self.ground(run);
        self.arc(run);
    }

    /// How the posts of a curved run are set with tapes.
    fn arc(&mut self, run: &RunReport) {
        let Some(arc) = &run.arc else {
            return;
        };
        let long = crew(run.start.distance(run.end));
        self.folded(
            "  ",
            &format!(
                "ON THE ARC: pull a string straight from {} to {}, {long}. To each post center measure along it from {}, then square off it. Check from center to center.",
                run.from, run.to, run.from
            ),
        );
        self.line(format!(
            "  {:>12}{:>14}{:>14}  {:<14}{:>14}{:>9}",
            "station", "along string", "square off", "", "to next", "turn"
        ));
        for (post, set) in run.posts.iter().zip(&arc.posts) {
            let side = if set.off_chord < Shift::ZERO {
                "off the yard"
            } else {
                "into the yard"
            };
            self.line(format!(
                "  {:>12}{:>14}{:>14}  {side:<14}{:>14}{:>9}",
                post.station.to_text(LengthStyle::CREW),
                set.along_chord.to_text(LengthStyle::CREW),
                crew(set.off_chord.magnitude()),
                set.to_next.map_or_else(String::new, crew),
                set.turn.to_text(AngleStyle::Decimal { places: 2 })
            ));
        }
        self.folded("  ", &radius_point_words(arc));
        self.folded("  ", &chord_words(arc));
    }

    /// What the ground asks of each post and leaves under each section.
    fn ground(&mut self, run: &RunReport) {
        let Some(ground) = &run.ground else {
            return;
        };
        self.line(format!("  GROUND\n  {:>12}{:>14}", "level", "along ground"));
        let stations: Vec<_> = run.posts.iter().map(|post| post.station).collect();
        for line in ground_lines(ground, &stations, run.starts_bracketed()) {
            self.folded(&format!("  {:<26}  ", line.station), &line.words);
        }
    }

    /// Posts and the sections after them, in the order they are walked past.
    fn stations(&mut self, run: &RunReport) {
        let mut sections = run.sections.iter();
        if run.starts_bracketed() {
            let words = sections.next().map(section_words).unwrap_or_default();
            self.station("0\"", "wall, bracketed", &words);
        }
        for post in &run.posts {
            let words = sections.next().map(section_words).unwrap_or_default();
            let station = post.taped.to_text(LengthStyle::CREW);
            self.station(&station, &post_words(run, post), &words);
        }
    }

    fn station(&mut self, station: &str, post: &str, then: &str) {
        self.folded(&format!("  {station:>12}  {post:<38}  "), then);
    }

    fn squares(&mut self, report: &JobReport) {
        if report.squares.is_empty() {
            return;
        }
        self.title("SQUARE CHECKS");
        for square in &report.squares {
            let answer = &square.answer;
            let verdict = match answer.verdict {
                Verdict::In => "square",
                Verdict::Out => "OUT OF SQUARE",
                Verdict::Undecided => "can't tell",
            };
            let mut words = format!(
                "{}: {verdict}; {} taped, diagonal off by {}",
                square.corner,
                answer.angle.to_text(AngleStyle::Decimal { places: 2 }),
                answer.diagonal_error.to_text(LengthStyle::CREW)
            );
            if let Some(correction) = answer.correction
                && answer.verdict != Verdict::In
            {
                let way = match correction.way {
                    Way::Toward => "toward",
                    Way::Away => "away from",
                };
                let _ = write!(
                    words,
                    "; move the end of the second leg {} {way} the first",
                    crew(correction.at_leg_end)
                );
            }
            if let Some(plan) = answer.deciding_legs {
                let _ = write!(
                    words,
                    "; legs of {} and {} with a diagonal of {} would tell",
                    crew(plan.first_leg),
                    crew(plan.second_leg),
                    crew(plan.diagonal)
                );
            }
            self.folded("  ", &words);
        }
    }

    fn material(&mut self, file: &JobFile, report: &JobReport) {
        self.title("MATERIAL");
        for run in uncounted_runs(report) {
            self.line(format!("  NOT COUNTED: run {run:?}, which has no layout"));
        }
        self.line(format!(
            "  {:<40}{:>10}  {:>10}  {}",
            "item", "need", "order", "sold by"
        ));
        for line in &report.takeoff.lines {
            self.line(format!(
                "  {:<40}{:>10}  {:>10}  {}",
                line.item,
                figure(line.need),
                line.order,
                line.unit
            ));
        }
        self.saw_list(file, report);
        self.line("  run                                      length      gates");
        for run in &report.counts {
            let gates: Length = run.gates.iter().map(|gate| gate.0).sum();
            self.line(format!(
                "  {:<36}{:>12}{:>11}",
                run.name,
                crew(run.length),
                crew(gates)
            ));
        }
        if let Some(old) = file.job.tear_out {
            self.line(format!("  {:<36}{:>12}", "tear out", crew(old.0)));
        }
    }
}

impl Sheet {
    /// What the office may still choose; the crew builds what stands above.
    fn choices(&mut self, report: &JobReport) {
        let runs = report.runs.iter().flat_map(|run| {
            let words = run.runners_up.iter().map(|other| other.words.clone());
            let words = words.chain(lost_words(run.runners_up_lost));
            words.map(|words| format!("{}: {words}", run.name))
        });
        let trades = &report.trades;
        let lines = trades.moves.iter().map(trade_words);
        self.bullets(
            "FOR THE OFFICE: other layouts. The crew builds the one above.",
            runs.chain(lines).chain(rough_words(trades)),
        );
    }

    /// The panels that cuts are sawn from, and the pieces of each.
    fn saw_list(&mut self, file: &JobFile, report: &JobReport) {
        let takeoff = &report.takeoff;
        if report.counts.iter().all(|run| run.cuts.is_empty()) {
            return;
        }
        if !file.product.cutting.is_some_and(|cutting| cutting.reuse) {
            self.line("  Each cut section takes a panel of its own; offcuts are not reused.");
            return;
        }
        let style = LengthStyle::Inches(InchFraction::Sixteenth);
        for (i, panel) in takeoff.sawn.iter().enumerate() {
            let pieces: Vec<String> = (panel.pieces.iter())
                .map(|piece| format!("{} for {}", piece.saw.to_text(style), piece.run))
                .collect();
            self.folded(&format!("  saw panel {}: ", i + 1), &pieces.join(", "));
        }
        if takeoff.sawn_least < takeoff.sawn.len() {
            self.line(format!(
                "  {} panels to saw may do; fewer never will.",
                takeoff.sawn_least
            ));
        }
    }
}

/// A number of things, with its noun in the right number.
fn counted(count: usize, noun: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {noun}{plural}")
}

/// A count as a whole number, a measure with two decimals.
fn figure(need: f64) -> String {
    if need.fract() == 0.0 {
        format!("{need:.0}")
    } else {
        format!("{need:.2}")
    }
}

/// The larger of two standard errors as a crew reads it.
pub(crate) fn plus_minus(sigmas: [Sigma; 2]) -> String {
    let [Some(north), Some(east)] = sigmas.map(Sigma::plus_minus_95) else {
        return "unknown".to_owned();
    };
    Length::from_feet(north.max(east)).map_or_else(
        |_| "unknown".to_owned(),
        |doubt| {
            format!(
                "± {}",
                doubt.to_text(LengthStyle::Inches(InchFraction::Eighth))
            )
        },
    )
}

/// What a pin is, by its record.
fn pin_words(file: &JobFile, corner: &str) -> String {
    let Some(pin) = file.pin.iter().find(|pin| pin.name == corner) else {
        return "found pin".to_owned();
    };
    let mut words = "found pin".to_owned();
    let mut add = |text: Option<String>| {
        if let Some(text) = text {
            words.push_str(", ");
            words.push_str(&text);
        }
    };
    add(pin.kind.clone());
    add(pin.size.clone());
    add(pin.cap.as_ref().map(|cap| format!("cap {cap}")));
    add(pin.depth.as_ref().map(|depth| match depth.as_str() {
        "flush" => "flush".to_owned(),
        depth => format!("{depth} deep"),
    }));
    words
}

/// That the line inside the lot is in pieces, where it is.
pub(crate) fn pieces_words(offset: &Offset) -> Option<String> {
    let pieces = offset.pieces();
    (pieces > 1).then(|| format!("in {pieces} pieces: the lot is too narrow between them"))
}

fn search_words(report: &JobReport, i: usize) -> String {
    match report.lot.fitted(i).and_then(|corner| corner.search_radius) {
        Some(radius) => format!("no pin: SEARCH HERE, {} around", crew(radius)),
        None => "no pin: by deed only".to_owned(),
    }
}

fn tapes(ties: &TwoTapes) -> [String; 3] {
    let words = |tape: &fence_geom::Tape| format!("{} from {}", crew(tape.reading), tape.from);
    [
        words(&ties.first),
        words(&ties.second),
        ties.check.as_ref().map_or_else(|| "none".to_owned(), words),
    ]
}

/// How far from the string the centers of posts are that are not as wide as line
/// posts; those on an arc all stand on one circle.
fn other_centers(run: &RunReport) -> String {
    let mut told: Vec<(PostKind, Length)> = Vec::new();
    for post in &run.posts {
        let other = post.moved_in == Length::ZERO && post.inside != run.string_to_holes;
        if other && !told.contains(&(post.takes, post.inside)) {
            told.push((post.takes, post.inside));
        }
    }
    let words = told
        .iter()
        .map(|(kind, inside)| format!(", for the {} {}", kind.name(), crew(*inside)));
    words.collect()
}

fn locate_words(file: &JobFile) -> String {
    let Some(locate) = &file.locate else {
        return "no ticket".to_owned();
    };
    let mut words = format!("ticket {}", locate.ticket);
    if let Some(called) = &locate.called {
        let _ = write!(words, ", called {called}");
    }
    if let (Some(from), Some(until)) = (&locate.good_from, &locate.good_until) {
        let _ = write!(words, ", good {from} to {until}");
    }
    for owner in &locate.owners {
        let answer = match owner.answer {
            AnswerField::Marked => "marked",
            AnswerField::Away => "marked, none near the fence",
            AnswerField::Clear => "clear",
            AnswerField::None => "NO ANSWER",
        };
        let _ = write!(words, "; {}: {answer}", owner.name);
    }
    let private = locate.private_lines.as_deref().unwrap_or("not asked");
    let _ = write!(words, "; private lines: {private}");
    words
}

/// The curve of a run, and how its stations are meant.
fn arc_words(run: &RunReport, turn: Turn) -> String {
    let hand = match turn {
        Turn::Left => "left",
        Turn::Right => "right",
    };
    let radius = run.arc.as_ref().map_or_else(String::new, |arc| {
        format!(" on a radius of {}", crew(arc.radius))
    });
    format!("the line curves to the {hand}{radius}; stations are ALONG THE ARC of the line")
}

fn radius_point_words(arc: &ArcReport) -> String {
    let reading = crew(arc.post_radius);
    if arc.center_in_reach {
        format!(
            "radius point N {:.2} E {:.2}: a level tape from it reads {reading} at the post centers of the arc; set it by that much from both end posts, if nothing is in the way",
            arc.center.north(),
            arc.center.east()
        )
    } else {
        format!(
            "radius point out of reach of a tape on this lot ({reading} from the post centers): use the straight string"
        )
    }
}

/// What chords do to the fence.
fn chord_words(arc: &ArcReport) -> String {
    let style = LengthStyle::Inches(InchFraction::Sixteenth);
    let turn = arc.full_turn.to_text(AngleStyle::Decimal { places: 2 });
    let mut words = format!("sections are straight and turn {turn} at a post between full ones");
    if arc.moved_in > Length::ZERO {
        let moved = arc.moved_in.to_text(style);
        let _ = write!(
            words,
            "; posts stand {moved} farther in, so that no section bulges past the line"
        );
    }
    if arc.misfit.inches() >= 1.0 / 32.0 {
        let misfit = arc.misfit.to_text(style);
        let _ = write!(
            words,
            "; a full section or a gate misses its width by up to {misfit}: trim, or take it up in the brackets"
        );
    }
    words
}

fn post_words(run: &RunReport, post: &PostReport) -> String {
    let mut words = post.takes.name().to_owned();
    if run.arc.is_none() && post.hole && post.moved_in.inches() >= 1.0 / 16.0 {
        let moved = (post.moved_in).to_text(LengthStyle::Inches(InchFraction::Sixteenth));
        let _ = write!(words, ", {moved} farther into the yard for the curve");
    }
    words.push_str(match (post.kind, post.hole) {
        (PostKind::Tee, false) => ", set with another run",
        (_, false) => ", set with the run before",
        (PostKind::Tee, _) if post.takes != post.kind => ", at the tee",
        (PostKind::Pull, _) if post.takes != post.kind => ", as a pull post",
        _ => "",
    });
    if !post.by_hand.is_empty() {
        let _ = write!(words, ", DIG BY HAND: {}", post.by_hand.join(", "));
    }
    words
}

fn section_words(section: &SectionReport) -> String {
    let clear = section
        .clear
        .to_text(LengthStyle::Inches(InchFraction::Sixteenth));
    // A racked panel is as long as its rails; level it takes less of the run.
    let rail = section
        .rail
        .to_text(LengthStyle::Inches(InchFraction::Sixteenth));
    let panel = if rail == clear {
        clear.clone()
    } else {
        format!("{rail} along its rails, {clear} level")
    };
    match &section.fill {
        Fill::Full => format!("full {panel}"),
        Fill::Cut => {
            let saw = section.saw.filter(|saw| *saw != section.rail);
            let saw = saw.map_or_else(String::new, |saw| {
                let style = LengthStyle::Inches(InchFraction::Sixteenth);
                format!(", saw {}", saw.to_text(style))
            });
            format!("CUT {panel}{saw}")
        }
        Fill::Bay => format!("bay {panel}"),
        Fill::Gate(gate) => {
            let hinge = match (gate.leaves, gate.hinge_at_start) {
                (2, _) => "hinges on both sides",
                (_, true) => "hinges on this post",
                (_, false) => "hinges on the next post",
            };
            let swing = if gate.swings_in { "in" } else { "out" };
            format!("GATE {} {clear}, {hinge}, swings {swing}", gate.name)
        }
    }
}

/// A short script: what to show and say, run by run.
fn walk(file: &JobFile, report: &JobReport) -> Vec<String> {
    let mut script = vec![format!(
        "This is {}, {}. {}",
        file.job.name,
        file.job.site,
        if report.no_dig.is_empty() {
            "The ticket is good and every owner has answered; show the marks."
        } else {
            "Nobody digs here yet; say why."
        }
    )];
    for run in &report.runs {
        let gates = run
            .sections
            .iter()
            .filter(|section| matches!(section.fill, Fill::Gate(_)))
            .count();
        let cuts = run
            .sections
            .iter()
            .filter(|section| section.fill == Fill::Cut)
            .count();
        script.push(format!(
            "{}: from {} to {}, {}. {}, {cuts} cut, {}. Show both flags, every cut and every hand-dug hole.",
            run.name,
            run.from,
            run.to,
            crew(run.length),
            counted(run.sections.len(), "section"),
            counted(gates, "gate")
        ));
    }
    script.push("End on the material pile: count it against the list.".to_owned());
    script
}
