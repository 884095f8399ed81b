//! Why stops make no fence.

/// Why stops make no fence.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RouteError {
    /// Too few stops.
    #[error(
        "a fence needs at least {needed} stops, got {stops}: add where it starts, turns and ends"
    )]
    TooFewStops {
        /// How many are needed.
        needed: usize,
        /// How many there are.
        stops: usize,
    },
    /// A wall's line to a curved side of the lot.
    #[error(
        "{name}: side {side} of the lot is an arc, and a line off a wall is led to straight sides only: give a place along the side, from the flag at one of its ends"
    )]
    Curved {
        /// The stop.
        name: String,
        /// The name of the side.
        side: String,
    },
    /// A run past the end of an arc.
    #[error(
        "the run from {from} to {to} would leave the arc of side {side}, whose line goes straight on past it: add a stop where the arc ends; it goes from {ends}"
    )]
    PastArc {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// The side.
        side: String,
        /// The corners at the ends of the arc.
        ends: String,
    },
    /// No such corner.
    #[error("there is no corner {name:?}: the offset line has {known}")]
    UnknownCorner {
        /// The name that was given.
        name: String,
        /// The names there are.
        known: String,
    },
    /// No such side.
    #[error("there is no side {name:?}: the lot has {known}")]
    UnknownSide {
        /// The name that was given.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A measure from a corner that the side does not have.
    #[error("the offset line of side {side} does not end at {from:?}: measure from {ends}")]
    NotAnEnd {
        /// The side.
        side: String,
        /// The corner that was given.
        from: String,
        /// The corners at its ends.
        ends: String,
    },
    /// A place beyond the end of an offset line.
    #[error(
        "{name} would stand {feet:.3} ft along the offset line of side {side}, which is {length:.3} ft long: give a place on it"
    )]
    OffSide {
        /// The stop.
        name: String,
        /// The side.
        side: String,
        /// How far along it, in feet.
        feet: f64,
        /// How long it is, in feet.
        length: f64,
    },
    /// The line off the wall runs along the side.
    #[error(
        "{name}: the line off that wall runs alongside side {side} and never meets its offset line: name another side or another wall"
    )]
    NeverMeets {
        /// The stop.
        name: String,
        /// The side.
        side: String,
    },
    /// The wall carried on leads away from the side.
    #[error(
        "{name}: that wall, carried on from its second point, leads away from side {side}: swap the two points or name another side"
    )]
    Behind {
        /// The stop.
        name: String,
        /// The side.
        side: String,
    },
    /// A wall without length.
    #[error(
        "{name}: the two points of the wall are the same place: give two points along its face"
    )]
    NoWall {
        /// The stop.
        name: String,
    },
    /// A wall between two runs.
    #[error(
        "the fence can't go on from {name}, which is the face of a wall: put it first or last, or close the fence elsewhere"
    )]
    WallInside {
        /// The stop.
        name: String,
    },
    /// A tee between two runs.
    #[error(
        "the fence can't go on from {name}, where it branches off another: put it first or last"
    )]
    TeeInside {
        /// The stop.
        name: String,
    },
    /// A fence that comes back to where it starts, and is not said to be closed.
    #[error(
        "the fence comes back to {first} at its last stop, {last}: leave that stop out and say that the fence is closed (closed = true), so that one post stands there"
    )]
    ComesBack {
        /// The first stop.
        first: String,
        /// The last stop.
        last: String,
    },
    /// Two flags in one place.
    #[error("the run from {from} to {to} is {feet:.3} ft long: leave one of the two stops out")]
    NoLength {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// Its length in feet.
        feet: f64,
    },
    /// A run that turns back on the one before.
    #[error("at {name} the fence turns straight back on itself: check the order of the stops")]
    TurnsBack {
        /// The flag.
        name: String,
    },
    /// A run on two hands.
    #[error(
        "the yard can't lie on both hands: from {from} to {to} it is on the {found} of one who walks the stops in order, elsewhere on the other: turn the stops around, or correct the yard's hand"
    )]
    YardHand {
        /// The flag the run starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// The hand, left or right.
        found: &'static str,
    },
    /// Nothing tells where the yard is.
    #[error(
        "no run lies on a side of the lot, so nothing tells which side is the yard: say whether it is on the left or right, walking the stops in order"
    )]
    NoYard,
    /// A run outside of the lot.
    #[error(
        "the run from {from} to {to} leaves the lot near N {north:.2} E {east:.2}: add a stop, or move one"
    )]
    LeavesLot {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// About where, feet north.
        north: f64,
        /// About where, feet east.
        east: f64,
    },
    /// A run through a place where nothing may be built.
    #[error(
        "the run from {from} to {to} goes through {area}, where nothing may be built, near N {north:.2} E {east:.2}: lead it around"
    )]
    ThroughNoBuild {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// The area.
        area: String,
        /// About where, feet north.
        north: f64,
        /// About where, feet east.
        east: f64,
    },
    /// A run through a building.
    #[error(
        "the run from {from} to {to} goes through a building near N {north:.2} E {east:.2}: end it at the wall, or lead it around"
    )]
    ThroughBuilding {
        /// The flag it starts from.
        from: String,
        /// The flag it goes to.
        to: String,
        /// About where, feet north.
        north: f64,
        /// About where, feet east.
        east: f64,
    },
}

/// A gap whose limits are the wrong way around.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("a gap of {least} ft to {most} ft: the least must not be above the most")]
pub struct GapError {
    /// The least gap, in feet.
    pub least: f64,
    /// The greatest gap, in feet.
    pub most: f64,
}
