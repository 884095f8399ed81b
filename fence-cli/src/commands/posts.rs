//! `fence posts`.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use fence_geom::{
    Angle, AngleStyle, Arrangement, Blocking, Build, Choices, Cutting, GateRequest, InchFraction,
    Lattice, LayoutEnd, LayoutRequest, LayoutStatus, Length, LengthStyle, PostKind, Relaxation,
    SectionKind, Shift, Stretch, WhichEnd, Wish,
};

use crate::contract::ground::GroundAnswer;
use crate::contract::posts::{
    BlockingRow, BuildWord, ChangeWord, EndWord, FromTo, InchesOrText, ObjectiveRow, PostRow,
    PostsAnswer, PostsEnd, PostsGate, PostsRequest, RelaxationRow, RunnerUpRow, SectionRow,
};
use crate::drawing::run_elevation;
use crate::finding_words::lost_words;
use crate::ground_words::{ground_lines, tape_words};
use crate::output_file::write_whole;
use crate::run_layout::{Placed, PlacedSection, RunLayout};
use crate::run_options::RunOptions;
use crate::{Exit, input, typed};

const CAUTIONS: [&str; 2] = [
    "have buried lines marked by the one-call center before any hole; a layout knows only the stretches it was given",
    "local code and the maker's instructions decide depth, footing and how far posts may stand apart",
];

/// Place the posts of one run: full panels, cuts and gates, proven the best
///
/// FILE is TOML or JSON; lengths are text such as "12ft6-1/2in" or "3.82m", or
/// inches as a number:
///
///   length = "61ft10in"
///   line_post = "4in"
///   gate_post = "6in"
///   full = "92in"
///   min_cut = "12in"
///   start = { face = "2in", post = "4in" }
///   end = { face_min = "1in", face_max = "3in", face_wish = "2in", post = "4in" }
///   gates = [ { opening = "48in", wish = "20ft" } ]
///   no_dig = [ ["31ft", "33ft"] ]
///
/// A plain run needs no file: --length 61ft10in --full 92in --gate 48in@20ft.
///
/// On a slope: ground = [ { at = "0in", height = "0in" }, ... ] at both ends and
/// where the grade breaks, and how sections follow it, slope = { rack = "10in",
/// least_gap = "1in", most_gap = "4in" }; with height, depth, step_post.
/// On an arc: arc = { radius = "60ft", yard = "center" } (or "away").
///
/// Further fields: build (panels, panels_on_face, stick or fabric), cutting =
/// { bracket, kerf, factory_end, reuse, step }, gate_openings, hand_dig, show,
/// guard, hide (start or end), lattice ("1/16in" by default), order. A gate may
/// have a window for its middle, from and to, and say which side of it latches
/// (latch = "start" or "end") where latch_post has a width of its own; an end
/// without a hole of its own has hole = false.
///
/// Exit status: 0 done, 1 no layout keeps all hard rules, or the ground or the arc
/// asks more than the product does, 2 input refused.
///
/// Have buried lines marked by the one-call center before any hole.
#[expect(
    clippy::doc_markdown,
    reason = "the text is the help on a terminal, where field names stand bare"
)]
#[derive(clap::Args, Debug)]
#[command(verbatim_doc_comment)]
pub(crate) struct PostsArgs {
    /// The request, or - for standard input
    file: Option<PathBuf>,
    #[command(flatten)]
    options: RunOptions,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
    /// Also write a picture of the run seen from outside, a .svg file
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

pub(crate) fn posts(args: &PostsArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let asked = match &args.file {
        Some(file) => input::read_request(file)?,
        None => args.options.request()?,
    };
    let (run, mut assumed) = match &args.file {
        Some(file) => laid_out(&asked).with_context(|| file.display().to_string())?,
        None => laid_out(&asked)?,
    };
    if args.file.is_none() {
        assumed.extend(args.options.assumed());
    }
    if let Some(path) = &args.output {
        check_picture(path)?;
        if let LayoutStatus::Optimal(best) = &run.layout.status {
            write_whole(path, run_elevation(&asked, &run, best).svg().as_bytes())?;
        } else if !args.json {
            writeln!(
                out,
                "{} is not written: there is no layout to draw.",
                path.display()
            )?;
        }
    }
    if args.json {
        serde_json::to_writer_pretty(&mut *out, &answer(&run, assumed))?;
        writeln!(out)?;
    } else {
        present(&run, &assumed, out)?;
    }
    Ok(exit(&run))
}

/// The answer to a request that has been read.
pub(crate) fn posts_answer(asked: &PostsRequest) -> anyhow::Result<(PostsAnswer, Exit)> {
    let (run, assumed) = laid_out(asked)?;
    Ok((answer(&run, assumed), exit(&run)))
}

/// The layout, and what was assumed in reading the request.
fn laid_out(asked: &PostsRequest) -> anyhow::Result<(RunLayout, Vec<String>)> {
    let mut assumed = Vec::new();
    let request = request(asked, &mut assumed)?;
    let openings = asked.gate_openings.iter();
    let choices = Choices {
        cutting: cutting(asked, &mut assumed)?,
        gate_openings: openings
            .map(|opening| length("gate_openings", opening, &mut assumed))
            .collect::<anyhow::Result<_>>()?,
        ..Choices::default()
    };
    let bracket = choices.cutting.bracket > Length::ZERO;
    if bracket && choices.cutting.saw_length(request.min_cut) == Length::ZERO {
        bail!(
            "`cutting.bracket` is {}, and two of them leave nothing of the shortest cut, {}: give a longer `min_cut`",
            inches(choices.cutting.bracket.forward()),
            inches(request.min_cut.forward())
        );
    }
    assumed.extend(request.ranges_without_a_step());
    let run = RunLayout::new(asked, &request, &choices, &mut assumed)?;
    Ok((run, typed::once(assumed)))
}

fn cutting(asked: &PostsRequest, assumed: &mut Vec<String>) -> anyhow::Result<Cutting> {
    let Some(asked) = &asked.cutting else {
        return Ok(Cutting::default());
    };
    let mut given = |field: &str, given: &Option<InchesOrText>| {
        let read = given.as_ref().map(|given| length(field, given, assumed));
        read.transpose()
    };
    Ok(Cutting {
        bracket: given("cutting.bracket", &asked.bracket)?.unwrap_or_default(),
        kerf: given("cutting.kerf", &asked.kerf)?.unwrap_or_default(),
        factory_end: asked.factory_end,
        reuse: asked.reuse,
        step: given("cutting.step", &asked.step)?,
    })
}

fn exit(run: &RunLayout) -> Exit {
    match run.layout.status {
        LayoutStatus::Optimal(_) if run.is_within_limits() => Exit::Done,
        LayoutStatus::Optimal(_) | LayoutStatus::None { .. } => Exit::AnswerIsNo,
    }
}

fn request(asked: &PostsRequest, assumed: &mut Vec<String>) -> anyhow::Result<LayoutRequest> {
    let gate_post = match &asked.gate_post {
        Some(width) => width,
        None if asked.gates.is_empty() => &asked.line_post,
        None => bail!("`gate_post` is missing: give the width of the posts beside a gate"),
    };
    let cut_step = cutting(asked, assumed)?.step;
    let mut length = |field: &str, given| length(field, given, assumed);
    Ok(LayoutRequest {
        length: length("length", &asked.length)?,
        line_post: length("line_post", &asked.line_post)?,
        gate_post: length("gate_post", gate_post)?,
        latch_post: (asked.latch_post.as_ref())
            .map(|width| length("latch_post", width))
            .transpose()?,
        full: length("full", &asked.full)?,
        min_cut: length("min_cut", &asked.min_cut)?,
        cut_step,
        lattice: match &asked.lattice {
            Some(step) => Lattice::from_step(length("lattice", step)?)?,
            None => Lattice::default(),
        },
        build: match asked.build {
            BuildWord::Panels => Build::Panels,
            BuildWord::PanelsOnFace => Build::PanelsOnFace,
            BuildWord::Stick => Build::Stick,
            BuildWord::Fabric => Build::Fabric,
        },
        gates: (asked.gates.iter().enumerate())
            .map(|(i, asked)| gate(i, asked, assumed))
            .collect::<anyhow::Result<_>>()?,
        start: end("start", &asked.start, assumed)?,
        end: end("end", &asked.end, assumed)?,
        no_dig: stretches(&asked.no_dig, assumed),
        hand_dig: stretches(&asked.hand_dig, assumed),
        show: stretches(&asked.show, assumed),
        guard: asked.guard,
        hide: asked.hide.map(which_end),
        order: asked
            .order
            .iter()
            .map(wish)
            .collect::<anyhow::Result<_>>()?,
    })
}

const fn which_end(end: EndWord) -> WhichEnd {
    match end {
        EndWord::Start => WhichEnd::Start,
        EndWord::End => WhichEnd::End,
    }
}

fn shift(given: &InchesOrText, assumed: &mut Vec<String>) -> Shift {
    assumed.extend(given.0.assumed.iter().cloned());
    given.0.value
}

fn length(field: &str, given: &InchesOrText, assumed: &mut Vec<String>) -> anyhow::Result<Length> {
    let given = shift(given, assumed);
    Length::from_feet(given.feet()).with_context(|| {
        format!(
            "`{field}` is {}, and can't be less than zero",
            inches(given)
        )
    })
}

fn gate(i: usize, asked: &PostsGate, assumed: &mut Vec<String>) -> anyhow::Result<GateRequest> {
    let opening = length(&format!("gates[{i}].opening"), &asked.opening, assumed)?;
    let mut place = |given: &Option<InchesOrText>| given.as_ref().map(|at| shift(at, assumed));
    Ok(GateRequest {
        opening,
        from: place(&asked.from),
        to: place(&asked.to),
        wish: place(&asked.wish),
        latch: asked.latch.map(which_end),
    })
}

fn end(field: &str, asked: &PostsEnd, assumed: &mut Vec<String>) -> anyhow::Result<LayoutEnd> {
    if asked.face.is_some() && (asked.face_min.is_some() || asked.face_max.is_some()) {
        bail!("`{field}` has both `face` and a range: give `face`, or `face_min` and `face_max`");
    }
    let Some(least) = asked.face.as_ref().or(asked.face_min.as_ref()) else {
        bail!("`{field}` has no face: give `face`, or `face_min` and `face_max`");
    };
    let post = length(&format!("{field}.post"), &asked.post, assumed)?;
    let face_min = shift(least, assumed);
    let mut or_least =
        |given: &Option<InchesOrText>| given.as_ref().map_or(face_min, |face| shift(face, assumed));
    Ok(LayoutEnd {
        face_min,
        face_max: or_least(&asked.face_max),
        face_wish: or_least(&asked.face_wish),
        post,
        hole: asked.hole.unwrap_or(post > Length::ZERO),
    })
}

fn stretches(asked: &[FromTo], assumed: &mut Vec<String>) -> Vec<Stretch> {
    let stretch = |given: &FromTo| {
        let (from, to) = given.both();
        Stretch {
            from: shift(from, assumed),
            to: shift(to, assumed),
        }
    };
    asked.iter().map(stretch).collect()
}

fn wish(name: &String) -> anyhow::Result<Wish> {
    Wish::from_name(name).with_context(|| {
        let known = Wish::ALL.map(Wish::name).join(", ");
        format!("`order` has {name:?}, which is no wish: the wishes are {known}")
    })
}

fn answer(run: &RunLayout, assumed: Vec<String>) -> PostsAnswer {
    let layout = &run.layout;
    let (best, blocking, relaxations) = match &layout.status {
        LayoutStatus::Optimal(best) => (Some(best), &[][..], &[][..]),
        LayoutStatus::None {
            blocking,
            relaxations,
        } => (None, blocking.as_slice(), relaxations.as_slice()),
    };
    let lattice = layout.lattice;
    let sections = |best: &Arrangement, placed| section_rows(best, placed, &run.cutting);
    PostsAnswer {
        status: if best.is_some() { "optimal" } else { "none" },
        objective: best.map(|best| ObjectiveRow::of(&best.objective)),
        lattice_in: lattice.step_inches(),
        order: layout.order.iter().map(|wish| wish.name()).collect(),
        posts: best.map_or_else(Vec::new, |best| post_rows(best, &run.placed, lattice)),
        sections: best.map_or_else(Vec::new, |best| sections(best, &run.placed)),
        runners_up: (run.runners_up.iter())
            .map(|(other, placed)| RunnerUpRow {
                words: other.words.clone(),
                change: ChangeWord::of(other.change),
                objective: ObjectiveRow::of(&other.arrangement.objective),
                panels: other.panels,
                posts: post_rows(&other.arrangement, placed, lattice),
                sections: sections(&other.arrangement, placed),
            })
            .collect(),
        runners_up_lost: run.runners_up_lost,
        blocking: (blocking.iter())
            .map(|rule| BlockingRow {
                name: rule.name(),
                words: rule.words(),
            })
            .collect(),
        relaxations: (relaxations.iter())
            .map(|least| RelaxationRow {
                name: least.rule.name(),
                by_in: lattice.inches(least.by),
                words: least.words(lattice),
            })
            .collect(),
        ground: run.ground.as_ref().map(GroundAnswer::of),
        arc: run.arc_answer(),
        assumed,
        cautions: CAUTIONS.to_vec(),
    }
}

fn post_rows(best: &Arrangement, placed: &Placed, lattice: Lattice) -> Vec<PostRow> {
    (best.posts.iter().zip(&placed.posts))
        .map(|(post, (center, kind))| PostRow {
            center_in: center.inches(),
            width_in: lattice.inches(post.width),
            kind: post_word(*kind),
            hole: post.hole,
            hand_dug: post.hand_dug,
        })
        .collect()
}

fn section_rows(best: &Arrangement, placed: &Placed, cutting: &Cutting) -> Vec<SectionRow> {
    (best.sections.iter().zip(&placed.sections))
        .map(|(section, placed)| SectionRow {
            kind: section_word(section.kind),
            clear_in: placed.clear.inches(),
            saw_in: saw_length(section.kind, placed, cutting).map(Length::inches),
            from_in: placed.from.inches(),
            to_in: (placed.from + placed.clear.forward()).inches(),
            gate: match section.kind {
                SectionKind::Gate(gate) => Some(gate),
                SectionKind::Full | SectionKind::Cut | SectionKind::Bay => None,
            },
        })
        .collect()
}

/// What to saw for a cut section.
fn saw_length(kind: SectionKind, placed: &PlacedSection, cutting: &Cutting) -> Option<Length> {
    (kind == SectionKind::Cut).then(|| cutting.saw_length(placed.rail))
}

const fn post_word(kind: PostKind) -> &'static str {
    match kind {
        PostKind::End => "end",
        PostKind::Line => "line",
        PostKind::Gate => "gate",
        PostKind::Corner => "corner",
        PostKind::OtherCorner => "other_corner",
        PostKind::Tee => "tee",
        PostKind::Latch => "latch",
        PostKind::Pull => "pull",
        PostKind::Step => "step",
    }
}

const fn section_word(kind: SectionKind) -> &'static str {
    match kind {
        SectionKind::Full => "full",
        SectionKind::Cut => "cut",
        SectionKind::Gate(_) => "gate",
        SectionKind::Bay => "bay",
    }
}

fn present(run: &RunLayout, assumed: &[String], out: &mut dyn Write) -> anyhow::Result<()> {
    match &run.layout.status {
        LayoutStatus::Optimal(best) => {
            present_best(best, run, out)?;
            present_ground(run, out)?;
            present_arc(run, out)?;
            present_runners_up(run, out)?;
        }
        LayoutStatus::None {
            blocking,
            relaxations,
        } => {
            present_blocking(blocking, &run.gates_in_the_way, out)?;
            present_relaxations(relaxations, run.layout.lattice, out)?;
        }
    }
    for words in assumed {
        writeln!(out, "assumed: {words}")?;
    }
    for words in CAUTIONS {
        writeln!(out, "caution: {words}")?;
    }
    Ok(())
}

fn present_relaxations(
    relaxations: &[Relaxation],
    lattice: Lattice,
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    if !relaxations.is_empty() {
        writeln!(out, "The least that would do:")?;
    }
    for least in relaxations {
        writeln!(out, "  {}", least.words(lattice))?;
    }
    Ok(())
}

fn present_runners_up(run: &RunLayout, out: &mut dyn Write) -> anyhow::Result<()> {
    let lost = lost_words(run.runners_up_lost);
    let found = run.runners_up.iter().map(|(other, _)| &other.words);
    let lines: Vec<&String> = found.chain(&lost).collect();
    if !lines.is_empty() {
        writeln!(out, "\nWorth a look:")?;
    }
    for line in lines {
        writeln!(out, "  {line}")?;
    }
    Ok(())
}

fn present_best(best: &Arrangement, run: &RunLayout, out: &mut dyn Write) -> anyhow::Result<()> {
    let layout = &run.layout;
    let lattice = layout.lattice;
    writeln!(out, "The best layout, proven, in steps of {lattice}:")?;
    for wish in &layout.order {
        let value = best.objective.of(*wish);
        writeln!(
            out,
            "  {:<11} {value:>8}  {}",
            wish.name(),
            wish_words(*wish)
        )?;
    }
    let tape = match &run.arc {
        Some(_) => "along the arc of the outside faces".to_owned(),
        None => tape_words(run.ground.as_ref()),
    };
    writeln!(
        out,
        "\nFrom the start reference, each rounded by itself; {tape}:"
    )?;
    writeln!(
        out,
        "  {:<12}  {:<10}  {:<10}  hole",
        "post center", "width", "kind"
    )?;
    let style = LengthStyle::CREW;
    let mut sections = best.sections.iter().zip(&run.placed.sections);
    for (post, (center, kind)) in best.posts.iter().zip(&run.placed.posts) {
        let hole = match (post.hole, post.hand_dug) {
            (false, _) => "none",
            (true, false) => "dig",
            (true, true) => "DIG BY HAND",
        };
        let center = center.to_text(style);
        let (width, kind) = (inches(lattice.shift(post.width)), post_word(*kind));
        writeln!(out, "  {center:<12}  {width:<10}  {kind:<10}  {hole}")?;
        if let Some((section, placed)) = sections.next() {
            let clear = inches(placed.clear.forward());
            let kind = match section.kind {
                SectionKind::Gate(gate) => format!("gate {}", gate + 1),
                kind => section_word(kind).to_owned(),
            };
            let saw = saw_length(section.kind, placed, &run.cutting)
                .map(|saw| inches(saw.forward()))
                .filter(|saw| *saw != clear)
                .map_or_else(String::new, |saw| format!(", saw {saw}"));
            writeln!(out, "  {:<12}  {clear:<10}  {kind}{saw}", "")?;
        }
    }
    Ok(())
}

fn inches(length: Shift) -> String {
    length.to_text(LengthStyle::Inches(InchFraction::Sixteenth))
}

fn present_ground(run: &RunLayout, out: &mut dyn Write) -> anyhow::Result<()> {
    let Some(ground) = &run.ground else {
        return Ok(());
    };
    writeln!(out, "\nOver the ground:")?;
    writeln!(out, "  {:>12}{:>14}", "level", "along ground")?;
    let LayoutStatus::Optimal(best) = &run.layout.status else {
        return Ok(());
    };
    let stations: Vec<Shift> = (run.placed.posts.iter().zip(&best.posts))
        .filter(|(_, post)| post.width > 0)
        .map(|((station, _), _)| *station)
        .collect();
    let from_wall = best.posts.first().is_some_and(|post| post.width == 0);
    for line in ground_lines(ground, &stations, from_wall) {
        writeln!(out, "  {:<26}  {}", line.station, line.words)?;
    }
    Ok(())
}

fn present_arc(run: &RunLayout, out: &mut dyn Write) -> anyhow::Result<()> {
    let Some(arc) = &run.arc else {
        return Ok(());
    };
    let turn = |angle: Angle| angle.to_text(AngleStyle::Decimal { places: 2 });
    writeln!(
        out,
        "\nOn the arc: post centers on a radius of {}, moved in by {} so that no section bulges past the line; {} at a post between full sections",
        arc.post_radius.to_text(LengthStyle::CREW),
        inches(arc.moved_in.forward()),
        turn(arc.full_turn)
    )?;
    for (i, (post, section)) in arc.posts.iter().zip(&arc.sections).enumerate() {
        writeln!(
            out,
            "  post {:<3} turn {:<8} then {} from center to center, its middle {} from the arc of centers",
            i + 1,
            turn(post.turn),
            section.chord.to_text(LengthStyle::CREW),
            inches(section.rise.forward())
        )?;
    }
    if let Some(least) = run.least_radius {
        let words = if run.is_within_limits() {
            "enough for"
        } else {
            "TOO TIGHT for"
        };
        writeln!(
            out,
            "  the radius is {words} the turn that the product allows: {} at least",
            least.to_text(LengthStyle::CREW)
        )?;
    }
    Ok(())
}

/// Refuses a file that the picture can't be written to.
fn check_picture(path: &Path) -> anyhow::Result<()> {
    if path
        .extension()
        .is_none_or(|extension| !extension.eq_ignore_ascii_case("svg"))
    {
        bail!(
            "cannot tell what to write to {}: its name must end in .svg",
            path.display()
        );
    }
    Ok(())
}

fn present_blocking(
    blocking: &[Blocking],
    gates: &[(usize, usize)],
    out: &mut dyn Write,
) -> anyhow::Result<()> {
    writeln!(out, "No layout keeps all hard rules.")?;
    for (a, b) in gates {
        writeln!(
            out,
            "Gates {} and {} get in each other's way wherever their windows let them stand.",
            a + 1,
            b + 1
        )?;
    }
    if blocking.is_empty() {
        writeln!(
            out,
            "No single rule given up would make one: move a gate or an end, or change the product."
        )?;
        return Ok(());
    }
    writeln!(out, "Any one of these, given up, would make one:")?;
    for rule in blocking {
        writeln!(out, "  {:<17} {}", rule.name(), rule.words())?;
    }
    Ok(())
}

const fn wish_words(wish: Wish) -> &'static str {
    match wish {
        Wish::HandDug => "holes dug by hand",
        Wish::Cuts => "cut sections",
        Wish::Sections => "sections, gates included",
        Wish::Changes => "changes between full and cut",
        Wish::EndSteps => "steps of the ends from their wish",
        Wish::CutSquares => "square steps cut off, summed",
        Wish::GateMiss => "half steps of the gates from their wish",
        Wish::CutReach => "steps of the cuts from the end that hides them",
    }
}
