//! The limb above a limb that has no motor of its own: what moves it, and how it
//! stands on the drawing.

use std::sync::Arc;

use super::builds::Recipe;
use super::seen::Seen;
use super::{Bench, Fitted, FittedServo};
use crate::geometry::{BoardPoint, Body, Dir};
use crate::mechanism::{Above, Guide, Mechanism, Role, Servo, ServoLink, Shaft, Span, Way};
use crate::model::{Figure, Joint, Limb, Note, Source};
use crate::units::{Deg, Mm, Rad, System};

/// So many limbs hang in a row below a motor at most: beyond that nobody can tell
/// what a hole does (common practice, no source).
const MOST_IN_A_ROW: usize = 12;

/// The limb above, exact and as drilled.
pub(super) struct Upper {
    /// With exact sizes.
    pub exact: Chain,
    /// With the sizes a maker marks out.
    pub drilled: Chain,
    /// Whether the two are the same.
    pub alike: bool,
    /// How it is made as drilled, where it is known.
    pub recipe: Option<Recipe>,
    /// The motor's pin behind the whole chain.
    pub pin: Deg,
    /// How it stands on the drawing.
    pub drawn: Body<f64>,
    /// Whether an error stands against it although it goes right through its motion:
    /// it pushes too weakly, or a pin meets a bolt.
    pub faulty: bool,
}

/// Whether a limb goes through its motion, whatever else is wrong with it.
fn moves(fitted: &Fitted) -> bool {
    match fitted {
        Fitted::FourBar(bar) => [&bar.analysis, &bar.as_drilled]
            .iter()
            .all(|a| a.crank_turns_fully && a.motion.is_some()),
        Fitted::Drive(drive) => {
            [&drive.exact, &drive.drilled].iter().all(|b| b.turns_fully() != Some(false))
        }
        Fitted::Servo(_) | Fitted::Spin(_) => !fitted.faulty(),
    }
}

/// A mechanism, what moves it, and what its limb is to the one below.
#[derive(Clone)]
pub(super) struct Chain {
    mechanism: Arc<dyn Mechanism>,
    way: Way,
    role: Role,
}

impl Chain {
    /// As the solvers take it.
    pub fn above(&self) -> Above<'_> {
        Above { mechanism: &*self.mechanism, path: &self.way, role: self.role }
    }

    /// The board from the limb above.
    pub fn seen(&self) -> Seen<'_> {
        Seen(&*self.mechanism)
    }

    /// As a mechanism keeps it.
    pub fn way(&self) -> Way {
        Way::Above {
            mechanism: Arc::clone(&self.mechanism),
            way: Box::new(self.way.clone()),
            role: self.role,
        }
    }

    /// A recipe that leaves it as it is, for what is looked for below it only.
    pub fn as_it_is(&self) -> Recipe {
        let (mechanism, way) = (Arc::clone(&self.mechanism), self.way.clone());
        Recipe::new(Vec::new(), move |_| Some((Arc::clone(&mechanism), way.clone())))
    }

    /// What its limb is to the one below.
    pub const fn role(&self) -> Role {
        self.role
    }

    /// "with the crank at 140 deg", or how long the ram is.
    pub fn when(&self, coordinate: f64, system: System) -> String {
        use crate::units::print::{decimal, size};
        match self.way.source() {
            // Only a servo's shaft turns a part of a turn.
            Way::Shaft(shaft) if !shaft.span.closed => {
                let to = decimal(Rad(coordinate).deg().signed().0, 0);
                format!("with the servo's arm pointing to {to} deg")
            }
            Way::Shaft(_) => {
                format!("with the crank at {} deg", decimal(Rad(coordinate).deg().positive().0, 0))
            }
            _ => format!("with the ram {} long", size(Mm(coordinate), 1, system)),
        }
    }
}

/// The order in which a figure's limbs are fitted: each behind the limb that pushes
/// it, the one that carries it and the one it mirrors.
pub(super) fn order(figure: &Figure) -> Vec<usize> {
    let needs = |limb: &Limb| {
        let pushes = limb.drive.as_ref().and_then(|d| match d.source {
            Source::Limb(above) => Some(above),
            Source::Motor(_) => None,
        });
        let mirrored = limb.mirrors.as_ref().and_then(|m| figure.limb(&m.limb));
        [pushes, limb.carrier, mirrored]
    };
    let mut order = Vec::with_capacity(figure.limbs.len());
    let mut seen = vec![false; figure.limbs.len()];
    // A limb stays open until all it needs is done; one met again is left as it is,
    // so that limbs in a circle end too.
    let mut open = Vec::new();
    for first in 0..figure.limbs.len() {
        if !std::mem::replace(&mut seen[first], true) {
            open.push(first);
        }
        while let Some(&limb) = open.last() {
            let mut missing = needs(&figure.limbs[limb]).into_iter().flatten();
            match missing.find(|&n| seen.get(n).is_some_and(|s| !s)) {
                Some(next) => {
                    seen[next] = true;
                    open.push(next);
                }
                None => {
                    open.pop();
                    order.push(limb);
                }
            }
        }
    }
    order
}

impl Bench<'_> {
    /// The limb above, where it moves in a way that is known; noted where not.
    pub(super) fn upper(&mut self, above: usize) -> Option<Upper> {
        let role = match self.limb.carrier {
            None => Role::Driver,
            Some(carrier) if carrier == above => Role::Host,
            Some(_) => {
                self.unknown("pushed by one limb and carried by another");
                return None;
            }
        };
        if self.depth() > MOST_IN_A_ROW {
            self.unknown(&format!("the last of more than {MOST_IN_A_ROW} in a row"));
            return None;
        }
        if self.figure.motor_rides(above) {
            self.unknown("pushed by one whose motor rides on another");
            return None;
        }
        let upper = &self.figure.limbs[above];
        let by_motor = matches!(upper.drive.as_ref().map(|d| d.source), Some(Source::Motor(_)));
        if by_motor && upper.carrier.is_some() {
            self.unknown("pushed by one that rides on another with its motor on the board");
            return None;
        }
        let name = &upper.name.value;
        let fitted = self.done.get(above)?.as_ref().and_then(|f| f.mechanism.as_ref());
        let Some(fitted) = fitted.filter(|f| moves(f)) else {
            let first = format!("{name}, which moves it, goes through its motion");
            self.not_checked.push(Note::after("mechanism", &first));
            return None;
        };
        let (both, alike) = match fitted {
            Fitted::FourBar(bar) => {
                let both = [bar.exact, bar.drilled].map(|linkage| {
                    let mechanism: Arc<dyn Mechanism> = Arc::new(linkage);
                    (mechanism, Way::Shaft(bar.shaft))
                });
                (both, bar.exact == bar.drilled)
            }
            Fitted::Drive(drive) => {
                let both = [&drive.exact, &drive.drilled];
                let alike = Arc::ptr_eq(&both[0].mechanism, &both[1].mechanism);
                (both.map(|b| (Arc::clone(&b.mechanism), b.way.clone())), alike)
            }
            Fitted::Servo(servo) => {
                let both = match servo.cord.as_deref() {
                    Some(cord) => [&cord.exact, &cord.drilled]
                        .map(|b| (Arc::clone(&b.mechanism), b.way.clone())),
                    None => {
                        let alone = self.on_servo(above, servo)?;
                        [alone.clone(), alone]
                    }
                };
                let alike = Arc::ptr_eq(&both[0].0, &both[1].0);
                (both, alike)
            }
            Fitted::Spin(_) => {
                self.unknown("moved by a limb that turns on and on");
                return None;
            }
        };
        let recipe = match fitted {
            Fitted::FourBar(bar) => Some(Recipe::of_bar(&bar.drilled)),
            Fitted::Drive(drive) => drive.recipe.clone(),
            Fitted::Servo(_) | Fitted::Spin(_) => None,
        };
        let pin = fitted.follows().map_or(Deg(0.0), |f| f.pin);
        let drawn = drawn(&self.figure.limbs[above], both[0].0.guide());
        let Some(drawn) = drawn else {
            self.not_checked
                .push(Note::after("mechanism", &format!("the axis of {name} is known")));
            return None;
        };
        let [exact, drilled] = both.map(|(mechanism, way)| Chain { mechanism, way, role });
        Some(Upper { exact, drilled, alike, recipe, pin, drawn, faulty: fitted.faulty() })
    }

    /// Notes a limb that rides with its motor on one of which no axis is known.
    pub(super) fn carrier_without_axis(&mut self) {
        let what =
            "mechanism (the axis of the limb that carries it, or its own pivot, is not known)";
        self.not_checked.push(Note::new(what, "tip (x, y) mm"));
    }

    /// A limb on a servo, straight or through a rod: moved over the part of its travel
    /// in which it goes through its whole reach one way.
    fn on_servo(&self, above: usize, servo: &FittedServo) -> Option<(Arc<dyn Mechanism>, Way)> {
        let (a, b) = (servo.arm_at(servo.shaft_at_low), servo.arm_at(servo.shaft_at_high));
        let (low, high) = (a.min(b), a.max(b));
        let span = Span::part(low.rad().0, high.rad().0);
        if let Some(linkage) = servo.linkage {
            return Some((Arc::new(linkage), Way::Shaft(Shaft { at: linkage.motor(), span })));
        }
        let Joint::Pivot { at: Some(pivot), .. } = self.figure.limbs.get(above)?.joint else {
            return None;
        };
        let link = ServoLink::Direct { offset: Deg(0.0) };
        let direct = Servo { pivot, link, travel: (low, high) };
        Some((Arc::new(direct), Way::Shaft(Shaft { at: pivot, span })))
    }

    /// Notes a limb that this version cannot follow.
    fn unknown(&mut self, what: &str) {
        self.not_checked.push(Note::new(
            format!("motion of a limb {what} (this version does not compute it yet)"),
            "",
        ));
    }

    /// How many limbs stand between this one and its motor.
    fn depth(&self) -> usize {
        let mut source = self.limb.drive.as_ref().map(|d| d.source);
        let mut depth = 0;
        while let Some(Source::Limb(above)) = source {
            depth += 1;
            if depth > MOST_IN_A_ROW {
                break;
            }
            source = self.figure.limbs.get(above).and_then(|l| l.drive.as_ref()).map(|d| d.source);
        }
        depth
    }
}

/// How a limb stands on the drawing: a slide at the first end of its guide.
fn drawn(limb: &Limb, guide: Guide) -> Option<Body<f64>> {
    match (guide, &limb.joint) {
        (Guide::Slide(slide), _) => Some(slide.body(0.0)),
        (Guide::Pivot, Joint::Pivot { at: Some(pivot), .. }) => {
            Some(Body::still(pivot.x, pivot.y, axis(limb)?))
        }
        (Guide::Pivot, _) => None,
    }
}

/// The drawn direction of a limb's axis.
pub(super) fn axis(limb: &Limb) -> Option<Dir> {
    let Joint::Pivot { at: Some(pivot), .. } = limb.joint else { return None };
    (limb.tip? - pivot).dir()
}

/// A point of the board in a body: along its axis and left of it, mm.
pub(super) fn inside(body: &Body<f64>, point: BoardPoint) -> [f64; 2] {
    let (x, y) = (point.x - body.x, point.y - body.y);
    [x * body.cos + y * body.sin, y * body.cos - x * body.sin]
}
