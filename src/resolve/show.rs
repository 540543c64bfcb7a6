//! Shows and groups.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::{Finding, Place, Spanned, closest, list_of};
use crate::geometry::YardPoint;
use crate::model::{Cue, Group, Show, Song, SoundPath, When};
use crate::syntax::words::{Row, Sign, Table, Take, many, must, must_key};
use crate::syntax::{Block, Clause};
use crate::units::{Dimension as D, Mm};

use super::codes_show::{NO_SONG, SONG_UNKNOWN};
use super::cue::{CUE, cue};

/// The words of `show`.
pub static SHOW: Table = Table {
    name: "show",
    title: "A song and its cues.",
    rows: &[
        Row::new("title", "A text for people.", &[must("text", Take::Text)]),
        Row::new(
            "sound",
            "How long the player takes from the start signal to the first sound.",
            &[must_key("late", "late", Take::Quantity(D::Time, Sign::NotNegative))],
        ),
        Row::new("speaker", "Where the speaker stands.", &[must_key("at", "at", Take::Point)]),
    ],
    bare: Some(&CUE),
};

const MEMBERS: Row =
    Row::new("", "Limbs, as `figure.limb`.", &[many("member", Take::Name("limb"))]).many();

/// The words of `group`.
pub static GROUP: Table = Table {
    name: "group",
    title: "Limbs that are told things together.",
    rows: &[],
    bare: Some(&MEMBERS),
};

/// The cues of the last compile: a show whose text is the same has the very same.
#[derive(Debug, Default)]
pub struct Cues {
    last: BTreeMap<Place, Said>,
    now: BTreeMap<Place, Said>,
}

/// A show's cues, and what was found wrong in them.
type Said = (Arc<[Cue]>, Vec<Finding>);

impl Cues {
    /// A new compile begins: what the last one did not ask for is dropped.
    pub(super) fn next_round(&mut self) {
        self.last = std::mem::take(&mut self.now);
    }

    /// The cues in the block of the show at a place; the place's item has another
    /// id where its text changed.
    fn of(&mut self, show: Place, block: Block<'_>, findings: &mut Vec<Finding>) -> Arc<[Cue]> {
        let said = self.last.remove(&show).unwrap_or_else(|| {
            let mut wrong = Vec::new();
            let cues = block.all("").filter_map(|c| cue(c, &mut wrong)).collect();
            (cues, wrong)
        });
        findings.extend(said.1.iter().cloned());
        let cues = Arc::clone(&said.0);
        self.now.insert(show, said);
        cues
    }
}

/// Reads a show. `songs` are those of the whole project that could be counted,
/// `declared` the names of all, so that a song with a fault of its own is not
/// reported as unknown.
pub fn show(
    clause: Clause<'_>,
    songs: &[Arc<Song>],
    declared: &[&str],
    cues: &mut Cues,
    findings: &mut Vec<Finding>,
) -> Option<Show> {
    let name = clause.text("name")?.map(str::to_owned);
    let block = clause.block();
    let said = clause.text("song");
    let song = said.and_then(|s| find_song(s, songs, declared, findings));
    let mut show = Show {
        name,
        title: block.and_then(|b| b.find("title")?.text("text")).map(|t| t.value.to_owned()),
        song,
        sound: SoundPath::default(),
        cues: Arc::default(),
        place: clause.place(),
    };
    let Some(block) = block else { return Some(show) };
    show.sound.late = block.find("sound").and_then(|s| s.size("late"));
    show.sound.speaker = block
        .find("speaker")
        .and_then(|s| s.value("at")?.point())
        .map(|p| YardPoint::new(Mm(p.value.0), Mm(p.value.1)));
    show.cues = cues.of(clause.place(), block, findings);
    if said.is_none()
        && let Some(cue) = show.cues.iter().find(|c| counts(&c.when.value))
    {
        findings.push(
            Finding::new(&NO_SONG, cue.when.place, "this show has no song to count bars in.").help(
                format!("write `show {} with SONG`, or times such as 0:12.5.", show.name.value),
            ),
        );
    }
    Some(show)
}

/// Whether a position needs a song.
fn counts(when: &When) -> bool {
    !matches!(when, When::Time(_))
}

fn find_song(
    said: Spanned<&str>,
    songs: &[Arc<Song>],
    declared: &[&str],
    findings: &mut Vec<Finding>,
) -> Option<Arc<Song>> {
    if let Some(song) = songs.iter().find(|s| s.name.value == said.value) {
        return Some(Arc::clone(song));
    }
    if !declared.contains(&said.value) {
        let mut finding =
            Finding::new(&SONG_UNKNOWN, said.place, format!("there is no song `{}`.", said.value));
        if let Some(near) = closest(said.value, declared.iter().copied()) {
            finding = finding.label(format!("did you mean `{near}`?")).fix(
                format!("write `{near}`"),
                said.place,
                near,
            );
        } else {
            let known = list_of(declared.iter().copied(), "and", 8);
            finding = finding.help(match known.is_empty() {
                true => format!("write `song {} \"file.wav\" {{ … }}`.", said.value),
                false => format!("declared are {known}."),
            });
        }
        findings.push(finding);
    }
    None
}

/// Reads a group.
#[must_use]
pub fn group(clause: Clause<'_>) -> Option<Group> {
    let name = clause.text("name")?.map(str::to_owned);
    let members = clause.block().map_or_else(Vec::new, |b| {
        b.all("")
            .flat_map(|c| {
                c.values("member").map(|v| v.text().map(str::to_owned)).collect::<Vec<_>>()
            })
            .collect()
    });
    Some(Group { name, members })
}
