//! What a fence is made of: post widths, panels, holes and the parts counted
//! with them, as a product list gives them.

use std::f64::consts::PI;

use crate::angle::Angle;
use crate::length::Length;
use crate::standards;
use crate::stock::Cutting;

/// A fence product.
///
/// Widths run along the fence. `outstand` is how far rails or boards stand
/// outside the outside face of the posts: the inside distance to the lot line
/// is kept at the outermost part.
#[derive(Clone, Debug, PartialEq)]
pub struct Product {
    /// Its name in the product list.
    pub name: String,
    /// How sections are made.
    pub build: Build,
    /// Clear width of a full section, face to face of its posts; for bays the
    /// widest.
    pub full: Length,
    /// Clear width of the shortest cut section or bay.
    pub min_cut: Length,
    /// How high the fence stands over the ground.
    pub height: Length,
    /// How far rails and boards stand outside the posts.
    pub outstand: Length,
    /// The posts by their place.
    pub posts: Posts,
    /// How its panels are cut.
    pub cutting: Cutting,
    /// The openings that its gates come with.
    pub gate_openings: Vec<Length>,
    /// The concrete that fills the holes; `None` where posts are tamped.
    pub concrete: Option<Concrete>,
    /// Parts that are counted by posts, sections, gates or feet.
    pub parts: Vec<Part>,
    /// How it follows sloping ground.
    pub slope: SlopeLimits,
    /// How far it turns at most at a post between two sections; `None` where that is
    /// not known.
    pub most_turn: Option<Angle>,
    /// For fabric: how long a stretch it is pulled tight over at most, from terminal
    /// post to terminal post; `None` where that is not known.
    pub pull_every: Option<Length>,
}

/// How a product follows sloping ground.
#[derive(Clone, Debug, PartialEq)]
pub struct SlopeLimits {
    /// How far its sections follow a slope.
    pub rack: Rack,
    /// The least gap under a section, which is also its gap on level ground.
    pub least_gap: Length,
    /// The greatest gap wanted under a section.
    pub most_gap: Length,
    /// How far posts stand above the sections beside them.
    pub post_above: Length,
    /// The lengths that posts are sold in; empty where they are not known.
    pub post_lengths: Vec<Length>,
}

/// How far sections follow a slope. A racked section keeps its pickets plumb
/// while its rails tilt; a section that does not rack stays level, and the fence
/// steps at its posts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Rack {
    /// Not at all: every section is level.
    #[default]
    Level,
    /// Up to this rise from end to end of a full section; a narrower one in
    /// proportion.
    UpTo(Length),
    /// As steep as the ground, as what is built in place or rolled out.
    Freely,
}

/// How the sections between posts are made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Build {
    /// Panels of one width, cut where they must be.
    #[default]
    Panels,
    /// Panels of one width on the face of the posts, their joints on the middle of
    /// line posts.
    PanelsOnFace,
    /// Built in place: bays of any width up to the widest.
    Stick,
    /// Rolled fabric: bays of any width up to the widest.
    Fabric,
}

/// The posts of a product by their place in the fence.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Posts {
    /// Between two sections of a run.
    pub line: Post,
    /// At a free or wall end.
    pub end: Post,
    /// Where two runs meet at a right angle.
    pub corner: Post,
    /// Where two runs meet at another angle; `None` where a corner post serves.
    pub other_corner: Option<Post>,
    /// Where a fence branches off; `None` where a corner post serves.
    pub tee: Option<Post>,
    /// Beside a gate, carrying its hinges, or both hinges and latch.
    pub gate: Post,
    /// At the latch of a gate; `None` where a gate post serves.
    pub latch: Option<Post>,
    /// Where fabric is pulled tight in a fence that runs straight on; `None` where an
    /// end post serves.
    pub pull: Option<Post>,
    /// Between two sections of which one stands higher.
    pub step: Post,
}

/// The place of a post in the fence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PostKind {
    /// Between two sections of a run.
    Line,
    /// At a free or wall end.
    End,
    /// Where two runs meet at a right angle.
    Corner,
    /// Where two runs meet at another angle.
    OtherCorner,
    /// Where a fence branches off.
    Tee,
    /// Beside a gate, carrying its hinges, or both hinges and latch.
    Gate,
    /// At the latch of a gate.
    Latch,
    /// Where fabric is pulled tight in a fence that runs straight on.
    Pull,
    /// Between two sections of which one stands higher.
    Step,
}

/// One kind of post and its hole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Post {
    /// Width along the run.
    pub width: Length,
    /// The shape of its cross-section.
    pub shape: Shape,
    /// Diameter of its hole.
    pub hole: Length,
    /// Depth of its hole.
    pub depth: Length,
}

/// The cross-section of a post.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Shape {
    /// As wide across as along.
    Square,
    /// A pipe or a pole.
    Round,
}

/// Concrete by the bag.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concrete {
    /// Cubic feet that one bag makes.
    pub yield_cubic_feet: f64,
    /// The share ordered beyond the need, such as 0.1.
    pub spare: f64,
}

/// A part that is counted by something else.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its name in the product list.
    pub name: String,
    /// What it is counted by.
    pub per: Per,
    /// How many for each of those.
    pub count: f64,
    /// How many are sold together: 1 for single pieces.
    pub pack: u32,
}

/// What a part is counted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Per {
    /// Each post.
    Post,
    /// Each section that is not a gate.
    Section,
    /// Each gate.
    Gate,
    /// Each leaf of each gate.
    Leaf,
    /// Each foot of run.
    Foot,
}

/// A figure of a product that can't be used.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ProductError {
    /// A size that must be more than zero.
    #[error("product {product:?}: {field} is zero; give the size from the product list")]
    Zero {
        /// The product.
        product: String,
        /// The field.
        field: &'static str,
    },
    /// A cut limit above the full section.
    #[error(
        "product {product:?}: the shortest cut, {min_cut:.3}, is wider than a full section, {full:.3}; give a smaller min_cut"
    )]
    CutLimit {
        /// The product.
        product: String,
        /// The shortest cut.
        min_cut: Length,
        /// The full section.
        full: Length,
    },
    /// A hole its post does not fit into.
    #[error(
        "product {product:?}: the hole of the {post}, {hole:.3}, is narrower than the post, {width:.3}; give the diameter of the hole"
    )]
    Hole {
        /// The product.
        product: String,
        /// Which post.
        post: &'static str,
        /// The diameter of the hole.
        hole: Length,
        /// The width of the post.
        width: Length,
    },
    /// A shortest cut that the brackets leave nothing of.
    #[error(
        "product {product:?}: the shortest cut, {min_cut:.3}, is no wider than the two brackets of {bracket:.3} beside it; give a wider min_cut, or the gap of one bracket"
    )]
    Bracket {
        /// The product.
        product: String,
        /// The shortest cut.
        min_cut: Length,
        /// The gap of a bracket.
        bracket: Length,
    },
    /// A count or yield that is not a positive number.
    #[error("product {product:?}: {field} must be a number above zero, got {value}")]
    Number {
        /// The product.
        product: String,
        /// The field.
        field: String,
        /// The number.
        value: f64,
    },
}

impl Product {
    /// Refuses a product whose figures contradict each other.
    ///
    /// # Errors
    ///
    /// A [`ProductError`] that names the product and the figure.
    pub fn check(&self) -> Result<(), ProductError> {
        let zero = |field| ProductError::Zero {
            product: self.name.clone(),
            field,
        };
        for (field, size) in [
            ("full", self.full),
            ("min_cut", self.min_cut),
            ("height", self.height),
        ] {
            if size == Length::ZERO {
                return Err(zero(field));
            }
        }
        if self.min_cut > self.full {
            return Err(ProductError::CutLimit {
                product: self.name.clone(),
                min_cut: self.min_cut,
                full: self.full,
            });
        }
        if self.cutting.saw_length(self.min_cut) == Length::ZERO {
            return Err(ProductError::Bracket {
                product: self.name.clone(),
                min_cut: self.min_cut,
                bracket: self.cutting.bracket,
            });
        }
        for kind in self.posts.kinds() {
            self.check_post(kind)?;
        }
        self.check_numbers()
    }

    fn check_post(&self, kind: PostKind) -> Result<(), ProductError> {
        let post = self.posts.of(kind);
        if post.width == Length::ZERO {
            return Err(ProductError::Zero {
                product: self.name.clone(),
                field: kind.name(),
            });
        }
        if post.hole < post.width {
            return Err(ProductError::Hole {
                product: self.name.clone(),
                post: kind.name(),
                hole: post.hole,
                width: post.width,
            });
        }
        Ok(())
    }

    fn check_numbers(&self) -> Result<(), ProductError> {
        let parts = self
            .parts
            .iter()
            .map(|part| (format!("count of {}", part.name), part.count));
        let concrete = self
            .concrete
            .iter()
            .map(|c| ("yield of a bag".to_owned(), c.yield_cubic_feet));
        for (field, value) in parts.chain(concrete) {
            if !(value > 0.0 && value.is_finite()) {
                return Err(ProductError::Number {
                    product: self.name.clone(),
                    field,
                    value,
                });
            }
        }
        Ok(())
    }

    /// Returns the radius of the largest hole, which clearances are kept with.
    #[must_use]
    pub fn largest_hole_radius(&self) -> Length {
        let largest = self
            .posts
            .kinds()
            .map(|kind| self.posts.of(kind).hole.feet())
            .fold(0.0, f64::max);
        Length::saturating(largest / 2.0)
    }
}

impl Default for SlopeLimits {
    /// Level sections with the gaps of [`standards`]; post lengths not known.
    fn default() -> Self {
        Self {
            rack: Rack::Level,
            least_gap: standards::GAP_UNDER_LEAST,
            most_gap: standards::GAP_UNDER_MOST,
            post_above: Length::ZERO,
            post_lengths: Vec::new(),
        }
    }
}

impl Posts {
    /// Returns the post for a place.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{Length, Post, PostKind, Posts, Shape};
    ///
    /// let post = |inches| -> Result<Post, fence_geom::QuantityError> {
    ///     Ok(Post {
    ///         width: Length::from_inches(inches)?,
    ///         shape: Shape::Square,
    ///         hole: Length::from_inches(12.0)?,
    ///         depth: Length::from_inches(36.0)?,
    ///     })
    /// };
    /// let posts = Posts { corner: post(5.0)?, ..Posts::all_of(post(4.0)?) };
    /// assert_eq!(posts.of(PostKind::Tee), posts.corner);
    /// assert_eq!(posts.kind_for(PostKind::Tee), PostKind::Corner);
    /// # Ok::<(), fence_geom::QuantityError>(())
    /// ```
    #[must_use]
    pub const fn of(&self, kind: PostKind) -> Post {
        match kind {
            PostKind::Line => self.line,
            PostKind::End => self.end,
            PostKind::Corner => self.corner,
            PostKind::OtherCorner => or(self.other_corner, self.corner),
            PostKind::Tee => or(self.tee, self.corner),
            PostKind::Gate => self.gate,
            PostKind::Latch => or(self.latch, self.gate),
            PostKind::Pull => or(self.pull, self.end),
            PostKind::Step => self.step,
        }
    }

    /// Returns the kind of the post that serves at a place: the place's own where the
    /// product has such a post, else the one that stands in for it. Crews are told of
    /// posts by it, and material is counted by it.
    #[must_use]
    pub const fn kind_for(&self, place: PostKind) -> PostKind {
        match place {
            PostKind::OtherCorner if self.other_corner.is_none() => PostKind::Corner,
            PostKind::Tee if self.tee.is_none() => PostKind::Corner,
            PostKind::Latch if self.latch.is_none() => PostKind::Gate,
            PostKind::Pull if self.pull.is_none() => PostKind::End,
            _ => place,
        }
    }

    /// Returns the kinds that the product has a post of its own for, in the order of a
    /// material list.
    pub fn kinds(&self) -> impl Iterator<Item = PostKind> {
        let posts = *self;
        let own = move |kind: &PostKind| posts.kind_for(*kind) == *kind;
        PostKind::ALL.into_iter().filter(own)
    }

    /// Returns the posts of a product that has one kind for all places.
    #[must_use]
    pub const fn all_of(post: Post) -> Self {
        Self {
            line: post,
            end: post,
            corner: post,
            other_corner: None,
            tee: None,
            gate: post,
            latch: None,
            pull: None,
            step: post,
        }
    }
}

const fn or(own: Option<Post>, other: Post) -> Post {
    match own {
        Some(post) => post,
        None => other,
    }
}

impl PostKind {
    /// All kinds, in the order of a material list.
    pub const ALL: [Self; 9] = [
        Self::Line,
        Self::End,
        Self::Corner,
        Self::OtherCorner,
        Self::Tee,
        Self::Gate,
        Self::Latch,
        Self::Pull,
        Self::Step,
    ];

    /// Returns the word for it, such as "line post".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Line => "line post",
            Self::End => "end post",
            Self::Corner => "corner post",
            Self::OtherCorner => "odd-angle corner post",
            Self::Tee => "tee post",
            Self::Gate => "gate post",
            Self::Latch => "latch post",
            Self::Pull => "pull post",
            Self::Step => "step post",
        }
    }
}

impl Post {
    /// Returns the cubic feet of concrete around one post: the hole less the
    /// post, to the full depth.
    ///
    /// # Examples
    ///
    /// ```
    /// use fence_geom::{Length, Post, Shape};
    ///
    /// let post = Post {
    ///     width: Length::from_inches(4.0)?,
    ///     shape: Shape::Square,
    ///     hole: Length::from_inches(12.0)?,
    ///     depth: Length::from_inches(36.0)?,
    /// };
    /// assert!((post.concrete_cubic_feet() - 2.0229).abs() < 1e-4);
    /// # Ok::<(), fence_geom::QuantityError>(())
    /// ```
    #[must_use]
    pub fn concrete_cubic_feet(&self) -> f64 {
        let circle = |diameter: f64| PI / 4.0 * diameter * diameter;
        let width = self.width.feet();
        let post = match self.shape {
            Shape::Square => width * width,
            Shape::Round => circle(width),
        };
        ((circle(self.hole.feet()) - post) * self.depth.feet()).max(0.0)
    }
}
