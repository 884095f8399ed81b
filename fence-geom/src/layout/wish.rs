//! The wishes of a layout, in the order in which they are served.

use super::error::LayoutError;

/// What a layout should have little of, after the hard rules are kept.
///
/// The order of [`Wish::ALL`] is the usual one: each wish only decides between
/// layouts that are equal in all wishes before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Wish {
    /// Holes whose center lies where digging is by hand.
    HandDug,
    /// Cut sections.
    Cuts,
    /// Sections, gates included.
    Sections,
    /// Places where a full and a cut section are neighbors.
    Changes,
    /// How far the two end faces are from where they are wished, in steps.
    EndSteps,
    /// Sum of squares of what is cut off, in square steps; with bays, of what
    /// each bay is short of the widest.
    CutSquares,
    /// How far the middles of the gates are from where they are wished, in half
    /// steps.
    GateMiss,
    /// How far the cuts are from the end that hides them, in steps.
    CutReach,
}

impl Wish {
    /// All wishes in the usual order.
    pub const ALL: [Self; 8] = [
        Self::HandDug,
        Self::Cuts,
        Self::Sections,
        Self::Changes,
        Self::EndSteps,
        Self::CutSquares,
        Self::GateMiss,
        Self::CutReach,
    ];

    /// Returns the name, as in [`Objective`].
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::HandDug => "hand_dug",
            Self::Cuts => "cuts",
            Self::Sections => "sections",
            Self::Changes => "changes",
            Self::EndSteps => "end_steps",
            Self::CutSquares => "cut_squares",
            Self::GateMiss => "gate_miss",
            Self::CutReach => "cut_reach",
        }
    }

    /// Returns the wish of that name, as in [`Objective`].
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|wish| wish.name() == name)
    }
}

/// How well a layout serves each wish; smaller is better.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Objective {
    /// See [`Wish::HandDug`].
    pub hand_dug: i64,
    /// See [`Wish::Cuts`].
    pub cuts: i64,
    /// See [`Wish::Sections`].
    pub sections: i64,
    /// See [`Wish::Changes`].
    pub changes: i64,
    /// See [`Wish::EndSteps`].
    pub end_steps: i64,
    /// See [`Wish::CutSquares`].
    pub cut_squares: i64,
    /// See [`Wish::GateMiss`].
    pub gate_miss: i64,
    /// See [`Wish::CutReach`].
    pub cut_reach: i64,
}

impl Objective {
    /// Returns what one wish came to.
    #[must_use]
    pub const fn of(&self, wish: Wish) -> i64 {
        match wish {
            Wish::HandDug => self.hand_dug,
            Wish::Cuts => self.cuts,
            Wish::Sections => self.sections,
            Wish::Changes => self.changes,
            Wish::EndSteps => self.end_steps,
            Wish::CutSquares => self.cut_squares,
            Wish::GateMiss => self.gate_miss,
            Wish::CutReach => self.cut_reach,
        }
    }
}

/// Completes a wanted order with the wishes it leaves out, in the usual order.
pub(super) fn full_order(wanted: &[Wish]) -> Result<Vec<Wish>, LayoutError> {
    let mut order: Vec<Wish> = Vec::with_capacity(Wish::ALL.len());
    for &wish in wanted {
        if order.contains(&wish) {
            return Err(LayoutError::OrderRepeats { wish: wish.name() });
        }
        order.push(wish);
    }
    for wish in Wish::ALL {
        if !order.contains(&wish) {
            order.push(wish);
        }
    }
    Ok(order)
}
