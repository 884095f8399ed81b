//! A request for a fit, turned into what the library takes.

use std::path::Path;

use anyhow::Context;
use fence_geom::{
    Corner, Displacement, Ellipse, Fit, FitRules, KnownDirection, KnownPoint, Length, Pin,
    PinLocated, PinStands, Point, SearchTapes, Sigma, TapeModel, TapedPoint, TieLimits,
    default_deed_sigma, points_from_tapes, search_tapes, traverse,
};

use crate::contract::fit::{FitKnown, FitPin, FitRequest, FitScale, GridAnswer};
use crate::contract::tie::TieSide;
use crate::deed_file::read_whole_deed;
use crate::fields::{CoordinateField, Two};
use crate::geodetic_points::{Geodetic, GeodeticTerms, on_ground};
use crate::input::read_text;
use crate::pins_file::{PinsRead, read_pins};
use crate::typed;

/// The standard error of a pin's coordinates where none is given, in words for
/// the reader and for [`typed::length`]. Common practice, no source.
const PIN_SIGMA: &str = "0.05ft";

/// What a request says, as the library takes it.
#[derive(Debug)]
pub(crate) struct FitRead {
    pub(crate) corners: Vec<Corner>,
    pub(crate) pins: Vec<Pin>,
    pub(crate) rules: FitRules,
    pub(crate) blocked: Vec<Vec<Point>>,
    pub(crate) limits: TieLimits,
    /// The grid behind the pins, where one was named.
    pub(crate) grid: Option<GridAnswer>,
    pub(crate) assumed: Vec<String>,
}

impl FitRead {
    /// The tapes to each corner that was not found.
    pub(crate) fn searched(&self, fit: &Fit) -> Vec<SearchTapes> {
        let tape = TapeModel::default();
        search_tapes(fit, &self.pins, &self.blocked, &self.limits, &tape)
    }
}

/// Turns a request into what the library takes. Without a file it can name no
/// deed and no pins beside it.
///
/// # Errors
///
/// Names the field at fault.
pub(crate) fn fit_read(request: &FitRequest, file: Option<&Path>) -> anyhow::Result<FitRead> {
    let listed = pins_file(request, file)?;
    let mut assumed = listed.assumed;
    let corners = corners(request, file)?;
    let asked = Asked {
        request,
        pins: request.pins.iter().chain(&listed.pins).collect(),
        height: request.height.or(listed.height),
    };
    let located = located(&asked, &mut assumed)?;
    let pins = pins(&asked, &located, &mut assumed)?;
    let rules = rules(request, &mut assumed)?;
    let mut limits = TieLimits::default();
    if let Some(longest) = request.longest {
        limits.longest = longest.0;
    }
    let outline = |places: &Vec<Two<CoordinateField>>| {
        let places = places.iter();
        places
            .map(|Two([n, e])| Point::new(n.0.feet(), e.0.feet()))
            .collect()
    };
    Ok(FitRead {
        corners,
        pins,
        rules,
        blocked: (request.blocked.iter())
            .map(outline)
            .collect::<Result<_, _>>()
            .context("blocked")?,
        limits,
        grid: located.grid,
        assumed,
    })
}

/// A path of a request, from the file it stands in.
fn beside(file: Option<&Path>, path: &Path, field: &str) -> anyhow::Result<std::path::PathBuf> {
    let file = file.with_context(|| {
        format!("`{field}` names a file, which is not read here: give what is in it")
    })?;
    Ok(file.parent().unwrap_or(Path::new("")).join(path))
}

/// A request with the pins of its file.
struct Asked<'a> {
    request: &'a FitRequest,
    pins: Vec<&'a FitPin>,
    height: Option<CoordinateField>,
}

fn pins_file(request: &FitRequest, file: Option<&Path>) -> anyhow::Result<PinsRead> {
    let Some(pins) = &request.pins_file else {
        return Ok(PinsRead::default());
    };
    let path = beside(file, pins, "pins_file")?;
    read_pins(&path, &read_text(&path)?)
}

fn corners(request: &FitRequest, file: Option<&Path>) -> anyhow::Result<Vec<Corner>> {
    match (&request.deed, request.corners.as_slice()) {
        (Some(deed), []) => {
            let path = beside(file, deed, "deed")?;
            Ok(traverse(&read_whole_deed(&path)?).corners().to_vec())
        }
        (None, corners) => corners
            .iter()
            .map(|given| {
                Ok(Corner {
                    name: given.name.clone(),
                    at: place(given.north, given.east)?,
                })
            })
            .collect(),
        (Some(_), _) => anyhow::bail!("both `deed` and `corners` are given: give one of them"),
    }
}

fn rules(request: &FitRequest, assumed: &mut Vec<String>) -> anyhow::Result<FitRules> {
    let deed_sigma = match &request.deed_sigma {
        Some(sigma) => Sigma::of_length(sigma.0),
        None => {
            assumed.push("deed corners are good to 0.05 ft (one standard error)".to_owned());
            default_deed_sigma()
        }
    };
    let direction = request.direction.as_ref().map(|given| {
        anyhow::Ok(KnownDirection {
            by_deed: given.deed.0,
            on_ground: given.ground.0,
            sigma: Sigma::known(given.sigma_deg.to_radians()).context("direction.sigma_deg")?,
        })
    });
    Ok(FitRules {
        deed_sigma,
        free_scale: request.scale == FitScale::Free,
        direction: direction.transpose()?,
    })
}

/// Where the pins are, and what else their places say.
#[derive(Debug)]
pub(crate) struct Located {
    places: Vec<PinPlace>,
    grid: Option<GridAnswer>,
}

/// A pin's place, with the ellipse that tapes give it.
#[derive(Clone, Copy, Debug)]
struct PinPlace {
    at: Point,
    ellipse: Option<Ellipse>,
}

/// How the place of a pin is given.
enum Given<'a> {
    Local(CoordinateField, CoordinateField),
    Geodetic(Geodetic),
    Taped(&'a FitPin),
}

fn located(asked: &Asked<'_>, assumed: &mut Vec<String>) -> anyhow::Result<Located> {
    let given: Vec<Given<'_>> = (asked.pins.iter())
        .map(|pin| given(pin))
        .collect::<Result<_, _>>()?;
    let on_ellipsoid = |given: &Given<'_>| matches!(given, Given::Geodetic(_));
    if !given.iter().any(on_ellipsoid) {
        return local(asked.request, &given, assumed);
    }
    let named = asked.pins.iter().zip(&given);
    let geodetic: Vec<(String, Geodetic)> = named
        .map(|(pin, given)| match given {
            Given::Geodetic(place) => Ok((pin.corner.clone(), *place)),
            _ => anyhow::bail!(
                "pin {} is in coordinates of the job's own and others by longitude and latitude \
                 or in a grid: give all pins in one system",
                pin.corner
            ),
        })
        .collect::<Result<_, _>>()?;
    let ground = on_ground(&terms(asked), &geodetic)?;
    assumed.extend(ground.assumed);
    let place = |at| PinPlace { at, ellipse: None };
    Ok(Located {
        places: ground.places.into_iter().map(place).collect(),
        grid: ground.grid,
    })
}

fn terms<'a>(asked: &Asked<'a>) -> GeodeticTerms<'a> {
    GeodeticTerms {
        datum: asked.request.datum.as_deref(),
        zone: asked.request.zone.as_deref(),
        unit: asked.request.grid_unit,
        height: asked.height.map(|height| height.0),
    }
}

fn given(pin: &FitPin) -> anyhow::Result<Given<'_>> {
    let local = pin.north.zip(pin.east);
    let lon_lat = pin.lon_deg.zip(pin.lat_deg);
    let grid = pin.grid_north.zip(pin.grid_east);
    let halves = [pin.north.is_some(), pin.east.is_some()]
        .into_iter()
        .chain([pin.lon_deg.is_some(), pin.lat_deg.is_some()])
        .chain([pin.grid_north.is_some(), pin.grid_east.is_some()])
        .filter(|given| *given)
        .count();
    match (local, lon_lat, grid, pin.tapes.as_slice(), halves) {
        (Some((north, east)), None, None, [], 2) => Ok(Given::Local(north, east)),
        (None, Some((longitude, latitude)), None, [], 2) => Ok(Given::Geodetic(Geodetic::LonLat {
            longitude,
            latitude,
        })),
        (None, None, Some((north, east)), [], 2) => {
            Ok(Given::Geodetic(Geodetic::Grid { north, east }))
        }
        (None, None, None, [_, _], 0) => Ok(Given::Taped(pin)),
        _ => anyhow::bail!(
            "pin {}: give its place once: north and east, or lon_deg and lat_deg, or grid_north \
             and grid_east, or two tapes",
            pin.corner
        ),
    }
}

/// The places in coordinates of the job's own.
fn local(
    request: &FitRequest,
    given: &[Given<'_>],
    assumed: &mut Vec<String>,
) -> anyhow::Result<Located> {
    if let Some(word) = request.datum.as_ref().or(request.zone.as_ref()) {
        anyhow::bail!(
            "a datum or a zone ({word}) goes with pins by lon_deg and lat_deg or by grid_north and grid_east, and there are none: leave it out"
        );
    }
    let known: Vec<KnownPoint> = request.known.iter().map(known).collect::<Result<_, _>>()?;
    let places = given.iter().map(|given| match given {
        Given::Local(north, east) => Ok(PinPlace {
            at: place(*north, *east)?,
            ellipse: None,
        }),
        Given::Taped(pin) => {
            taped(pin, &known, assumed).with_context(|| format!("pin {}", pin.corner))
        }
        Given::Geodetic(_) => anyhow::bail!("no place of the job's own"),
    });
    Ok(Located {
        places: places.collect::<Result<_, _>>()?,
        grid: None,
    })
}

fn known(given: &FitKnown) -> anyhow::Result<KnownPoint> {
    Ok(KnownPoint {
        name: given.name.clone(),
        at: place(given.north, given.east).with_context(|| format!("known {}", given.name))?,
        sigma: given.sigma.map_or(Sigma::ZERO, |s| Sigma::of_length(s.0)),
    })
}

fn taped(
    pin: &FitPin,
    known: &[KnownPoint],
    assumed: &mut Vec<String>,
) -> anyhow::Result<PinPlace> {
    let [first, second] = pin.tapes.as_slice() else {
        anyhow::bail!("two tapes are needed");
    };
    let start = |name: &str| {
        let names = || {
            known
                .iter()
                .map(|k| k.name.as_str())
                .collect::<Vec<_>>()
                .join(", ")
        };
        (known.iter().find(|k| k.name == name)).with_context(|| {
            format!(
                "tape from {name:?}: no point of `known` has that name; known are {}",
                names()
            )
        })
    };
    let tape = TapeModel::default();
    let places = points_from_tapes(
        (start(&first.from)?, first.reads.0),
        (start(&second.from)?, second.reads.0),
        &tape,
    )?;
    let on_side =
        |place: &TapedPoint| place.hand.is_none() || place.hand.map(TieSide::of) == pin.side;
    let [one] = places
        .iter()
        .filter(|place| on_side(place))
        .collect::<Vec<_>>()[..]
    else {
        anyhow::bail!(
            "the tapes meet on two sides: say side = \"left\" or \"right\" of the way from {} to {}",
            first.from,
            second.from
        );
    };
    assumed.push(
        "a tape reading is good to 1/8 in and 1:5,000 of its length (one standard error)"
            .to_owned(),
    );
    Ok(PinPlace {
        at: one.at,
        ellipse: one.ellipse,
    })
}

fn pins(
    asked: &Asked<'_>,
    located: &Located,
    assumed: &mut Vec<String>,
) -> anyhow::Result<Vec<Pin>> {
    let default = match &asked.request.pin_sigma {
        Some(sigma) => sigma.0,
        None => typed::length(PIN_SIGMA)?.value,
    };
    let says_nothing = |pin: &&FitPin| {
        let says = pin.sigma.is_some() || pin.sigma_north.is_some() || !pin.tapes.is_empty();
        !says && !pin.by_phone
    };
    if asked.request.pin_sigma.is_none() && asked.pins.iter().any(says_nothing) {
        assumed.push(format!(
            "a pin without a sigma is good to {PIN_SIGMA} (one standard error)"
        ));
    }
    let each = asked.pins.iter().zip(&located.places);
    each.map(|(given, place)| {
        pin(given, *place, default).with_context(|| format!("pin {}", given.corner))
    })
    .collect()
}

fn pin(given: &FitPin, place: PinPlace, default: Length) -> anyhow::Result<Pin> {
    let stands = match &given.witness {
        None => PinStands::OnCorner,
        Some(witness) => PinStands::Witness {
            to_corner: Displacement::new(witness.north.0.feet(), witness.east.0.feet())?,
        },
    };
    Ok(Pin {
        corner: given.corner.clone(),
        at: place.at,
        sigma: Sigma::of_length(given.sigma.map_or(default, |sigma| sigma.0)),
        ellipse: ellipse(given)?.or(place.ellipse),
        located: if given.by_phone {
            PinLocated::ByPhone
        } else {
            PinLocated::Measured
        },
        stands,
        kind: given.kind.clone(),
        size: given.size.map(|size| size.0),
        cap: given.cap.clone(),
        depth: given.depth.map(|depth| depth.0),
        disturbed: given.disturbed,
        accepted_by: given.accepted_by.clone(),
    })
}

/// The ellipse of a pin whose coordinates have standard errors of their own.
fn ellipse(given: &FitPin) -> anyhow::Result<Option<Ellipse>> {
    let (north, east) = match (given.sigma_north, given.sigma_east, given.sigma) {
        (None, None, _) if given.correlation.is_none() => return Ok(None),
        (Some(north), Some(east), None) => (north.0.feet(), east.0.feet()),
        _ => anyhow::bail!(
            "give `sigma`, or `sigma_north` and `sigma_east`, with `correlation` only beside these"
        ),
    };
    let correlation = given.correlation.unwrap_or(0.0);
    anyhow::ensure!(
        correlation > -1.0 && correlation < 1.0,
        "correlation {correlation}: it must be more than -1 and less than 1"
    );
    Ok(Some(Ellipse::of_sigmas(north, east, correlation)))
}

fn place(north: CoordinateField, east: CoordinateField) -> anyhow::Result<Point> {
    Ok(Point::new(north.0.feet(), east.0.feet())?)
}

/// The points of a CSV file on the ground, under their names; whether each came by
/// phone.
pub(crate) struct PlacesRead {
    pub(crate) places: Vec<(String, Point, bool)>,
    pub(crate) grid: Option<GridAnswer>,
    pub(crate) assumed: Vec<String>,
}

/// Takes the points of a CSV file to the ground, by the terms of a request without
/// pins.
///
/// # Errors
///
/// Shows the line at fault, or names the point.
pub(crate) fn places_read(
    request: &FitRequest,
    path: &Path,
    text: &str,
) -> anyhow::Result<PlacesRead> {
    let listed = read_pins(path, text)?;
    let mut assumed = listed.assumed;
    let asked = Asked {
        request,
        pins: listed.pins.iter().collect(),
        height: request.height.or(listed.height),
    };
    let located = located(&asked, &mut assumed)?;
    let each = asked.pins.iter().zip(&located.places);
    Ok(PlacesRead {
        places: each
            .map(|(pin, place)| (pin.corner.clone(), place.at, pin.by_phone))
            .collect(),
        grid: located.grid,
        assumed,
    })
}
