//! A call table: a deed typed one call a line.
//!
//! ```text
//! # comments start with a number sign
//! begin: A at N 1000 E 2000
//! unit: feet              # what a bare number is counted in
//! foot: us-survey         # which foot that is
//! area: 0.25 acres        # what the paper states
//! N45-30-15E 104.37ft to B
//! thence South 44 deg 29 min 45 sec East, a distance of 60.00 feet to an iron pin
//! C-D: S 45°30'15" W 104.37'
//! 314-29-45 60.00 to the point of beginning
//! ```

use crate::call_line::{CallLine, LineEnd, LineFault, LineReading, is_name, read_call_line};
use crate::deed::{Beginning, Call, Deed, DeedError, TERMINATION};
use crate::length::{Area, METERS_PER_FOOT, SQUARE_FEET_PER_ACRE};
use crate::length_text::LengthReader;
use crate::point::Point;
use crate::units::{FootKind, LengthUnit};

/// Square meters in a hectare.
const SQUARE_METERS_PER_HECTARE: f64 = 10_000.0;

/// A call table as read: the calls, the lines that could not be read, and what
/// was assumed.
///
/// It becomes a [`Deed`] only if every line was read.
///
/// # Examples
///
/// ```
/// use fence_geom::read_call_table;
///
/// let table = read_call_table("0 60\nalong the creek to an oak\n180 60\n")?;
/// assert_eq!(table.unread()[0].line, 2);
/// assert!(table.into_deed().is_err());
/// # Ok::<(), fence_geom::CallTableError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct CallTable {
    beginning: Beginning,
    calls: Vec<Call>,
    /// The calls as a deed; `None` where a line is unread.
    deed: Option<Deed>,
    unread: Vec<LineFault>,
    assumed: Vec<String>,
    /// The first line of each assumption.
    assumed_lines: Vec<usize>,
    stated_area: Option<Area>,
}

/// Why a call table is refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CallTableError {
    /// A line that is understood and can't be used.
    #[error(transparent)]
    Line(#[from] LineFault),
    /// Calls that don't make a deed.
    #[error(transparent)]
    Deed(#[from] DeedError),
    /// More lines than a deed can have calls.
    #[error("more than {max} lines are calls or can't be read as calls: is this a call table?", max = Deed::MAX_CALLS)]
    TooLong,
}

/// Lines of a call table that could not be read: nothing is computed from a
/// deed with a gap.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{count} of the calls could not be read, first {first}", count = .faults.len(), first = first_of(.faults))]
pub struct UnreadCalls {
    /// The lines, in order.
    pub faults: Vec<LineFault>,
}

/// Reads a call table.
///
/// A line that can't be read is kept in [`CallTable::unread`], with its number
/// and its words; it is never skipped. Where the table does not name the corner that
/// it begins at, that is the one where the last call ends, and it is said so.
///
/// # Errors
///
/// [`CallTableError`] for a table without any call, a call without length, a
/// figure that is not a number, an unknown unit, a corner named twice, or a
/// directive that can't be followed.
pub fn read_call_table(text: &str) -> Result<CallTable, CallTableError> {
    let mut reading = TableReading::default();
    for (line, start, words) in lines(text) {
        if !words.is_empty() {
            reading.line(line, start, words)?;
            if reading.calls.len() + reading.unread.len() > Deed::MAX_CALLS {
                return Err(CallTableError::TooLong);
            }
        }
    }
    reading.finish()
}

/// The lines without comments: number, place of the words, words.
pub(crate) fn lines(text: &str) -> impl Iterator<Item = (usize, usize, &str)> {
    let mut start = 0;
    text.split_inclusive('\n')
        .enumerate()
        .map(move |(i, line)| {
            let words = without_comment(line.trim_end()).trim_end();
            let trimmed = words.trim_start();
            let place = start + (words.len() - trimmed.len());
            start += line.len();
            (i + 1, place, trimmed)
        })
}

/// True if the line is one of those that only a call table has: a directive, or a
/// call labeled with its corners.
pub(crate) fn is_table_line(words: &str) -> bool {
    directive(words).is_some()
}

impl CallTable {
    /// Returns the deed.
    ///
    /// # Errors
    ///
    /// [`UnreadCalls`] if a line could not be read.
    pub fn into_deed(self) -> Result<Deed, UnreadCalls> {
        self.deed.ok_or(UnreadCalls {
            faults: self.unread,
        })
    }

    /// Returns the corner that the calls start from.
    #[must_use]
    pub const fn beginning(&self) -> &Beginning {
        &self.beginning
    }

    /// Returns the calls that were read, in order.
    #[must_use]
    pub fn calls(&self) -> &[Call] {
        &self.calls
    }

    /// Returns the calls before the first line that could not be read: what
    /// hangs together with the beginning.
    #[must_use]
    pub fn calls_before_gap(&self) -> &[Call] {
        let gap = self.unread.first().map_or(usize::MAX, |fault| fault.line);
        let before = self
            .calls
            .iter()
            .take_while(|call| call.written().is_none_or(|written| written.line < gap))
            .count();
        self.calls.get(..before).unwrap_or_default()
    }

    /// Returns the lines that could not be read, in order.
    #[must_use]
    pub fn unread(&self) -> &[LineFault] {
        &self.unread
    }

    /// Returns what had to be assumed, a sentence each.
    #[must_use]
    pub fn assumed(&self) -> &[String] {
        &self.assumed
    }

    /// What was assumed, with the number of the first line of each.
    pub(crate) fn assumed_lines(&self) -> impl Iterator<Item = (usize, &String)> {
        self.assumed_lines.iter().copied().zip(&self.assumed)
    }

    /// Returns the area that the table states.
    #[must_use]
    pub const fn stated_area(&self) -> Option<Area> {
        self.stated_area
    }
}

/// A table half read.
#[derive(Default)]
struct TableReading {
    beginning: Option<Beginning>,
    /// The table names the corner that it begins at.
    names_beginning: bool,
    unit: Option<Unit>,
    foot: Option<FootKind>,
    chain_foot: Option<FootKind>,
    stated_area: Option<Area>,
    calls: Vec<Call>,
    unread: Vec<LineFault>,
    assumed: Assumptions,
}

/// A unit of bare numbers, its foot not yet settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Unit {
    Foot,
    Inch,
    Yard,
    Meter,
    Chain,
    Link,
    Rod,
}

impl TableReading {
    fn line(&mut self, line: usize, start: usize, words: &str) -> Result<(), LineFault> {
        if let Some((key, value)) = directive(words) {
            return self
                .directive(key, value)
                .map_err(|(problem, accepted)| LineFault {
                    line,
                    words: words.to_owned(),
                    at: 0..words.len(),
                    problem,
                    accepted: accepted.to_owned(),
                });
        }
        match read_call_line(line, start, words, &self.reader()) {
            LineReading::Calls(calls) => {
                for call in calls {
                    self.call(line, words, call);
                }
            }
            LineReading::Unread(fault) => self.unread.push(fault),
            LineReading::Refused(fault) => return Err(fault),
        }
        Ok(())
    }

    fn call(&mut self, line: usize, words: &str, read: CallLine) {
        if let Some(from) = read.from
            && let Err(problem) = self.start_at(&from)
        {
            self.unread.push(LineFault {
                line,
                words: words.to_owned(),
                at: 0..from.len(),
                problem,
                accepted: "B-C: N45-30-15E 104.37ft after a call that ends at B".to_owned(),
            });
            return;
        }
        let call = match read.to {
            Some(LineEnd::Named(name)) => read.call.ending_at(name),
            Some(LineEnd::Beginning) => {
                let beginning = self.beginning.get_or_insert_default();
                read.call.ending_at(beginning.name.clone())
            }
            Some(LineEnd::Termination) => read.call.ending_at(TERMINATION),
            None => read.call,
        };
        self.calls.push(call);
        for sentence in &read.assumed {
            self.assumed.note(sentence, line);
        }
    }

    /// Checks that a call labeled as starting from a corner does start there.
    fn start_at(&mut self, from: &str) -> Result<(), String> {
        let reached = match self.calls.last() {
            // What lies between is not known after a line that was not read.
            _ if !self.unread.is_empty() => return Ok(()),
            Some(call) => call.corner(),
            None => {
                let named = || Beginning {
                    name: from.to_owned(),
                    at: None,
                };
                self.names_beginning = true;
                Some(self.beginning.get_or_insert_with(named).name.as_str())
            }
        };
        match reached {
            Some(name) if name == from => Ok(()),
            Some(name) => Err(format!(
                "the call starts at {from:?}, but the calls before it have come to {name:?}"
            )),
            None => {
                if let Some(call) = self.calls.pop() {
                    self.calls.push(call.ending_at(from));
                }
                Ok(())
            }
        }
    }

    fn reader(&self) -> LengthReader {
        let foot = self.foot.unwrap_or_default();
        let chain_foot = self.chain_foot.or(self.foot).unwrap_or(FootKind::UsSurvey);
        let unit = match self.unit.unwrap_or(Unit::Foot) {
            Unit::Foot => LengthUnit::Foot(foot),
            Unit::Inch => LengthUnit::Inch,
            Unit::Yard => LengthUnit::Yard,
            Unit::Meter => LengthUnit::Meter,
            Unit::Chain => LengthUnit::Chain(chain_foot),
            Unit::Link => LengthUnit::Link(chain_foot),
            Unit::Rod => LengthUnit::Rod(chain_foot),
        };
        LengthReader {
            bare: Some(unit),
            foot,
            chain_foot,
        }
    }

    /// Follows a directive, or says what is wrong and what would be accepted.
    fn directive(&mut self, key: Key, value: &str) -> Result<(), (String, &'static str)> {
        let foot_example = "foot: us-survey or foot: international";
        if key != Key::Area && !(self.calls.is_empty() && self.unread.is_empty()) {
            return Err((
                "this must stand before the first call, because it changes how calls are read"
                    .to_owned(),
                "begin: A at N 1000 E 2000, as the first line",
            ));
        }
        match key {
            Key::Begin => {
                let foot = self.foot.unwrap_or_default().international_feet();
                let begins = beginning(value, foot);
                self.names_beginning = begins.as_ref().is_some_and(|(_, is_named)| *is_named);
                set_once(
                    &mut self.beginning,
                    begins.map(|(beginning, _)| beginning),
                    "begin: A, or begin: A at N 1000 E 2000 (feet)",
                )
            }
            Key::Unit => set_once(
                &mut self.unit,
                unit(value),
                "unit: feet, meters, chains, links or rods",
            ),
            Key::Foot if !matches!(self.beginning, Some(Beginning { at: Some(_), .. })) => {
                set_once(&mut self.foot, foot(value), foot_example)
            }
            Key::Foot => Err((
                "the foot must be named before coordinates are given in it".to_owned(),
                foot_example,
            )),
            Key::ChainFoot => set_once(
                &mut self.chain_foot,
                foot(value),
                "chain-foot: us-survey or chain-foot: international",
            ),
            Key::Area => {
                let foot = self.foot.unwrap_or_default().international_feet();
                set_once(
                    &mut self.stated_area,
                    area(value, foot),
                    "area: 0.25 acres, area: 10890 sq ft or area: 1012 sq m",
                )
            }
        }
    }

    /// Where no beginning is named, the calls begin at the corner that the last of them
    /// ends at: a lot comes back, and a line that does not says where it begins.
    fn begin_where_they_end(&mut self) {
        let Some((last, others)) = self.calls.split_last() else {
            return;
        };
        let line = last.written().map_or(1, |written| written.line);
        let Some(name) = last.corner().map(ToOwned::to_owned) else {
            return;
        };
        let is_open = name == TERMINATION
            || self.unread.last().is_some_and(|fault| fault.line > line)
            || others.iter().any(|call| call.corner() == Some(&name));
        let beginning = self.beginning.get_or_insert_default();
        if self.names_beginning || is_open || beginning.name == name {
            return;
        }
        let sentence = format!(
            "the calls begin at {name}, where the last one ends; where they don't come back, a \
             first line names their start, such as begin: P0"
        );
        beginning.name = name;
        self.assumed.note(&sentence, line);
    }

    fn finish(mut self) -> Result<CallTable, CallTableError> {
        self.begin_where_they_end();
        let beginning = self.beginning.unwrap_or_default();
        let no_call = self.calls.is_empty();
        let deed = if no_call && !self.unread.is_empty() {
            None
        } else {
            Some(Deed::new(
                beginning.clone(),
                self.calls.clone(),
                self.stated_area,
            )?)
        };
        Ok(CallTable {
            beginning,
            calls: self.calls,
            deed: deed.filter(|_| self.unread.is_empty()),
            unread: self.unread,
            assumed: self.assumed.sentences(),
            assumed_lines: self.assumed.lines(),
            stated_area: self.stated_area,
        })
    }
}

/// What was assumed. A table of bare numbers assumes the same of each, so what
/// differs only in the words it quotes is said once.
#[derive(Default)]
struct Assumptions {
    /// The sentence without the words it quotes; those of the first; the lines.
    said: Vec<(String, String, Vec<usize>)>,
}

impl Assumptions {
    fn note(&mut self, sentence: &str, line: usize) {
        let (quoted, rest) = match sentence.rsplit_once("\" taken as ") {
            Some((quoted, rest)) => (format!("{quoted}\""), format!("taken as {rest}")),
            None => (String::new(), sentence.to_owned()),
        };
        match self.said.iter_mut().find(|(said, _, _)| *said == rest) {
            Some((_, _, lines)) => lines.push(line),
            None => self.said.push((rest, quoted, vec![line])),
        }
    }

    fn lines(&self) -> Vec<usize> {
        let first = |lines: &Vec<usize>| lines.first().copied().unwrap_or(1);
        self.said.iter().map(|(_, _, lines)| first(lines)).collect()
    }

    fn sentences(&self) -> Vec<String> {
        self.said
            .iter()
            .map(|(rest, quoted, lines)| {
                let more = match lines.len() {
                    _ if quoted.is_empty() => String::new(),
                    0 | 1 => format!("{quoted} "),
                    n => format!("{quoted} and {} more ", n - 1),
                };
                format!("{more}{rest} ({})", lines_in_words(lines))
            })
            .collect()
    }
}

/// What a line before the calls can settle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Key {
    Begin,
    Unit,
    Foot,
    ChainFoot,
    Area,
}

/// Splits a directive from a line, if it is one.
fn directive(words: &str) -> Option<(Key, &str)> {
    let (key, value) = words.split_once(':')?;
    let key = match key.trim().to_ascii_lowercase().as_str() {
        "begin" | "beginning" => Key::Begin,
        "unit" | "units" => Key::Unit,
        "foot" => Key::Foot,
        "chain-foot" => Key::ChainFoot,
        "area" => Key::Area,
        _ => return None,
    };
    Some((key, value.trim()))
}

fn set_once<T>(
    slot: &mut Option<T>,
    value: Option<T>,
    accepted: &'static str,
) -> Result<(), (String, &'static str)> {
    if value.is_none() {
        return Err(("this is not understood".to_owned(), accepted));
    }
    if slot.is_some() {
        return Err(("this was said before: say it once".to_owned(), accepted));
    }
    *slot = value;
    Ok(())
}

/// Reads `A`, `A at N 1000 E 2000` or `N 1000 E 2000`, in feet of `foot`
/// international feet, and says whether there is a name.
fn beginning(value: &str, foot: f64) -> Option<(Beginning, bool)> {
    let words: Vec<&str> = value.split_whitespace().collect();
    let (name, place) = match words.as_slice() {
        [name] => (Some(*name), None),
        ["at", "N" | "n", north, "E" | "e", east] | ["N" | "n", north, "E" | "e", east] => {
            (None, Some((*north, *east)))
        }
        [name, "at", "N" | "n", north, "E" | "e", east] => (Some(*name), Some((*north, *east))),
        _ => return None,
    };
    let at = match place {
        Some((north, east)) => Some(Point::new(number(north)? * foot, number(east)? * foot).ok()?),
        None => None,
    };
    let is_named = name.is_some();
    let name = name.map_or_else(|| Beginning::default().name, ToOwned::to_owned);
    is_name(&name).then_some((Beginning { name, at }, is_named))
}

fn unit(value: &str) -> Option<Unit> {
    Some(match value.to_ascii_lowercase().as_str() {
        "foot" | "feet" | "ft" => Unit::Foot,
        "inch" | "inches" | "in" => Unit::Inch,
        "yard" | "yards" | "yd" => Unit::Yard,
        "meter" | "meters" | "metre" | "metres" | "m" => Unit::Meter,
        "chain" | "chains" | "ch" => Unit::Chain,
        "link" | "links" | "lk" => Unit::Link,
        "rod" | "rods" | "rd" | "pole" | "poles" | "perch" | "perches" => Unit::Rod,
        _ => return None,
    })
}

fn foot(value: &str) -> Option<FootKind> {
    match value.to_ascii_lowercase().as_str() {
        "international" => Some(FootKind::International),
        "us-survey" | "us survey" | "u.s. survey" | "survey" => Some(FootKind::UsSurvey),
        _ => None,
    }
}

fn area(value: &str, foot: f64) -> Option<Area> {
    let end = value.find(|c: char| c.is_alphabetic())?;
    let (count, unit) = value.split_at(end);
    let square_feet = match unit
        .trim()
        .trim_end_matches('.')
        .to_ascii_lowercase()
        .as_str()
    {
        "acre" | "acres" | "ac" => SQUARE_FEET_PER_ACRE * foot * foot,
        "sq ft" | "sq. ft" | "sqft" | "square feet" => foot * foot,
        "sq m" | "sq. m" | "square meters" | "square metres" => METERS_PER_FOOT.powi(-2),
        "hectare" | "hectares" | "ha" => SQUARE_METERS_PER_HECTARE * METERS_PER_FOOT.powi(-2),
        _ => return None,
    };
    Area::from_square_feet(number(count)? * square_feet).ok()
}

/// A plain number, with commas between its thousands or without.
fn number(text: &str) -> Option<f64> {
    text.trim().replace(',', "").parse().ok()
}

/// The line without its comment, which starts with a number sign at the start of
/// the line or after a blank.
fn without_comment(line: &str) -> &str {
    let mut after_blank = true;
    for (at, c) in line.char_indices() {
        if c == '#' && after_blank {
            return line.get(..at).unwrap_or(line);
        }
        after_blank = c.is_whitespace();
    }
    line
}

/// `line 3`, `lines 3 to 8` or `lines 3, 5, 8`, a few of them; a line that occurs twice is
/// named once.
fn lines_in_words(lines: &[usize]) -> String {
    let mut lines = lines.to_vec();
    lines.dedup();
    match lines.as_slice() {
        [line] => format!("line {line}"),
        [first, .., last] if last - first + 1 == lines.len() => format!("lines {first} to {last}"),
        _ => {
            let shown: Vec<String> = lines.iter().take(6).map(ToString::to_string).collect();
            let more = match lines.len().saturating_sub(shown.len()) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            format!("lines {}{more}", shown.join(", "))
        }
    }
}

fn first_of(faults: &[LineFault]) -> String {
    faults.first().map(ToString::to_string).unwrap_or_default()
}
