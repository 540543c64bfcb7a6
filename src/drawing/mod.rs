//! Drawings: from the bytes of an SVG file to the outline of one of its parts.
//!
//! SVG 1.1 (second edition): paths and basic shapes, transforms composed from the
//! outside in, the page's `viewBox`. Nothing else of a drawing is looked at, and nothing
//! it refers to is ever opened: a drawing that reaches outside itself, or declares
//! entities, is refused. Nothing here opens a file or knows a place in a yard's text.

mod flatten;
mod part;
mod path;

pub use part::{PartFault, Placing, TOLERANCE, Taken};

use nalgebra::Matrix3;
use roxmltree::{Document, Node, NodeType, ParsingOptions, TextPos};

use path::{length, transform};

/// Elements nested deeper than this are refused.
pub const DEEPEST: usize = 100;
/// Drawings of more elements and texts than this are refused.
pub const MOST_NODES: u32 = 200_000;

/// A place in a drawing, both counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// The line.
    pub line: u32,
    /// The column.
    pub column: u32,
}

impl std::fmt::Display for Spot {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)
    }
}

impl From<TextPos> for Spot {
    fn from(at: TextPos) -> Self {
        Self { line: at.row, column: at.col }
    }
}

/// Why a file is no drawing that is taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DrawingError {
    /// No text in UTF-8.
    NotText,
    /// Not well-formed XML: where, and what of it.
    NotXml(Spot, String),
    /// It ends in the middle of something.
    CutShort,
    /// XML, and no SVG: its first element.
    NotSvg(String),
    /// It declares a document type, through which entities could be multiplied.
    Declares,
    /// It names something outside itself: where, and what.
    ReachesOut(Spot, String),
    /// Elements nested deeper than [`DEEPEST`].
    TooDeep(Spot),
    /// More than [`MOST_NODES`].
    TooMany,
    /// A page whose `viewBox` cannot be read.
    Page(Spot),
}

/// Where the page lies, in the drawing's units.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Page {
    left: f64,
    bottom: f64,
}

/// One element of a drawing.
#[derive(Clone, Debug)]
struct Element {
    id: Option<String>,
    tag: String,
    spot: Spot,
    /// Elements inside it follow it up to here.
    end: usize,
    /// From its own units to the drawing's; or the byte and the wish where a `transform`
    /// on the way cannot be read.
    map: Result<Matrix3<f64>, (Spot, String)>,
    /// Attributes that make its shape.
    shape: Vec<(String, String)>,
    /// Nothing is drawn of it: it lies in `defs` or the like.
    hidden: bool,
    /// It lies in a drawing inside the drawing, which has units of its own.
    inner: bool,
}

/// A drawing, read.
#[derive(Clone, Debug)]
pub struct Drawing {
    elements: Vec<Element>,
    page: Option<Page>,
    /// Length of a unit, mm, where its own page says it.
    unit: Option<f64>,
    /// The words of a page's size that say nothing of mm.
    size: Option<String>,
}

/// Attributes that make a shape.
const SHAPING: &[&str] = &["d", "points", "x", "y", "width", "height", "rx", "ry", "cx", "cy", "r"];
/// What is kept in a drawing without being drawn.
const HIDDEN: &[&str] = &["defs", "symbol", "clipPath", "mask", "marker", "pattern", "metadata"];

impl Drawing {
    /// Reads a drawing.
    ///
    /// # Errors
    /// Where the bytes are no drawing, or one that is refused.
    pub fn read(bytes: &[u8]) -> Result<Self, DrawingError> {
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let text = std::str::from_utf8(bytes).map_err(|_| DrawingError::NotText)?;
        let options =
            ParsingOptions { allow_dtd: false, nodes_limit: MOST_NODES, ..Default::default() };
        let document = Document::parse_with_options(text, options).map_err(|e| match e {
            roxmltree::Error::DtdDetected => DrawingError::Declares,
            roxmltree::Error::NodesLimitReached => DrawingError::TooMany,
            roxmltree::Error::UnexpectedEndOfStream | roxmltree::Error::UnclosedRootNode => {
                DrawingError::CutShort
            }
            other => DrawingError::NotXml(other.pos().into(), reason(&other)),
        })?;
        let root = document.root_element();
        if root.tag_name().name() != "svg" {
            return Err(DrawingError::NotSvg(root.tag_name().name().to_owned()));
        }
        stays_inside(&document)?;
        let mut drawing = Self { elements: Vec::new(), page: None, unit: None, size: None };
        drawing.paper(root)?;
        drawing.gather(&document, root)?;
        Ok(drawing)
    }

    /// The page: where its lower left corner lies, and how long a unit is.
    fn paper(&mut self, root: Node<'_, '_>) -> Result<(), DrawingError> {
        let spot = || Spot::from(root.document().text_pos_at(root.range().start));
        let [width, height] = ["width", "height"].map(|a| root.attribute(a).map(str::trim));
        let lengths = [width, height].map(|l| l.and_then(length));
        let view = match root.attribute("viewBox") {
            None => None,
            Some(text) => {
                let mut numbers = path::Numbers::of(text);
                let four: Result<Vec<f64>, _> = (0..4).map(|_| numbers.number()).collect();
                let four = four.ok().filter(|v| v[2] > 0.0 && v[3] > 0.0 && numbers.done());
                Some(four.ok_or_else(|| DrawingError::Page(spot()))?)
            }
        };
        self.page = match (&view, lengths[1]) {
            (Some(v), _) => Some(Page { left: v[0], bottom: v[1] + v[3] }),
            (None, Some(height)) => Some(Page { left: 0.0, bottom: height.units }),
            (None, None) => None,
        };
        // Without a viewBox a unit is a px, whatever the page is measured in.
        let unit = |said: Option<path::Length>, across: Option<f64>| match (said?.mm, across) {
            (Some(mm), Some(across)) => Some(mm / across),
            (Some(_), None) => Some(25.4 / 96.0),
            (None, _) => None,
        };
        let across = |at: usize| view.as_ref().map(|v| v[at]);
        let units = [unit(lengths[0], across(2)), unit(lengths[1], across(3))];
        self.unit = match units {
            [Some(a), Some(b)] if (a - b).abs() <= 1e-3 * a.max(b) => Some(a),
            [Some(one), None] | [None, Some(one)] => Some(one),
            _ => None,
        };
        self.size = match (width, height) {
            (Some(w), Some(h)) => Some(format!("{w} by {h}")),
            (one, other) => one.or(other).map(str::to_owned),
        };
        Ok(())
    }

    fn gather(&mut self, document: &Document<'_>, root: Node<'_, '_>) -> Result<(), DrawingError> {
        // By depth: the element's index.
        let mut open: Vec<(usize, usize)> = Vec::new();
        for node in root.descendants().filter(|n| n.is_element()) {
            let spot = Spot::from(document.text_pos_at(node.range().start));
            while open.last().is_some_and(|&(_, end)| node.range().start >= end) {
                self.close(&mut open);
            }
            if open.len() >= DEEPEST {
                return Err(DrawingError::TooDeep(spot));
            }
            let above = open.last().map(|&(index, _)| &self.elements[index]);
            let tag = node.tag_name().name().to_owned();
            let map = above.map_or_else(|| Ok(Matrix3::identity()), |a| a.map.clone());
            let map = map.and_then(|map| own_map(node, spot).map(|own| map * own));
            let element = Element {
                id: node.attribute("id").map(str::to_owned),
                spot,
                end: 0,
                // The outermost element's own transform is SVG 2's; the page is drawn in it.
                map,
                shape: SHAPING
                    .iter()
                    .filter_map(|name| {
                        Some(((*name).to_owned(), node.attribute(*name)?.to_owned()))
                    })
                    .collect(),
                hidden: above.is_some_and(|a| a.hidden) || HIDDEN.contains(&tag.as_str()),
                inner: above.is_some_and(|a| a.inner || (tag == "svg" && !open.is_empty())),
                tag,
            };
            open.push((self.elements.len(), node.range().end));
            self.elements.push(element);
        }
        while !open.is_empty() {
            self.close(&mut open);
        }
        Ok(())
    }

    fn close(&mut self, open: &mut Vec<(usize, usize)>) {
        let end = self.elements.len();
        if let Some((index, _)) = open.pop() {
            self.elements[index].end = end;
        }
    }
}

/// The map of an element's own `transform`.
fn own_map(node: Node<'_, '_>, spot: Spot) -> Result<Matrix3<f64>, (Spot, String)> {
    if node.attribute("style").is_some_and(|s| s.contains("transform")) {
        return Err((spot, "a style that transforms it".to_owned()));
    }
    let Some(text) = node.attribute("transform") else { return Ok(Matrix3::identity()) };
    transform(text)
        .map_err(|w| (spot, format!("the transform `{}`: {} is wanted", cut(text), w.wanted)))
}

/// What the parser says, without the place, which stands elsewhere.
fn reason(error: &roxmltree::Error) -> String {
    let at = error.pos();
    error.to_string().replace(&format!(" at {}:{}", at.row, at.col), "")
}

/// The beginning of a long text.
fn cut(text: &str) -> String {
    let short: String = text.chars().take(40).collect();
    if short.len() < text.len() { short + " …" } else { short }
}

/// Whether everything a drawing names lies in itself.
fn stays_inside(document: &Document<'_>) -> Result<(), DrawingError> {
    let spot = |at: usize| Spot::from(document.text_pos_at(at));
    let outside = |what: &str| {
        let what = what.trim();
        // An address of its own, or data that it carries along.
        !(what.is_empty() || what.starts_with('#') || what.starts_with("data:"))
    };
    for node in document.root().descendants() {
        if node.node_type() == NodeType::PI {
            let told = node.pi().and_then(|pi| pi.value).filter(|v| v.contains("href"));
            if let Some(told) = told {
                return Err(DrawingError::ReachesOut(spot(node.range().start), cut(told)));
            }
        }
        for attribute in node.attributes() {
            let (name, value) = (attribute.name(), attribute.value());
            // A link for people to follow leads nowhere until one does.
            if name == "href" && node.tag_name().name() != "a" && outside(value) {
                return Err(DrawingError::ReachesOut(spot(attribute.range().start), cut(value)));
            }
            let mut rest = value;
            while let Some(at) = rest.find("url(") {
                rest = &rest[at + 4..];
                if outside(rest.trim_start_matches(['"', '\'', ' '])) {
                    return Err(DrawingError::ReachesOut(spot(attribute.range().start), cut(rest)));
                }
            }
        }
        let style = node.is_element() && node.tag_name().name() == "style";
        if style && node.text().is_some_and(|t| t.contains("@import")) {
            return Err(DrawingError::ReachesOut(spot(node.range().start), "@import".to_owned()));
        }
    }
    Ok(())
}
