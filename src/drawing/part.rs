//! One part of a drawing as an outline.

use nalgebra::Matrix3;

use super::flatten::{MOST_CORNERS, corners};
use super::path::{self, Arc, At, Line, Stretch, length};
use super::{Drawing, Element, Spot, cut};
use crate::finding::closest;
use crate::units::FARTHEST;

/// How far an outline may lie from the curve it was drawn as, mm.
pub const TOLERANCE: f64 = 0.1;
/// So many parts are named to choose from.
const NAMED: usize = 8;

/// Where a drawing goes on the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Placing {
    /// The page's lower left corner at (0, 0).
    Page,
    /// The drawing's own (0, 0) at a point of the board, mm.
    Origin(f64, f64),
}

/// A part that was taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// Its corners on the board in mm, y up.
    pub corners: Vec<(f64, f64)>,
    /// Length of a unit of the drawing, mm.
    pub unit: f64,
}

/// Why a part gives no outline.
#[derive(Clone, Debug, PartialEq)]
pub enum PartFault {
    /// No element has the id; the nearest, and some that there are.
    Missing {
        /// The nearest id.
        near: Option<String>,
        /// Ids of shapes and groups.
        known: Vec<String>,
    },
    /// More than one shape, and which: ids, or tags with their line.
    Several(Vec<String>),
    /// No shape at all; the element's tag.
    NoShape(String),
    /// It cannot be read: where, and why.
    Unreadable(Spot, String),
    /// It does not come back to where it began: where, and how far it is away, mm.
    Open(Spot, f64),
    /// It has more than one closed line: where, and how many.
    Loops(Spot, usize),
    /// Nothing says how long a unit is; what its page's size says.
    Scale(Option<String>),
    /// Nothing says where its page ends.
    NoPage,
    /// A corner of it lies further away than any yard reaches, or nowhere: where it stands.
    TooFar(Spot),
    /// Too many corners.
    TooFine(Spot, usize),
}

impl Drawing {
    /// The outline of a part, or of the drawing's only shape; `scale` is the length of a
    /// unit in mm, where it is said.
    ///
    /// # Errors
    /// Where there is no such part, or it has no outline.
    pub fn part(
        &self,
        id: Option<&str>,
        scale: Option<f64>,
        placing: Placing,
    ) -> Result<Taken, PartFault> {
        let element = self.shape(id)?;
        let unit = scale.or(self.unit).ok_or_else(|| PartFault::Scale(self.size.clone()))?;
        let (x, y) = match (placing, self.page) {
            (Placing::Page, Some(page)) => (-page.left * unit, page.bottom * unit),
            (Placing::Page, None) => return Err(PartFault::NoPage),
            (Placing::Origin(x, y), _) => (x, y),
        };
        if element.inner {
            let why = "it stands in a drawing inside the drawing, with units of its own";
            return Err(PartFault::Unreadable(element.spot, why.to_owned()));
        }
        let own = element.map.clone().map_err(|(at, why)| PartFault::Unreadable(at, why))?;
        // Millimetres, y up.
        let map = Matrix3::new(unit, 0.0, x, 0.0, -unit, y, 0.0, 0.0, 1.0) * own;
        let mut lines = element.lines().map_err(|why| PartFault::Unreadable(element.spot, why))?;
        lines.retain(|l| !l.stretches.is_empty());
        let line = match lines.as_slice() {
            [] => return Err(PartFault::NoShape(element.tag.clone())),
            [line] => line,
            more => return Err(PartFault::Loops(element.spot, more.len())),
        };
        let mut corners =
            corners(line, &map, TOLERANCE).ok_or(PartFault::TooFine(element.spot, MOST_CORNERS))?;
        // As written so that what is no number at all is refused too.
        if !corners.iter().all(|c| c.0.abs() <= FARTHEST.0 && c.1.abs() <= FARTHEST.0) {
            return Err(PartFault::TooFar(element.spot));
        }
        let (first, last) = (corners[0], corners[corners.len() - 1]);
        let gap = libm::hypot(first.0 - last.0, first.1 - last.1);
        if gap > TOLERANCE && !line.closed {
            return Err(PartFault::Open(element.spot, gap));
        }
        tidy(&mut corners);
        Ok(Taken { corners, unit })
    }

    /// The element that is meant: a shape, or the only one inside it.
    fn shape(&self, id: Option<&str>) -> Result<&Element, PartFault> {
        let at = match id {
            None => 0,
            Some(id) => self
                .elements
                .iter()
                .position(|e| e.id.as_deref() == Some(id))
                .ok_or_else(|| self.missing(id))?,
        };
        let inside = &self.elements[at..self.elements[at].end];
        // What was asked for by its own name may stand among what is not drawn.
        let shapes = inside.iter().filter(|e| e.is_shape() && (!e.hidden || id.is_some()));
        let shapes: Vec<&Element> = shapes.collect();
        match shapes.as_slice() {
            [] => Err(PartFault::NoShape(self.elements[at].tag.clone())),
            [one] => Ok(one),
            more => Err(PartFault::Several(more.iter().take(NAMED).map(|e| e.told()).collect())),
        }
    }

    fn missing(&self, id: &str) -> PartFault {
        let ids = || {
            let parts = self.elements.iter().filter(|e| e.is_shape() || e.tag == "g");
            parts.filter_map(|e| e.id.as_deref())
        };
        PartFault::Missing {
            near: closest(id, ids()).map(str::to_owned),
            known: ids().take(NAMED).map(str::to_owned).collect(),
        }
    }
}

/// Takes corners away that lie where the one before them does, the last where the first
/// does.
fn tidy(corners: &mut Vec<At>) {
    const SAME: f64 = 1e-6;
    let same = |a: &At, b: &At| (a.0 - b.0).abs() <= SAME && (a.1 - b.1).abs() <= SAME;
    corners.dedup_by(|b, a| same(a, b));
    while corners.len() > 1 && same(&corners[0], &corners[corners.len() - 1]) {
        corners.pop();
    }
}

impl Element {
    fn is_shape(&self) -> bool {
        let shapes = ["path", "rect", "circle", "ellipse", "polygon", "polyline", "line"];
        shapes.contains(&self.tag.as_str())
    }

    fn told(&self) -> String {
        match &self.id {
            Some(id) => cut(id),
            None => format!("a {} without an id (line {})", self.tag, self.spot.line),
        }
    }

    fn attribute(&self, name: &str) -> Option<&str> {
        self.shape.iter().find(|(n, _)| n == name).map(|(_, v)| v.as_str())
    }

    /// A length; nought where it is not there.
    fn size(&self, name: &str) -> Result<f64, String> {
        let Some(text) = self.attribute(name) else { return Ok(0.0) };
        let length = length(text).map(|l| l.units);
        length.ok_or_else(|| {
            format!("its {name} is `{}`, a measure that has no length of its own", cut(text))
        })
    }

    /// Its lines in its own units.
    fn lines(&self) -> Result<Vec<Line>, String> {
        match self.tag.as_str() {
            "path" => {
                let data = self.attribute("d").unwrap_or("");
                path::lines(data).map_err(|w| {
                    let near = data.get(w.at..).unwrap_or("");
                    let near = if near.is_empty() {
                        "at its end".to_owned()
                    } else {
                        format!("at `{}`", cut(near))
                    };
                    format!("its path wants {} {near} (character {})", w.wanted, w.at + 1)
                })
            }
            "polygon" | "polyline" => self.corners(),
            "rect" => self.rectangle(),
            "circle" => {
                let r = self.size("r")?;
                Ok(round((self.size("cx")?, self.size("cy")?), (r, r)))
            }
            "ellipse" => {
                let radii = (self.size("rx")?, self.size("ry")?);
                Ok(round((self.size("cx")?, self.size("cy")?), radii))
            }
            // A straight line is one line, and open.
            _ => Ok(vec![Line {
                stretches: vec![Stretch::Line((1.0, 0.0))],
                ..Line::from((0.0, 0.0))
            }]),
        }
    }

    fn corners(&self) -> Result<Vec<Line>, String> {
        let mut numbers = path::Numbers::of(self.attribute("points").unwrap_or(""));
        let mut points = Vec::new();
        while !numbers.done() {
            let point = numbers.number().and_then(|x| Ok((x, numbers.number()?)));
            points.push(point.map_err(|w| format!("its points want {}", w.wanted))?);
        }
        let Some((first, rest)) = points.split_first() else { return Ok(Vec::new()) };
        let stretches = rest.iter().map(|p| Stretch::Line(*p)).collect();
        Ok(vec![Line { start: *first, stretches, closed: self.tag == "polygon" }])
    }

    /// A rectangle, its corners rounded where it says so.
    fn rectangle(&self) -> Result<Vec<Line>, String> {
        let (x, y) = (self.size("x")?, self.size("y")?);
        let (w, h) = (self.size("width")?, self.size("height")?);
        if w <= 0.0 || h <= 0.0 {
            return Ok(Vec::new());
        }
        let said = [("rx", w), ("ry", h)].map(|(name, most)| {
            let own = self.attribute(name).filter(|t| t.trim() != "auto");
            Ok(match own {
                Some(_) => Some(self.size(name)?.clamp(0.0, most / 2.0)),
                None => None,
            })
        });
        let [rx, ry]: [Result<Option<f64>, String>; 2] = said;
        // One radius counts for both (the standard's chapter 9.2).
        let (rx, ry) = match (rx?, ry?) {
            (None, None) => (0.0, 0.0),
            (Some(r), None) => (r, r.min(h / 2.0)),
            (None, Some(r)) => (r.min(w / 2.0), r),
            (Some(a), Some(b)) => (a, b),
        };
        let quarter = std::f64::consts::FRAC_PI_2;
        let mut line = Line { closed: true, ..Line::from((x + rx, y)) };
        let sides = [
            ((x + w - rx, y), (x + w - rx, y + ry), (x + w, y + ry), -1.0),
            ((x + w, y + h - ry), (x + w - rx, y + h - ry), (x + w - rx, y + h), 0.0),
            ((x + rx, y + h), (x + rx, y + h - ry), (x, y + h - ry), 1.0),
            ((x, y + ry), (x + rx, y + ry), (x + rx, y), 2.0),
        ];
        for (to, middle, end, from) in sides {
            line.stretches.push(Stretch::Line(to));
            if rx > 0.0 && ry > 0.0 {
                let (radii, from) = ((rx, ry), from * quarter);
                let arc = Arc { middle, radii, turned: 0.0, from, over: quarter, end };
                line.stretches.push(Stretch::Arc(arc));
            }
        }
        Ok(vec![line])
    }
}

/// A whole ellipse.
fn round(middle: At, radii: (f64, f64)) -> Vec<Line> {
    if !(radii.0 > 0.0 && radii.1 > 0.0) {
        return Vec::new();
    }
    let start = (middle.0 + radii.0, middle.1);
    let over = 2.0 * std::f64::consts::PI;
    let arc = Arc { middle, radii, turned: 0.0, from: 0.0, over, end: start };
    vec![Line { start, stretches: vec![Stretch::Arc(arc)], closed: true }]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Board, BoardPoint, Outline};

    fn take(svg: &str, id: Option<&str>, scale: Option<f64>) -> Result<Taken, PartFault> {
        Drawing::read(svg.as_bytes()).unwrap().part(id, scale, Placing::Page)
    }

    fn outline(taken: &Taken) -> Outline<Board> {
        Outline::new(taken.corners.iter().map(|c| BoardPoint::mm(c.0, c.1)).collect()).unwrap()
    }

    #[test]
    fn a_circle_has_its_area_from_every_way_of_drawing_it() {
        // pi r^2, and pi r^4/2 about its middle; chords stay within the tolerance.
        let shapes = [
            r#"<circle id="a" cx="100" cy="150" r="50"/>"#,
            r#"<ellipse id="a" cx="100" cy="150" rx="50" ry="50"/>"#,
            r#"<path id="a" d="M50 150 A50 50 0 0 1 150 150 A50 50 0 0 1 50 150 Z"/>"#,
            r#"<path id="a" d="M150 150a50 50 0 1 0-100 0a50 50 0 1 0 100 0"/>"#,
            r#"<rect id="a" x="50" y="100" width="100" height="100" rx="50"/>"#,
            r#"<g transform="translate(100 150) rotate(33) scale(2)"><circle id="a" r="25"/></g>"#,
        ];
        for shape in shapes {
            let svg = format!(
                r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 300">{shape}</svg>"#
            );
            let o = outline(&take(&svg, Some("a"), Some(1.0)).unwrap());
            let area = std::f64::consts::PI * 2_500.0;
            let lost = area - o.area().0;
            assert!((0.0..TOLERANCE * 315.0).contains(&lost), "{shape}: {lost}");
            let c = o.centroid();
            assert!((c.x - 100.0).abs() < 1e-6 && (c.y - 150.0).abs() < 1e-6, "{shape}: {c:?}");
            let polar = area * 1_250.0;
            assert!((o.polar_moment(c) / polar - 1.0).abs() < 0.01);
            for p in o.corners() {
                let r = p.distance(BoardPoint::mm(100.0, 150.0)).0;
                assert!((r - 50.0).abs() < 1e-6, "{shape}: {r}");
            }
        }
    }

    #[test]
    fn curves_have_the_area_that_calculus_gives_them() {
        // Under y = x (10 - x)/5 over 0..10: 10^3/30 = 33.33; a quadratic with its control
        // point at (5, 10) is that parabola. A cubic with control points at two thirds of
        // the way to it is the same curve.
        for d in
            ["M0 0Q5 10 10 0z", "M0 0C3.3333333333 6.6666666667 6.6666666667 6.6666666667 10 0z"]
        {
            let svg = format!(r#"<svg viewBox="0 0 10 10"><path d="{d}"/></svg>"#);
            let o = outline(&take(&svg, None, Some(10.0)).unwrap());
            let want = 3_333.333_333;
            assert!((o.area().0 - want).abs() < 20.0 && o.area().0 < want, "{:?}", o.area());
        }
    }

    #[test]
    fn y_is_turned_up_and_the_page_stands_on_the_ground() {
        let svg = r#"<svg width="210mm" height="297mm" viewBox="0 0 2100 2970">
            <polygon id="p" points="100,2970 200,2970 100,2870"/></svg>"#;
        let taken = take(svg, Some("p"), None).unwrap();
        assert!((taken.unit - 0.1).abs() < 1e-12);
        assert_eq!(taken.corners, [(10.0, 0.0), (20.0, 0.0), (10.0, 10.0)]);
    }

    #[test]
    fn what_has_no_outline_says_why() {
        let of = |inside: &str, id: Option<&str>| {
            take(&format!(r#"<svg viewBox="0 0 9 9">{inside}</svg>"#), id, Some(1.0)).unwrap_err()
        };
        assert!(
            matches!(of(r#"<path d="M0 0L4 0L4 3"/>"#, None), PartFault::Open(_, gap) if gap == 5.0)
        );
        assert!(matches!(of(r#"<line x2="4"/>"#, None), PartFault::Open(..)));
        assert!(matches!(of(r#"<path d="M0 0h9v9zM3 2h1v1z"/>"#, None), PartFault::Loops(_, 2)));
        assert!(matches!(of("<text>a</text>", None), PartFault::NoShape(t) if t == "svg"));
        let two = r#"<g id="wings"><circle id="left" r="1"/><circle r="2"/></g>"#;
        assert!(matches!(of(two, Some("wings")), PartFault::Several(all) if all[0] == "left"));
        let near = of(two, Some("lefd"));
        assert!(matches!(near, PartFault::Missing { near: Some(n), .. } if n == "left"));
        assert!(matches!(of(r#"<rect width="50%" height="2"/>"#, None), PartFault::Unreadable(..)));
        let none = take(r#"<svg><circle r="1"/></svg>"#, None, Some(1.0));
        assert_eq!(none.unwrap_err(), PartFault::NoPage);
        let none = take(
            r#"<svg width="100%" height="5em" viewBox="0 0 9 9"><circle r="1"/></svg>"#,
            None,
            None,
        );
        assert!(matches!(none.unwrap_err(), PartFault::Scale(Some(_))));
    }
}
