//! From a help to what is typed, and from there to the text.

use std::sync::Arc;

use yardwright::finding::{Edit, Finding, Fix, ItemId, Place};
use yardwright::resolve::ROOT;
use yardwright::syntax::words::{BlockRule, Row, Table};
use yardwright::syntax::{Block, Clause, Got, Reading, read};

/// One thing to type.
#[derive(Clone, Debug, PartialEq)]
pub enum Do {
    /// Clauses, each in the place of the one of its word, or behind the others of its block.
    Say(String),
    /// Another value of a word: `lever`, "", `75 mm`; with a key: `lever`, `at`, `177 deg`.
    Size(&'static str, &'static str, String),
    /// The place of the limb's motor.
    Motor(String),
    /// The place of the limb's anchor.
    Anchor(String),
    /// The ends of what the limb is asked for.
    Ask(String),
    /// So much further from the people.
    Back(String),
    /// A mend that comes with the finding: stretches of the text and what stands there then.
    Mend(Vec<(usize, usize, String)>),
}

impl Do {
    /// A mend, where all its places are in the text.
    pub fn mend(fix: &Fix, at: impl Fn(Place) -> Option<(usize, usize)>) -> Option<Self> {
        let edit = |e: &Edit| at(e.place).map(|(lo, hi)| (lo, hi, e.text.clone()));
        Some(Self::Mend(fix.edits.iter().map(edit).collect::<Option<_>>()?))
    }
}

/// Words of helps between which the ways stand.
const OR: &[&str] = &["; or ", ", or ", "; ", ": ", " or "];

/// What begins an example, or a thing of the bench: nothing behind it is typed as it stands.
const EXAMPLES: &[&str] = &["such as", "are usual", "one-way on"];

/// The ways a help names that can be typed.
pub fn ways(help: &str) -> Vec<Vec<Do>> {
    let mut all: Vec<Vec<Do>> = Vec::new();
    // Which one is not said.
    if help.contains("there is a rod that") {
        return all;
    }
    // What is told of other limbs, and of when to bring it in, is no thing to do.
    let help = help.split(" The same shows").next().unwrap_or_default();
    let help = help.split(" As it is, ").next().unwrap_or_default();
    let mut parts = vec![help.to_owned()];
    for or in OR {
        parts = parts.iter().flat_map(|p| apart(p, or)).collect();
    }
    for part in parts.iter().filter(|p| !EXAMPLES.iter().any(|e| p.contains(e))) {
        if let Some((from, to)) = between(part) {
            all.extend([from, to].map(|rod| vec![Do::Size("rod", "", rod)]));
            continue;
        }
        let way: Vec<Do> = part.split(" and ").flat_map(typed).collect();
        let whole = part.split(" and ").all(|p| !typed(p).is_empty());
        if whole && !all.contains(&way) {
            all.push(way);
        }
    }
    all
}

/// Cuts at a word outside of backticks.
fn apart(text: &str, at: &str) -> Vec<String> {
    let mut parts = vec![String::new()];
    for piece in text.split(at) {
        let last = parts.last_mut().unwrap();
        if last.matches('`').count() % 2 == 1 {
            last.push_str(at);
            last.push_str(piece);
        } else if last.is_empty() && parts.len() == 1 {
            parts[0].push_str(piece);
        } else {
            parts.push(piece.to_owned());
        }
    }
    parts
}

/// A quantity at the start of a text: `3 1/2 in`, `30 mm`, `-10 deg`.
fn quantity(text: &str) -> Option<String> {
    let mut words = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches([',', '.', ';', ':', ')']);
        let number = bare.trim_start_matches('-').starts_with(|c: char| c.is_ascii_digit());
        words.push(bare);
        if !number {
            return (words.len() > 1).then(|| words.join(" "));
        }
    }
    None
}

fn after<'a>(text: &'a str, words: &str) -> Option<&'a str> {
    text.split_once(words).map(|(_, rest)| rest)
}

/// "a rod between 219 mm and 297 mm".
fn between(part: &str) -> Option<(String, String)> {
    let rest = after(part, "with a rod between ")?;
    Some((quantity(rest)?, quantity(after(rest, " and ")?)?))
}

/// What a piece of a help says to type.
fn typed(piece: &str) -> Vec<Do> {
    let clauses: Vec<&str> = piece.split('`').skip(1).step_by(2).collect();
    // A word alone is named, not written out; neither is one with a blank left in it.
    let written = |c: &&str| {
        let blank = ["…", "(x,", "NAME", "FILE", "at ?"].iter().any(|b| c.contains(b));
        c.contains(' ') && !blank
    };
    if !clauses.is_empty() {
        let whole = clauses.iter().all(written);
        return clauses.iter().filter(|_| whole).map(|c| Do::Say((*c).to_owned())).collect();
    }
    let size = |words: &str, word: &'static str, key: &'static str| {
        Some(vec![Do::Size(word, key, quantity(after(piece, words)?)?)])
    };
    let four = || {
        let [crank, rod, lever] =
            ["crank ", "rod ", "lever "].map(|w| after(piece, w).and_then(quantity));
        let clamp = after(piece, " at ").and_then(quantity);
        Some(vec![
            Do::Size("crank", "", crank?),
            Do::Size("rod", "", rod?),
            Do::Size("lever", "", lever?),
            Do::Size("lever", "at", clamp?),
        ])
    };
    let point = |words: &str| {
        let rest = after(piece, words)?;
        let end = rest.find(')')?;
        let unit = rest[end + 1..].split_whitespace().next()?.trim_end_matches([',', ';', '.']);
        Some(format!("{} {unit}", &rest[..=end]))
    };
    let one = |word: &'static str| after(piece, &format!("{word} ")).and_then(quantity);
    // "crank 30 mm, rod 190 mm does it.", "with crank 30 mm it works at (300, 400) mm."
    let together = || {
        let does =
            piece.contains("does it") || piece.contains("do it") || piece.contains("it works at ");
        let sizes = ["crank", "rod", "lever"].into_iter();
        let mut all: Vec<Do> = sizes.filter_map(|w| Some(Do::Size(w, "", one(w)?))).collect();
        all.extend(
            after(piece, "lever ")
                .filter(|_| one("lever").is_some())
                .and_then(|p| p.split_once(" at "))
                .and_then(|(_, p)| Some(Do::Size("lever", "at", quantity(p)?))),
        );
        all.extend(after(piece, "slot at ").and_then(quantity).map(|a| Do::Size("slot", "at", a)));
        all.extend(point("it works at ").map(Do::Motor));
        (does && !all.is_empty()).then_some(all)
    };
    let ask = || {
        let rest = after(piece, "ask for ")?;
        let (from, rest) = rest.split_once(" to ")?;
        let to = quantity(rest)?;
        let unit = to.split_whitespace().last()?;
        Some(vec![Do::Ask(format!("{from} {unit} to {to}"))])
    };
    let say = |words: &str, clause: &str| {
        let said = quantity(after(piece, words)?)?;
        Some(vec![Do::Say(format!("{clause} {said}"))])
    };
    // The beats it keeps always stand last.
    let always = piece.rsplit(", ").next().filter(|p| p.ends_with("always."));
    let found = [
        four().or_else(together),
        size("clamp the lever at ", "lever", "at"),
        size("a lever of ", "lever", ""),
        after(piece, "a lever of ")
            .and_then(|p| p.split_once(" at "))
            .and_then(|(_, p)| Some(vec![Do::Size("lever", "at", quantity(p)?)])),
        size("a lever hole at ", "lever", ""),
        size("a crank hole at ", "crank", ""),
        size("an arm of ", "crank", ""),
        size("a rod of ", "rod", ""),
        size("a turn in ", "cycle", ""),
        match always {
            Some(always) => quantity(always).map(|t| vec![Do::Size("cycle", "", t)]),
            None => size("it keeps ", "cycle", ""),
        },
        size("a base circle of ", "base", ""),
        size("a belt of ", "belt", "length"),
        size("a chain of ", "chain", "length"),
        size("a crank of ", "crank", ""),
        size("a horn of ", "crank", ""),
        size("a horn hole at ", "crank", ""),
        size("the lever at ", "lever", "at"),
        size("the slot at ", "slot", "at"),
        size("a cord of ", "length", ""),
        point("the motor at ").map(|at| vec![Do::Motor(at)]),
        point("the anchor at ").map(|at| vec![Do::Anchor(at)]),
        point("at ").filter(|_| piece.ends_with(" it works.")).map(|at| vec![Do::Anchor(at)]),
        ask(),
        say("a bushing of ", "bushing nylon length"),
        after(piece, "set it ").or(after(piece, "stand the figure ")).and_then(|p| {
            let far = quantity(p).filter(|_| p.contains("further back"));
            Some(vec![Do::Back(far?)])
        }),
    ];
    match found {
        [Some(four), ..] => four,
        rest => rest.into_iter().flatten().flatten().collect(),
    }
}

/// A text with something typed into it.
struct Typing<'a> {
    text: String,
    finding: &'a Finding,
    /// Where it is told, as long as nothing is typed before it.
    at: Option<(usize, usize)>,
}

/// The text with a way gone; `None` where that is typed nowhere in it.
pub fn done(
    text: &str,
    (finding, at): (&Finding, Option<(usize, usize)>),
    way: &[Do],
) -> Option<String> {
    let mut typing = Typing { text: text.to_owned(), finding, at };
    for one in way {
        typing.one(one)?;
    }
    (typing.text != text).then_some(typing.text)
}

impl Typing<'_> {
    fn reading(&self) -> Reading {
        read(ItemId(0), Arc::from(self.text.as_str()), &ROOT, &mut Vec::new())
    }

    fn one(&mut self, one: &Do) -> Option<()> {
        match one {
            Do::Say(clauses) => {
                for clause in clauses.split("  ") {
                    self.say(clause)?;
                }
                Some(())
            }
            Do::Size(word, key, value) => self.size(word, key, value),
            Do::Motor(place) => self.motor(place),
            Do::Anchor(place) => self.anchor(place),
            Do::Ask(ends) => self.ask(ends),
            Do::Back(far) => self.back(far),
            Do::Mend(edits) => {
                for (lo, hi, text) in edits.iter().rev() {
                    self.text.replace_range(*lo..*hi, text);
                }
                Some(())
            }
        }
    }

    fn replace(&mut self, (lo, hi): (u32, u32), with: &str) {
        self.text.replace_range(lo as usize..hi as usize, with);
    }

    /// The limb's own block; of an image that has none, that of the limb it is the image of.
    fn limb<'r>(&self, reading: &'r Reading) -> Option<Clause<'r>> {
        let figure = named(reading.top(), "figure", self.finding.figure.as_deref()?)?.block()?;
        let limb = named(figure, "limb", self.finding.limb.as_deref()?)?;
        match (limb.block(), limb.text("mirrors")) {
            (None, Some(original)) => named(figure, "limb", original.value),
            _ => Some(limb),
        }
    }

    /// The blocks a clause may belong to, the nearest first.
    fn blocks<'r>(&self, reading: &'r Reading) -> Vec<(Block<'r>, &'static Table)> {
        let mut all = Vec::new();
        let mut add = |c: Option<Clause<'r>>| {
            all.extend(c.and_then(|c| Some((c.block()?, table(c)?))));
        };
        let limb = self.limb(reading);
        let inside = limb.and_then(Clause::block);
        add(inside.and_then(|l| l.find("drive")));
        add(limb);
        // The gesture it is told of before the others.
        let told = |c: &Clause<'_>| {
            let (lo, hi) = (c.place().lo as usize, c.place().hi as usize);
            self.at.is_none_or(|at| !(lo <= at.0 && at.1 <= hi))
        };
        let mut gestures: Vec<_> = inside.into_iter().flat_map(|l| l.all("gesture")).collect();
        gestures.sort_by_key(told);
        gestures.into_iter().for_each(|c| add(Some(c)));
        let figure = self.finding.figure.as_deref();
        add(figure.and_then(|f| named(reading.top(), "figure", f)));
        if figure.is_none() {
            reading.top().clauses().for_each(|c| add(Some(c)));
        }
        if let Some(motor) = self.motor_name(reading) {
            add(named(reading.top(), "motor", &motor));
        }
        all
    }

    /// What the limb's motor is called in the library or at the top of the file.
    fn motor_name(&self, reading: &Reading) -> Option<String> {
        let limb = self.limb(reading)?.block()?;
        let said = limb.find("drive")?.block()?.find("motor")?.text("name")?.value;
        let figure = named(reading.top(), "figure", self.finding.figure.as_deref()?)?.block()?;
        let own = figure.all("motor").find(|m| m.text("name").is_some_and(|n| n.value == said));
        let kind = own.and_then(|m| m.text("type")).map_or(said, |k| k.value);
        Some(kind.to_owned())
    }

    fn say(&mut self, clause: &str) -> Option<()> {
        let word = clause.split_whitespace().next()?;
        if word == "limit" || word == "plate" {
            return self.behind_motor(word, clause);
        }
        if word == "at" {
            return self.motor(clause.strip_prefix("at ")?);
        }
        if word == "within" {
            return self.in_gesture(word, clause);
        }
        let reading = self.reading();
        let (block, _) = self.blocks(&reading).into_iter().find(|(_, t)| row(t, word).is_some())?;
        let there = block.clauses().find(|c| c.word() == word || c.row().also.contains(&word));
        let at = match there {
            // A clause with a block of its own keeps it.
            Some(c) if c.block().is_some() => return None,
            Some(c) => (c.place().lo, c.place().hi),
            None => (block.place().hi - 1, block.place().hi - 1),
        };
        self.replace(at, &format!(" {clause} "));
        Some(())
    }

    /// `limit 4 A` behind the limb's motor, its own or the figure's.
    fn behind_motor(&mut self, key: &str, clause: &str) -> Option<()> {
        let reading = self.reading();
        let limb = self.limb(&reading)?.block()?;
        let own = limb.find("drive")?.block()?.find("motor")?;
        let figure = named(reading.top(), "figure", self.finding.figure.as_deref()?)?.block()?;
        let shared = figure.all("motor").find(|m| {
            let name = |c: &Clause<'_>| c.text("name").map(|n| n.value.to_owned());
            name(m) == name(&own)
        });
        let motor = shared.unwrap_or(own);
        match keyed(motor, key) {
            Some(v) => {
                let value = clause.strip_prefix(key)?.trim();
                self.replace((v.place().lo, v.place().hi), value);
            }
            None => self.replace((motor.place().hi, motor.place().hi), &format!(" {clause} ")),
        }
        Some(())
    }

    /// A key of what the limb is asked for: `within 1.7 deg`.
    fn in_gesture(&mut self, key: &str, clause: &str) -> Option<()> {
        let reading = self.reading();
        let limb = self.limb(&reading)?.block()?;
        let moves = limb
            .all("gesture")
            .filter_map(Clause::block)
            .flat_map(|g| g.clauses().collect::<Vec<_>>());
        let swing = moves.into_iter().find(|c| matches!(c.word(), "sweep" | "stroke" | "bend"))?;
        match keyed(swing, key) {
            Some(v) => self.replace((v.place().lo, v.place().hi), clause.strip_prefix(key)?.trim()),
            None => self.replace((swing.place().hi, swing.place().hi), &format!(" {clause} ")),
        }
        Some(())
    }

    fn size(&mut self, word: &str, key: &str, value: &str) -> Option<()> {
        let reading = self.reading();
        // What turns on and on is told its turns.
        let inside = self.limb(&reading).and_then(Clause::block);
        let mut moves = inside.into_iter().flat_map(|l| l.all("gesture")).filter_map(Clause::block);
        let spins = word == "cycle" && moves.any(|g| g.find("spin").is_some());
        let (word, key) = if spins { ("spin", "per") } else { (word, key) };
        let clauses =
            self.blocks(&reading).into_iter().flat_map(|(b, _)| b.clauses().collect::<Vec<_>>());
        let clause = clauses.into_iter().find(|c| c.word() == word || c.row().also.contains(&word));
        let Some(clause) = clause else {
            return (key.is_empty()).then(|| self.say(&format!("{word} {value}")))?;
        };
        match keyed(clause, key) {
            Some(v) => self.replace((v.place().lo, v.place().hi), value),
            None => {
                self.replace((clause.place().hi, clause.place().hi), &format!(" {key} {value} "))
            }
        }
        Some(())
    }

    fn motor(&mut self, place: &str) -> Option<()> {
        let reading = self.reading();
        let limb = self.limb(&reading)?.block()?;
        let own = limb.find("drive")?.block()?.find("motor")?;
        let figure = named(reading.top(), "figure", self.finding.figure.as_deref()?)?.block()?;
        let name = |c: &Clause<'_>| c.text("name").map(|n| n.value.to_owned());
        let motor = figure.all("motor").find(|m| name(m) == name(&own)).unwrap_or(own);
        match keyed(motor, "at") {
            Some(v) => self.replace((v.place().lo, v.place().hi), place),
            None => self.replace((motor.place().hi, motor.place().hi), &format!(" at {place} ")),
        }
        Some(())
    }

    fn anchor(&mut self, place: &str) -> Option<()> {
        let reading = self.reading();
        let limb = self.limb(&reading)?.block()?;
        match limb.find("drive")?.block()?.find("anchor") {
            Some(clause) => {
                self.replace((clause.place().lo, clause.place().hi), &format!("anchor {place}"));
                Some(())
            }
            None => self.motor(place),
        }
    }

    fn ask(&mut self, ends: &str) -> Option<()> {
        let reading = self.reading();
        let limb = self.limb(&reading)?.block()?;
        let gestures: Vec<_> = limb.all("gesture").filter_map(Clause::block).collect();
        let mut moves = gestures.iter().flat_map(|g| g.clauses().collect::<Vec<_>>());
        let swing = moves.find(|c| matches!(c.word(), "sweep" | "stroke" | "bend"))?;
        let range = swing.each_value().next()?;
        self.replace((range.place().lo, range.place().hi), ends);
        Some(())
    }

    /// The first coordinate of its place is the yard's x, the second its y; people stand south.
    fn back(&mut self, far: &str) -> Option<()> {
        let reading = self.reading();
        let set = named(reading.top(), "set", self.finding.figure.as_deref()?)?;
        let at = keyed(set, "at")?;
        let (x, y) = at.point()?.value;
        let (number, unit) = far.split_once(' ')?;
        let mm = number.parse::<f64>().ok()? * if unit == "m" { 1000.0 } else { return None };
        self.replace((at.place().lo, at.place().hi), &format!("({x}, {}) mm", y + mm));
        Some(())
    }
}

/// The value behind a key of a clause; with no key, the first.
fn keyed<'r>(clause: Clause<'r>, key: &str) -> Option<Got<'r>> {
    let part = clause.row().parts.iter().find(|p| p.key.unwrap_or("") == key)?;
    clause.value(part.name)
}

/// The clause of a word with this name.
fn named<'r>(block: Block<'r>, word: &'static str, name: &str) -> Option<Clause<'r>> {
    block.all(word).find(|c| c.text("name").is_some_and(|n| n.value == name))
}

fn row(table: &'static Table, word: &str) -> Option<&'static Row> {
    table.rows.iter().find(|r| r.word == word || r.also.contains(&word))
}

/// The table of a clause's block.
fn table(clause: Clause<'_>) -> Option<&'static Table> {
    match clause.row().block {
        BlockRule::None => None,
        BlockRule::May(table) | BlockRule::Must(table) => Some(table),
        BlockRule::ByChoice(part, tables) => {
            let chosen = clause.choice(part)?;
            tables.iter().find(|(w, _)| *w == chosen).map(|(_, t)| *t)
        }
    }
}
