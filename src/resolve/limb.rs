//! Limbs: what is said of each, what it mirrors, what drives it.

use crate::drawing::Placing;
use crate::finding::{Finding, Place, Spanned};
use crate::geometry::{Outline, Vector};
use crate::model::{
    Build, Carried, Clamp, Counterweight, Drive, Flutes, GuideHold, Joint, Limb, Measured, Mount,
    Note, PinHoles, RodBent, Shape, Source, Stops, Unpowered, Wires,
};
use crate::syntax::{Block, Clause};
use crate::units::{Deg, Kg, Mm};

use super::figure::{self, Making, point, points};
use super::names::{self, NameKind};
use super::notes::Said;
use super::{
    codes, codes_outline, contradict, copies, drawn, driven, gesture, measured, notes, plane,
    poisoned,
};

/// A tip nearer to its pivot than this points nowhere (a tenth of the finest mark).
const NOWHERE: Mm = Mm(0.01);

/// What of a figure decides which checks can be made of its limbs.
pub(super) struct Around {
    /// A frame is described.
    pub framed: bool,
    /// A supply feeds it.
    pub fed: bool,
    /// The project has a song.
    pub song: bool,
}

/// A limb's clause with its name, before anything of it is resolved.
#[derive(Clone, Copy)]
pub(super) struct Named<'a> {
    /// The clause.
    pub clause: Clause<'a>,
    /// Its name.
    pub name: Spanned<&'a str>,
}

/// All limbs of a figure, in file order.
pub(super) fn limbs(block: Block<'_>, making: &mut Making<'_, '_>, around: &Around) -> Vec<Limb> {
    let named = names_of(block, making);
    let mut made: Vec<Option<Limb>> = vec![None; named.len()];
    for (i, n) in named.iter().enumerate().filter(|(_, n)| !n.clause.has("mirrors")) {
        made[i] = Some(said(&named, *n, blank(*n), making));
    }
    mirrors(&named, &mut made, making);
    let mut limbs: Vec<Limb> =
        made.into_iter().zip(&named).map(|(l, n)| l.unwrap_or_else(|| lost(*n))).collect();
    circles(&mut limbs, making);
    for (limb, n) in limbs.iter_mut().zip(&named) {
        finish(limb, words(&named, *n), making, around);
    }
    limbs
}

/// Which words are said of a limb, here or in the limbs it mirrors.
fn words<'a>(named: &[Named<'a>], mut n: Named<'a>) -> Said {
    let mut said = Said::default();
    for _ in 0..=named.len() {
        let find = |word| n.clause.block().and_then(|b| b.find(word));
        let drive = find("drive").and_then(driven::usual_motor);
        said = Said { mount: said.mount || find("mount").is_some(), drive: said.drive.or(drive) };
        let of = n.clause.text("mirrors").map(|t| t.value);
        match named.iter().find(|m| Some(m.name.value) == of) {
            Some(next) => n = *next,
            None => break,
        }
    }
    said
}

/// The limbs' names; of two with one name the first counts.
fn names_of<'a>(block: Block<'a>, making: &mut Making<'_, '_>) -> Vec<Named<'a>> {
    let mut named: Vec<Named<'a>> = Vec::new();
    for clause in block.all("limb") {
        let Some(name) = clause.text("name") else { continue };
        names::declared(name, "limb", &mut making.findings);
        match named.iter().find(|n| n.name.value == name.value) {
            Some(first) => {
                let finding = names::twice("limb", name, first.name.place);
                making.report(Some(name.value), finding);
            }
            None => named.push(Named { clause, name }),
        }
    }
    named
}

/// The index of the limb named so, or a finding.
pub(super) fn index(
    named: &[Named<'_>],
    name: Spanned<&str>,
    limb: &str,
    making: &mut Making<'_, '_>,
) -> Option<usize> {
    let found = named.iter().position(|n| n.name.value == name.value);
    if found.is_none() {
        let known = named.iter().map(|n| (n.name.value, n.name.place));
        let finding = names::unknown_here("limb", name, known);
        making.report(Some(limb), finding);
    }
    found
}

/// A limb of which nothing is said yet.
fn blank(n: Named<'_>) -> Limb {
    Limb {
        name: n.name.map(str::to_owned),
        title: None,
        carrier: None,
        joint: Joint::Pivot { at: None, open: None },
        tip: None,
        mount: Mount::Front,
        bolt: None,
        bushing: None,
        sheet: None,
        shape: None,
        build: Build::default(),
        carried: Vec::new(),
        drive: None,
        gestures: Vec::new(),
        seen_to: Vec::new(),
        rest: None,
        rest_at: None,
        parks: None,
        unpowered: None,
        measured: Measured::default(),
        friction: None,
        load: None,
        assumed: Vec::new(),
        not_checked: Vec::new(),
        copy_of: None,
        copied_into: None,
        mirrors: None,
        poisoned: poisoned(n.clause),
    }
}

/// A limb of which nothing can be made; why was reported.
fn lost(n: Named<'_>) -> Limb {
    Limb { poisoned: true, ..blank(n) }
}

/// The limbs that mirror others, each after the one it mirrors.
fn mirrors(named: &[Named<'_>], made: &mut [Option<Limb>], making: &mut Making<'_, '_>) {
    let mut waiting: Vec<(usize, usize)> = Vec::new();
    for (i, n) in named.iter().enumerate() {
        if let Some(of) = n.clause.text("mirrors")
            && let Some(source) = index(named, of, n.name.value, making)
        {
            waiting.push((i, source));
        }
    }
    // The image of a limb about the same line; a limb without one stays itself.
    let line_of = |i: usize| named[i].clause.size::<Mm>("about");
    let twin = |of: usize, image: usize, all: &[(usize, usize)]| {
        all.iter().find(|w| w.1 == of && line_of(w.0) == line_of(image)).map_or(of, |w| w.0)
    };
    let all = waiting.clone();
    while !waiting.is_empty() {
        let ready = waiting.iter().position(|&(_, source)| made[source].is_some());
        let Some(at) = ready else { break };
        let (i, source) = waiting.remove(at);
        let Some(mut original) = made[source].clone() else { continue };
        let n = named[i];
        if n.clause.block().is_some_and(|b| b.find("drive").is_some()) {
            // It says its own: a mirrored motor would be left over.
            original.drive = None;
        }
        let Some(line) = n.clause.size::<Mm>("about") else {
            no_line(n, making);
            continue;
        };
        let start = copies::mirrored(&original, n.name.map(str::to_owned), line, making);
        let start = Limb {
            carrier: original.carrier.map(|c| twin(c, i, &all)),
            poisoned: original.poisoned || poisoned(n.clause),
            drive: start.drive.map(|d| Drive {
                source: match d.source {
                    Source::Limb(l) => Source::Limb(twin(l, i, &all)),
                    motor => motor,
                },
                ..d
            }),
            ..start
        };
        // A fault of the original is one of the image too, and shows once, only where
        // everything that moves them is mirrored.
        let pushes = |l: &Limb| match l.drive.as_ref()?.source {
            Source::Limb(above) => Some(above),
            Source::Motor(_) => None,
        };
        let mut above = pushes(&original);
        let mut same = true;
        for _ in 0..named.len() {
            let Some(l) = above else { break };
            let drive = made[l].as_ref().and_then(|l| l.drive.as_ref());
            let motor = drive.is_none_or(|d| match d.source {
                Source::Motor(m) => m >= making.shared || on_line(making, m, line),
                Source::Limb(_) => true,
            });
            same &= motor && drive.is_some() && twin(l, i, &all) != l;
            above = made[l].as_ref().and_then(pushes);
        }
        let start = Limb { copy_of: start.copy_of.filter(|_| same), ..start };
        let changed = n.clause.block().is_some_and(|b| b.clauses().next().is_some());
        let limb = said(named, n, start, making);
        made[i] = Some(if changed { Limb { copy_of: None, mirrors: None, ..limb } } else { limb });
    }
    for (i, _) in waiting {
        let n = named[i];
        making.report(
            Some(n.name.value),
            Finding::new(
                &codes::LIMB_CIRCLE,
                n.name.place,
                format!("{} mirrors itself, straight or round other limbs.", n.name.value),
            )
            .help("one limb of the circle must be drawn."),
        );
    }
}

/// Whether a motor stands on a mirror line, as far as its place is known.
fn on_line(making: &Making<'_, '_>, motor: usize, line: Mm) -> bool {
    making.actuators[motor].at.is_none_or(|p| p.x == line.0)
}

fn no_line(n: Named<'_>, making: &mut Making<'_, '_>) {
    if poisoned(n.clause) {
        return;
    }
    making.report(
        Some(n.name.value),
        Finding::new(
            &codes::MIRROR_WITHOUT_LINE,
            n.clause.place(),
            format!("{} mirrors another limb, but about which line is not said.", n.name.value),
        )
        .help("write the upright line behind it, such as `about x 310 mm`."),
    );
}

/// Everything that is said of a limb, laid over what it starts from.
fn said(named: &[Named<'_>], n: Named<'_>, mut limb: Limb, making: &mut Making<'_, '_>) -> Limb {
    let name = n.name.value;
    if let Some(on) = n.clause.text("on") {
        limb.carrier = index(named, on, name, making);
        limb.poisoned |= limb.carrier.is_none();
    }
    let Some(block) = n.clause.block() else { return limb };
    let before = making.findings.len();
    making.findings.extend(contradict::of_limb(block, making.system));
    limb.seen_to.extend(super::figure::seen_to(block));
    body(block, &mut limb, making);
    hardware(block, &mut limb, making);
    making.findings.extend(measured::once(block, name));
    measured::read(block, &mut limb);
    moves(block, &mut limb, making);
    if let Some(c) = block.find("drive") {
        limb.drive = driven::drive(named, n, c, &mut limb, making);
    }
    driven::counted_turns(&limb, making);
    making.findings.extend(measured::fits(block, &limb));
    for f in &mut making.findings[before..] {
        f.figure.get_or_insert_with(|| making.name.clone());
        f.limb.get_or_insert_with(|| name.to_owned());
    }
    limb.poisoned |= making.findings.len() > before;
    limb
}

/// Joint, axis and shape.
fn body(block: Block<'_>, limb: &mut Limb, making: &mut Making<'_, '_>) {
    limb.title = figure::title(block).or(limb.title.take());
    for word in ["hinge", "turntable"] {
        if let Some(c) = block.find(word) {
            making.findings.push(driven::refused(word, c.head()));
        }
    }
    if let Some(c) = block.find("pivot")
        && let Some(got) = c.value("at")
    {
        let open = got.open();
        let at = open.and_then(|o| o.value.point).or_else(|| Some(got.point()?.value));
        limb.joint =
            Joint::Pivot { at: at.map(plane::board), open: open.filter(|o| o.value.asked) };
    }
    if let Some(c) = block.find("slide") {
        if let Some(pivot) = block.find("pivot") {
            making.findings.push(two_joints(c.head(), pivot.head()));
        } else if let (Some(from), Some(to)) = (point(c, "from"), point(c, "to")) {
            limb.joint = Joint::Slide { from, to };
        }
    }
    limb.tip = block.find("tip").and_then(|c| point(c, "at")).or(limb.tip);
    if let (Some(c), Joint::Pivot { at: Some(p), .. }, Some(t)) =
        (block.find("tip"), &limb.joint, limb.tip)
        && p.distance(t) < NOWHERE
    {
        making.findings.push(
            Finding::new(&codes::TIP_ON_PIVOT, c.place(), "the tip lies on the pivot, so the limb points nowhere.")
                .help("put the tip at the far end of the limb: its angle is the direction from pivot to tip."),
        );
    }
    shape(block, limb, making);
}

fn two_joints(slide: Place, pivot: Place) -> Finding {
    Finding::new(&codes::TWO_JOINTS, slide, "this limb has both a pivot and a slide.")
        .help("keep one of them.")
        .related("the pivot is here", pivot)
}

fn shape(block: Block<'_>, limb: &mut Limb, making: &mut Making<'_, '_>) {
    if let Some(c) = block.find("outline") {
        let mut corners = points(c, "outline");
        if c.has("from pivot")
            && let Joint::Pivot { at: Some(p), .. } = limb.joint
        {
            corners = corners.into_iter().map(|q| plane::board((p.x + q.x, p.y + q.y))).collect();
        }
        limb.build.drawing = figure::drawing(c);
        if limb.build.drawing.is_none() && !c.poisoned() {
            let (outline, found) = codes_outline::read(corners, c.place());
            making.findings.extend(found);
            limb.shape = outline.map(Shape::Outline);
        }
        if let Some(drawing) = &limb.build.drawing {
            let placing = match &limb.joint {
                Joint::Pivot { at: Some(p), .. } if c.has("from pivot") => {
                    Placing::Origin(p.x, p.y)
                }
                _ => Placing::Page,
            };
            match drawn::outline(drawing, placing, making.lookups) {
                Ok(outline) => limb.shape = Some(Shape::Outline(outline)),
                Err(found) => making.findings.push(*found),
            }
        }
    }
    let size = |word: &str| block.find(word).and_then(|c| c.size::<Mm>(word));
    if size("width").is_none() && size("tail").is_none() && size("length").is_none() {
        return;
    }
    if limb.tip.is_none()
        && let (Some(length), Joint::Pivot { at: Some(p), .. }) = (size("length"), &limb.joint)
    {
        limb.tip = Some(plane::board((p.x, p.y + length.0)));
        limb.assumed.push(Note::new("drawn pointing straight up", "tip (x, y) mm"));
    }
    let (old_width, old_tail) = match limb.shape {
        Some(Shape::Strip { width, tail }) => (Some(width), Some(tail)),
        _ => (None, None),
    };
    let reach = axis_length(limb);
    let width = size("width").or(old_width).or_else(|| reach.map(|r| Mm(r.0 / 4.0)));
    if let (Some(width), None | Some(Shape::Strip { .. })) = (width, &limb.shape) {
        let tail = size("tail").or(old_tail).unwrap_or(Mm(0.0));
        let drawn = size("length").filter(|l| Some(*l) != reach);
        let outline = drawn.and_then(|l| strip_beyond_tip(limb, l, width, tail));
        limb.shape = outline.map(Shape::Outline).or(Some(Shape::Strip { width, tail }));
    }
}

/// A strip that ends before or beyond the tip.
fn strip_beyond_tip(
    limb: &Limb,
    length: Mm,
    width: Mm,
    tail: Mm,
) -> Option<Outline<crate::geometry::Board>> {
    let (Joint::Pivot { at: Some(p), .. }, Some(tip)) = (&limb.joint, limb.tip) else {
        return None;
    };
    let axis = (tip - *p).dir()?;
    Outline::strip(*p - Vector::polar(tail, axis), *p + Vector::polar(length, axis), width)
}

/// Length from pivot to tip.
pub(super) fn axis_length(limb: &Limb) -> Option<Mm> {
    let Joint::Pivot { at: Some(p), .. } = limb.joint else { return None };
    Some(p.distance(limb.tip?))
}

/// Bolt, bushing, sheet, mount, weights.
fn hardware(block: Block<'_>, limb: &mut Limb, making: &mut Making<'_, '_>) {
    let name = limb.name.value.clone();
    match block.find("mount").and_then(|c| c.choice("mount")) {
        Some("behind") => limb.mount = Mount::Behind,
        Some(_) => limb.mount = Mount::Front,
        None => {}
    }
    if let Some(size) = block.find("bolt").and_then(|c| c.text("size")) {
        let mut findings = Vec::new();
        if making.lookups.check(NameKind::Bolt, size, &mut findings) {
            limb.bolt = making.lookups.parts().bolts.get(size.value).cloned();
        }
        making.findings.append(&mut findings);
    }
    if let Some(size) = block.find("rod-thread").and_then(|c| c.text("size")) {
        let mut findings = Vec::new();
        if making.lookups.check(NameKind::Bolt, size, &mut findings) {
            let known = making.lookups.parts().bolts.get(size.value).cloned();
            limb.build.rod_thread.size = known;
        }
        making.findings.append(&mut findings);
    }
    if let Some(what) = block.find("bushing").and_then(|c| c.text("bushing")) {
        let mut findings = Vec::new();
        if making.lookups.check(NameKind::Bushing, what, &mut findings) {
            limb.bushing = making.lookups.parts().bushings.get(what.value).cloned();
        }
        making.findings.append(&mut findings);
    }
    if let Some(what) = block.find("sheet").and_then(|c| c.text("sheet")) {
        limb.sheet = figure::sheet(what, Some(&name), making);
    }
    build(block, &mut limb.build);
    let carried: Vec<Carried> = block
        .all("carry")
        .filter_map(|c| {
            let name = c.text("name")?.value.to_owned();
            Some(Carried { name, mass: c.size("mass")?, at: point(c, "at")? })
        })
        .collect();
    if !carried.is_empty() {
        limb.carried = carried;
    }
}

/// How it is made: each word said here replaces the one it starts from.
fn build(block: Block<'_>, build: &mut Build) {
    let find = |word: &str| block.find(word);
    let clamp = find("clamp").and_then(|c| c.choice("clamp")).map(|word| match word {
        "screws" => Clamp::Screws,
        "pin" => Clamp::Pin,
        _ => Clamp::Plain,
    });
    let flutes = find("flutes").and_then(|c| c.choice("flutes")).map(|word| match word {
        "along" => Flutes::Along,
        _ => Flutes::Across,
    });
    let holes = find("holes").and_then(|c| {
        let drilled = c.size::<Mm>("diameter").map(PinHoles::Drilled);
        drilled.or_else(|| PinHoles::from_word(c.choice("fit")?))
    });
    let length = |word: &str, part: &str| find(word).and_then(|c| c.size::<Mm>(part));
    build.clamp = clamp.or(build.clamp);
    build.flutes = flutes.or(build.flutes);
    build.pitched = find("pitched").and_then(|c| c.size("angle")).or(build.pitched);
    build.lit |= find("lit").is_some();
    build.wires = find("wires").and_then(|c| Wires::from_word(c.choice("wires")?)).or(build.wires);
    build.holes = holes.or(build.holes);
    build.pin_yields = find("crank-pin").and_then(|c| c.size("yield")).or(build.pin_yields);
    build.pin_reach = length("crank-pin", "reach").or(build.pin_reach);
    let rod = &mut build.rod_thread;
    rod.yields = find("rod-thread").and_then(|c| c.size("yield")).or(rod.yields);
    let bent = find("rod-thread").and_then(|c| RodBent::from_word(c.choice("bent")?));
    rod.bent = bent.or(rod.bent);
    build.rod_ends = length("rod-ends", "play").or(build.rod_ends);
    build.stops = find("stops").and_then(stops).or(build.stops);
    build.washer = length("washer", "diameter").or(build.washer);
    build.gap = length("gap", "gap").or(build.gap);
    build.bolt_length = length("bolt", "length").or(build.bolt_length);
    build.bushing_length = length("bushing", "length").or(build.bushing_length);
    build.guide = find("guide").and_then(guide).or(build.guide);
    build.paint = find("paint").and_then(|c| c.size("mass")).or(build.paint);
    if let Some(c) = find("counterweight")
        && let (Some(open), Some(at)) = (c.value("mass").and_then(|v| v.open()), c.size("at"))
    {
        let mass = open.value.given.map(Kg);
        let open = Some(open).filter(|o| o.value.asked);
        build.counterweight = Some(Counterweight { mass, open, at });
    }
}

fn stops(clause: Clause<'_>) -> Option<Spanned<Stops>> {
    let turned = clause.value("ends").and_then(|v| v.range::<Deg>());
    let turned = turned.map(|r| r.map(|(a, b)| Stops::Turned(a.min(b), a.max(b))));
    let slid = clause.value("slide").and_then(|v| v.range::<Mm>());
    turned.or_else(|| slid.map(|r| r.map(|(a, b)| Stops::Slid(a.min(b), a.max(b)))))
}

fn guide(clause: Clause<'_>) -> Option<GuideHold> {
    let (width, at) = (clause.size("width"), clause.size("at"));
    Some(GuideHold { length: clause.size("length")?, width, at })
}

/// Rest, park and gestures.
fn moves(block: Block<'_>, limb: &mut Limb, making: &mut Making<'_, '_>) {
    limb.rest = block.find("rest").and_then(|c| c.get::<Deg>("at")).or(limb.rest);
    limb.rest_at = block.find("rest").and_then(|c| c.get::<Mm>("at")).or(limb.rest_at);
    gesture::rest_fits(block, &limb.joint, &mut making.findings);
    limb.parks = block.find("parks").and_then(|c| c.get::<Deg>("at")).or(limb.parks);
    limb.unpowered = block.find("unpowered").and_then(lies).or(limb.unpowered);
    let first_own = limb.gestures.len();
    for c in block.all("gesture") {
        let Some(g) = gesture::gesture(c, &mut making.findings) else { continue };
        match limb.gestures.iter().position(|o| o.name.value == g.name.value) {
            // A mirrored gesture is replaced by one said here.
            Some(old) if old < first_own => limb.gestures[old] = g,
            Some(old) => {
                let first = limb.gestures[old].name.place;
                let name = Spanned::new(g.name.value.as_str(), g.name.place);
                making.findings.push(names::twice("gesture", name, first));
            }
            None => limb.gestures.push(g),
        }
    }
}

/// An angle, or a place along a slide.
fn lies(clause: Clause<'_>) -> Option<Unpowered> {
    let turned = clause.get::<Deg>("at").map(|a| Unpowered::Turned(a.value));
    turned.or_else(|| clause.get::<Mm>("at").map(|p| Unpowered::Slid(p.value)))
}

/// Carriers and pushing limbs must lead to the board and to a motor in the end.
fn circles(limbs: &mut [Limb], making: &mut Making<'_, '_>) {
    let next_carrier = |l: &Limb| l.carrier;
    let next_driver = |l: &Limb| match l.drive.as_ref()?.source {
        Source::Limb(i) => Some(i),
        Source::Motor(_) => None,
    };
    for i in 0..limbs.len() {
        let carried = runs_in_circle(limbs, i, next_carrier);
        if !carried && !runs_in_circle(limbs, i, next_driver) {
            continue;
        }
        let name = limbs[i].name.clone();
        let verb = if carried { "rides on" } else { "is pushed by" };
        making.report(
            Some(&name.value),
            Finding::new(
                &codes::LIMB_CIRCLE,
                name.place,
                format!("{} {verb} itself, straight or round other limbs.", name.value),
            )
            .help("one limb of the circle must stand on the board and have a motor."),
        );
        limbs[i].poisoned = true;
        if carried {
            limbs[i].carrier = None;
        } else {
            limbs[i].drive = None;
        }
    }
}

fn runs_in_circle(limbs: &[Limb], start: usize, next: impl Fn(&Limb) -> Option<usize>) -> bool {
    let mut at = next(&limbs[start]);
    for _ in 0..limbs.len() {
        match at {
            Some(i) if i == start => return true,
            Some(i) => at = next(&limbs[i]),
            None => return false,
        }
    }
    false
}

/// Defaults, what was assumed, what cannot be checked, and what cannot stand.
fn finish(limb: &mut Limb, said: Said, making: &mut Making<'_, '_>, around: &Around) {
    let name = limb.name.clone();
    if matches!(limb.joint, Joint::Pivot { at: None, open: None }) && !limb.poisoned {
        making.report(
            Some(&name.value),
            Finding::new(
                &codes::LIMB_WITHOUT_PIVOT,
                name.place,
                format!("{} has neither a pivot nor a slide.", name.value),
            )
            .help("say where its bolt goes, such as `pivot (150, 880) mm`."),
        );
        limb.poisoned = true;
    }
    notes::defaults(limb, said, making);
    notes::not_checked(limb, said, making, around);
}
