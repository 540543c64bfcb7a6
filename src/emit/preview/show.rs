//! A show for the page: bars and sections, every limb's coordinate over time, accents.

use super::{Finite, deltas};
use crate::check::Compiled;
use crate::model::Song;
use crate::timing::{Drawing, Performance, course, drive_course};
use crate::units::{Beats, Sec};

/// Parts of a second, and of a degree or mm, that courses are written in.
const TIMES: f64 = 1e4;
const COORDINATES: f64 = 1e3;
/// A score longer than this is not drawn in bars.
const MOST_BARS: i64 = 4000;

/// A show. Times count from the start signal.
#[derive(serde::Serialize)]
pub struct ShowData<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    duration_s: Finite,
    /// How long after the start signal people hear the song's first sample.
    delay_s: Finite,
    #[serde(skip_serializing_if = "Option::is_none")]
    song: Option<SongData<'a>>,
    parts: Vec<PartData>,
    accents: Vec<AccentData>,
}

/// The music.
#[derive(serde::Serialize)]
struct SongData<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<&'a str>,
    /// Where its copy lies, from the page.
    #[serde(skip_serializing_if = "Option::is_none")]
    copy: Option<String>,
    meter: &'static str,
    beats: i64,
    bpm: Finite,
    /// When bars 1, 2, … begin, and the last one ends.
    bars: Vec<Finite>,
    sections: Vec<SectionData<'a>>,
}

/// A section, in bars from 1; `to` is the first bar after it.
#[derive(serde::Serialize)]
struct SectionData<'a> {
    name: &'a str,
    from: i64,
    to: i64,
}

/// What a figure does: the coordinates of its limbs, by their index.
#[derive(serde::Serialize)]
struct PartData {
    figure: usize,
    cued: bool,
    limbs: Vec<CourseData>,
}

/// The coordinate of a limb over time.
#[derive(serde::Serialize)]
struct CourseData {
    limb: usize,
    /// Whether a cue moves it.
    cued: bool,
    t: Vec<i64>,
    u: Vec<i64>,
    /// The same of what moves it from the board where a limb carries it too.
    #[serde(skip_serializing_if = "Option::is_none")]
    works: Option<[Vec<i64>; 2]>,
}

/// An accent; times in s, errors in ms, late is positive.
#[derive(serde::Serialize)]
struct AccentData {
    figure: usize,
    limb: usize,
    t: Finite,
    ms: Finite,
    worst_ms: Finite,
    /// Whether people would notice the worst.
    noticed: bool,
}

impl<'a> ShowData<'a> {
    /// A show of the yard by index.
    pub fn new(compiled: &'a Compiled, index: usize, drawn: &[Drawing]) -> Self {
        let show = &compiled.yard.shows[index];
        let played = compiled.performances.get(index).map(|p| &**p);
        let duration = played.map_or(0.0, |p| p.duration.0);
        let delay = played.map_or(Sec(0.0), |p| p.sound_delay);
        Self {
            name: &show.name.value,
            title: show.title.as_deref(),
            duration_s: seconds(duration).unwrap_or_default(),
            delay_s: seconds(delay.0).unwrap_or_default(),
            song: show.song.as_deref().and_then(|s| song(s, delay, duration)),
            parts: (0..drawn.len()).map(|f| part(compiled, played, f, &drawn[f])).collect(),
            accents: played.map(|p| accents(compiled, p)).unwrap_or_default(),
        }
    }
}

/// The bytes of a song's file, where it was read.
pub fn sound_of(song: &Song) -> Option<&[u8]> {
    song.sound.as_ref().map(|s| &*s.file).filter(|f| !f.is_empty())
}

/// Where the copy of a song lies in the folder: by the song's own name, which is plain and
/// there once, whatever its file is called.
pub fn copy_of(song: &Song) -> String {
    format!("songs/{}.wav", song.name.value)
}

fn seconds(value: f64) -> Option<Finite> {
    Finite::new((value * TIMES).round() / TIMES)
}

fn song(song: &Song, delay: Sec, duration: f64) -> Option<SongData<'_>> {
    let bar = song.meter.bar();
    let start = |n: i64| song.tempo.time_of(bar * n) + delay;
    let mut bars = Vec::new();
    for n in 0..MOST_BARS {
        let at = start(n);
        bars.extend(seconds(at.0));
        // The last bar is the one in which the show ends.
        if at.0 >= duration - 1e-3 {
            break;
        }
    }
    let number = |b: Beats| b.0.div_euclid(bar.0) + 1;
    let sections = song.sections.iter().map(|s| SectionData {
        name: &s.name.value,
        from: number(s.start),
        to: number(s.end + bar - Beats(1)),
    });
    Some(SongData {
        name: &song.name.value,
        file: song.file.as_ref().map(|f| f.value.as_str()),
        copy: sound_of(song).map(|_| copy_of(song)),
        meter: song.meter.text(),
        beats: song.meter.beats_per_bar(),
        bpm: Finite::new(song.tempo.tempo_at(Beats::whole(0)).0)?,
        bars,
        sections: sections.collect(),
    })
}

fn part(
    compiled: &Compiled,
    played: Option<&Performance>,
    figure: usize,
    drawing: &Drawing,
) -> PartData {
    let name = &compiled.yard.figures[figure].name.value;
    let part = played.and_then(|p| p.figures.iter().find(|f| f.figure == *name));
    let fitted = &compiled.figures[figure];
    let limbs = drawing.limbs.iter().enumerate().filter_map(|(limb, drawn)| {
        let played = part.map(|p| &**p);
        let points = course(played, fitted, limb, drawn.table.as_ref()?);
        let works = drawn.drive.as_ref().map(|table| drive_course(played, fitted, limb, table));
        let named = &fitted.figure.limbs[limb].name.value;
        let steps = |points: &[(Sec, f64)], of: &dyn Fn(&(Sec, f64)) -> f64, per| {
            let all = deltas(points.iter().map(of), per);
            if all.len() == 1 { [all, vec![0; points.len() - 1]].concat() } else { all }
        };
        let both = |points: &[(Sec, f64)]| {
            [steps(points, &|p| p.0.0, TIMES), steps(points, &|p| p.1, COORDINATES)]
        };
        let [t, u] = both(&points);
        Some(CourseData {
            limb,
            cued: part.is_some_and(|p| p.limbs.iter().any(|l| l.limb == *named)),
            t,
            u,
            works: works.filter(|w| !w.is_empty()).map(|w| both(&w)),
        })
    });
    PartData { figure, cued: part.is_some(), limbs: limbs.collect() }
}

fn accents(compiled: &Compiled, played: &Performance) -> Vec<AccentData> {
    let yard = &compiled.yard;
    let ms = |s: Sec| Finite::new((s.0 * 1e4).round() / 10.0);
    let told = played.accents.iter().filter_map(|a| {
        let figure = yard.figures.iter().position(|f| f.name.value == a.figure)?;
        Some(AccentData {
            figure,
            limb: yard.figures[figure].figure.limb(&a.limb)?,
            t: seconds(a.wanted.0)?,
            ms: ms(a.nominal)?,
            worst_ms: ms(a.worst)?,
            noticed: a.noticed(),
        })
    });
    told.collect()
}
