//! `solve`: what was found for every `?`, and putting it into the text.

use serde_json::{Value, json};

use super::edits::FileEdit;
use super::json::SCHEMA;
use super::places::Stretch;
use super::sizes;
use super::table::table;
use crate::finding::Place;
use crate::fit::SizeName;
use crate::units::System;

/// A limb with open sizes.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// The limb, as `figure.limb`.
    pub limb: String,
    /// The household its sizes are shown in.
    pub system: System,
    /// Every size that was open, in the order crank, rod, lever, clamp.
    pub open: Vec<OpenSize>,
    /// What works, best first: the first was chosen. Empty where nothing fits,
    /// which the findings explain.
    pub answers: Vec<Answer>,
    /// What is off in the builds of which a share fits: lengths and places, then angles;
    /// empty where that is not known.
    pub taken: [Vec<String>; 2],
}

/// One size that was open.
#[derive(Clone, Debug, PartialEq)]
pub struct OpenSize {
    /// "crank", "rod", "lever" or "at" (the clamp's word in the language).
    pub name: &'static str,
    /// What was found, as it is drilled or cut, written as the language reads it.
    pub found: Option<String>,
    /// The same in another household, where one was asked for.
    pub shown: Option<String>,
    /// Where its `?` stands; `None` where it was left out, or stands on the limb that
    /// this one mirrors.
    pub ask: Option<Place>,
    /// How it follows from what was found for another limb, where it does: "mirrored" of
    /// its image, "scaled" of the figure that this one is a copy of.
    pub follows: Option<&'static str>,
}

/// One way to build it.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Its sizes, in the order they are shown: mm, or deg.
    pub sizes: Vec<(SizeName, f64)>,
    /// Where its anchor stands on the board, where that was open, mm.
    pub at: Option<(f64, f64)>,
    /// Whether it slides: ends are mm then, else deg.
    pub slides: bool,
    /// Lower end of the motion.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Worst push angle, deg.
    pub push: f64,
    /// Share of builds inside the tolerance when each size is a little off,
    /// 0 to 1, to first order; `None` where it was not computed.
    pub fit: Option<f64>,
    /// The most that the limb moves for the crank, horn or spool that moves it, rad per rad
    /// or mm per rad: so much of the limb's torque, or push, that shaft bears; `None` where
    /// none turns.
    pub speed: Option<f64>,
    /// Slower way over faster; `None` where no crank moves it.
    pub time_ratio: Option<f64>,
}

/// What `--write` did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// It was not asked for.
    NotAsked,
    /// It was asked for, and refused.
    Refused,
    /// So many `?` were replaced.
    Replaced(usize),
}

/// The edits that answer every `?` in the text, and the limbs whose `?` got two
/// different answers because several figures share it.
#[must_use]
pub fn edits(
    questions: &[Question],
    stretch: &dyn Fn(Place) -> Option<Stretch>,
) -> (Vec<FileEdit>, Vec<String>) {
    let mut edits: Vec<FileEdit> = Vec::new();
    let mut torn = Vec::new();
    let mut spoilt = Vec::new();
    for question in questions {
        for open in &question.open {
            let (Some(found), Some(ask)) = (&open.found, open.ask) else { continue };
            let Some(Stretch { path, lo, hi, after }) = stretch(ask) else { continue };
            let edit = FileEdit { path, lo, hi, text: sizes::answer(found, &after) };
            let same = |e: &FileEdit| e.path == edit.path && e.lo == edit.lo;
            match edits.iter().find(|e| same(e)) {
                None => edits.push(edit),
                Some(other) if other.text == edit.text => {}
                Some(_) => {
                    torn.push(format!("{} of {}", open.name, question.limb));
                    spoilt.push(edit);
                }
            }
        }
    }
    edits.retain(|e| spoilt.iter().all(|s| s.path != e.path || s.lo != e.lo));
    (edits, torn)
}

/// The answers as people read them, of a yard with or without errors: a mechanism with one
/// has none.
#[must_use]
pub fn as_text(questions: &[Question], written: Written, fine: bool) -> String {
    let mut out = String::new();
    for question in questions {
        out.push_str(&one(question));
        out.push('\n');
    }
    if questions.is_empty() {
        out.push_str(match fine {
            true => "Nothing is open: every size is given.\n",
            false => "No size was found: none is open, or its mechanism has an error that is told here.\n",
        });
    }
    match written {
        Written::NotAsked | Written::Refused => {}
        Written::Replaced(0) => out.push_str("No `?` stands in the text; nothing was written.\n"),
        Written::Replaced(n) => {
            out.push_str(&format!("{n} `?` replaced; nothing else in the text was touched.\n"));
            if let Some(left) = left_out(questions) {
                out.push_str(&left);
            }
        }
    }
    out
}

/// Sizes that were left out have no `?` to replace: say how to fix them.
fn left_out(questions: &[Question]) -> Option<String> {
    let lines: Vec<String> = questions
        .iter()
        .filter_map(|q| {
            let sizes: Vec<String> = q
                .open
                .iter()
                .filter(|o| o.ask.is_none() && o.follows.is_none())
                .filter_map(|o| Some(format!("{} {}", o.name, o.found.as_ref()?)))
                .collect();
            (!sizes.is_empty()).then(|| format!("  {}  {}\n", q.limb, sizes.join("  ")))
        })
        .collect();
    (!lines.is_empty()).then(|| {
        format!(
            "Left out in the text, so still found anew each time; write them to keep them:\n{}",
            lines.concat()
        )
    })
}

fn one(question: &Question) -> String {
    let mut out = format!("{}\n", question.limb);
    for open in &question.open {
        let found = open.shown.as_ref().or(open.found.as_ref());
        let found = found.map_or("nothing fits", String::as_str);
        let how = match open.ask {
            Some(_) => "`?`",
            None => open.follows.unwrap_or("left out"),
        };
        out.push_str(&format!("  {:5}  {found}  ({how})\n", open.name));
    }
    if question.answers.is_empty() {
        return out;
    }
    let fit = question.answers.iter().any(|a| a.fit.is_some());
    let mut heading = vec![String::new()];
    let first = &question.answers[0];
    heading.extend(first.sizes.iter().map(|(name, _)| name.word().to_owned()));
    heading.extend([if first.slides { "slides" } else { "swing" }, "worst push"].map(String::from));
    let known = |of: fn(&Answer) -> Option<f64>| question.answers.iter().any(|a| of(a).is_some());
    let (speed, ratio) = (known(|a| a.speed), known(|a| a.time_ratio));
    if speed {
        heading.push(if first.slides { "torque for its push" } else { "of its torque" }.into());
    }
    heading.extend(ratio.then(|| "slower way".to_owned()));
    heading.extend(fit.then(|| "builds that fit".to_owned()));
    let mut rows = vec![heading];
    for (n, answer) in question.answers.iter().enumerate() {
        let mut row = row(answer, question.system);
        row.insert(0, if n == 0 { "  chosen".into() } else { format!("  or {n}") });
        let cell = |value: Option<f64>, text: &dyn Fn(f64) -> String| {
            value.map_or_else(|| "-".to_owned(), text)
        };
        row.extend(speed.then(|| {
            cell(answer.speed, &|s| match answer.slides {
                true => format!("{s:.1} N.mm per N"),
                false => format!("{:.0} %", s * 100.0),
            })
        }));
        row.extend(ratio.then(|| cell(answer.time_ratio, &|r| format!("{r:.2} x"))));
        row.extend(fit.then(|| cell(answer.fit, &|f| format!("{:.0} %", f * 100.0))));
        rows.push(row);
    }
    out + &table(&rows, 3) + &taken(question, fit)
}

/// What the builds of which a share fits are off in.
fn taken(question: &Question, fit: bool) -> String {
    let inch = question.system == System::Inch;
    let by = [if inch { "0.04 in" } else { "1 mm" }, "1 deg"];
    let off = question.taken.iter().zip(by).filter(|(what, _)| !what.is_empty());
    let off: Vec<String> =
        off.map(|(what, by)| format!("{} off by up to {by}", what.join(", "))).collect();
    if !fit || off.is_empty() {
        return String::new();
    }
    format!("  builds: {}\n", off.join("; "))
}

fn row(a: &Answer, system: System) -> Vec<String> {
    let cell = |(name, value): &(SizeName, f64)| match name {
        name if name.is_angle() => format!("{} deg", tenth(*value)),
        // A place is what is marked out, not how far it is from the pivot.
        SizeName::Ground if a.at.is_some() => {
            a.at.map_or_else(String::new, |at| sizes::place(at, system))
        }
        // A hole is told as it is drilled; what is cut to length has many digits.
        SizeName::Crank | SizeName::Lever => sizes::length(*value, system),
        _ => shown(*value, system),
    };
    let mut row: Vec<String> = a.sizes.iter().map(cell).collect();
    let unit = if a.slides { "mm" } else { "deg" };
    row.push(format!("{} to {} {unit}", tenth(a.low), tenth(a.high)));
    row.push(format!("{} of 90", tenth(a.push)));
    row
}

/// A number of a column, always to a tenth; a hair below nought is nought.
fn tenth(value: f64) -> String {
    let text = format!("{value:.1}");
    if text == "-0.0" { "0.0".to_owned() } else { text }
}

/// A length to look at: a rod that is not drilled in a row has many digits.
fn shown(mm: f64, system: System) -> String {
    match system {
        System::Inch => format!("{} in", sizes::decimal(mm / 25.4, 2)),
        System::Metric | System::Both => format!("{} mm", sizes::decimal(mm, 1)),
    }
}

/// The answers for programs.
#[must_use]
pub fn as_json(file: &str, questions: &[Question], written: Written) -> Value {
    let limbs: Vec<Value> = questions
        .iter()
        .map(|q| {
            let open: Vec<Value> = q.open.iter().map(open_json).collect();
            let answers: Vec<Value> = q.answers.iter().map(answer_json).collect();
            json!({ "limb": q.limb, "open": open, "answers": answers })
        })
        .collect();
    let mut whole = json!({ "schema": SCHEMA, "file": file, "limbs": limbs });
    match written {
        Written::NotAsked => {}
        Written::Refused => whole["replaced"] = json!(0),
        Written::Replaced(n) => whole["replaced"] = json!(n),
    }
    whole
}

fn open_json(open: &OpenSize) -> Value {
    let mut one = json!({ "name": open.name, "asked": open.ask.is_some() });
    if let Some(found) = &open.found {
        one["found"] = json!(found);
    }
    one
}

fn answer_json(a: &Answer) -> Value {
    let mut one = json!({ "min_transmission_deg": a.push });
    for (name, value) in &a.sizes {
        let unit = if name.is_angle() { "deg" } else { "mm" };
        one[format!("{}_{unit}", name.textbook())] = json!(value);
    }
    if let Some((x, y)) = a.at {
        one["anchor_x_mm"] = json!(x);
        one["anchor_y_mm"] = json!(y);
    }
    let unit = if a.slides { "mm" } else { "deg" };
    one[format!("low_{unit}")] = json!(a.low);
    one[format!("high_{unit}")] = json!(a.high);
    if let Some(fit) = a.fit {
        one["fit_share"] = json!(fit);
    }
    if let Some(speed) = a.speed {
        one[if a.slides { "max_speed_mm_per_rad" } else { "max_speed_ratio" }] = json!(speed);
    }
    if let Some(ratio) = a.time_ratio {
        one["time_ratio"] = json!(ratio);
    }
    one
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::ItemId;

    fn place(lo: u32) -> Place {
        Place { item: ItemId(0), lo, hi: lo + 1 }
    }

    fn left_out(name: &'static str, found: &str) -> OpenSize {
        OpenSize { name, found: Some(found.into()), shown: None, ask: None, follows: None }
    }

    fn question(crank: &str) -> Question {
        let answer = |crank: f64, fit| Answer {
            sizes: vec![
                (SizeName::Crank, crank),
                (SizeName::Lever, 101.6),
                (SizeName::Rod, 375.443),
                (SizeName::Clamp, -70.0),
            ],
            at: None,
            slides: false,
            low: 10.8,
            high: 54.9,
            push: 67.04,
            fit,
            speed: Some(0.3812),
            time_ratio: Some(1.042),
        };
        Question {
            limb: "baker.arm".into(),
            system: System::Inch,
            open: vec![
                OpenSize { ask: Some(place(6)), ..left_out("crank", crank) },
                left_out("rod", "14 25/32 in"),
            ],
            answers: vec![answer(38.1, Some(0.93)), answer(31.75, None)],
            taken: [vec!["crank".into(), "motor".into()], Vec::new()],
        }
    }

    #[test]
    fn answers_stand_in_a_table() {
        let want = "\
baker.arm
  crank  1 1/2 in  (`?`)
  rod    14 25/32 in  (left out)
              crank   lever        rod       clamp              swing   worst push   of its torque   slower way   builds that fit
  chosen   1 1/2 in    4 in   14.78 in   -70.0 deg   10.8 to 54.9 deg   67.0 of 90            38 %       1.04 x              93 %
  or 1     1 1/4 in    4 in   14.78 in   -70.0 deg   10.8 to 54.9 deg   67.0 of 90            38 %       1.04 x                 -
  builds: crank, motor off by up to 0.04 in

1 `?` replaced; nothing else in the text was touched.
Left out in the text, so still found anew each time; write them to keep them:
  baker.arm  rod 14 25/32 in
";
        assert_eq!(as_text(&[question("1 1/2 in")], Written::Replaced(1), true), want);
    }

    #[test]
    fn a_shared_ask_with_two_answers_is_left_as_it_is() {
        let at = |p: Place| {
            let lo = p.lo as usize;
            let after = " 1 to 2 in by 1/4 in".to_owned();
            Some(Stretch { path: "a.yard".into(), lo, hi: lo + 1, after })
        };
        let (same, torn) = edits(&[question("1 in"), question("1 in")], &at);
        assert_eq!((same.len(), torn.len()), (1, 0));
        assert_eq!(same[0].text, "1 in of");
        let (none, torn) = edits(&[question("1 in"), question("2 in")], &at);
        assert_eq!((none.len(), torn), (0, vec!["crank of baker.arm".to_owned()]));
    }

    #[test]
    fn a_hair_below_nought_is_nought() {
        assert_eq!((tenth(-0.04).as_str(), tenth(-0.06).as_str()), ("0.0", "-0.1"));
    }

    #[test]
    fn nothing_open_is_said() {
        assert_eq!(
            as_text(&[], Written::NotAsked, true),
            "Nothing is open: every size is given.\n"
        );
        let wrong = as_text(&[], Written::NotAsked, false);
        assert!(!wrong.contains("every size is given"), "{wrong}");
    }
}
