//! Every name and position of every cue looked up, each fault told once.
//!
//! A misspelt limb that thirty cues tell is one mistake: the first place is the
//! finding's, a few of the others are named with it.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Code, Finding, Place, Spanned, closest};
use crate::model::{Action, Cue, CueLine, Lasts, Phrase, Show, Spread, Told, When, Who, Yard};
use crate::music::{Meter, TempoError};
use crate::units::Sec;

use super::cast::{Cast, LimbRef, Unknown};
use super::codes_show::{
    BEAT_BEYOND_BAR, CUE_AFTER_END, CUE_UNCLEAR, FIGURE_UNKNOWN, GESTURE_UNKNOWN, GROUP_UNKNOWN,
    LENGTH_MISSING, LIMB_UNKNOWN, PHRASE_ARGUMENTS, PHRASE_IN_ITSELF, PHRASE_UNKNOWN,
    SECTION_UNKNOWN, SEED_IDLE, SHOW_UNKNOWN, STEM_UNKNOWN, SWING_IN_COMPOUND,
};
use super::moment::{Clock, Moment, MomentError};

/// Looks up all cues of all shows and phrases, all groups and seasons.
pub fn check_cues(yard: &Yard, findings: &mut Vec<Finding>) {
    let cast = Cast::new(yard);
    let mut check = Check { cast: &cast, told: Reports::default(), seen: BTreeSet::new() };
    for group in &yard.groups {
        for member in &group.members {
            check.member(member);
        }
    }
    for show in &yard.shows {
        check.show(show);
    }
    for (i, phrase) in yard.phrases.iter().enumerate() {
        if !check.seen.iter().any(|(p, ..)| *p == i) {
            check.unplayed(phrase);
        }
    }
    check.seasons(yard);
    findings.extend(check.told.finish());
}

/// Findings by what they are about.
#[derive(Default)]
struct Reports {
    by_name: BTreeMap<(&'static str, String), usize>,
    places: BTreeSet<(&'static str, Place)>,
    found: Vec<(Finding, usize)>,
}

/// How many other places of one mistake are named.
const OTHERS: usize = 3;

impl Reports {
    /// A fault of one place, told once.
    fn at(&mut self, finding: Finding) {
        if finding.place.is_none_or(|p| self.places.insert((finding.code.word, p))) {
            self.found.push((finding, 0));
        }
    }

    /// A fault of a name, told once for all its places.
    fn name(
        &mut self,
        name: &str,
        place: Place,
        make: impl FnOnce() -> Finding,
        code: &'static Code,
    ) {
        if !self.places.insert((code.word, place)) {
            return;
        }
        match self.by_name.get(&(code.word, name.to_owned())) {
            None => {
                self.by_name.insert((code.word, name.to_owned()), self.found.len());
                self.found.push((make(), 0));
            }
            Some(&i) => {
                let (finding, others) = &mut self.found[i];
                *others += 1;
                if *others <= OTHERS {
                    finding.related.push(("also here".to_owned(), place));
                }
            }
        }
    }

    fn finish(self) -> impl Iterator<Item = Finding> {
        self.found.into_iter().map(|(mut finding, others)| {
            if others > OTHERS {
                let more = format!("said in {} places in all.", others + 1);
                finding.help = Some(match finding.help {
                    Some(help) => format!("{}; {more}", help.trim_end_matches('.')),
                    None => more,
                });
            }
            finding
        })
    }
}

/// What stands for a phrase's parameter, with its place in the call.
type Binding = (String, Spanned<String>);

struct Check<'c, 'a> {
    cast: &'c Cast<'a>,
    told: Reports,
    /// Phrases looked at, with what stood for their parameters.
    seen: BTreeSet<(usize, Option<Meter>, Vec<String>)>,
}

/// Where a cue stands: in a show, or in a phrase that is played.
#[derive(Clone, Copy)]
struct Scope<'s> {
    clock: Clock<'s>,
    start: Option<Moment>,
    names: &'s [Binding],
    /// The phrases it stands in, by index, outermost first.
    inside: &'s [usize],
}

impl<'a> Check<'_, 'a> {
    fn show(&mut self, show: &'a Show) {
        let clock = Clock { song: show.song.as_deref(), delay: Sec(0.0) };
        let scope = Scope { clock, start: None, names: &[], inside: &[] };
        for cue in show.cues.iter() {
            self.cue(cue, scope);
        }
    }

    fn cue(&mut self, cue: &'a Cue, scope: Scope<'_>) {
        let at = self.when(&cue.when, scope);
        self.series(cue, scope);
        match &cue.line {
            CueLine::Play { phrase, arguments } => self.play(phrase, arguments, cue, at, scope),
            CueLine::Tell { who, told, lasts, spread } => {
                if let Lasts::Until(until) = lasts {
                    self.until(until, at, scope);
                }
                if let Spread::Outward { from, .. } = spread
                    && self.cast.figure(&from.value).is_none()
                {
                    let names = self.cast.yard.figures.iter().map(|f| f.name.value.as_str());
                    let near = closest(&from.value, names).map(str::to_owned);
                    self.unknown(&FIGURE_UNKNOWN, "figure", from, near);
                }
                self.tell(who, told, scope);
                if let Told::Inline(action) = told {
                    self.stem(action, scope);
                }
            }
        }
    }

    /// What the words of repetition lack.
    fn series(&mut self, cue: &'a Cue, scope: Scope<'_>) {
        let compound = scope.clock.song.filter(|s| s.meter.eighths_per_beat() != 2);
        if let (Some(_), Some(song)) = (cue.swing, compound) {
            self.told.at(Finding::new(
                &SWING_IN_COMPOUND,
                cue.place,
                format!(
                    "a beat of {} has three parts already; swing divides it in two.",
                    song.meter
                ),
            )
            .help("take `swing` out."));
        }
        let staggers = matches!(cue.line, CueLine::Tell { spread: Spread::Stagger(_), .. });
        if cue.seed.is_some() && !staggers {
            self.told.at(Finding::new(
                &SEED_IDLE,
                cue.place,
                "nothing in this cue varies by a seed.",
            )
            .help("a seed shuffles the order of `stagger`."));
        }
    }

    fn when(&mut self, when: &'a Spanned<When>, scope: Scope<'_>) -> Option<Moment> {
        if let When::Onsets { until, .. } = &when.value {
            if scope.start.is_some() {
                self.told.at(Finding::new(&CUE_UNCLEAR, when.place, ONSETS_IN_PHRASE));
            } else if let Some(until) = until
                && let Err(why) = scope.clock.at(until)
            {
                self.moment(when.place, why, scope);
            }
            return None;
        }
        let at = match scope.start {
            None => scope.clock.at(&when.value),
            Some(start) => scope.clock.inside(&when.value, start),
        };
        let at = match at {
            Ok(at) => at,
            Err(why) => {
                self.moment(when.place, why, scope);
                return None;
            }
        };
        self.after_end(when.place, at, scope);
        Some(at)
    }

    fn after_end(&mut self, place: Place, at: Moment, scope: Scope<'_>) {
        let Some(song) = scope.clock.song else { return };
        let (Some(end), Some(time)) = (song.duration, scope.clock.song_time(at)) else { return };
        if time < end || scope.start.is_some() {
            return;
        }
        let last = crate::units::Beats::nearest(song.tempo.beat_at(end).floor());
        let last = last.map_or(String::new(), |b| format!(" ({})", song.tempo.bar_beat(b)));
        self.told.at(Finding::new(
            &CUE_AFTER_END,
            place,
            format!("this is {:.1} s into a song of {:.1} s.", time.0, end.0),
        )
        .help(format!("the song's last beat is at {:.1} s{last}.", end.0)));
    }

    fn until(&mut self, until: &'a Spanned<When>, at: Option<Moment>, scope: Scope<'_>) {
        let end = match scope.start {
            None => scope.clock.at(&until.value),
            Some(start) => scope.clock.inside(&until.value, start),
        };
        match end {
            Err(why) => self.moment(until.place, why, scope),
            Ok(end) => {
                let time = |m: Moment| scope.clock.song_time(m);
                if let (Some(a), Some(b)) = (at.and_then(time), time(end))
                    && b <= a
                {
                    self.told.at(Finding::new(
                        &CUE_UNCLEAR,
                        until.place,
                        "this ends before it begins.",
                    ));
                }
            }
        }
    }

    fn moment(&mut self, place: Place, why: MomentError, scope: Scope<'_>) {
        match why {
            // The missing song or sound was reported where it is named.
            MomentError::NoSong | MomentError::NoSound => {}
            MomentError::Bar(error) => {
                let mut finding = Finding::new(&BEAT_BEYOND_BAR, place, format!("{error}."));
                if let (TempoError::BeatBeyondBar { beats_per_bar, .. }, Some(song)) =
                    (error, scope.clock.song)
                {
                    let beat = if song.meter.eighths_per_beat() == 3 {
                        "; a beat is a dotted quarter"
                    } else {
                        ""
                    };
                    finding = finding
                        .help(format!("a bar of {} has {beats_per_bar} beats{beat}.", song.meter));
                }
                self.told.at(finding);
            }
            MomentError::Section(name) => {
                let sections = scope.clock.song.map_or(&[][..], |s| &s.sections);
                let known = sections.iter().map(|s| s.name.value.as_str());
                let near = closest(&name, known).map(str::to_owned);
                self.unknown(&SECTION_UNKNOWN, "section", &Spanned::new(name, place), near);
            }
            MomentError::SectionInPhrase => {
                self.told.at(Finding::new(
                    &CUE_UNCLEAR,
                    place,
                    "a phrase counts its own bars and knows no sections.",
                )
                .help("write `bar 1`, the first bar of the phrase."));
            }
            MomentError::OnsetsInPhrase => {
                self.told.at(Finding::new(&CUE_UNCLEAR, place, ONSETS_IN_PHRASE));
            }
        }
    }

    /// A name that leads nowhere. `said.place` may be more than the name.
    fn unknown(
        &mut self,
        code: &'static Code,
        kind: &str,
        said: &Spanned<String>,
        near: Option<String>,
    ) {
        let names = self.cast.yard.figures.iter().map(|f| f.name.value.as_str());
        let known = match crate::finding::list_of(names, "and", 8) {
            none if none.is_empty() => "describe a figure first.".to_owned(),
            some => format!("the figures of the yard are {some}."),
        };
        let make = || {
            let mut finding =
                Finding::new(code, said.place, format!("there is no {kind} `{}`.", said.value));
            if let Some(near) = near {
                finding = finding.label(format!("did you mean `{near}`?"));
                if said.place.hi - said.place.lo == said.value.len() as u32 {
                    finding = finding.fix(format!("write `{near}`"), said.place, near);
                }
            } else {
                finding = finding.help(known);
            }
            finding
        };
        self.told.name(&said.value, said.place, make, code);
    }

    fn member(&mut self, member: &Spanned<String>) {
        if let Err(unknown) = self.cast.limb(&member.value) {
            self.no_limb(member, &unknown);
        }
    }

    fn no_limb(&mut self, said: &Spanned<String>, unknown: &Unknown) {
        let near = self.cast.suggestion(&said.value, unknown);
        if let Unknown::Limb { figure, .. } = unknown
            && near.is_none()
            && self.cast.yard.figures[*figure].figure.limbs.iter().any(|l| l.poisoned)
        {
            // A limb whose own line is broken may be the one that is meant, but not
            // where a slip of the finger leads to one that is known.
            return;
        }
        match unknown {
            Unknown::Group(_) => self.unknown(&GROUP_UNKNOWN, "group or limb", said, near),
            Unknown::Figure(name) => {
                let kind = format!("figure `{name}` in the yard, so no limb");
                self.unknown(&LIMB_UNKNOWN, &kind, said, near);
            }
            Unknown::Limb { .. } => self.unknown(&LIMB_UNKNOWN, "limb", said, near),
        }
    }

    fn tell(&mut self, who: &'a Who, told: &'a Told, scope: Scope<'_>) {
        let limbs = match who {
            Who::All(_) => self.cast.everybody().collect::<Vec<_>>(),
            Who::Name(name) => {
                // A parameter stands for what the call says, and is wrong there.
                let said = scope
                    .names
                    .iter()
                    .find(|(p, _)| *p == name.value)
                    .map_or(name, |(_, a)| a)
                    .clone();
                match self.cast.limbs(&said.value) {
                    Ok(limbs) => limbs,
                    Err(unknown) => {
                        self.no_limb(&said, &unknown);
                        return;
                    }
                }
            }
        };
        let Told::Gesture(gesture) = told else { return };
        if limbs.iter().any(|l| self.poisoned(*l)) {
            return;
        }
        let lacking: Vec<LimbRef> = limbs
            .iter()
            .copied()
            .filter(|l| self.cast.gesture(*l, &gesture.value).is_none())
            .collect();
        let all = matches!(who, Who::All(_));
        if lacking.is_empty() || (all && lacking.len() < limbs.len()) || limbs.is_empty() {
            return;
        }
        self.no_gesture(gesture, &lacking);
    }

    fn poisoned(&self, at: LimbRef) -> bool {
        self.cast.yard.figures[at.figure].figure.limbs[at.limb].poisoned
    }

    fn no_gesture(&mut self, gesture: &Spanned<String>, lacking: &[LimbRef]) {
        let first = lacking[0];
        let limb = &self.cast.yard.figures[first.figure].figure.limbs[first.limb];
        let known: Vec<&str> = limb.gestures.iter().map(|g| g.name.value.as_str()).collect();
        let near = closest(&gesture.value, known.iter().copied()).map(str::to_owned);
        let name = self.cast.name_of(first);
        let help = match (known.is_empty(), limb.drive.is_none()) {
            (true, true) => format!("{name} has no drive and no gestures."),
            (true, false) => format!("{name} has no gestures."),
            _ => format!("it knows {}.", crate::finding::list_of(known, "and", 8)),
        };
        let make = || {
            let text = format!("{name} knows no gesture `{}`.", gesture.value);
            let mut finding = Finding::new(&GESTURE_UNKNOWN, gesture.place, text).help(help);
            if let Some(near) = near {
                finding = finding.label(format!("did you mean `{near}`?")).fix(
                    format!("write `{near}`"),
                    gesture.place,
                    near,
                );
            }
            for other in lacking.iter().skip(1) {
                finding.also.push(self.cast.name_of(*other));
            }
            finding
        };
        let key = format!("{name} {}", gesture.value);
        self.told.name(&key, gesture.place, make, &GESTURE_UNKNOWN);
    }

    fn stem(&mut self, action: &'a Action, scope: Scope<'_>) {
        let Action::Follow { source, .. } = action else { return };
        let Some(song) = scope.clock.song else { return };
        if song.stems.iter().any(|s| s.name.value == source.value) {
            return;
        }
        let near = closest(&source.value, song.stems.iter().map(|s| s.name.value.as_str()));
        self.unknown(&STEM_UNKNOWN, "stem", source, near.map(str::to_owned));
    }

    fn play(
        &mut self,
        name: &'a Spanned<String>,
        arguments: &'a [Spanned<String>],
        cue: &'a Cue,
        at: Option<Moment>,
        scope: Scope<'_>,
    ) {
        let Some((index, phrase)) = self.cast.phrase(&name.value) else {
            let near = self.cast.phrase_near(&name.value).map(str::to_owned);
            self.unknown(&PHRASE_UNKNOWN, "phrase", name, near);
            return;
        };
        if phrase.parameters.len() != arguments.len() {
            let names: Vec<&str> = phrase.parameters.iter().map(|p| p.value.as_str()).collect();
            let text = format!(
                "`{}` is played with {} names, but takes {}.",
                name.value,
                arguments.len(),
                names.len()
            );
            self.told.at(Finding::new(&PHRASE_ARGUMENTS, cue.place, text)
                .help(format!(
                    "write `{}({})` with a limb or group for each.",
                    name.value,
                    names.join(", ")
                ))
                .related("declared here", phrase.name.place));
            return;
        }
        if cue.repeat.is_some() && cue.every.is_none() && phrase.lasts.is_none() {
            self.told.at(Finding::new(
                &LENGTH_MISSING,
                cue.place,
                format!("`{}` is repeated, but how long it lasts is not said.", name.value),
            )
            .help(format!("write `phrase {}(…) lasts 8 bars`, or `every 8 bars` here.", name.value))
            .related("declared here", phrase.name.place));
        }
        let names: Vec<Binding> = phrase
            .parameters
            .iter()
            .zip(arguments)
            .map(|(p, a)| {
                let passed = scope.names.iter().find(|(n, _)| *n == a.value).map(|(_, v)| v);
                (p.value.clone(), passed.unwrap_or(a).clone())
            })
            .collect();
        if scope.inside.contains(&index) {
            self.told.at(Finding::new(
                &PHRASE_IN_ITSELF,
                name.place,
                format!("`{}` plays itself.", name.value),
            )
            .help("a phrase may play others, but not one that leads back to it."));
            return;
        }
        // The same phrase with the same names in the same meter has the same faults.
        let meter = scope.clock.song.map(|s| s.meter);
        let key = (index, meter, names.iter().map(|(_, v)| v.value.clone()).collect::<Vec<_>>());
        if !self.seen.insert(key) {
            return;
        }
        let inside: Vec<usize> = scope.inside.iter().copied().chain([index]).collect();
        let start = at.or(Some(Moment::Time(Sec(0.0))));
        let inner = Scope { start, names: &names, inside: &inside, ..scope };
        for cue in &phrase.cues {
            self.cue(cue, inner);
        }
    }

    /// A phrase nobody plays: what can be looked up without its parameters.
    fn unplayed(&mut self, phrase: &'a Phrase) {
        for cue in &phrase.cues {
            match &cue.line {
                CueLine::Play { phrase: name, .. } => {
                    if self.cast.phrase(&name.value).is_none() {
                        let near = self.cast.phrase_near(&name.value).map(str::to_owned);
                        self.unknown(&PHRASE_UNKNOWN, "phrase", name, near);
                    }
                }
                CueLine::Tell { who: Who::Name(name), told, .. } => {
                    if phrase.parameters.iter().any(|p| p.value == name.value) {
                        continue;
                    }
                    let clock = Clock { song: None, delay: Sec(0.0) };
                    let scope = Scope { clock, start: None, names: &[], inside: &[] };
                    if let CueLine::Tell { who, .. } = &cue.line {
                        self.tell(who, told, scope);
                    }
                }
                CueLine::Tell { .. } => {}
            }
        }
    }

    fn seasons(&mut self, yard: &Yard) {
        for runs in yard.seasons.iter().flat_map(|s| &s.runs) {
            if yard.shows.iter().all(|s| s.name.value != runs.show.value) {
                let near =
                    closest(&runs.show.value, yard.shows.iter().map(|s| s.name.value.as_str()));
                self.unknown(&SHOW_UNKNOWN, "show", &runs.show, near.map(str::to_owned));
            }
        }
    }
}

const ONSETS_IN_PHRASE: &str = "onsets are told in a show, not inside a phrase";
