//! What was measured on the built limb: its mass and balance, and how it moves.

use crate::finding::{Finding, Place};
use crate::model::{DriveKind, Joint, Limb};
use crate::syntax::codes::{UNIT_WRONG, WORD_TWICE};
use crate::syntax::{Block, Got};
use crate::units::{Deg, Kg, Mm, NewtonMetre, Sec};

/// What a limb's `measured` may hold once: more than one `measured` may stand in a limb,
/// for what is different.
const MOTION: [(&str, &str); 4] = [
    ("ends", "the ends of its swing"),
    ("stroke", "the ends of its stroke"),
    ("tip-to-tip", "`tip-to-tip`"),
    ("ten-turns", "`ten-turns`"),
];

/// Reports a motion that is measured twice in one way: the limb as it is now moves in one
/// of the two at most.
pub(super) fn once(block: Block<'_>, limb: &str) -> Vec<Finding> {
    let mut found = Vec::new();
    for (field, words) in MOTION {
        let said = block.all("measured").filter_map(|c| c.value(field));
        let mut places = said.map(|v| v.text().place);
        let Some(first) = places.next() else { continue };
        found.extend(places.map(|again: Place| {
            let text = format!("{limb} has {words} measured twice.");
            Finding::new(&WORD_TWICE, again, text)
                .related("first said here", first)
                .help("keep the one that was measured on the limb as it is now.")
        }));
    }
    found
}

/// Reports a motion that is measured as a limb of another kind moves: a stroke on a pivot,
/// an angle on a guide, an end of what turns on and on.
pub(super) fn fits(block: Block<'_>, limb: &Limb) -> Vec<Finding> {
    let said = |field| {
        let places = block.all("measured").filter_map(move |c| c.value(field));
        places.map(|v| v.text().place).collect::<Vec<Place>>()
    };
    let drive = limb.drive.as_ref().map(|d| &d.mechanism);
    let (fields, message, help): (&[&str], _, _) = match &limb.joint {
        _ if matches!(drive, Some(DriveKind::Spin(_))) => (
            &["ends", "stroke", "tip-to-tip"],
            "a limb that turns on and on has no ends to be measured.",
            "time ten turns of its motor instead, such as `measured ten-turns 20 s`.",
        ),
        Joint::Slide { .. } => (
            &["ends"],
            "a limb on a guide is measured in lengths along it; an angle stands here.",
            "count both ends from the guide's first end, such as `measured stroke 2 mm to 81 mm`, or from end to end, such as \
             `measured tip-to-tip 79 mm`.",
        ),
        Joint::Pivot { at: Some(_), .. } | Joint::Pivot { open: Some(_), .. } => (
            &["stroke"],
            "a limb on a pivot is measured in angles; a stroke stands here.",
            "give both ends as directions from pivot to tip, such as `measured 118 deg to 160 deg`, or the length from \
             tip to tip, such as `measured tip-to-tip 369 mm`.",
        ),
        // A joint that was not understood: a guide, it may be.
        Joint::Pivot { .. } => return Vec::new(),
    };
    let places = fields.iter().flat_map(|&field| said(field));
    places.map(|place| Finding::new(&UNIT_WRONG, place, message).help(help)).collect()
}

/// Reads it all.
pub(super) fn read(block: Block<'_>, limb: &mut Limb) {
    let m = &mut limb.measured;
    let mass = |word: &str| block.find(word).and_then(|c| c.size::<Kg>("mass"));
    m.mass = mass("weighed").or(mass("mass")).or(m.mass);
    m.balance = block.find("balances").and_then(|c| c.size("at")).or(m.balance);
    if let Some(c) = block.find("centre")
        && let Some(at) = c.size::<Mm>("at")
    {
        m.centre = Some((at, c.size::<Deg>("angle").unwrap_or(Deg(0.0))));
    }
    m.inertia = block.find("inertia").and_then(|c| c.size("inertia")).or(m.inertia);
    m.ten_swings = block.find("ten-swings").and_then(|c| c.size::<Sec>("time")).or(m.ten_swings);
    for c in block.all("measured") {
        let ends = c.value("ends").and_then(|v| v.range::<Deg>());
        m.ends_read = c.value("ends").and_then(|v| finest(v.text().value)).map(Deg).or(m.ends_read);
        let stroke = c.value("stroke").and_then(|v| v.range::<Mm>());
        m.stroke_read = c.value("stroke").and_then(written).or(m.stroke_read);
        m.stroke = stroke.map(|r| r.map(|(a, b)| (a.min(b), a.max(b)))).or(m.stroke);
        m.tip_to_tip_read = c.value("tip-to-tip").and_then(written).or(m.tip_to_tip_read);
        m.ends = ends.map(|r| r.map(|(a, b)| (a.min(b), a.max(b)))).or(m.ends);
        m.tip_to_tip = c.get("tip-to-tip").or(m.tip_to_tip);
        m.ten_turns = c.size("ten-turns").or(m.ten_turns);
    }
    limb.friction = block.find("friction").and_then(|c| c.size("torque")).or(limb.friction);
    if let Some(c) = block.find("load")
        && let Some(torque) = c.size::<NewtonMetre>("torque")
    {
        limb.load = Some(if c.choice("turns") == Some("cw") { -torque } else { torque });
    }
}

/// The last decimal place that is written in a text, `0.01` of `118.25`: the coarsest
/// of its numbers; `None` where one has no decimals.
fn finest(text: &str) -> Option<f64> {
    let numbers = text.split(|c: char| !(c.is_ascii_digit() || c == '.'));
    let numbers = numbers.filter(|n| n.starts_with(|c: char| c.is_ascii_digit()));
    let places = numbers.map(|n| n.split_once('.').map_or(0, |(_, after)| after.len()));
    let fewest = places.min().filter(|&p| p > 0)?;
    Some(libm::pow(10.0, -(fewest.min(9) as f64)))
}

/// The last decimal place that is written of a length, whatever its unit.
fn written(value: Got<'_>) -> Option<Mm> {
    let text = value.text().value;
    // Of a range the end that is not nought tells the unit.
    let number = |t: &str| t.split_whitespace().next()?.parse::<f64>().ok().filter(|n| *n != 0.0);
    let unit = match value.range::<Mm>() {
        Some(range) => {
            let (from, to) = range.value;
            let (first, last) = text.split_once("to")?;
            number(first).map(|n| from / n).or_else(|| number(last).map(|n| to / n))?
        }
        None => value.quantity::<Mm>()?.value / number(text)?,
    };
    Some(unit.abs() * finest(text)?)
}
