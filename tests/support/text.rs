//! Texts out of nowhere.

use std::ops::RangeInclusive;

use proptest::prelude::*;

/// Any text of so many characters, none of which steers a terminal: half of them such as
/// stand in a file, half from anywhere in Unicode.
pub fn printed(length: RangeInclusive<usize>) -> impl Strategy<Value = String> {
    let character = prop_oneof![prop::char::range(' ', '~'), any::<char>()];
    prop::collection::vec(character.prop_filter("steers", |c| !c.is_control()), length)
        .prop_map(|characters| characters.into_iter().collect())
}
