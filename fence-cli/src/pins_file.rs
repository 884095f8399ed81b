//! Pins in a CSV file: a heading line, columns in any order, then a pin a line.

use std::path::Path;

use fence_geom::{Length, LineFault, METERS_PER_FOOT, Shift};

use crate::contract::fit::FitPin;
use crate::fields::{CoordinateField, LengthField};
use crate::line_fault::show_fault;
use crate::points_file::{Row, rows};

const HEADING: &str = "name with north_ft,east_ft (or _m), lon_deg,lat_deg or grid_north,grid_east; \
     besides height_ft, sigma_ft (or _m), located, kind, accepted_by";
const ROW: &str = "A,-93.1000512,48.6000347 in the order of the heading";

/// The pins of a file.
#[derive(Debug, Default)]
pub(crate) struct PinsRead {
    /// The pins, in the order of the lines.
    pub(crate) pins: Vec<FitPin>,
    /// The mean of the heights, where every pin has one.
    pub(crate) height: Option<CoordinateField>,
    /// What was assumed.
    pub(crate) assumed: Vec<String>,
}

/// Reads the pins of a text.
///
/// # Errors
///
/// Shows the file, the line and the words at fault.
pub(crate) fn read_pins(path: &Path, text: &str) -> anyhow::Result<PinsRead> {
    pins(text).map_err(|fault| anyhow::anyhow!(show_fault(path, &fault)))
}

fn pins(text: &str) -> Result<PinsRead, LineFault> {
    let mut rows = rows(text);
    let mut read = PinsRead::default();
    let Some(heading) = rows.next() else {
        return Ok(read);
    };
    let columns = columns(&heading)?;
    let mut heights = Vec::new();
    for (row, number) in rows.zip(1..) {
        let mut pin = FitPin::default();
        for (i, column) in columns.iter().enumerate() {
            heights.extend(fill(&mut pin, *column, &row, i)?);
        }
        if pin.corner.is_empty() {
            read.assumed = vec!["pins without a name are numbered in order".to_owned()];
            pin.corner = number.to_string();
        }
        read.pins.push(pin);
    }
    read.height = mean(&heights).filter(|_| heights.len() == read.pins.len());
    if read.height.is_some() {
        read.assumed.push(
            "the height of the ground is the mean of the heights given; they are taken as above \
             the ellipsoid"
                .to_owned(),
        );
    }
    Ok(read)
}

fn mean(heights: &[Shift]) -> Option<CoordinateField> {
    let count = u32::try_from(heights.len()).ok().filter(|n| *n > 0)?;
    let sum: f64 = heights.iter().map(|height| height.feet()).sum();
    Shift::from_feet(sum / f64::from(count))
        .ok()
        .map(CoordinateField)
}

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Column {
    Name,
    /// Feet in the unit of the column.
    North(f64),
    East(f64),
    Height(f64),
    Sigma(f64),
    Longitude,
    Latitude,
    GridNorth,
    GridEast,
    Located,
    Kind,
    AcceptedBy,
}

/// Whether a text is a list of pins: its first line that says anything heads a column
/// of a place.
pub(crate) fn is_pins(text: &str) -> bool {
    let of_place = |column: Column| {
        !matches!(
            column,
            Column::Name | Column::Located | Column::Kind | Column::AcceptedBy
        )
    };
    rows(text).next().is_some_and(|heading| {
        heading
            .columns()
            .any(|(words, _)| column(words).is_some_and(of_place))
    })
}

fn columns(heading: &Row<'_>) -> Result<Vec<Column>, LineFault> {
    let mut found: Vec<Column> = Vec::new();
    for (words, at) in heading.columns() {
        let Some(column) = column(words) else {
            let problem = format!("no pin has a column {words:?}");
            return Err(heading.fault(at, problem, HEADING));
        };
        let same =
            |other: &Column| std::mem::discriminant(other) == std::mem::discriminant(&column);
        if found.iter().any(same) {
            let problem = format!("{words:?} says again what an earlier column says");
            return Err(heading.fault(at, problem, HEADING));
        }
        found.push(column);
    }
    Ok(found)
}

fn column(words: &str) -> Option<Column> {
    const METER: f64 = 1.0 / METERS_PER_FOOT;
    Some(match words.to_ascii_lowercase().as_str() {
        "name" | "corner" => Column::Name,
        "north_ft" => Column::North(1.0),
        "north_m" => Column::North(METER),
        "east_ft" => Column::East(1.0),
        "east_m" => Column::East(METER),
        "height_ft" => Column::Height(1.0),
        "height_m" => Column::Height(METER),
        "sigma_ft" => Column::Sigma(1.0),
        "sigma_m" => Column::Sigma(METER),
        "lon_deg" => Column::Longitude,
        "lat_deg" => Column::Latitude,
        "grid_north" => Column::GridNorth,
        "grid_east" => Column::GridEast,
        "located" => Column::Located,
        "kind" => Column::Kind,
        "accepted_by" => Column::AcceptedBy,
        _ => return None,
    })
}

/// Fills in one field, and returns the height where it is one.
fn fill(
    pin: &mut FitPin,
    column: Column,
    row: &Row<'_>,
    index: usize,
) -> Result<Option<Shift>, LineFault> {
    let (words, at) = row.field(index);
    let bad = |problem: String| row.fault(at.clone(), problem, ROW);
    let number = || -> Result<f64, LineFault> {
        words.parse().map_err(|_| {
            bad(format!(
                "{words:?} is not a number; the heading says the unit"
            ))
        })
    };
    let place = |unit_feet: f64| {
        Shift::from_feet(number()? * unit_feet).map_err(|error| bad(error.to_string()))
    };
    let text = || Some(words.to_owned()).filter(|words| !words.is_empty());
    match column {
        Column::Name => words.clone_into(&mut pin.corner),
        Column::North(unit) => pin.north = Some(CoordinateField(place(unit)?)),
        Column::East(unit) => pin.east = Some(CoordinateField(place(unit)?)),
        Column::Height(unit) => return place(unit).map(Some),
        Column::Sigma(unit) => {
            let sigma = Length::from_feet(number()? * unit);
            pin.sigma = Some(LengthField(sigma.map_err(|error| bad(error.to_string()))?));
        }
        Column::Longitude => pin.lon_deg = Some(number()?),
        Column::Latitude => pin.lat_deg = Some(number()?),
        Column::GridNorth => pin.grid_north = Some(number()?),
        Column::GridEast => pin.grid_east = Some(number()?),
        Column::Located => match words {
            "measured" | "" => {}
            "phone" => pin.by_phone = true,
            other => {
                return Err(bad(format!("{other:?} is neither `measured` nor `phone`")));
            }
        },
        Column::Kind => pin.kind = text(),
        Column::AcceptedBy => pin.accepted_by = text(),
    }
    Ok(None)
}
