//! Copies: a limb mirrored on its board, a figure scaled or with limbs left out.

use std::sync::Arc;

use crate::finding::{Finding, Spanned};
use crate::geometry::BoardPoint;
use crate::model::{
    Action, Actuator, Build, Carried, Drive, Figure, Gesture, Joint, Limb, Measured, Mirrors,
    MotorType, Pin, Shape, Source, Stops, Turn, Unpowered,
};
use crate::syntax::Open;
use crate::units::{Deg, Mm, Share};

use super::figure::Making;
use super::{codes, copied_drive, plane};

/// A change of board coordinates.
#[derive(Clone, Copy)]
pub(super) enum Map {
    /// About the upright line at x.
    Mirror(Mm),
    /// About the origin, on the ground.
    Scale(f64),
}

impl Map {
    pub(super) fn point(self, p: BoardPoint) -> BoardPoint {
        match self {
            Self::Mirror(x) => p.mirrored(x),
            Self::Scale(k) => plane::board((p.x * k, p.y * k)),
        }
    }

    fn pair(self, (x, y): (f64, f64)) -> (f64, f64) {
        let p = self.point(plane::board((x, y)));
        (p.x, p.y)
    }

    pub(super) fn length(self, l: Mm) -> Mm {
        match self {
            Self::Mirror(_) => l,
            Self::Scale(k) => l * k,
        }
    }

    /// A question about a place.
    pub(super) fn open(self, o: Open) -> Open {
        Open {
            point: o.point.map(|p| self.pair(p)),
            near: o.near.map(|p| self.pair(p)),
            corner: o.corner.map(|p| self.pair(p)),
            within: o.within.map(|w| self.length(Mm(w)).0),
            ..o
        }
    }

    fn joint(self, joint: &Joint) -> Joint {
        match joint {
            Joint::Pivot { at, open } => Joint::Pivot {
                at: at.map(|p| self.point(p)),
                open: open.map(|o| o.map(|o| self.open(o))),
            },
            Joint::Slide { from, to } => {
                Joint::Slide { from: self.point(*from), to: self.point(*to) }
            }
        }
    }

    fn shape(self, shape: &Shape) -> Option<Shape> {
        match shape {
            Shape::Outline(o) => plane::moved(o, |p| self.point(p)).map(Shape::Outline),
            Shape::Strip { width, tail } => {
                Some(Shape::Strip { width: self.length(*width), tail: self.length(*tail) })
            }
        }
    }

    fn carried(self, c: &Carried) -> Carried {
        Carried { at: self.point(c.at), ..c.clone() }
    }

    fn actuator(self, a: &Actuator) -> Actuator {
        Actuator {
            at: a.at.map(|p| self.point(p)),
            at_open: a.at_open.map(|o| o.map(|o| self.open(o))),
            ..a.clone()
        }
    }
}

/// The other way round, seen from the front.
const fn opposite(turns: Turn) -> Turn {
    match turns {
        Turn::Ccw => Turn::Cw,
        Turn::Cw => Turn::Ccw,
    }
}

/// An absolute direction seen in the mirror.
fn across(angle: Deg) -> Deg {
    Deg(180.0) - angle
}

/// A limb mirrored about the upright line at `line`, under a new name.
///
/// Outline, joint, tip, weights, lever and angles are mirrored; a motor of its
/// own is mirrored too and turns the other way round. A motor that is shared
/// keeps its place, its direction and the crank pin: on the mirror line the limbs
/// then move by turns, and what is wrong with one is wrong with both.
pub(super) fn mirrored(
    limb: &Limb,
    name: Spanned<String>,
    line: Mm,
    making: &mut Making<'_, '_>,
) -> Limb {
    let map = Map::Mirror(line);
    let (mut same, mut reversed) = (true, false);
    let drive = limb.drive.as_ref().map(|d| {
        let (source, pin) = match d.source {
            Source::Motor(m) if m >= making.shared => {
                let own = &making.actuators[m];
                let twin = Actuator {
                    name: name.value.clone(),
                    turns: opposite(own.turns),
                    ..map.actuator(own)
                };
                making.actuators.push(twin);
                reversed = true;
                (Source::Motor(making.actuators.len() - 1), Pin::At(Deg(0.0)))
            }
            Source::Motor(m) => {
                same = making.actuators[m].at.is_none_or(|p| p.x == line.0);
                (d.source, d.pin)
            }
            Source::Limb(_) => (d.source, d.pin),
        };
        let mechanism = copied_drive::mirrored(&d.mechanism, map);
        let pin_said = d.pin_said.filter(|_| !matches!(pin, Pin::At(_)));
        Drive { source, pin, pin_said, mechanism, ..d.clone() }
    });
    let stops = |said: Stops| match said {
        Stops::Turned(a, b) => Stops::Turned(across(b), across(a)),
        slid => slid,
    };
    let build = Build { stops: limb.build.stops.map(|s| s.map(stops)), ..limb.build.clone() };
    let copy_of = limb.copy_of.clone();
    let copy_of = copy_of.unwrap_or_else(|| format!("{}.{}", making.name, limb.name.value));
    Limb {
        name,
        joint: map.joint(&limb.joint),
        tip: limb.tip.map(|p| map.point(p)),
        shape: limb.shape.as_ref().and_then(|s| map.shape(s)),
        carried: limb.carried.iter().map(|c| map.carried(c)).collect(),
        gestures: limb.gestures.iter().map(|g| mirrored_gesture(g, reversed)).collect(),
        rest: limb.rest.map(|r| r.map(across)),
        parks: limb.parks.map(|r| r.map(across)),
        unpowered: limb.unpowered.map(|lies| match lies {
            Unpowered::Turned(at) => Unpowered::Turned(across(at)),
            Unpowered::Slid(at) => Unpowered::Slid(at),
        }),
        measured: Measured {
            ends: limb.measured.ends.map(|e| e.map(|(a, b)| (across(b), across(a)))),
            centre: limb.measured.centre.map(|(at, angle)| (at, -angle)),
            ..limb.measured.clone()
        },
        load: limb.load.map(|l| -l),
        build,
        copy_of: same.then_some(copy_of),
        mirrors: Some(Mirrors { limb: limb.name.value.clone(), line }),
        drive,
        ..limb.clone()
    }
}

fn mirrored_gesture(g: &Gesture, reversed: bool) -> Gesture {
    let turned = |a: Deg| if g.relative { -a } else { across(a) };
    let action = match &g.action {
        Action::Sweep { from, to, within, cycle, accent, easing } => Action::Sweep {
            from: to.map(turned),
            to: from.map(turned),
            within: *within,
            cycle: *cycle,
            accent: accent.map(|a| a.map(turned)),
            easing: *easing,
        },
        Action::Turn { to, over } => Action::Turn { to: to.map(turned), over: *over },
        Action::Pose(a) => Action::Pose(a.map(turned)),
        Action::Follow { source, band, range, smoothing } => Action::Follow {
            source: source.clone(),
            band: *band,
            range: range.map(|(a, b)| (turned(a), turned(b))),
            smoothing: *smoothing,
        },
        Action::Spin { turn, per } if reversed => Action::Spin { turn: -*turn, per: *per },
        same => same.clone(),
    };
    Gesture { action, ..g.clone() }
}

/// What a `set` asks of the figure it copies.
pub(super) struct Wish<'a> {
    /// The name in the yard.
    pub name: Spanned<&'a str>,
    /// How large, 1 for the same size.
    pub scale: Share,
    /// Limbs left out.
    pub without: Vec<Spanned<&'a str>>,
}

/// A copy of a figure: scaled about the ground at x = 0, and with limbs left out.
///
/// The scale touches what is drawn on the board: outlines, widths of strips,
/// centre lines of the frame, pivots, tips, slides, weights' places, motors'
/// places, anchors' heights, the strokes of a slide. It does not touch what is
/// bought or drilled to a pitch: bolts, bushings, motors, the section of frame
/// bars, crank and lever holes and their rows, standoff, masses that are carried.
/// A rod and a clamp belong to the distance between motor and pivot, which
/// changes, and the crank of a slide or a slot to its stroke, so they are left open
/// again; what was measured on the built limb is
/// not true of the copy and is dropped.
pub(super) fn copied(base: &Arc<Figure>, wish: &Wish<'_>) -> (Figure, Vec<Finding>) {
    let mut findings = Vec::new();
    let gone: Vec<usize> = left_out(base, wish, &mut findings);
    let same_size = wish.scale == Share(1.0);
    let map = Map::Scale(wish.scale.0);
    let mut figure = Figure {
        name: wish.name.map(str::to_owned),
        like: Some((base.name.value.clone(), wish.scale)),
        ..(**base).clone()
    };
    for limb in &mut figure.limbs {
        let original = format!("{}.{}", base.name.value, limb.name.value);
        limb.copy_of = if same_size {
            Some(limb.copy_of.take().unwrap_or(original))
        } else {
            within(limb.copy_of.take(), &base.name.value, wish.name.value)
        };
        limb.copied_into = Some(wish.name.value.to_owned());
        if !same_size {
            let motor = limb.drive.as_ref().and_then(|d| match d.source {
                Source::Motor(m) => base.actuators.get(m),
                Source::Limb(_) => None,
            });
            scale_limb(limb, map, motor.map(|a| &*a.motor));
        }
    }
    if !same_size {
        scale_board(&mut figure, map);
    }
    remove(&mut figure, &gone);
    (figure, findings)
}

/// `bear.left-arm` in the copy `cub` is `cub.left-arm`.
fn within(copy_of: Option<String>, base: &str, copy: &str) -> Option<String> {
    let of = copy_of?;
    let limb = of.strip_prefix(base)?.strip_prefix('.')?;
    Some(format!("{copy}.{limb}"))
}

fn scale_board(figure: &mut Figure, map: Map) {
    figure.board.outline =
        figure.board.outline.as_ref().and_then(|o| plane::moved(o, |p| map.point(p)));
    for m in &mut figure.frame {
        (m.from, m.to) = (map.point(m.from), map.point(m.to));
    }
    for lamp in &mut figure.lamps {
        lamp.at = lamp.at.map(|p| map.point(p));
    }
    for a in &mut figure.actuators {
        *a = map.actuator(a);
    }
    if let Some(anchor) = &mut figure.anchor {
        for stays in [&mut anchor.braces, &mut anchor.guys].into_iter().flatten() {
            stays.at = stays.at.map(|h| map.length(h));
        }
    }
}

fn scale_limb(limb: &mut Limb, map: Map, motor: Option<&MotorType>) {
    limb.joint = map.joint(&limb.joint);
    limb.tip = limb.tip.map(|p| map.point(p));
    if let Some(mirrors) = &mut limb.mirrors {
        mirrors.line = map.length(mirrors.line);
    }
    limb.shape = limb.shape.as_ref().and_then(|s| map.shape(s));
    limb.carried = limb.carried.iter().map(|c| map.carried(c)).collect();
    if let Some(weight) = &mut limb.build.counterweight {
        weight.at = map.length(weight.at);
    }
    if let Some(guide) = &mut limb.build.guide {
        guide.at = guide.at.map(|at| map.length(at));
    }
    if let Some(stops) = &mut limb.build.stops
        && let Stops::Slid(a, b) = stops.value
    {
        stops.value = Stops::Slid(map.length(a), map.length(b));
    }
    if let Some(Unpowered::Slid(at)) = &mut limb.unpowered {
        *at = map.length(*at);
    }
    limb.measured = Measured::default();
    for g in &mut limb.gestures {
        if let Action::Stroke { from, to, accent, .. } = &mut g.action {
            *from = from.map(|l| map.length(l));
            *to = to.map(|l| map.length(l));
            *accent = accent.map(|a| a.map(|l| map.length(l)));
        }
    }
    copied_drive::scaled(limb, map, motor);
}

/// The limbs a copy goes without, by index; a limb another one needs stays.
fn left_out(base: &Figure, wish: &Wish<'_>, findings: &mut Vec<Finding>) -> Vec<usize> {
    let mut gone = Vec::new();
    for &name in &wish.without {
        match base.limb(name.value) {
            Some(i) => gone.push(i),
            None => {
                let known = base.limbs.iter().map(|l| (l.name.value.as_str(), l.name.place));
                findings.push(
                    super::names::unknown_here("limb", name, known).about(wish.name.value, None),
                );
            }
        }
    }
    let needs = |l: &Limb| {
        let driver = l.drive.as_ref().and_then(|d| match d.source {
            Source::Limb(i) => Some(i),
            Source::Motor(_) => None,
        });
        [l.carrier, driver]
    };
    loop {
        let kept = base.limbs.iter().enumerate().filter(|(i, _)| !gone.contains(i));
        let needed = kept.flat_map(|(i, l)| needs(l).into_iter().flatten().map(move |n| (i, n)));
        let Some((by, what)) = needed.into_iter().find(|(_, n)| gone.contains(n)) else { break };
        gone.retain(|&g| g != what);
        let (by, what) = (&base.limbs[by].name, &base.limbs[what].name);
        let place = wish.without.iter().find(|w| w.value == what.value).map(|w| w.place);
        findings.push(
            Finding::new(
                &codes::LIMB_NEEDED,
                place,
                format!("{} cannot be left out: {} needs it.", what.value, by.value),
            )
            .help(format!("leave out {} too: `without {} {}`.", by.value, what.value, by.value))
            .related(format!("{} is declared here", by.value), by.place)
            .about(wish.name.value, Some(&what.value)),
        );
    }
    gone
}

/// Takes limbs out, the motors only they had, and mends the indices.
fn remove(figure: &mut Figure, gone: &[usize]) {
    if gone.is_empty() {
        return;
    }
    let keep_limb = |i: usize| !gone.contains(&i);
    let used = |m: usize, limbs: &[Limb], of: &dyn Fn(usize) -> bool| {
        limbs
            .iter()
            .enumerate()
            .any(|(i, l)| of(i) && l.drive.as_ref().is_some_and(|d| d.source == Source::Motor(m)))
    };
    let keep_motor: Vec<bool> = (0..figure.actuators.len())
        .map(|m| used(m, &figure.limbs, &keep_limb) || !used(m, &figure.limbs, &|_| true))
        .collect();
    let new_motor = |m: usize| (0..m).filter(|&i| keep_motor[i]).count();
    let new_limb = |l: usize| (0..l).filter(|&i| keep_limb(i)).count();
    let mut index = 0..;
    figure.limbs.retain(|_| index.next().is_some_and(keep_limb));
    let mut index = 0..;
    figure.actuators.retain(|_| index.next().is_some_and(|i: usize| keep_motor[i]));
    for limb in &mut figure.limbs {
        limb.carrier = limb.carrier.map(new_limb);
        if let Some(d) = &mut limb.drive {
            d.source = match d.source {
                Source::Motor(m) => Source::Motor(new_motor(m)),
                Source::Limb(l) => Source::Limb(new_limb(l)),
            };
        }
    }
}
