//! Gestures: what a limb can be told to do.

use crate::finding::{Finding, Spanned};
use crate::model::{Action, Easing, Gesture, Joint, Span};
use crate::syntax::codes::{TIME_IMPLAUSIBLE, UNIT_WRONG};
use crate::syntax::words::{Row, Sign, Table, Take, key, may, must, must_key};
use crate::syntax::{Block, Clause, Got};
use crate::units::{Beats, Deg, Dimension as D, Hertz, Mm, Sec};

use super::codes;

/// A time in seconds or in music.
const SPAN: Take = Take::OneOf(&[D::Time, D::Music], Sign::Positive);

/// Ends nearer to one another than this are one, deg and mm: nobody sees or builds the
/// difference (common practice, no source).
const APART: f64 = 0.1;

/// No limb does anything in less (common practice, no source: the quickest servos take
/// eight times as long for 60 deg).
const QUICKEST: Sec = Sec(0.01);

const WITHIN: crate::syntax::words::Part =
    key("within", "within", Take::Quantity(D::Angle, Sign::Positive));

/// The words of `gesture`.
pub static GESTURE: Table = Table {
    name: "gesture",
    title: "What a limb can be told to do.",
    rows: &[
        Row::new(
            "sweep",
            "To and fro between two limb angles; passes through the values between.",
            &[must("range", Take::Range(D::Angle, Sign::Any)), WITHIN],
        ),
        Row::new(
            "bend",
            "To and fro between two angles counted from the axis of the limb that carries this one; `bend to A` goes to \
             one, and stays.",
            &[
                may("range", Take::Range(D::Angle, Sign::Any)),
                key("to", "to", Take::Quantity(D::Angle, Sign::Any)),
                key("over", "over", SPAN),
                WITHIN,
            ],
        ),
        Row::new(
            "stroke",
            "To and fro between two places on the slide, counted from its first end.",
            &[
                must("range", Take::Range(D::Length, Sign::Any)),
                key("within", "within", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        Row::new("cycle", "Time of one to and fro.", &[must("time", SPAN)]),
        Row::new(
            "accent",
            "The angle, or the place on the slide, that must be met on the beat.",
            &[must_key("at", "at", Take::OneOf(&[D::Angle, D::Length], Sign::Any))],
        ),
        Row::new(
            "shape",
            "How a free swing runs between its ends; of a crank `natural` asks that both ways take about as long.",
            &[must("shape", Take::Choice(&["natural", "smooth", "sharp"]))],
        ),
        Row::new(
            "turn",
            "To one angle, and stay.",
            &[must_key("to", "to", Take::Quantity(D::Angle, Sign::Any)), key("over", "over", SPAN)],
        ),
        Row::new(
            "pose",
            "Stay at one angle.",
            &[must("angle", Take::Quantity(D::Angle, Sign::Any))],
        ),
        Row::new(
            "follow",
            "Follow the loudness of a sound between two frequencies.",
            &[
                must("source", Take::Name("stem")),
                must("band", Take::Range(D::Frequency, Sign::Positive)),
                key("from", "range", Take::Range(D::Angle, Sign::Any)),
                may("speed", Take::Choice(&["quick", "soft"])),
            ],
        ),
        Row::new(
            "spin",
            "Turn on and on.",
            &[must("turn", Take::Quantity(D::Angle, Sign::Any)), must_key("per", "per", SPAN)],
        ),
        Row::new("pulse", "Up for a time, then down.", &[must_key("up for", "up", SPAN)]),
        Row::new("on", "Power on.", &[]),
        Row::new("off", "Power off.", &[]),
    ],
    bare: None,
};

/// A span of time as written; bars and eighths wait for the song's meter.
pub(super) fn span(got: Got<'_>) -> Option<Spanned<Span>> {
    if let Some(s) = got.quantity::<Sec>() {
        return Some(s.map(Span::Time));
    }
    let crate::syntax::Datum::Quantity(v) = got.value.datum() else { return None };
    let span = match got.value.unit()?.symbol {
        "bar" => Span::Bars(v),
        "eighth" => Span::Eighths(v),
        "beat" => Span::Beats(Beats::nearest(v)?),
        _ => return None,
    };
    Some(Spanned::new(span, got.place()))
}

fn span_of(clause: Clause<'_>, part: &str) -> Option<Spanned<Span>> {
    clause.value(part).and_then(span)
}

/// The range of a clause from its lower to its upper end, each at the range's place.
fn ends(clause: Clause<'_>) -> Option<(Spanned<Deg>, Spanned<Deg>)> {
    let range = clause.value("range")?.range::<Deg>()?;
    let (a, b) = range.value;
    Some((Spanned::new(a.min(b), range.place), Spanned::new(a.max(b), range.place)))
}

/// A gesture from its clause; `None` where nothing can be made of it (reported
/// by the reader, or here).
pub(super) fn gesture(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<Gesture> {
    let name = clause.text("name")?;
    let block = clause.block()?;
    super::names::declared(name, "gesture", findings);
    let Some((action, relative)) = action(block, findings) else {
        if !super::poisoned(clause) && findings_about(findings, clause) == 0 {
            findings.push(
                Finding::new(
                    &codes::GESTURE_EMPTY,
                    name.place,
                    format!("the gesture {} says nothing to do.", name.value),
                )
                .help("write what it does, such as `sweep 10 deg to 55 deg  cycle 2 s`."),
            );
        }
        return None;
    };
    accent_fits(block, &action, findings);
    too_quick(&action, findings);
    if let Action::Spin { turn, .. } = &action
        && turn.0 == 0.0
    {
        let message = format!("the gesture {} turns the limb by nothing.", name.value);
        findings.push(
            Finding::new(&codes::GESTURE_EMPTY, clause.place(), message)
                .help("say how far it turns: `spin 1 turn per 4 s`."),
        );
    }
    let shaped = block.find("shape").filter(|s| s.choice("shape") == Some("natural"));
    let natural = shaped.map(|s| s.place());
    let between = ["sweep", "bend", "stroke"].into_iter().find_map(|word| block.find(word));
    let downward = between.and_then(|c| c.value("range")).is_some_and(falls);
    Some(Gesture {
        name: name.map(str::to_owned),
        place: clause.place(),
        action,
        relative,
        natural,
        downward,
    })
}

/// Whether a range is written from its upper end down.
fn falls(got: Got<'_>) -> bool {
    let angles = got.range::<Deg>().map(|r| r.value.1 < r.value.0);
    angles.or_else(|| got.range::<Mm>().map(|r| r.value.1 < r.value.0)).unwrap_or(false)
}

/// An accent is measured as the motion is: in degrees of a sweep, in mm of a stroke.
fn accent_fits(block: Block<'_>, action: &Action, findings: &mut Vec<Finding>) {
    let Some(at) = block.find("accent").and_then(|a| a.value("at")) else { return };
    let message = match action {
        Action::Sweep { .. } if at.quantity::<Deg>().is_none() => {
            "the accent of a sweep is one of its angles; a length stands here."
        }
        Action::Stroke { .. } if at.quantity::<Mm>().is_none() => {
            "the accent of a stroke is a place on the slide; an angle stands here."
        }
        _ => return,
    };
    findings.push(
        Finding::new(&UNIT_WRONG, at.place(), message).help("take the unit of the motion's ends."),
    );
}

/// A rest is measured as the limb moves: in degrees on a pivot, in mm on a guide.
pub(super) fn rest_fits(block: Block<'_>, joint: &Joint, findings: &mut Vec<Finding>) {
    let Some(at) = block.find("rest").and_then(|c| c.value("at")) else { return };
    let (message, help) = match joint {
        Joint::Slide { .. } if at.quantity::<Mm>().is_none() => (
            "a limb on a guide rests at a place on it; an angle stands here.",
            "count from the guide's first end: `rest 20 mm`.",
        ),
        // Without a place the joint is one that was not understood: a guide, it may be.
        Joint::Pivot { at: Some(_), .. } | Joint::Pivot { open: Some(_), .. }
            if at.quantity::<Deg>().is_none() =>
        {
            (
                "a limb on a pivot rests at an angle; a length stands here.",
                "give the direction from pivot to tip: `rest 10 deg`.",
            )
        }
        _ => return,
    };
    findings.push(Finding::new(&UNIT_WRONG, at.place(), message).help(help));
}

/// A motion told to be done in no time.
fn too_quick(action: &Action, findings: &mut Vec<Finding>) {
    let time = match action {
        Action::Sweep { cycle, .. } | Action::Stroke { cycle, .. } => *cycle,
        Action::Turn { over, .. } => *over,
        Action::Spin { per, .. } => Some(*per),
        Action::Pulse { up } => Some(*up),
        _ => None,
    };
    let Some(Spanned { value: Span::Time(time), place }) = time else { return };
    if time >= QUICKEST {
        return;
    }
    let message = format!(
        "in {} s nothing moves a limb and what hangs on it; a hundredth of a second is the least.",
        time.0
    );
    findings.push(Finding::new(&TIME_IMPLAUSIBLE, place, message).help(
        "servos take a few tenths of a second for a swing, cranks and rams seconds: `cycle 2 s`.",
    ));
}

fn findings_about(findings: &[Finding], clause: Clause<'_>) -> usize {
    let (head, end) = (clause.head(), clause.block().map_or(clause.place(), Block::place));
    findings
        .iter()
        .filter_map(|f| f.place)
        .filter(|p| p.item == head.item && head.lo <= p.lo && p.hi <= end.hi)
        .count()
}

/// What the block says, and whether its angles count from the carrier.
fn action(block: Block<'_>, findings: &mut Vec<Finding>) -> Option<(Action, bool)> {
    if let Some(c) = block.find("sweep") {
        return Some((sweep(c, block, findings)?, false));
    }
    if let Some(c) = block.find("bend") {
        return match c.get("to") {
            Some(to) => Some((Action::Turn { to, over: span_of(c, "over") }, true)),
            None => Some((sweep(c, block, findings)?, true)),
        };
    }
    Some((other(block, findings)?, false))
}

fn sweep(c: Clause<'_>, block: Block<'_>, findings: &mut Vec<Finding>) -> Option<Action> {
    let (from, to) = ends(c)?;
    if to.value.0 - from.value.0 < APART {
        let message = if from.value == to.value {
            format!("this sweep begins and ends at {} deg.", from.value.0)
        } else {
            format!("this sweep goes over less than {APART} deg: nobody sees it move.")
        };
        findings.push(
            Finding::new(&codes::SWEEP_EMPTY, from.place, message)
                .help("give two different angles, or write `pose` for a limb that keeps still."),
        );
        return None;
    }
    if to.value.0 - from.value.0 >= 360.0 {
        findings.push(
            Finding::new(
                &codes::SWEEP_TOO_WIDE,
                from.place,
                format!("this sweep goes over {} deg, a whole turn or more.", (to.value - from.value).0),
            )
            .help("a sweep is less than a turn; for a limb that turns on and on write `spin 1 turn per 4 s`."),
        );
        return None;
    }
    let accent = block.find("accent").and_then(|a| a.get::<Deg>("at"));
    if let Some(a) = accent
        && !(from.value.0 <= a.value.0 && a.value.0 <= to.value.0)
    {
        findings.push(
            Finding::new(
                &codes::ACCENT_OUTSIDE_SWEEP,
                a.place,
                format!(
                    "the accent at {} deg lies outside the sweep from {} to {} deg.",
                    a.value.0, from.value.0, to.value.0
                ),
            )
            .help(format!(
                "put it at an end: `accent at {} deg`.",
                nearer(a.value, from.value, to.value).0
            )),
        );
    }
    Some(Action::Sweep {
        from,
        to,
        within: c.size("within"),
        cycle: block.find("cycle").and_then(|k| span_of(k, "time")),
        accent,
        easing: match block.find("shape").and_then(|s| s.choice("shape")) {
            Some("smooth") => Easing::Smooth,
            Some("sharp") => Easing::Sharp,
            _ => Easing::Natural,
        },
    })
}

fn nearer(at: Deg, low: Deg, high: Deg) -> Deg {
    if (at - low).abs() <= (at - high).abs() { low } else { high }
}

/// Every gesture but the sweep.
fn other(block: Block<'_>, findings: &mut Vec<Finding>) -> Option<Action> {
    if let Some(c) = block.find("stroke") {
        let range = c.value("range")?.range::<Mm>()?;
        let (a, b) = range.value;
        if (b - a).abs().0 < APART {
            let message = "this stroke begins and ends at one place: nothing slides.";
            findings.push(
                Finding::new(&codes::GESTURE_EMPTY, range.place, message)
                    .help("give two different places along the guide: `stroke 0 mm to 20 mm`."),
            );
            return None;
        }
        return Some(Action::Stroke {
            from: Spanned::new(a.min(b), range.place),
            to: Spanned::new(a.max(b), range.place),
            within: c.size("within"),
            cycle: block.find("cycle").and_then(|k| span_of(k, "time")),
            accent: block.find("accent").and_then(|a| a.get::<Mm>("at")),
        });
    }
    if let Some(c) = block.find("turn") {
        return Some(Action::Turn { to: c.get("to")?, over: span_of(c, "over") });
    }
    if let Some(c) = block.find("pose") {
        return Some(Action::Pose(c.get("angle")?));
    }
    if let Some(c) = block.find("follow") {
        return Some(Action::Follow {
            source: c.text("source")?.map(str::to_owned),
            band: c.value("band")?.range::<Hertz>()?.value,
            range: c.value("range").and_then(Got::range::<Deg>).map(|r| r.value),
            smoothing: match c.choice("speed") {
                Some("quick") => crate::music::Smoothing::Quick,
                Some("soft") => crate::music::Smoothing::Soft,
                _ => crate::music::Smoothing::Usual,
            },
        });
    }
    if let Some(c) = block.find("spin") {
        return Some(Action::Spin { turn: c.size("turn")?, per: span_of(c, "per")? });
    }
    if let Some(c) = block.find("pulse") {
        return Some(Action::Pulse { up: span_of(c, "up")? });
    }
    block.find("on").map(|_| Action::On).or_else(|| block.find("off").map(|_| Action::Off))
}
