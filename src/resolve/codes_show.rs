//! The codes of songs, shows, phrases and seasons.

use crate::finding::{Code, Severity};

/// Declares codes with the fields that vary.
macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident $word:literal $severity:ident $title:literal $why:literal $formula:literal $bad:literal $good:literal;)*) => {
        $(
            $(#[$doc])*
            pub static $name: Code = Code {
                word: $word,
                severity: Severity::$severity,
                title: $title,
                explanation: $why,
                formula: $formula,
                source: "definition of this language",
                bad: $bad,
                good: $good,
            };
        )*
        /// All rows.
        pub static CODES: &[&Code] = &[$(&$name),*];
    };
}

codes! {
    /// A song's file cannot be read.
    SONG_MISSING "song-missing" Error
        "a sound or beats file cannot be read"
        "The name counts from the folder of the file it is written in, and stays inside the project. Everything that does not need the sound is still checked."
        ""
        "song jig \"lantern-jg.wav\" { meter 6/8  tempo 116 bpm }"
        "song jig \"lantern-jig.wav\" { meter 6/8  tempo 116 bpm }";
    /// A song's file is no whole sound.
    SONG_BROKEN "song-broken" Error
        "a sound is cut off, empty, or not a WAV this program reads"
        "A song that stops early would leave half a show without music, so a cut file is refused. Copy it again, or save it as 16-bit PCM WAV. Everything that does not need the sound is still checked."
        ""
        "song jig \"half-a-download.wav\" { meter 6/8  tempo 116 bpm }"
        "song jig \"lantern-jig.wav\" { meter 6/8  tempo 116 bpm }";
    /// No tempo, two tempos, or an impossible one.
    TEMPO_UNCLEAR "tempo-unclear" Error
        "the tempo of a song cannot be told"
        "Beats are counted from a written tempo, a beats file, or by listening; one of the three. Changes come after bar 1 and one after the other."
        "a ramp over N beats from b0 to b1 bpm lasts 60 N / (b1 - b0) ln(b1 / b0) s"
        "song jig \"lantern-jig.wav\" { meter 6/8 }"
        "song jig \"lantern-jig.wav\" { meter 6/8  tempo 116 bpm from 0.480 s }";
    /// The tempo was heard faintly.
    TEMPO_DOUBTFUL "tempo-doubtful" Warning
        "the tempo that was heard is doubtful"
        "Long notes, rubato or a soft beginning leave little to hear a beat by. Tap along to it before trusting it, or write the tempo."
        ""
        "song jig \"lantern-jig.wav\" { meter 6/8  tempo listen }"
        "song jig \"lantern-jig.wav\" { meter 6/8  tempo 116 bpm from 0.480 s }";
    /// A meter that is not counted.
    METER_UNKNOWN "meter-unknown" Error
        "the meter is not one that is counted here"
        "2/4, 3/4, 4/4, 6/8, 9/8 and 12/8 are. In the last three a beat is a dotted quarter, the one people feel."
        ""
        "song jig \"lantern-jig.wav\" { meter 5/4  tempo 116 bpm }"
        "song jig \"lantern-jig.wav\" { meter 6/8  tempo 116 bpm }";
    /// No meter is written.
    METER_ASSUMED "meter-assumed" Advice
        "no meter is written; 4/4 is assumed"
        "The meter says how many beats a bar has, and so where every bar begins."
        ""
        "song jig \"lantern-jig.wav\" { tempo 116 bpm }"
        "song jig \"lantern-jig.wav\" { meter 6/8  tempo 116 bpm }";
    /// A beats file with faults.
    BEATS_BROKEN "beats-broken" Error
        "a beats file has lines that are no times, or not in order"
        "Each line holds one beat's time in seconds, later than the one above; a number behind it is the beat in its bar. `#` begins a comment."
        ""
        "beats \"out-of-order.txt\"   # 0.48, 1.00, 0.99"
        "beats \"jig.beats.txt\"   # 0.480, 0.997, 1.514";
    /// A section outside the song.
    SECTION_OUTSIDE "section-outside" Error
        "a section begins or ends where the song has no bars"
        "A section starts at a bar of the song, lasts for bars or until a bar, and ends with the sound at the latest."
        "end = start + length"
        "section refrain bar 400 for 8 bars"
        "section refrain bar 17 for 8 bars";
    /// Sections that overlap or share a name.
    SECTIONS_OVERLAP "sections-overlap" Error
        "two sections overlap or have one name"
        "A name must say one stretch of the song, and each bar belongs to one section at most."
        ""
        "section verse bar 1 for 16 bars\nsection refrain bar 16 for 8 bars"
        "section verse bar 1 for 16 bars\nsection refrain bar 17 for 8 bars";
    /// A song nobody declared.
    SONG_UNKNOWN "song-unknown" Error
        "there is no song of this name"
        "A show names a `song` of this project."
        ""
        "show evening with jog { bar 1 all rest }"
        "show evening with jig { bar 1 all rest }";
    /// Bars without a song.
    NO_SONG "no-song" Error
        "a show counts bars, but has no song"
        "Bars, beats and sections belong to a song. A show without one counts in seconds."
        ""
        "show evening { bar 1 owl.head look }"
        "show evening { 0:02 owl.head pose 30 deg }";
    /// A cue that cannot be read.
    CUE_UNCLEAR "cue-unclear" Error
        "part of a cue does not fit where it stands"
        "A cue says when, who and what, then how long and how often: `bar 9 drummers hit for 8 bars`. One name alone behind the time is a phrase."
        "WHEN WHO GESTURE [for T | until WHEN] [every T] [repeat N] [pass A to B over T | outward from FIGURE over T | stagger T] [swing P] [seed N]"
        "bar 9 drummers hit during 8 bars"
        "bar 9 drummers hit for 8 bars";
    /// A limb that does not exist.
    LIMB_UNKNOWN "limb-unknown" Error
        "there is no such limb"
        "Limbs are written `figure.limb`, with the name the figure stands under in the yard."
        ""
        "bar 1 bear.lefft-arm hit"
        "bar 1 bear.left-arm hit";
    /// A group that does not exist.
    GROUP_UNKNOWN "group-unknown" Error
        "there is no group of this name"
        "A name without a dot behind the time is a group, `all`, or a phrase."
        ""
        "bar 1 drumers hit"
        "bar 1 drummers hit";
    /// A gesture the limb does not know.
    GESTURE_UNKNOWN "gesture-unknown" Error
        "the limb knows no gesture of this name"
        "A limb's gestures stand in its block. A group is told a gesture that all its limbs know; `all` tells those that know it."
        ""
        "bar 1 bear.left-arm hitt"
        "bar 1 bear.left-arm hit";
    /// A section that does not exist.
    SECTION_UNKNOWN "section-unknown" Error
        "the song has no section of this name"
        "A cue begins with a bar, a section of its song, or a time."
        ""
        "refrian drummers hit"
        "refrain drummers hit";
    /// A phrase that does not exist.
    PHRASE_UNKNOWN "phrase-unknown" Error
        "there is no phrase of this name"
        "One name alone behind the time is a phrase; who and gesture are two names."
        ""
        "bar 9 anwser(bear.left-arm, cub.left-arm)"
        "bar 9 answer(bear.left-arm, cub.left-arm)";
    /// Too few or too many names for a phrase.
    PHRASE_ARGUMENTS "phrase-arguments" Error
        "a phrase is played with too few or too many names"
        "Each name between the brackets of a phrase stands for a limb or group; a cue that plays it names one for each."
        ""
        "bar 9 answer(bear.left-arm)"
        "bar 9 answer(bear.left-arm, cub.left-arm)";
    /// A phrase that plays itself.
    PHRASE_IN_ITSELF "phrase-in-itself" Error
        "a phrase plays itself"
        "It would never end. A phrase may play others, but not one that leads back to it."
        ""
        "phrase roll(a) lasts 1 bar { bar 1 roll(a) }"
        "phrase roll(a) lasts 1 bar { bar 1 a hit }";
    /// A repeat of something without a length.
    LENGTH_MISSING "length-missing" Error
        "a phrase is repeated whose length is not said"
        "Repeats follow each other at the phrase's length."
        ""
        "phrase roll(a) {\n  bar 1 a hit }   # told: roll(bear.left-arm) repeat 2"
        "phrase roll(a) lasts 1 bar { bar 1 a hit }";
    /// A figure that does not exist.
    FIGURE_UNKNOWN "outward-unknown" Error
        "there is no figure of this name to run outward from"
        "`outward from` takes the name a figure stands under in the yard."
        ""
        "bar 1 flock flap outward from brae over 2 beats"
        "bar 1 flock flap outward from bear over 2 beats";
    /// A stem that does not exist.
    STEM_UNKNOWN "stem-unknown" Error
        "the song has no stem of this name"
        "A limb follows a `stem` of its show's song: a separate recording of what it should follow."
        ""
        "bar 29 moon.jaw follow voise 200 Hz to 3 kHz"
        "bar 29 moon.jaw follow voice 200 Hz to 3 kHz";
    /// A show that does not exist.
    SHOW_UNKNOWN "show-unknown" Error
        "there is no show of this name"
        "A season runs shows of this project."
        ""
        "runs 5 of evning every 25 min"
        "runs 5 of evening every 25 min";
    /// A beat the bar does not have.
    BEAT_BEYOND_BAR "beat-beyond-bar" Error
        "the bar has no such beat, or the song no such bar"
        "Beats count from 1 to the beats of a bar: two in 6/8, where a beat is a dotted quarter. Parts of a beat follow with `+ 1/3`."
        "beats of a bar: 2/4 and 6/8 two, 3/4 and 9/8 three, 4/4 and 12/8 four"
        "bar 12 beat 4 owl.head look   # in 6/8"
        "bar 12 beat 2 owl.head look";
    /// A cue behind the end of the song.
    CUE_AFTER_END "cue-after-end" Error
        "a cue begins after the song has ended"
        "Nothing is played there."
        ""
        "bar 200 owl.head look   # the song has 48 bars"
        "bar 40 owl.head look";
    /// A swing that is none.
    SWING_TOO_FAR "swing-too-far" Error
        "a swing is between straight and dotted"
        "Swing says where the second half of a beat begins: 50 % is straight, 66.7 % a triplet, 75 % dotted."
        ""
        "bar 1 drummers hit for 4 bars every 1/2 beat swing 90 %"
        "bar 1 drummers hit for 4 bars every 1/2 beat swing 60 %";
    /// Swing where a beat has three parts.
    SWING_IN_COMPOUND "swing-in-compound" Warning
        "swing has no meaning where a beat has three parts"
        "In 6/8, 9/8 and 12/8 a beat is three eighths already. The cue plays straight."
        ""
        "bar 1 owl.head look swing 60 %   # in 6/8"
        "bar 1 owl.head look";
    /// A seed with nothing to vary.
    SEED_IDLE "seed-idle" Warning
        "a seed is given, but nothing varies"
        "A seed shuffles the order in which `stagger` goes through a group, the same way every night."
        ""
        "bar 1 flock flap seed 7"
        "bar 1 flock flap stagger 1 beat seed 7";
    /// Nights or times that do not fit together.
    NIGHTS_UNCLEAR "nights-unclear" Error
        "a season's nights or times do not fit together"
        "The last night is not before the first, nights left out lie between them, several runs say how far apart they are, and the first starts before the end."
        ""
        "nights 2027-10-31 to 2027-10-22"
        "nights 2027-10-22 to 2027-10-31";
}
