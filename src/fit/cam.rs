//! Plate cams: open sizes found, the profile's figures checked.

use super::drive::{Built, Figure, FittedDrive, FittedSize, Measure, Other, SizeName, borne};
use super::prefers::in_order;
use super::{Bench, Fitted, cam_words as words, codes};
use crate::finding::{Severity, Step};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::cam::ranked::{on_each_lever, on_larger_discs, ranked};
use crate::mechanism::cam::size::{self, Asked, Reason, Rules, Wish};
use crate::mechanism::cam::{
    Cam, Facts, Law, Limb as Moved, Programme, Refusal, Runs, Segment, SwingingFoot,
};
use crate::mechanism::solve::{OTHERS, Prefer};
use crate::mechanism::{Course, Shaft, Size, Slide, Way};
use crate::model::{Action, CamDrive, CamFoot, CamMove, Drive, Gesture, Joint, Note, Turn};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, System, print};

/// A roller of this radius is assumed where none is said (common practice, no
/// source: a small ball bearing).
const USUAL_ROLLER: Mm = Mm(8.0);

/// What a limb is asked for: its two ends, and the gesture.
struct Ends<'a, Q> {
    gesture: &'a Gesture,
    low: Q,
    high: Q,
}

/// A motor's shaft, and so much of that round its bore a cam wants (common practice, no
/// source).
const BORE: Mm = Mm(10.0);
const STOCK: f64 = 1.5;
/// What an open base circle and lever are rounded to: what a saw follows.
const WHOLE: Mm = Mm(1.0);
const EIGHTH: Mm = Mm(25.4 / 8.0);

impl<'a> Bench<'a> {
    pub(super) fn cam(&mut self, drive: &Drive, said: &CamDrive, motor: usize) -> Option<Fitted> {
        match self.limb.joint {
            Joint::Slide { .. } => self.refuse_gestures(
                "a cam under a limb on a guide",
                |a| matches!(a, Action::Stroke { .. } | Action::On | Action::Off),
                "`stroke A to B  cycle T`",
            ),
            Joint::Pivot { .. } => self.refuse_gestures(
                "a cam under a limb on a pivot",
                |a| matches!(a, Action::Sweep { .. } | Action::On | Action::Off),
                "`sweep A to B  cycle T`",
            ),
        }
        let before = self.errors();
        let programme = self.programme(drive, said)?;
        let actuator = &self.figure.actuators[motor];
        let runs = if actuator.turns == Turn::Ccw { Runs::Ccw } else { Runs::Cw };
        let Some(shaft) = actuator.at else {
            self.not_checked.push(Note::new(
                "mechanism (the motor's place is not known)",
                "motor NAME at (x, y) mm",
            ));
            return None;
        };
        let limb = self.moved(said, shaft, motor)?;
        let wish = Wish {
            shaft,
            runs,
            start: said.starts.unwrap_or(Deg(0.0)),
            programme,
            base: said.base.size,
            limb,
            rules: Rules {
                hub: BORE * (STOCK + 0.5),
                mark: if self.figure.system == System::Inch { EIGHTH } else { WHOLE },
                ..Rules::usual(matches!(limb, Asked::Slides { .. }))
            },
        };
        let (size::Answer { cam, facts }, others) = self.sized_cam(drive, said, &wish)?;
        let recipe = super::cam_recipe::recipe(&cam);
        let ratio = cam.plan().programme.time_ratio();
        let hangs = recipe.as_ref().and_then(|r| self.built_drive(r, &sizes(said, &cam)));
        // What hangs there is told and checked, where it was measured.
        let (cam, facts) = match hangs.as_ref().and_then(|(built, _)| built.mechanism.as_cam()) {
            Some(built) => (built.clone(), built.facts()),
            None => (cam, facts),
        };
        self.pressure(drive, said, &wish, &facts);
        self.curve(drive, said, &wish, &facts);
        self.body(drive, said, shaft, &facts);
        let word = if runs == Runs::Ccw { "counter-clockwise" } else { "clockwise" };
        self.assumed.push(Note::new(
            format!("cam cut for a motor that turns {word} seen from the front"),
            "motor NAME at (x, y) mm turns ccw",
        ));
        let (sizes, figures) = (sizes(said, &cam), figures(&cam, &facts));
        let (mut exact, mut drilled) = match hangs {
            Some(hangs) => hangs,
            None => {
                let built = Built::new(cam, Way::Shaft(Shaft::turning(shaft))).ok()?;
                (built.clone(), built)
            }
        };
        if let Some(guided) = self.guided(motor, Deg(0.0)) {
            self.in_guide(drive.place, &exact.course.travel, &guided);
        }
        (exact.course.time_ratio, drilled.course.time_ratio) = (ratio, ratio);
        Some(Fitted::Drive(Box::new(FittedDrive {
            drilled,
            exact,
            sizes,
            figures,
            others: others.into_iter().filter_map(|o| other(said, o.cam, shaft, ratio)).collect(),
            fit: None,
            recipe: recipe.map(|r| self.recipe_as_built(r)),
            pin: super::pin(drive),
            faulty: self.errors() > before,
        })))
    }

    /// Rise, dwell, fall, dwell, as often as said.
    fn programme(&mut self, drive: &Drive, said: &CamDrive) -> Option<Programme> {
        let times = f64::from(said.times.max(1));
        let usual = |turn: f64| CamMove { turn: Deg(turn), dwell: Deg(0.0), place: drive.place };
        let (rise, fall) = match (said.rise, said.fall) {
            (Some(rise), Some(fall)) => (rise, fall),
            (None, None) => (usual(180.0 / times), usual(180.0 / times)),
            (Some(rise), None) => (rise, usual(360.0 / times - (rise.turn + rise.dwell).0)),
            (None, Some(fall)) => (usual(360.0 / times - (fall.turn + fall.dwell).0), fall),
        };
        if said.rise.is_none() || said.fall.is_none() {
            let turns = |m: &CamMove| decimal(m.turn.0, 0);
            self.assumed.push(Note::new(
                format!(
                    "the cam rises over {} deg and falls over {} deg",
                    turns(&rise),
                    turns(&fall)
                ),
                "rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg",
            ));
        }
        let law: Law = said.law;
        let mut segments = vec![Segment::Rise { turn: rise.turn, law }];
        if rise.dwell.0 != 0.0 {
            segments.push(Segment::Dwell { turn: rise.dwell });
        }
        segments.push(Segment::Fall { turn: fall.turn, law });
        if fall.dwell.0 != 0.0 {
            segments.push(Segment::Dwell { turn: fall.dwell });
        }
        match Programme::new(&segments, said.times) {
            Ok(programme) => Some(programme),
            Err(why) => {
                let place = said.fall.or(said.rise).map_or(drive.place, |m| m.place);
                let (message, help) = words::programme(&why, &self.name());
                self.report(&codes::CAM_TURN, place, message).help = Some(help);
                let all = [rise.turn, rise.dwell, fall.turn, fall.dwell]
                    .map(|d| d.0 * f64::from(said.times));
                let sum = all.map(|d| decimal(d, 2)).join(" + ");
                let whole = decimal(all.iter().sum(), 2);
                self.works([
                    Step::new("rise, dwell, fall, dwell, all of them", sum, format!("{whole} deg")),
                    Step::given("one turn", "360 deg"),
                ]);
                None
            }
        }
    }

    /// The limb and its travel, from its joint and its first gesture.
    fn moved(&mut self, said: &CamDrive, shaft: BoardPoint, motor: usize) -> Option<Asked> {
        let roller = match (said.foot, said.roller.size) {
            (CamFoot::Roller, Size::Given(v)) => Mm(v),
            (CamFoot::Roller, _) => {
                self.assumed.push(Note::new("a roller of 8 mm radius", "roller 8 mm"));
                USUAL_ROLLER
            }
            (CamFoot::Knife | CamFoot::Flat, _) => Mm(0.0),
        };
        match self.limb.joint {
            Joint::Slide { from, to } => {
                let slide = Slide::between(from, to)?;
                let middle = from.toward(to, 0.5) - shaft;
                let up = middle.x * slide.along.x() + middle.y * slide.along.y() >= 0.0;
                let (bottom, top) = self.stroke(said, (to - from).length(), up)?;
                let guided = self.guided(motor, Deg(0.0))?;
                let foot = self.sliding_foot(said, &guided, up, roller);
                Some(Asked::Slides { slide, low: bottom, high: top, foot })
            }
            Joint::Pivot { at: Some(pivot), .. } => self.swung(said, shaft, pivot, roller),
            Joint::Pivot { at: None, .. } => {
                self.not_checked.push(Note::new(
                    "mechanism (pivot's place is open; finding a place is not computed yet)",
                    "pivot (x, y) mm",
                ));
                None
            }
        }
    }

    /// Where the slide stands low and high.
    fn stroke(&mut self, said: &CamDrive, guide: Mm, up: bool) -> Option<(Mm, Mm)> {
        let given = match said.lift.size {
            Size::Given(v) => Some(Mm(v)),
            _ => None,
        };
        let asked = self.limb.gestures.iter().find_map(|g| match &g.action {
            Action::Stroke { from, to, .. } => Some(Ends {
                gesture: g,
                low: from.value.min(to.value),
                high: from.value.max(to.value),
            }),
            _ => None,
        });
        let order = |a: Mm, b: Mm| if up { (a, b) } else { (b, a) };
        match (asked, given) {
            (Some(ends), lift) => {
                self.agrees(said, &ends, lift);
                Some(order(ends.low, ends.high))
            }
            (None, Some(lift)) => {
                let (low, high) = if up { (Mm(0.0), lift) } else { (guide - lift, guide) };
                Some(order(low, high))
            }
            (None, None) => {
                self.not_checked.push(Note::new(
                    "the cam (neither its lift nor a stroke is known)",
                    "gesture hop { stroke 0 mm to 20 mm  cycle 4 s }",
                ));
                None
            }
        }
    }

    fn agrees(&mut self, said: &CamDrive, ends: &Ends<'_, Mm>, lift: Option<Mm>) {
        let asked = ends.high - ends.low;
        let within = Mm(1.0).min(asked * 0.05);
        let Some(lift) = lift.filter(|l| (*l - asked).abs() > within) else { return };
        let system = said.lift.system;
        let message = format!(
            "`{}` asks {} to move {}, and its cam lifts it {}.",
            ends.gesture.name.value,
            self.name(),
            length(asked, system),
            length(lift, system)
        );
        let help = format!("write `lift {}`, or leave the lift out.", length(asked, system));
        self.report(&codes::CAM_LIFT_MISSED, ends.gesture.place, message).help = Some(help);
        let asked_as =
            format!("{} - {}", print::fine_in(ends.high, system), print::fine_in(ends.low, system));
        self.works([
            Step::new("stroke asked for", asked_as, print::fine(asked, system)),
            Step::given("lift", print::fine(lift, system)),
            Step::given("may differ by", print::fine(within, system)),
        ]);
    }

    /// Which end of the sweep is the cam's lowest: the lever moves away from the
    /// shaft; with an open clamp, the end at which the tip hangs lower.
    fn swung(
        &mut self,
        said: &CamDrive,
        shaft: BoardPoint,
        pivot: BoardPoint,
        roller: Mm,
    ) -> Option<Asked> {
        let ends = super::sweeps(self.limb).next().map(|(gesture, a, b, _)| Ends {
            gesture,
            low: a.min(b),
            high: a.max(b),
        });
        let Some(ends) = ends else {
            self.not_checked.push(Note::new(
                "the cam (no sweep is asked for)",
                "gesture wave { sweep 10 deg to 25 deg  cycle 4 s }",
            ));
            return None;
        };
        if pivot.distance(shaft) < Mm(1.0) {
            let place = self.limb.drive.as_ref().map_or(ends.gesture.place, |d| d.place);
            let message = format!(
                "no cam moves {} as asked: its motor and its pivot stand on one another.",
                self.name()
            );
            self.report(&codes::CAM_IMPOSSIBLE, place, message).help =
                words::instead(&Reason::Refused(Refusal::CentresMeet), true);
            return None;
        }
        let up = match said.clamp.size {
            Size::Given(clamp) => {
                let lever = Dir::degrees((ends.low + ends.high) / 2.0 + Deg(clamp));
                let out = pivot - shaft;
                out.x * lever.y() - out.y * lever.x() < 0.0
            }
            _ => Dir::degrees(ends.low).y() <= Dir::degrees(ends.high).y(),
        };
        let (low, high) = if up { (ends.low, ends.high) } else { (ends.high, ends.low) };
        let (clamp, swing) = (said.clamp.size, (ends.high - ends.low).rad().0);
        Some(if said.foot == CamFoot::Flat {
            let stand_off = said.stand_off.unwrap_or(Mm(0.0));
            Asked::Faces { pivot, low, high, clamp, stand_off }
        } else {
            let lever = match (said.lever.size, said.lift.size) {
                (Size::Free, lift) => lift.mapped(|lift| lift / swing),
                (lever, _) => lever,
            };
            Asked::Rolls { pivot, low, high, clamp, roller, lever }
        })
    }

    /// The sizes: a given base circle is taken as it is, an open one found.
    fn sized_cam(
        &mut self,
        drive: &Drive,
        said: &CamDrive,
        wish: &Wish,
    ) -> Option<(size::Answer, Vec<size::Answer>)> {
        let place = said.base.place.unwrap_or(drive.place);
        let given = matches!(wish.base, Size::Given(_));
        // What is given is judged below, finding by finding: no rule stands in its way.
        let free = Rules {
            pressure: Deg(90.0),
            rollers: 0.0,
            flat: Mm(-1e9),
            hub: Mm(0.1),
            clear: Mm(-1e9),
            ..wish.rules
        };
        let system = self.figure.system;
        let told = |wish: &Wish, nearest| {
            size::told(wish, nearest, |l| {
                let marked = Size::Free.marked_length(l, system);
                let step = if marked < l { Mm(0.5) } else { Mm(-0.5) };
                [marked, marked + step, marked - step]
            })
        };
        // Of a place that is tried nobody asks for the next best.
        let solved = match (self.quick, said.prefer) {
            (true, _) => size::solve(wish).map(|best| (best, Vec::new())),
            (false, Prefer::Build) if !given => self.built_best(said, wish),
            (false, _) => ranked(wish),
        };
        let found = match solved {
            // What is named instead keeps the rules.
            Err(strict) if given => {
                let loose = Wish { rules: free, ..wish.clone() };
                let nearest = told(wish, strict.nearest);
                size::solve(&loose)
                    .map(|best| (best, Vec::new()))
                    .map_err(|no| size::NoFit { nearest, ..no })
            }
            other => other.map_err(|no| size::NoFit { nearest: told(wish, no.nearest), ..no }),
        };
        match found {
            Ok(answer) => Some(answer),
            Err(no) => {
                let message = format!(
                    "no cam moves {} as asked: {}.",
                    self.name(),
                    words::reason(&no.reason, system)
                );
                let code = match no.reason {
                    Reason::Refused(_) => &codes::CAM_IMPOSSIBLE,
                    _ => &codes::CAM_NOTHING_FITS,
                };
                let clamped = matches!(said.clamp.size, Size::Given(_));
                let help = words::nearest(&no, clamped, system)
                    .or_else(|| opened(wish, system))
                    .or_else(|| words::instead(&no.reason, said.offset.is_some()))
                    .or_else(|| {
                        matches!(wish.limb, Asked::Rolls { .. } | Asked::Faces { .. }).then(smaller)
                    });
                self.report(code, place, message).help = help;
                self.works([Step::given("in the way", words::reason(&no.reason, system))]);
                None
            }
        }
    }

    /// The cam that is built right most often among all levers, each with its smallest base
    /// circle, and among larger base circles of the best lever; then the next best.
    fn built_best(
        &self,
        said: &CamDrive,
        wish: &Wish,
    ) -> Result<(size::Answer, Vec<size::Answer>), size::NoFit> {
        let in_order = |all| {
            let does = |a: &size::Answer| other(said, a.cam.clone(), wish.shaft, None);
            in_order(said.prefer, self.limb, all, does)
        };
        let mut all = in_order(on_each_lever(wish)?);
        let larger = all.first().map(|best| on_larger_discs(wish, best));
        all.extend(larger.into_iter().flatten());
        let mut all = in_order(all).into_iter();
        let best =
            all.next().ok_or(size::NoFit { reason: Reason::NoChoice, nearest: Vec::new() })?;
        Ok((best, all.take(OTHERS).collect()))
    }

    /// The smallest base circle that keeps every rule, in words.
    fn better_base(&self, said: &CamDrive, wish: &Wish) -> Option<String> {
        let open = Wish { base: Size::Free, ..wish.clone() };
        let answer = size::solve(&open).ok()?;
        let base = Mm(answer.cam.plan().base.0.ceil());
        let marked = Wish { base: Size::Given(base.0), ..wish.clone() };
        size::solve(&marked).ok()?;
        Some(format!(
            "a base circle of {} works: the push is {} deg off square at worst.",
            length(base, said.base.system),
            decimal(answer.facts.pressure.value.0, 0)
        ))
    }

    fn pressure(&mut self, drive: &Drive, said: &CamDrive, wish: &Wish, facts: &Facts) {
        let (steep, most) = (facts.pressure.value, wish.rules.pressure);
        if steep.0 <= most.0 + 1e-6 {
            return;
        }
        let message = format!(
            "the cam of {} is too steep: at {} deg of its motor it pushes {} deg off the way the limb moves, and {} is usual.",
            self.name(),
            decimal(facts.pressure.turn.0, 0),
            decimal(steep.0, 0),
            decimal(most.0, 0)
        );
        let help = self
            .better_base(said, wish)
            .unwrap_or_else(|| "let it rise over more of the turn, or lift it less.".to_owned());
        let place = said.base.place.unwrap_or(drive.place);
        self.report(&codes::CAM_PRESSURE, place, message).help = Some(help);
        self.works([
            Step::given(
                "steepest at",
                format!("{} deg of its motor", decimal(facts.pressure.turn.0, 1)),
            ),
            Step::new(
                "off the way the limb moves",
                format!("90 - {} (worst push)", decimal(90.0 - steep.0, 2)),
                format!("{} deg", decimal(steep.0, 2)),
            ),
            Step::given("usual at most", format!("{} deg", decimal(most.0, 0))),
        ]);
    }

    fn curve(&mut self, drive: &Drive, said: &CamDrive, wish: &Wish, facts: &Facts) {
        let system = said.base.system;
        let message = if let Some(undercut) = facts.undercut {
            format!(
                "the cutter eats the bump of the cam of {}: at {} deg of its motor the curve is {} too sharp.",
                self.name(),
                decimal(undercut.turn.0, 0),
                print::fine(undercut.by, system)
            )
        } else if let Some(convex) = facts.convex.filter(|_| facts.rollers() < wish.rules.rollers) {
            format!(
                "the cam of {} is sharp: its roller's centre runs round a bend of {} radius, and twice the roller, {}, is usual.",
                self.name(),
                print::fine(convex.value, system),
                print::fine(facts.roller * 2.0, system)
            )
        } else {
            return;
        };
        let place = said.roller.place.or(said.base.place).unwrap_or(drive.place);
        let help = self.better_base(said, wish);
        let severity = if facts.undercut.is_some() { Severity::Error } else { Severity::Warning };
        let found = self.report(&codes::CAM_UNDERCUT, place, message);
        found.severity = severity;
        found.help = Some(help.unwrap_or_else(|| "take a smaller roller.".to_owned()));
        self.works([Step::given("its roller", print::fine(facts.roller, system))]);
        if let Some(undercut) = facts.undercut {
            self.works([
                Step::given(
                    "worst at",
                    format!("{} deg of its motor", decimal(undercut.turn.0, 1)),
                ),
                Step::given("the curve is too sharp by", print::fine(undercut.by, system)),
            ]);
        } else if let Some(convex) = facts.convex {
            let twice = format!("2 x {}", print::fine_in(facts.roller, system));
            self.works([
                Step::given(
                    "sharpest bend of the roller's centre",
                    print::fine(convex.value, system),
                ),
                Step::new("usual", twice, print::fine(facts.roller * 2.0, system)),
            ]);
        }
    }

    /// The disc lies behind the board, and does not cover the limb's bolt.
    fn body(&mut self, drive: &Drive, said: &CamDrive, shaft: BoardPoint, facts: &Facts) {
        let place = said.base.place.unwrap_or(drive.place);
        let system = said.base.system;
        if let Some(board) = &self.figure.board.outline {
            let outside = (0..72).any(|n| {
                let at = Dir::degrees(Deg(f64::from(n) * 5.0));
                let r = facts.farthest.0;
                !board.contains(BoardPoint::mm(shaft.x + r * at.x(), shaft.y + r * at.y()))
            });
            if outside {
                let message = format!(
                    "the cam of {} reaches {} from its motor and shows beside the board.",
                    self.name(),
                    length(facts.farthest, system)
                );
                self.report(&codes::CAM_SHOWS, place, message).help =
                    Some("move the motor inwards, or take a smaller base circle.".to_owned());
                let most = print::fine(facts.farthest, system);
                self.works([Step::given("farthest point of its cam from the shaft", most)]);
            }
        }
        // How thick a motor's shaft is nothing says, unless the disc's bore does.
        let stock = facts.nearest - BORE / 2.0;
        // Its nearest place is looked for and not known to the last digit.
        if stock < BORE * STOCK - Mm(1e-3) && said.disc.bore.is_none() {
            let what = format!(
                "whether enough of its cam is left round its bore: round a shaft of {} there are {}, {} are wanted",
                length(BORE, system),
                length(stock, system),
                length(BORE * STOCK, system)
            );
            let settle = format!("base {} mm", decimal((BORE * (STOCK + 0.5)).0, 0));
            self.not_checked.push(Note::new(what, settle));
        }
        // In which depth a cam lies nothing says, unless both of these do.
        let known = said.disc.thick.is_some() && drive.standoff.is_some();
        let over = !known
            && self.figure.frame.iter().any(|m| {
                let strip =
                    crate::geometry::Outline::strip(m.from, m.to, m.width + facts.farthest * 2.0);
                strip.is_some_and(|s| s.contains(shaft))
            });
        if over {
            let what = format!(
                "whether its cam clears the frame: seen from the front its disc, {} about its motor, reaches over \
                 a member (let it turn before or behind the frame)",
                length(facts.farthest, system)
            );
            self.not_checked.push(Note::new(what, "disc 6 mm  standoff 20 mm"));
        }
        let Joint::Pivot { at: Some(pivot), .. } = self.limb.joint else { return };
        let room = pivot.distance(shaft);
        if facts.farthest.0 > room.0 - 12.0 {
            let message = format!(
                "the cam of {} reaches {} from its motor, and the limb's bolt stands {} away with its washer.",
                self.name(),
                print::fine(facts.farthest, system),
                print::fine(room, system)
            );
            self.report(&codes::CAM_HITS_BOLT, place, message).help = Some(
                "move the motor away from the bolt, or take a smaller base circle.".to_owned(),
            );
            let less = format!("{} - {}", print::fine_in(room, system), {
                print::fine_in(Mm(12.0), system)
            });
            self.works([
                Step::given("farthest point of its cam from the shaft", {
                    print::fine(facts.farthest, system)
                }),
                Step::given("from shaft to bolt", print::fine(room, system)),
                Step::new("room with a washer", less, print::fine(Mm(room.0 - 12.0), system)),
            ]);
        }
    }
}

/// What helps where nothing that can be cut does it.
fn smaller() -> String {
    "ask for a smaller motion, or leave the sizes of the cam open: `base ?  lever ? at ?`."
        .to_owned()
}

/// Base circle, lever and clamp that do what no single change does; `None` where none do.
fn opened(wish: &Wish, system: System) -> Option<String> {
    let lever_of = |lever| match wish.limb {
        Asked::Rolls { pivot, low, high, roller, .. } => {
            Some(Asked::Rolls { pivot, low, high, clamp: Size::Free, roller, lever })
        }
        Asked::Faces { pivot, low, high, stand_off, .. } => {
            Some(Asked::Faces { pivot, low, high, clamp: Size::Free, stand_off })
        }
        Asked::Slides { .. } => None,
    };
    let given = match wish.limb {
        Asked::Rolls { lever, .. } => lever,
        _ => Size::Free,
    };
    let tried = [given, Size::Free].into_iter().find_map(|lever| {
        let limb = lever_of(lever)?;
        Some((lever, size::solve(&Wish { base: Size::Free, limb, ..wish.clone() }).ok()?))
    });
    let (size, answer) = tried?;
    let base = length(answer.cam.plan().base, system);
    let Moved::Swings(swing) = answer.cam.plan().limb else { return None };
    // Base circle and clamp go together to a hair, so they are left to be found.
    let clamp = decimal(swing.clamp.signed().0, 0);
    let push = decimal(answer.facts.pressure.value.0, 0);
    let push = format!("pushes {push} deg off square at worst");
    Some(match (swing.foot, size) {
        (SwingingFoot::Roller { lever, .. }, Size::Free) => {
            let lever = length(lever, system);
            format!(
                "leave them open, `base ?  lever ? at ?`: {base}, {lever} and {clamp} deg then ({push})."
            )
        }
        _ => format!(
            "leave base and angle open, `base ?` and `at ?`: {base} and {clamp} deg then ({push})."
        ),
    })
}

/// Base circle, and the lever of a limb that swings.
fn sizes(said: &CamDrive, cam: &Cam) -> Vec<FittedSize> {
    let length = FittedSize::length;
    // A cam is cut for the base circle it was computed for: nothing is rounded.
    let exact = |size: FittedSize| FittedSize { drilled: size.exact, ..size };
    let mut sizes = vec![exact(length(SizeName::Base, cam.plan().base, said.base))];
    let lift = |lift| exact(length(SizeName::Lift, lift, said.lift));
    let open = said.lift.is_open() && said.lift.place.is_some();
    if let Moved::Slides(slide) = cam.plan().limb {
        sizes.extend(open.then(|| lift(slide.lift.abs())));
    }
    if let Moved::Swings(swing) = cam.plan().limb {
        if let SwingingFoot::Roller { lever, .. } = swing.foot {
            sizes.push(exact(length(SizeName::Lever, lever, said.lever)));
            sizes.extend(open.then(|| lift(lever * swing.lift.rad().0.abs())));
        }
        sizes.push(exact(FittedSize::angle(SizeName::Clamp, swing.clamp, said.clamp)));
    }
    sizes
}

/// Another cam that does it.
fn other(said: &CamDrive, cam: Cam, shaft: BoardPoint, ratio: Option<f64>) -> Option<Other> {
    let sizes = sizes(said, &cam).iter().map(|s| s.drilled).collect();
    let recipe = super::cam_recipe::recipe(&cam);
    let made = Built::new(cam, Way::Shaft(Shaft::turning(shaft))).ok()?;
    let course = Course { time_ratio: ratio, ..made.course };
    Some(Other { recipe, ..Other::moving(sizes, &course, borne(&made.way, &course, None)) })
}

/// How large the disc is, how steeply it pushes, how sharply it bends.
fn figures(cam: &Cam, facts: &Facts) -> Vec<Figure> {
    let length = |name, words, value| Figure { name, words, value: Measure::Length(value) };
    let mut figures = Vec::new();
    if let Moved::Slides(slide) = cam.plan().limb {
        figures.push(length("lift", "lifts", slide.lift.abs()));
    }
    figures.extend([
        length("nearest_radius", "disc of least radius", facts.nearest),
        length("farthest_radius", "greatest radius", facts.farthest),
    ]);
    figures.extend(facts.convex.map(|bend| length("least_bend_radius", "least bend", bend.value)));
    // In whole travels, whatever the limb moves by: times the lift, mm; times the swing, deg.
    let number = |name, words, value| Figure { name, words, value: Measure::Number(value) };
    let programme = &cam.plan().programme;
    let (speed, acceleration) = programme.peaks();
    figures.extend([
        number("peak_speed_per_rad", "fastest, travels for each rad of the cam", speed),
        number("peak_acceleration_per_rad2", "most acceleration, for each rad^2", acceleration),
    ]);
    let jerk = programme.peak_jerk();
    figures.extend(jerk.map(|j| number("peak_jerk_per_rad3", "most jerk, for each rad^3", j)));
    figures
}
