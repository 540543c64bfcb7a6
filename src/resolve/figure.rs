//! One figure: from its item to the model.
//!
//! [`figure`] is a pure function of the item's text and of the answers to the
//! names it looks up, so its result can be kept as long as both stay the same.

use std::sync::Arc;

use crate::drawing::Placing;
use crate::finding::{Finding, Place, Spanned};
use crate::geometry::{Board as Plane, BoardPoint, Outline};
use crate::model::{
    Actuator, Anchor, Board, Drawing, Feed, Figure, FrameMember, Lamp, MotorType, Mounting, Note,
    Stakes, Stays, Turn,
};
use crate::syntax::{Block, Clause, Reading};
use crate::units::{Mm, System};

use super::drives::DriveWord;
use super::names::{self, NameKind, Wanted};
use super::scope::Lookups;
use super::{codes_outline, contradict, drawn, limb, plane, say};

/// What is gathered while a figure is resolved.
pub(super) struct Making<'a, 'b> {
    /// The project.
    pub lookups: &'a mut Lookups<'b>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
    /// The figure's name.
    pub name: String,
    /// Its household.
    pub system: System,
    /// Its motors so far.
    pub actuators: Vec<Actuator>,
    /// How many of them are the figure's own, for limbs to share; the others
    /// belong to one limb each.
    pub shared: usize,
}

impl Making<'_, '_> {
    /// A finding about the figure or one of its limbs.
    pub fn report(&mut self, limb: Option<&str>, finding: Finding) {
        self.findings.push(finding.about(&self.name, limb));
    }

    /// The motor type named so, for a limb's drive or for the figure; `None` where it is
    /// unknown or was reported.
    pub fn motor_type(
        &mut self,
        name: Spanned<&str>,
        wanted: Option<(&str, &DriveWord)>,
    ) -> Option<Arc<MotorType>> {
        if self.lookups.knows(NameKind::Motor, name.value) {
            let motor = self.lookups.parts().motors.get(name.value)?;
            return Some(self.with_screws(motor));
        }
        let own = self.actuators.clone();
        let here = own.iter().map(|a| (a.name.as_str(), a.place));
        let motors = &self.lookups.parts().motors;
        let by = wanted.map(|(_, drive)| format!("a {}", drive.word));
        let rank = |n: &str| {
            let (motor, (_, drive)) = (motors.get(n)?, wanted?);
            drive.motors.iter().position(|kind| *kind == motor.kind)
        };
        let fitting = by.as_deref().map(|by| Wanted { by, rank: &rank });
        let finding = self.lookups.unknown_with(NameKind::Motor, name, here, fitting);
        self.report(wanted.map(|(limb, _)| limb), finding);
        None
    }

    /// A motor with the diameter of its screws, where it has mounting holes.
    fn with_screws(&mut self, motor: &Arc<MotorType>) -> Arc<MotorType> {
        let Some(holes) = &motor.mounting else { return Arc::clone(motor) };
        let thread = Spanned { value: holes.bolt.value.as_str(), place: holes.bolt.place };
        let mut findings = Vec::new();
        let known = self.lookups.check(NameKind::Bolt, thread, &mut findings);
        let bolt = self.lookups.parts().bolts.get(thread.value).filter(|_| known);
        self.findings.append(&mut findings);
        let mounting = Mounting { diameter: bolt.map(|b| b.diameter), ..holes.clone() };
        Arc::new(MotorType { mounting: Some(mounting), ..(**motor).clone() })
    }
}

/// Resolves the figure of an item; `None` where the item describes none.
///
/// # Errors
/// None: what is wrong is among the findings, and the rest is kept.
#[must_use]
pub fn figure(reading: &Arc<Reading>, lookups: &mut Lookups<'_>) -> (Option<Figure>, Vec<Finding>) {
    let top = reading.top().clauses().find(|c| c.word() == "figure");
    let Some((clause, name)) = top.and_then(|c| Some((c, c.text("name")?))) else {
        return (None, Vec::new());
    };
    let mut making = Making {
        lookups,
        findings: Vec::new(),
        name: name.value.to_owned(),
        system: first_system(reading),
        actuators: Vec::new(),
        shared: 0,
    };
    let Some(block) = clause.block() else { return (None, Vec::new()) };
    let board = board(block, &mut making);
    let feed = feed(block, &mut making);
    motors(block, &mut making);
    making.shared = making.actuators.len();
    let frame = frame(block, &mut making);
    let anchor = anchor(block);
    contradict::of_anchor(block).into_iter().for_each(|f| making.report(None, f));
    let context = limb::Around {
        framed: !frame.members.is_empty() || frame.unread,
        fed: feed.is_some(),
        song: making.lookups.any(NameKind::Song),
    };
    let mut limbs = limb::limbs(block, &mut making, &context);
    for limb in &mut limbs {
        limb.assumed.extend(frame.assumed.iter().cloned());
    }
    let figure = Figure {
        name: name.map(str::to_owned),
        title: title(block),
        like: None,
        system: making.system,
        board,
        frame: frame.members,
        frame_unread: frame.unread,
        anchor,
        feed,
        lamps: lamps(block),
        actuators: making.actuators,
        limbs,
        readings: vec![reading.clone()],
        assumed: Vec::new(),
        seen_to: seen_to(block).collect(),
    };
    (Some(figure), making.findings)
}

/// The household of the first unit that belongs to one; metric where there is none.
pub(super) fn first_system(reading: &Reading) -> System {
    let written = reading.values.iter().filter_map(|v| Some((v.lo, v.unit()?.system)));
    let first = written.filter(|(_, s)| *s != System::Both).min_by_key(|(lo, _)| *lo);
    first.map_or(System::Metric, |(_, s)| s)
}

/// `title "…"` of a block.
pub(super) fn title(block: Block<'_>) -> Option<String> {
    Some(block.find("title")?.text("title")?.value.to_owned())
}

/// The codes of hints that were dealt with.
pub(super) fn seen_to(block: Block<'_>) -> impl Iterator<Item = Spanned<String>> {
    block.all("seen-to").filter_map(|c| Some(c.text("hint")?.map(str::to_owned)))
}

/// The points of a part, of which there may be one value or many.
pub(super) fn points(clause: Clause<'_>, part: &str) -> Vec<BoardPoint> {
    clause.values(part).filter_map(|v| Some(plane::board(v.point()?.value))).collect()
}

/// Where nothing places a point.
pub(super) fn point(clause: Clause<'_>, part: &str) -> Option<BoardPoint> {
    Some(plane::board(clause.value(part)?.point()?.value))
}

fn board(block: Block<'_>, making: &mut Making<'_, '_>) -> Board {
    let Some(c) = block.find("board") else {
        return Board { sheet: None, outline: None, drawing: None, lifted: Mm(0.0), place: None };
    };
    let sheet = c.text("sheet").and_then(|name| sheet(name, None, making));
    let mut drawn = None;
    if c.has("outline") && drawing(c).is_none() && !c.poisoned() {
        let (outline, found) = codes_outline::read(points(c, "outline"), c.place());
        drawn = outline;
        found.into_iter().for_each(|f| making.report(None, f));
    }
    if let Some(drawing) = drawing(c) {
        match drawn::outline(&drawing, Placing::Page, making.lookups) {
            Ok(outline) => drawn = Some(outline),
            Err(found) => making.report(None, *found),
        }
    }
    Board {
        sheet,
        outline: drawn.or_else(|| rectangle(c)),
        drawing: drawing(c),
        lifted: c.size("lifted").unwrap_or(Mm(0.0)),
        place: Some(c.place()),
    }
}

/// `outline svg "bear.svg" part "body" scale 1 mm`.
pub(super) fn drawing(c: Clause<'_>) -> Option<Drawing> {
    Some(Drawing {
        file: c.text("svg")?.map(str::to_owned),
        part: c.text("part").map(|p| p.map(str::to_owned)),
        scale: c.size("scale"),
    })
}

/// The sheet named so, or a finding.
pub(super) fn sheet(
    name: Spanned<&str>,
    limb: Option<&str>,
    making: &mut Making<'_, '_>,
) -> Option<Arc<crate::model::SheetType>> {
    let mut findings = Vec::new();
    let found = making.lookups.check(NameKind::Sheet, name, &mut findings);
    findings.into_iter().for_each(|f| making.report(limb, f));
    found.then(|| making.lookups.parts().sheets.get(name.value).cloned()).flatten()
}

/// `27 in by 61 in`: standing on the ground from x = 0.
fn rectangle(c: Clause<'_>) -> Option<Outline<Plane>> {
    let (w, h): (Mm, Mm) = (c.size("width")?, c.size("height")?);
    let corner = |x, y| plane::board((x, y));
    Outline::new(vec![corner(0.0, 0.0), corner(w.0, 0.0), corner(w.0, h.0), corner(0.0, h.0)])
}

/// What frames are made of where nothing is said: a planed 1 by 2, across and deep (American
/// Softwood Lumber Standard, PS 20; from memory).
const USUAL_MEMBER: (Mm, Mm) = (Mm(38.0), Mm(19.0));

fn frame(block: Block<'_>, making: &mut Making<'_, '_>) -> Frame {
    let mut frame = Frame::default();
    for c in block.all("frame") {
        frame.unread |= super::poisoned(c);
        let bar = stock(c, making);
        // A bar that there is not was reported.
        let (true, Some(lines)) = (bar.is_some() || !c.has("bar"), c.block()) else { continue };
        let own = bar.as_ref().map(|b| (b.width, b.depth));
        let (width, depth) = own.unwrap_or_else(|| {
            let said = (c.size("width"), c.size("depth"));
            if said.0.is_none() || said.1.is_none() {
                frame.assumed.push(usual_member(said, making.system));
            }
            (said.0.unwrap_or(USUAL_MEMBER.0), said.1.unwrap_or(USUAL_MEMBER.1))
        });
        for line in lines.clauses() {
            let (from, to) = (points(line, "from"), points(line, "to"));
            let pairs = from.into_iter().zip(to);
            let member = |(from, to)| FrameMember { from, to, width, depth, bar: bar.clone() };
            frame.members.extend(pairs.map(member));
        }
    }
    frame
}

/// What is drawn of a frame.
#[derive(Default)]
struct Frame {
    members: Vec<FrameMember>,
    /// Whether more is drawn that could not be read.
    unread: bool,
    assumed: Vec<Note>,
}

/// "frame 38 mm across, 19 mm deep".
fn usual_member(said: (Option<Mm>, Option<Mm>), system: System) -> Note {
    let size = |mm: Mm| say::about(mm, system);
    let (width, depth) = (said.0.unwrap_or(USUAL_MEMBER.0), said.1.unwrap_or(USUAL_MEMBER.1));
    let what = match said {
        (Some(_), _) => format!("members of the frame {} deep", size(depth)),
        (None, Some(_)) => format!("members of the frame {} wide", size(width)),
        (None, None) => format!("members of the frame {} wide, {} deep", size(width), size(depth)),
    };
    Note::new(what, format!("frame {} by {}", size(width), size(depth)))
}

/// The bar of `frame of 1x2`.
fn stock(c: Clause<'_>, making: &mut Making<'_, '_>) -> Option<Arc<crate::model::BarStock>> {
    let name = c.text("bar")?;
    let mut findings = Vec::new();
    let found = making.lookups.check(NameKind::Bar, name, &mut findings);
    findings.into_iter().for_each(|f| making.report(None, f));
    making.lookups.parts().bars.get(name.value).filter(|_| found).cloned()
}

/// `anchor …`: an `at` or `out` belongs to the braces or guys before it.
pub(super) fn anchor(block: Block<'_>) -> Option<Anchor> {
    let c = block.find("anchor")?;
    let count = |part: &str| c.value(part).and_then(|v| v.count());
    let stays = |part: &str, other: &str| {
        let lo = c.value(part)?.value.lo;
        let end = c.value(other).map(|v| v.value.lo).filter(|&o| o > lo).unwrap_or(u32::MAX);
        let near = |of: &str| {
            let mut behind = c.values(of).filter(|v| lo < v.value.lo && v.value.lo < end);
            behind.find_map(|v| v.quantity::<Mm>()).map(|s| s.value)
        };
        Some(Stays { count: count(part)?, at: near("at"), out: near("out") })
    };
    Some(Anchor {
        stakes: count("stakes").map(|count| Stakes {
            count,
            spacing: c.size("spacing"),
            depth: c.size("depth"),
            diameter: c.size("diameter"),
        }),
        braces: stays("braces", "guys"),
        guys: stays("guys", "braces"),
        ballast: c.size("ballast"),
        wall_screws: count("screws"),
    })
}

fn feed(block: Block<'_>, making: &mut Making<'_, '_>) -> Option<Feed> {
    let c = block.find("power")?;
    let name = c.text("supply")?;
    let mut findings = Vec::new();
    making.lookups.check(NameKind::Supply, name, &mut findings);
    findings.into_iter().for_each(|f| making.report(None, f));
    Some(read_feed(c, name))
}

/// `power shed run 14 m`.
pub(super) fn read_feed(c: Clause<'_>, name: Spanned<&str>) -> Feed {
    Feed {
        supply: name.map(str::to_owned),
        run: c.size("run"),
        voltage: c.size("voltage"),
        fuse: c.size("fuse"),
    }
}

fn lamps(block: Block<'_>) -> Vec<Lamp> {
    let lamp = |c: Clause<'_>| {
        Some(Lamp {
            name: c.text("name")?.value.to_owned(),
            at: point(c, "at"),
            power: c.size("power"),
        })
    };
    block.all("lamp").filter_map(lamp).collect()
}

/// The motors that limbs share.
fn motors(block: Block<'_>, making: &mut Making<'_, '_>) {
    for c in block.all("motor") {
        let Some(name) = c.text("name") else { continue };
        names::declared(name, "motor", &mut making.findings);
        if let Some(first) = making.actuators.iter().find(|a| a.name == name.value) {
            let finding = names::twice("motor", name, first.place);
            making.report(None, finding);
            continue;
        }
        // `motor wiper at (…)`: a motor that is named after what it is.
        let what = c.text("type").unwrap_or(name);
        let Some(motor) = making.motor_type(what, None) else { continue };
        fed(c, making);
        let shared = actuator(c, name.value.to_owned(), name.place, motor);
        making.actuators.push(Actuator { standoff: c.size("standoff"), ..shared });
    }
}

/// Reports a motor's own supply that there is not.
pub(super) fn fed(c: Clause<'_>, making: &mut Making<'_, '_>) {
    if let Some(supply) = c.text("power") {
        let mut findings = Vec::new();
        making.lookups.check(NameKind::Supply, supply, &mut findings);
        making.findings.append(&mut findings);
    }
}

/// A motor with its place and direction, from `motor … at … turns … limit …`.
pub(super) fn actuator(
    c: Clause<'_>,
    name: String,
    place: Place,
    motor: Arc<MotorType>,
) -> Actuator {
    let open = c.value("at").and_then(|v| v.open());
    let at = open.and_then(|o| o.value.point).map(plane::board);
    Actuator {
        name,
        place,
        motor,
        at: at.or_else(|| point(c, "at")),
        at_open: open.filter(|o| o.value.asked),
        turns: turns(c),
        rides: false,
        limit: c.size("limit"),
        supply: c.text("power").map(|n| n.map(str::to_owned)),
        standoff: None,
        plate: c.size("plate"),
    }
}

/// The direction seen from the front; counter-clockwise where nothing is said.
fn turns(c: Clause<'_>) -> Turn {
    let clockwise = c.choice("turns") == Some("cw");
    let behind = c.has(super::words::FROM_BEHIND);
    let said = c.has("turns");
    if clockwise == (said && behind) { Turn::Ccw } else { Turn::Cw }
}
