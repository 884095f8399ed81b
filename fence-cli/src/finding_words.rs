//! Findings and reasons of a job, in the words of a crew sheet.

use fence_geom::{
    AngleStyle, Finding, InchFraction, Length, LengthStyle, NoDigReason, Trade, Trades, Verdict,
};

/// A crew reads feet and inches to an eighth.
pub(crate) fn crew(length: Length) -> String {
    length.to_text(LengthStyle::CREW)
}

/// Returns one sentence that says what was found and what to do.
pub(crate) fn finding(finding: &Finding) -> String {
    match finding {
        Finding::DeedOpen {
            misclosure,
            allowed,
        } => format!(
            "The deed misses closing by {misclosure:.2}; the rounding of its calls explains {allowed:.2}. Ask who wrote it before building on it."
        ),
        Finding::NotPinned {
            side,
            accepted_by: None,
        } => format!(
            "Side {side}: NOT PINNED - ESTIMATE ONLY. It lacks two accepted pins; no flags are set on it until a surveyor marks it or someone accepts the line by name."
        ),
        Finding::NotPinned {
            side,
            accepted_by: Some(who),
        } => format!("Side {side} lacks two accepted pins; the line was accepted by {who}."),
        Finding::PinDisagrees { pin, by } => format!(
            "Pin {pin} stands {} from where the deed and the other pins put it. Find out why before building.",
            crew(*by)
        ),
        Finding::PinsDisagree { first, second, by } => format!(
            "Pins {first} and {second} disagree with the deed by {} between them; which one is wrong can't be told. Find a third.",
            by.to_text(LengthStyle::CREW)
        ),
        Finding::PinDisturbed { pin } => {
            format!("Pin {pin} looked disturbed; it may have been moved.")
        }
        Finding::ClearButMarked { owner, mark } => format!(
            "{mark}: the ticket says that {owner} has no line here. Ask the center again, or enter the mark with owner = \"private\" if it is a private line; holes are kept off it all the same."
        ),
        Finding::PrivateLinesNotAsked => "Private lines: nobody was asked. The center does not have them marked; ask the owner about lights, sprinklers, gas to a grill, drains and the like before digging.".to_owned(),
        Finding::Square { corner, verdict } => square(corner, *verdict),
        Finding::NoLayout { run, blocking } if blocking.is_empty() => format!(
            "Run {run:?} has no layout, and no single rule given up would make one. Move a gate or an end, or change the product."
        ),
        Finding::NoLayout { run, blocking } => format!(
            "Run {run:?} has no layout. Any one of these would have to give way: {}.",
            blocking.join("; ")
        ),
        Finding::NoTies { flag, reason } => format!("Flag {flag}: {reason}."),
        Finding::InsideDoubtful { run, inside, doubt } => format!(
            "Run {run:?} is held {} inside the line, but the line is only known to ± {} (95 %, measuring only). Hold it farther inside, or have the line marked.",
            crew(*inside),
            crew(*doubt)
        ),
        Finding::ConcreteOver {
            run,
            posts,
            over,
            accepted,
        } => {
            let what = format!(
                "Run {run:?}: the holes of {posts} posts reach over the lot line, by up to {}.",
                crew(*over)
            );
            if *accepted {
                format!("{what} The job accepts it.")
            } else {
                format!("{what} Move the line in or use narrower holes.")
            }
        }
        Finding::HandDug { run, station, near } => format!(
            "Run {run:?}: dig the post at {} by hand, near {}.",
            station.to_text(LengthStyle::CREW),
            near.join(" and ")
        ),
        Finding::GateOnEnd { gate, post } => format!(
            "Gate {gate:?} stands against the {} at the end of its run, which is another than a gate post. Set a post there that carries it, or give the gate another place.",
            post.name()
        ),
        Finding::Swing { gate, meets } => {
            format!(
                "Gate {gate:?} swings into {meets}. Change its swing, its hinge side or its place."
            )
        }
        Finding::GapUnder {
            run,
            station,
            gap,
            limit,
        } => format!(
            "Run {run:?}: at {} the gap under the section is {}, and {} is the limit. Fill or grade the ground there, close the gap, or use a product that racks farther.",
            station.to_text(LengthStyle::CREW),
            crew(*gap),
            crew(*limit)
        ),
        Finding::PostTooLong {
            run,
            posts,
            needs,
            longest,
        } => format!(
            "Run {run:?}: {posts} posts need up to {}, and the longest in the product list is {}. Order longer posts.",
            crew(*needs),
            crew(*longest)
        ),
        Finding::TurnsTooMuch {
            run,
            turn,
            limit,
            least_radius,
        } => format!(
            "Run {run:?}: the fence turns {} at a post, and the product allows {}. With full sections the post centers need a radius of {} at least: use narrower sections, or brackets that turn farther.",
            turn.to_text(AngleStyle::Decimal { places: 2 }),
            limit.to_text(AngleStyle::Decimal { places: 2 }),
            crew(*least_radius)
        ),
        Finding::LongPull { run, length, limit } => format!(
            "Run {run:?}: {} of fabric from terminal post to terminal post, and the product is pulled over {} at most: put a stop between, so that a pull post stands there.",
            crew(*length),
            crew(*limit)
        ),
        Finding::TooHigh { height, limit } => format!(
            "The fence is {} high; the limit entered is {}.",
            crew(*height),
            crew(*limit)
        ),
        Finding::TooNearLine {
            side,
            inside,
            limit,
        } => format!(
            "On side {side} the fence is {} inside the line; the limit entered is {}.",
            crew(*inside),
            crew(*limit)
        ),
        other => format!("{other:?}"),
    }
}

fn square(corner: &str, verdict: Verdict) -> String {
    match verdict {
        Verdict::In => format!("Corner {corner} is square."),
        Verdict::Out => format!("Corner {corner} is out of square; see the square checks."),
        Verdict::Undecided => format!(
            "Corner {corner}: the readings can't tell whether it is square; see the square checks."
        ),
    }
}

/// Returns why the job must not be dug, in words.
pub(crate) fn no_dig(reason: &NoDigReason) -> String {
    match reason {
        NoDigReason::NoTicket => "there is no locate ticket".to_owned(),
        NoDigReason::NoOwners => "the ticket lists no owners and no answers".to_owned(),
        NoDigReason::NoAnswer { owner } => format!("{owner} has not answered"),
        NoDigReason::MarksMissing { owner } => format!(
            "{owner} has marked its lines, and none of them is entered, so no hole was kept off them: enter them as [[utility]] with owner = {owner:?}, or answer \"away\" if none is near the fence"
        ),
        NoDigReason::TooEarly { arrival, good_from } => {
            format!("the crew comes on {arrival}, the ticket is good from {good_from}")
        }
        NoDigReason::TooLate {
            arrival,
            good_until,
        } => format!("the crew comes on {arrival}, the ticket ran out on {good_until}"),
        NoDigReason::NoDates => {
            "the day the crew comes or the days of the ticket are not given".to_owned()
        }
        other => format!("{other:?}"),
    }
}

/// The cautions that every sheet carries.
pub(crate) const CAUTIONS: [&str; 5] = [
    "Call the one-call center (811 in the United States) before digging, and respect the tolerance zone of its marks; the zone differs by state. It does not mark private lines.",
    "A tape and a deed are not a boundary survey: only a licensed surveyor can say where the line is. A found pin may have been moved.",
    "Check the local rules on permits, height, setback, sight triangles, easements and pools before digging.",
    "Never build on an unresolved discrepancy: stop and ask.",
    "± figures are 95 % and speak of measuring only, not of whether the pins are right.",
];

/// What moves of lines would save, in words.
pub(crate) fn trade_words(trade: &Trade) -> String {
    let style = LengthStyle::Inches(InchFraction::Sixteenth);
    let moves: Vec<String> = (trade.moves.iter())
        .map(|(side, by)| {
            let way = if by.feet() < 0.0 { "out" } else { "in" };
            format!("{side} {} farther {way}", by.magnitude().to_text(style))
        })
        .collect();
    let cuts = match trade.cuts {
        0 => "no cut".to_owned(),
        1 => "1 cut".to_owned(),
        cuts => format!("{cuts} cuts"),
    };
    let holes = match trade.hand_dug {
        0 => String::new(),
        1 => ", 1 hole dug by hand".to_owned(),
        holes => format!(", {holes} holes dug by hand"),
    };
    if moves.is_empty() {
        return format!("{cuts} in all with the lines where they are{holes}");
    }
    let now = match trade.cuts_now {
        Some(now) => format!(" in all instead of {now}"),
        None => " in all, where a run has no layout now".to_owned(),
    };
    format!("{cuts}{now} with {}{holes}", moves.join(", "))
}

/// That other layouts do not hold on the ground; nothing where none is lost.
pub(crate) fn lost_words(lost: usize) -> Option<String> {
    match lost {
        0 => None,
        1 => Some("1 more layout would be, but does not hold on this ground".to_owned()),
        lost => Some(format!(
            "{lost} more layouts would be, but do not hold on this ground"
        )),
    }
}

/// What is not sure of the moves of lines.
pub(crate) fn rough_words(trades: &Trades) -> Vec<String> {
    let mut words = Vec::new();
    if trades.otherwise > 0 {
        words.push(format!(
            "{} came to other cuts over the ground than were counted ahead: the moves told are those that hold",
            match trades.otherwise {
                1 => "1 choice of moves".to_owned(),
                count => format!("{count} choices of moves"),
            }
        ));
    }
    if !trades.rough.is_empty() {
        words.push(format!(
            "moves are too many to lay each out over the ground of {}: others that were not tried may save more",
            trades.rough.join(", ")
        ));
    }
    words
}
