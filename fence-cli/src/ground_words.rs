//! A run over its ground in words: what each post stands out, what is under each
//! section.

use fence_geom::{
    GroundReport, InchFraction, Length, LengthStyle, PostOnGround, SectionOnGround, Shift,
};

use crate::finding_words::crew;

/// A line of the table of a run's ground.
pub(crate) struct GroundLine {
    /// The station of a post, by both tapes; empty for a section.
    pub(crate) station: String,
    /// What is there.
    pub(crate) words: String,
}

/// Says how the tape is held, for the head of a run.
pub(crate) fn tape_words(ground: Option<&GroundReport>) -> String {
    let Some(ground) = ground else {
        return "TAPE LEVEL along the string".to_owned();
    };
    let ends = [
        ground.profile.readings().first(),
        ground.profile.readings().last(),
    ];
    let [Some(first), Some(last)] = ends else {
        return "TAPE LEVEL along the string".to_owned();
    };
    let along = ground.profile.along_ground(last.station);
    format!(
        "TAPE LEVEL along the string; ALONG GROUND a tape reads {} at the end, and the second station of the ground table at each post; from start to end the ground {}",
        along.to_text(LengthStyle::CREW),
        rise_words(last.height - first.height, "rises", "falls")
    )
}

/// Posts and the sections after them, in the order they are walked past.
/// `stations` are the centers of the posts, level; `from_wall` where a panel
/// bracketed to a wall has no post before it.
pub(crate) fn ground_lines(
    ground: &GroundReport,
    stations: &[Shift],
    from_wall: bool,
) -> Vec<GroundLine> {
    let mut lines = Vec::new();
    let mut sections = ground.sections.iter().enumerate();
    let section_line = |(i, section): (usize, &SectionOnGround)| GroundLine {
        station: String::new(),
        words: format!("section {}: {}", i + 1, section_words(section)),
    };
    if from_wall {
        lines.extend(sections.next().map(section_line));
    }
    for (post, station) in ground.posts.iter().zip(stations) {
        lines.push(GroundLine {
            station: format!(
                "{:>12}{:>14}",
                station.to_text(LengthStyle::CREW),
                post.along_ground.to_text(LengthStyle::CREW)
            ),
            words: post_words(post),
        });
        lines.extend(sections.next().map(section_line));
    }
    lines
}

fn post_words(post: &PostOnGround) -> String {
    let mut words = format!(
        "post stands out {}, {} long in all",
        crew(post.stands_out),
        no_shorter(post.needs)
    );
    if let Some(stock) = post.stock {
        words = format!("{words}: from {} stock", crew(stock));
        let spare = stock.minus(post.needs);
        if spare > Shift::ZERO {
            words = format!("{words}, {} to spare", spare.to_text(LengthStyle::CREW));
        }
    }
    if post.step != Shift::ZERO {
        words = format!("{words}; STEP {}", rise_words(post.step, "up", "down"));
    }
    words
}

/// A length that a post must have, to the next eighth of an inch up.
fn no_shorter(length: Length) -> String {
    let eighths = (length.inches() * 8.0 - 1e-6).ceil();
    Length::from_inches(eighths / 8.0).map_or_else(|_| crew(length), crew)
}

fn section_words(section: &SectionOnGround) -> String {
    let stands = if section.is_racked() {
        format!(
            "racked {}, rails {}",
            rise_words(section.rise(), "up", "down"),
            inches(section.rail())
        )
    } else {
        "level".to_owned()
    };
    let over = if section.over > Length::ZERO {
        ", OVER THE LIMIT"
    } else {
        ""
    };
    let even = section.largest_gap.minus(section.least_gap);
    if even.inches() < 1.0 / 16.0 {
        let gap = eighths(section.largest_gap);
        return format!("{stands}; gap {gap} all along{over}");
    }
    format!(
        "{stands}; gap {} at its start, {} at its end, {} on the average, largest {} at {}{over}",
        eighths(section.gap_from),
        eighths(section.gap_to),
        eighths(section.average_gap),
        eighths(section.largest_gap),
        section.largest_at.to_text(LengthStyle::CREW)
    )
}

fn rise_words(rise: Shift, up: &str, down: &str) -> String {
    let way = if rise < Shift::ZERO { down } else { up };
    format!("{way} {}", crew(rise.magnitude()))
}

pub(crate) fn inches(length: Length) -> String {
    length.to_text(LengthStyle::Inches(InchFraction::Sixteenth))
}

fn eighths(length: Length) -> String {
    length.to_text(LengthStyle::Inches(InchFraction::Eighth))
}
