//! A lot in a file, for a verb that builds on its corners: a CSV of points, a map,
//! a call table or a job.

use std::path::Path;

use anyhow::Context;
use fence_geom::{LengthStyle, Point, Reading, Ring, Traverse, traverse, work_out};

use crate::deed_file::whole_deed_of;
use crate::deed_text::misclosure_words;
use crate::deed_work::closes;
use crate::geodetic_points::{is_lon_lat, read_lon_lat};
use crate::gis_ring::{MapGround, is_map, read_map_rings};
use crate::input::read_text;
use crate::job_reading::read_job;
use crate::points_file::{is_points, read_points};

/// The corners of a lot, and what was assumed in reading them.
pub(crate) struct LotRead {
    /// The lot.
    pub(crate) ring: Ring,
    /// What is cut out of it: a pond, a house to keep clear of.
    pub(crate) holes: Vec<Ring>,
    /// True where the corners are from a map: it is good for an estimate, and sets
    /// no flags.
    pub(crate) from_map: bool,
    /// What was assumed.
    pub(crate) assumed: Vec<String>,
    /// Why nothing may be built on the lot: the calls of its deed do not close.
    pub(crate) unresolved: Option<String>,
}

/// Reads the lot of a file: a job where its name ends in `.toml`, a map where it is
/// one, points where its first line heads columns, else a call table. Points by
/// longitude and latitude need their datum, and maps that or a unit; nothing else
/// takes one.
///
/// # Errors
///
/// Shows the file, the line and the words at fault.
pub(crate) fn read_lot(path: &Path, ground: MapGround<'_>) -> anyhow::Result<LotRead> {
    if path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("toml"))
    {
        ground.refuse(path)?;
        return lot_of_job(path);
    }
    lot_of_text(path, &read_text(path)?, ground)
}

/// Reads the lot of a text of points or of calls; `path` is what an error names.
///
/// # Errors
///
/// As [`read_lot`].
pub(crate) fn lot_of_text(
    path: &Path,
    text: &str,
    ground: MapGround<'_>,
) -> anyhow::Result<LotRead> {
    if is_map(text) {
        return lot_of_map(path, text, ground);
    }
    if is_lon_lat(text) {
        ground.refuse_unit(path)?;
        let corners = read_lon_lat(path, text, ground.datum)?;
        return lot_of_points(path, corners, true);
    }
    ground.refuse(path)?;
    if is_points(text) {
        lot_of_points(path, read_points(path, text)?, false)
    } else {
        lot_of_deed(path, text)
    }
}

/// The outline of a map, and its holes.
fn lot_of_map(path: &Path, text: &str, ground: MapGround<'_>) -> anyhow::Result<LotRead> {
    let Reading { value, mut assumed } = read_map_rings(path, text, ground)?;
    let mut rings = value
        .into_iter()
        .map(|corners| {
            let corners = without_repeats(corners, &mut assumed);
            Ring::of_lines(corners).with_context(|| path.display().to_string())
        })
        .collect::<anyhow::Result<Vec<_>>>()?
        .into_iter();
    let Some(ring) = rings.next() else {
        anyhow::bail!("{}: the polygon is empty", path.display());
    };
    Ok(LotRead {
        ring,
        holes: rings.collect(),
        from_map: true,
        assumed,
        unresolved: None,
    })
}

fn lot_of_points(
    path: &Path,
    points: Reading<Vec<(String, Point)>>,
    from_map: bool,
) -> anyhow::Result<LotRead> {
    let Reading { value, mut assumed } = points;
    let corners = without_repeats(value, &mut assumed);
    let ring = Ring::of_lines(corners).with_context(|| path.display().to_string())?;
    Ok(LotRead {
        ring,
        holes: Vec::new(),
        from_map,
        assumed,
        unresolved: None,
    })
}

/// Takes points at one place in a row as one corner, and says so; the last and
/// the first are in a row too.
fn without_repeats(
    points: Vec<(String, Point)>,
    assumed: &mut Vec<String>,
) -> Vec<(String, Point)> {
    let mut corners: Vec<(String, Point)> = Vec::with_capacity(points.len());
    for (name, at) in points {
        match corners.last() {
            Some((last, place)) if *place == at => assumed.push(one_corner(last, &name)),
            _ => corners.push((name, at)),
        }
    }
    while let [(first, start), .., (last, end)] = corners.as_slice()
        && start == end
    {
        assumed.push(one_corner(first, last));
        corners.pop();
    }
    corners
}

fn one_corner(first: &str, second: &str) -> String {
    if first == second {
        format!("{first} is listed again at the same place: taken as one corner")
    } else {
        format!("{first} and {second} are at the same place: taken as one corner, {first}")
    }
}

/// The raw corners of a deed: its last side takes up what the calls don't close
/// by, and that is said.
fn lot_of_deed(path: &Path, text: &str) -> anyhow::Result<LotRead> {
    let (deed, mut assumed) = whole_deed_of(path, text)?;
    let run_out = traverse(&deed);
    let closure = run_out.closure();
    if closure.misclosure().feet() > 0.0 {
        assumed.push(format!(
            "the calls miss by {}; the side that closes the lot takes it up",
            closure.misclosure().to_text(LengthStyle::RECORD)
        ));
    }
    let ring = run_out.ring().with_context(|| path.display().to_string())?;
    Ok(LotRead {
        ring,
        holes: Vec::new(),
        from_map: false,
        assumed,
        unresolved: unresolved(&run_out),
    })
}

/// What is wrong with calls that do not close, as `fence deed` judges them.
fn unresolved(run_out: &Traverse) -> Option<String> {
    let closure = run_out.closure();
    if closes(run_out, closure.allowed()) {
        return None;
    }
    let problem = if run_out.returns() {
        let words = misclosure_words(closure).unwrap_or_default();
        let explained = closure.allowed().feet();
        format!("they miss by {words}, and rounding explains only {explained:.2} ft")
    } else {
        "the last of them ends at a corner of its own, and the side that closes the lot is not \
         in the deed"
            .to_owned()
    };
    Some(format!(
        "The calls do not close: {problem}. Never build on an unresolved discrepancy; `fence deed` \
         shows what may be wrong."
    ))
}

fn lot_of_job(path: &Path) -> anyhow::Result<LotRead> {
    let read = read_job(path)?;
    let report = work_out(&read.job).with_context(|| path.display().to_string())?;
    Ok(LotRead {
        ring: report.lot.ring().clone(),
        holes: Vec::new(),
        from_map: false,
        assumed: read.assumed,
        unresolved: None,
    })
}
