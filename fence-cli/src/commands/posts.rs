//! `fence posts`.

use std::io::Write;
use std::path::PathBuf;

use anyhow::{Context, bail};
use fence_geom::{
    Arrangement, Blocking, Build, GateRequest, InchFraction, Lattice, Layout, LayoutEnd,
    LayoutRequest, LayoutStatus, Length, LengthStyle, PostKind, SectionKind, Shift, Stretch,
    WhichEnd, Wish, lay_out,
};

use crate::contract::posts::{
    BlockingRow, BuildWord, EndWord, FromTo, InchesOrText, ObjectiveRow, PostRow, PostsAnswer,
    PostsEnd, PostsGate, PostsRequest, SectionRow,
};
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
/// Further fields: build (panels, stick or fabric), hand_dig, show, guard, hide
/// (start or end), lattice ("1/16in" by default), order. A gate may have a window
/// for its middle, from and to; an end without a hole of its own has hole = false.
///
/// Exit status: 0 done, 1 no layout keeps all hard rules, 2 input refused.
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
    file: PathBuf,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
}

pub(crate) fn posts(args: &PostsArgs, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let shown = args.file.display();
    let asked = input::read_request(&args.file)?;
    let (layout, assumed) = laid_out(&asked).with_context(|| shown.to_string())?;
    if args.json {
        serde_json::to_writer_pretty(&mut *out, &answer(&layout, assumed))?;
        writeln!(out)?;
    } else {
        present(&layout, &assumed, out)?;
    }
    Ok(exit(&layout))
}

/// The answer to a request that has been read.
pub(crate) fn posts_answer(asked: &PostsRequest) -> anyhow::Result<(PostsAnswer, Exit)> {
    let (layout, assumed) = laid_out(asked)?;
    Ok((answer(&layout, assumed), exit(&layout)))
}

/// The layout, and what was assumed in reading the request.
fn laid_out(asked: &PostsRequest) -> anyhow::Result<(Layout, Vec<String>)> {
    let mut assumed = Vec::new();
    let request = request(asked, &mut assumed)?;
    Ok((lay_out(&request)?, typed::once(assumed)))
}

const fn exit(layout: &Layout) -> Exit {
    match layout.status {
        LayoutStatus::Optimal(_) => Exit::Done,
        LayoutStatus::None { .. } => Exit::AnswerIsNo,
    }
}

fn request(asked: &PostsRequest, assumed: &mut Vec<String>) -> anyhow::Result<LayoutRequest> {
    let gate_post = match &asked.gate_post {
        Some(width) => width,
        None if asked.gates.is_empty() => &asked.line_post,
        None => bail!("`gate_post` is missing: give the width of the posts beside a gate"),
    };
    let mut length = |field: &str, given| length(field, given, assumed);
    Ok(LayoutRequest {
        length: length("length", &asked.length)?,
        line_post: length("line_post", &asked.line_post)?,
        gate_post: length("gate_post", gate_post)?,
        full: length("full", &asked.full)?,
        min_cut: length("min_cut", &asked.min_cut)?,
        lattice: match &asked.lattice {
            Some(step) => Lattice::from_step(length("lattice", step)?)?,
            None => Lattice::default(),
        },
        build: match asked.build {
            BuildWord::Panels => Build::Panels,
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
        hide: asked.hide.map(|end| match end {
            EndWord::Start => WhichEnd::Start,
            EndWord::End => WhichEnd::End,
        }),
        order: asked
            .order
            .iter()
            .map(wish)
            .collect::<anyhow::Result<_>>()?,
    })
}

fn shift(given: &InchesOrText, assumed: &mut Vec<String>) -> Shift {
    assumed.extend(given.0.assumed.iter().cloned());
    given.0.value
}

fn length(field: &str, given: &InchesOrText, assumed: &mut Vec<String>) -> anyhow::Result<Length> {
    let feet = shift(given, assumed).feet();
    Length::from_feet(feet).with_context(|| format!("`{field}` can't be less than zero"))
}

fn gate(i: usize, asked: &PostsGate, assumed: &mut Vec<String>) -> anyhow::Result<GateRequest> {
    let opening = length(&format!("gates[{i}].opening"), &asked.opening, assumed)?;
    let mut place = |given: &Option<InchesOrText>| given.as_ref().map(|at| shift(at, assumed));
    Ok(GateRequest {
        opening,
        from: place(&asked.from),
        to: place(&asked.to),
        wish: place(&asked.wish),
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
        hole: asked.hole,
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

fn answer(layout: &Layout, assumed: Vec<String>) -> PostsAnswer {
    let (best, blocking) = match &layout.status {
        LayoutStatus::Optimal(best) => (Some(best), &[][..]),
        LayoutStatus::None { blocking } => (None, blocking.as_slice()),
    };
    let lattice = layout.lattice;
    PostsAnswer {
        status: if best.is_some() { "optimal" } else { "none" },
        objective: best.map(|best| ObjectiveRow::of(&best.objective)),
        lattice_in: lattice.step_inches(),
        order: layout.order.iter().map(|wish| wish.name()).collect(),
        posts: best.map_or_else(Vec::new, |best| post_rows(best, lattice)),
        sections: best.map_or_else(Vec::new, |best| section_rows(best, lattice)),
        runners_up: Vec::new(),
        blocking: (blocking.iter())
            .map(|rule| BlockingRow {
                name: rule.name(),
                words: rule.words(),
            })
            .collect(),
        assumed,
        cautions: CAUTIONS.to_vec(),
    }
}

fn post_rows(best: &Arrangement, lattice: Lattice) -> Vec<PostRow> {
    (best.posts.iter())
        .map(|post| PostRow {
            center_in: lattice.inches_of_halves(post.center_half_steps),
            width_in: lattice.inches(post.width),
            kind: post_word(post.kind),
            hole: post.hole,
            hand_dug: post.hand_dug,
        })
        .collect()
}

fn section_rows(best: &Arrangement, lattice: Lattice) -> Vec<SectionRow> {
    (best.sections.iter())
        .map(|section| SectionRow {
            kind: section_word(section.kind),
            clear_in: lattice.inches(section.clear),
            from_in: lattice.inches(section.from),
            to_in: lattice.inches(section.to()),
            gate: match section.kind {
                SectionKind::Gate(gate) => Some(gate),
                SectionKind::Full | SectionKind::Cut | SectionKind::Bay => None,
            },
        })
        .collect()
}

const fn post_word(kind: PostKind) -> &'static str {
    match kind {
        PostKind::End => "end",
        PostKind::Line => "line",
        PostKind::Gate => "gate",
        PostKind::Corner => "corner",
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

fn present(layout: &Layout, assumed: &[String], out: &mut dyn Write) -> anyhow::Result<()> {
    match &layout.status {
        LayoutStatus::Optimal(best) => present_best(best, layout, out)?,
        LayoutStatus::None { blocking } => present_blocking(blocking, out)?,
    }
    for words in assumed {
        writeln!(out, "assumed: {words}")?;
    }
    for words in CAUTIONS {
        writeln!(out, "caution: {words}")?;
    }
    Ok(())
}

fn present_best(best: &Arrangement, layout: &Layout, out: &mut dyn Write) -> anyhow::Result<()> {
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
    writeln!(out, "\nFrom the start reference, each rounded by itself:")?;
    writeln!(
        out,
        "  {:<12}  {:<10}  {:<10}  hole",
        "post center", "width", "kind"
    )?;
    let style = LengthStyle::CREW;
    let mut sections = best.sections.iter();
    for post in &best.posts {
        let hole = match (post.hole, post.hand_dug) {
            (false, _) => "none",
            (true, false) => "dig",
            (true, true) => "DIG BY HAND",
        };
        let center = lattice.half_steps(post.center_half_steps).to_text(style);
        let (width, kind) = (inches(lattice, post.width), post_word(post.kind));
        writeln!(out, "  {center:<12}  {width:<10}  {kind:<10}  {hole}")?;
        if let Some(section) = sections.next() {
            let clear = inches(lattice, section.clear);
            let kind = match section.kind {
                SectionKind::Gate(gate) => format!("gate {}", gate + 1),
                kind => section_word(kind).to_owned(),
            };
            writeln!(out, "  {:<12}  {clear:<10}  {kind}", "")?;
        }
    }
    Ok(())
}

fn inches(lattice: Lattice, steps: i64) -> String {
    let style = LengthStyle::Inches(InchFraction::Sixteenth);
    lattice.shift(steps).to_text(style)
}

fn present_blocking(blocking: &[Blocking], out: &mut dyn Write) -> anyhow::Result<()> {
    writeln!(out, "No layout keeps all hard rules.")?;
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
