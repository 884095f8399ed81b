//! Nets of `fence tie`: a request to the library's form, and the answer in words
//! and as JSON.

use std::io::Write;

use anyhow::Context;
use fence_geom::{
    Angle, CheckedReading, Frame, KnownPoint, Length, LengthStyle, Net, NetAnswer, NetAnswers,
    NetPlace, NetReading, ReadingOf, Shift, SideHint, Sigma, TapeModel, adjust_net, standards,
};

use super::corrections::{self, Corrector};
use crate::Exit;
use crate::contract::net::{
    CorrectedReading, NetAmount, NetAnswerJson, NetJson, NetReadingJson, NetWeakJson,
};
use crate::contract::tie::{TieAnswer, TieEllipse, TiePointAnswer, TieRequest};
use crate::typed::{self, TapeArgs};

/// A net as it was read, with what came out.
pub(crate) struct NetRead {
    pub(crate) net: Net,
    pub(crate) answers: NetAnswers,
    corrected: Vec<CorrectedReading>,
    assumed: Vec<String>,
}

/// A tape by its name, with what is corrected of it.
struct Reel<'a> {
    name: &'a str,
    model: TapeModel,
    corrector: Corrector,
}

impl TieRequest {
    /// Whether it asks for a net.
    pub(crate) fn is_net(&self) -> bool {
        !(self.distances.is_empty()
            && self.corners.is_empty()
            && self.on_line.is_empty()
            && self.directions.is_empty())
    }
}

/// Reads a net and adjusts it.
pub(super) fn adjusted(request: &TieRequest) -> anyhow::Result<NetRead> {
    anyhow::ensure!(
        request.tapes.is_empty() && request.set.is_none(),
        "a net has `distances`, and neither `tapes` nor `set`: give one or the other"
    );
    let mut assumed = Vec::new();
    let mut corrected = Vec::new();
    let reels = reels(request)?;
    let mut readings = distances(request, &reels, &mut corrected)?;
    readings.extend(others(request, &mut assumed)?);
    let net = Net {
        known: known(request, &mut assumed)?,
        readings,
        tapes: reels.iter().map(|reel| reel.model).collect(),
        sides: request.sides.iter().map(side).collect(),
    };
    let answers = adjust_net(&net)?;
    Ok(NetRead {
        net,
        answers,
        corrected,
        assumed,
    })
}

/// The tape of the whole request first, then the reels.
fn reels(request: &TieRequest) -> anyhow::Result<Vec<Reel<'_>>> {
    let whole = Reel {
        name: "",
        model: TapeArgs::of(request.reading_sigma.map(|field| field.0), request.scale).model()?,
        corrector: corrections::of(request.corrections.as_ref()).context("corrections")?,
    };
    let mut reels = vec![whole];
    for given in &request.reels {
        anyhow::ensure!(
            reels.iter().all(|reel| reel.name != given.name),
            "two reels are called {:?}: give each a name of its own",
            given.name
        );
        let model = TapeArgs::of(given.reading_sigma.map(|field| field.0), given.scale).model();
        reels.push(Reel {
            name: &given.name,
            model: model.with_context(|| format!("reel {}", given.name))?,
            corrector: corrections::of(given.corrections.as_ref())
                .with_context(|| format!("corrections of reel {}", given.name))?,
        });
    }
    Ok(reels)
}

fn distances(
    request: &TieRequest,
    reels: &[Reel<'_>],
    corrected: &mut Vec<CorrectedReading>,
) -> anyhow::Result<Vec<NetReading>> {
    let mut readings = Vec::new();
    for given in &request.distances {
        let words = format!("tape {} to {}", given.from, given.to);
        let wanted = given.reel.as_deref().unwrap_or("");
        let place = reels.iter().position(|reel| reel.name == wanted);
        let place = place.with_context(|| {
            format!("{words}: no reel is called {wanted:?}; give it under `reels`")
        })?;
        let slope = corrections::slope(given).with_context(|| words.clone())?;
        let reads = match reels.get(place) {
            Some(reel) => reel
                .corrector
                .level(&words, given.reads.0, slope, corrected)?,
            None => given.reads.0,
        };
        readings.push(NetReading::Distance {
            from: given.from.clone(),
            to: given.to.clone(),
            reads,
            tape: place,
        });
    }
    Ok(readings)
}

fn others(request: &TieRequest, assumed: &mut Vec<String>) -> anyhow::Result<Vec<NetReading>> {
    let mut readings = Vec::new();
    for given in &request.corners {
        let words = || format!("corner at {}", given.at);
        if given.sigma_deg.is_none() {
            assumed.push("a corner is good to half a degree (one standard error)".to_owned());
        }
        let degrees = given.angle_deg.unwrap_or(90.0);
        let sigma = given.sigma_deg.unwrap_or(standards::CORNER_DEGREES);
        readings.push(NetReading::Corner {
            at: given.at.clone(),
            from: given.from.clone(),
            to: given.to.clone(),
            angle: Angle::from_degrees(degrees).with_context(words)?,
            sigma: Sigma::known(sigma.to_radians()).with_context(words)?,
        });
    }
    for given in &request.on_line {
        if given.sigma.is_none() {
            assumed.push("a point on a line is good to 1/4 in (one standard error)".to_owned());
        }
        readings.push(NetReading::OnLine {
            point: given.point.clone(),
            from: given.from.clone(),
            to: given.to.clone(),
            right: given.right.map_or(Shift::ZERO, |field| field.0),
            sigma: Sigma::of_length(given.sigma.map_or(standards::ON_LINE, |field| field.0)),
        });
    }
    for given in &request.directions {
        let sigma = Sigma::known(given.sigma_deg.to_radians());
        readings.push(NetReading::Direction {
            from: given.from.clone(),
            to: given.to.clone(),
            toward: given.toward.0,
            sigma: sigma.with_context(|| format!("direction {} to {}", given.from, given.to))?,
        });
    }
    Ok(readings)
}

fn known(request: &TieRequest, assumed: &mut Vec<String>) -> anyhow::Result<Vec<KnownPoint>> {
    let read = |given| {
        let reading = super::known(given)?;
        assumed.extend(reading.assumed);
        Ok(reading.value)
    };
    request.known.iter().map(read).collect()
}

fn side(given: &crate::contract::net::NetSide) -> SideHint {
    SideHint {
        point: given.point.clone(),
        from: given.from.clone(),
        to: given.to.clone(),
        hand: given.side.turn(),
    }
}

impl NetRead {
    /// Done, or an answer is no: a reading is suspect, the readings do not go
    /// together, or a point has two places.
    pub(super) fn exit(&self) -> Exit {
        let good = |answer: &NetAnswer| answer.fits() && answer.suspects.is_empty();
        if self.answers.answers.len() == 1 && self.answers.answers.iter().all(good) {
            Exit::Done
        } else {
            Exit::AnswerIsNo
        }
    }

    /// The answer as JSON.
    pub(super) fn json(self) -> TieAnswer {
        TieAnswer {
            points: self.points(),
            set_by: None,
            no_tie_because: Vec::new(),
            net: Some(NetJson {
                relative_to: self.relative_to(),
                ambiguous: self.answers.ambiguous.clone(),
                answers: (1..)
                    .zip(&self.answers.answers)
                    .map(|(number, answer)| self.answer(number, answer))
                    .collect(),
            }),
            corrected: self.corrected,
            assumed: typed::once(self.assumed),
            cautions: super::cautions(),
        }
    }

    fn relative_to(&self) -> String {
        match self.answers.answers.first().map(|answer| &answer.frame) {
            Some(Frame::Base { origin, north }) => {
                format!("{origin}, with {north} due north of it")
            }
            Some(Frame::Origin { origin }) => format!("{origin}, and the directions as read"),
            Some(Frame::Known) | None => "the known points".to_owned(),
        }
    }

    /// Every point once, and those with two places once for each answer.
    fn points(&self) -> Vec<TiePointAnswer> {
        let mut points = Vec::new();
        for (number, answer) in (1..).zip(&self.answers.answers) {
            for place in &answer.points {
                let several = self.answers.ambiguous.contains(&place.name);
                if several || number == 1 {
                    points.push(point(place, several.then_some(number)));
                }
            }
        }
        points
    }

    fn answer(&self, number: usize, answer: &NetAnswer) -> NetAnswerJson {
        let words = |index: &usize| {
            let reading = answer.readings.get(*index);
            reading.map_or_else(String::new, |reading| words(&self.net, reading.of))
        };
        NetAnswerJson {
            answer: number,
            redundancy: answer.redundancy,
            misfit: answer.misfit,
            misfit_limit: answer.misfit_limit,
            fits: answer.fits(),
            sigma_factor: answer.sigma_factor(),
            condition: answer.condition,
            readings: (0..)
                .zip(&answer.readings)
                .map(|(i, reading)| self.reading(reading, answer.suspects.contains(&i)))
                .collect(),
            suspects: answer.suspects.iter().map(words).collect(),
            weak: answer
                .weak
                .iter()
                .map(|weak| NetWeakJson {
                    name: weak.name.clone(),
                    off_95_ft: weak.off_95.feet(),
                    azimuth_deg: weak.along.degrees(),
                    tape_from: weak.tape_from.clone(),
                })
                .collect(),
        }
    }

    fn reading(&self, reading: &CheckedReading, suspect: bool) -> NetReadingJson {
        let amount = |value| amount(&self.net, reading.of, value);
        NetReadingJson {
            reading: words(&self.net, reading.of),
            residual: amount(reading.residual),
            sigma: amount(reading.sigma),
            redundancy: reading.redundancy,
            standardized: reading.standardized,
            likely_error: reading.likely_error.map(amount),
            detectable: reading.detectable.map(amount),
            suspect,
        }
    }
}

fn point(place: &NetPlace, answer: Option<usize>) -> TiePointAnswer {
    TiePointAnswer {
        name: match answer {
            Some(number) => format!("{}-{number}", place.name),
            None => place.name.clone(),
        },
        north_ft: place.at.north(),
        east_ft: place.at.east(),
        sigma_north_ft: place.sigma_north.value(),
        sigma_east_ft: place.sigma_east.value(),
        side: None,
        radius_95_ft: Some(place.ellipse.search_radius_95().feet()),
        ellipse_95: Some(TieEllipse::of(place.ellipse)),
        answer,
    }
}

/// What a line of the residuals is of.
fn words(net: &Net, of: ReadingOf) -> String {
    let known = |i: usize| net.known.get(i).map_or("", |known| known.name.as_str());
    match of {
        ReadingOf::Reading(i) => net
            .readings
            .get(i)
            .map_or_else(String::new, ToString::to_string),
        ReadingOf::KnownNorth(i) => format!("known point {}, northing", known(i)),
        ReadingOf::KnownEast(i) => format!("known point {}, easting", known(i)),
        ReadingOf::TapeScale(0) => "length of the tape".to_owned(),
        ReadingOf::TapeScale(i) => format!("length of reel {i}"),
    }
}

fn amount(net: &Net, of: ReadingOf, value: f64) -> NetAmount {
    match of {
        ReadingOf::Reading(i) => match net.readings.get(i) {
            Some(NetReading::Corner { .. } | NetReading::Direction { .. }) => {
                NetAmount::Deg(value.to_degrees())
            }
            _ => NetAmount::Ft(value),
        },
        ReadingOf::KnownNorth(_) | ReadingOf::KnownEast(_) => NetAmount::Ft(value),
        ReadingOf::TapeScale(_) => NetAmount::Ratio(value),
    }
}

/// Writes the answer for people.
pub(super) fn present(json: &TieAnswer, out: &mut dyn Write) -> anyhow::Result<()> {
    let Some(net) = &json.net else {
        return Ok(());
    };
    writeln!(
        out,
        "places relative to {}; 95 % by measuring only",
        net.relative_to
    )?;
    let width = widest(json.points.iter().map(|point| point.name.as_str()));
    for point in &json.points {
        writeln!(
            out,
            "  {:<width$}  N {}  E {} ft, {}",
            point.name,
            super::thousandths(point.north_ft),
            super::thousandths(point.east_ft),
            super::within(point.radius_95_ft)
        )?;
    }
    if net.ambiguous.len() == 1 {
        writeln!(
            out,
            "  two places fit {}: say on which side of a line it lies, under `sides`",
            net.ambiguous.join(", ")
        )?;
    } else if !net.ambiguous.is_empty() {
        writeln!(
            out,
            "  {} answers fit: say under `sides` on which side of a line one of these lies: {}",
            net.answers.len(),
            net.ambiguous.join(", ")
        )?;
    }
    for answer in &net.answers {
        if net.answers.len() > 1 {
            writeln!(out, "answer {}", answer.answer)?;
        }
        present_answer(answer, out)?;
    }
    Ok(())
}

fn present_answer(answer: &NetAnswerJson, out: &mut dyn Write) -> anyhow::Result<()> {
    writeln!(
        out,
        "readings ({} more than the places need); off = adjusted less read",
        answer.redundancy
    )?;
    let width = widest(
        answer
            .readings
            .iter()
            .map(|reading| reading.reading.as_str()),
    );
    for reading in &answer.readings {
        let checked = match reading.detectable {
            Some(amount) => format!(
                "checked {:.0} %, an error of {} would show",
                reading.redundancy * 100.0,
                size(amount)
            ),
            None => "nothing checks it".to_owned(),
        };
        let mark = if reading.suspect { "  SUSPECT" } else { "" };
        writeln!(
            out,
            "  {:<width$}  off {:>10}  {checked}{mark}",
            reading.reading,
            signed(reading.residual)
        )?;
    }
    if let Some(limit) = answer.misfit_limit {
        let verdict = if answer.fits {
            "the readings go together"
        } else {
            "THE READINGS DO NOT GO TOGETHER as well as their standard errors say"
        };
        writeln!(
            out,
            "  misfit {:.2}, honest readings stay below {limit:.2} in 95 of 100 nets: {verdict}",
            answer.misfit
        )?;
    } else {
        writeln!(out, "  nothing checks this net: one more tape would")?;
    }
    present_suspects(answer, out)?;
    for weak in &answer.weak {
        let remedy = match &weak.tape_from {
            Some(from) => format!("a tape from {from} helps most"),
            None => "a tape along that direction from a point that stands well would help".into(),
        };
        writeln!(
            out,
            "  weak: {} may be off {:.2} ft either way at {:.0} degrees from north; {remedy}",
            weak.name, weak.off_95_ft, weak.azimuth_deg
        )?;
    }
    Ok(())
}

fn present_suspects(answer: &NetAnswerJson, out: &mut dyn Write) -> anyhow::Result<()> {
    let suspects: Vec<&NetReadingJson> = answer
        .readings
        .iter()
        .filter(|reading| reading.suspect)
        .collect();
    let too = |reading: &NetReadingJson| {
        let (much, amount) = match reading.likely_error {
            Some(NetAmount::Ft(x) | NetAmount::Deg(x) | NetAmount::Ratio(x)) if x < 0.0 => {
                ("too little", reading.likely_error)
            }
            _ => ("too much", reading.likely_error),
        };
        format!(
            "{} reads {} {much}",
            reading.reading,
            amount.map_or_else(String::new, size)
        )
    };
    match suspects.as_slice() {
        [] => {}
        [one] => writeln!(out, "  suspect: {}; measure it again", too(one))?,
        many => {
            writeln!(
                out,
                "  one of these is wrong, the readings can't tell which:"
            )?;
            for reading in many {
                writeln!(out, "    {}", too(reading))?;
            }
        }
    }
    Ok(())
}

/// An amount with its sign, as a person reads it.
fn signed(amount: NetAmount) -> String {
    // What rounds to zero has no sign.
    let sign = |value: f64, half: f64| if value.abs() < half { 0.0 } else { value };
    match amount {
        NetAmount::Ft(feet) => format!("{:+.2} in", sign(feet * 12.0, 0.005)),
        NetAmount::Deg(degrees) => format!("{:+.3} deg", sign(degrees, 0.0005)),
        NetAmount::Ratio(ratio) => format!("{:+.0} ppm", sign(ratio * 1e6, 0.5)),
    }
}

fn widest<'a>(names: impl Iterator<Item = &'a str>) -> usize {
    names
        .map(|name| name.chars().count())
        .max()
        .unwrap_or_default()
}

/// How large an amount is, as a person reads it.
fn size(amount: NetAmount) -> String {
    match amount {
        NetAmount::Ft(feet) if feet.abs() >= 1.0 => {
            let length = Length::from_feet(feet.abs()).unwrap_or_default();
            length.to_text(LengthStyle::DecimalFeet { places: 2 })
        }
        NetAmount::Ft(feet) => format!("{:.2} in", feet.abs() * 12.0),
        NetAmount::Deg(degrees) => format!("{:.2} deg", degrees.abs()),
        NetAmount::Ratio(ratio) => format!("{:.0} ppm", ratio.abs() * 1e6),
    }
}
