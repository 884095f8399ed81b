//! The locate ticket: whether the job may be dug at all.

/// What the one-call center and the owners of buried lines have answered.
///
/// Dates are calendar days written year-month-day, so that they compare as
/// text; the library reads no clock.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Locate {
    /// The number of the ticket.
    pub ticket: String,
    /// The first day on which digging is allowed.
    pub good_from: Option<Day>,
    /// The last day on which digging is allowed.
    pub good_until: Option<Day>,
    /// The owners the center named, with what each answered.
    pub owners: Vec<(String, OwnerAnswer)>,
    /// What is known of private lines, which the center does not have marked.
    pub private_lines: Option<String>,
}

/// A calendar day, written year-month-day.
///
/// # Examples
///
/// ```
/// use fence_geom::Day;
///
/// assert!(Day::new("2026-02-28")? < Day::new("2026-03-01")?);
/// assert!(Day::new("2026-02-30").is_err());
/// # Ok::<(), fence_geom::DayError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(String);

/// Text that is not a calendar day.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{text:?} is not a day: write year-month-day, such as 2026-03-01")]
pub struct DayError {
    /// The text.
    pub text: String,
}

/// What the owner of buried lines answered.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OwnerAnswer {
    /// Its lines are marked on the ground.
    Marked,
    /// They are marked, and none of the marks is near the fence.
    Away,
    /// It has none here.
    Clear,
    /// It has not answered.
    NoAnswer,
}

/// Why a job must not be dug.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum NoDigReason {
    /// There is no ticket.
    NoTicket,
    /// The center named no owner, or none was written down.
    NoOwners,
    /// An owner has not answered.
    NoAnswer {
        /// The owner.
        owner: String,
    },
    /// An owner has marked its lines, and none of them is entered, so that no hole
    /// was kept off them.
    MarksMissing {
        /// The owner.
        owner: String,
    },
    /// The crew comes before the ticket is good.
    TooEarly {
        /// The day it comes.
        arrival: Day,
        /// The first day that is allowed.
        good_from: Day,
    },
    /// The crew comes after the ticket has run out.
    TooLate {
        /// The day it comes.
        arrival: Day,
        /// The last day that is allowed.
        good_until: Day,
    },
    /// Nobody said when the crew comes or how long the ticket is good.
    NoDates,
}

impl Day {
    /// Reads a day.
    ///
    /// # Errors
    ///
    /// [`DayError`] for any text but a day of the Gregorian calendar.
    pub fn new(text: &str) -> Result<Self, DayError> {
        let refused = || DayError {
            text: text.to_owned(),
        };
        let mut parts = text.split('-');
        let mut part = |digits: usize| -> Option<u32> {
            let word = parts.next()?;
            let plain = word.len() == digits && word.bytes().all(|b| b.is_ascii_digit());
            plain.then(|| word.parse().ok())?
        };
        let day = (part(4), part(2), part(2));
        let (Some(year), Some(month), Some(day)) = day else {
            return Err(refused());
        };
        let real = parts.next().is_none() && (1..=days_in(year, month)).contains(&day);
        real.then(|| Self(text.to_owned())).ok_or_else(refused)
    }

    /// Returns the day as it is written.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.0)
    }
}

/// The number of days in a month; none in a month that does not exist.
const fn days_in(year: u32, month: u32) -> u32 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 0,
    }
}

impl Locate {
    /// Returns what the owner of a mark answered; nothing where the center named no
    /// such owner. Each is known by a word of its name, such as "gas".
    #[must_use]
    pub fn answer_of(&self, word: &str) -> Option<OwnerAnswer> {
        let owner = self.owners.iter().find(|(owner, _)| has_word(owner, word));
        owner.map(|(_, answer)| *answer)
    }
}

/// True if a name has a word in it, in small or capital letters.
fn has_word(name: &str, word: &str) -> bool {
    name.to_lowercase().contains(&word.to_lowercase())
}

/// Returns every reason why a job must not be dug on the day the crew comes;
/// none means that the ticket covers that day, every owner has answered, and the
/// marks of those who marked are entered. `entered` are the owners of the marks
/// that holes were kept off, each by a word of its name.
///
/// States differ in notice, ticket life and exemptions: the days are those the
/// center gave.
///
/// # Examples
///
/// ```
/// use fence_geom::{Day, Locate, NoDigReason, OwnerAnswer, reasons_not_to_dig};
///
/// let locate = Locate {
///     ticket: "K-207".into(),
///     good_from: Some(Day::new("2026-03-03")?),
///     good_until: Some(Day::new("2026-03-17")?),
///     owners: vec![("gas utility".into(), OwnerAnswer::Marked)],
///     private_lines: None,
/// };
/// let arrival = Day::new("2026-03-10")?;
/// assert_eq!(reasons_not_to_dig(Some(&locate), Some(&arrival), &["gas"]), []);
/// assert!(matches!(
///     reasons_not_to_dig(Some(&locate), Some(&arrival), &[])[..],
///     [NoDigReason::MarksMissing { .. }]
/// ));
/// # Ok::<(), fence_geom::DayError>(())
/// ```
#[must_use]
pub fn reasons_not_to_dig(
    locate: Option<&Locate>,
    arrival: Option<&Day>,
    entered: &[&str],
) -> Vec<NoDigReason> {
    let Some(locate) = locate.filter(|locate| !locate.ticket.trim().is_empty()) else {
        return vec![NoDigReason::NoTicket];
    };
    let mut reasons = Vec::new();
    if locate.owners.is_empty() {
        reasons.push(NoDigReason::NoOwners);
    }
    for (owner, answer) in &locate.owners {
        let owner = owner.clone();
        match answer {
            OwnerAnswer::NoAnswer => reasons.push(NoDigReason::NoAnswer { owner }),
            OwnerAnswer::Marked if !entered.iter().any(|word| has_word(&owner, word)) => {
                reasons.push(NoDigReason::MarksMissing { owner });
            }
            OwnerAnswer::Marked | OwnerAnswer::Away | OwnerAnswer::Clear => {}
        }
    }
    match (arrival, &locate.good_from, &locate.good_until) {
        (Some(arrival), Some(from), Some(until)) => {
            if arrival < from {
                reasons.push(NoDigReason::TooEarly {
                    arrival: arrival.clone(),
                    good_from: from.clone(),
                });
            }
            if arrival > until {
                reasons.push(NoDigReason::TooLate {
                    arrival: arrival.clone(),
                    good_until: until.clone(),
                });
            }
        }
        _ => reasons.push(NoDigReason::NoDates),
    }
    reasons
}

#[cfg(test)]
mod tests;
