//! What is told of a figure's gaps, backing and looks.

use super::bolts::bolt_stack;
use super::clash::{self, By, Gap, SLOP, Stands};
use super::codes;
use super::distance::Corner;
use super::stack::{self, Role, Stack};
use super::{Shown, SpacedFigure, shows, sums};
use crate::finding::{Code, Finding, Severity, Step};
use crate::fit::FittedFigure;
use crate::model::{Mount, Note};
use crate::units::print::decimal;
use crate::units::{Mm, System, print};

use super::bisect::BOUND;

/// What is seen of a part beside the board matters from here, mm.
const SEEN: f64 = 3.0;
/// A hole may be drilled off by so much, mm (the language's default build error).
pub(super) const DRILLED: f64 = 1.0;

/// Checks of one figure, and where their findings go.
pub(super) struct Told<'a> {
    pub fitted: &'a FittedFigure,
    pub stack: &'a Stack<'a>,
    pub to: &'a mut SpacedFigure,
}

impl Told<'_> {
    /// Everything there is to tell.
    pub fn all(&mut self, boxes: &[clash::Box2]) {
        for index in 0..self.to.gaps.len() {
            let gap = self.to.gaps[index].clone();
            self.gap(&gap);
        }
        self.passing(boxes);
        self.backing();
        self.held();
        self.bolts();
        self.shafts();
        self.looks();
        self.stops();
    }

    pub(super) fn name(&self, limb: usize) -> String {
        let figure = &self.fitted.figure;
        format!("{}.{}", figure.name.value, figure.limbs[limb].name.value)
    }

    pub(super) fn tell(
        &mut self,
        code: &'static Code,
        limb: usize,
        message: String,
    ) -> &mut Finding {
        let figure = &self.fitted.figure;
        let limb = &figure.limbs[limb].name;
        let finding =
            Finding::new(code, limb.place, message).about(&figure.name.value, Some(&limb.value));
        self.to.findings.push(finding);
        self.to.findings.last_mut().expect("a finding was pushed in the line above")
    }

    /// One pair of parts.
    fn gap(&mut self, gap: &Gap) {
        use Role::{Body, Limb, Member, Rod};
        if !gap.stands.is_empty() && gap.least.high >= SLOP && gap.least.low < SLOP {
            self.doubtful(gap);
        }
        let touching = gap.least.high < BOUND;
        let near = gap.least.high < SLOP;
        if !near {
            return self.finger(gap);
        }
        let pair = (gap.part, gap.other);
        let bent = |r: Role| matches!(r, Rod | Role::Crank);
        if gap.assumed && gap.other != Member && (bent(gap.part) || bent(gap.other)) {
            // In which depth a rod runs is the maker's choice where no standoff is said;
            // only what stands across all of it is found wrong.
            let over = |r: Role| matches!(r, Role::Bolt | Role::Shaft | Role::Wheel);
            if !(over(gap.part) || over(gap.other)) {
                return self.in_which_depth(gap);
            }
        }
        let code = match pair {
            (_, Member) => &codes::LIMB_HITS_FRAME,
            (Body, Body) => &codes::MOTOR_CLASH,
            (Rod, Role::Bolt | Role::Shaft) | (Role::Bolt | Role::Shaft, Rod) => {
                &codes::ROD_OVER_BOLT
            }
            _ if gap.locked => &codes::CLASH_IF_LATE,
            _ => &codes::PARTS_CLASH,
        };
        let severity = match pair {
            _ if !touching => Severity::Advice,
            (Limb, Limb) | (Body, Body) => code.severity,
            (Limb, Member) => code.severity,
            (_, Member) if gap.assumed => Severity::Warning,
            (_, Member) => code.severity,
            (Rod, Role::Bolt | Role::Shaft) => code.severity,
            (Rod | Role::Crank, Limb) | (Limb, Rod | Role::Crank) if !gap.assumed => code.severity,
            (Role::Wheel, _) | (_, Role::Wheel) if !gap.assumed => Severity::Warning,
            // In which depth bars and bolts lie was mostly taken from usual sizes.
            _ => Severity::Advice,
        };
        let [own, other] = self.both(gap);
        let member = self.member(gap);
        let message = if touching {
            let member = member.as_ref().map_or(String::new(), |m| format!(", its member {m},"));
            format!("{own} runs into {other}{member}{}{}.", wheres(gap), self.stands(gap))
        } else {
            let least = self.size(gap.least.high.max(0.0), 1);
            format!(
                "{own} passes {other} with {least}{}: less than a hole drilled by hand may be off.",
                self.at(gap)
            )
        };
        let depth = if gap.assumed { self.depth_words(gap) } else { None };
        let mut steps = self.gap_sum(gap);
        steps.extend(member.filter(|_| touching).map(|m| Step::given("the member", m)));
        let finding = self.tell(code, gap.limb, message);
        finding.severity = severity;
        finding.help = depth.or_else(|| help(gap));
        finding.worked = steps;
    }

    /// What both parts of a pair are called.
    fn both(&self, gap: &Gap) -> [String; 2] {
        use Role::{Body, Limb, Member};
        let own = match gap.part {
            Limb => self.name(gap.limb),
            Body => format!("the motor of {}", self.name(gap.limb)),
            part => format!("the {} of {}", part.word(), self.name(gap.limb)),
        };
        let other = match (gap.other, gap.other_limb) {
            (Member, _) => "the frame".to_owned(),
            (Limb, Some(l)) => self.name(l),
            (Body | Role::Shaft, _) => format!("the motor {}", gap.name),
            (part, Some(l)) => format!("the {} of {}", part.word(), self.name(l)),
            (part, None) => format!("the {}", part.word()),
        };
        [own, other]
    }

    /// Which member of a frame of several the other part is: "(70, 853) to (90, 853) mm".
    fn member(&self, gap: &Gap) -> Option<String> {
        let figure = &self.fitted.figure;
        let member = figure.frame.get(gap.member?).filter(|_| figure.frame.len() > 1)?;
        let [from, to] =
            [member.from, member.to].map(|at| print::place((at.x, at.y), 0, figure.system));
        let from = from.trim_end_matches(" mm").trim_end_matches(" in");
        Some(format!("{from} to {to}"))
    }

    /// Notes a rod or crank that would run through something if it lay where it is taken to
    /// lie, with the clause that says where it does: its standoff, or, where that is said,
    /// what a limb's own depth was taken from.
    fn in_which_depth(&mut self, gap: &Gap) {
        let figure = &self.fitted.figure;
        let bent = |role: Role| matches!(role, Role::Rod | Role::Crank);
        let ends = [(gap.part, Some(gap.limb)), (gap.other, gap.other_limb)];
        let open = ends.iter().filter(|(role, _)| bent(*role)).filter_map(|(_, limb)| *limb);
        let open = open.filter(|&l| !stack::standoff(figure, &figure.limbs[l]).1);
        let settle = match open.min() {
            Some(_) => format!("standoff {}", print::length(Mm(stack::STANDOFF), figure.system)),
            None => "bushing nylon length 60 mm  gap 2 mm".to_owned(),
        };
        let [own, other] = self.both(gap);
        let what = format!("in which depth {own} passes {other}: seen from the front they cross");
        self.to.limbs[gap.limb].not_checked.push(Note::new(what, settle));
    }

    /// Notes a gap of which too little is known: in many coordinates the search may end
    /// before what it knows is enough.
    fn doubtful(&mut self, gap: &Gap) {
        let other = match gap.other_limb {
            Some(l) => self.name(l),
            None => gap.name.clone(),
        };
        let what = format!(
            "whether it clears {other}: the least gap seen is {}, the least that can be {}",
            self.size(gap.least.high, 1),
            self.size(gap.least.low.max(0.0), 1)
        );
        let note = Note::beyond(&what, "turn both by hand and look");
        self.to.limbs[gap.limb].not_checked.push(note);
    }

    /// Where the least gap is.
    pub(super) fn at(&self, gap: &Gap) -> String {
        coordinate(gap.by, gap.least.at[0], self.fitted.figure.system) + &self.stands(gap)
    }

    /// " with upper-arm at 213.0 deg and forearm at 95.0 deg to it".
    fn stands(&self, gap: &Gap) -> String {
        let figure = &self.fitted.figure;
        let one = |s: &Stands| {
            let name = &figure.limbs[s.limb].name.value;
            let on = match (&self.fitted.limbs[s.limb].riding, s.by) {
                (Some(r), By::Angle) => format!(" from {}", figure.limbs[r.carrier].name.value),
                _ => String::new(),
            };
            match s.by {
                By::Shaft => format!("the crank of {name} at {} deg", turn(s.at)),
                by => format!("{name}{}{on}", coordinate(by, s.at, self.fitted.figure.system)),
            }
        };
        let all: Vec<String> = gap.stands.iter().map(one).collect();
        match all.split_last() {
            None => String::new(),
            Some((last, [])) => format!(" with {last}"),
            Some((last, before)) => format!(" with {} and {last}", before.join(", ")),
        }
    }

    /// What was assumed of the depth, with what to do.
    fn depth_words(&self, gap: &Gap) -> Option<String> {
        let limb = &self.fitted.figure.limbs[gap.limb];
        match (gap.part, gap.other, limb.mount) {
            (Role::Limb, Role::Member, Mount::Behind) => Some(
                "its pivot is on no member, so it is taken to hang right behind the board: say \
                 `bushing nylon length 50 mm` for a bushing that brings it behind the frame, or \
                 move the member or the limb."
                    .to_owned(),
            ),
            (Role::Body, ..) => None,
            _ => Some(
                "their depths are taken from usual spacers: set one of them a sheet and a washer \
                 further out, or keep their ways apart."
                    .to_owned(),
            ),
        }
    }

    /// A length that is seen and not marked out: mm to so many places, or as a ruler in
    /// inches shows it.
    pub(super) fn size(&self, mm: f64, places: usize) -> String {
        print::size(Mm(mm), places, self.fitted.figure.system)
    }

    /// Wood behind pivots and motors.
    fn backing(&mut self) {
        let figure = &self.fitted.figure;
        let members: Vec<Vec<Corner>> = figure.frame.iter().filter_map(stack::member).collect();
        if members.is_empty() {
            return;
        }
        for index in 0..figure.limbs.len() {
            let limb = &figure.limbs[index];
            if limb.poisoned {
                continue;
            }
            let Some(at) = clash::bushed(limb) else { continue };
            let radius = 1.5 * limb.bolt.as_ref().map_or(8.0, |b| b.diameter.0);
            let over = clash::uncovered(at, radius, &members);
            let bare = clash::uncovered(at, 0.0, &members);
            if over <= DRILLED {
                continue;
            }
            let name = self.name(index);
            let message = if bare > 0.0 {
                format!(
                    "the pivot of {name} is on no member of the frame: the nearest is {} away.",
                    self.size(bare, 0)
                )
            } else {
                format!(
                    "the frame behind the pivot of {name} ends {} too near to the bolt: {} of \
                     wood are wanted all round its middle.",
                    self.size(over, 1),
                    self.size(radius, 0)
                )
            };
            let (what, short) = match bare > 0.0 {
                true => ("from the pivot to the nearest member", bare),
                false => ("of that beyond the members", over),
            };
            let wanted = Some((radius / 1.5, radius));
            let steps = sums::wood_sum(figure.system, (what, short), wanted);
            let finding = self.tell(&codes::PIVOT_UNBACKED, index, message);
            finding.worked = steps;
            finding.help =
                Some("move the member or the pivot, or lay a doubler behind it.".to_owned());
            if bare <= 0.0 {
                finding.severity = Severity::Advice;
            }
        }
        self.motors_backed(&members);
    }

    /// Bolts whose length was written against what lies on them in depth.
    fn bolts(&mut self) {
        let figure = &self.fitted.figure;
        for (index, limb) in figure.limbs.iter().enumerate() {
            let Some(said) = limb.build.bolt_length else { continue };
            let Some(bolt) = bolt_stack(self.fitted, &self.to.stack, index) else { continue };
            let needs = bolt.needs;
            let guessed = bolt.guessed;
            if guessed || said.0 + DRILLED >= needs {
                continue;
            }
            let message = format!(
                "the bolt of {} is {} long, and what lies on it, nuts and all, comes to {}.",
                self.name(index),
                self.size(said.0, 0),
                self.size(needs, 0)
            );
            // As they are sold: by 10 mm, or by quarter inches.
            let step = if figure.system == System::Inch { 25.4 / 4.0 } else { 10.0 };
            let sold = self.size((needs / step).ceil() * step, 0);
            let steps = sums::bolt_sum(&bolt, said, figure.system);
            let finding = self.tell(&codes::SHAFT_TOO_SHORT, index, message);
            finding.help =
                Some(format!("take a bolt of {sold} or more, or lead it through less wood."));
            finding.worked = steps;
        }
    }

    fn motors_backed(&mut self, members: &[Vec<Corner>]) {
        let figure = &self.fitted.figure;
        for (index, actuator) in figure.actuators.iter().enumerate() {
            let Some(limb) = (0..figure.limbs.len()).find(|&l| figure.motor_of(l) == Some(index))
            else {
                continue;
            };
            // One that rides is screwed to the limb that carries it, not to the frame.
            if figure.limbs[limb].poisoned || actuator.rides {
                continue;
            }
            let Some(at) = actuator.at.or_else(|| self.fitted.place_of(index)) else { continue };
            let Some((w, h)) = actuator.motor.body else {
                if actuator.motor.mounting.is_some() {
                    self.screws((index, limb), at, members);
                    continue;
                }
                if actuator.motor.kind == crate::model::MotorKind::Brushed {
                    let what =
                        format!("wood behind the motor {} (its body is not known)", actuator.name);
                    self.to.limbs[limb].not_checked.push(Note::new(what, "body 110 mm by 80 mm"));
                }
                continue;
            };
            let half = w.0.max(h.0) / 2.0;
            let corners = [[-half, -half], [half, -half], [half, half], [-half, half]];
            let body = corners.map(|c| [at.x + c[0], at.y + c[1]]);
            let away = members.iter().map(|m| super::distance::distance(&body, m));
            let away = away.fold(f64::INFINITY, f64::min);
            if away > 0.0 {
                let message = format!(
                    "no member of the frame is behind the motor of {}: the nearest passes {} beside \
                     its body.",
                    self.name(limb),
                    self.size(away.max(1.0), 0)
                );
                let what =
                    ("from its body, as wide as its longer side, to the nearest member", away);
                let mut steps = sums::wood_sum(figure.system, what, None);
                steps.insert(0, Step::new("its longer side", "", self.size(2.0 * half, 0)));
                let finding = self.tell(&codes::MOTOR_UNBACKED, limb, message);
                finding.help =
                    Some("move a member behind it, or lay a piece of wood across two.".to_owned());
                finding.worked = steps;
                continue;
            }
            self.screws((index, limb), at, members);
        }
    }

    /// What is seen from the front.
    fn looks(&mut self) {
        let Some(board) = self.stack.parts.iter().find(|p| p.layer.role == Role::Board) else {
            for index in 0..self.fitted.figure.limbs.len() {
                let note = Note::new(
                    "what shows beside the board (no outline)",
                    "board plywood-9 600 mm by 1200 mm",
                );
                self.to.limbs[index].not_checked.push(note);
            }
            return;
        };
        for part in &self.stack.parts {
            let Some(shown) = shows::shown(self.fitted, part, &board.corners) else { continue };
            if shown.by <= SEEN {
                continue;
            }
            self.to.shown.push(shown.clone());
            self.show(&shown);
        }
    }

    fn show(&mut self, shown: &Shown) {
        let name = self.name(shown.limb);
        let by = self.size(shown.by, 0);
        let at = coordinate(shown.how, shown.at, self.fitted.figure.system);
        let (code, message, help) = match shown.part {
            Role::Body => (
                &codes::MOTOR_SHOWS,
                format!("the motor of {name} comes out {by} beside the board."),
                "move it inwards, or let the board be wider there.",
            ),
            Role::Limb if shown.whole => (
                &codes::GAP_OPENS,
                format!("{name} comes out from behind the board, and a gap of {by} opens{at}."),
                "let it slide less far, or draw it so long that some of it stays behind the board.",
            ),
            Role::Limb => (
                &codes::TAIL_SHOWS,
                format!("the tail of {name} comes out {by} beside the board{at}."),
                "cut the tail shorter, or let the board be wider there.",
            ),
            part => (
                &codes::ROD_SHOWS,
                format!("the {} of {name} comes out {by} beside the board{at}.", part.word()),
                "move the motor inwards, take a shorter one, or paint it like what is behind it.",
            ),
        };
        let steps = self.shown_sum(shown);
        let finding = self.tell(code, shown.limb, message);
        finding.help = Some(help.to_owned());
        finding.worked = steps;
    }
}

/// A coordinate as people say it.
pub(super) fn coordinate(by: By, at: f64, system: System) -> String {
    match by {
        By::Angle => format!(" at {} deg", decimal(degrees(at), 1)),
        By::Way => format!(" at {} on its slide", print::size(Mm(at), 1, system)),
        By::Shaft => format!(" with the crank at {} deg", decimal(degrees(at), 1)),
        By::Length => format!(" with its drive at {}", print::size(Mm(at), 1, system)),
        By::Both | By::Still => String::new(),
    }
}

/// A shaft's angle in one turn.
fn turn(rad: f64) -> String {
    decimal(crate::units::Rad(rad).deg().positive().0, 1)
}

pub(super) fn degrees(rad: f64) -> f64 {
    crate::units::Rad(rad).deg().0
}

/// " from 132.1 to 135.0 deg".
fn wheres(gap: &Gap) -> String {
    let (unit, of): (fn(f64) -> f64, _) = match gap.by {
        By::Angle => (degrees, " deg"),
        By::Way => (|v| v, " mm on its slide"),
        By::Shaft => (degrees, " deg of the crank"),
        By::Length => (|v| v, " mm of its drive"),
        By::Both | By::Still => return String::new(),
    };
    let one = |&(a, b): &(f64, f64)| format!("from {:.1} to {:.1}{of}", unit(a), unit(b));
    match gap.touching.as_slice() {
        [] => String::new(),
        [only] => format!(" {}", one(only)),
        [first, second] => format!(" {} and {}", one(first), one(second)),
        [first, rest @ ..] => format!(" {} and {} times more", one(first), rest.len()),
    }
}

fn help(gap: &Gap) -> Option<String> {
    let text = match gap.other {
        Role::Member => "shorten it, or move the member of the frame out of its way.",
        Role::Bolt | Role::Shaft => "bend the rod round it, or cut the bolt shorter.",
        Role::Body => "turn one of the motors, or set them apart.",
        _ => "keep their ways apart, or set one of them further out.",
    };
    Some(text.to_owned())
}
