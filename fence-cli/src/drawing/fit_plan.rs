//! The picture of a fit: the deed on the ground, pins found, corners to search.

use fence_geom::{Fit, FittedCorner, Length, SigmaFrom, Standing};
use svg::node::element::{Definitions, Ellipse as Oval, Group, Marker, Path};

use super::labels::{Board, LOT_LINE, Label, SYMBOL, THIN_LINE, Tilted};
use super::panel::{self, Block};
use super::paper::{Area, EDGE, Extent, Lie, Paper};
use super::shapes::{Pen, Type, Xy, circle, figure, line, placed, rectangle};
use super::symbols::{INK, LOT_PEN, WARNING, corner};
use super::{GAP, blank};
use crate::finding_words::{CAUTIONS, crew};
use crate::fit_reading::FitRead;

/// How many times their size ellipses, circles and residuals may be drawn.
const EXAGGERATIONS: [f64; 12] = [
    500.0, 200.0, 100.0, 50.0, 40.0, 30.0, 20.0, 10.0, 5.0, 3.0, 2.0, 1.0,
];

/// The largest of them stays below this on the page, in points.
const LARGEST: f64 = 33.0;

const ELLIPSE_PEN: Pen = Pen::new("#0050b0", 0.9);
const CIRCLE_PEN: Pen = Pen::new(WARNING, 0.7).dashed("3 2");
const RESIDUAL_PEN: Pen = Pen::new(WARNING, 1.0);
const TAPE_PEN: Pen = Pen::new("#777777", 0.4).dashed("1 2");

/// Returns the picture of a fit as an SVG file.
pub(crate) fn fit_svg(read: &FitRead, fit: &Fit, from: SigmaFrom) -> String {
    let places = fit
        .corners
        .iter()
        .flat_map(|corner| [corner.at, corner.by_deed]);
    let places = places.chain(read.pins.iter().map(|pin| pin.at));
    let extent = Extent::of(places).unwrap_or(Extent::ORIGIN);
    let size = Lie::Landscape.size();
    let area = Area {
        corner: Xy::new(EDGE, EDGE),
        size: size.minus(Xy::new(2.0 * EDGE + panel::WIDTH + GAP, 2.0 * EDGE)),
    };
    let paper = Paper::landscape(extent, area);
    let picture = Picture {
        read,
        fit,
        from,
        paper: &paper,
        exaggeration: exaggeration(fit, from, &paper),
    };
    let document = blank(&paper)
        .set("data-exaggeration", figure(picture.exaggeration))
        .add(svg::node::element::Title::new(
            "Fit of deed corners to pins",
        ))
        .add(definitions())
        .add(rectangle(Xy::ZERO, size, "white", Pen::new("none", 0.0)))
        .add(picture.drawn())
        .add(rectangle(
            area.corner,
            area.size,
            "none",
            Pen::new(INK, 0.7),
        ))
        .add(picture.panels(area));
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

fn definitions() -> Definitions {
    Definitions::new().add(
        Marker::new()
            .set("id", "arrow")
            .set("viewBox", "0 0 6 6")
            .set("refX", "5")
            .set("refY", "3")
            .set("markerWidth", "5")
            .set("markerHeight", "5")
            .set("orient", "auto")
            .add(
                Path::new()
                    .set("d", "M0,0 L6,3 L0,6 z")
                    .set("fill", WARNING),
            ),
    )
}

/// The largest exaggeration at which nothing outgrows the page.
fn exaggeration(fit: &Fit, from: SigmaFrom, paper: &Paper) -> f64 {
    let ellipses = fit
        .corners
        .iter()
        .filter_map(|c| Some(fit.axes_95(c, from)?[0]));
    let circles = fit.corners.iter().filter_map(|corner| corner.search_radius);
    let residuals = fit.pins.iter().map(|pin| pin.residual.length());
    let largest = (ellipses.chain(circles).chain(residuals))
        .map(|length| paper.long(length.feet()))
        .fold(0.0, f64::max);
    EXAGGERATIONS
        .into_iter()
        .find(|times| largest * times <= LARGEST)
        .unwrap_or(1.0)
}

/// What is drawn, and how.
struct Picture<'a> {
    read: &'a FitRead,
    fit: &'a Fit,
    from: SigmaFrom,
    paper: &'a Paper,
    exaggeration: f64,
}

impl Picture<'_> {
    fn drawn(&self) -> Group {
        let mut board = Board::new(self.paper.area);
        Group::new()
            .add(self.tapes())
            .add(self.deed_lines(&mut board))
            .add(self.doubts(&mut board))
            .add(self.residuals(&mut board))
            .add(self.corners(&mut board))
            .add(self.names(&mut board))
    }

    fn large(&self, length: Length) -> f64 {
        self.paper.long(length.feet()) * self.exaggeration
    }

    /// The deed as fitted.
    fn deed_lines(&self, board: &mut Board) -> Group {
        let corners = &self.fit.corners;
        let next = corners.iter().cycle().skip(1);
        let mut group = Group::new().set("id", "deed");
        for (a, b) in corners.iter().zip(next) {
            let (from, to) = (self.paper.at(a.by_deed), self.paper.at(b.by_deed));
            board.take(Tilted::line(from, to, 1.0), LOT_LINE);
            group = group.add(line(from, to, LOT_PEN));
        }
        group
    }

    /// The tapes to the places to search.
    fn tapes(&self) -> Group {
        let mut group = Group::new().set("id", "tapes");
        for search in self.read.searched(self.fit) {
            let to = self.fit.corners.iter().find(|c| c.name == search.corner);
            for tape in search.tapes.iter().flatten() {
                let from = self.read.pins.iter().find(|pin| pin.corner == tape.from);
                if let (Some(to), Some(from)) = (to, from) {
                    group = group.add(line(self.paper.at(from.at), self.paper.at(to.at), TAPE_PEN));
                }
            }
        }
        group
    }

    /// Ellipses and search circles, exaggerated.
    fn doubts(&self, board: &mut Board) -> Group {
        let mut group = Group::new().set("id", "doubts");
        for corner in &self.fit.corners {
            let at = self.paper.at(corner.at);
            board.take(Tilted::around(at, self.reach(corner)), THIN_LINE);
            if let Some(radius) = corner.search_radius {
                let radius = self.large(radius);
                group = group.add(
                    circle(at, radius, "none", CIRCLE_PEN)
                        .set("class", "search")
                        .set("data-name", super::shapes::printable(&corner.name)),
                );
            }
            if let Some(oval) = self.ellipse(corner, at) {
                group = group.add(oval);
            }
        }
        group
    }

    /// How far the marks around a corner reach.
    fn reach(&self, corner: &FittedCorner) -> f64 {
        let long = self.fit.axes_95(corner, self.from).map(|[long, _]| long);
        [long, corner.search_radius]
            .into_iter()
            .flatten()
            .map(|length| self.large(length))
            .fold(4.5, f64::max)
    }

    fn ellipse(&self, corner: &FittedCorner, at: Xy) -> Option<Oval> {
        let [long, short] = self.fit.axes_95(corner, self.from)?.map(|a| self.large(a));
        // Azimuths run clockwise from up; a turn of the page from the right.
        let turn = corner.ellipse?.azimuth().degrees() - 90.0;
        Some(
            Oval::new()
                .set("cx", figure(at.x))
                .set("cy", figure(at.y))
                .set("rx", figure(long))
                .set("ry", figure(short))
                .set("fill", "none")
                .set("stroke", ELLIPSE_PEN.color)
                .set("stroke-width", figure(ELLIPSE_PEN.width))
                .set("class", "ellipse")
                .set(
                    "transform",
                    format!("rotate({} {} {})", figure(turn), figure(at.x), figure(at.y)),
                ),
        )
    }

    /// The way from the fitted deed corner to each pin, exaggerated, from the pin.
    fn residuals(&self, board: &mut Board) -> Group {
        let mut group = Group::new().set("id", "residuals");
        for pin in &self.fit.pins {
            let Some(corner) = self.fit.corners.iter().find(|c| c.name == pin.name) else {
                continue;
            };
            let start = self.paper.at(corner.at);
            let way = Xy::new(pin.residual.east(), -pin.residual.north());
            let end = start.plus(way.unit().times(self.large(pin.residual.length())));
            if end.minus(start).length() > 2.0 {
                board.take(Tilted::line(start, end, 3.0), THIN_LINE);
                group = group.add(line(start, end, RESIDUAL_PEN).set("marker-end", "url(#arrow)"));
            }
        }
        group
    }

    fn corners(&self, board: &mut Board) -> Group {
        let mut group = Group::new().set("id", "corners");
        for fitted in &self.fit.corners {
            let at = self.paper.at(fitted.at);
            board.take(Tilted::around(at, 4.5), SYMBOL);
            group = group.add(corner(fitted.standing, at).set("class", "corner"));
        }
        group
    }

    fn names(&self, board: &mut Board) -> Group {
        let middle = self.paper.area.center();
        let mut group = Group::new().set("id", "names");
        for fitted in &self.fit.corners {
            let at = self.paper.at(fitted.at);
            let suspect = (self.fit.pins.iter()).any(|pin| pin.name == fitted.name && pin.suspect);
            let (color, second) = match (fitted.standing, fitted.search_radius) {
                _ if suspect => (WARNING, Some("SUSPECT PIN".to_owned())),
                (Standing::Accepted, _) => (INK, None),
                (Standing::Found, _) => (WARNING, Some("pin not accepted".to_owned())),
                (Standing::Predicted, Some(radius)) => (
                    WARNING,
                    Some(format!("SEARCH HERE, {} around", crew(radius))),
                ),
                (Standing::Predicted, None) => (WARNING, Some("SEARCH HERE".to_owned())),
            };
            let style = Type::bold(8.0).colored(color);
            let lines = std::iter::once(fitted.name.clone()).chain(second);
            let label = Label::new(style, lines);
            let reach = self.reach(fitted);
            let seats = label.around(at, reach, at.minus(middle));
            if let Some((_, drawn)) = board.seat(&label, seats) {
                group = group.add(drawn);
            }
        }
        group
    }

    fn panels(&self, area: Area) -> Group {
        let left = area.far().x + GAP;
        let bottom = area.far().y;
        let title = self.title();
        let scale = panel::scale(self.paper);
        let cautions = panel::cautions(&CAUTIONS);
        let legend = self.legend();
        let under_title = EDGE + title.height;
        let under_scale = under_title + panel::SCALE_HEIGHT;
        let over_cautions = bottom - cautions.height;
        let (title_height, cautions_height) = (title.height, cautions.height);
        Group::new()
            .add(title.at(Xy::new(left, EDGE), title_height))
            .add(scale.at(Xy::new(left, under_title), panel::SCALE_HEIGHT))
            .add(legend.at(Xy::new(left, under_scale), over_cautions - under_scale))
            .add(cautions.at(Xy::new(left, over_cautions), cautions_height))
    }

    fn title(&self) -> Block {
        let fit = self.fit;
        let mut block = Block::new();
        block.write(Type::bold(12.0), "Deed corners on the pins", 2);
        let turned = format!("deed turned {:.4} deg clockwise", fit.rotation.degrees());
        block.write(Type::plain(7.5), &turned, 2);
        if let Some(sigma) = fit.sigma.value() {
            let words = format!("pins and deed agree to {sigma:.3} ft (one standard error)");
            block.write(Type::plain(7.5), &words, 2);
        }
        let times = format!(
            "Ellipses, search circles and residuals are drawn {} times their size.",
            self.exaggeration
        );
        block.write(Type::bold(8.0).colored(WARNING), &times, 3);
        block.height += panel::PAD / 2.0;
        block
    }

    fn legend(&self) -> Block {
        let mut block = Block::new();
        block.write(Type::bold(7.0), "SYMBOLS", 1);
        block.height += 4.0;
        let (left, right) = (Xy::new(-12.0, 0.0), Xy::new(12.0, 0.0));
        let oval = Oval::new()
            .set("rx", "11")
            .set("ry", "4")
            .set("fill", "none")
            .set("stroke", ELLIPSE_PEN.color);
        let ellipses = match self.from {
            SigmaFrom::Given => "95 %, by the given standard errors",
            SigmaFrom::Residuals => "95 %, by the residuals",
        };
        let arrow = line(left, right, RESIDUAL_PEN).set("marker-end", "url(#arrow)");
        let entries = [
            (corner(Standing::Accepted, Xy::ZERO), "pin, accepted"),
            (corner(Standing::Found, Xy::ZERO), "pin found, not accepted"),
            (corner(Standing::Predicted, Xy::ZERO), "no pin: search here"),
            (
                Group::new().add(line(left, right, LOT_PEN)),
                "the deed as fitted",
            ),
            (Group::new().add(arrow), "from the fitted deed to the pin"),
            (Group::new().add(oval), ellipses),
            (
                Group::new().add(circle(Xy::ZERO, 6.0, "none", CIRCLE_PEN)),
                "search: 95 %, wider where pins disagree",
            ),
            (
                Group::new().add(line(left, right, TAPE_PEN)),
                "tapes to search with",
            ),
        ];
        for (symbol, words) in entries {
            let middle = block.height + 7.0;
            block.add(placed(Xy::new(panel::PAD + 13.0, middle), Xy::ACROSS).add(symbol));
            let at = Xy::new(panel::PAD + 32.0, middle + 2.2);
            block.add(Type::plain(6.4).text(at, words));
            block.height += 15.0;
        }
        block
    }
}
