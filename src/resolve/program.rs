//! What is played: songs, groups, phrases, shows and seasons.

use std::sync::Arc;

use crate::finding::Finding;
use crate::model::{Song, Yard};
use crate::syntax::Clause;

use super::check_cues::check_cues;
use super::scope::Scope;
use super::show::Cues;
use super::song::SoundFiles;
use super::{phrase, season, show, song};

/// Reads what is played into the yard, and looks every cue up.
#[must_use]
pub fn program(scope: &Scope, files: &dyn SoundFiles, yard: &mut Yard) -> Vec<Finding> {
    program_again(scope, files, yard, &mut Cues::default())
}

/// As [`program`], and the cues of a show whose text is the same as the last time
/// are not read again.
#[must_use]
pub fn program_again(
    scope: &Scope,
    files: &dyn SoundFiles,
    yard: &mut Yard,
    cues: &mut Cues,
) -> Vec<Finding> {
    cues.next_round();
    let mut findings = Vec::new();
    let all =
        |word: &'static str| scope.clauses().filter(move |c| c.word() == word && !c.poisoned());
    let songs: Vec<Arc<Song>> =
        all("song").filter_map(|c| song::song(c, files, &mut findings)).map(Arc::new).collect();
    let declared: Vec<&str> =
        scope.clauses().filter(|c| c.word() == "song").filter_map(name).collect();
    yard.groups = all("group").filter_map(show::group).collect();
    yard.phrases = all("phrase").filter_map(|c| phrase::phrase(c, &mut findings)).collect();
    yard.shows =
        all("show").filter_map(|c| show::show(c, &songs, &declared, cues, &mut findings)).collect();
    yard.seasons = all("season").filter_map(|c| season::season(c, &mut findings)).collect();
    let locality = yard.locality.as_ref();
    let notes = yard.seasons.iter().flat_map(|s| season::season_notes(s, locality));
    yard.not_checked.extend(notes);
    season::laid_up_nights(yard);
    yard.songs = songs;
    check_cues(yard, &mut findings);
    findings
}

fn name(clause: Clause<'_>) -> Option<&str> {
    clause.text("name").map(|n| n.value)
}
