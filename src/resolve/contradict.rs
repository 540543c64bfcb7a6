//! Words of one drive, or of one limb, that cannot both hold. Each is right by itself, so no reader of
//! one clause finds it; left alone, one of the two would silently win.

use crate::finding::{Code, Finding, Place, Severity};
use crate::model::{MotorKind, MotorType};
use crate::syntax::{Block, Clause, Got};
use crate::units::print::{self, decimal, length};
use crate::units::{Kg, Mm, Newton, NewtonMetre, System};

/// Two words that say different things of one.
pub static WORDS_CONTRADICT: Code = Code {
    word: "words-contradict",
    severity: Severity::Error,
    title: "two words that cannot both hold",
    explanation: "Each of the two words is right by itself, and together they describe nothing that can be built: a \
                  limb on a belt and on gears, a roller on a flat face. Which one is meant only you know; take \
                  the other out.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb sails { pivot (300, 800) mm  tip (500, 1000) mm\n    drive spin { motor wiper at (300, 600) mm  belt 20 40  gears 20 40 } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb sails { pivot (300, 800) mm  tip (500, 1000) mm\n    drive spin { motor wiper at (300, 600) mm  belt 20 40 } }\n}\n",
};

/// A drive as it is written, and what its words are held against.
pub(super) struct Said<'a> {
    /// `drive …`.
    pub drive: Clause<'a>,
    /// Whether the limb slides.
    pub slides: bool,
    /// What pushes it, where a motor does and it is known.
    pub motor: Option<&'a MotorType>,
}

/// Something a drive says.
#[derive(Clone, Copy)]
enum Word {
    /// A clause of its block.
    Clause(&'static str),
    /// A part of such a clause.
    Part(&'static str, &'static str),
    /// A part with a value: no question.
    Closed(&'static str, &'static str),
    /// One of the words a part chooses from.
    Choice(&'static str, &'static str, &'static str),
    /// Neither knife nor flat face: a roller runs on the cam, said or not.
    OnRoller,
    /// No clause of these.
    Without(&'static [&'static str]),
    /// A spring measured as something that turns, or as something that pushes.
    Turning,
    Pushing,
    /// `from LIMB`, or a motor.
    FromLimb,
    FromMotor,
    /// What the limb does.
    Slides,
    Turns,
    /// The kind of its motor.
    Motor(MotorKind),
    /// Its motor is known, and no air cylinder.
    NoAir,
}

/// Two that cannot both hold.
struct Pair {
    /// The drives it is about.
    of: &'static [&'static str],
    /// What stands.
    first: Word,
    /// What contradicts it, pointed at.
    second: Word,
    /// Why, and what to do.
    why: &'static str,
    help: &'static str,
}

const fn pair(
    of: &'static [&'static str],
    (first, second): (Word, Word),
    why: &'static str,
    help: &'static str,
) -> Pair {
    Pair { of, first, second, why, help }
}

use Word::{
    Choice, Clause as C, Closed, FromLimb, FromMotor, Motor, NoAir, OnRoller, Part, Pushing,
    Slides, Turning, Turns, Without,
};

/// What pushes a rod from limb to limb is no motor; a servo's limb without a rod has
/// nothing that a rod has; and so on, drive by drive.
static PAIRS: &[Pair] = &[
    pair(
        &["four-bar"],
        (FromLimb, C("motor")),
        "another limb pushes this one, and a motor is said too.",
        "take `motor` out, or leave `from` out of `drive four-bar`.",
    ),
    pair(
        &["four-bar"],
        (FromLimb, C("crank")),
        "a rod that another limb pushes has no crank.",
        "take `crank` out: `anchor` says where the rod begins.",
    ),
    pair(
        &["four-bar"],
        (FromMotor, C("anchor")),
        "the rod of a motor's crank begins at the crank's pin, not at an anchor.",
        "take `anchor` out, or write `drive four-bar from LIMB` where another limb pushes.",
    ),
    pair(
        ALL,
        (Part("lever", "at"), Part("lever", "clamp")),
        "`at` and `clamp` are one angle, and it is said twice.",
        "take one of them out.",
    ),
    pair(
        ALL,
        (Closed("motor", "pin"), Part("motor", "phase")),
        "the angle of this pin is said, and so is that it is to be found.",
        "take one of them out, or write `pin ?` before it.",
    ),
    pair(
        &["slotted-arm"],
        (Part("slot", "at"), Part("lever", "at")),
        "the slot lies in the lever, and its angle is said twice.",
        "take one of the two angles out.",
    ),
    pair(
        &["slotted-arm"],
        (Part("slot", "at"), Part("lever", "clamp")),
        "the slot lies in the lever, and its angle is said twice.",
        "take one of the two angles out.",
    ),
    pair(
        &["cam"],
        (Choice("follower", "follower", "flat"), C("roller")),
        "a flat face runs on the cam itself and has no roller.",
        "take `roller` out, or write `follower roller`.",
    ),
    pair(
        &["cam"],
        (Choice("follower", "follower", "knife"), C("roller")),
        "an edge runs on the cam itself and has no roller.",
        "take `roller` out, or write `follower roller`.",
    ),
    pair(
        &["cam"],
        (Choice("follower", "follower", "flat"), C("offset")),
        "a flat face is lifted just as far wherever the cam touches it: it has no offset.",
        "take `offset` out.",
    ),
    pair(
        &["cam"],
        (OnRoller, C("stand-off")),
        "a stand-off is that of a flat face, and a roller or an edge runs on this cam.",
        "take `stand-off` out, or write `follower flat`.",
    ),
    pair(
        &["cam"],
        (Slides, C("stand-off")),
        "the face of a limb that slides is square to its guide and has no stand-off.",
        "take `stand-off` out; a larger `base` carries it further from the shaft.",
    ),
    pair(
        &["cam"],
        (Slides, C("lever")),
        "a limb that slides has no lever: its follower stands on it.",
        "take `lever` out.",
    ),
    pair(
        &["cam"],
        (Turns, C("offset")),
        "how far a limb that turns stands beside the cam is said by motor and pivot.",
        "take `offset` out; a flat face has `stand-off`.",
    ),
    pair(
        &["cam", "cord"],
        (Choice("return", "by", "gravity"), Part("return", "spring")),
        "gravity is said to bring it back, and how strong a spring is.",
        "write `return spring` with its strength, or `return gravity` alone.",
    ),
    pair(
        &["cam"],
        (Slides, Turning),
        "the spring of a limb that slides pushes, and this one is measured as one that turns.",
        "give its force: `return spring 5 N`.",
    ),
    pair(
        &["cam", "cord"],
        (Turns, Pushing),
        "the spring of a limb that turns is known by its turning moment about the pivot, and this is a force.",
        "give force times distance from the pivot: `return spring 0.5 N.m`.",
    ),
    pair(
        &["servo"],
        (Without(&["crank", "rod", "lever"]), C("assembly")),
        "this limb sits straight on its servo's shaft; only a rod is put together one way or the other.",
        "take `assembly` out, or say `arm`, `rod` and `lever`.",
    ),
    pair(
        &["servo"],
        (Without(&["crank", "rod", "lever"]), C("standoff")),
        "this limb sits straight on its servo's shaft; no rod bridges a depth.",
        "take `standoff` out, or say `arm`, `rod` and `lever`.",
    ),
    pair(
        &["ram", "cylinder"],
        (Part("motor", "at"), C("anchor")),
        "the place of a ram or cylinder is its anchor, and it is said twice.",
        "take one of the two places out.",
    ),
    pair(
        &["cord"],
        (C("crank"), C("spool")),
        "a cord is drawn in by a crank or wound on a spool, not by both.",
        "take one of them out.",
    ),
    pair(
        &["cord"],
        (Motor(MotorKind::Ram), C("crank")),
        "a ram draws the cord in by its own stroke and has no crank.",
        "take `crank` out.",
    ),
    pair(
        &["cord"],
        (Motor(MotorKind::Ram), C("spool")),
        "a ram draws the cord in by its own stroke and has no spool.",
        "take `spool` out.",
    ),
    pair(
        &["cord"],
        (Motor(MotorKind::Cylinder), C("crank")),
        "a cylinder draws the cord in by its own stroke and has no crank.",
        "take `crank` out.",
    ),
    pair(
        &["cord"],
        (Motor(MotorKind::Cylinder), C("spool")),
        "a cylinder draws the cord in by its own stroke and has no spool.",
        "take `spool` out.",
    ),
    pair(&["cord"], (NoAir, C("bore")), OF_AIR, TAKE_AIR),
    pair(&["cord"], (NoAir, C("stroke")), OF_AIR, TAKE_AIR),
    pair(&["cord"], (NoAir, C("air")), OF_AIR, TAKE_AIR),
    pair(&["cord"], (NoAir, C("throttle")), OF_AIR, TAKE_AIR),
    pair(
        &["cord"],
        (Without(&["guides"]), C("pulleys")),
        "pulleys are what the cord runs over, and it has no guides.",
        "say where they are, `guides (x, y) mm`, or take `pulleys` out.",
    ),
    pair(&["spin"], (C("belt"), C("chain")), TWO_TRAINS, ONE_TRAIN),
    pair(&["spin"], (C("belt"), C("gears")), TWO_TRAINS, ONE_TRAIN),
    pair(&["spin"], (C("chain"), C("gears")), TWO_TRAINS, ONE_TRAIN),
    pair(&["spin"], (C("direct"), C("belt")), STRAIGHT, ONE_TRAIN),
    pair(&["spin"], (C("direct"), C("chain")), STRAIGHT, ONE_TRAIN),
    pair(&["spin"], (C("direct"), C("gears")), STRAIGHT, ONE_TRAIN),
    pair(
        &["spin"],
        (Without(&["belt", "chain", "ratio"]), C("breaks")),
        "this is the pull at which a belt jumps or a chain breaks, and there is neither.",
        "take `breaks` out, or say the `belt` or `chain`.",
    ),
];

const ALL: &[&str] = &["four-bar", "slotted-arm", "cam", "servo", "ram", "cylinder", "cord"];
const TWO_TRAINS: &str = "one thing leads from the motor to this limb, and two are said.";
const STRAIGHT: &str = "a limb straight on its motor's shaft has nothing between them.";
const OF_AIR: &str = "this is said of an air cylinder, and none draws this cord in.";
const TAKE_AIR: &str = "take it out, or let a cylinder pull: `motor cylinder-16 at (x, y) mm`.";
const ONE_TRAIN: &str = ONE;
const ONE: &str = "take one of them out.";

/// What contradicts itself in a drive.
pub(super) fn faults(said: &Said<'_>, system: System) -> Vec<Finding> {
    let kind = said.drive.choice("kind").unwrap_or_default();
    let pairs = PAIRS.iter().filter(|p| p.of.contains(&kind)).filter_map(|p| {
        let first = said.of(p.first)?;
        let second = said.of(p.second)??;
        Some(contradiction(p.why, p.help, second, first))
    });
    let mut found: Vec<Finding> = Vec::new();
    for fault in pairs.chain(said.ratio()).chain(said.stroke(system)).chain(said.bore(system)) {
        // A word that contradicts two others is taken out once.
        if found.iter().all(|f| f.place != fault.place) {
            found.push(fault);
        }
    }
    found
}

/// What contradicts itself in a limb's own words: an outline with the sizes of a plain
/// strip, and what is measured beside another number of the same in an engineer's words.
pub(super) fn of_limb(block: Block<'_>, system: System) -> Vec<Finding> {
    let strip = |word, help: &str| {
        let (outline, said) = (block.find("outline")?, block.find(word)?);
        let why = format!("a {word} is that of a plain strip, and this limb has an outline.");
        Some(contradiction(why, help, said.head(), Some(outline.head())))
    };
    let twice = |what: &str, (a, b): (String, String), at: Place, first: Place| {
        let why = format!("{what} {a} there and {b} here.");
        contradiction(why, ONE, at, Some(first))
    };
    let weight = || {
        let said = |word| block.find(word)?.get::<Kg>("mass");
        let (a, b) = (said("weighed")?, said("mass")?);
        let differ = (a.value - b.value).abs() > a.value * ALIKE;
        let told = |m: Kg| print::mass(m, system);
        let both = (told(a.value), told(b.value));
        differ.then(|| twice("this limb weighs", both, b.place, a.place))
    };
    let balance = || {
        let said = |word| block.find(word)?.get::<Mm>("at");
        let (a, b) = (said("balances")?, said("centre")?);
        let differ = (a.value.abs() - b.value.abs()).abs() > TOUCHES;
        let told = |l: Mm| length(l, system);
        let both = (told(a.value), told(b.value));
        differ.then(|| twice("its centre of mass is off the pivot by", both, b.place, a.place))
    };
    let found = [
        strip("width", "take `width` out, or the outline."),
        strip("tail", "draw the tail in the outline, or take the outline out."),
        weight(),
        balance(),
    ];
    found.into_iter().flatten().collect()
}

/// An `at` or `out` of an anchor that stands before any braces or guys: it is nobody's.
pub(super) fn of_anchor(block: Block<'_>) -> Vec<Finding> {
    let Some(anchor) = block.find("anchor") else { return Vec::new() };
    let stays = ["braces", "guys"].into_iter().filter_map(|word| anchor.value(word));
    let first = stays.map(|v| v.value.lo).min().unwrap_or(u32::MAX);
    let holder = ["ballast", "stakes", "screws"].into_iter().find_map(|word| anchor.value(word));
    let lone = |word| {
        let said = anchor.values(word).find(|v| v.value.lo < first)?;
        let why = format!("`{word}` is said of braces or guys, and none stand before it.");
        let help = format!("write `braces 2 at 700 mm out 1200 mm`, or take `{word}` out.");
        Some(contradiction(why, help, said.place(), holder.map(|h| h.place())))
    };
    ["at", "out"].into_iter().filter_map(lone).collect()
}

fn contradiction(
    why: impl Into<String>,
    help: impl Into<String>,
    at: Place,
    first: Option<Place>,
) -> Finding {
    let found = Finding::new(&WORDS_CONTRADICT, at, why).help(help);
    match first {
        Some(first) => found.related("and this", first),
        None => found,
    }
}

impl<'a> Said<'a> {
    fn clause(&self, word: &str) -> Option<Clause<'a>> {
        self.drive.block()?.find(word)
    }

    fn part(&self, word: &str, part: &str) -> Option<Got<'a>> {
        self.clause(word)?.value(part)
    }

    /// `None` where it is not said; its place where it has one.
    fn of(&self, word: Word) -> Option<Option<Place>> {
        let held = |holds: bool| holds.then_some(None);
        let kind = self.drive.value("kind").map(|k| k.place());
        let spring = || self.part("return", "spring");
        match word {
            Word::Clause(word) => self.clause(word).map(|c| Some(c.head())),
            Part(word, part) => self.part(word, part).map(|v| Some(v.place())),
            Closed(word, part) => {
                let open = self.part(word, part)?.open()?;
                (!open.value.asked).then_some(Some(open.place))
            }
            Choice(word, part, choice) => {
                let value = self.part(word, part)?;
                (value.choice() == Some(choice)).then_some(Some(value.place()))
            }
            OnRoller => match self.part("follower", "follower") {
                None => Some(kind),
                Some(foot) => (foot.choice() != Some("flat")).then_some(Some(foot.place())),
            },
            Without(words) => words.iter().all(|w| self.clause(w).is_none()).then_some(kind),
            Turning => spring()?.quantity::<NewtonMetre>().map(|q| Some(q.place)),
            Pushing => spring()?.quantity::<Newton>().map(|q| Some(q.place)),
            FromLimb => self.drive.value("from").map(|f| Some(f.place())),
            FromMotor => held(self.drive.value("from").is_none()),
            Slides => held(self.slides),
            Turns => held(!self.slides),
            NoAir => held(self.motor.is_some_and(|m| m.kind != MotorKind::Cylinder)),
            Motor(kind) => held(self.motor.is_some_and(|m| m.kind == kind)),
        }
    }

    /// A ratio beside teeth, or beside a limb straight on the shaft, that says another.
    fn ratio(&self) -> Option<Finding> {
        let clause = self.clause("ratio")?;
        let sign = if clause.has("reversed") { -1.0 } else { 1.0 };
        let value = clause.value("ratio")?;
        let said = sign * value.number()?;
        let beside =
            ["direct", "belt", "chain", "gears"].into_iter().find_map(|w| self.clause(w))?;
        let teeth: Vec<f64> =
            beside.values("teeth").filter_map(|v| v.count()).map(f64::from).collect();
        let made = match (beside.word(), &teeth[..]) {
            ("direct", _) => 1.0,
            (word, [first, .., last]) if *last > 0.0 => {
                let turned = match word {
                    "gears" => teeth.len().is_multiple_of(2),
                    _ => beside.has("crossed"),
                };
                if turned { -first / last } else { first / last }
            }
            _ => return None,
        };
        if (said - made).abs() <= ALIKE * made.abs() {
            return None;
        }
        let turns = |r: f64| {
            let way = if r < 0.0 { " the other way" } else { "" };
            format!("{} times{way}", decimal(r.abs(), 4))
        };
        let why = format!(
            "`ratio` turns the limb {} for a turn of its motor, `{}` {}.",
            turns(said),
            beside.word(),
            turns(made)
        );
        Some(contradiction(why, "take one of them out.", value.place(), Some(beside.head())))
    }

    /// A cylinder whose stroke is not what lies between its two lengths.
    fn stroke(&self, system: System) -> Option<Finding> {
        let stroke = self.clause("stroke")?.get::<Mm>("stroke")?;
        let lengths = self.part("length", "length")?.range::<Mm>()?;
        let moves = (lengths.value.1 - lengths.value.0).abs();
        // A shorter one is told by what it does not reach.
        if stroke.value <= moves + TOUCHES {
            return None;
        }
        let why = format!(
            "drawn in and pushed out this cylinder differs by {}, and its stroke is said to be {}.",
            length(moves, system),
            length(stroke.value, system)
        );
        let help = format!(
            "write `stroke {}` where its lengths are measured, or measure both lengths again.",
            length(moves, system)
        );
        Some(contradiction(why, help, stroke.place, Some(lengths.place)))
    }

    /// A cylinder with a bore of its own beside a sheet that says another. (One bore is
    /// sold with any stroke.)
    fn bore(&self, system: System) -> Option<Finding> {
        let motor = self.motor?;
        let (said, sheet) = (self.clause("bore")?.get::<Mm>("bore")?, motor.bore?);
        if (said.value - sheet).abs() <= TOUCHES {
            return None;
        }
        let why = format!(
            "{} has a bore of {}, and {} stand here.",
            motor.name,
            length(sheet, system),
            length(said.value, system)
        );
        Some(
            Finding::new(&WORDS_CONTRADICT, said.place, why)
                .help("take `bore` out, or name the cylinder that you have.")
                .related(format!("{} is described here", motor.name), motor.place),
        )
    }
}

/// Lengths that differ less are one, mm.
const TOUCHES: Mm = Mm(0.5);
/// Numbers that differ by less of themselves are one, written with a few digits.
const ALIKE: f64 = 0.005;
