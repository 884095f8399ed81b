//! Surveying and layout arithmetic for fences: from a deed, a plat or found
//! property pins to the corners of the lot, the line a set distance inside it,
//! and the place of every post, panel and gate.
//!
//! ```
//! use fence_geom::{Shift, inset_uniform, read_call_table, traverse};
//!
//! let calls = "N0E 100ft to B\nN90E 60ft to C\nS0E 100ft to D\nS90W 60ft";
//! let traverse = traverse(&read_call_table(calls)?.into_deed()?);
//! assert!(traverse.closure().is_within_rounding());
//!
//! let line = inset_uniform(&traverse.ring()?, Shift::from_inches(6.0)?)?;
//! assert!((line.ring().area().square_feet() - 99.0 * 59.0).abs() < 1e-9);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # The way of the data
//!
//! | step | function | answer |
//! | --- | --- | --- |
//! | a description as stated to calls with all their parts | [`complete()`] | [`Completed`]: a deed, what was solved, curves |
//! | calls of a deed to corners | [`traverse()`] | [`Traverse`]: courses, closure, area |
//! | corners against found pins | [`fit()`], [`lot()`] | [`Lot`]: pins hold, the rest is predicted |
//! | the line inside | [`offset()`] | [`Offset`]: its rings, their corners and miters |
//! | the fence | [`route()`] | [`Route`]: runs between flags |
//! | one run | [`lay_out`] | [`Layout`]: posts, sections, gates, proven best |
//! | one run on a slope, on an arc | [`lay_out_on_ground`], [`lay_out_on_arc`] | racked or stepped sections; chords |
//! | material | [`takeoff()`] | [`Takeoff`]: need and order of each item |
//! | a whole job | [`work_out`] | [`JobReport`]: all of it, with findings |
//!
//! Beside the way stand the square check ([`CornerCheck`]), two tapes to a point
//! ([`tapes_meet`]), the best two tapes for a point ([`best_ties`]) and doubt
//! ([`Sigma`], [`propagate`]).
//!
//! # Conventions
//!
//! - International feet and radians inside types that check once, when made.
//!   Coordinates are northing, then easting; angles turn clockwise from north.
//! - Nothing panics on input; errors name the field, the value and the remedy.
//! - No files, clock, network, printing or global state; the same results on
//!   every run.
//! - An unknown standard error is legal and stays unknown.
//!
//! # Features
//!
//! Both are off by default. `serde` writes and reads the public types of the
//! lower floors, checked on reading; `geodesy` takes longitude and latitude to a
//! plane and builds a C++ library (needs cmake).
//!
//! # Limits
//!
//! A tape and a deed are not a boundary survey: only a licensed surveyor can say
//! where a line is. The values in [`standards`] are sourced starting points, not
//! the local code.

#![cfg_attr(
    not(test),
    warn(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::indexing_slicing,
        clippy::print_stdout,
        clippy::print_stderr
    )
)]

mod angle;
mod angle_print;
mod angle_text;
mod arc_layout;
mod area_check;
mod balance;
mod bearing;
mod call_line;
mod call_table;
mod complete;
mod corner;
mod curve;
mod deed;
mod description;
mod estimate;
mod fit;
#[cfg(feature = "geodesy")]
mod geodesy;
mod ground_layout;
mod intersect;
mod job;
mod last_digit;
mod layout;
mod length;
mod length_print;
mod length_text;
mod locate;
mod lot;
mod net;
mod obstacle;
mod offset;
mod orient;
mod piece;
mod pins;
mod point;
mod product;
mod profile;
mod quantity_words;
mod reading;
mod region;
mod ring;
mod route;
mod second_call;
#[cfg(feature = "serde")]
mod serialized;
mod sights;
mod slips;
mod slope;
mod square;
pub mod standards;
mod stock;
mod survey;
mod takeoff;
mod tape;
mod tape_corrections;
mod tee;
mod ties;
mod tract;
mod trade;
mod traverse;
mod triangle;
mod two_tapes;
mod units;

pub use angle::Angle;
pub use angle_print::AngleStyle;
pub use angle_text::{Direction, read_angle, read_direction};
pub use arc_layout::{
    ArcLayout, ArcLayoutError, ArcLine, ArcPost, ArcSection, ArcYard, lay_out_on_arc,
    least_arc_radius, runners_up_on_arc,
};
pub use area_check::{
    AreaCheck, AreaConfusion, AreaUnit, area_left_open, check_area, check_strip_area, strip_area,
    strip_width,
};
pub use balance::{
    BalanceError, BalanceRule, Balanced, BalancedCourse, CourseErrors, CourseErrorsError, balance,
};
pub use bearing::{Azimuth, Bearing, EastWest, NorthSouth};
pub use call_line::LineFault;
pub use call_table::{CallTable, CallTableError, UnreadCalls, read_call_table};
pub use complete::{CompleteError, Completed, CurveOfCall, complete};
pub use corner::{
    CornerError, Miter, check_legs, corner_post_face, corner_post_setback, deflection,
    interior_angle, miter,
};
pub use curve::{
    Curve, CurveAssumption, CurveElement, CurveElements, CurveError, Degree, DegreeOf, Leaves,
    Radial, ResolvedCurve, Surplus, resolve_curve,
};
pub use deed::{Beginning, Call, Deed, DeedError, Rounding, Solved, Written};
pub use description::{
    Assumed, Description, DescriptionError, Note, Unread, describe, read_description,
};
pub use estimate::{
    Covariance, Ellipse, Estimate, EstimateError, NORMAL_95, PropagateError, Sigma, Verdict,
    chance_of_squares, ellipse_factor_95, judge, propagate,
};
pub use fit::{
    DirectionFit, Disagreement, Fit, FitError, FitRules, FittedCorner, KnownDirection, PhoneHint,
    PinFit, SearchTape, SearchTapes, SigmaFrom, Standing, default_deed_sigma, fit, search_tapes,
};
#[cfg(feature = "geodesy")]
pub use geodesy::{
    CombinedFactor, Datum, GeodesyError, GridFactors, GridZone, GroundPlane, LambertConic,
    LocalPlane, LonLat, ObliqueMercator, Projection, StatePlaneZone, TransverseMercator,
    local_points, read_datum, read_grid_zone,
};
pub use ground_layout::{
    GroundLayout, GroundLayoutError, GroundReport, GroundRunnersUp, lay_out_on_ground,
    runners_up_on_ground,
};
pub use intersect::{
    Crossing, IntersectError, LineMeetsTape, LinesMeet, TapesMeet, line_meets_tape, lines_meet,
    tapes_meet,
};
pub use job::{
    ArcPostReport, ArcReport, Bands, Fill, Finding, FlagReport, GatePlan, GateReport, GroundPlan,
    GroundStation, Inside, Job, JobError, JobReport, Limits, Mark, Outline, PlaceReport,
    PointDoubt, PostReport, RoutePlan, RunReport, RunWish, SectionReport, Spot, SquareReading,
    SquareReport, StopPlan, Trade, Trades, TurnCheck, TurnReport, work_out,
};
pub use layout::{
    Arrangement, Blocking, Change, Choices, GateRequest, Give, Lattice, Layout, LayoutEnd,
    LayoutError, LayoutRequest, LayoutStatus, Objective, PostPlace, Relaxation, RunnerUp,
    SectionKind, SectionPlace, Unsound, WhichEnd, Wish, lay_out, runners_up, verify_layout,
};
pub use length::{Area, Length, METERS_PER_FOOT, QuantityError, SQUARE_FEET_PER_ACRE, Shift};
pub use length_print::{InchFraction, LengthStyle};
pub use length_text::LengthReader;
pub use locate::{Day, DayError, Locate, NoDigReason, OwnerAnswer, reasons_not_to_dig};
pub use lot::{Lot, LotError, lot};
pub use net::{
    CheckedReading, Frame, Net, NetAnswer, NetAnswers, NetError, NetPlace, NetReading, ReadingOf,
    SideHint, WeakPlace, adjust_net,
};
pub use obstacle::{Stretch, distance_to_path, joined, stretches_within, stretches_within_on_arc};
pub use offset::{
    BareRing, Join, NEEDLE_LIMIT, Offset, OffsetBuffer, OffsetCorner, OffsetError, OffsetEvent,
    OffsetRing, RingRole, inset, inset_uniform, offset,
};
pub use pins::{Pin, PinLocated, PinStands};
pub use point::{Displacement, Point};
pub use product::{
    Build, Concrete, Part, Per, Post, PostKind, Posts, Product, ProductError, Rack, Shape,
    SlopeLimits,
};
pub use profile::{GroundReading, Profile, ProfileError, height_of_instrument};
pub use reading::{ReadError, Reading};
pub use region::{Region, RegionError};
pub use ring::{Corner, Place, Ring, RingError, Side, Turn};
pub use route::{
    FaceRange, Flag, Gap, GapError, Route, RouteError, Run, RunEnd, Stop, end_face, route,
};
pub use sights::{
    Sight, SightedPoint, ThirdTape, point_from_sights, points_from_sight_and_tape, third_tape,
};
pub use slips::{Slip, SlipError, SlipFigure, SlipKind, SlipSearch, find_slips};
pub use slope::{
    HEIGHT_STEP, PostOnGround, PostToStand, SectionOnGround, SlopeError, SlopeSection, SlopedRun,
    follow_ground, posts_on_ground, rack_grade,
};
pub use square::{CornerAnswer, CornerCheck, Correction, LegPlan, SquareError, Way};
pub use stock::{CutPlan, Cutting, PieceTooLong, cut_plan};
pub use survey::{MeasuredPlace, Measurement, Survey, SurveyError};
pub use takeoff::{
    Difference, RunCount, SawnPanel, SawnPiece, Takeoff, TakeoffLine, differences, takeoff,
};
pub use tape::TapeModel;
pub use tape_corrections::{
    CorrectedTape, CorrectionError, CorrectionKind, Pull, STEEL_TAPE_MODULUS_PSI, Sag, Slope,
    TapeCorrections, TrueLength, Warmth,
};
pub use tee::{TeeError, join_tees, tee_flag};
pub use ties::{NoTies, Tape, TieLimits, TwoTapes, best_ties};
pub use tract::{StatedCall, StatedCourse, StatedDirection, Tract};
pub use trade::{Pair, RunCosts, TradeError, trades};
pub use traverse::{
    Closure, ClosureCheck, Course, REFERENCE_CLOSURES, ReferenceClosure, Traverse, courses_read,
    traverse,
};
pub use triangle::{CornerReading, TriangleError, angle_of_sides, third_side, triangle_area};
pub use two_tapes::{KnownPoint, TapedPoint, points_from_tapes};
pub use units::{FootKind, LengthUnit, METERS_PER_SURVEY_FOOT, Vara};
