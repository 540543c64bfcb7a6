//! Cues: one line of a show or phrase.

use crate::finding::{Finding, Place, Spanned, closest, list_of};
use crate::model::{Compass, Cue, CueLine, Lasts, Spread, Told, When, Who};
use crate::syntax::words::{Row, Sign};
use crate::syntax::{Clause, Cursor, Reading, Reported, ShapeKind};
use crate::units::{Beats, Dimension as D, Hertz, Sec, Share};

use super::codes_show::{CUE_UNCLEAR, SWING_TOO_FAR};
use super::span::{beats, next_span};
use super::told::{self, ACTIONS};

/// A line that begins with no word of the table is a cue.
pub const CUE: Row = Row::new(
    "",
    "WHEN WHO GESTURE [for T | until WHEN] [every T] [repeat N] [pass DIRECTION over T | outward from FIGURE over T | stagger T] [swing P] [seed N]; or WHEN PHRASE(…) [repeat N].",
    &[],
)
.many()
.raw();

/// Words that mean something in a cue: a number never takes one for its unit.
pub const WORDS: &[&str] = &[
    "bar", "beat", "for", "until", "every", "repeat", "pass", "outward", "stagger", "swing",
    "seed", "over", "onset", "between", "and", "from", "to", "within", "cycle", "accent", "at",
    "shape", "per", "up", "all", "rest", "quick", "soft", "sweep", "turn", "pose", "follow",
    "spin", "pulse", "stroke", "on", "off",
];
/// Words that may stand behind who and gesture.
const TAIL: &[&str] =
    &["for", "until", "every", "repeat", "pass", "outward", "stagger", "swing", "seed"];

/// Reads a cue; `None` where it could not be read (reported).
pub fn cue(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<Cue> {
    let mut c = Cursor::raw(clause, WORDS);
    let read = line(&mut c, clause);
    findings.extend(c.finish().0);
    read.ok()
}

fn line(c: &mut Cursor<'_>, clause: Clause<'_>) -> Result<Cue, Reported> {
    let (place, reading) = (clause.place(), clause.reading());
    let when = when(c, reading)?;
    let mut tail = Tail::default();
    if c.take_word("until").is_some() {
        tail.lasts = Some(Lasts::Until(self::when(c, reading)?));
    }
    let line = told_line(c)?;
    while !c.at_end() {
        tail.part(c, reading)?;
    }
    let line = match line {
        Line::Play { phrase, arguments } => {
            if let Some(place) = tail.spread_place {
                return Err(unclear(
                    c,
                    place,
                    "a phrase is not spread over a group; its lines are".to_owned(),
                ));
            }
            CueLine::Play { phrase, arguments }
        }
        Line::Tell { who, told } => CueLine::Tell {
            who,
            told,
            lasts: tail.lasts.unwrap_or(Lasts::Once),
            spread: tail.spread.unwrap_or(Spread::Together),
        },
    };
    Ok(Cue {
        place,
        when,
        line,
        every: tail.every,
        repeat: tail.repeat,
        swing: tail.swing,
        seed: tail.seed,
    })
}

/// Reports that something does not fit here.
fn unclear(c: &mut Cursor<'_>, place: Place, text: String) -> Reported {
    c.fail(Finding::new(&CUE_UNCLEAR, place, text))
}

/// What stands next does not belong there.
pub fn unexpected(c: &mut Cursor<'_>, want: &str, words: &[&'static str]) -> Reported {
    let Some(run) = c.run() else { return c.missing(c.here(), want) };
    let mut finding = Finding::new(
        &CUE_UNCLEAR,
        run.place,
        format!("`{}` does not fit here: {want} must stand here.", cut(run.value)),
    );
    if !words.is_empty() {
        finding =
            finding.help(format!("words that fit: {}.", list_of(words.iter().copied(), "or", 12)));
    }
    if let Some(near) = closest(run.value, words.iter().copied()) {
        finding = finding.label(format!("did you mean `{near}`?")).fix(
            format!("write `{near}`"),
            run.place,
            near,
        );
    }
    c.fail(finding)
}

/// A word for a message, cut where it is long.
fn cut(text: &str) -> String {
    match text.char_indices().nth(40) {
        Some((at, _)) => format!("{}…", &text[..at]),
        None => text.to_owned(),
    }
}

/// The first half of a cue after its time.
enum Line {
    Tell { who: Who, told: Told },
    Play { phrase: Spanned<String>, arguments: Vec<Spanned<String>> },
}

fn told_line(c: &mut Cursor<'_>) -> Result<Line, Reported> {
    if let Some(place) = c.take_word("all") {
        return Ok(Line::Tell { who: Who::All(place), told: told(c)? });
    }
    if !c.is(ShapeKind::Word) {
        return Err(unexpected(c, "a limb, a group, `all` or a phrase", &[]));
    }
    let name = c.name("limb, group or phrase")?.map(str::to_owned);
    if c.is(ShapeKind::Point) {
        return Ok(Line::Play { phrase: name, arguments: arguments(c)? });
    }
    // A gesture may be called `swing`; the word of a cue has a number behind it.
    let number = c.peek_at(1).is_some_and(|p| p.kind == ShapeKind::Number);
    let alone = match c.peek() {
        None => true,
        Some(p) => match p.text {
            "repeat" | "every" | "for" | "until" => true,
            "swing" | "seed" => number,
            _ => false,
        },
    };
    if alone {
        return Ok(Line::Play { phrase: name, arguments: Vec::new() });
    }
    Ok(Line::Tell { who: Who::Name(name), told: told(c)? })
}

/// `(bear.left-arm, cub.left-arm)`.
pub fn arguments(c: &mut Cursor<'_>) -> Result<Vec<Spanned<String>>, Reported> {
    let Some(mut inner) = c.inside() else { return Ok(Vec::new()) };
    let mut names = Vec::new();
    let mut read = Ok(());
    while read.is_ok() && !inner.at_end() {
        match inner.name("limb or group") {
            Ok(name) => names.push(name.map(str::to_owned)),
            Err(reported) => read = Err(reported),
        }
        if inner.take_op(",").is_none() && !inner.at_end() && !inner.is(ShapeKind::Word) {
            read = Err(unexpected(&mut inner, "a comma", &[]));
        }
    }
    let (found, _) = inner.finish();
    for finding in found {
        c.report(finding);
    }
    read.map(|()| names)
}

fn told(c: &mut Cursor<'_>) -> Result<Told, Reported> {
    if c.take_word("rest").is_some() {
        return Ok(Told::Rest);
    }
    match c.peek() {
        Some(p) if p.kind == ShapeKind::Word && ACTIONS.contains(&p.text) => {
            told::action(c).map(Told::Inline)
        }
        Some(p) if p.kind == ShapeKind::Word => {
            Ok(Told::Gesture(c.name("gesture")?.map(str::to_owned)))
        }
        _ => Err(unexpected(c, "a gesture", ACTIONS)),
    }
}

/// A position: `bar 28 beat 2 + 1/3`, `refrain + 2 bars`, `1:12.500`, `72.5 s`,
/// `every onset between 40 Hz and 150 Hz until bar 25`.
pub fn when(c: &mut Cursor<'_>, reading: &Reading) -> Result<Spanned<When>, Reported> {
    let from = c.here();
    let start = Place { lo: c.peek().map_or(from.lo, |p| p.place.lo), ..from };
    let value = if c.take_word("bar").is_some() {
        bar(c)?
    } else if c.take_word("every").is_some() {
        onsets(c, reading)?
    } else if c.is_number() {
        When::Time(Sec(c.quantity(&[D::Time], Sign::NotNegative)?.value))
    } else if c.is(ShapeKind::Word) {
        section(c)?
    } else {
        return Err(unexpected(c, "a time (`bar 9`, a section, `1:12.500`)", &[]));
    };
    // Up to the next shape, without the blanks in front of it.
    let read = reading.slice(start.lo, c.here().lo.max(start.lo)).trim_end();
    Ok(Spanned::new(value, Place { hi: start.lo + read.len() as u32, ..start }))
}

fn bar(c: &mut Cursor<'_>) -> Result<When, Reported> {
    let bar = i64::from(c.count("the bar")?.value);
    let mut beat = Beats::whole(1);
    if c.take_word("beat").is_some() {
        beat = exact_beats(c)?;
    }
    while let Some(sign) = plus(c) {
        beat = beat + offset_beats(c)? * sign;
    }
    Ok(When::Bar { bar, beat })
}

/// `+` or `-` with a number behind it.
fn plus(c: &mut Cursor<'_>) -> Option<i64> {
    let number = c.peek_at(1).is_some_and(|p| p.kind == ShapeKind::Number);
    if !number {
        return None;
    }
    if c.take_op("+").is_some() {
        return Some(1);
    }
    c.take_op("-").map(|_| -1)
}

fn exact_beats(c: &mut Cursor<'_>) -> Result<Beats, Reported> {
    let number = c.number()?;
    match beats(number.value) {
        Some(beats) => Ok(beats),
        None => Err(c.missing(number.place, "a beat of the bar")),
    }
}

/// `1/3`, or `1/3 beat`.
fn offset_beats(c: &mut Cursor<'_>) -> Result<Beats, Reported> {
    let offset = exact_beats(c)?;
    let _ = c.take_word("beat").or_else(|| c.take_word("beats"));
    Ok(offset)
}

fn section(c: &mut Cursor<'_>) -> Result<When, Reported> {
    let number_next = c.peek_at(1).is_some_and(|p| p.kind == ShapeKind::Number);
    if number_next {
        return Err(unexpected(c, "`bar` before its number", &["bar"]));
    }
    let name = c.name("section")?.map(str::to_owned);
    let (mut bars, mut rest) = (0i64, Beats(0));
    while let Some(sign) = plus(c) {
        let got = c.number()?;
        let whole = got.value.whole();
        if c.take_word("bar").is_some() || c.take_word("bars").is_some() {
            match whole.filter(|w| w.abs() <= 1_000_000) {
                Some(whole) => bars += sign * whole,
                None => return Err(c.missing(got.place, "a whole number of bars")),
            }
        } else if c.take_word("beat").is_some() || c.take_word("beats").is_some() {
            let Some(b) = beats(got.value) else {
                return Err(c.missing(got.place, "a number of beats"));
            };
            rest = rest + b * sign;
        } else {
            return Err(unexpected(c, "`bars` or `beats`", &["bars", "beats"]));
        }
    }
    Ok(When::Section { name, bars, beats: rest })
}

fn onsets(c: &mut Cursor<'_>, reading: &Reading) -> Result<When, Reported> {
    if c.take_word("onset").is_none() {
        return Err(unexpected(c, "`onset`", &["onset"]));
    }
    if c.take_word("between").is_none() {
        return Err(unexpected(c, "`between`", &["between"]));
    }
    let low = c.quantity(&[D::Frequency], Sign::Positive)?;
    if c.take_word("and").or_else(|| c.take_word("to")).is_none() {
        return Err(unexpected(c, "`and`", &["and"]));
    }
    let high = c.quantity(&[D::Frequency], Sign::Positive)?;
    if high.value <= low.value {
        return Err(unclear(
            c,
            low.place.to(high.place),
            "the band ends below its start: the lower frequency stands first".to_owned(),
        ));
    }
    let until = match c.take_word("until") {
        Some(_) => Some(Box::new(when(c, reading)?.value)),
        None => None,
    };
    Ok(When::Onsets { band: (Hertz(low.value), Hertz(high.value)), until })
}

/// What may stand behind who and gesture.
#[derive(Default)]
pub struct Tail {
    lasts: Option<Lasts>,
    every: Option<Spanned<crate::model::Span>>,
    repeat: Option<u32>,
    spread: Option<Spread>,
    spread_place: Option<Place>,
    swing: Option<Share>,
    seed: Option<u32>,
}

impl Tail {
    fn part(&mut self, c: &mut Cursor<'_>, reading: &Reading) -> Result<(), Reported> {
        let place = c.peek().map_or(c.here(), |p| p.place);
        let twice = if c.take_word("for").is_some() {
            self.lasts.replace(Lasts::For(next_span(c)?)).is_some()
        } else if c.take_word("until").is_some() {
            self.lasts.replace(Lasts::Until(when(c, reading)?)).is_some()
        } else if c.take_word("every").is_some() {
            self.every.replace(next_span(c)?).is_some()
        } else if c.take_word("repeat").is_some() {
            self.repeat.replace(count(c, "how many times", 1)?).is_some()
        } else if c.take_word("swing").is_some() {
            self.swing.replace(swing(c)?).is_some()
        } else if c.take_word("seed").is_some() {
            self.seed.replace(count(c, "the seed", 0)?).is_some()
        } else if let Some(spread) = spread(c)? {
            self.spread_place = Some(place);
            self.spread.replace(spread).is_some()
        } else {
            return Err(unexpected(c, "the end of the cue or one of its words", TAIL));
        };
        if twice {
            return Err(unclear(c, place, "this is said twice in one cue".to_owned()));
        }
        Ok(())
    }
}

fn count(c: &mut Cursor<'_>, what: &str, least: u32) -> Result<u32, Reported> {
    let got = c.count(what)?;
    if got.value < least {
        return Err(unclear(c, got.place, format!("{what}: at least {least}")));
    }
    Ok(got.value)
}

/// The share of a beat at which its second half begins: 50 % is straight.
fn swing(c: &mut Cursor<'_>) -> Result<Share, Reported> {
    let got = c.quantity(&[D::Share], Sign::Positive)?;
    if !(0.5..=0.75).contains(&got.value) {
        return Err(c.fail(
            Finding::new(
                &SWING_TOO_FAR,
                got.place,
                format!(
                    "swing {} % does not swing: 50 % is straight, 75 % the most.",
                    got.value * 100.0
                ),
            )
            .help("a light swing is 58 %, a triplet 66.7 %."),
        ));
    }
    Ok(Share(got.value))
}

fn spread(c: &mut Cursor<'_>) -> Result<Option<Spread>, Reported> {
    if c.take_word("stagger").is_some() {
        return Ok(Some(Spread::Stagger(next_span(c)?.value)));
    }
    if c.take_word("pass").is_some() {
        let from = side(c)?;
        if c.take_word("to").is_none() {
            return Err(unexpected(c, "`to` and the other side", &["to"]));
        }
        let to = side(c)?;
        if from.value == to.value {
            return Err(unclear(
                c,
                from.place.to(to.place),
                "it passes from one side to another".to_owned(),
            ));
        }
        return Ok(Some(Spread::Pass { from: from.value, to: to.value, over: over(c)? }));
    }
    if c.take_word("outward").is_some() {
        if c.take_word("from").is_none() {
            return Err(unexpected(c, "`from` and a figure", &["from"]));
        }
        let from = c.name("figure")?.map(str::to_owned);
        return Ok(Some(Spread::Outward { from, over: over(c)? }));
    }
    Ok(None)
}

fn side(c: &mut Cursor<'_>) -> Result<Spanned<Compass>, Reported> {
    let word = c.choice("the side", Compass::WORDS)?;
    let side = Compass::from_word(Compass::WORDS[word.value]);
    Ok(word.map(|_| side.unwrap_or(Compass::North)))
}

fn over(c: &mut Cursor<'_>) -> Result<crate::model::Span, Reported> {
    if c.take_word("over").is_none() {
        return Err(unexpected(c, "`over` and how long it takes", &["over"]));
    }
    Ok(next_span(c)?.value)
}
