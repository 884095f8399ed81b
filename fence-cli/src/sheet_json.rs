//! The crew sheet as JSON.

use fence_geom::{
    Fill, Finding, FlagReport, GateReport, JobReport, LayoutStatus, Length, Lot, Offset,
    OffsetRing, PlaceReport, Point, PointDoubt, PostKind, PostReport, RunReport, SectionReport,
    Side, SquareReport, Standing, Stretch, Trade, TurnReport, TwoTapes, Verdict,
};

use crate::contract::deed::{ClosureRow, PlaceRow, bearing_text};
use crate::contract::fit::FitPinAnswer;
use crate::contract::ground::GroundAnswer;
use crate::contract::offset::{OffsetArc, OffsetCheck, OffsetPlace, OffsetRingRole};
use crate::contract::posts::ObjectiveRow;
use crate::contract::sheet::{
    CheckKind, FinishedSideAnswer, OwnerAnswerWord, PostWord, RunStatus, SectionWord, SheetAnswer,
    SheetArc, SheetArcPost, SheetCheck, SheetCorner, SheetFit, SheetFlag, SheetGate, SheetJob,
    SheetLocate, SheetLot, SheetMove, SheetOffset, SheetOffsetCorner, SheetOwner, SheetPlace,
    SheetPost, SheetRun, SheetSection, SheetSide, SheetSquare, SheetStretch, SheetTies, SheetTrade,
    SheetTurn,
};
use crate::contract::square::SquareVerdict;
use crate::contract::tie::{TieSetBy, TieSide};
use crate::finding_words::{CAUTIONS, finding, no_dig, trade_words};
use crate::job_file::{AnswerField, FinishedSide, JobFile, LocateTable};
use crate::takeoff_list::takeoff_list;

/// Returns the whole sheet.
pub(crate) fn sheet_json(file: &JobFile, report: &JobReport, assumed: &[String]) -> SheetAnswer {
    SheetAnswer {
        job: head(file),
        no_dig: report.no_dig.iter().map(no_dig).collect(),
        lot: lot(report),
        offset: offset(&report.offset),
        flags: report.flags.iter().map(flag).collect(),
        turns: report.turns.iter().map(turn).collect(),
        runs: report.runs.iter().map(run).collect(),
        trades: report.trades.moves.iter().map(trade).collect(),
        trades_rough: report.trades.rough.clone(),
        trades_otherwise: report.trades.otherwise,
        checks: checks(report),
        takeoff: takeoff_list(file, report),
        places: report.places.iter().map(place).collect(),
        assumed: assumed.to_vec(),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
    }
}

fn head(file: &JobFile) -> SheetJob {
    let job = &file.job;
    SheetJob {
        name: job.name.clone(),
        site: job.site.clone(),
        arrival: job.arrival.clone(),
        crew_note: job.crew_note.clone(),
        finished_side: job.finished_side.map(|side| match side {
            FinishedSide::Out => FinishedSideAnswer::Out,
            FinishedSide::In => FinishedSideAnswer::In,
        }),
        product: file.product.name.clone(),
        height_ft: file.product.height.0.feet(),
        line_accepted_by: job.line_accepted_by.clone(),
        locate: file.locate.as_ref().map(locate),
    }
}

fn locate(table: &LocateTable) -> SheetLocate {
    SheetLocate {
        ticket: table.ticket.clone(),
        called: table.called.clone(),
        good_from: table.good_from.clone(),
        good_until: table.good_until.clone(),
        owners: (table.owners.iter())
            .map(|owner| SheetOwner {
                name: owner.name.clone(),
                answer: match owner.answer {
                    AnswerField::Marked => OwnerAnswerWord::Marked,
                    AnswerField::Away => OwnerAnswerWord::Away,
                    AnswerField::Clear => OwnerAnswerWord::Clear,
                    AnswerField::None => OwnerAnswerWord::None,
                },
            })
            .collect(),
        private_lines: table.private_lines.clone(),
    }
}

fn lot(report: &JobReport) -> SheetLot {
    let lot = &report.lot;
    let ring = lot.ring();
    SheetLot {
        corners: corners(lot, &report.corner_doubt),
        sides: (0..ring.len())
            .map(|i| SheetSide {
                name: ring.side_name(i),
                bearing: bearing_text(ring.direction(i)),
                azimuth_deg: ring.direction(i).degrees(),
                length_ft: ring.side_length(i).feet(),
                arc: OffsetArc::of_side(ring, i),
                pinned: lot.is_pinned(i),
            })
            .collect(),
        area_sq_ft: ring.area().square_feet(),
        area_acres: ring.area().acres(),
        perimeter_ft: ring.perimeter().feet(),
        closure: report.closure.map(ClosureRow::of),
        fit: lot.fit().map(|fit| SheetFit {
            rotation_deg: fit.rotation.degrees(),
            scale: fit.free_scale.unwrap_or(fit.scale),
            sigma_ft: fit.sigma.value(),
            pins: fit.pins.iter().map(FitPinAnswer::of).collect(),
        }),
    }
}

fn corners(lot: &Lot, doubts: &[PointDoubt]) -> Vec<SheetCorner> {
    let of_ring = lot.ring().corners().iter().enumerate();
    of_ring
        .map(|(i, corner)| {
            let standing = lot.standings().get(i).copied();
            let doubt = doubts.get(i);
            SheetCorner {
                name: corner.name.clone(),
                north_ft: corner.at.north(),
                east_ft: corner.at.east(),
                found: matches!(standing, Some(Standing::Accepted | Standing::Found)),
                accepted: standing == Some(Standing::Accepted),
                search_radius_ft: (lot.fitted(i))
                    .and_then(|corner| corner.search_radius)
                    .map(Length::feet),
                sigma_north_ft: doubt.and_then(|doubt| doubt.sigma_north.value()),
                sigma_east_ft: doubt.and_then(|doubt| doubt.sigma_east.value()),
            }
        })
        .collect()
}

fn offset(line: &Offset) -> SheetOffset {
    let rings = line.rings().iter();
    SheetOffset {
        rings: rings.clone().map(OffsetPlace::of_ring).collect(),
        ring_roles: rings
            .clone()
            .map(|ring| OffsetRingRole::of(ring.role()))
            .collect(),
        vanished: line.vanished(),
        area_sq_ft: line.area().square_feet(),
        perimeter_ft: line.perimeter().feet(),
        corners: rings
            .flat_map(OffsetRing::corners)
            .map(|corner| SheetOffsetCorner {
                name: corner.name.clone(),
                north_ft: corner.at.north(),
                east_ft: corner.at.east(),
                angle_deg: corner.interior.degrees(),
                deflection_deg: corner.deflection.degrees(),
                miter_before_ft: corner.along_before.feet(),
                miter_after_ft: corner.along_after.feet(),
                miter_straight_ft: corner.straight.feet(),
            })
            .collect(),
    }
}

fn places(points: impl IntoIterator<Item = Point>) -> Vec<PlaceRow> {
    points.into_iter().map(PlaceRow::of).collect()
}

fn place(place: &PlaceReport) -> SheetPlace {
    SheetPlace {
        name: place.name.clone(),
        north_ft: place.at.north(),
        east_ft: place.at.east(),
        sigma_north_ft: place.doubt.sigma_north.value(),
        sigma_east_ft: place.doubt.sigma_east.value(),
    }
}

fn turn(turn: &TurnReport) -> SheetTurn {
    SheetTurn {
        flag: turn.flag.clone(),
        angle_deg: turn.interior.degrees(),
        angle_sigma_deg: turn.sigma.value().map(f64::to_degrees),
        along: turn.along.clone(),
        check: turn.check.map(|check| OffsetCheck {
            leg_before_ft: check.back.feet(),
            leg_after_ft: check.on.feet(),
            diagonal_ft: check.diagonal.feet(),
        }),
    }
}

fn flag(flag: &FlagReport) -> SheetFlag {
    SheetFlag {
        name: flag.name.clone(),
        north_ft: flag.at.north(),
        east_ft: flag.at.east(),
        sigma_north_ft: flag.doubt.sigma_north.value(),
        sigma_east_ft: flag.doubt.sigma_east.value(),
        wall: flag.wall,
        settable: flag.settable,
        // A flag that must not be set has no tapes to set it by.
        ties: (flag.ties.as_ref().ok())
            .filter(|_| flag.settable && !flag.wall)
            .map(ties),
        no_tie_because: match &flag.ties {
            Err(none) if !flag.wall => none.reasons.clone(),
            _ => Vec::new(),
        },
    }
}

fn ties(tie: &TwoTapes) -> SheetTies {
    SheetTies {
        set_by: TieSetBy::of(tie),
        side: TieSide::of(tie.hand),
        sigma_north_ft: tie.sigma_north.value(),
        sigma_east_ft: tie.sigma_east.value(),
    }
}

fn run(run: &RunReport) -> SheetRun {
    let (status, objective, blocking, relaxations) = match &run.layout.status {
        LayoutStatus::Optimal(best) => (
            RunStatus::Optimal,
            Some(ObjectiveRow::of(&best.objective)),
            Vec::new(),
            Vec::new(),
        ),
        LayoutStatus::None {
            blocking,
            relaxations,
        } => {
            let words = blocking.iter().map(fence_geom::Blocking::words);
            let lattice = run.layout.lattice;
            let least = relaxations.iter().map(|least| least.words(lattice));
            (RunStatus::None, None, words.collect(), least.collect())
        }
    };
    SheetRun {
        name: run.name.clone(),
        from: run.from.clone(),
        to: run.to.clone(),
        start: PlaceRow::of(run.start),
        end: PlaceRow::of(run.end),
        length_ft: run.length.feet(),
        bearing: bearing_text(run.azimuth),
        azimuth_deg: run.azimuth.degrees(),
        yard: TieSide::of(run.yard),
        side: run.side.clone(),
        string_to_line_in: run.string_to_line.map(Length::inches),
        string_to_holes_in: run.string_to_holes.inches(),
        line_sigma_ft: run.line_sigma.value(),
        pinned: run.pinned,
        status,
        objective,
        blocking,
        relaxations,
        runners_up: (run.runners_up.iter())
            .map(|other| other.words.clone())
            .collect(),
        runners_up_lost: run.runners_up_lost,
        posts: posts(run),
        sections: run.sections.iter().map(section).collect(),
        ground: run.ground.as_ref().map(GroundAnswer::of),
        arc: arc(run),
        hand_dig: run.hand_dig.iter().map(stretch).collect(),
        no_dig: run.no_dig.iter().map(stretch).collect(),
    }
}

fn arc(run: &RunReport) -> Option<SheetArc> {
    let (Some(arc), Side::Arc { delta, turn }) = (&run.arc, run.shape) else {
        return None;
    };
    Some(SheetArc {
        center: PlaceRow::of(arc.center),
        center_in_reach: arc.center_in_reach,
        radius_ft: arc.radius.feet(),
        delta_deg: delta.degrees(),
        turn: TieSide::of(turn),
        post_radius_ft: arc.post_radius.feet(),
        moved_in_in: arc.moved_in.inches(),
        full_turn_deg: arc.full_turn.degrees(),
        misfit_in: arc.misfit.inches(),
        posts: (arc.posts.iter())
            .map(|post| SheetArcPost {
                turn_deg: post.turn.degrees(),
                along_chord_in: post.along_chord.inches(),
                off_chord_in: post.off_chord.inches(),
                to_next_in: post.to_next.map(Length::inches),
            })
            .collect(),
    })
}

/// The posts with their widths, which the layout has in steps. Where a panel is
/// bracketed to a wall the layout has a post of no width, which stands nowhere.
fn posts(run: &RunReport) -> Vec<SheetPost> {
    let LayoutStatus::Optimal(best) = &run.layout.status else {
        return Vec::new();
    };
    let widths = (best.posts.iter())
        .map(|post| post.width)
        .filter(|width| *width > 0);
    run.posts
        .iter()
        .zip(widths)
        .map(|(post, width)| one_post(post, run.layout.lattice.inches(width)))
        .collect()
}

fn one_post(post: &PostReport, width_in: f64) -> SheetPost {
    SheetPost {
        center_in: post.station.inches(),
        width_in,
        kind: match post.kind {
            PostKind::Line => PostWord::Line,
            PostKind::End => PostWord::End,
            PostKind::Corner => PostWord::Corner,
            PostKind::OtherCorner => PostWord::OtherCorner,
            PostKind::Tee => PostWord::Tee,
            PostKind::Gate => PostWord::Gate,
            PostKind::Latch => PostWord::Latch,
            PostKind::Pull => PostWord::Pull,
            PostKind::Step => PostWord::Step,
        },
        hole: post.hole,
        by_hand: post.by_hand.clone(),
        north_ft: post.at.north(),
        east_ft: post.at.east(),
        moved_in_in: post.moved_in.inches(),
    }
}

fn section(section: &SectionReport) -> SheetSection {
    let (kind, in_it) = match &section.fill {
        Fill::Full => (SectionWord::Full, None),
        Fill::Cut => (SectionWord::Cut, None),
        Fill::Bay => (SectionWord::Bay, None),
        Fill::Gate(report) => (SectionWord::Gate, Some(gate(report))),
    };
    SheetSection {
        kind,
        clear_in: section.clear.inches(),
        rail_in: section.rail.inches(),
        saw_in: section.saw.map(Length::inches),
        from_in: section.from.inches(),
        gate: in_it,
    }
}

fn trade(trade: &Trade) -> SheetTrade {
    SheetTrade {
        words: trade_words(trade),
        cuts: trade.cuts,
        cuts_now: trade.cuts_now,
        hand_dug: trade.hand_dug,
        moved_in: trade.moved.inches(),
        moves: (trade.moves.iter())
            .map(|(side, by)| SheetMove {
                side: side.clone(),
                by_in: by.inches(),
            })
            .collect(),
    }
}

fn gate(gate: &GateReport) -> SheetGate {
    SheetGate {
        name: gate.name.clone(),
        leaves: gate.leaves,
        hinge_at_start: gate.hinge_at_start,
        swings_in: gate.swings_in,
        hinges: places(gate.hinges.iter().copied()),
        shut: places(gate.shut.iter().copied()),
        open: places(gate.open.iter().copied()),
    }
}

fn stretch((stretch, near): &(Stretch, String)) -> SheetStretch {
    SheetStretch {
        near: near.clone(),
        from_in: stretch.from.inches(),
        to_in: stretch.to.inches(),
    }
}

/// All findings, and the square checks that pass.
fn checks(report: &JobReport) -> Vec<SheetCheck> {
    let found = report.findings.iter().map(|found| {
        let (kind, about) = kind_and_subject(found);
        SheetCheck {
            kind,
            trouble: found.is_trouble(),
            words: finding(found),
            square: (report.squares.iter())
                .find(|square| kind == CheckKind::Square && Some(&square.corner) == about.as_ref())
                .map(square),
            about,
        }
    });
    let passed = report.squares.iter().filter(|square| {
        let verdict = square.answer.verdict;
        verdict == Verdict::In
    });
    let passed = passed.map(|passed| SheetCheck {
        kind: CheckKind::Square,
        trouble: false,
        words: finding(&Finding::Square {
            corner: passed.corner.clone(),
            verdict: passed.answer.verdict,
        }),
        about: Some(passed.corner.clone()),
        square: Some(square(passed)),
    });
    found.chain(passed).collect()
}

fn kind_and_subject(finding: &Finding) -> (CheckKind, Option<String>) {
    let (kind, about) = match finding {
        Finding::DeedOpen { .. } => return (CheckKind::Closure, None),
        Finding::TooHigh { .. } => return (CheckKind::Height, None),
        Finding::NotPinned { side, .. } => (CheckKind::Pinned, side),
        Finding::PinDisagrees { pin, .. } => (CheckKind::PinAgrees, pin),
        Finding::PinsDisagree { first, .. } => (CheckKind::PinAgrees, first),
        Finding::PinDisturbed { pin } => (CheckKind::PinDisturbed, pin),
        Finding::PrivateLinesNotAsked => return (CheckKind::Locate, None),
        Finding::ClearButMarked { mark, .. } => (CheckKind::Locate, mark),
        Finding::Square { corner, .. } => (CheckKind::Square, corner),
        Finding::NoLayout { run, .. } => (CheckKind::Layout, run),
        Finding::NoTies { flag, .. } => (CheckKind::Ties, flag),
        Finding::InsideDoubtful { run, .. } => (CheckKind::Inside, run),
        Finding::ConcreteOver { run, .. } => (CheckKind::Concrete, run),
        Finding::HandDug { run, .. } => (CheckKind::HandDug, run),
        Finding::Swing { gate, .. } => (CheckKind::Swing, gate),
        Finding::GateOnEnd { gate, .. } => (CheckKind::GatePost, gate),
        Finding::TooNearLine { side, .. } => (CheckKind::Setback, side),
        Finding::GapUnder { run, .. } => (CheckKind::Gap, run),
        Finding::PostTooLong { run, .. } => (CheckKind::PostLength, run),
        Finding::TurnsTooMuch { run, .. } => (CheckKind::Turn, run),
        Finding::LongPull { run, .. } => (CheckKind::Pull, run),
        _ => return (CheckKind::Other, None),
    };
    (kind, Some(about.clone()))
}

fn square(square: &SquareReport) -> SheetSquare {
    let answer = &square.answer;
    SheetSquare {
        angle_deg: answer.angle.degrees(),
        angle_sigma_deg: answer.angle_sigma.value().map(f64::to_degrees),
        diagonal_error_in: answer.diagonal_error.inches(),
        verdict: SquareVerdict::of(answer.verdict),
        run_error_in: answer.run_error.inches(),
        tolerance_in: answer.tolerance.inches(),
    }
}
