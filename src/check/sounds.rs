//! The sounds and texts beside a song: read, decoded and heard once.

use std::cell::{Cell, RefCell};
use std::sync::Arc;

use super::memo::Memo;
use super::work::Work;
use crate::finding::ItemId;
use crate::music::{Heard, ListenError, Meter, Sound, listen, wav};
use crate::resolve::{SoundFault, SoundFiles};
use crate::source::{ContentHash, ReadError, Sources};

/// A sound, kept alive, and what was heard in it.
type Listened = (Arc<Sound>, Result<Heard, ListenError>);

/// What was decoded and heard, by what the files hold.
#[derive(Debug, Default)]
pub(super) struct Sounds {
    decoded: Memo<ContentHash, Result<Arc<Sound>, wav::WavError>>,
    /// By the sound's address (the sound is kept alive with it) and meter.
    heard: Memo<(usize, &'static str), Listened>,
}

impl Sounds {
    pub fn next_round(&mut self) {
        self.decoded.next_round();
        self.heard.next_round();
    }
}

/// The project's files for the stage that reads songs.
pub(super) struct Shelf<'a> {
    sources: RefCell<&'a mut Sources>,
    sounds: RefCell<&'a mut Sounds>,
    work: &'a Work,
    /// Whether a song is worked on: it is done when the next is asked for.
    begun: Cell<bool>,
}

impl<'a> Shelf<'a> {
    pub fn new(sources: &'a mut Sources, sounds: &'a mut Sounds, work: &'a Work) -> Self {
        let (sources, sounds) = (RefCell::new(sources), RefCell::new(sounds));
        Self { sources, sounds, work, begun: Cell::new(false) }
    }

    fn bytes(&self, item: ItemId, path: &str) -> Result<crate::source::Bytes, String> {
        let mut sources = self.sources.borrow_mut();
        let Some((file, _)) = sources.home(item) else {
            return Err("its file is not open".to_owned());
        };
        sources.read_bytes(file, path).map_err(|e| reason(&e))
    }
}

impl SoundFiles for Shelf<'_> {
    fn sound(&self, item: ItemId, path: &str) -> Result<Arc<Sound>, SoundFault> {
        if self.begun.replace(true) {
            self.work.one_done();
        }
        let bytes = self.bytes(item, path).map_err(SoundFault::Missing)?;
        let decoded = &mut self.sounds.borrow_mut().decoded;
        if let Some(known) = decoded.get(&bytes.hash, |_| true) {
            return known.map_err(SoundFault::Broken);
        }
        let sound = wav::decode(&bytes.bytes)
            .map(|sound| Arc::new(Sound { file: Arc::clone(&bytes.bytes), ..sound }));
        decoded.put(bytes.hash, sound.clone());
        sound.map_err(SoundFault::Broken)
    }

    fn text(&self, item: ItemId, path: &str) -> Result<Arc<str>, String> {
        let bytes = self.bytes(item, path)?;
        std::str::from_utf8(&bytes.bytes)
            .map(Arc::from)
            .map_err(|_| "it is no text in UTF-8".to_owned())
    }

    fn heard(&self, sound: &Arc<Sound>, meter: Meter) -> Result<Heard, ListenError> {
        let key = (Arc::as_ptr(sound).addr(), meter.text());
        let heard = &mut self.sounds.borrow_mut().heard;
        if let Some((_, known)) = heard.get(&key, |(kept, _)| Arc::ptr_eq(kept, sound)) {
            return known;
        }
        let result = listen(sound, meter);
        heard.put(key, (Arc::clone(sound), result.clone()));
        result
    }
}

/// Why a file cannot be had, in words.
pub(super) fn reason(error: &ReadError) -> String {
    match error {
        ReadError::Missing => "there is no such file".to_owned(),
        ReadError::Outside => "it lies outside the project folder".to_owned(),
        ReadError::NotText(_) => "it is no text".to_owned(),
        ReadError::TooLarge(..) => "it is too large".to_owned(),
        ReadError::Refused(why) => format!("the system refuses it ({why})"),
    }
}
