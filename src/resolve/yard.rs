//! The yard: ground, supplies, controllers, and the figures set up in it.

use std::sync::Arc;

use crate::finding::{Finding, Spanned};
use crate::model::{
    Compass, Controller, Figure, Input, Locality, Note, Output, Peg, Start, Supply, Tank, Winds,
    Yard,
};
use crate::syntax::{Block, Clause};
use crate::units::{Hertz, MetrePerSec, Mm, System, Volt, print};

use super::names::{self, NameKind};
use super::scope::Scope;
use super::sets::Copies;
use super::wiring::wiring;
use super::{codes, figure, parts, place, plane, say};

/// The yard where none is described.
const SIZE: (Mm, Mm) = (Mm(10_000.0), Mm(8_000.0));
/// Gusts where none are named.
const WINDS: Winds = Winds { run: MetrePerSec(7.0), stand: MetrePerSec(22.0) };

/// Sets the figures up on the ground.
///
/// `figures` are those of [`Scope::figures`], in that order or any other. Songs,
/// groups, phrases, shows and seasons are left empty for the stage that reads them.
#[must_use]
pub fn yard(scope: &Scope, figures: &[Arc<Figure>]) -> (Yard, Vec<Finding>) {
    yard_again(scope, figures, &mut Copies::default())
}

/// As [`yard`], and every copy that `set … like` made the last time is the very
/// same one while its text and the figure it is like are.
#[must_use]
pub fn yard_again(
    scope: &Scope,
    figures: &[Arc<Figure>],
    copies: &mut Copies,
) -> (Yard, Vec<Finding>) {
    let mut findings = Vec::new();
    let clause = ground_clause(scope, &mut findings);
    let mut yard = ground(scope, clause);
    yard.supplies = supplies(scope, &mut findings);
    yard.figures = place::figures(scope, figures, &yard, copies, &mut findings);
    yard.controllers = controllers(scope, &yard, &mut findings);
    yard.wiring = wiring(&yard);
    let sides = super::wiring::sides(&yard);
    yard.not_checked.extend(sides);
    pegs_inside(&yard, &mut findings);
    tanks_once(&yard, &mut findings);
    place::inside(&yard, &mut findings);
    (yard, findings)
}

/// The first `yard`, and a finding for each other.
fn ground_clause<'a>(scope: &'a Scope, findings: &mut Vec<Finding>) -> Option<Clause<'a>> {
    let mut all = scope.clauses().filter(|c| c.word() == "yard");
    let first = all.next()?;
    for other in all {
        findings.push(
            Finding::new(&codes::TWO_YARDS, other.head(), "there is a second yard.")
                .help("one project is one yard: take one of the two out.")
                .related("the first is described here", first.head()),
        );
    }
    Some(first)
}

fn ground(scope: &Scope, clause: Option<Clause<'_>>) -> Yard {
    let block = clause.and_then(Clause::block);
    let find = |word: &str| block.and_then(|b| b.find(word));
    let size = find("size").and_then(|c| Some((c.size("width")?, c.size("depth")?)));
    let viewers = find("viewers");
    let side = viewers.and_then(|c| c.choice("side")).and_then(Compass::from_word);
    let wind = find("wind");
    let gust = |part| wind.and_then(|c| c.size::<MetrePerSec>(part));
    let (run, stand) = (gust("run"), gust("stand"));
    let mains = find("mains")
        .and_then(|c| Some((c.size::<Volt>("voltage")?, c.size::<Hertz>("frequency"))));
    let system = scope
        .items
        .iter()
        .flat_map(|r| r.values.iter().filter_map(|v| v.unit()))
        .map(|u| u.system)
        .find(|s| *s != System::Both)
        .unwrap_or(System::Metric);
    Yard {
        name: clause.and_then(|c| c.text("name")).map(|n| n.map(str::to_owned)),
        title: block.and_then(figure::title),
        size: size.unwrap_or(SIZE),
        viewers: side.unwrap_or(Compass::South),
        keep: viewers.and_then(|c| c.size("keep")),
        locality: find("place").and_then(locality),
        winds: Winds { run: run.unwrap_or(WINDS.run), stand: stand.unwrap_or(WINDS.stand) },
        soil: find("soil").and_then(|c| c.text("soil")).map(|s| s.map(str::to_owned)),
        mains,
        pegs: block.into_iter().flat_map(pegs).collect(),
        tanks: block.into_iter().flat_map(tanks).collect(),
        supplies: Vec::new(),
        controllers: Vec::new(),
        wiring: Vec::new(),
        figures: Vec::new(),
        songs: Vec::new(),
        groups: Vec::new(),
        phrases: Vec::new(),
        shows: Vec::new(),
        seasons: Vec::new(),
        system,
        not_checked: Vec::new(),
        assumed: assumed([size.is_none(), side.is_none(), run.is_none(), stand.is_none()], system),
    }
}

fn assumed([size, viewers, run, stand]: [bool; 4], system: System) -> Vec<Note> {
    let mut notes = Vec::new();
    let yard = format!("yard {} by {}", say::far(SIZE.0, system), say::far(SIZE.1, system));
    match (size, viewers) {
        (true, true) => notes.push(Note::new(
            format!("{yard}, viewers south"),
            "yard NAME { size 10 m by 8 m  viewers south }",
        )),
        (true, false) => notes.push(Note::new(yard, "size 10 m by 8 m")),
        (false, true) => notes.push(Note::new("viewers south", "viewers south keep 1.5 m")),
        (false, false) => {}
    }
    let [moving, standing] = [WINDS.run, WINDS.stand].map(|gust| print::wind(gust, system));
    let gusts = match (run, stand) {
        (true, true) => format!("gusts of {moving} moving, {standing} standing"),
        (true, false) => format!("gusts of {moving} moving"),
        (false, true) => format!("gusts of {standing} standing"),
        (false, false) => return notes,
    };
    notes.push(Note::new(gusts, "wind run 7 m/s  stand 22 m/s"));
    notes
}

fn locality(c: Clause<'_>) -> Option<Locality> {
    let (latitude, longitude) = c.value("where")?.coordinates()?;
    Some(Locality {
        latitude: crate::units::Deg(latitude),
        longitude: crate::units::Deg(longitude),
        zone: c.text("zone").map(|z| z.map(str::to_owned)),
    })
}

fn pegs(block: Block<'_>) -> Vec<Peg> {
    let peg = |c: Clause<'_>| {
        let at = plane::yard(c.value("at")?.point()?.value);
        Some(Peg { name: c.text("name")?.map(str::to_owned), at })
    };
    block.all("peg").filter_map(peg).collect()
}

fn tanks(block: Block<'_>) -> Vec<Tank> {
    let tank = |c: Clause<'_>| {
        Some(Tank {
            name: c.text("name")?.map(str::to_owned),
            volume: c.size("volume")?,
            full: c.size("full")?,
            pump: c.size("pump"),
        })
    };
    block.all("tank").filter_map(tank).collect()
}

fn tanks_once(yard: &Yard, findings: &mut Vec<Finding>) {
    for (i, tank) in yard.tanks.iter().enumerate() {
        if let Some(first) = yard.tanks[..i].iter().find(|t| t.name.value == tank.name.value) {
            let name = Spanned::new(tank.name.value.as_str(), tank.name.place);
            findings.push(names::twice("tank", name, first.name.place));
        }
    }
}

fn pegs_inside(yard: &Yard, findings: &mut Vec<Finding>) {
    for (i, peg) in yard.pegs.iter().enumerate() {
        let name = Spanned::new(peg.name.value.as_str(), peg.name.place);
        if let Some(first) = yard.pegs[..i].iter().find(|p| p.name.value == peg.name.value) {
            findings.push(names::twice("peg", name, first.name.place));
        }
        if !place::on_ground(yard, peg.at) {
            findings.push(
                Finding::new(
                    &codes::PEG_OUTSIDE,
                    peg.name.place,
                    format!("the peg {} stands outside the yard, {}.", peg.name.value, place::extent(yard)),
                )
                .help("put it on the edge or inside; x counts east and y north from the south-west corner."),
            );
        }
    }
}

/// The place of `at (x, y)`.
fn at(c: Clause<'_>) -> Option<crate::geometry::YardPoint> {
    Some(plane::yard(c.value("place")?.point()?.value))
}

fn supplies(scope: &Scope, findings: &mut Vec<Finding>) -> Vec<Supply> {
    let mut supplies = Vec::new();
    for c in scope.clauses().filter(|c| c.word() == "supply") {
        let Some(name) = c.text("name") else { continue };
        if scope.names.find(NameKind::Supply, name.value) != Some(name.place) {
            continue;
        }
        let from = c.text("from").filter(|f| {
            let known = scope.names.find(NameKind::Supply, f.value).is_some();
            if !known {
                findings.push(scope.names.unknown(NameKind::Supply, *f));
            }
            known
        });
        let of = |word: &'static str| c.block().and_then(|b| b.find(word));
        supplies.push(Supply {
            name: name.map(str::to_owned),
            at: at(c),
            from: from.map(|f| f.map(str::to_owned)),
            voltage: of("voltage").and_then(|c| c.size("voltage")),
            limit: of("limit").and_then(|c| c.size("limit")),
            cable: of("cable").and_then(|c| c.size("cable")),
            fuse: of("fuse").and_then(|c| c.size("fuse")),
            run: of("run").and_then(|c| c.size("run")),
            alternating: of("ac").is_some(),
            battery: of("battery").and_then(|c| c.size("charge")),
        });
    }
    supply_circles(&mut supplies, findings);
    supplies
}

fn supply_circles(supplies: &mut [Supply], findings: &mut Vec<Finding>) {
    for i in 0..supplies.len() {
        let mut next = supplies[i].from.as_ref();
        for _ in 0..supplies.len() {
            let Some(name) = next else { break };
            if name.value == supplies[i].name.value {
                findings.push(
                    Finding::new(
                        &codes::SUPPLY_CIRCLE,
                        supplies[i].name.place,
                        format!("the supply {} is fed from itself.", name.value),
                    )
                    .help("one supply of the circle must stand at a place: `at (17 m, 9 m)`."),
                );
                supplies[i].from = None;
                break;
            }
            next =
                supplies.iter().find(|s| s.name.value == name.value).and_then(|s| s.from.as_ref());
        }
    }
}

fn controllers(scope: &Scope, yard: &Yard, findings: &mut Vec<Finding>) -> Vec<Controller> {
    let mut controllers = Vec::new();
    for c in scope.clauses().filter(|c| c.word() == "controller") {
        let Some(name) = c.text("name") else { continue };
        if scope.names.find(NameKind::Controller, name.value) != Some(name.place) {
            continue;
        }
        let block = c.block();
        let of = |word: &'static str| block.and_then(|b| b.find(word));
        let power = of("power").and_then(|c| c.text("supply"));
        if let Some(p) = power
            && scope.names.find(NameKind::Supply, p.value).is_none()
        {
            findings.push(scope.names.unknown(NameKind::Supply, p));
        }
        let (outputs, inputs) = terminals(block, yard, findings);
        controllers.push(Controller {
            name: name.map(str::to_owned),
            at: at(c),
            power: power.map(|p| p.map(str::to_owned)),
            clock: of("clock").and_then(|c| c.size("clock")),
            starts: of("starts").and_then(|c| c.choice("by")).and_then(start),
            outputs,
            inputs,
        });
    }
    controllers
}

fn start(word: &str) -> Option<Start> {
    let all = [Start::Network, Start::Wire, Start::Button, Start::Clock];
    all.into_iter().zip(Start::WORDS).find(|(_, w)| **w == word).map(|(s, _)| s)
}

/// Outputs and inputs, each terminal once.
fn terminals(
    block: Option<Block<'_>>,
    yard: &Yard,
    findings: &mut Vec<Finding>,
) -> (Vec<Output>, Vec<Input>) {
    let (mut outputs, mut inputs) = (Vec::new(), Vec::new());
    let mut taken: Vec<(&str, u32, crate::finding::Place)> = Vec::new();
    for c in block.into_iter().flat_map(Block::clauses) {
        let word = c.word();
        if word != "out" && word != "in" {
            continue;
        }
        let (Some(number), Some(target)) = (c.value("number"), c.text("target")) else { continue };
        let Some(n) = number.count() else { continue };
        if let Some((_, _, first)) = taken.iter().find(|(w, t, _)| *w == word && *t == n) {
            findings.push(
                Finding::new(
                    &codes::TERMINAL_TWICE,
                    number.place(),
                    format!("terminal `{word} {n}` is used twice."),
                )
                .help("take another number.")
                .related("the first use is here", *first),
            );
        }
        taken.push((word, n, number.place()));
        target_exists(yard, target, findings);
        let target = target.map(str::to_owned);
        if word == "in" {
            inputs.push(Input { number: n, target, signal: c.choice("signal") });
        } else {
            outputs.push(Output {
                number: n,
                target,
                signal: c.choice("signal"),
                one_way: c.has("one-way"),
                on_minus: match (c.has("on plus"), c.has("on minus")) {
                    (false, false) => None,
                    (_, minus) => Some(minus),
                },
                pulses: parts::pulses(c),
            });
        }
    }
    (outputs, inputs)
}

/// Whether `figure.limb` or `figure.motor` stands in the yard; one finding for
/// each name that does not, however often it is used.
fn target_exists(yard: &Yard, target: Spanned<&str>, findings: &mut Vec<Finding>) {
    let Some(finding) = missing_target(yard, target) else { return };
    let again = |f: &Finding| f.code == finding.code && f.message == finding.message;
    if !findings.iter().any(again) {
        findings.push(finding);
    }
}

fn missing_target(yard: &Yard, target: Spanned<&str>) -> Option<Finding> {
    let (figure, limb) = target.value.split_once('.').unwrap_or((target.value, ""));
    let Some(placed) = yard.figure(figure) else {
        let name = Spanned::new(figure, target.place);
        let known = yard.figures.iter().map(|f| (f.name.value.as_str(), f.name.place));
        return Some(names::unknown_here("figure", name, known));
    };
    let limbs = placed.figure.limbs.iter().map(|l| (l.name.value.as_str(), l.name.place));
    let motors = placed.figure.actuators.iter().map(|a| (a.name.as_str(), a.place));
    let known = limbs.chain(motors);
    if known.clone().any(|(n, _)| n == limb) {
        return None;
    }
    let dotted: Vec<(String, crate::finding::Place)> =
        known.map(|(n, p)| (format!("{figure}.{n}"), p)).collect();
    let known = dotted.iter().map(|(n, p)| (n.as_str(), *p));
    Some(names::unknown_here("limb or motor", target, known))
}
