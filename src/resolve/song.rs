//! Songs: the sound, its meter, tempo, sections and stems.

use std::sync::Arc;

use crate::finding::{Finding, ItemId, Place, Spanned};
use crate::model::{Section, Song, Span, Stem};
use crate::music::{
    Heard, ListenError, Meter, Sound, TempoChange, TempoError, TempoMap, WavError, listen,
};
use crate::syntax::Clause;
use crate::syntax::words::{Row, Sign, Table, Take, flag, key, may, must, must_key};
use crate::units::{Beats, Bpm, Dimension as D, Sec};

use super::codes_show::{
    BEATS_BROKEN, METER_ASSUMED, METER_UNKNOWN, SECTION_OUTSIDE, SECTIONS_OVERLAP, SONG_BROKEN,
    SONG_MISSING, TEMPO_DOUBTFUL, TEMPO_UNCLEAR,
};
use super::span::{SPAN, span};

/// The words of `song`.
pub static SONG: Table = Table {
    name: "song",
    title: "A sound with its musical time.",
    rows: &[
        Row::new("title", "A text for people.", &[must("text", Take::Text)]),
        Row::new(
            "meter",
            "2/4, 3/4, 4/4, 6/8, 9/8 or 12/8; in the last three a beat is a dotted quarter.",
            &[must("meter", Take::Meter)],
        ),
        Row::new(
            "tempo",
            "`tempo listen`, or beats a minute; a later one with `at bar`, gradual with `over`.",
            &[
                flag("listen"),
                may("tempo", Take::Quantity(D::Tempo, Sign::Positive)),
                key("from", "from", Take::Quantity(D::Time, Sign::Any)),
                key("at bar", "bar", Take::Count),
                key("beat", "beat", Take::Number),
                key("over", "over", SPAN),
            ],
        )
        .many(),
        Row::new("beats", "A file with one beat time a line.", &[must("file", Take::Text)]),
        Row::new(
            "bar",
            "Where bar 1, the first full one, begins; a pick-up is bar 0.",
            &[must("bar", Take::Count), must_key("at", "at", Take::Quantity(D::Time, Sign::Any))],
        ),
        Row::new(
            "section",
            "A named stretch: from a bar on, for so long or until a bar.",
            &[
                must("name", Take::Name("section")),
                must_key("bar", "bar", Take::Count),
                key("beat", "beat", Take::Number),
                key("for", "for", Take::OneOf(&[D::Music], Sign::Positive)),
                key("until bar", "until", Take::Count),
            ],
        )
        .many(),
        Row::new(
            "stem",
            "A separate recording that belongs to the song, and where it starts.",
            &[
                must("name", Take::Name("stem")),
                must("file", Take::Text),
                key("at", "at", Take::Quantity(D::Time, Sign::Any)),
            ],
        )
        .many(),
    ],
    bare: None,
};

/// Why a file gives no sound.
#[derive(Clone, Debug, PartialEq)]
pub enum SoundFault {
    /// It is not there, may not be read, or lies outside the project; the reason
    /// in words.
    Missing(String),
    /// It is there and is no sound this program takes.
    Broken(WavError),
}

/// Sounds and texts beside the file a song is written in. Whoever has the disk
/// lends it here; resolving itself reads nothing.
pub trait SoundFiles {
    /// The sound at a path written in an item, relative to the item's file.
    ///
    /// # Errors
    /// Where there is no such sound.
    fn sound(&self, item: ItemId, path: &str) -> Result<Arc<Sound>, SoundFault>;

    /// The text at a path written in an item.
    ///
    /// # Errors
    /// Where there is no such text; the reason in words.
    fn text(&self, item: ItemId, path: &str) -> Result<Arc<str>, String>;

    /// The beats heard in a sound; whoever keeps results overrides it.
    ///
    /// # Errors
    /// Where no beats are heard.
    fn heard(&self, sound: &Arc<Sound>, meter: Meter) -> Result<Heard, ListenError> {
        listen(sound, meter)
    }
}

/// Reads a song; `None` where its musical time cannot be told (reported), so that
/// nothing can be counted in it. A sound that cannot be read leaves a song with a
/// written tempo countable.
pub fn song(
    clause: Clause<'_>,
    files: &dyn SoundFiles,
    findings: &mut Vec<Finding>,
) -> Option<Song> {
    let name = clause.text("name")?.map(str::to_owned);
    let file = clause.text("file").map(|f| f.map(str::to_owned));
    let sound = file.as_ref().and_then(|f| sound(f, files, findings));
    let Some(block) = clause.block() else {
        findings.push(no_tempo(name.place));
        return None;
    };
    let meter = meter(clause, &name, findings)?;
    let bar_one = block.find("bar").and_then(|b| bar_one(b, findings));
    let time = Time { meter, bar_one, sound: sound.as_ref(), files };
    let (tempo, confidence) = time.of(clause, &name, file.is_some(), findings)?;
    let mut song = Song {
        duration: sound.as_ref().map(|s| s.duration()),
        name,
        file,
        sound,
        meter,
        tempo,
        confidence,
        sections: Vec::new(),
        stems: Vec::new(),
    };
    for c in block.all("section") {
        let section = section(c, &song, findings);
        song.sections.extend(section);
    }
    check_sections(&mut song, findings);
    if song.duration.is_none() {
        song.duration = song.sections.iter().map(|s| song.tempo.time_of(s.end)).reduce(Sec::max);
    }
    song.stems = block.all("stem").filter_map(|c| stem(c, files, findings)).collect();
    Some(song)
}

/// Reads a sound and says what is wrong with it.
fn sound(
    file: &Spanned<String>,
    files: &dyn SoundFiles,
    findings: &mut Vec<Finding>,
) -> Option<Arc<Sound>> {
    match files.sound(file.place.item, &file.value) {
        Ok(sound) => Some(sound),
        Err(SoundFault::Missing(why)) => {
            findings.push(
                Finding::new(
                    &SONG_MISSING,
                    file.place,
                    format!("`{}` cannot be read: {why}.", file.value),
                )
                .help("the path counts from the folder of this file."),
            );
            None
        }
        Err(SoundFault::Broken(why)) => {
            let message = format!("`{}`: {why}.", file.value);
            let help = "copy the file again, or save it as WAV once more.";
            findings.push(Finding::new(&SONG_BROKEN, file.place, message).help(help));
            None
        }
    }
}

fn no_tempo(place: Place) -> Finding {
    Finding::new(&TEMPO_UNCLEAR, place, "this song has no tempo, so no beat of it can be told.")
        .help("write `tempo 116 bpm from 0.480 s`, `tempo listen` or `beats \"FILE\"`.")
}

fn meter(clause: Clause<'_>, name: &Spanned<String>, findings: &mut Vec<Finding>) -> Option<Meter> {
    let Some(said) = clause.block()?.find("meter") else {
        findings.push(
            Finding::new(&METER_ASSUMED, name.place, "no meter is written; 4/4 is assumed.")
                .help("write `meter 4/4` or the one it has."),
        );
        return Some(Meter::FourFour);
    };
    let text = said.text("meter")?;
    let meter = Meter::read(text.value);
    if meter.is_none() {
        let known: Vec<&str> = Meter::ALL.iter().map(|m| m.text()).collect();
        findings.push(
            Finding::new(
                &METER_UNKNOWN,
                text.place,
                format!("{} is not counted here.", text.value),
            )
            .help(format!("meters that are: {}.", crate::finding::list_of(known, "and", 9))),
        );
    }
    meter
}

/// The time of `bar 1 at`.
fn bar_one(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<Spanned<Sec>> {
    let bar = clause.value("bar")?;
    if bar.count() != Some(1) {
        findings.push(
            Finding::new(
                &TEMPO_UNCLEAR,
                bar.place(),
                "only bar 1, the first full one, can be put at a time.",
            )
            .fix("bar 1", bar.place(), "1"),
        );
        return None;
    }
    clause.get::<Sec>("at")
}

/// What a tempo map is made from.
struct Time<'a> {
    meter: Meter,
    bar_one: Option<Spanned<Sec>>,
    sound: Option<&'a Arc<Sound>>,
    files: &'a dyn SoundFiles,
}

impl Time<'_> {
    /// The tempo map and, where it was listened for, how sure it is.
    fn of(
        &self,
        clause: Clause<'_>,
        name: &Spanned<String>,
        has_file: bool,
        findings: &mut Vec<Finding>,
    ) -> Option<(TempoMap, Option<f64>)> {
        let block = clause.block()?;
        let tempos: Vec<Clause<'_>> = block.all("tempo").collect();
        if tempos.iter().any(|t| t.poisoned()) {
            return None;
        }
        if let Some(beats) = block.find("beats") {
            if let Some(other) = tempos.first() {
                findings.push(
                    Finding::new(
                        &TEMPO_UNCLEAR,
                        other.head(),
                        "the tempo is said twice: here and by the beats file.",
                    )
                    .related("the beats file", beats.head()),
                );
            }
            return Some((self.beats_file(beats, findings)?, None));
        }
        let listens = tempos.iter().find(|t| t.has("listen"));
        if let Some(listens) = listens {
            if let Some(other) = tempos.iter().find(|t| !t.has("listen")) {
                findings.push(
                    Finding::new(
                        &TEMPO_UNCLEAR,
                        other.place(),
                        "the tempo is either written or listened for.",
                    )
                    .related("listened for", listens.place()),
                );
            }
            return self.listened(*listens, has_file, findings);
        }
        let first = tempos.iter().find(|t| !t.has("bar"));
        let Some(first) = first else {
            findings.push(no_tempo(tempos.first().map_or(name.place, |t| t.head())));
            return None;
        };
        self.written(*first, &tempos, findings).map(|map| (map, None))
    }

    fn listened(
        &self,
        clause: Clause<'_>,
        has_file: bool,
        findings: &mut Vec<Finding>,
    ) -> Option<(TempoMap, Option<f64>)> {
        let Some(sound) = self.sound else {
            if !has_file {
                findings.push(
                    Finding::new(&TEMPO_UNCLEAR, clause.place(), "there is no sound to listen to.")
                        .help("name the file behind the song's name, or write the tempo."),
                );
            }
            return None;
        };
        let heard = match self.files.heard(sound, self.meter) {
            Ok(heard) => heard,
            Err(why) => {
                findings.push(Finding::new(&TEMPO_UNCLEAR, clause.place(), why.to_string()));
                return None;
            }
        };
        if heard.confidence < DOUBTFUL {
            findings.push(
                Finding::new(
                    &TEMPO_DOUBTFUL,
                    clause.place(),
                    format!(
                        "{:.1} bpm was heard, but faintly ({:.2} of 1).",
                        heard.tempo.0, heard.confidence
                    ),
                )
                .help("tap along to it, or write the tempo you know."),
            );
        }
        match heard.tempo_map(self.bar_one.map(|b| b.value)) {
            Ok(map) => Some((map, Some(heard.confidence))),
            Err(why) => {
                let place = self.bar_one.map_or(clause.place(), |b| b.place);
                findings.push(Finding::new(&TEMPO_UNCLEAR, place, why.to_string()));
                None
            }
        }
    }

    fn beats_file(&self, clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<TempoMap> {
        let file = clause.text("file")?;
        let text = match self.files.text(file.place.item, file.value) {
            Ok(text) => text,
            Err(why) => {
                let text = format!("`{}` cannot be read: {why}.", file.value);
                findings.push(Finding::new(&SONG_MISSING, file.place, text));
                return None;
            }
        };
        let lines = match crate::music::read_beats(&text) {
            Ok(lines) => lines,
            Err(faults) => {
                let first: Vec<String> = faults.iter().take(3).map(ToString::to_string).collect();
                let more = faults.len().saturating_sub(3);
                let more =
                    if more > 0 { format!("; and {more} more lines") } else { String::new() };
                let text = format!("`{}`: {}{more}.", file.value, first.join("; "));
                let help =
                    "write the time of each beat in seconds, one a line, each later than the last.";
                findings.push(Finding::new(&BEATS_BROKEN, file.place, text).help(help));
                return None;
            }
        };
        let times: Vec<Sec> = lines.iter().map(|l| l.time).collect();
        let bar_one =
            self.bar_one.map(|b| b.value).or_else(|| crate::music::first_downbeat(&lines));
        self.made(TempoMap::from_beats(self.meter, &times, bar_one), &[], file.place, findings)
    }

    fn written(
        &self,
        first: Clause<'_>,
        all: &[Clause<'_>],
        findings: &mut Vec<Finding>,
    ) -> Option<TempoMap> {
        let Some(tempo) = first.get::<Bpm>("tempo") else {
            findings.push(no_tempo(first.head()));
            return None;
        };
        let from = first.get::<Sec>("from");
        let bar_one = self.bar_one.map(|b| b.value).or(from.map(|f| f.value)).unwrap_or(Sec(0.0));
        self.check_grid(from, tempo.value, findings);
        let (mut changes, mut places) = (Vec::new(), Vec::new());
        for c in all {
            if c.has("bar") {
                changes.push(self.change(*c, findings)?);
                places.push(c.place());
            } else if c.head() != first.head() {
                findings.push(
                    Finding::new(&TEMPO_UNCLEAR, c.place(), "the first tempo is said twice.")
                        .help("a later tempo says where it begins: `tempo 126 bpm at bar 33`.")
                        .related("first said here", first.place()),
                );
            }
        }
        let map = TempoMap::new(self.meter, tempo.value, bar_one, &changes);
        self.made(map, &places, tempo.place, findings)
    }

    /// Beats counted from `from` and bar 1 must lie on one grid.
    fn check_grid(&self, from: Option<Spanned<Sec>>, tempo: Bpm, findings: &mut Vec<Finding>) {
        let (Some(from), Some(bar_one)) = (from, self.bar_one) else { return };
        let beats = (bar_one.value - from.value).0 * tempo.0 / 60.0;
        if (beats - beats.round()).abs() > 0.05 {
            findings.push(
                Finding::new(
                    &TEMPO_UNCLEAR,
                    bar_one.place,
                    format!("bar 1 lies {beats:.2} beats after the beat this tempo starts from."),
                )
                .help("bar 1 begins on a beat: correct one of the two times.")
                .related("beats counted from here", from.place),
            );
        }
    }

    fn change(&self, clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<TempoChange> {
        let tempo = clause.size::<Bpm>("tempo");
        let Some(tempo) = tempo else {
            findings.push(Finding::new(
                &TEMPO_UNCLEAR,
                clause.place(),
                "which tempo begins here is missing.",
            ));
            return None;
        };
        let bar = clause.value("bar")?;
        let beat = clause.value("beat").and_then(|b| b.number()).unwrap_or(1.0);
        let at = position(self.meter, i64::from(bar.count()?), Beats::nearest(beat)?);
        let at = match at {
            Ok(at) => at,
            Err(why) => {
                findings.push(Finding::new(&TEMPO_UNCLEAR, bar.place(), why.to_string()));
                return None;
            }
        };
        let over = match clause.value("over").and_then(span) {
            None => Beats(0),
            Some(over) => match musical(over.value, self.meter) {
                Some(beats) => beats,
                None => {
                    findings.push(Finding::new(
                        &TEMPO_UNCLEAR,
                        over.place,
                        "a tempo changes over bars or beats, not seconds.",
                    ));
                    return None;
                }
            },
        };
        Some(TempoChange { at, tempo, over })
    }

    /// The map, or what is wrong with it at the place that says so.
    fn made(
        &self,
        map: Result<TempoMap, TempoError>,
        changes: &[Place],
        first: Place,
        findings: &mut Vec<Finding>,
    ) -> Option<TempoMap> {
        let why = match map {
            Ok(map) => return Some(map),
            Err(why) => why,
        };
        let place = match why {
            TempoError::TempoOutOfRange { change: Some(i), .. }
            | TempoError::ChangeNotAfterBarOne { change: i, .. }
            | TempoError::RampBackwards { change: i, .. }
            | TempoError::ChangesOverlap { change: i, .. } => changes.get(i).copied(),
            TempoError::BarOneOutOfRange { .. } | TempoError::BarOneOffBeat { .. } => {
                self.bar_one.map(|b| b.place)
            }
            _ => None,
        };
        findings.push(Finding::new(&TEMPO_UNCLEAR, place.unwrap_or(first), why.to_string()));
        None
    }
}

/// Below this a listened tempo is doubtful (as the listener says of itself).
const DOUBTFUL: f64 = 0.3;

/// A bar and beat as beats after bar 1, before there is a tempo.
fn position(meter: Meter, bar: i64, beat: Beats) -> Result<Beats, TempoError> {
    TempoMap::steady(meter, Bpm(60.0), Sec(0.0))?.position(bar, beat)
}

/// A span in beats; `None` for seconds.
#[must_use]
pub fn musical(span: Span, meter: Meter) -> Option<Beats> {
    match span {
        Span::Time(_) => None,
        Span::Beats(b) => Some(b),
        Span::Bars(n) => Beats::nearest(n * meter.bar().count()),
        Span::Eighths(n) => Beats::nearest(n * meter.eighth().count()),
    }
}

fn section(clause: Clause<'_>, song: &Song, findings: &mut Vec<Finding>) -> Option<Section> {
    let name = clause.text("name")?.map(str::to_owned);
    let bar = clause.value("bar")?;
    let beat = clause.value("beat").and_then(|b| b.number()).unwrap_or(1.0);
    let start = song.tempo.position(i64::from(bar.count()?), Beats::nearest(beat)?);
    let start = match start {
        Ok(start) => start,
        Err(why) => {
            findings.push(Finding::new(&SECTION_OUTSIDE, bar.place(), why.to_string()));
            return None;
        }
    };
    let until = clause.value("until").and_then(|u| u.count());
    let end = match (clause.value("for").and_then(span), until) {
        (Some(long), _) => start + musical(long.value, song.meter)?,
        (None, Some(bar)) => song.meter.bar() * (i64::from(bar) - 1),
        (None, None) => {
            if !clause.poisoned() {
                findings.push(
                    Finding::new(
                        &SECTION_OUTSIDE,
                        name.place,
                        format!("how long `{}` lasts is missing.", name.value),
                    )
                    .help("write `for 16 bars` or `until bar 17`."),
                );
            }
            return None;
        }
    };
    if end <= start {
        findings.push(Finding::new(
            &SECTION_OUTSIDE,
            name.place,
            format!("`{}` ends before it begins.", name.value),
        ));
        return None;
    }
    Some(Section { name, start, end })
}

/// Sorts the sections and says which overlap, stand twice or go past the sound.
fn check_sections(song: &mut Song, findings: &mut Vec<Finding>) {
    song.sections.sort_by_key(|s| s.start);
    for (i, s) in song.sections.iter().enumerate() {
        if let Some(first) = song.sections[..i].iter().find(|o| o.name.value == s.name.value) {
            findings.push(
                Finding::new(
                    &SECTIONS_OVERLAP,
                    s.name.place,
                    format!("two sections are called `{}`.", s.name.value),
                )
                .help("give one of them another name.")
                .related("the other", first.name.place),
            );
        } else if let Some(before) = song.sections[..i].iter().find(|o| o.end > s.start) {
            let text = format!(
                "`{}` begins at {}, before `{}` ends at {}.",
                s.name.value,
                song.tempo.bar_beat(s.start),
                before.name.value,
                song.tempo.bar_beat(before.end)
            );
            findings.push(
                Finding::new(&SECTIONS_OVERLAP, s.name.place, text)
                    .help("let it begin later, or the other one be shorter.")
                    .related("the other", before.name.place),
            );
        }
        let end = song.tempo.time_of(s.end);
        // A beat of air: the last bar of a recording is often cut short.
        let air = 60.0 / song.tempo.tempo_at(s.end).0;
        if let Some(duration) = song.duration.filter(|d| end.0 > d.0 + air) {
            let last = Beats::nearest(song.tempo.beat_at(duration)).unwrap_or_default();
            let text = format!(
                "`{}` ends at {:.1} s, after the end of the sound at {:.1} s ({}).",
                s.name.value,
                end.0,
                duration.0,
                song.tempo.bar_beat(Beats::whole(last.0.div_euclid(Beats::PARTS)))
            );
            let help =
                "let it be shorter, or look at the tempo: bars that are too long end too late.";
            findings.push(Finding::new(&SECTION_OUTSIDE, s.name.place, text).help(help));
        }
    }
}

fn stem(clause: Clause<'_>, files: &dyn SoundFiles, findings: &mut Vec<Finding>) -> Option<Stem> {
    let name = clause.text("name")?.map(str::to_owned);
    let file = clause.text("file")?.map(str::to_owned);
    let sound = sound(&file, files, findings);
    Some(Stem { name, file, at: clause.size("at").unwrap_or_default(), sound })
}
