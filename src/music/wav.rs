//! WAV files from bytes in memory.
//!
//! The chunks are walked here, because makers meet files that are cut short, that
//! carry chunks of other programs or that claim more than they hold, and each
//! wants its own words. The samples themselves are decoded by `hound`, which is
//! handed a clean header and exactly the bytes that are there; nothing is ever
//! allocated on the word of a header.
//!
//! Layout: RIFF chunks (id, little-endian 32-bit size, body, pad to even) of the
//! RIFF/WAVE definition; `fmt ` bodies of 16, 18 and 40 bytes (WAVEFORMAT,
//! WAVEFORMATEX, WAVEFORMATEXTENSIBLE of Microsoft's mmreg.h).

use crate::units::Sec;
use std::io::Read;

/// How the samples are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Coding {
    /// Whole numbers: 8-bit unsigned around 128, wider ones signed.
    Integer,
    /// 32-bit IEEE floating point.
    Float,
}

/// What a WAV file's header says, checked against its length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WavFormat {
    /// Samples a second in each channel.
    pub rate: u32,
    /// Channels.
    pub channels: u16,
    /// Bits that each sample takes up in the file: 8, 16, 24 or 32.
    pub bits: u16,
    /// Whole numbers or floating point.
    pub coding: Coding,
    /// Samples in each channel.
    pub frames: u64,
}

impl WavFormat {
    /// Bytes of one sample in all channels; fits 16 bits, as the file stores it so.
    fn align(&self) -> usize {
        usize::from(self.channels) * usize::from(self.bits / 8)
    }

    /// How long the sound is.
    #[must_use]
    pub fn duration(&self) -> Sec {
        Sec(self.frames as f64 / f64::from(self.rate))
    }
}

/// A decoded sound, mixed to one channel (the mean of all).
#[derive(Clone, Debug, PartialEq)]
pub struct Sound {
    /// Samples a second.
    pub rate: u32,
    /// Channels the file had.
    pub channels: u16,
    /// Samples; full scale is -1 to 1. Always finite.
    pub samples: Vec<f32>,
    /// The file as it was read, to be handed on with the preview; empty where it was made
    /// otherwise.
    pub file: std::sync::Arc<[u8]>,
}

impl Sound {
    /// How long it is.
    #[must_use]
    pub fn duration(&self) -> Sec {
        Sec(self.samples.len() as f64 / f64::from(self.rate))
    }
}

/// Why bytes are no sound this program takes.
///
/// A file whose sound is shorter than its header says is refused rather than
/// read as far as it goes: the show would be planned to a song that stops early.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WavError {
    /// No bytes at all.
    Empty,
    /// It does not begin as a WAV does.
    NotAWav {
        /// The kind of file its first bytes belong to, where they are known.
        looks_like: Option<&'static str>,
    },
    /// It ends before its format or any sound is reached.
    HeaderCut {
        /// Bytes in the file.
        has: u64,
    },
    /// The format chunk contradicts itself or is shorter than 16 bytes.
    FormatGarbled,
    /// There is sound but no format chunk.
    FormatMissing,
    /// A sound of no samples.
    NoSamples,
    /// The sound is cut off.
    Truncated {
        /// How long the header says it is.
        claims: Sec,
        /// How much is there.
        has: Sec,
    },
    /// The header claims 2 GB or more that are not there: the place holder of a
    /// recorder that was stopped before it wrote the true length.
    HeaderTooLarge {
        /// Bytes of sound claimed.
        claims: u64,
        /// Bytes of sound there.
        has: u64,
        /// How long what is there lasts.
        lasts: Sec,
    },
    /// Compressed or otherwise coded samples.
    UnsupportedCoding {
        /// The format tag of the WAV registry.
        tag: u16,
    },
    /// Samples of a width that is not taken.
    UnsupportedBits {
        /// The width.
        bits: u16,
        /// Whole numbers or floating point.
        coding: Coding,
    },
    /// A sampling rate outside 1,000 to 1,000,000 Hz.
    UnsupportedRate {
        /// The rate, Hz.
        rate: u32,
    },
    /// A floating-point sample that is no number.
    BadSample {
        /// When it would sound.
        at: Sec,
    },
}

impl std::fmt::Display for WavError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match *self {
            Self::Empty => f.write_str("the file is empty"),
            Self::NotAWav { looks_like: Some(kind) } => {
                write!(f, "this is not a WAV but looks like {kind}; save it as WAV (16-bit PCM)")
            }
            Self::NotAWav { looks_like: None } => {
                f.write_str("this is not a WAV; save the song as WAV (16-bit PCM)")
            }
            Self::HeaderCut { has } => {
                write!(f, "the file ends after {has} bytes, before any sound; copy it again")
            }
            Self::FormatGarbled => f.write_str("the WAV's format chunk contradicts itself"),
            Self::FormatMissing => f.write_str("the WAV does not say what format its sound has"),
            Self::NoSamples => f.write_str("the WAV holds no sound"),
            Self::Truncated { claims, has } => write!(
                f,
                "the sound is cut off: it should last {:.3} s and {:.3} s are there; copy it again",
                claims.0, has.0
            ),
            Self::HeaderTooLarge { claims, has, lasts } => write!(
                f,
                "the header claims {claims} bytes of sound and the file holds {has} ({:.3} s): the recording was not closed properly; open it in an editor and save it again",
                lasts.0
            ),
            Self::UnsupportedCoding { tag } => write!(
                f,
                "the WAV's sound is coded in a way that is not read here (format {tag}); save it as 16-bit PCM"
            ),
            Self::UnsupportedBits { bits, coding } => write!(
                f,
                "{bits}-bit {} samples are not read here; 8, 16, 24 and 32-bit integer and 32-bit float are",
                match coding {
                    Coding::Integer => "integer",
                    Coding::Float => "float",
                }
            ),
            Self::UnsupportedRate { rate } => {
                write!(
                    f,
                    "{rate} samples a second is no sampling rate; 1000 to 1000000 Hz are read"
                )
            }
            Self::BadSample { at } => {
                write!(f, "the sample at {:.3} s is not a number; save the song again", at.0)
            }
        }
    }
}
impl std::error::Error for WavError {}

/// Reads format and length without decoding; reads only the chunk headers.
///
/// # Errors
/// Everything [`decode`] finds except [`WavError::BadSample`].
pub fn probe(bytes: &[u8]) -> Result<WavFormat, WavError> {
    layout(bytes).map(|(format, _)| format)
}

/// Decodes a WAV and mixes it to one channel.
///
/// # Errors
/// Where the bytes are not a whole, plain WAV; see [`WavError`].
pub fn decode(bytes: &[u8]) -> Result<Sound, WavError> {
    let (format, data) = layout(bytes)?;
    let header = clean_header(&format, data.len());
    // The header is ours, so hound has nothing left to refuse.
    let reader = hound::WavReader::new(Joined { rest: &header, next: data })
        .map_err(|_| WavError::FormatGarbled)?;
    let samples = match format.coding {
        Coding::Integer => {
            let unit = 1.0 / libm::ldexp(1.0, i32::from(format.bits) - 1);
            mix(&format, reader.into_samples::<i32>().map(|s| s.map(|v| f64::from(v) * unit)))
        }
        Coding::Float => mix(&format, reader.into_samples::<f32>().map(|s| s.map(f64::from))),
    }?;
    let file = std::sync::Arc::default();
    Ok(Sound { rate: format.rate, channels: format.channels, samples, file })
}

/// Two stretches of bytes read as one, fast where a read lies within one: hound
/// asks for a sample at a time.
struct Joined<'a> {
    rest: &'a [u8],
    next: &'a [u8],
}

impl Joined<'_> {
    /// A read that reaches the end of a stretch gets what is left of it.
    #[cold]
    fn read_edge(&mut self, into: &mut [u8]) -> usize {
        if self.rest.is_empty() {
            self.rest = std::mem::take(&mut self.next);
        }
        let count = into.len().min(self.rest.len());
        let (head, rest) = self.rest.split_at(count);
        into[..count].copy_from_slice(head);
        self.rest = rest;
        count
    }
}

impl Read for Joined<'_> {
    #[inline]
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        match self.rest.split_at_checked(into.len()) {
            Some((head, rest)) => {
                into.copy_from_slice(head);
                self.rest = rest;
                Ok(into.len())
            }
            None => Ok(self.read_edge(into)),
        }
    }
}

/// The mean over the channels of every frame.
fn mix(
    format: &WavFormat,
    mut samples: impl Iterator<Item = hound::Result<f64>>,
) -> Result<Vec<f32>, WavError> {
    // Bounded by the bytes that are there: `frames` was checked against them.
    let mut mixed = Vec::with_capacity(format.frames as usize);
    let share = 1.0 / f64::from(format.channels);
    while let Some(first) = samples.next() {
        let mut sum = first.map_err(|_| WavError::FormatGarbled)?;
        for _ in 1..format.channels {
            match samples.next() {
                Some(Ok(v)) => sum += v,
                _ => return Err(WavError::FormatGarbled),
            }
        }
        let mean = (sum * share) as f32;
        if !mean.is_finite() {
            let at = Sec(mixed.len() as f64 / f64::from(format.rate));
            return Err(WavError::BadSample { at });
        }
        mixed.push(mean);
    }
    Ok(mixed)
}

/// A WAVEFORMATEXTENSIBLE header for exactly `data` bytes of sound.
fn clean_header(format: &WavFormat, data: usize) -> Vec<u8> {
    let align = format.align() as u16;
    let tag: u16 = match format.coding {
        Coding::Integer => TAG_PCM,
        Coding::Float => TAG_FLOAT,
    };
    let mut header = b"RIFF\0\0\0\0WAVEfmt \x28\0\0\0".to_vec();
    header.extend(TAG_EXTENSIBLE.to_le_bytes());
    header.extend(format.channels.to_le_bytes());
    header.extend(format.rate.to_le_bytes());
    header.extend((format.rate * u32::from(align)).to_le_bytes());
    header.extend(align.to_le_bytes());
    header.extend(format.bits.to_le_bytes());
    header.extend(22u16.to_le_bytes());
    header.extend(format.bits.to_le_bytes());
    header.extend(0u32.to_le_bytes());
    header.extend(tag.to_le_bytes());
    header.extend(SUBFORMAT_TAIL);
    header.extend(b"data");
    header.extend((data as u32).to_le_bytes());
    header
}

/// Format tag of integer samples.
const TAG_PCM: u16 = 1;
/// Format tag of floating-point samples.
const TAG_FLOAT: u16 = 3;
/// Format tag that sends the reader to the subformat.
const TAG_EXTENSIBLE: u16 = 0xFFFE;
/// What follows the tag in the subformat of plain samples.
const SUBFORMAT_TAIL: [u8; 14] = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];
/// From here on a length that is not there is a place holder, not a cut copy.
const PLACE_HOLDER: u64 = 0x7FFF_0000;

/// Checked format and the whole frames of sound.
fn layout(bytes: &[u8]) -> Result<(WavFormat, &[u8]), WavError> {
    if bytes.is_empty() {
        return Err(WavError::Empty);
    }
    let has = bytes.len() as u64;
    if !bytes.starts_with(b"RIFF") {
        return Err(WavError::NotAWav { looks_like: kind_of(bytes) });
    }
    if bytes.get(8..12).is_some_and(|kind| kind != b"WAVE") {
        return Err(WavError::NotAWav { looks_like: None });
    }
    let found = walk(bytes);
    match (found.format, found.data) {
        (Some(format), Some(data)) => measure(read_format(format)?, data),
        (None, Some(data)) if data.claims <= data.bytes.len() as u64 => {
            Err(WavError::FormatMissing)
        }
        _ => Err(WavError::HeaderCut { has }),
    }
}

/// A sound chunk: what it claims and the bytes that are there.
#[derive(Clone, Copy)]
struct Data<'a> {
    claims: u64,
    bytes: &'a [u8],
}

/// The two chunks that matter.
#[derive(Default)]
struct Found<'a> {
    format: Option<&'a [u8]>,
    data: Option<Data<'a>>,
}

/// Walks the chunks until both are found or the bytes end.
fn walk(bytes: &[u8]) -> Found<'_> {
    let mut found = Found::default();
    let mut rest = bytes.get(12..).unwrap_or_default();
    while let Some((head, body)) = rest.split_at_checked(8) {
        let claims = u32::from_le_bytes([head[4], head[5], head[6], head[7]]) as usize;
        let there = &body[..claims.min(body.len())];
        match &head[..4] {
            b"fmt " => found.format = found.format.or(Some(there)),
            b"data" => {
                found.data = found.data.or(Some(Data { claims: claims as u64, bytes: there }));
            }
            _ => {}
        }
        if found.format.is_some() && found.data.is_some() {
            break;
        }
        rest = &body[there.len()..];
        // An odd chunk is padded with a zero; writers that forget the pad are
        // known by the next chunk's name, which never begins with one.
        if claims % 2 == 1 && rest.first() == Some(&0) {
            rest = &rest[1..];
        }
    }
    found
}

/// Reads and checks the body of a `fmt ` chunk; `frames` is still 0.
fn read_format(body: &[u8]) -> Result<WavFormat, WavError> {
    let word = |at: usize| {
        body.get(at..at + 2)
            .map(|b| u16::from_le_bytes([b[0], b[1]]))
            .ok_or(WavError::FormatGarbled)
    };
    let (mut tag, channels, align, bits) = (word(0)?, word(2)?, word(12)?, word(14)?);
    let rate = u32::from(word(4)?) | u32::from(word(6)?) << 16;
    if tag == TAG_EXTENSIBLE {
        tag = word(24)?;
        if body.get(26..40) != Some(&SUBFORMAT_TAIL[..]) {
            return Err(WavError::UnsupportedCoding { tag: TAG_EXTENSIBLE });
        }
    }
    let coding = match tag {
        TAG_PCM => Coding::Integer,
        TAG_FLOAT => Coding::Float,
        tag => return Err(WavError::UnsupportedCoding { tag }),
    };
    if channels == 0 || align % channels != 0 || bits == 0 {
        return Err(WavError::FormatGarbled);
    }
    // Narrower samples stand at the top of their container, so the container is
    // what is decoded: 20 bits in 3 bytes read as 24.
    let container = (align / channels).saturating_mul(8);
    if bits > container {
        return Err(WavError::FormatGarbled);
    }
    let plain = match coding {
        Coding::Integer => container <= 32,
        Coding::Float => container == 32 && bits == 32,
    };
    if !plain {
        return Err(WavError::UnsupportedBits { bits, coding });
    }
    if !(1_000..=1_000_000).contains(&rate) || rate.checked_mul(u32::from(align)).is_none() {
        return Err(WavError::UnsupportedRate { rate });
    }
    Ok(WavFormat { rate, channels, bits: container, coding, frames: 0 })
}

/// Compares what the sound chunk claims with what is there.
fn measure(format: WavFormat, data: Data<'_>) -> Result<(WavFormat, &[u8]), WavError> {
    let align = format.align() as u64;
    let (claims, has) = (data.claims / align, data.bytes.len() as u64 / align);
    let lasts = |frames: u64| WavFormat { frames, ..format }.duration();
    if claims > has && data.claims >= PLACE_HOLDER {
        return Err(WavError::HeaderTooLarge {
            claims: data.claims,
            has: data.bytes.len() as u64,
            lasts: lasts(has),
        });
    }
    if claims > has {
        return Err(WavError::Truncated { claims: lasts(claims), has: lasts(has) });
    }
    if has == 0 {
        return Err(WavError::NoSamples);
    }
    // Bytes of an unfinished last frame are dropped, as every player does.
    Ok((WavFormat { frames: has, ..format }, &data.bytes[..(has * align) as usize]))
}

/// The kind of file some well-known first bytes belong to.
fn kind_of(bytes: &[u8]) -> Option<&'static str> {
    const KINDS: [(&[u8], &str); 9] = [
        (b"ID3", "an MP3"),
        (b"\xFF\xFB", "an MP3"),
        (b"\xFF\xF3", "an MP3"),
        (b"fLaC", "a FLAC"),
        (b"OggS", "an Ogg file"),
        (b"FORM", "an AIFF"),
        (b"RF64", "an RF64, the long form of a WAV"),
        (b"MThd", "a MIDI file"),
        (b"PK\x03\x04", "a ZIP"),
    ];
    if bytes.get(4..8) == Some(b"ftyp") {
        return Some("an M4A or MP4");
    }
    KINDS.iter().find(|(start, _)| bytes.starts_with(start)).map(|&(_, kind)| kind)
}
