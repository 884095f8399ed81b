//! A deed in a file: a land description, a call table or a map.

use std::path::Path;

use anyhow::Context;
use fence_geom::{
    Beginning, CallTableError, Deed, Description, DescriptionError, Direction, Point, Reading,
    StatedCall, StatedDirection, Tract, complete, read_description,
};

use crate::gis_ring::{MapGround, is_map, read_map};
use crate::input::read_text;
use crate::line_fault::show_fault;

/// Reads the deed of a file; what can't be read is kept in it.
///
/// # Errors
///
/// Shows the file, the line and the words of what can't be used.
pub(crate) fn read_paper(file: &Path, ground: MapGround<'_>) -> anyhow::Result<Description> {
    paper_of(file, &read_text(file)?, ground)
}

/// Reads the deed in the text of a file; `file` is what an error names.
///
/// # Errors
///
/// As [`read_paper`].
pub(crate) fn paper_of(
    file: &Path,
    text: &str,
    ground: MapGround<'_>,
) -> anyhow::Result<Description> {
    if is_map(text) {
        return Ok(of_corners(&read_map(file, text, ground)?));
    }
    ground.refuse(file)?;
    description_of(file, text)
}

fn description_of(file: &Path, text: &str) -> anyhow::Result<Description> {
    match read_description(text) {
        Err(DescriptionError::Table(CallTableError::Line(fault))) => {
            anyhow::bail!(show_fault(file, &fault))
        }
        read => read.with_context(|| file.display().to_string()),
    }
}

/// A map as a deed: the way from corner to corner, and back without a course of its
/// own, so that the outline closes by construction and not by merit.
fn of_corners(corners: &Reading<Vec<(String, Point)>>) -> Description {
    let ends = corners.value.iter().skip(1);
    let mut calls: Vec<StatedCall> = corners
        .value
        .iter()
        .zip(ends)
        .map(|((_, from), (name, to))| {
            let way = *to - *from;
            let direction = Direction::Azimuth(way.azimuth());
            StatedCall {
                corner: Some(name.clone()),
                ..StatedCall::line(Some(StatedDirection::Given(direction)), Some(way.length()))
            }
        })
        .collect();
    calls.push(StatedCall::line(None, None));
    let beginning = corners.value.first().map(|(name, at)| Beginning {
        name: name.clone(),
        at: Some(*at),
    });
    Description {
        tracts: vec![Tract {
            beginning: beginning.unwrap_or_default(),
            calls,
            ..Tract::default()
        }],
        notes: Vec::new(),
        assumed: Vec::new(),
        unread: Vec::new(),
    }
}

/// Reads the deed of a file, for a verb that builds on it.
///
/// # Errors
///
/// Shows the file, the line and the words of what can't be used, and of all that can't
/// be read: nothing is built on a deed with a gap.
pub(crate) fn read_whole_deed(file: &Path) -> anyhow::Result<Deed> {
    Ok(whole_deed_of(file, &read_text(file)?)?.0)
}

/// The deed in the text of a file, and what was assumed in reading it.
///
/// # Errors
///
/// As [`read_whole_deed`].
pub(crate) fn whole_deed_of(file: &Path, text: &str) -> anyhow::Result<(Deed, Vec<String>)> {
    let description = description_of(file, text)?;
    if !description.unread.is_empty() {
        let shown: Vec<String> = description
            .unread
            .iter()
            .map(|unread| show_fault(file, &unread.fault))
            .collect();
        anyhow::bail!("{}", shown.join("\n"));
    }
    let mut assumed = assumed_of(&description);
    let [tract, more @ ..] = description.tracts.as_slice() else {
        anyhow::bail!("{}: there is no tract in it", file.display());
    };
    if !more.is_empty() {
        assumed.push(format!(
            "of the {} tracts and exceptions of the deed the first is the lot; the others are neither \
             added nor taken out",
            description.tracts.len()
        ));
    }
    let answers = complete(tract).with_context(|| file.display().to_string())?;
    let [answer] = answers.as_slice() else {
        anyhow::bail!(
            "{}: what is missing in it has {} answers, and no line is set by a choice between them; run \
             `fence deed` to see them, and put the right figures in",
            file.display(),
            answers.len()
        );
    };
    Ok((answer.deed.clone(), assumed))
}

/// What had to be assumed, a sentence each.
pub(crate) fn assumed_of(description: &Description) -> Vec<String> {
    let mut assumed: Vec<String> = Vec::new();
    for it in &description.assumed {
        if !assumed.contains(&it.sentence) {
            assumed.push(it.sentence.clone());
        }
    }
    assumed
}
