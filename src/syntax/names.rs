//! What may be a name.

use super::codes;
use super::cursor::shown;
use crate::finding::{Finding, Spanned, list_of};

/// The longest name, in characters.
pub const LONGEST_NAME: usize = 64;

/// Words that are never names: those that begin an item, and those that a cue
/// would not know apart from its own.
pub const NEVER_NAMES: &[&str] = &[
    "use",
    "yard",
    "supply",
    "controller",
    "song",
    "figure",
    "set",
    "laid-up",
    "group",
    "phrase",
    "show",
    "season",
    "for",
    "until",
    "every",
    "repeat",
    "pass",
    "stagger",
    "sweep",
    "turn",
    "pose",
    "follow",
    "spin",
    "pulse",
    "all",
    "rest",
    "bar",
    "beat",
];

/// Names of devices on one common system: no file there can be called so.
const DEVICES: &[&str] = &["con", "prn", "aux", "nul"];

/// Why a word is no name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NameFault {
    TooLong,
    Capitals,
    Quoted,
    FirstLetter,
    Letters,
    Taken,
    Device,
}

/// Checks a name, dots between its parts allowed.
pub(super) fn check(name: &str) -> Result<(), NameFault> {
    if name.starts_with('"') {
        return Err(NameFault::Quoted);
    }
    name.split('.').try_for_each(part)?;
    if NEVER_NAMES.contains(&name) { Err(NameFault::Taken) } else { Ok(()) }
}

fn part(name: &str) -> Result<(), NameFault> {
    let bytes = name.as_bytes();
    let Some(first) = bytes.first() else { return Err(NameFault::Letters) };
    if name.len() > LONGEST_NAME && name.chars().count() > LONGEST_NAME {
        return Err(NameFault::TooLong);
    }
    if !bytes.iter().all(|b| b.is_ascii_alphanumeric() || *b == b'-') {
        return Err(NameFault::Letters);
    }
    if bytes.iter().any(u8::is_ascii_uppercase) {
        return Err(NameFault::Capitals);
    }
    if !first.is_ascii_lowercase() || bytes.last() == Some(&b'-') {
        return Err(NameFault::FirstLetter);
    }
    let device = DEVICES.contains(&name)
        || (name.len() == 4
            && (name.starts_with("com") || name.starts_with("lpt"))
            && matches!(bytes[3], b'1'..=b'9'));
    if device { Err(NameFault::Device) } else { Ok(()) }
}

impl NameFault {
    pub(super) fn finding(self, name: Spanned<&str>, what: &str) -> Finding {
        let text = shown(name.value);
        let about = |why: &str| {
            Finding::new(
                &codes::NAME_UNFIT,
                name.place,
                format!("`{text}` cannot be a name: {why}"),
            )
        };
        match self {
            Self::TooLong => about("it has more than 64 letters.").help("take a shorter one."),
            Self::Capitals => {
                let lower = name.value.to_ascii_lowercase();
                about("names are written in small letters.").fix(
                    "write it in small letters",
                    name.place,
                    lower,
                )
            }
            Self::Quoted => about("names stand without quotes.")
                .help("give any text for people with `title \"…\"`."),
            Self::FirstLetter => about("it begins with a letter and ends with a letter or digit.")
                .help(format!("{what} is a name like left-arm.")),
            Self::Letters => {
                about("a name has only letters a to z, digits and `-`.").help(format!(
                    "{what} is a name like left-arm; give any text for people with `title \"…\"`."
                ))
            }
            Self::Taken => Finding::new(
                &codes::NAME_TAKEN,
                name.place,
                format!("`{text}` is a word of the language and cannot be a name."),
            )
            .help(format!(
                "the words that cannot be names: {}.",
                list_of(NEVER_NAMES.iter().copied(), "and", 40)
            )),
            Self::Device => about("some computers cannot keep a file called so.")
                .help("take another name: files of the folder are called after it."),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_short_plain_and_not_paths() {
        for good in ["a", "left-arm", "bear.left-arm", "junk-3", "in", "oz", "bolt", "com"] {
            assert_eq!(check(good), Ok(()), "{good}");
        }
        for (bad, why) in [
            ("../x", NameFault::Letters),
            ("a/b", NameFault::Letters),
            ("a.", NameFault::Letters),
            ("Bear", NameFault::Capitals),
            ("bär", NameFault::Letters),
            ("3rd", NameFault::FirstLetter),
            ("a-", NameFault::FirstLetter),
            ("all", NameFault::Taken),
            ("com1", NameFault::Device),
            ("\"x\"", NameFault::Quoted),
        ] {
            assert_eq!(check(bad), Err(why), "{bad}");
        }
        assert_eq!(check(&"a".repeat(65)), Err(NameFault::TooLong));
    }
}
