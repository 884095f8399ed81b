//! Quantities as they are typed on the command line.

use fence_geom::{
    Angle, FootKind, KnownPoint, Length, LengthReader, LengthUnit, Point, Reading, Shift, Sigma,
    TapeModel, read_angle,
};

/// A name and what was typed after its equals sign.
#[derive(Clone, Debug)]
pub(crate) struct Named<T> {
    pub(crate) name: String,
    pub(crate) value: T,
}

/// The tape that was read.
#[derive(clap::Args, Debug)]
pub(crate) struct TapeArgs {
    /// Standard error of one tape reading [default: 1/8in]
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    reading_sigma: Option<Reading<Length>>,
    /// Standard error of the tape's own length, as 1:N
    #[arg(long, value_name = "1:N", default_value = "1:5000", value_parser = one_in)]
    scale: f64,
}

/// N of the 1:N standard error of a tape's own length, where none is given.
const SCALE_ONE_IN: f64 = 5000.0;

impl TapeArgs {
    /// The arguments as a request gives them.
    pub(crate) fn of(reading_sigma: Option<Length>, scale: Option<f64>) -> Self {
        Self {
            reading_sigma: reading_sigma.map(Reading::sure),
            scale: scale.unwrap_or(SCALE_ONE_IN),
        }
    }

    pub(crate) fn model(&self) -> anyhow::Result<TapeModel> {
        let mut tape = TapeModel::default().with_scale_one_in(self.scale)?;
        if let Some(reading) = &self.reading_sigma {
            tape.reading = Sigma::of_length(reading.value);
        }
        Ok(tape)
    }
}

/// Reads a length; a bare number is feet, and said so.
pub(crate) fn length(text: &str) -> anyhow::Result<Reading<Length>> {
    Ok(reader().read(text)?)
}

/// Reads an angle in degrees.
pub(crate) fn angle(text: &str) -> anyhow::Result<Reading<Angle>> {
    Ok(read_angle(text)?)
}

/// Reads a ratio `1:N`, or N alone, and returns N.
fn one_in(text: &str) -> anyhow::Result<f64> {
    let number = text.trim().strip_prefix("1:").unwrap_or(text).trim();
    let n: f64 = number
        .parse()
        .map_err(|_| anyhow::anyhow!("{text:?} is not a ratio; write it like 1:5000"))?;
    anyhow::ensure!(
        (10.0..=1e12).contains(&n),
        "a tape is good to 1:10 at worst and 1:1e12 at best, got 1:{n}; write it like 1:5000"
    );
    Ok(n)
}

/// Reads `NORTH,EAST`.
pub(crate) fn point(text: &str) -> anyhow::Result<Reading<Point>> {
    let parts: Vec<&str> = text.split(',').collect();
    let &[north, east] = parts.as_slice() else {
        anyhow::bail!("{text:?} is not a place; write it as NORTH,EAST like 0,60 or 12.5ft,-3ft");
    };
    let (north, east) = (coordinate(north)?, coordinate(east)?);
    Ok(Reading {
        value: Point::new(north.value, east.value)?,
        assumed: [north.assumed, east.assumed].concat(),
    })
}

/// Reads `NAME=NORTH,EAST`.
pub(crate) fn named_point(text: &str) -> anyhow::Result<Named<Reading<Point>>> {
    let (name, place) = name_and_rest(text, "A=0,60")?;
    let value = point(place)?;
    Ok(Named { name, value })
}

/// Reads `NAME=NORTH,EAST` or `NAME=NORTH,EAST,SIGMA`.
pub(crate) fn known_point(text: &str) -> anyhow::Result<Reading<KnownPoint>> {
    let (name, rest) = name_and_rest(text, "A=0,60")?;
    let (place, sigma) = match rest.match_indices(',').nth(1) {
        Some((at, _)) => (&rest[..at], Some(&rest[at + 1..])),
        None => (rest, None),
    };
    let mut at = point(place)?;
    let sigma = match sigma {
        Some(text) => {
            let sigma = length(text)?;
            at.assumed.extend(sigma.assumed);
            Sigma::of_length(sigma.value)
        }
        None => {
            at.assumed
                .push(format!("known point {name} is taken as exact"));
            Sigma::ZERO
        }
    };
    Ok(Reading {
        value: KnownPoint {
            name,
            at: at.value,
            sigma,
        },
        assumed: at.assumed,
    })
}

/// Reads `NAME=LENGTH`.
pub(crate) fn named_length(text: &str) -> anyhow::Result<Named<Reading<Length>>> {
    let (name, rest) = name_and_rest(text, "A=62ft4in")?;
    let value = length(rest)?;
    Ok(Named { name, value })
}

/// Reads a length that may have a sign.
pub(crate) fn shift(text: &str) -> anyhow::Result<Reading<Shift>> {
    Ok(reader().read_shift(text)?)
}

/// Reads `NAME=LENGTH` where the length may have a sign.
pub(crate) fn named_shift(text: &str) -> anyhow::Result<Named<Reading<Shift>>> {
    let (name, rest) = name_and_rest(text, "A-B=2ft6in")?;
    let read = coordinate(rest)?;
    let value = Reading {
        value: Shift::from_feet(read.value)?,
        assumed: read.assumed,
    };
    Ok(Named { name, value })
}

/// Reads an outline `NORTH,EAST;NORTH,EAST;...`.
pub(crate) fn outline(text: &str) -> anyhow::Result<Vec<Point>> {
    let places: anyhow::Result<Vec<Point>> = text
        .split(';')
        .map(|place| Ok(point(place)?.value))
        .collect();
    let places = places?;
    anyhow::ensure!(
        places.len() >= 2,
        "{text:?} is one place only; give a wall's two ends or a building's corners, \
         like 0,0;0,30;20,30;20,0"
    );
    Ok(places)
}

/// Each assumption once, in the order it was made; what is said of each bare
/// number is said once for all of them.
pub(crate) fn once(assumed: impl IntoIterator<Item = String>) -> Vec<String> {
    let mut said = Vec::new();
    for words in assumed {
        let words = if words.ends_with(" taken as feet") {
            "numbers without a unit are feet".to_owned()
        } else {
            words
        };
        if !said.contains(&words) {
            said.push(words);
        }
    }
    said
}

fn name_and_rest<'a>(text: &'a str, example: &str) -> anyhow::Result<(String, &'a str)> {
    match text.split_once('=') {
        Some((name, rest)) if !name.trim().is_empty() => Ok((name.trim().to_owned(), rest)),
        _ => anyhow::bail!("{text:?} has no name before an equals sign; write it like {example}"),
    }
}

/// A coordinate in feet: a length with an optional sign.
fn coordinate(text: &str) -> anyhow::Result<Reading<f64>> {
    let read = reader().read_shift(text)?;
    Ok(Reading {
        value: read.value.feet(),
        assumed: read.assumed,
    })
}

fn reader() -> LengthReader {
    LengthReader::bare(LengthUnit::Foot(FootKind::International))
}
